"""Runs on the desk: kept and changed; laid and bought together; against each bag by itself."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pdfplumber
import pytest

from bagwright.errors import FaultyInput, NotKept, StaleSave
from bagwright.model.money import Money
from bagwright.model.run_buying import RunPlan
from bagwright.model.stash import StashPiece
from bagwright.store.stash import save_stash_piece
from bagwright.workflows.bag_changes import copy_bag, set_run
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk, view_bag
from bagwright.workflows.run_stash import stash_of_sheet
from bagwright.workflows.runs import (
    all_runs,
    change_run,
    change_terms,
    compare_run,
    old_prices,
    one_more,
    put_run_away,
    start_run,
    undo_run_change,
    view_run,
)
from bagwright.workflows.supply_list import ListFor, SupplyGroup, SupplyLine, SupplyList
from bagwright.workflows.supply_papers import supplies_as_csv, supply_paper
from bagwright.workflows.workroom_changes import change_workroom, the_workroom
from tests.workflows.demo_values import clear_stash

WALLET, POUCH = "lantern-card-wallet", "reed-pencil-pouch"


@pytest.fixture(scope="module")
def desk(tmp_path_factory) -> Desk:
    desk = Desk(tmp_path_factory.mktemp("home"), is_demo=True)
    fill_demo(desk)
    return desk


def run_of(desk: Desk, **counts: int):
    run = start_run(desk, "Market")
    for bag_id, count in counts.items():
        run = change_run(desk, run.id, run.version, {"add": bag_id})
        run = change_run(desk, run.id, run.version, {f"count_{bag_id}": str(count)})
    return run


def plan_now(desk: Desk, run_id: str) -> RunPlan:
    plan = view_run(desk, run_id).answer.plan
    assert plan is not None
    return plan


def test_a_run_of_one_bag_agrees_with_the_page_of_that_bag(desk):
    alone = view_bag(desk, WALLET).answer
    run = run_of(desk, **{WALLET: alone.bag.run_count})
    plan = view_run(desk, run.id).answer.plan
    assert plan is not None
    assert (plan.paid, plan.used, plan.left) == alone.money_in_all()


def test_bags_made_together_are_laid_and_bought_together(desk):
    run = run_of(desk, **{WALLET: 1, POUCH: 1})
    view = view_run(desk, run.id)
    plan, together = view.answer.plan, compare_run(desk, view)
    assert plan is not None
    assert together.paid is not None
    assert plan.paid.amount <= together.paid.amount
    assert all(sheet.layout.verdict.passed for sheet in view.answer.sheets)
    shared = [need for need in view.answer.needs if len(need.parts) == 2]
    assert shared, "the demo's bags share a material"
    assert all(need.parts == (1, 1) for need in shared if not need.need.length_mm)
    found = {one.bag.id: one for one in one_more(desk, view)}
    more = view_run(desk, change_run(desk, run.id, run.version, {f"count_{POUCH}": "2"}).id).answer.plan
    assert more is not None
    assert found[POUCH].top.extra.amount == max(more.paid.amount - plan.paid.amount, Decimal(0))


def test_delivery_and_the_stash_come_into_the_plan(desk):
    run = run_of(desk, **{WALLET: 1})
    before = view_run(desk, run.id)
    seller = plan_now(desk, run.id).orders[0].seller
    change_terms(desk, 0, {"seller": seller, "delivery": "4.90"})
    assert plan_now(desk, run.id).delivery == Money(Decimal("4.90"), "USD")
    material_id = before.answer.sheets[0].material.id
    square = StashPiece(id="s", material_id=material_id, outer=((0, 0), (900, 0), (900, 900), (0, 900)), grain_deg=0.0)
    with desk.store() as store:
        save_stash_piece(store, square, expected_version=0)
    with_stash = plan_now(desk, run.id)
    assert [one.stash_id for one in with_stash.taken if one.stash_id] == ["s"]
    assert material_id not in {one.material_id for one in with_stash.purchases}


def test_prices_of_long_ago_are_told(desk):
    view = view_run(desk, run_of(desk, **{WALLET: 1}).id)
    plan, days = view.answer.plan, {offer.id: offer.dated for offer in view.shop.shelf.offers}
    assert plan is not None
    last = max(days[one.offer_id] for one in plan.purchases)
    assert old_prices(view, today=last) == ()
    told = old_prices(view, today=last + timedelta(days=view.shop.workroom.stale_after_days + 1))
    assert {one.place for one in told} == {f"offers[{one.offer_id}].dated" for one in plan.purchases}
    patient = replace(view, shop=replace(view.shop, workroom=replace(view.shop.workroom, stale_after_days=400)))
    assert old_prices(patient, today=last + timedelta(days=366)) == ()


def test_a_piece_of_the_stash_is_counted_once_where_bags_are_bought_one_by_one(tmp_path):
    desk = Desk(tmp_path, is_demo=True)
    fill_demo(desk)
    clear_stash(desk)
    material_id = next(iter(view_bag(desk, WALLET).answer.layouts)).material.id
    square = StashPiece(id="s", material_id=material_id, outer=((0, 0), (500, 0), (500, 500), (0, 500)), grain_deg=0.0)
    with desk.store() as store:
        save_stash_piece(store, square, expected_version=0)
    twin = copy_bag(desk, WALLET)
    view = view_run(desk, run_of(desk, **{WALLET: 1, twin.id: 1}).id)
    taken = [one.stash_id for plan in compare_run(desk, view).alone if plan for one in plan.taken if one.stash_id]
    assert taken == ["s"]


def test_what_the_stash_does_not_hold_is_bought(tmp_path):
    desk = Desk(tmp_path, is_demo=True)
    fill_demo(desk)
    clear_stash(desk)
    run = run_of(desk, **{WALLET: 2})
    view = view_run(desk, run.id)
    sheet = view.answer.sheets[0]
    for length in range(60, 2000, 20):  # the shortest strip that holds one
        ring = ((0.0, 0.0), (length, 0.0), (length, 130.0), (0.0, 130.0))
        piece = StashPiece(id="s", material_id=sheet.material.id, outer=ring, grain_deg=0.0)
        shop, cuts = replace(view.shop, stash=(piece,)), view.answer.bags[0].cuts
        if list(stash_of_sheet(sheet.material, cuts, shop, count=2, only=(1,))):
            break
    flaw = ((0.0, 0.0), (length / 2, 0.0), (length / 2, 130.0), (0.0, 130.0))
    spoilt = replace(view.shop, stash=(replace(piece, flaws=(flaw,)),))
    assert not list(stash_of_sheet(sheet.material, cuts, spoilt, count=2, only=(1,)))
    with desk.store() as store:
        save_stash_piece(store, piece, expected_version=0)
    need = next(n for n in view_run(desk, run.id).answer.needs if n.need.material_id == sheet.material.id)
    assert [part.holds for part in need.stash] == [(1,)]
    rest = [laid.width_mm for laid in need.laid if laid.holds == (1,)]
    assert sorted(rest) == sorted(width for width, _ in need.need.lengths_mm_by_width)


def test_a_run_is_renamed_put_away_and_brought_back(desk):
    run = run_of(desk, **{WALLET: 1})
    named = change_run(desk, run.id, run.version, {"name": " Winter  fair "})
    assert named.name == "Winter fair"
    away = put_run_away(desk, run.id, named.version)
    assert run.id not in {one.id for one in all_runs(desk)}
    back = undo_run_change(desk, run.id, away.version)
    assert (back.name, run.id in {one.id for one in all_runs(desk)}) == ("Winter fair", True)
    emptied = change_run(desk, run.id, back.version, {f"count_{WALLET}": "0", "left_worth": "half"})
    assert (emptied.bags, emptied.left_worth) == ((), 0.5)
    with pytest.raises(StaleSave):
        change_run(desk, run.id, run.version, {"name": "Late"})


@pytest.mark.parametrize(
    ("texts", "place"),
    [
        ({f"count_{WALLET}": "many"}, f"count_{WALLET}"),
        ({f"count_{WALLET}": "201"}, f"count_{WALLET}"),
        ({"add": "no"}, "add"),
    ],
)
def test_what_cannot_be_a_run_is_refused_and_changes_nothing(desk, texts, place):
    run = run_of(desk, **{WALLET: 1})
    with pytest.raises(FaultyInput) as caught:
        change_run(desk, run.id, run.version, texts)
    assert [problem.place for problem in caught.value.problems] == [place]
    assert replace(view_run(desk, run.id).answer.run, version=0) == replace(run, version=0)


def test_terms_of_nobody_and_amounts_that_are_none_are_refused(desk):
    with pytest.raises(FaultyInput) as caught:
        change_terms(desk, 0, {"seller": "Nobody", "delivery": "x", "free_from": "-1"})
    assert [problem.place for problem in caught.value.problems] == ["seller", "delivery", "free_from"]


def test_the_supply_list_for_her_names_shops_and_that_for_a_group_none(desk):
    run = run_of(desk, **{WALLET: 1})
    plan = plan_now(desk, run.id)
    hers, group = (json.loads(supply_paper(desk, run.id, "supplies.json", who).data) for who in ListFor)
    assert [one["heading"].split(":")[0] for one in hers["groups"] if "shelf" not in one["heading"]] == [
        f"At {order.seller}" for order in plan.orders
    ]
    assert plan.paid.said() in hers["total"]
    assert not any(offer.seller in json.dumps(group) for offer in view_run(desk, run.id).shop.shelf.offers)
    cloth = [line["amount"] for one in group["groups"] for line in one["lines"] if "wide" in line["amount"]]
    assert cloth
    assert all(" yd (" in amount and " m) of " in amount and " cm) wide or wider" in amount for amount in cloth)
    thread = [line["amount"] for one in group["groups"] for line in one["lines"] if line["kind"] == "thread"]
    assert [(one.startswith("1 spool of "), one.endswith("of it will be sewn")) for one in thread] == [(True, True)]
    assert group["cautions"]
    rows = list(
        csv.reader(io.StringIO(supply_paper(desk, run.id, "supplies.csv", ListFor.HER).data.decode("utf-8-sig")))
    )
    assert len(rows) == 1 + sum(len(one["lines"]) for one in hers["groups"])
    with pdfplumber.open(io.BytesIO(supply_paper(desk, run.id, "supplies-letter.pdf", ListFor.HER).data)) as pdf:
        text = "".join(page.extract_text() for page in pdf.pages)
    assert "Supplies for Market" in text
    assert plan.orders[0].seller in text
    with pytest.raises(NotKept):
        supply_paper(desk, run.id, "supplies.doc", ListFor.HER)


def test_a_cell_that_a_spreadsheet_would_reckon_with_is_made_harmless():
    line = SupplyLine(material_id="m", name="=1+1", kind="felt", amount="@x")
    risky = SupplyList(
        run_name="r", made="", list_for=ListFor.HER, groups=(SupplyGroup(heading="-shop", lines=(line,)),)
    )
    assert supplies_as_csv(risky).decode("utf-8-sig").splitlines()[1] == "'-shop,'=1+1,felt,'@x,"


def test_the_page_of_a_bag_counts_delivery_too(tmp_path):
    desk = Desk(tmp_path, is_demo=True)
    fill_demo(desk)
    before = view_bag(desk, WALLET).answer
    assert before.plan is not None
    assert before.price is not None
    for seller in {one.seller for one in before.plan.purchases}:
        change_terms(desk, 0, {"seller": seller, "delivery": "1.00"})
    after = view_bag(desk, WALLET).answer
    assert after.plan is not None
    assert after.price is not None
    paid, used, left = after.money_in_all()
    assert sum(money.amount for _, money in after.plan.deliveries) >= 1
    assert (paid, after.price.floor.amount > before.price.floor.amount) == (used + left, True)


def test_a_run_is_worked_out_anew_only_where_it_may_come_out_otherwise(desk):
    run = run_of(desk, **{POUCH: 2})
    first = view_run(desk, run.id).answer
    assert view_run(desk, run.id).answer is first
    copy_bag(desk, POUCH)
    assert view_run(desk, run.id).answer is first, "another bag is none of its own"
    bag = view_bag(desk, POUCH).answer.bag
    set_run(desk, POUCH, bag.version, str(bag.run_count + 1))
    assert view_run(desk, run.id).answer is not first
    second = view_run(desk, run.id).answer
    change_workroom(desk, the_workroom(desk).version, {"layout_gap_mm": "1/8 in"})
    assert view_run(desk, run.id).answer is not second
