"""A renderer of invented scenes: scraps between marker cards on a coloured ground, as a phone camera would see them.

It knows nothing of how pictures are read: a pinhole camera with a bending lens (Brown's radial terms), light that falls
off, a shadow, noise and JPEG. Outlines are what it was told to draw, so they are the truth. All in mm, y up.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Texture = Callable[[Floats, Floats], Floats]
"""From x and y in mm (of the scrap's own) to red, green, blue in linear light, stacked last."""

MARKER_MM = 50.0
CARD_MM = 66.0


@dataclass(frozen=True)
class Camera:
    """`slant_deg` from straight above, seen from the direction `from_deg`; the picture turned by `roll_deg`."""

    width_px: int = 1600
    height_px: int = 1200
    slant_deg: float = 15.0
    from_deg: float = 40.0
    roll_deg: float = 0.0
    focal: float = 0.78
    k1: float = -0.08
    k2: float = 0.02
    fill: float = 0.9

    def to_plane(self, px: Floats, mat: tuple[float, float]) -> Floats:
        """Where on the mat a pixel looks. Shape (..., 2)."""
        f = self.focal * self.width_px
        bent = (px - np.array([(self.width_px - 1) / 2, (self.height_px - 1) / 2])) / f
        ray = bent.copy()
        for _ in range(12):  # the lens bends straight rays; find the one that ends at this pixel
            r2 = (ray**2).sum(axis=-1, keepdims=True)
            ray = bent / (1 + self.k1 * r2 + self.k2 * r2 * r2)
        rays = np.stack([ray[..., 0], -ray[..., 1], -np.ones(ray.shape[:-1])], axis=-1)  # x right, y up, looks down
        turn = self._turn()
        rays = rays @ turn.T
        eye = turn @ np.array([0.0, 0.0, self._distance(mat)])
        return rays[..., :2] * (-eye[2] / rays[..., 2])[..., None] + eye[:2]

    def _distance(self, mat: tuple[float, float]) -> float:
        across = max(mat[0], mat[1] * self.width_px / self.height_px)
        return self.focal * across / self.fill * (1 + 0.45 * np.sin(np.radians(self.slant_deg)))

    def _turn(self) -> Floats:
        def about(axis: int, deg: float) -> Floats:
            c, s = np.cos(np.radians(deg)), np.sin(np.radians(deg))
            i, j = [(1, 2), (2, 0), (0, 1)][axis]
            m = np.eye(3)
            m[i, i] = m[j, j] = c
            m[i, j], m[j, i] = -s, s
            return m

        lean = about(2, self.from_deg) @ about(0, self.slant_deg) @ about(2, -self.from_deg)
        return np.asarray(lean @ about(2, self.roll_deg))


@dataclass(frozen=True)
class Card:
    """A marker card: its number, its middle, how it is turned, how large it was printed."""

    number: int
    x: float
    y: float
    turn_deg: float = 0.0
    scale: float = 1.0


@dataclass(frozen=True)
class Patch:
    """Something flat on the mat: an outline with holes and what it looks like."""

    outer: Floats
    texture: Texture
    holes: tuple[Floats, ...] = ()


@dataclass(frozen=True)
class Scene:
    """What lies on the mat. `over`: patches on top of the cards, as a scrap over a corner of one."""

    patches: Sequence[Patch]
    cards: Sequence[Card]
    mat: tuple[float, float] = (640.0, 480.0)
    ground: tuple[float, float, float] = (0.55, 0.02, 0.30)
    over: Sequence[Patch] = ()
    table: tuple[float, float, float] = (0.32, 0.22, 0.14)
    falloff: float = 0.35
    shadow: float = 0.45
    noise: float = 2.0
    blur_px: float = 0.7
    jpeg: int = 90
    gamma: float = 1.0
    seed: int = 1
    rough: float = 0.08


def ring_of_cards(mat: tuple[float, float], *, count: int = 8, seed: int = 3) -> list[Card]:
    """Cards round the edge, laid by hand: a little askew."""
    rng = np.random.default_rng(seed)
    w, h = mat[0] / 2 - 45, mat[1] / 2 - 45
    spots = [(-w, h), (w, h), (w, -h), (-w, -h), (0, h), (0, -h), (w, 0), (-w, 0)][:count]
    return [
        Card(i + 1, x + rng.uniform(-4, 4), y + rng.uniform(-4, 4), rng.choice([0, 90, 180, 270]) + rng.uniform(-9, 9))
        for i, (x, y) in enumerate(spots)
    ]


def inside(ring: Floats, x: Floats, y: Floats) -> npt.NDArray[np.bool_]:
    """Which places of a raster (rows of one y, columns of one x) lie inside, by counting crossings."""
    answer = np.zeros((len(y), len(x)), dtype=bool)
    x0, y0 = ring[:, 0], ring[:, 1]
    x1, y1 = np.roll(x0, -1), np.roll(y0, -1)
    for row, at in enumerate(y):
        hit = (y0 <= at) != (y1 <= at)
        if hit.any():
            cut = np.sort(x0[hit] + (at - y0[hit]) / (y1[hit] - y0[hit]) * (x1[hit] - x0[hit]))
            answer[row] = np.searchsorted(cut, x) % 2 == 1
    return answer


class _Board:
    """The mat from above in linear light, many dots to the mm."""

    def __init__(self, scene: Scene, dots: float) -> None:
        self.dots, self.margin = dots, 60.0
        self.low = np.array([-scene.mat[0] / 2 - self.margin, -scene.mat[1] / 2 - self.margin])
        size = [round((side + 2 * self.margin) * dots) for side in scene.mat]
        self.x = self.low[0] + (np.arange(size[0]) + 0.5) / dots
        self.y = self.low[1] + (np.arange(size[1]) + 0.5) / dots
        rng = np.random.default_rng(scene.seed)
        grain = cv2.resize(rng.standard_normal((size[1] // 4, size[0] // 4), dtype=np.float32), (size[0], size[1]))
        self.light = np.array(scene.ground, dtype=np.float32) * (1 + scene.rough * grain).clip(0.3, 2)[..., None]
        self.light[:, np.abs(self.x) > scene.mat[0] / 2] = np.array(scene.table, dtype=np.float32)
        self.light[np.abs(self.y) > scene.mat[1] / 2] = np.array(scene.table, dtype=np.float32)
        for patch in scene.patches:
            self.lay(patch)
        for card in scene.cards:
            self._lay_card(card)
        for patch in scene.over:
            self.lay(patch)

    def lay(self, patch: Patch) -> None:
        columns, rows = self._window(patch.outer)
        x, y = self.x[columns], self.y[rows]
        mask = inside(patch.outer, x, y)
        for hole in patch.holes:
            mask &= ~inside(hole, x, y)
        self.light[rows, columns][mask] = patch.texture(*np.meshgrid(x, y))[mask]

    def _lay_card(self, card: Card) -> None:
        c, s = np.cos(np.radians(card.turn_deg)), np.sin(np.radians(card.turn_deg))
        turn = np.array([[c, -s], [s, c]])
        half = CARD_MM / 2 * card.scale
        corners = np.array([[-half, -half], [half, -half], [half, half], [-half, half]]) @ turn.T + [card.x, card.y]
        dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_ARUCO_MIP_36h12)
        cells = cv2.aruco.generateImageMarker(dictionary, card.number - 1, 8) > 0

        def printed(x: Floats, y: Floats) -> Floats:
            local = np.stack([x - card.x, y - card.y], axis=-1) @ turn / (MARKER_MM * card.scale)
            column = np.floor((local[..., 0] + 0.5) * 8).astype(int)
            row = np.floor((0.5 - local[..., 1]) * 8).astype(int)
            on = (column >= 0) & (column < 8) & (row >= 0) & (row < 8)
            white = np.where(on, cells[row.clip(0, 7), column.clip(0, 7)], True)
            return np.where(white[..., None], 0.82, 0.04) * np.ones(3)

        self.lay(Patch(corners, printed))

    def _window(self, ring: Floats) -> tuple[slice, slice]:
        low = np.floor((ring.min(axis=0) - self.low) * self.dots).astype(int).clip(0)
        high = np.ceil((ring.max(axis=0) - self.low) * self.dots).astype(int) + 1
        return slice(low[0], high[0]), slice(low[1], high[1])


def render(scene: Scene, camera: Camera, *, over: int = 2, dots: float = 6.0) -> npt.NDArray[np.uint8]:
    """The picture, blue-green-red. Each pixel is the mean of `over` x `over` rays."""
    board = _Board(scene, dots)
    rows = []
    strip = 200
    for top in range(0, camera.height_px, strip):
        high = min(camera.height_px, top + strip)
        mm = _looks(scene, camera, (top, high), over)
        at = (mm - board.low.astype(np.float32)) * np.float32(board.dots) - np.float32(0.5)
        seen = cv2.remap(board.light, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        lit = cv2.resize(_lit(scene, mm[::over, ::over]), (seen.shape[1], seen.shape[0]))
        rows.append(cv2.resize(seen * lit[..., None], (camera.width_px, high - top), interpolation=cv2.INTER_AREA))
    light = np.concatenate(rows).astype(np.float32)
    if scene.blur_px:
        light = np.asarray(cv2.GaussianBlur(light, (0, 0), scene.blur_px), dtype=np.float32)
    return _developed(scene, light)


def _looks(scene: Scene, camera: Camera, rows: tuple[int, int], over: int) -> npt.NDArray[np.float32]:
    """Where each ray of a strip of the picture meets the mat: worked out for every 16th ray, straight between them."""
    every = 16
    size = camera.width_px * over, (rows[1] - rows[0]) * over
    x = (np.arange(0, size[0] + every, every) + 0.5) / over - 0.5
    y = (rows[0] * over + np.arange(0, size[1] + every, every) + 0.5) / over - 0.5
    coarse = camera.to_plane(np.stack(np.meshgrid(x, y), axis=-1), scene.mat).astype(np.float32)
    at = np.meshgrid(np.arange(size[0], dtype=np.float32) / every, np.arange(size[1], dtype=np.float32) / every)
    return np.asarray(cv2.remap(coarse, at[0], at[1], cv2.INTER_LINEAR), dtype=np.float32)


def _lit(scene: Scene, mm: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
    """Light that falls off to one side, and a soft shadow across a corner."""
    slope = 1 - scene.falloff * (mm[..., 0] / scene.mat[0] + 0.5).clip(-0.3, 1.3)
    edge = (mm[..., 0] * 0.6 + mm[..., 1] * 0.8 - 0.12 * scene.mat[0]) / 25.0
    return np.asarray(slope * (1 - scene.shadow / (1 + np.exp(-edge))), dtype=np.float32)


def _developed(scene: Scene, light: npt.NDArray[np.float32]) -> npt.NDArray[np.uint8]:
    curved = light.clip(0, 1) ** scene.gamma
    stored = np.where(curved <= 0.0031308, curved * 12.92, 1.055 * curved ** (1 / 2.4) - 0.055) * 255
    rng = np.random.default_rng(scene.seed)
    stored += scene.noise * rng.standard_normal(stored.shape, dtype=np.float32)
    return np.ascontiguousarray(stored[..., ::-1].round().clip(0, 255).astype(np.uint8))


def as_jpeg(pixels: npt.NDArray[np.uint8], quality: int = 90) -> bytes:
    """As a phone saves it."""
    return bytes(cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, quality])[1])


def photo(scene: Scene, camera: Camera, **how: float) -> bytes:
    """The picture of a scene as a JPEG file."""
    return as_jpeg(render(scene, camera, over=int(how.get("over", 2)), dots=how.get("dots", 6.0)), scene.jpeg)


# What scraps look like. Colours are invented.


def plain(red: float, green: float, blue: float, *, weave: float = 0.06) -> Texture:
    """One colour with a little weave."""

    def seen(x: Floats, y: Floats) -> Floats:
        threads = 1 + weave * np.sin(x * 7.3) * np.sin(y * 6.1)
        return threads[..., None] * np.array([red, green, blue])

    return seen


def dotted(ground: tuple[float, float, float], dot: tuple[float, float, float], pitch: float = 9.0) -> Texture:
    """Dots on a ground."""

    def seen(x: Floats, y: Floats) -> Floats:
        u, v = (x / pitch) % 1 - 0.5, (y / pitch) % 1 - 0.5
        return np.where((u * u + v * v < 0.09)[..., None], dot, ground)

    return seen


def striped(one: tuple[float, float, float], other: tuple[float, float, float], pitch: float = 7.0) -> Texture:
    """Stripes aslant."""

    def seen(x: Floats, y: Floats) -> Floats:
        return np.where((((x + 0.4 * y) / pitch) % 1 < 0.5)[..., None], one, other)

    return seen


def pictured(picture: npt.NDArray[np.uint8], mm_across: float) -> Texture:
    """A picture (blue-green-red, stored as sRGB) as cloth, so many mm across, repeated."""
    stored = picture[..., ::-1] / 255.0
    linear = np.where(stored <= 0.04045, stored / 12.92, ((stored + 0.055) / 1.055) ** 2.4)

    def seen(x: Floats, y: Floats) -> Floats:
        h, w = linear.shape[:2]
        scale = w / mm_across
        return np.asarray(linear[(y * scale).astype(int) % h, (x * scale).astype(int) % w])

    return seen


# Outlines.


def turned(ring: Sequence[tuple[float, float]] | Floats, deg: float, x: float, y: float) -> Floats:
    """Turned about the origin, then shifted."""
    c, s = np.cos(np.radians(deg)), np.sin(np.radians(deg))
    return np.asarray(np.asarray(ring, dtype=float) @ np.array([[c, s], [-s, c]]) + [x, y])


def box(width: float, height: float, deg: float, x: float, y: float) -> Floats:
    """A rectangle about a middle."""
    w, h = width / 2, height / 2
    return turned([(-w, -h), (w, -h), (w, h), (-w, h)], deg, x, y)


def circle(radius: float, x: float, y: float, *, corners: int = 240) -> Floats:
    """A circle."""
    t = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    return np.stack([x + radius * np.cos(t), y + radius * np.sin(t)], axis=1)


def wavy(radius: float, waves: int, depth: float, x: float, y: float, *, corners: int = 360) -> Floats:
    """A round shape with waves."""
    t = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    r = radius * (1 + depth * np.cos(waves * t))
    return np.stack([x + r * np.cos(t), y + r * np.sin(t)], axis=1)
