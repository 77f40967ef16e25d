"""A second renderer of mats, of another kind than that of the tests: shapes are cast forward into the picture.

Brown-Conrady lens (three radial terms, two tangential, a middle off the picture's), falling light, a coloured lamp, the
phone's own shadow, shadows along edges, one colour to the pixel (Bayer) and its making good, sharpening, JPEG with
halved colour. Outlines are what it was told to draw. It shares no code with the reader nor with tests/capture.
All in mm, y up; colours are red, green, blue in linear light.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
import shapely

Array = np.ndarray


@dataclass(frozen=True)
class Camera:
    """`lens`: k1, k2, k3, p1, p2; `middle`: off the picture's, in widths; `fill`: how far out the mat's corners lie."""

    width: int = 4000
    height: int = 3000
    focal: float = 0.74
    slant: float = 15.0
    towards: float = 40.0
    roll: float = 0.0
    lens: tuple[float, ...] = (-0.05, 0.02, 0.0, 0.0, 0.0)
    middle: tuple[float, float] = (0.0, 0.0)
    fill: float = 0.86


@dataclass(frozen=True)
class Shape:
    """Outer ring and holes; `look`: a colour or a texture (rows, columns, red-green-blue), so many mm across.

    `turn`, `shift`: how the texture is turned and moved on the mat. `height`: of what casts its shadow;
    `thick`: of its upright sides.
    """

    rings: tuple[Array, ...]
    look: Array
    across: float = 60.0
    turn: float = 0.0
    height: float = 0.5
    shift: tuple[float, float] = (0.0, 0.0)
    thick: float = 0.0


@dataclass(frozen=True)
class Mark:
    """A marker card."""

    number: int
    x: float
    y: float
    turn: float = 0.0
    scale: float = 1.0


@dataclass(frozen=True)
class Mat:
    """What lies there, and the light that it is seen in."""

    shapes: tuple[Shape, ...]
    cards: tuple[Mark, ...]
    size: tuple[float, float] = (640.0, 480.0)
    ground: tuple[float, float, float] = (0.52, 0.02, 0.28)
    light: tuple[float, float] = (0.35, 30.0)
    warmth: float = 0.06
    phone: float = 0.35
    noise: float = 0.006
    blur: float = 0.75
    smear: float = 0.0
    sharpen: float = 0.5
    jpeg: int = 90
    exposure: float = 1.0
    vignette: float = 0.3
    seed: int = 1
    table: tuple[float, float, float] = field(default=(0.35, 0.26, 0.18))


class View:
    """A camera over a mat: from mm to pixels and back."""

    def __init__(self, camera: Camera, size: tuple[float, float]) -> None:
        self.camera = camera
        slant, towards, roll = np.radians([camera.slant, camera.towards, camera.roll])
        self.turn = _about_z(towards) @ _about_x(slant) @ _about_z(-towards) @ _about_z(roll)
        self.focal = camera.focal * max(camera.width, camera.height)
        corners = np.array([[x * size[0] / 2, y * size[1] / 2] for x in (-1, 1) for y in (-1, 1)])
        half = np.array([camera.width, camera.height]) / 2
        distance = self.focal * size[0] / camera.width / camera.fill
        for _ in range(60):
            self.eye = self.turn @ np.array([0.0, 0.0, distance])
            out = float(np.abs(self.px(corners) / half - 1).max())
            if abs(out - camera.fill) < 0.003:
                break
            distance *= out / camera.fill

    def px(self, mm: Array, up: float = 0.0) -> Array:
        """Pixels of places (..., 2) on the mat, or so far up from it."""
        mm = np.asarray(mm, dtype=float)
        seen = (np.concatenate([mm, np.full((*mm.shape[:-1], 1), up)], axis=-1) - self.eye) @ self.turn
        x, y = seen[..., 0] / -seen[..., 2], seen[..., 1] / seen[..., 2]
        k1, k2, k3, p1, p2 = self.camera.lens
        r2 = x * x + y * y
        radial = 1 + k1 * r2 + k2 * r2**2 + k3 * r2**3
        bent = np.stack(
            [
                x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x),
                y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y,
            ],
            axis=-1,
        )
        return bent * self.focal + self._middle()

    def _middle(self) -> Array:
        camera = self.camera
        off = np.array(camera.middle) * camera.width
        return np.array([(camera.width - 1) / 2, (camera.height - 1) / 2]) + off

    def mm(self, px: Array) -> Array:
        """Places on the mat of pixels, (..., 2)."""
        k1, k2, k3, p1, p2 = self.camera.lens
        bent = (np.asarray(px, dtype=float) - self._middle()) / self.focal
        x, y = bent[..., 0].copy(), bent[..., 1].copy()
        for _ in range(25):
            r2 = x * x + y * y
            radial = 1 + k1 * r2 + k2 * r2**2 + k3 * r2**3
            x, y = (
                (bent[..., 0] - 2 * p1 * x * y - p2 * (r2 + 2 * x * x)) / radial,
                (bent[..., 1] - p1 * (r2 + 2 * y * y) - 2 * p2 * x * y) / radial,
            )
        rays = np.stack([x, -y, -np.ones_like(x)], axis=-1) @ self.turn.T
        return rays[..., :2] * (-self.eye[2] / rays[..., 2])[..., None] + self.eye[:2]


def _about_z(angle: float) -> Array:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


def _about_x(angle: float) -> Array:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])


def dense(ring: Array, step: float) -> Array:
    """Points along a closed ring."""
    ring = np.asarray(ring, dtype=float)
    parts = []
    for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        count = max(1, int(np.ceil(np.hypot(*(b - a)) / step)))
        parts.append(a + (b - a) * (np.arange(count) / count)[:, None])
    return np.concatenate(parts)


def turned(points: Array, deg: float) -> Array:
    """Turned about the origin."""
    c, s = np.cos(np.radians(deg)), np.sin(np.radians(deg))
    return np.asarray(points, dtype=float) @ np.array([[c, s], [-s, c]])


def _coverage(rings: list[Array], size: tuple[int, int], rows_each: int = 8) -> tuple[int, int, Array]:
    """Which share of each pixel lies within rings (even-odd), exactly along rows; and where that window begins."""
    every = np.concatenate(rings)
    x0, y0 = (max(int(v), 0) for v in np.floor(every.min(axis=0)) - 1)
    x1, y1 = (min(int(v), most) for v, most in zip(np.ceil(every.max(axis=0)) + 2, size, strict=True))
    if x1 <= x0 or y1 <= y0:
        return 0, 0, np.zeros((0, 0), np.float32)
    a, b = every, np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    low, high = np.minimum(a[:, 1], b[:, 1]), np.maximum(a[:, 1], b[:, 1])
    order = np.argsort(low)
    a, b, low, high = a[order], b[order], low[order], high[order]
    answer, edges = np.zeros((y1 - y0, x1 - x0), np.float32), np.arange(x0, x1) - 0.5
    for row, held in enumerate(answer):
        for part in range(rows_each):
            y = y0 + row - 0.5 + (part + 0.5) / rows_each
            hit = np.nonzero(high[: np.searchsorted(low, y, "right")] > y)[0]
            cuts = np.sort(a[hit, 0] + (y - a[hit, 1]) / (b[hit, 1] - a[hit, 1]) * (b[hit, 0] - a[hit, 0]))
            for start, end in zip(cuts[::2], cuts[1::2], strict=True):
                first, last = max(int(start + 0.5) - x0, 0), min(int(end + 0.5) - x0, x1 - x0 - 1)
                if last >= 0 and first < x1 - x0:
                    edge = edges[first : last + 1]
                    held[first : last + 1] += (np.minimum(end, edge + 1) - np.maximum(start, edge)).clip(0, 1)
    return x0, y0, answer / rows_each


def _paint(view: View, light: Array, shape: Shape) -> None:
    camera = view.camera
    if shape.thick:
        _paint_thick(view, light, shape)
        return
    x0, y0, share = _coverage([view.px(dense(ring, 2.0)) for ring in shape.rings], (camera.width, camera.height))
    if share.size:
        seen = _textured(view, shape, (x0, y0), share.shape) if shape.look.ndim == 3 else _plain(shape, share.shape)
        part = light[y0 : y0 + share.shape[0], x0 : x0 + share.shape[1]]
        part += share[..., None] * (seen - part)


def _paint_thick(view: View, light: Array, shape: Shape) -> None:
    """Its upper side, and what is seen of its sides, darker: what is hidden by lower and upper rim and all between."""
    size = view.camera.width, view.camera.height
    upper = [view.px(dense(ring, 2.0), shape.thick) for ring in shape.rings]
    lower = [view.px(dense(ring, 2.0)) for ring in shape.rings]
    sides = [
        shapely.MultiPoint(np.stack([a[i - 1], a[i], b[i], b[i - 1]])).convex_hull
        for a, b in zip(lower, upper, strict=True)
        for i in range(len(a))
    ]
    hidden = shapely.union_all([shapely.Polygon(upper[0], upper[1:]), *sides], grid_size=1e-6)
    x0, y0, share = _coverage([np.array(ring.coords[:-1]) for ring in (hidden.exterior, *hidden.interiors)], size)
    left, low, above = _coverage(upper, size)
    over = np.zeros_like(share)
    over[low - y0 : low - y0 + above.shape[0], left - x0 : left - x0 + above.shape[1]] = above
    seen = _textured(view, shape, (x0, y0), share.shape) if shape.look.ndim == 3 else _plain(shape, share.shape)
    side = 0.6 * seen.mean(axis=(0, 1))
    part = light[y0 : y0 + share.shape[0], x0 : x0 + share.shape[1]]
    over = np.minimum(over, share)
    part += over[..., None] * seen + (share - over)[..., None] * side - share[..., None] * part


def _plain(shape: Shape, size: tuple[int, ...]) -> Array:
    rough = np.random.default_rng(int(abs(shape.rings[0][0, 0]) * 100)).standard_normal(size).astype(np.float32)
    return shape.look * (1 + 0.05 * cv2.GaussianBlur(rough, (0, 0), 1.0)[..., None])


def _textured(view: View, shape: Shape, corner: tuple[int, int], size: tuple[int, ...]) -> Array:
    """The texture in the picture, laid there mirrored at its ends so that it never jumps."""
    height, width = size
    at = np.stack(np.meshgrid(np.arange(0, width + 16, 16) + corner[0], np.arange(0, height + 16, 16) + corner[1]), -1)
    coarse = view.mm(at.astype(float)).astype(np.float32)
    fine = np.meshgrid(np.arange(width, dtype=np.float32) / 16, np.arange(height, dtype=np.float32) / 16)
    mm = cv2.remap(coarse, fine[0], fine[1], cv2.INTER_LINEAR)
    look, dots = shape.look.astype(np.float32), shape.look.shape[1] / shape.across
    most = view.focal / float(np.linalg.norm(view.eye))
    if dots > 1.3 * most:
        look = cv2.resize(look, None, fx=most / dots, fy=most / dots, interpolation=cv2.INTER_AREA)
        dots = look.shape[1] / shape.across
    spot = turned(mm.reshape(-1, 2) - np.array(shape.shift), shape.turn).reshape(height, width, 2) * dots
    u, v = (
        np.where(q % (2 * n) > n, 2 * n - q % (2 * n), q % (2 * n)).clip(0, n - 1).astype(np.float32)
        for q, n in ((spot[..., 0], look.shape[1]), (spot[..., 1], look.shape[0]))
    )
    return cv2.remap(look, u, v, cv2.INTER_LINEAR)


def _shade(view: View, light: Array, shape: Shape) -> None:
    """A soft darkening beside the edges of what is thick."""
    camera, pad = view.camera, 12
    if shape.height <= 0:
        return
    cast = np.asarray(shape.rings[0]) + np.array([0.8, -0.6]) * shape.height
    x0, y0, share = _coverage([view.px(dense(cast, 2.0))], (camera.width, camera.height), 2)
    share = cv2.copyMakeBorder(share, pad, pad, pad, pad, cv2.BORDER_CONSTANT, value=0)
    scale = view.focal / float(np.linalg.norm(view.eye))
    share = cv2.GaussianBlur(share, (0, 0), max(0.5, 0.5 * shape.height * scale))
    left, top = x0 - pad, y0 - pad
    xs, ys = slice(max(left, 0), left + share.shape[1]), slice(max(top, 0), top + share.shape[0])
    part = light[ys, xs]
    share = share[ys.start - top :, xs.start - left :][: part.shape[0], : part.shape[1]]
    part *= 1 - 0.45 * share[..., None]


def _card(mark: Mark) -> tuple[Shape, Shape]:
    """Its paper, and what is black on it; white cells are laid as holes by even-odd."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_ARUCO_MIP_36h12)
    white = cv2.aruco.generateImageMarker(dictionary, mark.number - 1, 8) > 0

    def placed(x0: float, y0: float, x1: float, y1: float) -> Array:
        corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]) * mark.scale
        return turned(corners, mark.turn) + np.array([mark.x, mark.y])

    cell = 50 / 8
    cells = [
        placed(-25 + column * cell, 25 - (row + 1) * cell, -25 + (column + 1) * cell, 25 - row * cell)
        for row, column in zip(*np.nonzero(~white), strict=True)
    ]
    ink = np.array([0.03, 0.03, 0.03])
    paper = Shape((placed(-33, -33, 33, 33),), np.array([0.8, 0.8, 0.8]), height=0.2)
    return paper, Shape(tuple(cells), ink, height=0.0)


def render(mat: Mat, camera: Camera) -> tuple[Array, View]:
    """The picture, blue-green-red, and the view that knows the truth."""
    view, rng = View(camera, mat.size), np.random.default_rng(mat.seed)
    light = _ground(mat, view, rng)
    for shape in (*mat.shapes, *(part for mark in mat.cards for part in _card(mark))):
        _shade(view, light, shape)
        _paint(view, light, shape)
    light *= _lamp(mat, camera)[..., None] * _tint(mat, camera) * mat.exposure
    if mat.smear:
        line = np.ones((1, max(1, round(mat.smear))), np.float32)
        light = cv2.filter2D(light, -1, line / line.size)
    light = cv2.GaussianBlur(light, (0, 0), mat.blur) if mat.blur else light
    return _developed(mat, light, rng), view


def _ground(mat: Mat, view: View, rng: np.random.Generator) -> Array:
    height, width = view.camera.height, view.camera.width
    light = np.empty((height, width, 3), np.float32)
    light[:] = mat.table
    wood = cv2.resize(rng.standard_normal((height // 40, width // 6)).astype(np.float32), (width, height))
    light *= (1 + 0.1 * wood)[..., None].clip(0.4, 1.6)
    cloth = np.empty_like(light)
    cloth[:] = mat.ground
    folds = cv2.resize(rng.standard_normal((height // 300 + 2, width // 300 + 2)).astype(np.float32), (width, height))
    fine = cv2.resize(rng.standard_normal((height // 3 + 1, width // 3 + 1)).astype(np.float32), (width, height))
    cloth *= (1 + 0.05 * fine + 0.07 * folds)[..., None].clip(0.3, 1.7)
    half = np.array(mat.size) / 2
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half
    x0, y0, share = _coverage([view.px(dense(corners, 5.0))], (width, height), 2)
    part = light[y0 : y0 + share.shape[0], x0 : x0 + share.shape[1]]
    part += share[..., None] * (cloth[y0 : y0 + share.shape[0], x0 : x0 + share.shape[1]] - part)
    return light


def _across(camera: Camera) -> tuple[Array, Array]:
    y, x = np.mgrid[0 : camera.height : 20, 0 : camera.width : 20].astype(np.float32)
    return (x - camera.width / 2) / camera.width, (y - camera.height / 2) / camera.width


def _lamp(mat: Mat, camera: Camera) -> Array:
    u, v = _across(camera)
    angle = np.radians(mat.light[1])
    light = 1 - mat.light[0] * (0.5 + np.cos(angle) * u + np.sin(angle) * v)
    light *= 1 - mat.vignette * 2 * (u * u + v * v)
    past = (np.cos(angle + 2) * u + np.sin(angle + 2) * v - 0.05) / 0.03
    light *= 1 - mat.phone / (1 + np.exp(-past))
    return cv2.resize(light.astype(np.float32), (camera.width, camera.height))


def _tint(mat: Mat, camera: Camera) -> Array:
    u, _ = _across(camera)
    tint = np.stack([1 + mat.warmth * (1 - 2 * u), np.ones_like(u), 1 - mat.warmth * (1 + 2 * u)], axis=-1)
    return cv2.resize(tint.astype(np.float32), (camera.width, camera.height))


def _developed(mat: Mat, light: Array, rng: np.random.Generator) -> Array:
    seen = np.empty(light.shape[:2], np.float32)
    for row, column, colour in ((0, 0, 0), (0, 1, 1), (1, 0, 1), (1, 1, 2)):
        seen[row::2, column::2] = light[row::2, column::2, colour]
    seen += rng.standard_normal(seen.shape).astype(np.float32) * mat.noise * 1.3 * np.sqrt(0.15 + seen.clip(0, 1))
    raw = (seen.clip(0, 1) * 60_000 + 2_000).astype(np.uint16)
    full = (cv2.demosaicing(raw, cv2.COLOR_BayerRGGB2BGR_EA).astype(np.float32) - 2_000) / 60_000
    full = full.clip(0, 1)
    stored = np.where(full <= 0.0031308, full * 12.92, 1.055 * full ** (1 / 2.4) - 0.055) * 255
    stored += mat.sharpen * (stored - cv2.GaussianBlur(stored, (0, 0), 1.2))
    return stored.round().clip(0, 255).astype(np.uint8)


def as_jpeg(pixels: Array, quality: int) -> bytes:
    """As a phone saves it, colour halved both ways."""
    how = [cv2.IMWRITE_JPEG_QUALITY, quality, cv2.IMWRITE_JPEG_SAMPLING_FACTOR, cv2.IMWRITE_JPEG_SAMPLING_FACTOR_420]
    return bytes(cv2.imencode(".jpg", pixels, how)[1])
