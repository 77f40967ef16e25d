"""Printed cloth: every anchor on its motif, matched pieces on one print, and the cost of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.cutting.check import check_layout
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.print_groups import print_problems
from bagwright.errors import FaultyInput
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings, Placement
from bagwright.model.piece import Mirror
from bagwright.model.prints import PrintPoint, Repeat
from tests.cutting.requests import lay_requests

FIRST = LaySettings(seconds=0)
PANEL = LayPiece(id="panel", region=Region.rectangle((0, 0), (300, 250)), count=4, anchor=(150.0, 125.0))


def off_print_mm(request: LayRequest, spot: Placement) -> tuple[float, float]:
    """How far an anchor lies from its motif along and across, by remainders alone."""
    (piece,) = (one for one in request.pieces if one.id == spot.id)
    assert piece.anchor
    assert request.repeat
    x, y = spot.move.apply(piece.anchor)
    along, across = request.repeat.along_mm, request.repeat.across_mm
    off_x = abs((x + along / 2) % along - along / 2) if along else 0.0
    off_y = abs((y + across / 2) % across - across / 2) if across else 0.0
    return off_x, off_y


@given(lay_requests(), st.sampled_from([(90.0, 70.0), (250.0, 0.0), (0.0, 110.0)]), st.integers(1, 3))
@settings(deadline=None, max_examples=10)
def test_property_anchors_agree_with_remainders(asked, repeat, seed):
    first = asked.pieces[0]
    low_x, low_y, high_x, high_y = first.region.bounds
    centred = replace(first, anchor=((low_x + high_x) / 2, (low_y + high_y) / 2))
    request = replace(
        asked, pieces=(centred, *asked.pieces[1:]), repeat=Repeat(along_mm=repeat[0], across_mm=repeat[1])
    )
    layout = lay_pieces(request, settings=LaySettings(iterations=1, seed=seed))
    assert check_layout(request, layout.placements).faults == ()
    for spot in layout.placements:
        if spot.id == centred.id:
            assert max(off_print_mm(request, spot)) < 1e-3
    assert lay_pieces(request, settings=LaySettings(iterations=1, seed=seed)) == layout


def test_panels_step_to_the_repeat_limit_of_one_motif_each():
    """Motifs every 320 mm along and 260 across, the first within the cloth at (320, 260): two rows of two panels, each
    with a motif in its middle, reach 150 mm beyond the motif at 640."""
    request = LayRequest(width_mm=700, pieces=(PANEL,), repeat=Repeat(along_mm=320, across_mm=260))
    layout = lay_pieces(request, settings=FIRST)
    assert layout.length_mm == pytest.approx(2 * 320 + 150, abs=1e-3)


def test_a_repeat_costs_cloth():
    plain = LayRequest(width_mm=760, pieces=(PANEL,))
    printed = replace(plain, repeat=Repeat(along_mm=400))
    assert lay_pieces(printed, settings=FIRST).length_mm > lay_pieces(plain, settings=FIRST).length_mm


def test_the_first_motif_may_lie_anywhere_limit_of_its_place():
    """By hand: a motif 170 mm along and 130 across; a panel of 300 x 250 about it begins 20 mm in and ends at 320."""
    repeat = Repeat(along_mm=900, across_mm=900, first_along_mm=170, first_across_mm=130)
    request = LayRequest(width_mm=300, pieces=(replace(PANEL, count=1),), repeat=repeat)
    layout = lay_pieces(request, settings=FIRST)
    assert layout.length_mm == pytest.approx(320)
    (spot,) = layout.placements
    assert spot.move.apply((150.0, 125.0)) == pytest.approx((170.0, 130.0))
    off = replace(repeat, first_along_mm=171)
    assert check_layout(replace(request, repeat=off), layout.placements).faults == (
        "panel: lies 1 mm beside the motif",
    )


def test_pieces_of_a_half_drop_lie_on_both_kinds_of_rows():
    """Rows of motifs 260 apart, every other one 160 mm further along: one panel on each reaches no further than
    150 mm beyond the motif at 320."""
    repeat = Repeat(along_mm=320, across_mm=260, drop_share=0.5)
    request = LayRequest(width_mm=700, pieces=(replace(PANEL, count=2),), repeat=repeat)
    layout = lay_pieces(request, settings=LaySettings(iterations=40))
    assert check_layout(request, layout.placements).passed
    assert layout.length_mm <= 470 + 1e-3


def _panel(name: str, wide: float, high: float, count: int, *goes_on: PrintPoint, **more: Any) -> LayPiece:
    region = Region.rectangle((0, 0), (wide, high))
    return LayPiece(id=name, region=region, count=count, goes_on=goes_on, **more)


def _matched(count: int) -> LayRequest:
    left = _panel("left", 200, 180, count, PrintPoint("m", (200.0, 90.0)))
    right = _panel("right", 230, 180, count, PrintPoint("m", (0.0, 90.0)))
    return LayRequest(width_mm=400, pieces=(left, right), repeat=Repeat(along_mm=90, across_mm=70))


def _off_across_seams(request: LayRequest, layout: Layout) -> float:
    """How far prints are off across any seam, by remainders alone; the repeat drops nowhere."""
    assert request.repeat
    along, across = request.repeat.along_mm, request.repeat.across_mm
    points = {piece.id: piece.goes_on for piece in request.pieces}
    met: dict[str, list[Point]] = {}
    for spot in layout.placements:
        for point in points[spot.id]:
            if point.mirrored is spot.mirrored:
                met.setdefault(point.seam, []).append(spot.move.apply(point.at))
    off = [0.0]
    for (x, y), *others in met.values():
        off += [abs((at[0] - x + along / 2) % along - along / 2) for at in others if along]
        off += [abs((at[1] - y + across / 2) % across - across / 2) for at in others if across]
    return max(off)


def test_matched_pieces_go_on_from_one_another_wherever_the_print_lies():
    request = _matched(2)
    layout = lay_pieces(request, settings=LaySettings(iterations=20))
    assert check_layout(request, layout.placements).passed
    assert _off_across_seams(request, layout) < 1e-3
    assert len({spot.turn_deg for spot in layout.placements}) == 1


def test_a_print_goes_on_over_a_chain_of_seams_agrees_with_remainders():
    """Pocket on front, side to front, base under the front, whose seam runs the other way on it: half a turn."""
    front = _panel(
        "front",
        300,
        250,
        2,
        PrintPoint("side", (300.0, 125.0), 90.0),
        PrintPoint("pocket", (150.0, 40.0)),
        PrintPoint("base", (150.0, 0.0)),
    )
    side = _panel("side", 110, 250, 2, PrintPoint("side", (0.0, 125.0), 90.0))
    pocket = _panel("pocket", 120, 90, 1, PrintPoint("pocket", (60.0, 0.0)))
    base = _panel("base", 300, 80, 1, PrintPoint("base", (150.0, 0.0), 180.0))
    request = LayRequest(
        width_mm=700, pieces=(front, side, pocket, base), repeat=Repeat(along_mm=97, across_mm=61), gap_mm=2
    )
    layout = lay_pieces(request, settings=LaySettings(iterations=10))
    assert check_layout(request, layout.placements).passed
    assert _off_across_seams(request, layout) < 1e-3
    turns = {spot.id: spot.turn_deg for spot in layout.placements}
    assert turns["front"] == turns["side"] == turns["pocket"] == (turns["base"] + 180) % 360
    # With an anchor the whole chain lies on the motif.
    pieces = (replace(front, anchor=(150.0, 125.0)), side, pocket, base)
    centred = lay_pieces(replace(request, pieces=pieces), settings=FIRST)
    assert _off_across_seams(request, centred) < 1e-3
    for spot in (spot for spot in centred.placements if spot.id == "front"):
        assert max(off_print_mm(replace(request, pieces=pieces), spot)) < 1e-3


def test_mirrored_halves_are_matched_each_at_its_own_seam():
    front = _panel(
        "front",
        300,
        250,
        1,
        PrintPoint("right", (300.0, 125.0), 90.0),
        PrintPoint("left", (0.0, 125.0), 90.0),
    )
    own = (PrintPoint("right", (0.0, 125.0), 90.0), PrintPoint("left", (0.0, 125.0), 90.0, mirrored=True))
    side = _panel("side", 110, 250, 2, *own, mirror=Mirror.PAIRS)
    request = LayRequest(width_mm=500, pieces=(front, side), repeat=Repeat(along_mm=97, across_mm=61))
    layout = lay_pieces(request, settings=FIRST)
    assert check_layout(request, layout.placements).passed
    assert _off_across_seams(request, layout) < 1e-3


def _ring(wide: float, across_mm: float, **more: Any) -> LayRequest:
    """A panel of that width and one of 330 mm, sewn together at both sides."""
    one = _panel("one", wide, 120, 1, PrintPoint("first", (wide, 60.0), 90.0), PrintPoint("last", (0.0, 60.0), 90.0))
    other = _panel(
        "other", 330, 120, 1, PrintPoint("first", (0.0, 60.0), 90.0), PrintPoint("last", (330.0, 60.0), 90.0)
    )
    repeat = Repeat(along_mm=100, across_mm=across_mm)
    return replace(LayRequest(width_mm=500, pieces=(one, other), repeat=repeat), **more)


def test_a_ring_of_seams_meets_if_it_is_whole_repeats_round_and_else_says_which_seam_does_not():
    """By hand: 270 + 330 = 600 mm round is six repeats of 100; 290 + 330 is 20 mm more, 270.4 + 330 is 0.4 more."""
    whole, nearly = _ring(270, 0.0), _ring(270.4, 60.0)
    assert _off_across_seams(whole, lay_pieces(whole, settings=FIRST)) < 1e-3
    assert _off_across_seams(nearly, lay_pieces(nearly, settings=FIRST)) == pytest.approx(0.4)
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(_ring(290, 0.0), settings=FIRST)
    (problem,) = caught.value.problems
    assert (problem.place, problem.value) == ("goes_on", "last") and "20 mm off" in problem.what
    assert print_problems(_ring(290, 0.0)) == [problem]


def test_rejects_seams_at_which_the_print_would_stand_askew():
    asked = _ring(270, 0.0)
    one, other = asked.pieces
    upright = replace(asked, pieces=(replace(one, turns_deg=(0.0,)), replace(other, turns_deg=(90.0,))))
    turned = replace(other, goes_on=(other.goes_on[0], PrintPoint("last", (330.0, 60.0), 180.0)))
    anchored = tuple(replace(piece, anchor=(10.0 * n, 0.0)) for n, piece in enumerate(asked.pieces))
    for request, seam in (
        (upright, "first"),
        (replace(asked, pieces=(one, turned)), "last"),
        (replace(asked, pieces=anchored), "first"),
    ):
        assert seam in [problem.value for problem in print_problems(request)]
    either = replace(asked, pieces=(replace(one, mirror=Mirror.EITHER), other))
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(either, settings=FIRST)
    assert [problem.place for problem in caught.value.problems] == ["pieces[0].mirror"]


def test_wide_pieces_on_one_print_are_laid_where_both_fit():
    """By hand: 10 mm of play for the one, 20 for the other, which lies 20 mm higher in the print of 500 mm: only with
    the first along the lower selvedge do both stay on the cloth."""
    one = _panel("one", 100, 690, 1, PrintPoint("s", (100.0, 100.0), 90.0))
    other = _panel("other", 100, 680, 1, PrintPoint("s", (0.0, 80.0), 90.0))
    request = LayRequest(width_mm=700, pieces=(one, other), repeat=Repeat(across_mm=500))
    layout = lay_pieces(request, settings=FIRST)
    assert _off_across_seams(request, layout) < 1e-3
    lower = replace(other, goes_on=(PrintPoint("s", (0.0, 60.0), 90.0),))
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(replace(request, pieces=(one, lower)), settings=FIRST)
    assert caught.value.problems[0].place.endswith(".goes_on")


def _off(layout: Layout, at: int, **changes) -> list[Placement]:
    spots = list(layout.placements)
    spots[at] = replace(spots[at], **changes)
    return spots


def test_rejects_planted_faults_of_the_print():
    request = LayRequest(width_mm=700, pieces=(PANEL,), repeat=Repeat(along_mm=320, across_mm=260))
    layout = lay_pieces(request, settings=FIRST)
    last = max(range(4), key=lambda i: layout.placements[i].x_mm)
    faults = check_layout(request, _off(layout, last, x_mm=layout.placements[last].x_mm + 0.5)).faults
    assert faults == ("panel: lies 0.5 mm beside the motif",)
    request = _matched(1)
    layout = lay_pieces(request, settings=FIRST)
    last = max(range(2), key=lambda i: layout.placements[i].x_mm + layout.placements[i].y_mm)
    shifted = check_layout(request, _off(layout, last, x_mm=layout.placements[last].x_mm + 2.0)).faults
    assert any("off the print" in fault for fault in shifted)
    turned = Placement("left", 180.0, False, 900.0, 180.0)
    assert any("turned otherwise" in fault for fault in check_layout(request, [*layout.placements, turned]).faults)


@pytest.mark.parametrize(
    ("request_", "place"),
    [
        (LayRequest(width_mm=700, pieces=(PANEL,), repeat=Repeat(along_mm=-3)), "repeat.along_mm"),
        (LayRequest(width_mm=700, pieces=(PANEL,), repeat=Repeat(along_mm=90, drop_share=0.5)), "repeat.drop_share"),
        (LayRequest(width_mm=700, pieces=(PANEL,), repeat=Repeat(along_mm=90, drop_share=0.3)), "repeat.drop_share"),
        (LayRequest(width_mm=700, pieces=(PANEL,), repeat=Repeat(along_mm=90), is_doubled=True), "repeat"),
        (LayRequest(width_mm=300, pieces=(PANEL,), repeat=Repeat(across_mm=500)), "pieces[0].anchor"),
        (LayRequest(width_mm=200, pieces=(PANEL,), repeat=Repeat(across_mm=500)), "width_mm"),
    ],
)
def test_rejects_prints_that_can_not_be_met(request_, place):
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(request_, settings=FIRST)
    assert [problem.place for problem in caught.value.problems] == [place]
