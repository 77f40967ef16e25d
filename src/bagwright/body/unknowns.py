"""The true numbers of a stack that its readings leave open, and the least and the most they can amount to."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from bagwright.body.laminate import Numbers, gain_of_bonded_pairs, rigidity_of_layers
from bagwright.body.ruler_test import RIGIDITY_UNM_PER_GSM_MM3, bending_length_mm
from bagwright.body.search import highest
from bagwright.model.body import Sheet
from bagwright.model.source import Reading


class End(Enum):
    """An end of a band: the sign says which way lies further out."""

    LOW = -1
    HIGH = 1


@dataclass(frozen=True, slots=True)
class Span:
    """Lowest and highest of several numbers."""

    low: Numbers
    high: Numbers

    def at(self, end: End) -> Numbers:
        """All of them at one end."""
        return self.low if end is End.LOW else self.high


@dataclass(frozen=True, slots=True)
class Unknowns:
    """What is open about a stack; each row of numbers is one way it may be.

    `material` says for each layer which of the spans of `mass` and `thickness` is its, `cube_of` which of `cube`
    (bending length cubed). `share` and `swatch_cube` (nan: none) are of the joint of each layer after the first to the
    one before it.
    """

    material: NDArray[np.intp]
    mass: Span
    thickness: Span
    cube_of: NDArray[np.intp]
    cube: Span
    share: Span
    swatch_cube: Span

    def rigidity_unm(self, end: End) -> float:
        """The least or the most bending rigidity."""
        low, high = self._box(end)
        if not self._with_long_swatch:
            # Heavier readings make every layer stiffer, so masses are at that end, too.
            low[: self._count], high[: self._count] = self.mass.at(end), self.mass.at(end)
        return self._furthest(lambda rows: self._rigidity(rows, end), low, high, end)

    def bending_length_cubed_mm3(self, end: End) -> float:
        """The least or the most of B / W g, with the same W in both."""
        if not self._with_long_swatch and not self.share.at(end).any():
            return self._sliding_cube_mm3(end)
        low, high = self._box(end)
        return self._furthest(lambda rows: self._rigidity(rows, end) / self._weight(rows), low, high, end)

    def _furthest(self, measure: Callable[[Numbers], Numbers], low: Numbers, high: Numbers, end: End) -> float:
        return end.value * highest(lambda rows: end.value * measure(rows), low, high)

    @property
    def _count(self) -> int:
        return len(self.mass.low)

    @property
    def _with_long_swatch(self) -> bool:
        return not np.isnan(self.swatch_cube.low).all()

    def _box(self, end: End) -> tuple[Numbers, Numbers]:
        """Ends of a row: masses, thicknesses and cubes of the materials. What cannot pull further out is fixed.

        A material that is stiffer alone never makes a stack limper, but where a swatch says how stiff the pair is: the
        more of that is the material's own, the less is the bond's, which counts for more in a longer run.
        """
        ends = (End.LOW, End.HIGH) if self._with_long_swatch else (end, end)
        cubes = [self.cube.at(each) for each in ends]
        held = (self.share.at(end) > 0) | ~np.isnan(self.swatch_cube.low)
        in_joint = np.zeros(len(self.material), dtype=bool)
        in_joint[1:] |= held
        in_joint[:-1] |= held
        counts = np.isin(np.arange(self._count), self.material[in_joint])
        thickest = np.where(counts, self.thickness.high, self.thickness.low)
        low = np.concatenate([self.mass.low, self.thickness.low, cubes[0]])
        return low, np.concatenate([self.mass.high, thickest, cubes[1]])

    def _weight(self, rows: Numbers) -> Numbers:
        mass: Numbers = rows[..., self.material]
        weight: Numbers = RIGIDITY_UNM_PER_GSM_MM3 * mass.sum(axis=-1)
        return weight

    def _rigidity(self, rows: Numbers, end: End) -> Numbers:
        mass, thickness = rows[..., self.material], rows[..., self._count + self.material]
        cube = rows[..., 2 * self._count + self.cube_of]
        own = RIGIDITY_UNM_PER_GSM_MM3 * mass * cube
        share = np.broadcast_to(self.share.at(end), own[..., 1:].shape)
        if self._with_long_swatch:
            pair = RIGIDITY_UNM_PER_GSM_MM3 * (mass[..., 1:] + mass[..., :-1]) * self.swatch_cube.at(end)
            by_swatch = (pair - own[..., 1:] - own[..., :-1]) / gain_of_bonded_pairs(own, thickness)
            share = np.where(np.isnan(self.swatch_cube.low), share, np.clip(by_swatch, 0, 1))
        return rigidity_of_layers(own, thickness, share)

    def _sliding_cube_mm3(self, end: End) -> float:
        """Where nothing holds: the mean of the layers' cubes, weighted by mass. At its least the limp materials are
        at their heaviest and the stiff ones at their lightest, so only where the line falls is to be found."""
        counts = np.bincount(self.material)
        cubes = np.bincount(self.material, self.cube.at(end)[self.cube_of]) / counts
        rank = np.argsort(np.argsort(cubes, kind="stable"), kind="stable")
        is_limp = rank < np.arange(len(cubes) + 1)[:, None]
        masses = counts * np.where(is_limp == (end is End.LOW), self.mass.high, self.mass.low)
        means = (masses * cubes).sum(axis=1) / masses.sum(axis=1)
        return float(means.min() if end is End.LOW else means.max())


def unknowns_of(sheets: Sequence[Sheet], runs: Sequence[slice]) -> Unknowns:
    """The unknowns of a sound stack of which `runs` are held flat.

    Two layers that a swatch knows and that are held to no third one bend as the swatch does: each of them takes its
    bending length, and how the two share it no longer matters.
    """
    joints = _joints(sheets, runs)
    cubes = [_cube(sheet.overhang_mm, sheet.angle_deg) for sheet in sheets]
    for run in runs:
        swatch = sheets[run][1].swatch
        if swatch and run.stop - run.start == 2:
            cubes[run] = [_cube(swatch.overhang_mm, swatch.angle_deg)] * 2
            joints[run.start] = _SLIDES
    materials = [(s.name, s.mass_gsm, s.thickness_mm, s.overhang_mm, s.angle_deg) for s in sheets]
    firsts = [materials.index(material) for material in dict.fromkeys(materials)]
    known_cubes = list(dict.fromkeys(cubes))
    return Unknowns(
        material=np.array([firsts.index(materials.index(material)) for material in materials], dtype=np.intp),
        mass=_span([sheets[i].mass_gsm for i in firsts]),
        thickness=_span([sheets[i].thickness_mm for i in firsts]),
        cube_of=np.array([known_cubes.index(cube) for cube in cubes], dtype=np.intp),
        cube=_span(known_cubes),
        share=_span([share for share, _ in joints]),
        swatch_cube=_span([swatch for _, swatch in joints]),
    )


@dataclass(frozen=True, slots=True)
class _Ends:
    low: float
    high: float


_SLIDES = (_Ends(0, 0), _Ends(math.nan, math.nan))


def _joints(sheets: Sequence[Sheet], runs: Sequence[slice]) -> list[tuple[_Ends, _Ends]]:
    """Share of bond of every layer after the first to the one before it, and the cube that a swatch gives the two."""
    joints = [_SLIDES] * (len(sheets) - 1)
    for run in runs:
        for i in range(run.start + 1, run.stop):
            known, swatch = sheets[i].bond_share, sheets[i].swatch
            share = _Ends(known.low, known.high) if known else _Ends(0, 1)
            joints[i - 1] = (share, _cube(swatch.overhang_mm, swatch.angle_deg) if swatch else _SLIDES[1])
    return joints


def _cube(overhang: Reading, angle_deg: float) -> _Ends:
    low, high = (bending_length_mm(end, angle_deg=angle_deg) ** 3 for end in (overhang.low, overhang.high))
    return _Ends(low, high)


def _span(ends: Sequence[Reading | _Ends]) -> Span:
    return Span(*(np.array([getattr(end, side) for end in ends], dtype=np.float64) for side in ("low", "high")))
