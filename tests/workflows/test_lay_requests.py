"""What a material says about its cloth reaches the layout: print, double cloth, fold, wash."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.cutting.lay import lay_pieces
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.layout import LaySettings
from bagwright.model.material import Extent, Layer, Material, MaterialKind
from bagwright.model.piece import CutPiece, EdgeUse, Mirror
from bagwright.model.source import Reading
from bagwright.workflows.cut_list import cut_list, lay_request
from tests.workflows.demo_values import BAGS, SHELF, TOTE, answer_of, demo_answer

CLOTH = Material(id="print", name="print", kind=MaterialKind.PLAIN_CLOTH)


def of_print(cloth: Material, cuts: tuple[CutPiece, ...], *, width_mm: float = 1100.0):
    own = tuple(replace(cut, material_id=cloth.id) for cut in cuts)
    return lay_request(cloth, own, width_mm, run=1, gap_mm=0)


@pytest.fixture(scope="module")
def tote_cuts() -> tuple[CutPiece, ...]:
    answer = demo_answer(TOTE)
    outer = answer.bag.stacks["outer"][0].material_id
    return tuple(cut for cut in answer.cuts if cut.material_id == outer)


def test_plain_cloth_is_laid_single_and_without_a_print(tote_cuts):
    request = of_print(CLOTH, tote_cuts)
    assert (request.is_doubled, request.repeat) == (False, None)
    assert all(piece.anchor is None for piece in request.pieces)


def test_a_print_is_met_by_pieces_large_enough_to_show_it_after_the_wash(tote_cuts):
    cloth = replace(CLOTH, repeat_along_mm=Reading.exact(300), repeat_across_mm=Reading.exact(200))
    washed = replace(cloth, shrinkage_share=Reading.exact(0.1), laid_double=True, half_drop=True)
    request = of_print(washed, tote_cuts)
    assert request.repeat
    assert (request.repeat.along_mm, request.repeat.across_mm) == pytest.approx((270, 200))
    assert request.repeat.drop_share == 0.5
    assert not request.is_doubled, "a print has to be seen"
    shown = {piece.id for piece in request.pieces if piece.anchor}
    assert shown
    for piece in request.pieces:
        sides = sorted((piece.region.width_mm, piece.region.height_mm))
        if sides[0] < 100:
            assert piece.id not in shown
        if piece.anchor:
            low_x, low_y, high_x, high_y = piece.region.bounds
            assert piece.anchor == pytest.approx(((low_x + high_x) / 2, (low_y + high_y) / 2))


def test_a_bag_of_cloth_laid_double_is_laid_checked_and_bought():
    bag = BAGS[TOTE]
    outer = bag.stacks["outer"][0].material_id
    material = replace(SHELF.material(outer, place="stacks"), laid_double=True)
    shelf = replace(SHELF, materials={**SHELF.materials, outer: material})
    answer = answer_of(bag, shelf=shelf)
    assert answer.problems == ()
    sheets = [sheet for sheet in answer.layouts if sheet.material.id == outer]
    assert sheets
    assert all(sheet.request.is_doubled and sheet.layout.verdict.passed for sheet in sheets)
    assert any(sheet.layout.doubled_to_mm > 0 for sheet in sheets)


def test_a_piece_on_the_fold_lies_on_the_fold_only_if_that_runs_along_the_grain(tote_cuts):
    pattern = demo_answer(TOTE).pattern
    piece = next(piece for piece in pattern.pieces if not piece.is_bought)
    edge = piece.net.edges[0]
    folded = replace(piece, edge_use={**piece.edge_use, edge.name: EdgeUse.FOLD}, mirror=Mirror.PAIRS)
    stacks = {piece.role: (Layer(CLOTH.id),)}
    along = 90.0 if abs(edge.end[0] - edge.start[0]) < abs(edge.end[1] - edge.start[1]) else 0.0
    for grain, lies_on_fold in ((along, True), (along + 90, False)):
        cuts = cut_list(
            replace(
                pattern,
                pieces=(
                    replace(
                        folded,
                        grain_deg=grain,
                        allowance_mm={
                            name: 0.0 if name == edge.name else wide for name, wide in piece.allowance_mm.items()
                        },
                    ),
                ),
            ),
            stacks,
        )
        request = lay_request(replace(CLOTH, laid_double=True), cuts, 3000, run=1, gap_mm=0)
        assert [one.on_fold for one in request.pieces] == [lies_on_fold]
        assert (request.pieces[0].mirror is Mirror.NO) == lies_on_fold


@pytest.mark.parametrize("grain_deg", [0.0, 30.0, 45.0, 90.0, 135.0, 200.0])
@pytest.mark.parametrize("directional", [False, True])
def test_mirrored_copies_lie_on_the_grain_and_the_same_way_up_limit_of_a_mirror(grain_deg, directional):
    """Folded along its length, cloth lays a mirrored copy on the other: so all four lie, whatever the piece's grain."""
    region = Region.from_ring([(0, 0), (140, 0), (140, 30), (90, 50), (70, 120), (0, 90)])
    cut = cut_of(region, grain_deg)
    cloth = replace(CLOTH, id="cloth", directional=directional)
    request = lay_request(cloth, (cut,), 600, run=1, gap_mm=0)
    laid = lay_pieces(request, settings=LaySettings(iterations=20))
    plain, mirrored = ([one for one in laid.placements if one.mirrored is is_mirrored] for is_mirrored in (False, True))
    looks = [at_origin(region.moved(Affine(turn - grain_deg))) for turn in ((0,) if directional else (0, 180))]
    looks += [at_origin(one.moved(Affine(180, mirrors=True))) for one in looks]
    half = len(looks) // 2
    for placements, allowed in ((plain, looks[:half]), (mirrored, looks[half:])):
        assert len(placements) == 2
        for one in placements:
            shape = at_origin(request.pieces[0].region.moved(one.move))
            assert any(shape.is_alike(look, share=1e-6) for look in allowed)


def at_origin(region: Region) -> Region:
    low_x, low_y, _, _ = region.bounds
    return region.shifted(-low_x, -low_y)


def cut_of(region: Region, grain_deg: float) -> CutPiece:
    return CutPiece(
        piece_id="side",
        name="Side",
        material_id="cloth",
        extent=Extent.WHOLE,
        region=region,
        count=4,
        mirror=Mirror.PAIRS,
        grain_deg=grain_deg,
    )
