"""How firmly two bonded materials hold to each other, from a ruler test on a scrap of the two."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bagwright.body.laminate import Numbers, gain_of_bonded_pairs
from bagwright.body.ruler_test import RIGIDITY_UNM_PER_GSM_MM3, bending_length_mm
from bagwright.body.search import highest
from bagwright.body.stack import bond_problems, sheet_problems
from bagwright.errors import FaultyInput
from bagwright.model.body import Bond, BondedSwatch, Sheet
from bagwright.model.source import Band, Reading, Source, SourceKind

IN_REACH = "Your scrap bends as layers that hold to each other in part."
SOFTER = "Your scrap is softer than its layers lying loose on each other: measure all three once more."
STIFFER = (
    "Your scrap is stiffer than its layers can be if they cannot slide: measure their thickness once more. Glue that "
    "soaks in also stiffens. The scrap itself is right: it is what counts for these two."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BondFinding:
    """What a bonded scrap tells. `share`: 0 slides freely, 1 cannot slide. `unclipped`: as reckoned, before it was kept
    between these two; `word`: what to make of it."""

    share: Reading
    unclipped: Band
    word: str


def share_of_bond(outer: Sheet, inner: Sheet, swatch: BondedSwatch) -> BondFinding:
    r"""Where between sliding and solid a bonded scrap of two sheets lies.

    .. math:: s = \frac{B_{scrap} - (B_1 + B_2)}{B_{solid} - (B_1 + B_2)}, \quad B_{scrap} = (W_1 + W_2) g c_{scrap}^3

    with the solid of `laminate.bonded_rigidity_unm`. The value is that of the readings' values; its range holds what
    true numbers within their ranges can give, no more (`stack_body` says how ranges are meant).

    Assumes that the scrap weighs what its layers weigh: glue counts with the layer that carries it.
    Raises `FaultyInput` for readings and angles out of range.

    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> round(share_of_bond(cloth, cloth, BondedSwatch(overhang_mm=Reading.exact(60))).share.value, 3)
    0.243
    """
    problems = [
        *sheet_problems(outer, place="outer"),
        *sheet_problems(inner, place="inner"),
        *bond_problems(Bond(swatch=swatch), place="bond"),
    ]
    if problems:
        raise FaultyInput(problems)
    values, low, high = (np.array([_row(outer, inner, swatch, end)]) for end in ("value", "low", "high"))
    same = _readings(outer) == _readings(inner)

    def share(rows: Numbers) -> Numbers:
        return _share(rows, same=same)

    value = float(share(values[None])[0, 0])
    band = Band(-float(highest(lambda rows: -share(rows), low, high)[0]), float(highest(share, low, high)[0]))
    kept, least, most = (min(max(number, 0.0), 1.0) for number in (value, band.low, band.high))
    source = Source(SourceKind.MEASURED, f"ruler test on a scrap of {outer.name} and {inner.name}")
    word = SOFTER if band.high < 0 else STIFFER if band.low > 1 else IN_REACH
    return BondFinding(share=Reading(kept, least, most, source), unclipped=band, word=word)


def crosswise_bond(outer: Sheet, inner: Sheet) -> Bond:
    """What the bond of `inner`, tested lengthwise, says crosswise: a share holds both ways, a swatch by its share.

    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> crosswise_bond(cloth, cloth)
    Bond(share=None, swatch=None)
    """
    swatch = inner.bond.swatch
    return Bond(share=share_of_bond(outer, inner, swatch).share if swatch else inner.bond.share)


def _row(outer: Sheet, inner: Sheet, swatch: BondedSwatch, end: str) -> list[float]:
    def cube(of: Sheet | BondedSwatch) -> float:
        return bending_length_mm(getattr(of.overhang_mm, end), angle_deg=of.angle_deg) ** 3

    masses = [getattr(sheet.mass_gsm, end) for sheet in (outer, inner)]
    thicknesses = [getattr(sheet.thickness_mm, end) for sheet in (outer, inner)]
    return [*masses, *thicknesses, cube(outer), cube(inner), cube(swatch)]


def _readings(sheet: Sheet) -> tuple[object, ...]:
    return sheet.name, sheet.mass_gsm, sheet.thickness_mm, sheet.overhang_mm, sheet.angle_deg


def _share(rows: Numbers, *, same: bool) -> Numbers:
    """The formula for rows of two masses, two thicknesses, two cubes and the scrap's; `same`: both are one material."""
    second = [0, 0, 2, 2, 4, 4, 6] if same else list(range(7))
    mass, thickness, cube = (rows[..., second[i : i + 2]] for i in (0, 2, 4))
    own = RIGIDITY_UNM_PER_GSM_MM3 * mass * cube
    scrap = RIGIDITY_UNM_PER_GSM_MM3 * mass.sum(axis=-1) * rows[..., 6]
    share: Numbers = (scrap - own.sum(axis=-1)) / gain_of_bonded_pairs(own, thickness)[..., 0]
    return share
