"""What is asked of single pieces: the best part of a hide only, a print that goes on across a seam."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.stock import lay_on_stock
from bagwright.errors import FaultyInput, StaleSave
from bagwright.geometry.region import Region
from bagwright.model.layout import LaySettings
from bagwright.model.material import Layer, MaterialKind
from bagwright.model.source import Reading
from bagwright.model.stock import StockPiece, StockRequest
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.materials import load_materials, save_material
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.cut_list import cut_list, lay_request
from bagwright.workflows.desk import view_bag
from bagwright.workflows.piece_wishes import (
    PieceWishes,
    matchable_seams,
    settled_prints,
    wish_problems,
    with_wishes,
)
from bagwright.workflows.wish_changes import set_wishes, wish_choices
from tests.web.html import fields
from tests.workflows.demo_values import BAGS, SHELF, TOTE

POCKET_SEAM = "pocket-2"
BAG = BAGS[TOTE]
PRINT = replace(SHELF.materials["fern-lawn"], repeat_along_mm=Reading.exact(64.0), repeat_across_mm=Reading.exact(64.0))


def test_a_print_goes_on_across_a_matched_seam():
    """The middle of the seam on both pieces falls on the same point of the print: their places differ by whole repeats.

    Worked out from the placements by themselves, repeat 64 mm both ways.
    """
    stacks = {**BAG.stacks, "lining": (Layer(PRINT.id),), "pocket": (Layer(PRINT.id),)}
    bag = replace(BAG, stacks=stacks, matched_seams=(POCKET_SEAM,))
    pattern = pattern_of_bag(bag)
    cuts = with_wishes(cut_list(pattern, bag.stacks), pattern, bag)
    still = replace(PRINT, shrinkage_share=None, crosswise_shrinkage_share=None)
    request = lay_request(still, cuts, 1120.0, run=1, gap_mm=0.0)
    matched = {piece.id: piece for piece in request.pieces if piece.goes_on}
    assert set(matched) == {"lining", "pocket"}
    layout = lay_pieces(request, settings=LaySettings(seconds=0))
    assert layout.verdict.passed
    spots = []
    for place in layout.placements:
        if place.id in matched:
            (point,) = matched[place.id].goes_on
            spots.append(place.move.apply(point.at))
    first = spots[0]
    for spot in spots[1:]:
        for one, other in zip(spot, first, strict=True):
            assert abs((one - other + 32) % 64 - 32) < 0.5


def test_a_piece_that_needs_no_motif_takes_as_little_cloth_as_without_a_print():
    """By hand: rows of a motif every 400 mm keep panels of 250 mm apart by 400 mm; free, they lie edge to edge."""
    cloth = replace(PRINT, repeat_along_mm=Reading.exact(400.0), repeat_across_mm=None, shrinkage_share=None)
    pattern = pattern_of_bag(BAG)
    (panel,) = (cut for cut in cut_list(pattern, BAG.stacks) if cut.id == "outer")
    panel = replace(panel, region=Region.rectangle((0, 0), (250, 700)), material_id=cloth.id, count=3, grain_deg=0.0)
    lengths = []
    for any_print in ((), ("outer",)):
        cuts = with_wishes((panel,), pattern, replace(BAG, any_print=any_print))
        request = lay_request(cloth, cuts, 1120.0, run=1, gap_mm=0.0)
        lengths.append(lay_pieces(request, settings=LaySettings(seconds=0)).length_mm)
    # From the cut end, on a motif, the first middle lies 400 mm in: 400 + 2 x 400 + 125 mm.
    assert lengths == [pytest.approx(1325), pytest.approx(750)]


def _lining_sewn(across_mm: float, *seams: str) -> list[str]:
    """Which seams can't match if the tote's lining and pocket are of a print that comes again `across_mm` across."""
    cloth = replace(PRINT, repeat_along_mm=None, repeat_across_mm=Reading.exact(across_mm), shrinkage_share=None)
    cloth = replace(cloth, crosswise_shrinkage_share=None)
    stacks = {**BAG.stacks, "lining": (Layer(cloth.id),), "pocket": (Layer(cloth.id),)}
    pattern, bag = pattern_of_bag(BAG), replace(BAG, stacks=stacks, matched_seams=seams)
    cuts = with_wishes(cut_list(pattern, stacks), pattern, bag)
    left, problems = settled_prints(cuts, {cloth.id: cloth}, pattern.seams)
    assert {problem.place for problem in problems} <= {"matched_seams"}
    bad = {point.seam for cut in cuts for point in cut.goes_on} - {point.seam for cut in left for point in cut.goes_on}
    assert len(bad) == len(problems)
    return sorted(bad)


def test_a_print_meets_all_round_if_the_panel_is_whole_repeats_wide():
    """By hand: each lining panel shows 330.2 mm + 127 mm between its side seams, 457.2 mm, all copies the same print:
    it meets at the sides if the repeat goes into that, and not if that leaves 9.2 mm over seven repeats of 64."""
    assert BAG.measurements_mm["width_mm"] == 330.2 and BAG.measurements_mm["depth_mm"] == 127.0
    ring = ("pocket-1", "pocket-2", "pocket-3", "lining-sides-1")
    assert _lining_sewn(457.2 / 6, *ring) == []
    assert _lining_sewn(64.0, *ring) == ["lining-sides-1"]


def test_best_only_pieces_keep_off_the_lesser_part_of_a_hide():
    hide = replace(SHELF.materials["saddle-hide"], id="hide")
    bag = replace(BAG, stacks={**BAG.stacks, "outer": (Layer("hide"),)}, best_only=("outer",))
    pattern = pattern_of_bag(bag)
    cuts = with_wishes(cut_list(pattern, bag.stacks), pattern, bag)
    pieces = lay_request(hide, cuts, 1000.0, run=1, gap_mm=0.0).pieces
    assert all(piece.best_only == (piece.id == "outer") for piece in pieces)
    belly = Region.rectangle((0, 0), (1400, 450))
    stock = StockPiece(id="h", region=Region.rectangle((0, 0), (1400, 1000)), lesser=(belly,), grain_deg=None)
    found = lay_on_stock(StockRequest(stock=(stock,), pieces=pieces), settings=LaySettings(seconds=0))
    (laid,) = found.laid
    regions = {piece.id: piece.region for piece in pieces}
    outers = [regions[place.id].moved(place.move) for place in laid.placements if place.id == "outer"]
    assert outers and all(region.overlap_mm2(belly) < 1e-3 for region in outers)


def test_wishes_that_cannot_be_are_told_all_at_once_and_old_ones_are_passed_over():
    pattern = pattern_of_bag(BAG)
    seams = [one.seam.id for one in matchable_seams(pattern)]
    assert POCKET_SEAM in seams
    wishes = PieceWishes(best_only=["no-such"], matched_seams=[*seams, "no-such"], any_print=["outer", "no-such"])
    places = [problem.place for problem in wish_problems(pattern, wishes)]
    assert places == ["best_only", "any_print", "matched_seams"]
    cuts = cut_list(pattern, BAG.stacks)
    assert with_wishes(cuts, pattern, replace(BAG, matched_seams=("gone",), best_only=("gone",))) == cuts


@pytest.fixture
def printed(desk):
    """The tote with its lining and pocket of one print, its outer of a hide."""
    with desk.store() as store:
        bag = load_bag(store, TOTE)
        (kept,) = (one for one in load_materials(store) if one.value.id == PRINT.id)
        changed = replace(kept.value, repeat_along_mm=PRINT.repeat_along_mm, repeat_across_mm=PRINT.repeat_across_mm)
        save_material(store, changed, expected_version=kept.version)
        roles = {"lining": (Layer(PRINT.id),), "pocket": (Layer(PRINT.id),), "outer": (Layer("saddle-hide"),)}
        return save_bag(store, replace(bag, stacks={**bag.stacks, **roles}))


def test_wishes_are_kept_with_the_bag_and_undone_with_it(desk, printed):
    view = view_bag(desk, TOTE)
    assert POCKET_SEAM in [one.seam.id for one in wish_choices(view, PRINT.id).seams]
    assert {cut.piece_id for cut in wish_choices(view, "saddle-hide").hide_pieces} == {"outer"}
    assert {cut.piece_id for cut in wish_choices(view, PRINT.id).motif_pieces} == {"lining", "pocket"}
    chosen = PieceWishes(matched_seams=(POCKET_SEAM,), any_print=("lining",))
    bag = set_wishes(desk, TOTE, printed.version, material_id=PRINT.id, wishes=chosen)
    bag = set_wishes(desk, TOTE, bag.version, material_id="saddle-hide", wishes=PieceWishes(best_only=("outer",)))
    assert (bag.best_only, bag.matched_seams, bag.any_print) == (("outer",), (POCKET_SEAM,), ("lining",))
    assert not view_bag(desk, TOTE).answer.problems
    with pytest.raises(StaleSave):
        set_wishes(desk, TOTE, printed.version, material_id=PRINT.id, wishes=PieceWishes())
    with pytest.raises(FaultyInput):
        set_wishes(desk, TOTE, bag.version, material_id=PRINT.id, wishes=PieceWishes(best_only=("no-such",)))


def test_wishes_are_ticked_at_the_cutting_table(desk, client, printed):
    assert SHELF.materials["saddle-hide"].kind is MaterialKind.LEATHER
    table = f"/bags/{TOTE}/layouts/{PRINT.id}"
    html = client.get(table).text
    assert "Let the print go on across these seams" in html
    sent = {**fields(html, f"{table}/wishes"), "matched": POCKET_SEAM, "any_print": "lining"}
    assert client.post(f"{table}/wishes", data=sent).status_code == 303
    html = client.get(table).text
    assert 'value="pocket-2" checked' in html and 'name="any_print" value="lining" checked' in html
    assert client.post(f"{table}/wishes", data=sent).status_code == 409
    sent = {**fields(client.get(table).text, f"{table}/wishes"), "matched": "lining-sides-1"}
    answer = client.post(f"{table}/wishes", data=sent)
    assert answer.status_code == 422 and "off the print there" in answer.text
    sent = {**fields(client.get(table).text, f"{table}/wishes"), "best_only": "no-such"}
    answer = client.post(f"{table}/wishes", data=sent)
    assert answer.status_code == 422 and "is no piece of this bag" in answer.text
    assert "Cut from the best part only" in client.get(f"/bags/{TOTE}/layouts/saddle-hide").text
