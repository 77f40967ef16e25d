"""What a picture shows across a line on a scrap: another cloth beyond it, or a thin line along it."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Final, Self

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.light import Floats
from bagwright.capture.picture import Pixels
from bagwright.capture.plane import Plane
from bagwright.geometry.curves import Point
from bagwright.model.found_outline import Ring

_PX_PER_MM: Final = 3.0
_MOST_PX: Final = 900
_REACH_MM: Final = 9.0
STEP_MM: Final = 0.25
_ENDS_MM: Final = (-0.8, 0.0, 0.8)
"""By so much either end of a line may be off."""
_WORTH_A_LOOK: Final = 0.3
_LEAST_CHANGE: Final = 7.0
_LEAST_LINE: Final = 4.0
_ALL_ALONG: Final = 0.8
_OTHER_CHANGES: Final = 1.6
"""A change of cloth must be so many times larger than any other change beside it, or it belongs to a print."""
_OTHER_LINES: Final = 3.0
"""A thin line must be so many times deeper than any other beside it, or it belongs to a print or a weave."""


@dataclass(frozen=True, slots=True)
class Flat:
    """A scrap seen from straight above: colours (lightness 0 to 255 and two of hue), and which pixels lie inside."""

    colours: npt.NDArray[np.float32]
    inside: npt.NDArray[np.uint8]
    low: Floats
    px_per_mm: float

    @classmethod
    def of(cls, pixels: Pixels, plane: Plane, outer: Ring) -> Self:
        """Cut out of the picture, y upwards."""
        ring = np.array(outer)
        low, size = ring.min(axis=0), np.ptp(ring, axis=0)
        scale = min(_PX_PER_MM, _MOST_PX / float(size.max()))
        width, height = (max(2, round(float(side) * scale)) for side in size)
        grid = np.stack(np.meshgrid(np.arange(width), np.arange(height)), axis=-1)
        at = plane.to_px(low + (grid + 0.5) / scale).astype(np.float32)
        seen = cv2.remap(pixels, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        inside = np.zeros((height, width), np.uint8)
        cv2.fillPoly(inside, [((ring - low) * scale - 0.5).round().astype(np.int32)], 1)
        inside = np.asarray(cv2.erode(inside, np.ones((7, 7), np.uint8), borderValue=0), dtype=np.uint8)
        return cls(np.asarray(cv2.cvtColor(seen, cv2.COLOR_BGR2LAB), dtype=np.float32), inside, low, scale)

    def mm_of(self, at_px: Floats) -> Floats:
        """Places in mm of its pixels."""
        return np.asarray(self.low + (at_px + 0.5) / self.px_per_mm)


@dataclass(frozen=True, slots=True)
class Evidence:
    """A line where something is seen, how strongly (1: just enough), and what."""

    start: Point
    end: Point
    strength: float
    sign: str


def look_across(flat: Flat, start: Point, end: Point) -> Evidence | None:
    """The best of all lines whose ends lie about there."""
    a, b = np.array(start), np.array(end)
    along = (b - a) / np.hypot(*(b - a))
    across = np.array([-along[1], along[0]])
    best: Evidence | None = None
    if max(_strength(flat, a + off * across, b + off * across)[0] for off in _ENDS_MM) < _WORTH_A_LOOK:
        return None
    for one, other in itertools.product(_ENDS_MM, _ENDS_MM):
        ends = a + one * across, b + other * across
        strength, sign = _strength(flat, *ends)
        if strength > (best.strength if best else 1.0):
            best = Evidence(
                (float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1])), strength, sign
            )
    return best


def _strength(flat: Flat, a: Floats, b: Floats) -> tuple[float, str]:
    length = float(np.hypot(*(b - a)))
    along = (b - a) / length
    count = min(80, max(8, int((length - 3.0) / 0.5)))
    spots = a + along * np.linspace(1.5, length - 1.5, count)[:, None]
    offsets = np.arange(-_REACH_MM, _REACH_MM + 0.01, STEP_MM)
    at = spots[:, None, :] + offsets[None, :, None] * np.array([-along[1], along[0]])
    at_px = ((at - flat.low) * flat.px_per_mm - 0.5).astype(np.float32)
    looks = cv2.remap(flat.colours, at_px[..., 0], at_px[..., 1], cv2.INTER_LINEAR).reshape(*at.shape[:2], 3)
    seen = np.asarray(looks, dtype=np.float64)
    held = cv2.remap(flat.inside, at_px[..., 0], at_px[..., 1], cv2.INTER_NEAREST).reshape(at.shape[:2]) > 0
    change, line = _change(seen, held, offsets), _thin_line(seen, held, offsets)
    return max((change, "another cloth beyond it"), (line, "a thin line"))


def _column_means(seen: Floats, held: npt.NDArray[np.bool_]) -> Floats:
    """Mean colour at each offset, NaN where too little of it lies inside."""
    counts = held.sum(axis=0)
    total = (seen * held[..., None]).sum(axis=0) / np.maximum(counts, 1)[:, None]
    total[counts < 0.4 * len(held)] = np.nan
    return np.asarray(total, dtype=np.float64)


def _change(seen: Floats, held: npt.NDArray[np.bool_], offsets: Floats) -> float:
    """How much more the colour changes at the line than anywhere beside it, if it does so all along."""
    steps = steps_of(_column_means(seen, held))
    at_line = steps[np.abs(offsets) < 0.3]
    beside = steps[(np.abs(offsets) > 2.2) & np.isfinite(steps)]
    if not np.isfinite(at_line).all() or len(beside) < 8:
        return 0.0
    left, right = (
        (seen * (held & zone)[..., None]).sum(axis=1) / np.maximum((held & zone).sum(axis=1), 1)[:, None]
        for zone in ((offsets < -0.4) & (offsets > -3.0), (offsets > 0.4) & (offsets < 3.0))
    )
    step = right.mean(axis=0) - left.mean(axis=0)
    if float(((right - left) @ step > 0.3 * step @ step).mean()) < _ALL_ALONG:
        return 0.0
    change = float(at_line.max())
    return min(change / _LEAST_CHANGE, change / (_OTHER_CHANGES * max(float(beside.max()), 1.0)))


def steps_of(means: Floats) -> Floats:
    """How much the mean colours just after each place differ from those just before; `means` at steps of `STEP_MM`."""
    half, gap = round(1.5 / STEP_MM), 1
    sums = np.cumsum(np.concatenate([np.zeros((1, means.shape[1])), means]), axis=0)
    steps = np.full(len(means), np.nan)
    at = np.arange(half + gap, len(means) - half - gap)
    after = (sums[at + gap + half] - sums[at + gap]) / half
    before = (sums[at - gap + 1] - sums[at - gap + 1 - half]) / half
    steps[at] = np.linalg.norm(after - before, axis=1)
    return steps


def _thin_line(seen: Floats, held: npt.NDArray[np.bool_], offsets: Floats) -> float:
    """How much deeper a dark or light line lies there than any other line beside it."""
    light = _column_means(seen, held)[:, 0]
    dips = dips_of(light)
    at_line = dips[np.abs(offsets) < 0.3]
    beside = dips[(np.abs(offsets) > 2.0) & np.isfinite(dips)]
    if not np.isfinite(at_line).all() or len(beside) < 8:
        return 0.0
    others = max(float(beside.max()), 0.5)
    depth = float(at_line.max())
    return min(depth / _LEAST_LINE, depth / (_OTHER_LINES * others))


def dips_of(light: Floats) -> Floats:
    """How much darker or lighter each place is than both of its sides; `light` at steps of `STEP_MM`."""
    gap = round(1.25 / STEP_MM)
    dips = np.full(len(light), np.nan)
    before, here, after = light[: -2 * gap], light[gap:-gap], light[2 * gap :]
    dips[gap:-gap] = np.maximum(np.minimum(before, after) - here, here - np.maximum(before, after))
    return dips
