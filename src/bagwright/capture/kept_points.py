"""The few points of a traced edge that are kept: straight lines between them stay near it and hold its area."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.half_way import blurred
from bagwright.capture.light import Floats
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.found_outline import Ring

_LEAST_TURN: Final = 0.3
"""Sine of the angle from which two sides cross surely enough to move the corner between them with both."""
_FOR_SIDES: Final = 0.9
"""So much of what places may be off is for leaving corners out; the rest, for holding the area."""
Places = npt.NDArray[np.intp]


def kept_ring(edge: Floats, within_mm: float) -> Ring | None:
    """The edge without needless corners, counter-clockwise; None if it crosses itself anyhow. All in mm.

    No place on the edge lies further than `within_mm` from it, unless the edge crosses itself. Corners are left
    out (Douglas and Peucker 1973, from memory), each side is moved out to the middle of what it stands for (chords of a
    curve would all lie within it), and what the area is still off by is shared out over all sides alike.
    """
    for within, sigma in ((within_mm, 0.0), (2 * within_mm, 0.0), (2 * within_mm, 2.0), (4 * within_mm, 5.0)):
        smooth = blurred(edge, sigma) if sigma else edge
        at = _corners_of(smooth, _FOR_SIDES * within)
        moved = _moved(smooth, at, _FOR_SIDES * within)
        for corners in (_as_large(moved, smooth, at, within), moved, smooth[at]):
            ring = _counter_clockwise(corners)
            if not ring_fault(ring):
                return ring
    return None


def holes_within(outer: Ring, holes: Iterable[Ring]) -> tuple[Ring, ...]:
    """Those holes that lie wholly within and apart: one that runs into the edge or another is no hole."""
    kept: list[Ring] = []
    whole = Region.from_ring(outer)
    for hole in holes:
        less = whole.minus(Region.from_ring(hole))
        if len([*less.parts()]) == 1 and len(less.hole_rings()) == len(kept) + 1:
            kept.append(hole)
            whole = less
    return tuple(kept)


def _corners_of(edge: Floats, within: float) -> Places:
    """Which places of the edge are kept, in order."""
    places = {tuple(point): index for index, point in enumerate(edge.astype(np.float32).tolist())}
    kept = np.asarray(cv2.approxPolyDP(edge.astype(np.float32), within, True)).reshape(-1, 2)
    return np.unique(np.array([places[tuple(point)] for point in kept.tolist()], dtype=np.intp))


def _moved(edge: Floats, at: Places, within: float) -> Floats:
    """The corners moved as `_moves` says, less where that would leave a place of the edge too far off."""
    moves = _moves(edge, at)
    for share in (0.5, 0.5, 0.5, 0.0, 0.0):
        bad = _furthest(edge, at, edge[at] + moves) > within
        moves[bad | np.roll(bad, 1)] *= share
    bad = _furthest(edge, at, edge[at] + moves) > within
    return edge[at] if bad.any() else edge[at] + moves


def _as_large(corners: Floats, edge: Floats, at: Places, within: float) -> Floats:
    """The corners with all sides moved alike by what the area is off by; as they were if that is too far anywhere."""
    around_mm = float(np.hypot(*(np.roll(corners, -1, axis=0) - corners).T).sum())
    by_mm = (_signed_area(edge) - _signed_area(corners)) / max(around_mm, 1e-9)
    normal = _normals(corners)
    before = np.roll(normal, 1, axis=0)
    cosine = (before * normal).sum(axis=1)
    moved = corners + by_mm * (before + normal) / np.maximum(1 + cosine, _LEAST_TURN)[:, None]
    return corners if (_furthest(edge, at, moved) > within).any() else np.asarray(moved)


def _signed_area(ring: Floats) -> float:
    x, y = (ring - ring[0]).T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2


def _sides(edge: Floats, at: Places) -> Places:
    """For each place the side it lies on or begins: that from the last corner before it to the next."""
    return (np.searchsorted(at, np.arange(len(edge)), side="right") - 1) % len(at)


def _moves(edge: Floats, at: Places) -> Floats:
    """Where to move each corner, so that as much of the edge lies on either side of the line to the next one."""
    corners = edge[at]
    if len(corners) < 3:
        return np.zeros_like(corners)
    normal = _normals(corners)
    off = _mean_off(edge, at, normal)
    before, off_before = np.roll(normal, 1, axis=0), np.roll(off, 1)
    sine = before[:, 0] * normal[:, 1] - before[:, 1] * normal[:, 0]
    cross_x = (normal[:, 1] * off_before - before[:, 1] * off) / np.where(np.abs(sine) > _LEAST_TURN, sine, 1.0)
    cross_y = (before[:, 0] * off - normal[:, 0] * off_before) / np.where(np.abs(sine) > _LEAST_TURN, sine, 1.0)
    mean = (before + normal) / np.maximum(np.hypot(*(before + normal).T), 0.5)[:, None]
    along = mean * ((off + off_before) / 2)[:, None]
    return np.where(np.abs(sine)[:, None] > _LEAST_TURN, np.stack([cross_x, cross_y], axis=1), along)


def _normals(corners: Floats) -> Floats:
    """Unit vectors square to each side, to the right of its way."""
    x, y = (np.roll(corners, -1, axis=0) - corners).T
    return np.asarray(np.stack([y, -x], axis=1) / np.maximum(np.hypot(x, y), 1e-9)[:, None])


def _mean_off(edge: Floats, at: Places, normal: Floats) -> Floats:
    """How far places lie beyond the line from corner to corner, in the mean over its length, line by line."""
    side, ahead = _sides(edge, at), np.roll(edge, -1, axis=0)
    off = (((edge + ahead) / 2 - edge[at][side]) * normal[side]).sum(axis=1)
    step = np.hypot(*(ahead - edge).T)
    return np.asarray(np.bincount(side, off * step) / np.maximum(np.bincount(side, step), 1e-9))


def _furthest(edge: Floats, at: Places, corners: Floats) -> Floats:
    """How far places lie from the line that stands for them, at most, line by line."""
    side, furthest = _sides(edge, at), np.zeros(len(at))
    off = np.abs(((edge - corners[side]) * _normals(corners)[side]).sum(axis=1))
    off[at] = 0.0
    np.maximum.at(furthest, side, off)
    return furthest


def _counter_clockwise(corners: Floats) -> Ring:
    ordered = corners[::-1] if _signed_area(corners) < 0 else corners
    return tuple((round(float(x), 3), round(float(y), 3)) for x, y in ordered)
