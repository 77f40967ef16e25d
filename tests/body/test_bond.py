"""The share of bond from a bonded scrap: it comes back, holds the truth, and says when readings contradict it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.body.bond import IN_REACH, SOFTER, STIFFER, share_of_bond
from bagwright.body.laminate import Ply, held_rigidity_unm
from bagwright.body.ruler_test import bending_length_mm, bending_length_of_rigidity_mm, rigidity_unm
from bagwright.errors import FaultyInput
from bagwright.model.body import BondedSwatch, Sheet
from bagwright.model.source import Reading, SourceKind
from tests.body.sheets import GUESS, reading, sheet, sheets

PER_OVERHANG = bending_length_mm(1, angle_deg=41.5)


def overhang_with(outer: Sheet, inner: Sheet, share: float, *, at: str = "value") -> float:
    """What a scrap of two sheets would hang over, were that the share of its bond."""
    mass, thickness, overhang = (
        [getattr(getattr(s, name), at) for s in (outer, inner)] for name in ("mass_gsm", "thickness_mm", "overhang_mm")
    )
    plies = [
        Ply(rigidity_unm(m, bending_length_mm(o, angle_deg=s.angle_deg)), t)
        for m, o, t, s in zip(mass, overhang, thickness, (outer, inner), strict=True)
    ]
    return bending_length_of_rigidity_mm(held_rigidity_unm(plies, [share]), sum(mass)) / PER_OVERHANG


@settings(deadline=None)
@given(sheets(), sheets(), st.floats(0, 1))
def test_property_share_comes_back(outer, inner, share):
    swatch = BondedSwatch(overhang_mm=Reading.exact(overhang_with(outer, inner, share)))
    found = share_of_bond(outer, inner, swatch)
    assert found.share.value == pytest.approx(share, abs=1e-6)
    assert (found.unclipped.low, found.unclipped.high) == pytest.approx((share, share), abs=1e-6)
    assert found.share.source.kind is SourceKind.MEASURED


def test_range_holds_every_share_that_the_readings_allow():
    rng = np.random.default_rng(4)
    outer, inner = (
        sheet("canvas", mass=reading(340, 0.1), overhang=reading(50, 0.1)),
        sheet("web", thickness=reading(0.4, 0.2)),
    )
    swatch = BondedSwatch(overhang_mm=reading(75, 0.05))
    found = share_of_bond(outer, inner, swatch)
    loose_ends = []
    for _ in range(3000):
        ends = [getattr(s, name) for s in (outer, inner) for name in ("mass_gsm", "thickness_mm", "overhang_mm")]
        m1, t1, o1, m2, t2, o2, o = (
            one.low + float(rng.choice([0, 1, rng.random()])) * (one.high - one.low)
            for one in [*ends, swatch.overhang_mm]
        )
        own = [rigidity_unm(m, PER_OVERHANG * over) for m, over in ((m1, o1), (m2, o2))]
        solid = held_rigidity_unm([Ply(own[0], t1), Ply(own[1], t2)], [1])
        scrap = rigidity_unm(m1 + m2, PER_OVERHANG * o)
        loose_ends.append((scrap - sum(own)) / (solid - sum(own)))
    assert found.unclipped.low <= min(loose_ends) and max(loose_ends) <= found.unclipped.high
    width = found.unclipped.high - found.unclipped.low
    assert max(loose_ends) - min(loose_ends) > 0.95 * width


@pytest.mark.parametrize(("factor", "word"), [(0.7, SOFTER), (1.0, IN_REACH), (1.6, STIFFER)])
def test_contradictions_are_told_and_the_share_kept_within_reach(factor, word):
    outer, inner = sheet("canvas"), sheet("web", mass=90, thickness=0.3, overhang=45)
    swatch = BondedSwatch(overhang_mm=Reading.exact(factor * overhang_with(outer, inner, 0.5)))
    found = share_of_bond(outer, inner, swatch)
    assert found.word == word
    assert 0 <= found.share.low <= found.share.value <= found.share.high <= 1


def test_two_layers_of_one_material_share_its_doubt():
    cloth = sheet("canvas", mass=reading(340, 0.2), thickness=reading(0.6, 0.3))
    swatch = BondedSwatch(overhang_mm=Reading.exact(65))
    # Of one bolt, mass and thickness drop out: 8 times one layer if solid, 2 times if loose.
    found = share_of_bond(cloth, cloth, swatch)
    by_hand = (2 * (65 / 50) ** 3 - 2) / 6
    assert (found.share.low, found.share.high) == pytest.approx((by_hand, by_hand))
    other = share_of_bond(cloth, sheet("twill", mass=cloth.mass_gsm, thickness=cloth.thickness_mm), swatch)
    assert other.share.high - other.share.low > 0.01


def test_rejects_every_fault_at_once():
    swatch = BondedSwatch(overhang_mm=Reading.exact(0), angle_deg=90)
    with pytest.raises(FaultyInput) as refused:
        share_of_bond(sheet(thickness=0), sheet(mass=Reading(-1, -1, 2, GUESS)), swatch)
    assert [problem.place for problem in refused.value.problems] == [
        "outer.thickness_mm",
        "inner.mass_gsm",
        "bond.swatch.overhang_mm",
        "bond.swatch.angle_deg",
    ]
    assert math.isfinite(share_of_bond(sheet(), sheet(), BondedSwatch(overhang_mm=Reading.exact(60))).share.value)
