"""Bands: nothing is lost, nothing cut twice, few cases against every plan there is, and a printed chart."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.cutting.bands import plan_bands
from bagwright.cutting.check_bands import check_bands
from bagwright.errors import FaultyInput
from bagwright.model.bands import Band, BandPart, BandRequest, BandStrip

IN = 25.4


@st.composite
def band_requests(draw) -> BandRequest:
    strips = []
    for number in range(draw(st.integers(1, 5))):
        joined = draw(st.booleans())
        length = draw(st.floats(20, 4000 if joined else 1000))
        width = draw(st.sampled_from([25.0, 40.0, 80.0]))
        strips.append(
            BandStrip(id=f"s{number}", length_mm=length, width_mm=width, count=draw(st.integers(1, 6)), may_join=joined)
        )
    join = draw(st.sampled_from([0.0, 20.0, 90.0]))
    return BandRequest(band_mm=1000.0, strips=tuple(strips), join_mm=join, least_part_mm=draw(st.floats(1, 400)))


@given(band_requests())
@settings(deadline=None, max_examples=80)
def test_property_plans_pass_the_check_and_take_no_less_than_their_area(request):
    plan = plan_bands(request)
    assert check_bands(request, plan.bands).faults == ()
    area = sum(s.length_mm * s.width_mm * s.count for s in request.strips)
    assert plan.taken_mm * request.band_mm >= area * (1 - 1e-12)
    assert plan.joins >= 0
    assert plan_bands(request) == plan


def _fewest_bins_by_every_order(lengths: list[float], band: float) -> int:
    """Independent: first fit over every order finds a packing with the fewest bands, for some order lists its bands."""
    best = len(lengths)
    for order in set(itertools.permutations(lengths)):
        room: list[float] = []
        for length in order:
            at = next((i for i, left in enumerate(room) if length <= left + 1e-9), None)
            if at is None:
                room.append(band - length)
            else:
                room[at] -= length
        best = min(best, len(room))
    return best


@given(st.lists(st.integers(2, 19), min_size=1, max_size=7))
@settings(deadline=None, max_examples=60)
def test_whole_strips_agree_with_trying_every_order(lengths):
    strips = tuple(BandStrip(id=f"s{i}", length_mm=float(n), width_mm=4.0) for i, n in enumerate(lengths))
    plan = plan_bands(BandRequest(band_mm=20.0, strips=strips))
    assert len(plan.bands) == _fewest_bins_by_every_order([float(n) for n in lengths], 20.0)


# Source: K19 of the reference facts, found: squares of washed 44 in cloth from one yard, by side in inches. The chart
# counts 43 in of width and 35.9 in of length as usable.
SQUARES_PER_YARD = {
    2.5: 238, 3: 154, 3.5: 120, 4: 80, 4.5: 63, 5: 56, 5.5: 42, 6: 35, 6.5: 30, 8: 20, 10: 12,
}  # fmt: skip


@pytest.mark.parametrize(("side_in", "squares"), SQUARES_PER_YARD.items())
def test_squares_per_yard_match_the_chart(side_in, squares):
    square = BandStrip(id="square", length_mm=side_in * IN, width_mm=side_in * IN, count=squares)
    request = BandRequest(band_mm=43 * IN, strips=(square,))
    assert plan_bands(request).taken_mm <= 35.9 * IN
    one_more = replace(request, strips=(replace(square, count=squares + 1),))
    assert plan_bands(one_more).taken_mm > 35.9 * IN


def test_a_joined_binding_flows_on_from_band_to_band_limit_of_its_length():
    """By hand: 5000 mm and 5 joins of 20 mm are 5100 mm: 6 bands of 900 mm hold 5400, 5 hold 4500."""
    binding = BandStrip(id="binding", length_mm=5000, width_mm=50, may_join=True)
    plan = plan_bands(BandRequest(band_mm=900, strips=(binding,)))
    assert (len(plan.bands), plan.joins) == (6, 5)
    assert sum(p.length_mm for band in plan.bands for p in band.parts) == pytest.approx(5100)


def test_no_join_is_made_that_saves_no_band():
    straps = BandStrip(id="strap", length_mm=500, width_mm=50, count=4, may_join=True)
    assert plan_bands(BandRequest(band_mm=1000, strips=(straps,))).joins == 0


def test_strips_of_other_widths_keep_to_their_own_bands():
    strips = tuple(BandStrip(id=f"w{w}", length_mm=300, width_mm=w) for w in (30.0, 60.0))
    plan = plan_bands(BandRequest(band_mm=1000, strips=strips))
    assert [band.width_mm for band in plan.bands] == [60.0, 30.0]
    assert plan.taken_mm == 90.0


def test_rejects_a_long_strip_that_has_to_stay_whole():
    strap = BandStrip(id="strap", length_mm=1500, width_mm=50)
    with pytest.raises(FaultyInput) as caught:
        plan_bands(BandRequest(band_mm=1000, strips=(strap, replace(strap, may_join=True), strap)))
    assert {p.place for p in caught.value.problems} >= {"strips[0].length_mm", "strips[1].id", "strips[2].length_mm"}
    with pytest.raises(FaultyInput, match="too short a band"):
        plan_bands(BandRequest(band_mm=150, strips=(replace(strap, may_join=True),)))


ASKED = BandRequest(band_mm=100, strips=(BandStrip(id="a", length_mm=150, width_mm=10, may_join=True),))
PARTS = (Band(10, (BandPart("a", 0, 0, 0, 100),)), Band(10, (BandPart("a", 0, 1, 0, 70),)))


@pytest.mark.parametrize(
    ("bands", "word"),
    [
        ((PARTS[0], Band(10, (BandPart("a", 0, 1, 0, 60),))), "comes out 140 mm long"),
        ((PARTS[0], Band(11, PARTS[1].parts)), "its band 11"),
        ((PARTS[0], Band(10, (BandPart("a", 1, 0, 0, 70),))), "cut 2 times, asked for 1"),
        ((PARTS[0], Band(10, (BandPart("b", 0, 1, 0, 70),))), "was not asked for"),
        ((PARTS[0], Band(10, (BandPart("a", 0, 1, 40, 70),))), "reaches from 40 to 110"),
        (PARTS, "shorter than 100 mm"),
    ],
)
def test_check_rejects_planted_faults(bands, word):
    assert any(word in fault for fault in check_bands(ASKED, bands).faults)


def test_check_passes_the_sound_plan():
    assert check_bands(replace(ASKED, least_part_mm=70), PARTS).passed
    assert not math.isnan(plan_bands(replace(ASKED, least_part_mm=40)).taken_mm)
