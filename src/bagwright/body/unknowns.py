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
    """What is open about some stacks of equally many layers; all have a row for each stack.

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

    def rigidity_unm(self, end: End) -> Numbers:
        """The least or the most bending rigidity of each stack."""
        low, high = self._box(end)
        # Heavier readings make every layer stiffer, so masses are at that end, too, but where a swatch counts.
        masses = slice(0, self._count)
        low[:, masses] = np.where(self._long_swatch, low[:, masses], self.mass.at(end))
        high[:, masses] = np.where(self._long_swatch, high[:, masses], self.mass.at(end))
        return self._furthest(self._rigidity, (low, high), end)

    def bending_length_cubed_mm3(self, end: End) -> Numbers:
        """The least or the most of B / W g of each stack, with the same W in both."""
        slides = ~self._long_swatch[:, 0] & ~self.share.at(end).any(axis=1)
        cubes = np.empty(len(slides))
        if slides.any():
            cubes[slides] = self._only(slides)._sliding_cube_mm3(end)
        if not slides.all():
            held = self._only(~slides)
            cubes[~slides] = held._furthest(
                lambda rows, of: held._rigidity(rows, of) / held._weight(rows), held._box(end), end
            )
        return cubes

    def _only(self, chosen: NDArray[np.bool_]) -> Unknowns:
        spans = (self.mass, self.thickness, self.cube, self.share, self.swatch_cube)
        mass, thickness, cube, share, swatch = (Span(span.low[chosen], span.high[chosen]) for span in spans)
        return Unknowns(self.material[chosen], mass, thickness, self.cube_of[chosen], cube, share, swatch)

    def _furthest(self, measure: Callable[[Numbers, End], Numbers], box: tuple[Numbers, Numbers], end: End) -> Numbers:
        """A share told by a swatch is kept from 0 to 1: that makes ridges."""
        has_ridges = bool(self._long_swatch.any())
        return end.value * highest(lambda rows: end.value * measure(rows, end), *box, has_ridges=has_ridges)

    @property
    def _count(self) -> int:
        return int(self.mass.low.shape[1])

    @property
    def _long_swatch(self) -> NDArray[np.bool_]:
        known: NDArray[np.bool_] = np.any(~np.isnan(self.swatch_cube.low), axis=1, keepdims=True)
        return known

    def _box(self, end: End) -> tuple[Numbers, Numbers]:
        """Ends of a row: masses, thicknesses and cubes of the materials. What cannot pull further out is fixed.

        A material that is stiffer alone never makes a stack limper, but where a swatch says how stiff the pair is: the
        more of that is the material's own, the less is the bond's, which counts for more in a longer run.
        """
        cubes = [np.where(self._long_swatch, each, self.cube.at(end)) for each in (self.cube.low, self.cube.high)]
        held = (self.share.at(end) > 0) | ~np.isnan(self.swatch_cube.low)
        in_joint = np.zeros(self.material.shape, dtype=bool)
        in_joint[:, 1:] |= held
        in_joint[:, :-1] |= held
        counts = ((self.material[:, :, None] == np.arange(self._count)) & in_joint[:, :, None]).any(axis=1)
        thickest = np.where(counts, self.thickness.high, self.thickness.low)
        low = np.concatenate([self.mass.low, self.thickness.low, cubes[0]], axis=1)
        return low, np.concatenate([self.mass.high, thickest, cubes[1]], axis=1)

    def _of_layers(self, rows: Numbers, column: int, of: NDArray[np.intp]) -> Numbers:
        if len(of) == 1:  # one stack: the same columns of every row, picked several times as fast
            return rows[:, :, column + of[0]]
        picked: Numbers = np.take_along_axis(rows, column + of[:, None, :], axis=2)
        return picked

    def _weight(self, rows: Numbers) -> Numbers:
        weight: Numbers = RIGIDITY_UNM_PER_GSM_MM3 * self._of_layers(rows, 0, self.material).sum(axis=-1)
        return weight

    def _rigidity(self, rows: Numbers, end: End) -> Numbers:
        mass = self._of_layers(rows, 0, self.material)
        thickness = self._of_layers(rows, self._count, self.material)
        own = RIGIDITY_UNM_PER_GSM_MM3 * mass * self._of_layers(rows, 2 * self._count, self.cube_of)
        share = self.share.at(end)[:, None, :]
        swatch = self.swatch_cube.at(end)[:, None, :]
        if self._long_swatch.any():
            pair = RIGIDITY_UNM_PER_GSM_MM3 * (mass[..., 1:] + mass[..., :-1]) * swatch
            by_swatch = (pair - own[..., 1:] - own[..., :-1]) / gain_of_bonded_pairs(own, thickness)
            share = np.where(np.isnan(swatch), share, np.clip(by_swatch, 0, 1))
        return rigidity_of_layers(own, thickness, share)

    def _sliding_cube_mm3(self, end: End) -> Numbers:
        """Where nothing holds: the mean of the layers' cubes, weighted by mass. At its least the limp materials are
        at their heaviest and the stiff ones at their lightest, so only where the line falls is to be found."""
        is_of = self.material[:, :, None] == np.arange(self._count)
        counts = is_of.sum(axis=1)
        of_layers = np.take_along_axis(self.cube.at(end), self.cube_of, axis=1)
        cubes = (is_of * of_layers[:, :, None]).sum(axis=1) / np.maximum(counts, 1)
        rank = np.argsort(np.argsort(cubes, axis=1, kind="stable"), axis=1, kind="stable")
        is_limp = rank[:, None, :] < np.arange(self._count + 1)[:, None]
        at_high = is_limp == (end is End.LOW)
        masses = counts[:, None, :] * np.where(at_high, self.mass.high[:, None, :], self.mass.low[:, None, :])
        means = (masses * cubes[:, None, :]).sum(axis=2) / masses.sum(axis=2)
        furthest: Numbers = means.min(axis=1) if end is End.LOW else means.max(axis=1)
        return furthest


def unknowns_of(sheets: Sequence[Sheet], runs: Sequence[slice]) -> Unknowns:
    """The unknowns of one sound stack of which `runs` are held flat.

    Two layers that a swatch knows and that are held to no third one bend as the swatch does: each of them takes its
    bending length, and how the two share it no longer matters.
    """
    joints = _joints(sheets, runs)
    cubes = [_cube(sheet.overhang_mm, sheet.angle_deg) for sheet in sheets]
    for run in runs:
        swatch = sheets[run][1].bond.swatch
        if swatch and run.stop - run.start == 2:
            cubes[run] = [_cube(swatch.overhang_mm, swatch.angle_deg)] * 2
            joints[run.start] = _SLIDES
    materials = [(s.name, s.mass_gsm, s.thickness_mm, s.overhang_mm, s.angle_deg) for s in sheets]
    firsts = [materials.index(material) for material in dict.fromkeys(materials)]
    known_cubes = list(dict.fromkeys(cubes))
    return Unknowns(
        material=np.array([[firsts.index(materials.index(material)) for material in materials]], dtype=np.intp),
        mass=_span([sheets[i].mass_gsm for i in firsts]),
        thickness=_span([sheets[i].thickness_mm for i in firsts]),
        cube_of=np.array([[known_cubes.index(cube) for cube in cubes]], dtype=np.intp),
        cube=_span(known_cubes),
        share=_span([share for share, _ in joints]),
        swatch_cube=_span([swatch for _, swatch in joints]),
    )


def together(stacks: Sequence[Unknowns]) -> Unknowns:
    """Stacks of equally many layers, one in each, as one; spans that only some need are filled up with ones."""

    def joined(spans: Sequence[Span]) -> Span:
        widest = max(span.low.shape[1] for span in spans)
        low, high = np.ones((len(spans), widest)), np.ones((len(spans), widest))
        for row, span in enumerate(spans):
            low[row, : span.low.shape[1]], high[row, : span.low.shape[1]] = span.low, span.high
        return Span(low, high)

    return Unknowns(
        material=np.vstack([stack.material for stack in stacks]),
        mass=joined([stack.mass for stack in stacks]),
        thickness=joined([stack.thickness for stack in stacks]),
        cube_of=np.vstack([stack.cube_of for stack in stacks]),
        cube=joined([stack.cube for stack in stacks]),
        share=joined([stack.share for stack in stacks]),
        swatch_cube=joined([stack.swatch_cube for stack in stacks]),
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
            known, swatch = sheets[i].bond.share, sheets[i].bond.swatch
            share = _Ends(known.low, known.high) if known else _Ends(0, 1)
            joints[i - 1] = (share, _cube(swatch.overhang_mm, swatch.angle_deg) if swatch else _SLIDES[1])
    return joints


def _cube(overhang: Reading, angle_deg: float) -> _Ends:
    low, high = (bending_length_mm(end, angle_deg=angle_deg) ** 3 for end in (overhang.low, overhang.high))
    return _Ends(low, high)


def _span(ends: Sequence[Reading | _Ends]) -> Span:
    return Span(*(np.array([[getattr(end, side) for end in ends]], dtype=np.float64) for side in ("low", "high")))
