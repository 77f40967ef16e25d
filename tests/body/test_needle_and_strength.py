"""Needle, thread, stitch and strength: order, limits, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.body.needle import (
    american_needle,
    cloth_class,
    metric_needle,
    needle_for_thread,
    sewing_advice,
    within_machine,
)
from bagwright.body.strength import CAUTIONS, JERKS, seam_strength_n_per_mm, strap_angle_deg, strap_join, strap_pull_n
from bagwright.errors import FaultyInput
from bagwright.model.sewing import Cloth
from bagwright.model.source import Reading
from tests.body.sheets import GUESS

POSITIVE = st.floats(0.1, 1000)


@pytest.mark.parametrize(
    ("mass", "holes_stay", "expected"),
    [(149, False, Cloth.LIGHT), (150, False, Cloth.MEDIUM), (300, False, Cloth.HEAVY), (900, True, Cloth.HOLES_STAY)],
)
def test_cloth_is_classed_by_its_weight(mass, holes_stay, expected):
    assert cloth_class(mass, holes_stay=holes_stay) is expected


def test_heavier_cloth_takes_heavier_needle_thread_and_longer_stitch():
    light, medium, heavy = (sewing_advice(cloth, 1.0) for cloth in (Cloth.LIGHT, Cloth.MEDIUM, Cloth.HEAVY))
    for name in ("needle_nm", "thread_tex", "stitch_mm"):
        lows = [getattr(advice, name).low for advice in (light, medium, heavy)]
        assert lows == sorted(lows) and lows[0] < lows[-1]


@pytest.mark.parametrize("cloth", [Cloth.LIGHT, Cloth.MEDIUM, Cloth.HEAVY])
def test_thick_seam_takes_the_next_needle_and_is_sewn_slowly(cloth):
    thin, thick = sewing_advice(cloth, 3.0), sewing_advice(cloth, 3.1)
    assert thick.needle_nm.low > thin.needle_nm.low
    assert any("slowly" in note for note in thick.notes) and not thin.notes


def test_holes_that_stay_keep_their_needle_however_thick():
    thin, thick = (sewing_advice(Cloth.HOLES_STAY, mm) for mm in (1.0, 5.0))
    assert thin == thick
    assert any("clip" in note for note in thin.notes)


@pytest.mark.parametrize("cloth", list(Cloth))
def test_every_part_of_the_advice_has_a_source_and_a_needle_that_is_sold(cloth):
    for mm in (1.0, 4.0):
        advice = sewing_advice(cloth, mm)
        assert {source.split(":")[0].split(" ")[0] for source in advice.sources} >= {"needle", "thread"}
        assert all(american_needle(end) for end in (advice.needle_nm.low, advice.needle_nm.high))


@given(st.floats(10, 200))
def test_property_thicker_thread_never_takes_a_finer_needle(tex):
    finer, thicker = needle_for_thread(tex), needle_for_thread(tex * 1.3)
    assert finer.low <= thicker.low and finer.high <= thicker.high


@given(POSITIVE, POSITIVE, st.floats(1.01, 5))
def test_property_strength_scales(stitch, thread, factor):
    once = seam_strength_n_per_mm(stitch, thread)
    assert seam_strength_n_per_mm(stitch, thread * factor) == pytest.approx(once * factor)
    assert seam_strength_n_per_mm(stitch * factor, thread) == pytest.approx(once / factor)


@given(POSITIVE, st.floats(0, 84), st.integers(1, 4))
def test_property_flatter_straps_pull_harder(load, angle, ends):
    pull = strap_pull_n(load, angle_deg=angle, ends=ends)
    assert pull >= load / ends * (1 - 1e-12)
    assert strap_pull_n(load, angle_deg=angle + 1, ends=ends) > pull
    assert pull * ends * math.cos(math.radians(angle)) == pytest.approx(load)


@given(POSITIVE, POSITIVE)
def test_property_angle_of_a_strap_is_that_of_its_triangle(drop, spread):
    assert math.tan(math.radians(strap_angle_deg(drop, spread))) == pytest.approx(spread / 2 / drop)


@pytest.mark.parametrize(("stitched", "word"), [(200, "holds that well"), (25, "may hold"), (10, "is weak")])
def test_join_is_judged_with_jerks_and_cautions(stitched, word):
    join = strap_join(40, stitched, 3, Reading(18, 12, 24, GUESS))
    assert word in join.word
    assert join.peak_n == JERKS * 40
    assert join.bears_n.low == pytest.approx(stitched * 1.5 * 12 / 3)
    assert join.safety.high == pytest.approx(join.bears_n.high / join.peak_n)
    assert join.cautions == CAUTIONS and any("children" in caution for caution in CAUTIONS)


@pytest.mark.parametrize(
    ("call", "places"),
    [
        (lambda: strap_pull_n(10, angle_deg=90, ends=0), ["angle_deg", "ends"]),
        (lambda: strap_pull_n(0), ["load_n"]),
        (lambda: strap_join(1, 0, 3, Reading.exact(10)), ["stitched_mm"]),
        (lambda: seam_strength_n_per_mm(0, -1), ["stitch_length_mm", "thread_strength_n"]),
        (lambda: sewing_advice(Cloth.LIGHT, 0), ["seam_mm"]),
        (lambda: cloth_class(math.nan), ["mass_gsm"]),
        (lambda: needle_for_thread(-1), ["tex"]),
        (lambda: metric_needle(20), ["needle"]),
    ],
)
def test_rejects_what_is_out_of_range(call, places):
    with pytest.raises(FaultyInput) as refused:
        call()
    assert [problem.place for problem in refused.value.problems] == places


@pytest.mark.parametrize(
    ("takes", "needle", "told"),
    [
        (0, (100, 110), ""),
        (110, (100, 110), ""),
        (100, (100, 100), "up to 100/16: stay at that"),
        (90, (100, 110), "up to 90/14, and this wants 100/16. Do not put a thicker one in"),
    ],
)
def test_needles_stay_within_what_the_machine_takes(takes, needle, told):
    advice = sewing_advice(Cloth.HEAVY, 1.2)
    kept = within_machine(advice, takes)
    assert (kept.needle_nm.low, kept.needle_nm.high) == needle
    assert told in " ".join(kept.notes)
    assert bool(told) == (kept.notes != advice.notes)


def test_rejects_a_machine_that_takes_less_than_no_needle():
    with pytest.raises(FaultyInput):
        within_machine(sewing_advice(Cloth.HEAVY, 1.2), -1)
