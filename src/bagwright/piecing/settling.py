"""Poses settled against the border of what is bare, as closely as it lets, and how much of the border then agrees."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.spatial import KDTree

from bagwright.piecing.poses import Poses, turned
from bagwright.piecing.rings import Numbers, Points, rolled
from bagwright.piecing.stretches import Complexes

RIM_POINTS = 64
_APART_MM = 1.5
_MOST_POINTS = 40_000
_REACH_MM = (5.0, 3.5, 2.5, 1.6)
_SAME_WAY = 0.8
_MEETS_MM = 0.8
_DAMPING = 1e-2
_SEEN_MM = 8.0
_BENT = 0.3
_LEAST_BENT = 0.04
_BENT_TELLS, _RIGHT_TELLS, _LENGTH_TELLS_MM = 3.0, 0.75, 40.0


@dataclass(frozen=True, slots=True)
class Borders:
    """Points spread evenly along the outer border of each scrap, which way it runs there, what it tells if it meets.

    A bend tells most, the right angle less because so many have it, a straight line least.
    """

    points: Points
    ways: Points
    tells: Numbers

    @classmethod
    def of(cls, rings: Sequence[Points], smooth: Sequence[Complexes]) -> Borders:
        """One row for each ring and the same smoothed."""
        rows = [_border(ring, fine) for ring, fine in zip(rings, smooth, strict=True)]
        points, ways, tells = (np.stack([row[part] for row in rows]) for part in range(3))
        return cls(points, ways, tells)


def _border(ring: Points, fine: Complexes) -> tuple[Points, Points, Numbers]:
    count = len(fine)
    closed = np.append(ring @ np.array([1, 1j]), ring[0] @ np.array([1, 1j]))
    along = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(closed)))])
    at = (np.arange(RIM_POINTS) + 0.5) * along[-1] / RIM_POINTS
    here = np.interp(at, along, closed)
    step_mm = along[-1] / count
    near = np.round(at / step_mm).astype(np.intp) % count
    seen = max(1, round(_SEEN_MM / step_mm))
    before, after = fine[near] - fine[(near - seen) % count], fine[(near + seen) % count] - fine[near]
    bend = np.abs(np.angle(after * before.conj()))
    way = np.exp(1j * np.angle(fine[(near + 2) % count] - fine[(near - 2) % count]))
    is_right = np.abs(bend - np.pi / 2) < 0.06
    telling = np.where(is_right, _RIGHT_TELLS, _BENT_TELLS * np.minimum(1, bend / _BENT) * (bend > _LEAST_BENT))
    spacing_mm = along[-1] / RIM_POINTS
    tells = spacing_mm / _LENGTH_TELLS_MM + telling * spacing_mm / (2 * _SEEN_MM)
    return _pairs(here), _pairs(way), tells


def _pairs(values: npt.NDArray[np.complex128]) -> Points:
    return np.column_stack([values.real, values.imag])


class Shore:
    """The border of what is bare, as points close together, each with the way it runs."""

    def __init__(self, rings: Sequence[Points]) -> None:
        rows = [_dense(ring) for ring in rings]
        self.points = np.concatenate([points for points, _ in rows])
        self.ways = np.concatenate([ways for _, ways in rows])
        self._tree = KDTree(self.points)

    def nearest(self, points: Points, within_mm: float) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_]]:
        """For each point the number of the nearest of the border, and whether it is near enough."""
        apart, number = self._tree.query(points.reshape(-1, 2), distance_upper_bound=within_mm)
        found = np.isfinite(apart)
        number = np.where(found, number, 0).astype(np.intp)
        return number.reshape(points.shape[:-1]), found.reshape(points.shape[:-1])


def _dense(ring: Points) -> tuple[Points, Points]:
    steps = rolled(ring, -1) - ring
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    apart_mm = max(_APART_MM, float(lengths.sum()) / _MOST_POINTS)
    counts = np.maximum(1, np.ceil(lengths / apart_mm)).astype(np.intp)
    edge = np.repeat(np.arange(len(ring)), counts)
    part = (np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts) + 0.5) / counts[edge]
    return ring[edge] + part[:, None] * steps[edge], (steps / np.maximum(lengths, 1e-9)[:, None])[edge]


def settled(poses: Poses, borders: Borders, shore: Shore, *, turns_freely: bool, stride: int = 1) -> Poses:
    """The poses after a few rounds of least squares, with what their borders tell where they meet the shore.

    Each round pairs points of the border with the nearest of the shore that run the same way and closes the distances
    across it; along the shore only corners and bends hold.
    """
    if not len(poses.scrap):
        return poses
    points, ways = borders.points[poses.scrap][:, ::stride], borders.ways[poses.scrap][:, ::stride]
    turn, shift = poses.turn, poses.shift
    for reach_mm in _REACH_MM:
        lies, heads = turned(points, turn) + shift[:, None], turned(ways, turn)
        number, found = shore.nearest(lies, reach_mm)
        found &= (heads * shore.ways[number]).sum(axis=-1) > _SAME_WAY
        dturn, dshift = _closing(lies, shift, (shore.points[number], shore.ways[number]), found, turns_freely)
        turn, shift = turn + dturn, shift + dshift
    lies, heads = turned(points, turn) + shift[:, None], turned(ways, turn)
    number, found = shore.nearest(lies, 2 * _APART_MM)
    across = _across(shore.ways[number])
    meets = found & (np.abs(((lies - shore.points[number]) * across).sum(axis=-1)) < _MEETS_MM)
    meets &= (heads * shore.ways[number]).sum(axis=-1) > _SAME_WAY
    telling = (meets * borders.tells[poses.scrap][:, ::stride]).sum(axis=1) * stride
    return Poses(poses.scrap, turn, shift, telling)


def _across(ways: Points) -> Points:
    return np.stack([-ways[..., 1], ways[..., 0]], axis=-1)


def _closing(
    lies: Points, about: Points, shore: tuple[Points, Points], found: npt.NDArray[np.bool_], turns_freely: bool
) -> tuple[Numbers, Points]:
    """Turn about the shift's end and further shift that bring points onto the lines of the shore; damped."""
    target, ways = shore
    across = _across(ways)
    middle = lies.mean(axis=1)
    arm = lies - middle[:, None]
    lever = (arm[..., 0] * across[..., 1] - arm[..., 1] * across[..., 0]) * (1.0 if turns_freely else 0.0)
    rows = np.concatenate([lever[..., None] / 50.0, across], axis=-1) * found[..., None]
    off = ((target - lies) * across).sum(axis=-1) * found
    square = np.einsum("npi,npj->nij", rows, rows) + _DAMPING * np.eye(3)
    solved = np.linalg.solve(square, np.einsum("npi,np->ni", rows, off)[..., None])[..., 0]
    dturn = np.clip(solved[:, 0] / 50.0, -0.1, 0.1)
    # the turn is about the middle: the shift's end, which is the scrap's origin, moves along
    held = about - middle
    moved = turned(held[:, None], dturn)[:, 0] - held
    return dturn, solved[:, 1:] + moved
