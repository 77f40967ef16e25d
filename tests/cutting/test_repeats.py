"""Printed cloth: every anchor on its motif, matched pieces on one print, and the cost of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.cutting.check import check_layout
from bagwright.cutting.lay import lay_pieces
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings, Placement, Repeat
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


def _matched(count: int) -> LayRequest:
    left = LayPiece(
        id="left", region=Region.rectangle((0, 0), (200, 180)), count=count, anchor=(200.0, 90.0), match="m"
    )
    right = LayPiece(
        id="right", region=Region.rectangle((0, 0), (230, 180)), count=count, anchor=(0.0, 90.0), match="m"
    )
    return LayRequest(width_mm=400, pieces=(left, right), repeat=Repeat(along_mm=90, across_mm=70))


def test_matched_pieces_go_on_from_one_another_wherever_the_print_lies():
    request = _matched(2)
    layout = lay_pieces(request, settings=LaySettings(iterations=20))
    assert check_layout(request, layout.placements).passed
    pieces = {piece.id: piece for piece in request.pieces}
    anchors = [spot.move.apply(pieces[spot.id].anchor or (0, 0)) for spot in layout.placements]
    for x, y in anchors:
        assert abs((x - anchors[0][0] + 45) % 90 - 45) < 1e-3
        assert abs((y - anchors[0][1] + 35) % 70 - 35) < 1e-3
    assert len({spot.turn_deg for spot in layout.placements}) == 1


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
