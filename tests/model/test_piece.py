"""Pieces: what is cut from them, folds, edges and placement lines; seams and patterns."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine, Arc, Cubic, Line
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import Edge, Outline, rectangle_outline
from bagwright.model.material import Extent
from bagwright.model.pattern import Pattern, Seam, SeamKind, SeamSide
from bagwright.model.piece import CutPiece, EdgeUse, Mirror, Piece, PlacementLine

TURNS = st.floats(-360, 360).map(lambda turn: round(turn, 2))
SHIFTS = st.tuples(st.floats(-500, 500), st.floats(-500, 500))


def _piece(net: Outline, *, fold: str | None = None, allowance_mm: float = 10.0) -> Piece:
    return Piece(
        id="front",
        name="Front",
        role="outer",
        net=net,
        allowance_mm={edge.name: 0.0 if edge.name == fold else allowance_mm for edge in net.edges},
        edge_use={edge.name: EdgeUse.FOLD if edge.name == fold else EdgeUse.SEAM for edge in net.edges},
    )


def _half_of_a_rounded_front() -> Outline:
    """The right half, 150 x 240, its lower corner round with 40 mm; the fold is the straight left edge."""
    return Outline(
        (
            Edge("bottom", (Line((0, 0), (110, 0)), Arc((110, 0), (110, 40), 90))),
            Edge("side", (Line((150, 40), (150, 240)),)),
            Edge("top", (Line((150, 240), (0, 240)),)),
            Edge("centre", (Line((0, 240), (0, 0)),)),
        )
    )


def test_extent_chooses_between_cut_line_and_net_line():
    piece = _piece(rectangle_outline(100, 50))
    assert piece.region().area_mm2 == pytest.approx(120 * 70)
    assert piece.region(Extent.WHOLE).bounds == pytest.approx((-10, -10, 110, 60))
    assert piece.region(Extent.NET).area_mm2 == pytest.approx(100 * 50)


@pytest.mark.parametrize("extent", [Extent.WHOLE, Extent.NET])
@given(turn=TURNS, shift=SHIFTS)
def test_property_a_fold_doubles_the_piece_wherever_it_lies(extent, turn, shift):
    net = _half_of_a_rounded_front().moved(Affine(turn_deg=turn, shift=shift))
    half, whole = _piece(net), _piece(net, fold="centre").region(extent)
    assert len(list(whole.parts())) == 1 and not whole.hole_rings()
    # The half has no allowance at the fold, so neither strip there is doubled.
    at_fold = 0.0 if extent is Extent.NET else 10.0 * (240 + 2 * 10)
    assert whole.area_mm2 == pytest.approx(2 * (half.region(extent).area_mm2 - at_fold), rel=1e-6)


def test_a_folded_piece_is_as_wide_as_both_halves():
    whole = _piece(_half_of_a_rounded_front(), fold="centre").region()
    assert whole.bounds == pytest.approx((-160, -10, 160, 250), abs=0.01)


@given(turn=TURNS, shift=SHIFTS)
def test_unfolded_pieces_agree_with_shapely_reflection(turn, shift):
    # Second method: reflect the half across the fold by its direction cosines, with shapely.
    net = _half_of_a_rounded_front().moved(Affine(turn_deg=turn, shift=shift))
    (ax, ay), (bx, by) = net.edge("centre").start, net.edge("centre").end
    ux, uy = (bx - ax) / 240, (by - ay) / 240
    xx, xy = 2 * ux * ux - 1, 2 * ux * uy
    matrix = [xx, xy, xy, -xx, ax - xx * ax - xy * ay, ay - xy * ax + xx * ay]
    half = cut_region(net, _piece(net, fold="centre").allowance_mm).shape
    both = shapely.union(half, affinity.affine_transform(half, matrix), grid_size=1e-6)
    whole = _piece(net, fold="centre").region().shape
    assert shapely.symmetric_difference(whole, both, grid_size=1e-6).area < 0.1
    for end in ((ax, ay), (bx, by)):
        assert whole.covers(shapely.Point(end).buffer(1))


@pytest.mark.parametrize(
    "fold",
    [
        Edge("fold", (Line((0, 100), (5, 50)), Line((5, 50), (0, 0)))),
        Edge("fold", (Cubic((0, 100), (10, 60), (10, 40), (0, 0)),)),
    ],
)
def test_rejects_a_fold_that_is_not_one_straight_line(fold):
    others = (("bottom", (0, 0), (80, 0)), ("side", (80, 0), (80, 100)), ("top", (80, 100), (0, 100)))
    net = Outline((*(Edge(name, (Line(a, b),)) for name, a, b in others), fold))
    with pytest.raises(BrokenPromise, match="straight"):
        _piece(net, fold="fold").region()


def test_placement_lines_are_edges_too():
    line = PlacementLine("pocket", (10, 10), (40, 50))
    net = rectangle_outline(100, 80)
    piece = Piece(id="back", name="Back", role="lining", net=net, allowance_mm={}, edge_use={}, lines=(line,))
    assert piece.edge("pocket").length_mm == 50
    assert piece.edge("top").length_mm == 100
    assert piece.fold_edge is None
    with pytest.raises(BrokenPromise):
        piece.edge("lid")


def test_the_same_piece_in_two_extents_has_two_names():
    region = rectangle_outline(10, 10).region()
    shapes = [
        CutPiece(
            piece_id="front",
            name="Front",
            material_id="fleece",
            extent=extent,
            region=region,
            count=2,
            mirror=Mirror.NO,
            grain_deg=90,
        ).id
        for extent in Extent
    ]
    assert len(set(shapes)) == len(shapes)


@pytest.mark.parametrize(
    ("side", "used", "sewn"),
    [
        (SeamSide("front", 1, "side", 0, 240), 240, 240),
        (SeamSide("front", 1, "side", 240, 0), 240, 240),
        (SeamSide("strap", 1, "end", 0, 100, folds=4), 100, 25),
        (SeamSide("gusset", 1, "side", 10, 260, ease_mm=5), 250, 245),
    ],
)
def test_seam_sides_tell_what_they_use_and_what_they_sew(side, used, sewn):
    assert (side.edge_length_mm, side.sewn_length_mm) == (used, sewn)
    seam = Seam(id="s", name="Side", kind=SeamKind.LOCKSTITCH, order=1, sides=(side, side))
    assert seam.length_mm == sewn


def test_only_joining_seams_use_edges_up():
    assert {kind for kind in SeamKind if kind.joins} == {SeamKind.LOCKSTITCH, SeamKind.ZIP}


def test_pattern_finds_its_pieces_and_owns_up_to_none():
    piece = _piece(rectangle_outline(100, 50))
    pattern = Pattern(form="pouch", measurements_mm={}, pieces=(piece,), seams=(), assembled=(), panels=())
    assert pattern.piece("front") is piece
    with pytest.raises(BrokenPromise, match="no piece 'back'"):
        pattern.piece("back")
