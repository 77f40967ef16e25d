"""The flat ground in a picture: from pixels to mm and back, bent lines of the lens included."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
PARAMETERS = 7


@dataclass(frozen=True, slots=True)
class Plane:
    """How a picture of a flat ground maps to mm: x to the right in the middle of the picture, y up.

    With u = (pixel - centre) / unit, r = |u| and v = u (1 + k1 r^2 + k2 r^4), the place in mm is
    (a v_x + b v_y, -d v_y) / (1 + p v_x + q v_y); `values` holds a, b, d, p, q, k1, k2. Assumes a lens whose middle is
    the middle of the picture (not cropped) and bends lines only towards or away from it.
    """

    centre_px: tuple[float, float]
    unit_px: float
    values: tuple[float, ...]

    def to_mm(self, at_px: Floats) -> Floats:
        """Places in mm of pixels, both of shape (..., 2)."""
        return mm_of(np.array(self.values), (at_px - np.array(self.centre_px)) / self.unit_px)

    def to_px(self, at_mm: Floats) -> Floats:
        """Pixels of places in mm, both of shape (..., 2)."""
        a, b, d, p, q, k1, k2 = self.values
        x, y = at_mm[..., 0], at_mm[..., 1]
        # (a - x p) vx + (b - x q) vy = x;  (-y p) vx + (-d - y q) vy = y
        one, two, three, four = a - x * p, b - x * q, -y * p, -d - y * q
        whole = one * four - two * three
        straight = np.stack([(x * four - two * y) / whole, (one * y - three * x) / whole], axis=-1)
        far = np.hypot(straight[..., 0], straight[..., 1])
        r = far.copy()
        for _ in range(8):
            r2 = r * r
            slope = np.maximum(1 + 3 * k1 * r2 + 5 * k2 * r2 * r2, 0.2)
            step = (r * (1 + k1 * r2 + k2 * r2 * r2) - far) / slope
            r = r - step
            if not np.any(np.abs(step) > 1e-13):
                break
        bent = straight * np.divide(r, far, out=np.ones_like(r), where=far > 1e-12)[..., None]
        return np.asarray(bent * self.unit_px + np.array(self.centre_px), dtype=np.float64)

    def to_px_all_over(self, low_mm: Floats, size: tuple[int, int], step_mm: float) -> npt.NDArray[np.float32]:
        """Pixels of a net of places, columns and rows (`size`) `step_mm` apart from `low_mm` on, (rows, columns, 2).

        Reckoned for every eighth and evenly between them: with steps up to 0.5 mm that is off by 0.05 pixels at most.
        """
        columns, rows = (8 * np.arange((count - 1) // 8 + 2) for count in size)
        nodes = self.to_px(low_mm + step_mm * np.stack(np.meshgrid(columns, rows), axis=-1)).astype(np.float32)
        eighth = np.array([[0.125, 0.0, 0.0], [0.0, 0.125, 0.0]])
        between = cv2.warpAffine(nodes, eighth, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
        return np.asarray(between, dtype=np.float32)

    def px_per_mm(self, at_mm: Floats) -> float:
        """About how many pixels a mm takes there (shape (2,))."""
        step = 0.5 * np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]])
        ends = self.to_px(at_mm + step)
        return float(np.hypot(*(ends[0] - ends[1])) + np.hypot(*(ends[2] - ends[3]))) / 2


def mm_of(values: Floats, u: Floats) -> Floats:
    """The formula of `Plane`."""
    a, b, d, p, q, k1, k2 = values[:PARAMETERS]
    r2 = (u * u).sum(axis=-1)
    v = u * (1 + k1 * r2 + k2 * r2 * r2)[..., None]
    depth = 1 + p * v[..., 0] + q * v[..., 1]
    return np.stack([(a * v[..., 0] + b * v[..., 1]) / depth, -d * v[..., 1] / depth], axis=-1)


def slopes_of(values: Floats, u: Floats) -> tuple[Floats, Floats]:
    """The places of `mm_of` and how they change with each of the values, (2, n) and (values, 2, n), for `u` (n, 2)."""
    a, b, d, p, q, k1, k2 = values[:PARAMETERS]
    r2 = (u * u).sum(axis=1)
    x, y = u.T
    vx, vy = (1 + k1 * r2 + k2 * r2 * r2) * np.stack([x, y])
    depth = 1 + p * vx + q * vy
    sx, sy = vx / depth, vy / depth
    at = np.stack([a * sx + b * sy, -d * sy])
    bend = np.stack([(a * x + b * y), -d * y]) / depth - at * ((p * x + q * y) / depth)
    none = np.zeros_like(sx)
    slopes = [[sx, none], [sy, none], [none, -sy], -at * sx, -at * sy, bend * r2, bend * r2 * r2]
    return at, np.array(slopes)


def plane_of_square(corners_u: Floats, square_mm: Floats) -> Floats:
    """The values of a `Plane` without bent lines that sees four corners as this square, somewhere. (4, 2) each."""
    rows = []
    for (u, v), (x, y) in zip(corners_u, square_mm, strict=True):
        rows.append([u, v, 1, 0, 0, 0, -x * u, -x * v])
        rows.append([0, 0, 0, u, v, 1, -y * u, -y * v])
    h = np.linalg.solve(np.array(rows), square_mm.ravel())
    fall = h[6:8]
    turned = np.array([h[0:2], h[3:5]]) - np.outer(h[[2, 5]], fall)
    _, upper = np.linalg.qr(turned)
    upper *= np.sign(upper[0, 0])  # a half turn
    return np.array([upper[0, 0], upper[0, 1], abs(upper[1, 1]), fall[0], fall[1], 0.0, 0.0])
