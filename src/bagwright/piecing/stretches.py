"""Stretches of border that look alike, curved ones too: poses in which the border of a scrap runs along what is bare.

Each border is smoothed and cut into overlapping stretches of one length. As complex numbers about their own middle, two
stretches are alike after the best turn if the length of their product is near the product of their lengths.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bagwright.piecing.rings import Flags, Numbers, Points, Whole

Complexes = npt.NDArray[np.complex128]
_Rows = npt.NDArray[np.float32]

STEP_MM = 3.0
_POINTS = 16
_SMOOTH_MM = 2.0
_FINE_MM = 1.0
_LEAST_BEND_MM = 1.2
_ALIKE_MM = 0.9
_MOST_PAIRS = 6_000
_LONGEST_MM = 30_000.0
"""No border longer than this is looked along: no scrap on a table has one."""


@dataclass(frozen=True, slots=True)
class Stretches:
    """Equal stretches of borders, one row each: points about their middle, the middle, whose border it is."""

    points: Complexes
    middle: Complexes
    owner: Whole

    @classmethod
    def of(cls, smooth: Sequence[Complexes], owners: Sequence[int]) -> Stretches:
        """Every stretch of smoothed borders that bends enough to be known again.

        >>> square = np.array([[0.0, 0.0], [80.0, 0.0], [80.0, 80.0], [0.0, 80.0]])
        >>> found = Stretches.of([smoothed(square)], [3])
        >>> 30 < len(found.owner) < 80, set(found.owner.tolist())
        (True, {3})
        """
        tables, held = [], []
        for fine, owner in zip(smooth, owners, strict=True):
            table = _stretches_of(fine)
            tables.append(table)
            held.append(np.full(len(table), owner, dtype=np.intp))
        points = np.concatenate(tables) if tables else np.zeros((0, _POINTS), dtype=np.complex128)
        middle = points.mean(axis=1)
        points = points - middle[:, None]
        chosen = _bend_mm(points) > _LEAST_BEND_MM
        return cls(points[chosen], middle[chosen], np.concatenate([*held, np.zeros(0, dtype=np.intp)])[chosen])

    def every(self, step: int) -> Stretches:
        """Every second, third ... of them."""
        return Stretches(self.points[::step], self.middle[::step], self.owner[::step])


def smoothed(ring: Points) -> Complexes:
    """Points about 1 mm apart along the ring, each the mean of those near it: corners are rounded alike."""
    closed = np.append(ring @ np.array([1, 1j]), ring[0] @ np.array([1, 1j]))
    at = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(closed)))])
    count = max(8, int(min(at[-1], _LONGEST_MM) / _FINE_MM))
    fine = np.interp(np.arange(count) * at[-1] / count, at, closed)
    waves = np.fft.fftfreq(count, d=at[-1] / count)
    return np.asarray(np.fft.ifft(np.fft.fft(fine) * np.exp(-2 * (np.pi * waves * _SMOOTH_MM) ** 2)))


def _stretches_of(fine: Complexes) -> Complexes:
    """Stretches that start every few millimetres all round; none of a ring too short for two of them, or too long."""
    length = float(np.abs(np.diff(np.append(fine, fine[0]))).sum())
    if not 1.3 * STEP_MM * _POINTS <= length < _LONGEST_MM:
        return np.zeros((0, _POINTS), dtype=np.complex128)
    starts = np.arange(int(length / STEP_MM)) * STEP_MM
    at = (starts[:, None] + STEP_MM * np.arange(_POINTS)) % length
    return np.asarray(np.interp(at, np.linspace(0, length, len(fine) + 1), np.append(fine, fine[0])))


def _bend_mm(points: Complexes) -> Numbers:
    """How far stretches are from straight: root mean square across their longest direction."""
    total, along = (np.abs(points) ** 2).sum(axis=1), np.abs((points**2).sum(axis=1))
    return np.asarray(np.sqrt(np.maximum(total - along, 0) / 2 / points.shape[1]))


@dataclass(frozen=True, slots=True)
class Alike:
    """Pairs of stretches that look alike: of what is bare, of the scraps; how to turn the latter."""

    bare: Whole
    scrap: Whole
    turn: Numbers
    off_mm: Numbers


def alike(bare: Stretches, scraps: Stretches, free: Flags, turns: Numbers | None) -> Alike:
    """The likest pairs; `turns`: those allowed for each scrap, in radians, if they are few."""
    chosen = np.flatnonzero(free[scraps.owner])
    one, other = bare.points, scraps.points[chosen]
    squares = _squares(one)[:, None] + _squares(other)[None]
    if turns is None:
        along, across = _shared(one, other), _shared(one, 1j * other)
        fits = np.sqrt(along * along + across * across)
    else:
        ways = np.exp(1j * turns[scraps.owner[chosen]])
        fits = np.maximum(*(_shared(one, other * ways[:, way, None]) for way in (0, 1)))
    off = squares - 2 * fits
    u, s = np.nonzero(off < _POINTS * _ALIKE_MM**2)
    if len(u) > _MOST_PAIRS:
        best = np.argpartition(off[u, s], _MOST_PAIRS)[:_MOST_PAIRS]
        u, s = u[best], s[best]
    turn = np.angle((one[u] * other[s].conj()).sum(axis=1))
    return Alike(u, chosen[s], turn, np.sqrt(np.maximum(off[u, s], 0) / _POINTS).astype(np.float64))


def _squares(points: Complexes) -> _Rows:
    return np.asarray((np.abs(points) ** 2).sum(axis=1), dtype=np.float32)


def _shared(one: Complexes, other: Complexes) -> _Rows:
    """Real parts of the products of each stretch with each: as plain numbers these come several times as fast."""
    first, second = (np.ascontiguousarray(some).view(np.float64).astype(np.float32) for some in (one, other))
    return np.asarray(first @ second.T)
