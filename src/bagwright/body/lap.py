"""How a panel bends where the scraps of one of its layers lie on one another, against how it bends beside."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np

from bagwright.body.bond import share_of_bond
from bagwright.body.laminate import Numbers, rigidity_of_layers
from bagwright.body.limits import refuse_empty
from bagwright.body.ruler_test import bending_length_mm, rigidity_unm
from bagwright.body.search import highest
from bagwright.body.stack import HOLDS_FLAT, sheet_problems
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Lap, Sheet
from bagwright.model.source import Band

_SLIDES, _UNKNOWN = Band(0, 0), Band(0, 1)


def lap_of(sheets: Sequence[Sheet], place: int) -> Lap:
    r"""The ridge where the layer at `place` (0: the outermost) lies double, held to itself as it is to the one before.

    .. math:: f = \frac{B(1, \dots, k, k, \dots, n)}{B(1, \dots, k, \dots, n)}

    with B, the bending rigidity of the stack, by `laminate.held_rigidity_unm`. Above and below the line stand the same
    true numbers, so the band is that of the quotient: searched for over the readings' ranges and the share of every
    bond, 0 to 1 where it is fused or quilted and not measured; the lap's own is never measured. A swatch counts as the
    share that it tells (`bond.share_of_bond`). For a layer all by itself that gives 2 if the lap slides and 8 if it
    cannot; below 1 lies only a lap that slides between layers that hold to it from both sides.

    Assumes what `stack_body` does, and that the lap is many times wider than thick. Whether one sees the ridge is not
    told: that hangs on cloth and light. Source: as `laminate` (parallel-axis theorem, least strain energy).

    Raises `FaultyInput` as `stack_body` does, and for a place that is none.

    >>> from bagwright.model.source import Reading
    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> lap_of([cloth, cloth], 1)
    Lap(step_mm=0.6, stiffer=Band(low=1.5, high=1.5))
    """
    refuse_empty(sheets)
    problems = [problem for i, sheet in enumerate(sheets) for problem in sheet_problems(sheet, place=f"layers[{i}]")]
    if not 0 <= place < len(sheets):
        what, allowed = "is no layer of the stack", f"0 to {len(sheets) - 1}"
        problems.append(Problem(place="place", value=str(place), what=what, allowed=allowed, remedy="Count again."))
    if problems:
        raise FaultyInput(problems)
    return Lap(step_mm=sheets[place].thickness_mm.value, stiffer=_stiffer(tuple(sheets), place))


@lru_cache(maxsize=256)
def _stiffer(sheets: tuple[Sheet, ...], place: int) -> Band:
    shares = [_share(outer, inner) for outer, inner in pairwise(sheets)]
    lap = _UNKNOWN if place and sheets[place].held in HOLDS_FLAT else _SLIDES
    materials = [(one.name, one.mass_gsm, one.thickness_mm, one.overhang_mm, one.angle_deg) for one in sheets]
    firsts = [materials.index(material) for material in dict.fromkeys(materials)]
    which = np.array([firsts.index(materials.index(material)) for material in materials], dtype=np.intp)
    spans = [_rigidity(sheets[i]) for i in firsts] + [_thickness(sheets[i]) for i in firsts] + shares
    low, high = (np.array([[getattr(span, end) for span in spans]], dtype=float) for end in ("low", "high"))
    thicknesses, joints = len(firsts), 2 * len(firsts)

    def quotient(rows: Numbers, share_of_lap: float) -> Numbers:
        own, thick, share = rows[..., which], rows[..., thicknesses + which], rows[..., joints:]
        double = np.insert(own, place, own[..., place], axis=-1), np.insert(thick, place, thick[..., place], axis=-1)
        return rigidity_of_layers(*double, np.insert(share, place, share_of_lap, axis=-1)) / rigidity_of_layers(
            own, thick, share
        )

    # A larger share never makes a stack limper, so that of the lap lies at its ends.
    least = -float(highest(lambda rows: -quotient(rows, lap.low), low, high)[0])
    return Band(least, max(least, float(highest(lambda rows: quotient(rows, lap.high), low, high)[0])))


def _share(outer: Sheet, inner: Sheet) -> Band:
    """Of the bond of `inner` to the one before."""
    if inner.held not in HOLDS_FLAT:
        return _SLIDES
    swatch = inner.bond.swatch
    known = share_of_bond(outer, inner, swatch).share if swatch else inner.bond.share
    return Band(known.low, known.high) if known else _UNKNOWN


def _rigidity(sheet: Sheet) -> Band:
    ends = ((sheet.mass_gsm.low, sheet.overhang_mm.low), (sheet.mass_gsm.high, sheet.overhang_mm.high))
    return Band(*(rigidity_unm(mass, bending_length_mm(hangs, angle_deg=sheet.angle_deg)) for mass, hangs in ends))


def _thickness(sheet: Sheet) -> Band:
    return Band(sheet.thickness_mm.low, sheet.thickness_mm.high)
