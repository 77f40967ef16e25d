"""Stacks: which is stiffer than which, what the band holds, what is refused."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.body.laminate import Ply, bonded_rigidity_unm, loose_rigidity_unm
from bagwright.body.ruler_test import bending_length_mm, bending_length_of_rigidity_mm, rigidity_unm
from bagwright.body.stack import bending_length_band_mm, stack_body
from bagwright.errors import FaultyInput
from bagwright.model.body import Sheet
from bagwright.model.material import Held
from bagwright.model.source import Reading
from tests.body.sheets import SLIDING, reading, sheet, sheets

PLIES = st.builds(Ply, st.floats(0.01, 5000), st.floats(0.05, 6))
STACKS = st.lists(sheets(most_spread=0.3), min_size=1, max_size=4)
EXACT = st.lists(sheets(), min_size=1, max_size=5)
A_LITTLE = 1 + 1e-9
# The search for the high end leaves at most this.
SEARCHED = 1 + 1e-4


def _rigidity(one: Sheet, mass: float, overhang: float) -> float:
    return rigidity_unm(mass, bending_length_mm(overhang, angle_deg=one.angle_deg))


def _held_flat(stack: list[Sheet], rigidities: list[float], thicknesses: list[float]) -> float:
    """Runs of fused and quilted layers as solids, added loosely: written out layer by layer."""
    total, run = 0.0, [Ply(rigidities[0], thicknesses[0])]
    for one, rigidity, thickness in zip(stack[1:], rigidities[1:], thicknesses[1:], strict=True):
        if one.held in SLIDING:
            total += bonded_rigidity_unm(run)
            run = []
        run.append(Ply(rigidity, thickness))
    return total + bonded_rigidity_unm(run)


def _at(stack: list[Sheet], share: float) -> list[Sheet]:
    """The stack with every reading exact, at this share of its range."""

    def picked(one: Reading) -> Reading:
        return Reading.exact(min(one.low + share * (one.high - one.low), one.high))

    return [
        replace(s, mass_gsm=picked(s.mass_gsm), thickness_mm=picked(s.thickness_mm), overhang_mm=picked(s.overhang_mm))
        for s in stack
    ]


@given(st.lists(PLIES, min_size=1, max_size=6))
def test_property_bonded_is_never_less_than_loose(plies):
    assert bonded_rigidity_unm(plies) >= loose_rigidity_unm([p.rigidity_unm for p in plies]) / A_LITTLE


@given(PLIES, PLIES)
def test_property_two_bonded_layers_are_at_most_four_times_the_loose(one, other):
    # By Cauchy's inequality, reached where thicknesses stand as rigidities do.
    loose = one.rigidity_unm + other.rigidity_unm
    assert bonded_rigidity_unm([one, other]) <= 4 * loose * A_LITTLE
    best = Ply(other.rigidity_unm, one.thickness_mm * other.rigidity_unm / one.rigidity_unm)
    if 1e-6 <= best.thickness_mm <= 1e9:
        assert bonded_rigidity_unm([one, best]) == pytest.approx(4 * loose)


@given(st.lists(PLIES, min_size=1, max_size=5), PLIES)
def test_property_another_layer_never_makes_it_limper(plies, more):
    assert bonded_rigidity_unm([*plies, more]) >= bonded_rigidity_unm(plies) / A_LITTLE
    assert bonded_rigidity_unm([more, *plies]) >= bonded_rigidity_unm(plies) / A_LITTLE


@given(st.lists(PLIES, min_size=1, max_size=5), st.floats(0.1, 10))
def test_property_bonded_scales_with_rigidity_and_not_with_thickness(plies, scale):
    once = bonded_rigidity_unm(plies)
    stiffer = [Ply(p.rigidity_unm * scale, p.thickness_mm) for p in plies]
    thicker = [Ply(p.rigidity_unm, p.thickness_mm * scale) for p in plies]
    assert bonded_rigidity_unm(stiffer) == pytest.approx(scale * once)
    assert bonded_rigidity_unm(thicker) == pytest.approx(once)


@given(st.lists(PLIES, min_size=1, max_size=5))
def test_property_bonded_is_the_same_from_either_side(plies):
    assert bonded_rigidity_unm(plies[::-1]) == pytest.approx(bonded_rigidity_unm(plies))


@given(sheets(most_spread=0.3))
def test_property_single_layer_bends_as_its_ruler_test_says(one):
    body = stack_body([one])
    ends = (one.overhang_mm.low, one.overhang_mm.high)
    low, high = (bending_length_mm(end, angle_deg=one.angle_deg) for end in ends)
    # The mass cancels: it is on both sides of the ruler test.
    assert (body.bending_length_mm.low, body.bending_length_mm.high) == pytest.approx((low, high))
    assert body.rigidity_unm.low == pytest.approx(_rigidity(one, one.mass_gsm.low, one.overhang_mm.low))
    assert body.rigidity_unm.high == pytest.approx(_rigidity(one, one.mass_gsm.high, one.overhang_mm.high))


@given(st.lists(sheets(held=SLIDING), min_size=1, max_size=5))
def test_property_exact_sliding_stack_has_no_band(stack):
    body = stack_body(stack)
    assert body.rigidity_unm.low == body.rigidity_unm.high
    assert body.bending_length_mm.low == body.bending_length_mm.high
    assert body.standing_height_mm.low == body.standing_height_mm.high
    alone = [_rigidity(s, s.mass_gsm.value, s.overhang_mm.value) for s in stack]
    assert body.rigidity_unm.low == pytest.approx(math.fsum(alone))


@given(EXACT)
def test_property_exact_stack_spans_sliding_to_solid(stack):
    body = stack_body(stack)
    alone = [_rigidity(s, s.mass_gsm.value, s.overhang_mm.value) for s in stack]
    solid = _held_flat(stack, alone, [s.thickness_mm.value for s in stack])
    assert body.rigidity_unm.low == pytest.approx(math.fsum(alone))
    assert body.rigidity_unm.high == pytest.approx(solid)
    assert body.mass_gsm == pytest.approx(sum(s.mass_gsm.value for s in stack))
    assert body.thickness_mm == pytest.approx(sum(s.thickness_mm.value for s in stack))
    for rigidity, length in (
        (body.rigidity_unm.low, body.bending_length_mm.low),
        (body.rigidity_unm.high, body.bending_length_mm.high),
    ):
        assert length == pytest.approx(bending_length_of_rigidity_mm(rigidity, body.mass_gsm))


def _one_truth_for_each_material(stack, values):
    """Layers of one material (same name and readings) share its true numbers."""
    told = {((s.name, s.mass_gsm, s.thickness_mm, s.overhang_mm), v) for s, v in zip(stack, values, strict=True)}
    return len(told) == len({sheet for sheet, _ in told})


@settings(max_examples=25, deadline=None)
@given(st.lists(sheets(most_spread=0.3), min_size=1, max_size=3))
def test_property_band_holds_every_corner_of_the_readings(stack):
    body = stack_body(stack)
    ends = [(r.low, r.high) for s in stack for r in (s.mass_gsm, s.thickness_mm, s.overhang_mm)]
    for corner in itertools.product(*ends):
        masses, thicknesses, overhangs = corner[0::3], corner[1::3], corner[2::3]
        if not _one_truth_for_each_material(stack, list(zip(masses, thicknesses, overhangs, strict=True))):
            continue
        alone = [_rigidity(s, m, o) for s, m, o in zip(stack, masses, overhangs, strict=True)]
        for rigidity in (math.fsum(alone), _held_flat(stack, alone, list(thicknesses))):
            length = bending_length_of_rigidity_mm(rigidity, sum(masses))
            assert body.rigidity_unm.low / A_LITTLE <= rigidity <= body.rigidity_unm.high * SEARCHED
            assert body.bending_length_mm.low / A_LITTLE <= length <= body.bending_length_mm.high * SEARCHED


@settings(deadline=None)
@given(STACKS, st.floats(0, 1))
def test_property_band_holds_the_inside_of_the_readings(stack, share):
    wide, inside = stack_body(stack), stack_body(_at(stack, share))
    for outer, inner in (
        (wide.rigidity_unm, inside.rigidity_unm),
        (wide.bending_length_mm, inside.bending_length_mm),
        (wide.standing_height_mm, inside.standing_height_mm),
    ):
        assert outer.low / A_LITTLE <= inner.low
        assert inner.high <= outer.high * SEARCHED


@settings(deadline=None)
@given(STACKS, sheets(most_spread=0.3))
def test_property_another_layer_never_lowers_rigidity(stack, more):
    before, after = stack_body(stack).rigidity_unm, stack_body([*stack, more]).rigidity_unm
    assert after.low >= before.low / A_LITTLE
    assert after.high >= before.high / SEARCHED


@settings(deadline=None)
@given(STACKS)
def test_property_how_it_is_held_moves_only_the_high_end(stack):
    loosened = [replace(s, held=Held.LOOSE) for s in stack]
    fused = [replace(s, held=Held.FUSED) for s in stack]
    as_held, sliding, solid = (bending_length_band_mm(s) for s in (stack, loosened, fused))
    assert as_held.low == sliding.low == solid.low
    assert sliding.high <= as_held.high * SEARCHED
    assert as_held.high <= solid.high * SEARCHED


@settings(deadline=None)
@given(STACKS, st.sampled_from(list(Held)))
def test_property_first_layer_has_nothing_to_be_held_to(stack, held):
    assert stack_body([replace(stack[0], held=held), *stack[1:]]) == stack_body(stack)


@pytest.mark.parametrize(
    ("held", "slides"), [(Held.FUSED, False), (Held.QUILTED, False), (Held.BASTED, True), (Held.LOOSE, True)]
)
def test_limit_of_two_equal_layers(held, slides):
    # Derived: sliding 2 x one layer; as one solid 8 x. Twice the mass: bending length 1 x, or 4^(1/3) x.
    body = stack_body([sheet(), sheet(held=held)])
    alone = stack_body([sheet()])
    assert body.rigidity_unm.low == pytest.approx(2 * alone.rigidity_unm.low)
    assert body.rigidity_unm.high == pytest.approx((2 if slides else 8) * alone.rigidity_unm.low)
    assert body.bending_length_mm.low == pytest.approx(alone.bending_length_mm.low)
    assert body.bending_length_mm.high == pytest.approx(alone.bending_length_mm.low * (1 if slides else math.cbrt(4)))


def test_limit_of_a_range_of_thickness_that_spans_the_stiffest_pair():
    # Two equal rigidities are stiffest at equal thickness (4 x loose); both ends of the range give less.
    stack = [sheet(thickness=0.6), sheet(thickness=Reading(0.6, 0.3, 1.2, reading(1).source), held=Held.FUSED)]
    body = stack_body(stack)
    for thickness in (0.3, 1.2):
        end = stack_body([stack[0], sheet(thickness=thickness, held=Held.FUSED)])
        assert end.rigidity_unm.high < 0.95 * body.rigidity_unm.high
    assert body.rigidity_unm.high == pytest.approx(4 * body.rigidity_unm.low, rel=1e-4)


def test_limit_of_a_heavy_limp_layer_that_drags_the_bending_length_down():
    # Loose: c^3 is the mean of the layers' c^3, weighted by mass. A limp layer at its heaviest gives the low end.
    stack = [sheet(overhang=80), sheet(mass=Reading(200, 100, 400, reading(1).source), overhang=20)]
    stiff, limp = (bending_length_mm(o, angle_deg=41.5) ** 3 for o in (80, 20))
    band = bending_length_band_mm(stack)
    assert band.low**3 == pytest.approx((340 * stiff + 400 * limp) / 740)
    assert band.high**3 == pytest.approx((340 * stiff + 100 * limp) / 440)


def test_rejects_an_empty_stack():
    for call in (lambda: stack_body([]), lambda: loose_rigidity_unm([]), lambda: bonded_rigidity_unm([])):
        with pytest.raises(FaultyInput) as refused:
            call()
        assert [problem.place for problem in refused.value.problems] == ["layers"]


def test_rejects_every_fault_of_every_layer_at_once():
    stack = [
        sheet(thickness=0),
        replace(sheet(mass=-5, overhang=reading(1, 1)), angle_deg=90.0),
        sheet(),
    ]
    with pytest.raises(FaultyInput) as refused:
        stack_body(stack)
    assert {problem.place for problem in refused.value.problems} == {
        "layers[0].thickness_mm",
        "layers[1].mass_gsm",
        "layers[1].overhang_mm",
        "layers[1].angle_deg",
    }


@pytest.mark.parametrize("ply", [Ply(10, 0), Ply(0, 0.3), Ply(-1, 0.3), Ply(math.nan, 0.3), Ply(10, math.inf)])
def test_rejects_layers_without_size(ply):
    with pytest.raises(FaultyInput) as refused:
        bonded_rigidity_unm([Ply(10, 0.3), ply])
    (problem,) = refused.value.problems
    assert problem.place.startswith("layers[1].")
