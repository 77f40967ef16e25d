"""Bulk: layers counted by hand on small patterns and drafted bags, crossings where seams really meet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.body.bulk import seam_bulks
from bagwright.drafting.forms import draft_bag
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.bulk import Fit, SeamBulk, SeamLayer
from bagwright.model.material import Extent
from bagwright.model.pattern import Pattern, Seam, SeamKind, SeamSide
from bagwright.model.piece import EdgeUse, Piece, PlacementLine
from bagwright.model.source import Band, Reading
from tests.body.sheets import GUESS

CLOTH = SeamLayer(name="canvas", thickness_mm=Reading(0.6, 0.5, 0.7, GUESS))
WEB = SeamLayer(name="web", thickness_mm=Reading.exact(0.3))
NET = replace(WEB, name="fleece", thickness_mm=Reading.exact(2.0), extent=Extent.NET)
EDGES = ("bottom", "right", "top", "left")


def square(piece_id: str, lines: tuple[PlacementLine, ...] = ()) -> Piece:
    outline = rectangle_outline(100, 80, {name: name for name in EDGES})
    return Piece(
        id=piece_id,
        name=piece_id,
        role=piece_id,
        net=outline,
        allowance_mm=dict.fromkeys(EDGES, 10.0),
        edge_use=dict.fromkeys(EDGES, EdgeUse.SEAM),
        count=2,
        lines=lines,
    )


def side(edge: str, *, piece: str = "front", copy: int = 1, folds: int = 1) -> SeamSide:
    length = 100.0 if edge in ("bottom", "top") else 80.0
    return SeamSide(piece, copy, edge, 0.0, length, folds=folds)


def seam(name: str, order: int, *sides: SeamSide, kind: SeamKind = SeamKind.LOCKSTITCH) -> Seam:
    return Seam(id=name, name=name, kind=kind, order=order, sides=sides)


def pattern(*seams: Seam, pieces: tuple[Piece, ...] = (square("front"),)) -> Pattern:
    return Pattern(form="test", measurements_mm={}, pieces=pieces, seams=seams, assembled=(), panels=())


def bulks(made: Pattern, *layers: SeamLayer) -> dict[tuple[str, float | None], SeamBulk]:
    found = seam_bulks(made, {piece.id: layers or (CLOTH, WEB) for piece in made.pieces})
    return {(bulk.seam_id, bulk.at_mm): bulk for bulk in found}


def test_plain_seam_meets_every_layer_of_both_sides():
    made = pattern(seam("sides", 1, side("right"), side("left", copy=2)))
    (one,) = bulks(made).values()
    assert (one.layers, one.trimmed_layers, one.crosses) == (4, 2, ())
    assert (one.thickness_mm.low, one.thickness_mm.high) == pytest.approx((2 * 0.5 + 2 * 0.3, 2 * 0.7 + 2 * 0.3))
    assert (one.trimmed_mm.low, one.trimmed_mm.high) == pytest.approx((1.0, 1.4))


def test_layer_cut_to_the_net_line_is_not_in_a_seam_but_under_stitching_across_the_piece():
    line = PlacementLine("pocket", (20, 20), (80, 20))
    made = pattern(
        seam("sides", 1, side("right"), side("left", copy=2)),
        seam("pocket", 2, SeamSide("front", 1, "pocket", 0, 60)),
        seam("edge", 3, side("top"), kind=SeamKind.TOPSTITCH),
        pieces=(square("front", (line,)),),
    )
    found = bulks(made, CLOTH, NET)
    assert found["sides", None].layers == 2
    assert (found["pocket", None].layers, found["pocket", None].trimmed_layers) == (2, 2)
    # Topstitching: cloth and fleece of the panel, and the cloth of its turned allowance.
    assert found["edge", None].layers == 3


@pytest.mark.parametrize(
    ("kind", "layers", "trimmed"), [(SeamKind.HEM, 6, 4), (SeamKind.TOPSTITCH, 4, 3), (SeamKind.QUILT, 2, 2)]
)
def test_turned_and_quilted_edges(kind, layers, trimmed):
    (one,) = bulks(pattern(seam("edge", 1, side("top"), kind=kind))).values()
    assert (one.layers, one.trimmed_layers) == (layers, trimmed)


def test_seam_across_an_earlier_one_meets_its_turned_allowances():
    # By hand: two cloths, and the two allowances of the side seam pressed whichever way: four, with webs eight.
    made = pattern(
        seam("sides", 1, side("right"), side("right", copy=2)),
        seam("bottom", 2, side("bottom"), side("bottom", copy=2)),
    )
    found = bulks(made)
    crossing = found["bottom", 100.0]
    assert (crossing.layers, crossing.trimmed_layers, crossing.crosses) == (8, 4, ("sides",))
    assert ("bottom", None) in found and ("bottom", 0.0) not in found
    assert all(key[0] == "bottom" for key in found if key[1] is not None)  # the one sewn first crosses nothing


def test_several_earlier_seams_at_one_corner_add_up():
    # Three seams meet at the corner of the first piece.
    made = pattern(
        seam("sides", 1, side("right"), side("right", copy=2)),
        seam("base", 2, side("bottom"), side("bottom", piece="base")),
        seam("end", 3, SeamSide("front", 1, "line", 0, 50), side("left", piece="base")),
        pieces=(square("front", (PlacementLine("line", (100, 0), (50, 0)),)), square("base")),
    )
    crossing = bulks(made, CLOTH)["end", 0.0]
    assert set(crossing.crosses) == {"sides", "base"}
    assert crossing.layers == 2 + 2 + 2


def test_hem_at_the_end_of_a_seam_counts_twice_over():
    made = pattern(
        seam("hem", 1, side("top"), kind=SeamKind.HEM),
        seam("sides", 2, side("right"), side("left", copy=2)),
    )
    crossing = bulks(made, CLOTH)["sides", 80.0]
    assert (crossing.layers, crossing.crosses) == (4, ("hem",))


def test_folded_end_is_counted_by_the_seam_that_holds_it():
    strap = square("strap")
    made = pattern(
        seam("strap", 1, side("left", piece="strap"), side("right", piece="strap"), kind=SeamKind.HEM),
        seam("top", 2, side("top"), side("bottom", piece="strap", folds=4)),
        seam("edge", 3, side("top"), side("bottom", piece="strap", folds=4), kind=SeamKind.TOPSTITCH),
        pieces=(square("front"), strap),
    )
    found = bulks(made, CLOTH)
    assert found["top", None].layers == 1 + 4
    assert found["edge", None].layers == 2 + 4  # panel, its allowance, the strap's end turned down
    assert [key for key in found if key[1] is not None] == []


def test_basting_and_topstitching_leave_nothing_to_cross():
    made = pattern(
        seam("baste", 1, side("right"), kind=SeamKind.BASTE),
        seam("top", 2, side("left"), kind=SeamKind.TOPSTITCH),
        seam("bottom", 3, side("bottom"), side("bottom", copy=2)),
    )
    assert [key for key in bulks(made) if key[1] is not None] == []


def test_boxed_tote_agrees_with_a_count_by_hand():
    tote = draft_bag("boxed_tote", {})
    found = seam_bulks(tote, {piece.id: (CLOTH,) for piece in tote.pieces})
    thickest = {
        name: max(b.layers for b in found if b.seam_id.startswith(name))
        for name in ("outer-bottom", "outer-box", "top-2")
    }
    # Bottom: two. Box: two, and two allowances each of side and bottom. Top over a strap in four: outer, lining, 4.
    assert thickest == {"outer-bottom": 2, "outer-box": 6, "top-2": 6}
    assert [b.order for b in found] == sorted(b.order for b in found)


@pytest.mark.parametrize("form", ["zip_pouch", "gusset_bag", "bucket_bag", "card_wallet", "organiser", "backpack"])
def test_property_trimming_never_adds_and_crossings_are_never_thinner(form):
    bag = draft_bag(form, {})
    found = seam_bulks(bag, {piece.id: (CLOTH, WEB, NET) for piece in bag.pieces})
    along = {bulk.seam_id: bulk for bulk in found if bulk.at_mm is None}
    assert set(along) == {one.id for one in bag.seams}
    lengths = {one.id: one.length_mm for one in bag.seams}
    for bulk in found:
        assert bulk.trimmed_layers <= bulk.layers
        assert bulk.trimmed_mm.high <= bulk.thickness_mm.high + 1e-9
        if bulk.at_mm is not None:
            assert bulk.layers > along[bulk.seam_id].layers
            assert -1 <= bulk.at_mm <= lengths[bulk.seam_id] + 3


@pytest.mark.parametrize(("takes", "fit"), [(8, Fit.FITS), (6, Fit.FITS), (5, Fit.MAY_FIT), (3.9, Fit.TOO_THICK)])
def test_fit_against_the_machine(takes, fit):
    bulk = SeamBulk(
        seam_id="a",
        name="a",
        order=1,
        crosses=(),
        at_mm=None,
        layers=8,
        thickness_mm=Band(4, 6),
        trimmed_layers=4,
        trimmed_mm=Band(2, 3),
    )
    assert bulk.fit(takes) is fit
    assert bulk.fit(takes, trimmed=True) is Fit.FITS
