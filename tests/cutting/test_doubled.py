"""Cloth laid double: both layers agree, the fold edge lies on the fold, and it costs what reason says."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from bagwright.cutting.check import check_layout
from bagwright.cutting.lay import lay_pieces
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings, Placement
from bagwright.model.piece import Mirror
from tests.cutting.requests import lay_requests

FIRST = LaySettings(seconds=0)
ELL = [(0, 0), (100, 0), (100, 40), (40, 40), (40, 150), (0, 150)]
ARCH = [(0, 0), (200, 0), (200, 120), (150, 180), (50, 180), (0, 120)]
"""Its halves are mirror images left and right: turned by 90 degrees it lies on a fold."""


def piece(name, ring, count=1, **others) -> LayPiece:
    return LayPiece(id=name, region=Region.from_ring(ring), count=count, **others)


def double(*pieces: LayPiece, width_mm: float = 500.0, gap_mm: float = 0.0) -> LayRequest:
    return LayRequest(width_mm=width_mm, gap_mm=gap_mm, pieces=pieces, is_doubled=True)


def shapes(request: LayRequest, layout: Layout) -> list[Polygon]:
    """Each piece on the opened cloth, by the stated mapping and shapely alone."""
    rings = {one.id: one.region.outer_ring() for one in request.pieces}
    found = []
    for spot in layout.placements:
        shape = Polygon(rings[spot.id])
        if spot.mirrored:
            shape = affinity.scale(shape, -1, 1, origin=(0, 0))
        found.append(affinity.translate(affinity.rotate(shape, spot.turn_deg, origin=(0, 0)), spot.x_mm, spot.y_mm))
    return found


@given(lay_requests(), st.integers(1, 3))
@settings(deadline=None, max_examples=10)
def test_property_layers_agree_with_one_another_in_shapely(asked, seed):
    request = replace(asked, is_doubled=True, width_mm=2 * asked.width_mm)  # all fit a layer, too
    layout = lay_pieces(request, settings=LaySettings(iterations=5, seed=seed))
    assert check_layout(request, layout.placements).faults == ()
    laid = shapes(request, layout)
    for shape in laid:
        if shape.bounds[2] > layout.doubled_to_mm + 1e-3:
            continue
        image = affinity.scale(shape, 1, -1, origin=(0, request.width_mm / 2))
        assert max(image.intersection(other).area for other in laid) >= shape.area * (1 - 1e-4)
    assert lay_pieces(request, settings=LaySettings(iterations=5, seed=seed)) == layout


def test_pairs_come_free_limit_of_half_the_pieces_on_half_the_width():
    ell = piece("ell", ELL, 8, mirror=Mirror.PAIRS)
    layout = lay_pieces(double(ell), settings=FIRST)
    half = LayRequest(width_mm=250, pieces=(replace(ell, count=4, mirror=Mirror.EITHER),))
    assert layout.length_mm == pytest.approx(lay_pieces(half, settings=FIRST).length_mm)
    assert [spot.mirrored for spot in layout.placements].count(True) == 4


@pytest.mark.parametrize("gap_mm", [0.0, 4.0])
def test_pieces_on_the_fold_lie_end_to_end_limit_of_their_lengths(gap_mm):
    """Half an arch is 100 mm high and 180 long: two of them, one behind the other, take 360 mm and one gap."""
    arch = piece("arch", ARCH, 2, turns_deg=(90.0,), on_fold=True)
    request = double(arch, width_mm=300, gap_mm=gap_mm)
    layout = lay_pieces(request, settings=FIRST)
    assert layout.length_mm == pytest.approx(360 + gap_mm, abs=1e-3)
    for shape in shapes(request, layout):
        assert (shape.bounds[1] + shape.bounds[3]) / 2 == pytest.approx(150.0, abs=1e-3)


def test_small_pieces_lie_beside_those_on_the_fold_limit_of_the_row_on_the_fold():
    arch = piece("arch", ARCH, 2, turns_deg=(-90.0, 90.0), on_fold=True)
    tab = piece("tab", [(0, 0), (50, 0), (50, 40), (0, 40)], 8)
    layout = lay_pieces(double(arch, tab), settings=FIRST)
    assert layout.length_mm == pytest.approx(360, abs=1e-3)
    assert layout.doubled_to_mm == pytest.approx(360, abs=1e-3)


def test_an_odd_copy_is_cut_where_the_cloth_is_opened():
    panel = piece("panel", [(0, 0), (300, 0), (300, 240), (0, 240)], 3, turns_deg=(0.0,))
    layout = lay_pieces(double(panel), settings=FIRST)
    assert layout.length_mm == pytest.approx(600)
    assert layout.doubled_to_mm in (0.0, pytest.approx(300))


def test_one_sided_shapes_that_may_not_be_mirrored_are_cut_single():
    layout = lay_pieces(double(piece("ell", ELL, 4)), settings=FIRST)
    assert layout.doubled_to_mm == 0
    assert not any(spot.mirrored for spot in layout.placements)


def test_rejects_a_piece_without_a_middle_line_and_one_wider_than_both_layers():
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(double(piece("ell", ELL, on_fold=True)), settings=FIRST)
    assert caught.value.problems[0].place == "pieces[0].on_fold"
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(double(piece("arch", ARCH, turns_deg=(90.0,), on_fold=True), width_mm=199), settings=FIRST)
    assert "wider cloth" in str(caught.value)


SOUND = (
    Placement("panel", 0.0, False, 0.0, 260.0),
    Placement("panel", 0.0, False, 0.0, 140.0),
    Placement("arch", 90.0, False, 360.0, 150.0),
)
PANEL = piece("panel", [(0, 0), (150, 0), (150, 100), (0, 100)], 2)
JUDGED = double(PANEL, piece("arch", ARCH, turns_deg=(90.0,), on_fold=True))


@pytest.mark.parametrize(
    ("spots", "word"),
    [
        (SOUND, ""),
        ((SOUND[0], replace(SOUND[1], y_mm=139.0), SOUND[2]), "arch: lies where the cloth is opened"),
        ((*SOUND[:2], replace(SOUND[2], y_mm=152.0)), "arch: its middle does not lie on the fold"),
        ((SOUND[0], replace(SOUND[1], x_mm=100.0), SOUND[2]), "arch: lies where the cloth is opened"),
    ],
)
def test_rejects_planted_faults_of_the_fold(spots, word):
    faults = check_layout(JUDGED, spots).faults
    assert (faults == ()) if not word else any(word in fault for fault in faults), faults


def test_the_search_shortens_and_a_stop_keeps_the_first():
    arch = piece("arch", ARCH, 3, turns_deg=(-90.0, 90.0), on_fold=True)
    bits = [piece(f"b{i}", [(0, 0), (60 + 13 * i, 0), (60 + 13 * i, 35 + 7 * i), (0, 50)], 4) for i in range(4)]
    request = double(arch, *bits)
    heard: list[Layout] = []
    searched = lay_pieces(request, settings=LaySettings(iterations=60), on_better=heard.append)
    stopped = lay_pieces(request, settings=LaySettings(seconds=60), should_stop=lambda: True)
    assert searched.length_mm <= stopped.length_mm
    assert heard[-1] == searched
    assert stopped.verdict.passed
