"""A bag's inner layers from scraps: what is asked, what it is worth, and the act that can be undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from bagwright.costing.scrap_worth import price_of_m2, scrap_minutes, worth_of_scraps
from bagwright.errors import FaultyInput, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.cover import CoverSettings
from bagwright.model.money import Money
from bagwright.model.piece import Mirror
from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.model.stash import SideUp, StashPiece
from bagwright.store.stash import load_stash, save_stash_piece
from bagwright.units import UnitSystem
from bagwright.workflows.answer import ready_of
from bagwright.workflows.cover_templates import asked_templates, keep_off_lines, pieceable
from bagwright.workflows.covering import covers_for_bag
from bagwright.workflows.covering_acts import use_scraps
from bagwright.workflows.covering_words import (
    cover_in_words,
    covers_paper,
    ridge_words,
    stiffer_at_laps,
    worth_in_words,
)
from bagwright.workflows.cutting_from_stash import take_back
from bagwright.workflows.desk import view_bag

WALLET, FUSE = "lantern-card-wallet", "mist-fuse"
QUICK, USUAL = CoverSettings(iterations=1), ScrapWishes()


def stash(desk, *sizes, side_up=SideUp.EITHER):
    with desk.store() as store:
        for number, (width, height) in enumerate(sizes):
            ring = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
            piece = StashPiece(
                id=f"scrap-{number}", material_id=FUSE, outer=ring, side_up=side_up, value=Money(Decimal(1), "USD")
            )
            save_stash_piece(store, piece, expected_version=0)


def template_size(desk):
    view = view_bag(desk, WALLET)
    asked = asked_templates(view, view.shelf.materials[FUSE], USUAL)
    return asked[0].template.need.width_mm, asked[0].template.need.height_mm


def test_only_inner_layers_that_may_be_pieced_are_asked_for(desk):
    pouch = view_bag(desk, "reed-pencil-pouch")
    assert [material.id for material in pieceable(pouch)] == ["woven-fuse", "slate-sewin"]
    assert [material.id for material in pieceable(view_bag(desk, WALLET))] == [FUSE]
    assert [material.id for material in pieceable(view_bag(desk, "harbour-market-tote"))] == ["cloud-fleece"]


def test_copies_are_those_of_the_run_and_pairs_are_parted(desk):
    view = view_bag(desk, "reed-pencil-pouch")
    for material in pieceable(view):
        asked = asked_templates(view, material, USUAL)
        wanted = sum(cut.count for cut in view.answer.cuts if cut.material_id == material.id) * 6
        assert sum(one.template.count for one in asked) == wanted
        paired = {one.cut.id for one in asked if one.cut.mirror is Mirror.PAIRS}
        assert all(f"{name} (mirrored)" in {one.template.id for one in asked} for name in paired)


def test_joins_keep_off_every_fold_on_both_halves(desk):
    view = view_bag(desk, "lantern-card-wallet")
    for piece in view.answer.pattern.pieces:
        bends = sum(1 for bend in piece.bends if bend.angle_deg)
        lines = bends + len(piece.lines) + len(piece.drill_marks)
        assert len(set(keep_off_lines(piece))) <= lines * (2 if piece.fold_edge else 1)
        assert bool(lines) == bool(keep_off_lines(piece))


def test_two_halves_and_a_large_one_cover_two_panels_and_the_use_of_them_is_undone(desk):
    width, height = template_size(desk)
    stash(desk, (width, height / 2), (width, height / 2), (width + 150, height))
    view = view_bag(desk, WALLET)
    found = covers_for_bag(desk, view, settings=QUICK)[0]
    assert found.covers.verdict.passed and len(found.done) == 2
    assert cover_in_words(view, found, found.done[0])[0] == "One scrap holds all of it."
    assert cover_in_words(view, found, found.done[1])[0].startswith("2 scraps cover ")
    assert "at your pay that is" in worth_in_words(view, found, found.done[1])
    assert covers_paper(desk, view, found, paper="A4").startswith(b"%PDF")

    def use(seen):
        return use_scraps(desk, WALLET, FUSE, seen=seen, cutting_id="cut-1", today=date(2026, 11, 26))

    with pytest.raises(StaleSave):
        use("something else")
    kept = use(found.name)
    assert use(found.name) == kept
    with desk.store() as store:
        left = [one.value for one in load_stash(store)]
    assert sum(one.region.area_mm2 for one in left) == pytest.approx(150 * height, rel=0.06)
    view = view_bag(desk, WALLET)
    assert sum(ready_of(view.answer, view.shelf.materials[FUSE]).values()) == 2
    # What was put together of scraps takes its time, shared by the bags of the run: as the page said, for each copy.
    pieced = [step for step in view.answer.steps if step.kind == "Piece"]
    covers = [done.covered.cover for done in found.done if len(done.covered.cover.placements) > 1]
    minutes = sum(scrap_minutes(one, Workroom()) for one in covers)
    assert sum(step.minutes for step in pieced) == pytest.approx(minutes / view.answer.bag.run_count)
    assert len(pieced) == bool(covers)
    take_back(desk, "cut-1", kept.version)
    with desk.store() as store:
        assert {one.value.id for one in load_stash(store)} == {"scrap-0", "scrap-1", "scrap-2"}


def test_a_ridge_is_told_by_its_thickness_and_by_how_much_stiffer_it_is(desk):
    width, height = template_size(desk)
    stash(desk, (width, height / 2), (width, height / 2))
    view = view_bag(desk, WALLET)
    found = covers_for_bag(desk, view, settings=QUICK)[0]
    said = ridge_words(view, found)
    fuse = view.shelf.materials[FUSE]
    assert fuse.thickness_mm
    thick_mm = fuse.thickness_mm.value
    assert f"is {2 * thick_mm / 25.4:.3f} in ({2 * thick_mm:g} mm) thick instead of {thick_mm / 25.4:.3f} in" in said
    stiffer = stiffer_at_laps(view, found)
    assert 1 < stiffer.low < stiffer.high < 8  # a second layer that slides adds to the stack; alone and solid it is 8
    assert f"{stiffer.low:.2g} to {stiffer.high:.2g} times as stiff as beside" in said
    metric = replace(view, workroom=replace(view.workroom, units=UnitSystem.METRIC))
    assert " in (" not in ridge_words(metric, found)
    materials = {**view.shelf.materials, FUSE: replace(fuse, mass_gsm=None)}
    assert "cannot be told" in ridge_words(replace(view, shelf=replace(view.shelf, materials=materials)), found)


def test_minutes_and_money_agree_with_a_count_by_hand(desk):
    """By hand: 1 more scrap x 0.5 + 1 join x 1 + its length / 300, all x 1.15; 18 USD an hour."""
    width, height = template_size(desk)
    stash(desk, (width, height / 2), (width, height / 2))
    done = covers_for_bag(desk, view_bag(desk, WALLET), settings=QUICK)[0].done[0]
    join_mm = max(width, height) if done.covered.cover.measures.join_mm > height + 1 else width
    minutes = (1 * 0.5 + 1 * 1.0 + join_mm / 300) * 1.15
    assert scrap_minutes(done.covered.cover, Workroom()) == pytest.approx(minutes, rel=0.01)
    worth = worth_of_scraps(done.covered.cover, 250_000, Money(Decimal(8), "USD"), Workroom())
    assert worth.saved == Money(Decimal(2), "USD") and worth.is_worth_it != (worth.pay.amount >= 2)
    assert float(worth.pay.amount) == pytest.approx(18 * worth.minutes / 60)


def test_a_missing_price_is_asked_for(desk):
    material = view_bag(desk, WALLET).shelf.materials[FUSE]
    with pytest.raises(FaultyInput) as fault:
        price_of_m2(material, ())
    assert fault.value.problems[0].place == "offers"


def test_a_scrap_the_wrong_side_up_is_turned_over_before_it_is_laid(desk):
    width, height = template_size(desk)
    stash(desk, (width, height / 2), (width, height / 2), side_up=SideUp.WRONG)
    found = covers_for_bag(desk, view_bag(desk, WALLET), settings=QUICK)[0]
    assert len(found.done) == 1 and found.stock["scrap-0"].region.bounds[0] < 0
