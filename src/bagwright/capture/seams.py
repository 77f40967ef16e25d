"""Where one outline may be two scraps that lie edge to edge: a line across it, from how it looks and how it is shaped.

A seam between two scraps is straight, or nearly, and is told by a change of cloth across it, by a thin dark or light
line along it, or by two inner corners whose joining line leaves two plain shapes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np

from bagwright.capture.light import Floats
from bagwright.capture.picture import Pixels
from bagwright.capture.plane import Plane
from bagwright.capture.seam_evidence import STEP_MM, Flat, look_across, steps_of
from bagwright.capture.seam_lines import lines_of_ground
from bagwright.geometry.curves import Point
from bagwright.geometry.parting import parted_along
from bagwright.geometry.region import Region
from bagwright.model.found_outline import Ring, Touch

_LEAST_PART_MM2: Final = 250.0
_LEAST_SEAM_MM: Final = 12.0
_INNER_CORNER_DEG: Final = 25.0
_PLAIN_SHARE: Final = 0.965
"""A part that fills as much of its hull is a plain shape: common for scraps, from experience, no source."""
_ODD_SHARE: Final = 0.93
_MOST_LINES: Final = 16
_MOST_CORNERS: Final = 6


@dataclass(frozen=True, slots=True)
class _Line:
    start: Point
    end: Point
    joins_corners: bool = False
    is_of_ground: bool = False


def find_seams(pixels: Pixels, plane: Plane, outer: Ring) -> tuple[Touch, ...]:
    """The one line along which this outline most likely is two scraps; nothing if none is likely."""
    region = Region.from_ring(outer)
    if region.area_mm2 < 2 * _LEAST_PART_MM2:
        return ()
    flat = Flat.of(pixels, plane, outer)
    best: tuple[float, Touch] | None = None
    lines = [*_lines(region, outer)]
    for line in [*lines[:_MOST_LINES], *_swept(flat, region, outer)]:
        found = look_across(flat, line.start, line.end, for_change=not line.is_of_ground)
        if found is not None and (best is None or found.strength > best[0]):
            best = found.strength, _touch(found.start, found.end, found.sign)
    if best is not None:
        return (best[1],)
    return _by_shape(region, lines)


def _touch(start: Point, end: Point, sign: str) -> Touch:
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    length = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    return Touch(round(middle[0], 2), round(middle[1], 2), round(length, 2), start, end, sign)


def _by_shape(region: Region, lines: list[_Line]) -> tuple[Touch, ...]:
    """Two inner corners that leave two plain shapes where the whole is none."""
    if region.area_mm2 > _ODD_SHARE * region.hull_area_mm2:
        return ()
    for line in lines:
        parts = parted_along(region, (line.start, line.end))
        if line.joins_corners and all(part.area_mm2 > _PLAIN_SHARE * part.hull_area_mm2 for part in parts):
            return (_touch(line.start, line.end, "two inner corners"),)
    return ()


def _lines(region: Region, outer: Ring) -> Iterator[_Line]:
    """Lines worth a look: from inner corner to inner corner, then on from each along the edges that meet there."""
    corners = np.asarray(cv2.approxPolyDP(np.array(outer, np.float32), 0.8, True), dtype=np.float64).reshape(-1, 2)
    back, ahead = corners - np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0) - corners
    turn = np.degrees(np.arctan2(back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0], (back * ahead).sum(axis=1)))
    inner = [int(i) for i in np.argsort(turn) if turn[i] < -_INNER_CORNER_DEG][:_MOST_CORNERS]
    for n, i in enumerate(inner):
        for j in inner[n + 1 :]:
            yield from _sound(region, corners[i], corners[j], joins_corners=True)
    for i in inner:
        for way in (back[i], -ahead[i]):
            if np.hypot(*way) > 3.0:
                yield from _drawn_on(region, corners[i], way / np.hypot(*way))


def _drawn_on(region: Region, corner: Floats, way: Floats) -> Iterator[_Line]:
    """From a corner onwards to where the outline ends."""
    far = corner + 5_000.0 * way
    inside = region.stretch_inside(_point(corner + 0.3 * way), _point(far))
    if inside is not None:
        yield from _sound(region, corner, np.array(inside[1]), joins_corners=False)


def _sound(region: Region, start: Floats, end: Floats, *, joins_corners: bool) -> Iterator[_Line]:
    """The line if it is long enough, lies within and leaves two parts worth having."""
    along = end - start
    length = float(np.hypot(*along))
    if length < _LEAST_SEAM_MM:
        return
    inset = 0.6 / length * along
    if not region.holds_lines([(_point(start + inset), _point(end - inset))])[0]:
        return
    parts = parted_along(region, (_point(start + inset), _point(end - inset)))
    if len(parts) == 2 and parts[1].area_mm2 > _LEAST_PART_MM2:
        yield _Line(_point(start), _point(end), joins_corners)


def _point(at: Floats) -> Point:
    return float(at[0]), float(at[1])


def _swept(flat: Flat, region: Region, outer: Ring) -> Iterator[_Line]:
    """Lines square to the two longest edges where the looks change most, and lines of the ground's colour."""
    corners = np.asarray(cv2.approxPolyDP(np.array(outer, np.float32), 0.8, True), dtype=np.float64).reshape(-1, 2)
    edges = np.roll(corners, -1, axis=0) - corners
    y, x = np.nonzero(flat.inside[::2, ::2])
    at = flat.mm_of(2.0 * np.stack([x, y], axis=1).astype(np.float64))
    seen = flat.colours[::2, ::2][y, x]
    for edge in edges[np.argsort(-np.hypot(edges[:, 0], edges[:, 1]))[:2]]:
        way = edge / np.hypot(*edge)
        far = at @ way
        bins = ((far - far.min()) / STEP_MM).astype(int)
        counts = np.bincount(bins)
        means = np.stack([np.bincount(bins, seen[:, i]) for i in range(3)], axis=1) / np.maximum(counts, 1)[:, None]
        means[counts < 10] = np.nan
        steps = steps_of(means)
        if np.isfinite(steps).any():
            spot = way * (far.min() + (int(np.nanargmax(steps)) + 0.5) * STEP_MM)
            yield from _chord(region, spot, np.array([-way[1], way[0]]))
    for spot, way in lines_of_ground(flat):
        yield from (replace(line, is_of_ground=True) for line in _chord(region, spot, way))


def _chord(region: Region, spot: Floats, way: Floats) -> Iterator[_Line]:
    inside = region.stretch_inside(_point(spot - 5_000.0 * way), _point(spot + 5_000.0 * way))
    if inside is not None:
        yield from _sound(region, np.array(inside[0]), np.array(inside[1]), joins_corners=False)
