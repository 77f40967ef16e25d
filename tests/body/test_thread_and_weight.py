"""Thread per seam and mass of the bag: laws and refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.body.thread import thread_length_mm, thread_ratio_lockstitch, thread_ratio_pulled
from bagwright.body.weight import bag_mass_g
from bagwright.errors import FaultyInput
from bagwright.units import GRAMS_PER_OZ, MM_PER_YARD

POSITIVE = st.floats(0.01, 100)


@given(POSITIVE, POSITIVE, POSITIVE)
def test_property_thread_grows_with_thickness_and_shrinks_with_stitch_length(thickness, stitch, more):
    ratio = thread_ratio_lockstitch(thickness, stitch)
    assert ratio > 2
    assert thread_ratio_lockstitch(thickness + more, stitch) > ratio
    assert thread_ratio_lockstitch(thickness, stitch + more) < ratio
    assert thread_ratio_lockstitch(thickness * more, stitch * more) == pytest.approx(ratio)


@pytest.mark.parametrize("number", [0.0, -1.0, math.nan, math.inf])
def test_thread_rejects_numbers_that_are_no_size(number):
    for thickness, stitch, place in ((number, 2.5, "thickness_mm"), (1.0, number, "stitch_length_mm")):
        with pytest.raises(FaultyInput) as refused:
            thread_ratio_lockstitch(thickness, stitch)
        assert [problem.place for problem in refused.value.problems] == [place]


@given(POSITIVE, st.lists(POSITIVE, min_size=1, max_size=3), POSITIVE)
def test_property_pulled_ratio_gives_back_the_thread(seam, threads, other):
    ratio = thread_ratio_pulled(seam, threads)
    assert thread_length_mm(seam, ratio, waste_share=0) == pytest.approx(sum(threads))
    assert thread_length_mm(other, ratio, waste_share=0.1) == pytest.approx(1.1 * other / seam * sum(threads))


def test_pulled_thread_rejects_every_number_that_is_no_size():
    with pytest.raises(FaultyInput) as refused:
        thread_ratio_pulled(0, [10, -1])
    assert [problem.place for problem in refused.value.problems] == ["seam_mm", "threads_mm[1]"]


def test_mass_of_a_square_yard_agrees_with_its_ounces():
    # Derived: a square yard of 12 oz/yd2 weighs 12 oz.
    mass_gsm = 12 * GRAMS_PER_OZ / (MM_PER_YARD / 1000) ** 2
    assert bag_mass_g([(MM_PER_YARD**2, mass_gsm)]) == pytest.approx(12 * GRAMS_PER_OZ)


@given(st.lists(st.tuples(st.floats(0, 1e6), st.floats(0, 1000)), max_size=6), st.lists(st.floats(0, 50), max_size=4))
def test_property_mass_adds_up_in_any_order(areas, items):
    whole = bag_mass_g(areas, items_g=items)
    assert whole == pytest.approx(bag_mass_g(areas) + bag_mass_g([], items_g=items))
    assert whole == bag_mass_g(areas[::-1], items_g=items[::-1])


def test_nothing_weighs_nothing():
    assert bag_mass_g([]) == 0


def test_mass_rejects_every_fault_at_once():
    with pytest.raises(FaultyInput) as refused:
        bag_mass_g([(100, math.nan), (-1, 340)], lengths=[(1200, -22)], items_g=[8, math.inf])
    assert [problem.place for problem in refused.value.problems] == [
        "sheets[0].mass_gsm",
        "sheets[1].area_mm2",
        "lengths[0].mass_gpm",
        "items_g[1]",
    ]
