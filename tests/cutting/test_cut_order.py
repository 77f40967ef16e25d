"""The order of cuts: no cut through a piece, every cut reachable, every piece cut out; rows that need few of them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from bagwright.cutting.check import check_layout
from bagwright.cutting.check_cuts import check_cuts
from bagwright.cutting.check_remnants import check_remnants
from bagwright.cutting.cut_order import order_cuts
from bagwright.cutting.keeping import keep_and_cut
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.remnants import laid_regions
from bagwright.cutting.straight_rows import FOUND_BY, lay_in_rows, rows_hash
from bagwright.geometry.region import Region
from bagwright.model.cuts import Cut, CutWay, count_runs, count_straight
from bagwright.model.layout import LayPiece, LayRequest, LaySettings
from bagwright.model.remnant import RemnantSettings
from tests.cutting.requests import lay_requests, rectangles

FIRST = LaySettings(seconds=0)


def _box(x: float, y: float, long: float, wide: float) -> Region:
    return Region.rectangle((x, y), (x + long, y + wide))


# Four rectangles round a square hole: the smallest pattern that no straight cut from side to side parts (known as the
# pinwheel in the literature on guillotine patterns).
PINWHEEL = [_box(0, 0, 200, 100), _box(200, 0, 100, 200), _box(100, 200, 200, 100), _box(0, 100, 100, 200)]


def test_a_grid_takes_one_cut_for_each_line_of_it():
    grid = [_box(100 * i, 80 * j, 100, 80) for i in range(3) for j in range(4)]
    cuts = order_cuts(grid, length_mm=300, width_mm=320)
    assert [cut.way for cut in cuts if not cut.block] == [CutWay.ACROSS] * 2
    assert count_straight(cuts) == count_runs(cuts) == 2 + 3 * 3
    assert sorted(place for cut in cuts for place in cut.placements) == list(range(12))


def test_long_cuts_come_first_and_each_piece_is_freed_once():
    laid = [_box(0, 0, 400, 300), _box(0, 300, 150, 200), _box(150, 300, 250, 200), _box(400, 0, 100, 500)]
    cuts = order_cuts(laid, length_mm=700, width_mm=500)
    assert [(cut.way.value, cut.at_mm, cut.length_mm, cut.block) for cut in cuts] == [
        ("across", 500.0, 500.0, ""),
        ("across", 400.0, 500.0, ""),
        ("along", 300.0, 400.0, "A"),
        ("across", 150.0, 200.0, "A"),
    ]
    assert [cut.placements for cut in cuts] == [(), (3,), (0,), (1, 2)]


def test_a_pinwheel_cannot_be_parted_and_is_cut_round():
    cuts = order_cuts(PINWHEEL, length_mm=300, width_mm=300)
    assert {cut.way for cut in cuts} == {CutWay.ROUND}
    # Round the square hole in the middle and the four spokes: 8 sides of 100 mm, each cut once.
    assert sum(cut.length_mm for cut in cuts) == pytest.approx(800)


def test_what_only_its_neighbours_border_falls_out_with_the_last_of_them():
    """Four pieces round a hole that is kept: its four edges are theirs, so no cut of its own is left for it."""
    middle = _box(100, 100, 100, 100)
    cuts = order_cuts(PINWHEEL, length_mm=300, width_mm=300, remnants=[middle])
    assert [cut.remnants for cut in cuts] == [(), (), (), (0,)]
    cuts = order_cuts([*PINWHEEL, middle], length_mm=300, width_mm=300)
    assert sorted(place for cut in cuts for place in cut.placements) == [0, 1, 2, 3, 4]


def test_an_upright_side_that_is_not_on_the_line_takes_a_trim():
    cuts = order_cuts([_box(20, 0, 200, 100)], length_mm=220, width_mm=150)
    assert [(cut.way.value, cut.at_mm, cut.length_mm) for cut in cuts] == [
        ("along", 100.0, 220.0),
        ("across", 20.0, 100.0),
    ]


def test_slanted_sides_are_cut_round_in_runs():
    trapezium = Region.from_ring([(0, 0), (200, 0), (160, 100), (40, 100)])
    cuts = order_cuts([trapezium], length_mm=200, width_mm=100)
    (only,) = cuts
    assert (only.way, only.runs) == (CutWay.ROUND, 2)
    assert only.length_mm == pytest.approx(2 * (100**2 + 40**2) ** 0.5)


@settings(max_examples=30)
@given(lay_requests())
def test_property_no_cut_passes_through_a_piece_and_every_piece_comes_out(request_):
    layout = lay_pieces(request_, settings=FIRST)
    laid = laid_regions(request_, layout.placements)
    length = layout.length_mm + 100
    cuts = order_cuts(laid, length_mm=length, width_mm=layout.width_mm)
    assert check_cuts(laid, cuts, length_mm=length, width_mm=layout.width_mm).passed
    freed = {place for cut in cuts for place in cut.placements}
    assert freed == set(range(len(laid)))


@settings(max_examples=12)
@given(lay_requests())
def test_property_no_straight_cut_is_given_up_for_a_remnant(request_):
    layout = lay_pieces(request_, settings=FIRST)
    laid = laid_regions(request_, layout.placements)
    length, width = layout.length_mm, layout.width_mm
    remnants, cuts = keep_and_cut(laid, length_mm=length, width_mm=width)
    left = [one.region for one in remnants]
    cloth = Region.rectangle((0, 0), (length, width))
    assert check_remnants(cloth, laid, remnants, RemnantSettings()).passed
    whole = [replace(cut, placements=(*cut.placements, *(len(laid) + i for i in cut.remnants))) for cut in cuts]
    assert check_cuts([*laid, *left], whole, length_mm=length, width_mm=width).passed
    plain = order_cuts(laid, length_mm=length, width_mm=width)
    assert sum(c.runs for c in cuts if c.way is CutWay.ROUND and c.placements) <= count_runs(plain) - count_straight(
        plain
    )


def test_the_check_finds_planted_faults():
    laid = [_box(0, 0, 100, 100), _box(100, 0, 100, 100)]
    good = order_cuts(laid, length_mm=200, width_mm=100)
    (cut,) = good
    assert check_cuts(laid, good, length_mm=200, width_mm=100).passed

    def told(*cuts: Cut) -> str:
        return " ".join(check_cuts(laid, cuts, length_mm=200, width_mm=100).faults)

    assert "passes through piece 1" in told(replace(cut, start=(99, 0), end=(99, 100)))
    assert "ends in uncut cloth at 100, 60" in told(replace(cut, end=(100, 60), length_mm=60))
    assert "is told as 90 mm" in told(replace(cut, length_mm=90))
    assert "piece 1 is not cut out" in told()


@settings(max_examples=40)
@given(lay_requests())
def test_property_rows_pass_the_check_of_layouts_and_hold_their_name(request_):
    layout = lay_in_rows(request_, settings=LaySettings(iterations=20))
    assert check_layout(request_, layout.placements).passed
    assert (layout.request_hash, layout.found_by) == (rows_hash(request_), FOUND_BY)


def test_rows_of_rectangles_are_parted_by_straight_cuts_alone():
    request = rectangles(1100, [(400, 350, 5), (300, 120, 7), (900, 60, 4), (180, 180, 6)])
    layout = lay_in_rows(request)
    laid = laid_regions(request, layout.placements)
    cuts = order_cuts(laid, length_mm=layout.length_mm, width_mm=1100)
    assert count_straight(cuts) == count_runs(cuts)
    again = lay_in_rows(request)
    assert again.placements == layout.placements


def test_rows_are_never_shorter_than_the_pieces_allow():
    panels = LayPiece(id="panel", region=Region.rectangle((0, 0), (300, 200)), count=9, turns_deg=(0.0, 90.0))
    layout = lay_in_rows(LayRequest(width_mm=600, pieces=(panels,)))
    # 9 x 300 x 200 on 600 mm needs 900 mm, and rows of three lying 200 mm deep or two 300 mm deep fill it exactly.
    assert layout.length_mm == pytest.approx(900)


def test_rows_keep_the_gap():
    request = replace(rectangles(600, [(200, 150, 6)]), gap_mm=6)
    layout = lay_in_rows(request)
    assert check_layout(request, layout.placements).passed
