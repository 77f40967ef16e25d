"""What a stack of layers can be like: its weight, its thickness, and the honest band of how it bends."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import lru_cache

from bagwright.body.limits import angle_problems, number_problems, refuse_empty
from bagwright.body.standing import standing_height_mm
from bagwright.body.unknowns import End, Unknowns, together, unknowns_of
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Body, Bond, Sheet
from bagwright.model.material import Held
from bagwright.model.source import Band, Reading

HOLDS_FLAT = frozenset({Held.FUSED, Held.QUILTED})
"""Ways of holding that may keep a layer from sliding; see `stack_body`."""

_AT_ONCE = 128


def stack_body(sheets: Sequence[Sheet]) -> Body:
    """How a stack bends, from the outside of the bag inwards; each sheet's `held` says how it is held to the last.

    A reading's range is hard: the true number lies in it, anywhere, and nothing is said of where it rather lies. The
    band holds every answer that true numbers within their ranges can give, and no other: its ends are reached. Low:
    every joint holds as little as it may; high: FUSED and QUILTED ones hold as much as they may (`laminate`). Both at
    those readings that together give least and most. Not always their ends: a fused pair is stiffest where
    thicknesses stand as rigidities do. So the ends of the band are searched for where no formula gives them. Layers of
    one material share its true numbers. Mass and thickness are the sums of the readings' values.

    Why so: a bond of dots gives way to shear somewhat, so fused is anywhere between sliding and solid, unless a
    swatch or share of bond was measured. Rows of quilting stop layers sliding at each row, yet let the cloth
    between rows shear and buckle: anywhere between, too. Basting holds the edges only; an inner layer that would have
    to shorten bubbles away at once and passes on next to no shear, so BASTED slides, as LOOSE does.

    Bending length is (B / W g)^(1/3) of one and the same stack: a heavier reading of the mass makes a layer stiffer
    (the ruler test multiplies by it) and heavier at once, and leaves the bending length of a single layer alone.

    Raises `FaultyInput` with a `Problem` for every reading or angle that is out of range.

    >>> import dataclasses
    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> band = stack_body([cloth, dataclasses.replace(cloth, held=Held.FUSED)]).standing_height_mm
    >>> round(band.low, 1), round(band.high, 1)
    (49.7, 78.8)
    """
    return _stack_body(tuple(sheets))


@lru_cache(maxsize=1024)
def _stack_body(sheets: tuple[Sheet, ...]) -> Body:
    unknowns = _unknowns(sheets)
    low, high = (float(unknowns.rigidity_unm(end)[0]) for end in End)
    bends = _bending_length_band_mm(unknowns)
    return Body(
        mass_gsm=math.fsum(sheet.mass_gsm.value for sheet in sheets),
        thickness_mm=math.fsum(sheet.thickness_mm.value for sheet in sheets),
        rigidity_unm=Band(low, max(low, high)),
        bending_length_mm=bends,
        standing_height_mm=Band(standing_height_mm(bends.low), standing_height_mm(bends.high)),
    )


def bending_length_band_mm(sheets: Sequence[Sheet]) -> Band:
    """Only the bending length of `stack_body`. [mm]

    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> round(bending_length_band_mm([cloth]).low, 3)
    24.996
    """
    return _band_of(tuple(sheets))


@lru_cache(maxsize=1024)
def _band_of(sheets: tuple[Sheet, ...]) -> Band:
    return _bending_length_band_mm(_unknowns(sheets))


def bending_length_ends_mm(stacks: Sequence[Sequence[Sheet]], end: End) -> list[float]:
    """That end of `bending_length_band_mm` for each of many stacks, in much less time than one by one.

    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> [round(length, 3) for length in bending_length_ends_mm([[cloth], [cloth, cloth]], End.LOW)]
    [24.996, 24.996]
    """
    ends = [0.0] * len(stacks)
    by_count: dict[int, list[int]] = {}
    for i, sheets in enumerate(stacks):
        by_count.setdefault(len(sheets), []).append(i)
    for alike in by_count.values():
        for start in range(0, len(alike), _AT_ONCE):
            some = alike[start : start + _AT_ONCE]
            cubes = together([_unknowns(stacks[i]) for i in some]).bending_length_cubed_mm3(end)
            for i, cube in zip(some, cubes, strict=True):
                ends[i] = math.cbrt(cube)
    return ends


def bonded_runs(sheets: Sequence[Sheet]) -> list[slice]:
    """Where in the stack two or more layers in a row are held flat to one another.

    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> bonded_runs([cloth, cloth])
    []
    """
    slides = [i for i, sheet in enumerate(sheets) if i == 0 or sheet.held not in HOLDS_FLAT]
    runs = [slice(a, b) for a, b in itertools.pairwise([*slides, len(sheets)])]
    return [run for run in runs if run.stop - run.start > 1]


def _bending_length_band_mm(unknowns: Unknowns) -> Band:
    low, high = (math.cbrt(unknowns.bending_length_cubed_mm3(end)[0]) for end in End)
    return Band(low, max(low, high))


def _unknowns(sheets: Sequence[Sheet]) -> Unknowns:
    refuse_empty(sheets)
    problems = [problem for i, sheet in enumerate(sheets) for problem in sheet_problems(sheet, place=f"layers[{i}]")]
    if problems:
        raise FaultyInput(problems)
    return unknowns_of(sheets, bonded_runs(sheets))


def sheet_problems(sheet: Sheet, *, place: str) -> list[Problem]:
    """Faults in the ends of a sheet's readings (a range is as good as its worse end), in its angles and its bond.

    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0),
    ...               overhang_mm=Reading.exact(50))
    >>> [problem.place for problem in sheet_problems(cloth, place="layers[0]")]
    ['layers[0].thickness_mm']
    """
    readings = {"mass_gsm": sheet.mass_gsm, "thickness_mm": sheet.thickness_mm, "overhang_mm": sheet.overhang_mm}
    of_readings = number_problems({f"{place}.{key}": _worse_end(reading) for key, reading in readings.items()})
    of_angle = angle_problems(sheet.angle_deg, place=f"{place}.angle_deg")
    return [*of_readings, *of_angle, *bond_problems(sheet.bond, place=f"{place}.bond")]


def bond_problems(bond: Bond, *, place: str) -> list[Problem]:
    """Faults in what is known of a bond.

    >>> bond_problems(Bond(), place="layers[1].bond")
    []
    """
    problems = _share_problems(bond.share, f"{place}.share")
    if bond.swatch:
        problems += number_problems({f"{place}.swatch.overhang_mm": _worse_end(bond.swatch.overhang_mm)})
        problems += angle_problems(bond.swatch.angle_deg, place=f"{place}.swatch.angle_deg")
    return problems


def _worse_end(reading: Reading) -> float:
    return min(reading.low, reading.high, key=_fits)


def _fits(number: float) -> bool:
    return not number_problems({"": number})


def _share_problems(share: Reading | None, place: str) -> list[Problem]:
    if share is None or 0 <= share.low <= share.high <= 1:
        return []
    return [
        Problem(
            place=place,
            value=f"{share.low:g} to {share.high:g}",
            what="is no share",
            allowed="0 (slides freely) to 1 (cannot slide)",
            remedy="Work it out from a ruler test on a fused scrap.",
        )
    ]
