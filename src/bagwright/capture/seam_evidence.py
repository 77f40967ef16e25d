"""What a picture shows across a line on a scrap: another cloth beyond it, or a thin line along it."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Final, Self

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.light import Floats, median_of
from bagwright.capture.picture import Pixels
from bagwright.capture.plane import Plane
from bagwright.geometry.curves import Point
from bagwright.model.found_outline import Ring

_PX_PER_MM: Final = 3.0
_MOST_PX: Final = 900
_ROUND_MM: Final = 4.0
_REACH_MM: Final = 12.0
STEP_MM: Final = 0.25
_BESIDE: Final = round(1.25 / STEP_MM)
_ENDS_MM: Final = (-1.2, -0.4, 0.4, 1.2)
"""By so much either end of a line may be off."""
_WORTH_A_LOOK: Final = 0.3
_LEAST_CHANGE: Final = 10.0
_LEAST_LINE: Final = 4.0
_ALL_ALONG: Final = 0.8
_OTHER_CHANGES: Final = 2.5
"""A change of cloth must be so many times larger than any other change beside it, or it belongs to a print."""
_OTHER_LINES: Final = 4.0
"""A dark line must be so many times deeper than any other beside it, or it belongs to a print or a weave."""
_OTHER_GAPS: Final = 2.5
"""Likewise a line of the colour of the ground, which prints seldom hold."""
_TOWARDS_GROUND: Final = 0.75
"""The least cosine between how a line differs from its sides and how the ground does, if it is of its colour."""
_STRETCHES: Final = 8
_SHARE_OF_STRETCHES: Final = (0.7, 0.85)
"""In so many of eight stretches a line of the ground's colour, and a dark one, must show: lines of prints break off."""
_DARKER: Final = np.array([-1.0, 0.0, 0.0])
_MOST_SPOTS: Final = 48


@dataclass(frozen=True, slots=True)
class Flat:
    """A scrap seen from straight above: colours (lightness 0 to 255 and two of hue), and which pixels lie inside.

    `ground`: the colour round it.
    """

    colours: npt.NDArray[np.float32]
    inside: npt.NDArray[np.uint8]
    low: Floats
    px_per_mm: float
    ground: Floats

    @classmethod
    def of(cls, pixels: Pixels, plane: Plane, outer: Ring) -> Self:
        """Cut out of the picture, y upwards."""
        ring = np.array(outer)
        low, size = ring.min(axis=0) - _ROUND_MM, np.ptp(ring, axis=0) + 2 * _ROUND_MM
        scale = min(_PX_PER_MM, _MOST_PX / float(size.max()))
        width, height = (max(2, round(float(side) * scale)) for side in size)
        at = plane.to_px_all_over(low + 0.5 / scale, (width, height), 1 / scale)
        seen = cv2.remap(pixels, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        colours = np.asarray(cv2.cvtColor(seen, cv2.COLOR_BGR2LAB), dtype=np.uint8)
        whole = np.zeros((height, width), np.uint8)
        cv2.fillPoly(whole, [((ring - low) * scale - 0.5).round().astype(np.int32)], 1)
        kernel = np.ones((7, 7), np.uint8)
        inside = np.asarray(cv2.erode(whole, kernel, borderValue=0), dtype=np.uint8)
        ground = median_of(colours, np.asarray(cv2.dilate(whole, kernel) == 0))
        return cls(colours.astype(np.float32), inside, low, scale, ground)

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


def look_across(flat: Flat, start: Point, end: Point, *, for_change: bool = True) -> Evidence | None:
    """The best of all lines whose ends lie about there; `for_change`: a change of cloth counts, not only a line."""
    a, b = np.array(start), np.array(end)
    along = (b - a) / np.hypot(*(b - a))
    across = np.array([-along[1], along[0]])
    best: Evidence | None = None
    along_it = {off: _strength(flat, a + off * across, b + off * across, for_change) for off in _ENDS_MM}
    if max(strength for strength, _ in along_it.values()) < _WORTH_A_LOOK:
        return None
    for one, other in itertools.product(_ENDS_MM, _ENDS_MM):
        ends = a + one * across, b + other * across
        strength, sign = along_it[one] if one == other else _strength(flat, *ends, for_change)
        if strength > (best.strength if best else 1.0):
            best = Evidence(
                (float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1])), strength, sign
            )
    return best


def _strength(flat: Flat, a: Floats, b: Floats, for_change: bool) -> tuple[float, str]:
    length = float(np.hypot(*(b - a)))
    along = (b - a) / length
    count = min(_MOST_SPOTS, max(_STRETCHES, int((length - 3.0) / 0.5)))
    spots = a + along * np.linspace(1.5, length - 1.5, count)[:, None]
    offsets = np.arange(-_REACH_MM, _REACH_MM + 0.01, STEP_MM)
    at = spots[:, None, :] + offsets[None, :, None] * np.array([-along[1], along[0]])
    at_px = ((at - flat.low) * flat.px_per_mm - 0.5).astype(np.float32)
    seen = cv2.remap(flat.colours, at_px[..., 0], at_px[..., 1], cv2.INTER_LINEAR).reshape(*at.shape[:2], 3)
    held = cv2.remap(flat.inside, at_px[..., 0], at_px[..., 1], cv2.INTER_NEAREST).reshape(at.shape[:2]) > 0
    looks = _Looks(np.asarray(seen, dtype=np.float32), held, offsets, _column_means(seen, held))
    change = _change(looks) if for_change else 0.0
    return max((change, "another cloth beyond it"), (_thin_line(looks, flat.ground), "a thin line"))


@dataclass(frozen=True, slots=True)
class _Looks:
    """Colours by place along a line and by offset across it, which of them lie inside, and their means by offset."""

    seen: npt.NDArray[np.float32]
    held: npt.NDArray[np.bool_]
    offsets: Floats
    means: Floats


def _column_means(seen: npt.NDArray[np.floating | np.integer], held: npt.NDArray[np.bool_]) -> Floats:
    """Mean colour at each offset, NaN where too little of it lies inside."""
    counts = held.sum(axis=0)
    total = np.einsum("ijk,ij->jk", seen, held, dtype=np.float64) / np.maximum(counts, 1)[:, None]
    total[counts < 0.4 * len(held)] = np.nan
    return np.asarray(total, dtype=np.float64)


def _change(looks: _Looks) -> float:
    """How much more the colour changes at the line than anywhere beside it, if it does so all along."""
    steps, offsets = steps_of(looks.means), looks.offsets
    at_line = steps[np.abs(offsets) < 0.3]
    beside = steps[(np.abs(offsets) > 2.2) & np.isfinite(steps)]
    if not np.isfinite(at_line).all() or len(beside) < 8:
        return 0.0
    change = float(at_line.max())
    clear = min(change / _LEAST_CHANGE, change / (_OTHER_CHANGES * max(float(beside.max()), 1.0)))
    return clear if clear > _WORTH_A_LOOK and _changes_all_along(looks) else 0.0


def _changes_all_along(looks: _Looks) -> bool:
    left, right = (
        np.einsum("ijk,ij->ik", looks.seen[:, zone], looks.held[:, zone])
        / np.maximum(looks.held[:, zone].sum(axis=1), 1)[:, None]
        for zone in (
            (looks.offsets < -0.4) & (looks.offsets > -3.0),
            (looks.offsets > 0.4) & (looks.offsets < 3.0),
        )
    )
    step = right.mean(axis=0) - left.mean(axis=0)
    return float(((right - left) @ step > 0.3 * step @ step).mean()) >= _ALL_ALONG


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


def _thin_line(looks: _Looks, ground: Floats) -> float:
    """How clear a line of the ground's colour, or a dark one, lies there: nearly all along, and none like it beside."""
    before, after = _sides(looks.means)
    way = ground - (before + after) / 2
    way /= np.maximum(np.linalg.norm(way, axis=1), 1e-6)[:, None]
    off = looks.means - (before + after) / 2
    towards = np.minimum(((looks.means - before) * way).sum(axis=1), ((looks.means - after) * way).sum(axis=1))
    dark = np.minimum(before[:, 0], after[:, 0]) - looks.means[:, 0]
    is_ground = towards > _TOWARDS_GROUND * np.linalg.norm(off, axis=1)
    here = np.abs(looks.offsets) < 0.3
    beside = (np.abs(looks.offsets) > 2.0) & np.isfinite(dark)
    if not np.isfinite(dark[here]).all() or beside.sum() < 8:
        return 0.0
    at = int(np.where(here, towards, -np.inf).argmax())
    best = 0.0
    if is_ground[at]:
        best = _clear(looks, (at, way[at], towards), beside, _OTHER_GAPS, _SHARE_OF_STRETCHES[0])
    at = int(np.where(here, dark, -np.inf).argmax())
    return max(best, _clear(looks, (at, _DARKER, dark), beside, _OTHER_LINES, _SHARE_OF_STRETCHES[1]))


def _clear(
    looks: _Looks, line: tuple[int, Floats, Floats], beside: npt.NDArray[np.bool_], others: float, least_share: float
) -> float:
    """How clear a line (its offset, the axis of colour it shows along, depths by offset) is; 0 if it breaks off."""
    at, axis, depths = line
    clear = float(min(depths[at] / _LEAST_LINE, depths[at] / (others * max(float(depths[beside].max()), 0.5))))
    if clear <= _WORTH_A_LOOK:
        return 0.0
    off = (looks.seen[:, at] - (looks.seen[:, at - _BESIDE] + looks.seen[:, at + _BESIDE]) / 2) @ axis
    shown = np.mean([part.mean() > 0.35 * depths[at] for part in np.array_split(off, _STRETCHES)])
    return clear if shown >= least_share else 0.0


def _sides(means: Floats) -> tuple[Floats, Floats]:
    """What lies on either side of each place; NaN at the ends."""
    before, after = np.full_like(means, np.nan), np.full_like(means, np.nan)
    before[_BESIDE:], after[:-_BESIDE] = means[:-_BESIDE], means[_BESIDE:]
    return before, after
