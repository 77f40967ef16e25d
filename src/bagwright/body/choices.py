"""The choices for every place of a stack as columns of numbers, and stacks of them reckoned many at a time."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bagwright.body.laminate import Numbers
from bagwright.body.ruler_test import RIGIDITY_UNM_PER_GSM_MM3, bending_length_mm
from bagwright.body.stack import HOLDS_FLAT
from bagwright.model.body import Bond, Sheet
from bagwright.model.source import Reading
from bagwright.model.swaps import SwapQuestion

Stacks = NDArray[np.intp]
"""One row for each stack, one column for each place: the number of the choice, counted over all places."""
Flags = NDArray[np.bool_]

_BLOCK = 1 << 16
_COUNTED = ("cost", "minutes", "mass_g", "bulk_mm")


@dataclass(frozen=True, slots=True)
class Columns:
    """Every choice of every place in one row of numbers after the other; places that stay empty weigh nothing.

    `share_high`: most share of bond of choice (column) to choice (row) where nothing lies between; `knows_bond`: where
    a swatch or a share above zero is known, so that sliding is not the least. `swatch_cubes`: least and most of all
    swatches.
    """

    starts: tuple[int, ...]
    sizes: tuple[int, ...]
    is_sheet: Flags
    counted: Numbers
    mass_low: Numbers
    mass_high: Numbers
    thickness_low: Numbers
    thickness_high: Numbers
    cube_low: Numbers
    cube_high: Numbers
    share_high: Numbers
    knows_bond: Flags
    swatch_cubes: tuple[float, float]

    @property
    def count(self) -> int:
        """How many stacks there are."""
        return math.prod(self.sizes)

    def blocks(self) -> Iterator[Stacks]:
        """All stacks, some ten thousand at a time."""
        for start in range(0, self.count, _BLOCK):
            numbers = np.arange(start, min(start + _BLOCK, self.count))
            picked = np.unravel_index(numbers, self.sizes)
            # Columns that lie together and need no conversion are looked up fastest.
            yield np.stack([p + first for p, first in zip(picked, self.starts, strict=True)]).T

    def counted_of(self, stacks: Stacks) -> Numbers:
        """Cost, minutes, weight and bulk of each stack, a column each."""
        return np.stack([self._total(column, stacks) for column in self.counted], axis=1)

    def _total(self, column: Numbers, stacks: Stacks) -> Numbers:
        total: Numbers = column[stacks[:, 0]]
        for place in range(1, stacks.shape[1]):
            total = total + column[stacks[:, place]]
        return total

    def surely_reaches(self, stacks: Stacks, cube: float) -> Flags:
        """Whether bending length cubed is at least `cube` with all layers sliding, whatever is true of the readings."""
        spare = np.minimum(self.mass_low * (self.cube_low - cube), self.mass_high * (self.cube_low - cube))
        reaches: Flags = self._total(spare, stacks) >= 0
        return reaches

    def sliding_low_cube(self, stacks: Stacks) -> Numbers:
        """Least bending length cubed with all layers sliding.

        Each layer is at its heaviest if limper than the whole and at its lightest if stiffer; setting them so again and
        again, from any start, ends at the least after few turns.
        """
        cube = self._total(self.mass_low * self.cube_low, stacks) / self._total(self.mass_low, stacks)
        turns = 0 if np.array_equal(self.mass_low, self.mass_high) else stacks.shape[1] + 1
        for _ in range(turns):
            weight, stiff = np.zeros(len(stacks)), np.zeros(len(stacks))
            for place in range(stacks.shape[1]):
                at = stacks[:, place]
                own = self.cube_low[at]
                mass = np.where(own < cube, self.mass_high[at], self.mass_low[at])
                weight, stiff = weight + mass, stiff + mass * own
            before, cube = cube, stiff / weight
            if np.array_equal(before, cube):
                break
        return cube

    def joints_known(self, stacks: Stacks) -> Flags:
        """Whether a joint in the stack is known by swatch or share."""
        known = np.zeros(len(stacks), dtype=bool)
        if self.knows_bond.any():
            for outer, inner, touching in self._neighbours(stacks):
                known |= touching & self.knows_bond[outer, inner]
        return known

    def _neighbours(self, stacks: Stacks) -> Iterator[tuple[Stacks, Stacks, Flags]]:
        last = stacks[:, 0]
        for place in range(1, stacks.shape[1]):
            at = stacks[:, place]
            yield last, at, self.is_sheet[last] & self.is_sheet[at]
            last = np.where(self.is_sheet[at], at, last)

    def reached_cube(self, stacks: Stacks) -> Numbers:
        """Bending length cubed at the middles of masses and thicknesses with the stiffest overhangs and bonds.

        Without swatches it is one of those that can be true, so the most is no less.
        """
        mass, thickness = (self.mass_low + self.mass_high) / 2, (self.thickness_low + self.thickness_high) / 2
        stiff = self._total(RIGIDITY_UNM_PER_GSM_MM3 * mass * self.cube_high, stacks)
        gain = self._gain(stacks, mass, (thickness, thickness))
        cubes: Numbers = (stiff + gain) / (RIGIDITY_UNM_PER_GSM_MM3 * self._total(mass, stacks))
        return cubes

    def unsurpassed_cube(self, stacks: Stacks) -> Numbers:
        """What bending length cubed never surpasses: every term at the end of the readings that makes it largest.

        Whether or not they can all be there at once. With swatches the layers' mean gives way to the largest of all.
        """
        gain = self._gain(stacks, self.mass_high, (self.thickness_low, self.thickness_high))
        mirrored = replace(self, cube_low=-self.cube_high)
        largest = np.maximum(self.cube_high[stacks].max(axis=1), self.swatch_cubes[1])
        mean = np.where(self.joints_known(stacks), largest, -mirrored.sliding_low_cube(stacks))
        cubes: Numbers = mean + gain / (RIGIDITY_UNM_PER_GSM_MM3 * self._total(self.mass_low, stacks))
        return cubes

    def undercut_cube(self, stacks: Stacks) -> Numbers:
        """What bending length cubed never falls below: that of the limpest layer or swatch."""
        limpest = np.where(self.is_sheet, self.cube_low, np.inf)[stacks].min(axis=1)
        cubes: Numbers = np.minimum(limpest, self.swatch_cubes[0])
        return cubes

    def _gain(self, stacks: Stacks, mass: Numbers, thicknesses: tuple[Numbers, Numbers]) -> Numbers:
        """What the joints add to the rigidity (`laminate.rigidity_of_layers`), over places that may be empty.

        The first of `thicknesses` is for how much a layer gives, the second for how far apart layers lie.
        """
        own = np.where(self.is_sheet, RIGIDITY_UNM_PER_GSM_MM3 * mass * self.cube_high, 1.0)
        give, thickness = thicknesses[0] ** 2 / (12 * own), thicknesses[1]
        gain, passed, pull = (np.zeros(len(stacks)) for _ in range(3))
        for outer, inner, touching in self._neighbours(stacks):
            a, apart = give[outer], (thickness[outer] + thickness[inner]) / 2
            share = np.where(touching, self.share_high[outer, inner], 0.0)
            next_pull = apart + a * passed * pull
            divisor = np.where(touching, a * (1 - share * a * passed) + give[inner], 1.0)
            next_passed = share / divisor
            gain = gain + next_passed * next_pull**2
            stays = ~self.is_sheet[inner]
            passed, pull = np.where(stays, passed, next_passed), np.where(stays, pull, next_pull)
        return gain


def columns_of(question: SwapQuestion) -> Columns:
    """The choices of a sound question in columns."""
    choices = [choice for place in question.places for choice in place]
    sheets = [choice.sheet for choice in choices]
    sizes = tuple(len(place) for place in question.places)
    ends = {name: _ends(sheets, name) for name in ("mass_gsm", "thickness_mm")}
    cube_low, cube_high = (np.array([_cube(sheet, end) for sheet in sheets]) for end in ("low", "high"))
    share_high, knows_bond = _joints(sheets, question)
    return Columns(
        starts=tuple(int(n) for n in np.cumsum((0, *sizes[:-1]))),
        sizes=sizes,
        is_sheet=np.array([sheet is not None for sheet in sheets]),
        counted=np.array([[getattr(choice, name) for choice in choices] for name in _COUNTED], dtype=np.float64),
        mass_low=ends["mass_gsm"][0],
        mass_high=ends["mass_gsm"][1],
        thickness_low=ends["thickness_mm"][0],
        thickness_high=ends["thickness_mm"][1],
        cube_low=cube_low,
        cube_high=cube_high,
        share_high=share_high,
        knows_bond=knows_bond,
        swatch_cubes=_swatch_cubes(question),
    )


def _ends(sheets: Sequence[Sheet | None], name: str) -> tuple[Numbers, Numbers]:
    readings: list[Reading] = [getattr(sheet, name) if sheet else _NOTHING for sheet in sheets]
    return np.array([reading.low for reading in readings]), np.array([reading.high for reading in readings])


_NOTHING = Reading.exact(0.0)


def _cube(sheet: Sheet | None, end: str) -> float:
    return bending_length_mm(getattr(sheet.overhang_mm, end), angle_deg=sheet.angle_deg) ** 3 if sheet else 0.0


def _swatch_cubes(question: SwapQuestion) -> tuple[float, float]:
    own = [choice.sheet.bond for place in question.places for choice in place if choice.sheet]
    swatches = [bond.swatch for bond in (*own, *question.bonds.values()) if bond.swatch]
    ends = [[getattr(s.overhang_mm, end) for s in swatches] for end in ("low", "high")]
    cubes = [
        [bending_length_mm(overhang, angle_deg=s.angle_deg) ** 3 for overhang, s in zip(end, swatches, strict=True)]
        for end in ends
    ]
    return min(cubes[0], default=math.inf), max(cubes[1], default=0.0)


def _joints(sheets: Sequence[Sheet | None], question: SwapQuestion) -> tuple[Numbers, Flags]:
    """Most share of bond, and whether more than sliding is known, of each outer choice (row) with each inner one."""
    share, known = np.zeros((len(sheets), len(sheets))), np.zeros((len(sheets), len(sheets)), dtype=bool)
    for j, inner in enumerate(sheets):
        if inner and inner.held in HOLDS_FLAT:
            for i, outer in enumerate(sheets):
                bond = bond_between(question, outer, inner) if outer else Bond()
                share[i, j] = bond.share.high if bond.share else 1.0
                known[i, j] = bool(bond.swatch) or bool(bond.share and bond.share.low > 0)
    return share, known


def bond_between(question: SwapQuestion, outer: Sheet, inner: Sheet) -> Bond:
    """What is known of the bond of two sheets: the question's word for the pair, else the inner sheet's own."""
    return question.bonds.get((outer.name, inner.name), inner.bond)


def sheets_of(question: SwapQuestion, stack: Sequence[int]) -> list[Sheet]:
    """The sheets of one stack, each with its bond to the one before; `stack` numbers the choices over all places."""
    choices = [choice for place in question.places for choice in place]
    sheets = [sheet for number in stack if (sheet := choices[number].sheet)]

    def joined(before: list[Sheet], sheet: Sheet) -> list[Sheet]:
        return [*before, replace(sheet, bond=bond_between(question, before[-1], sheet)) if before else sheet]

    return functools.reduce(joined, sheets, list[Sheet]())
