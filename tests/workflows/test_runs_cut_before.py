"""A run leaves out what was cut from the stash for one of its bags, says so, and buys it again once that is undone."""

from __future__ import annotations

import json
from collections import Counter
from datetime import date

import pytest

from bagwright.model.run import Run
from bagwright.model.stash import StashPiece
from bagwright.store.stash import save_stash_piece
from bagwright.web.run_page import TypedRun, run_page
from bagwright.workflows.cutting_from_stash import cut_after_all, cut_from_stash, mark_sewn, take_back
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk, view_bag
from bagwright.workflows.from_stash import stash_for_bag
from bagwright.workflows.runs import RunView, change_run, start_run, view_run
from bagwright.workflows.supply_list import ListFor
from bagwright.workflows.supply_papers import supply_paper
from tests.workflows.demo_values import TOTE, clear_stash

WALLET, CANVAS = "lantern-card-wallet", "pond-canvas"
HEADING = "Cut from the stash before, so not on this list"


@pytest.fixture
def desk(tmp_path) -> Desk:
    desk = Desk(tmp_path, is_demo=True)
    fill_demo(desk)
    clear_stash(desk)
    ring = ((0.0, 0.0), (700.0, 0.0), (700.0, 500.0), (0.0, 500.0))  # holds the tote's straps, not its body
    with desk.store() as store:
        save_stash_piece(
            store, StashPiece(id="rest", material_id=CANVAS, outer=ring, grain_deg=0.0), expected_version=0
        )
    return desk


def run_of(desk: Desk, **counts: int) -> Run:
    run = start_run(desk, "Market")
    for bag_id, count in counts.items():
        run = change_run(desk, run.id, run.version, {"add": bag_id})
        run = change_run(desk, run.id, run.version, {f"count_{bag_id}": str(count)})
    return run


def laid_of(view: RunView, material_id: str) -> list[Counter[str]]:
    """What lies on each width of the material; names without their bag."""
    sheets = [sheet for sheet in view.answer.sheets if sheet.material.id == material_id]
    return [Counter(place.id.rpartition(": ")[2] for place in sheet.layout.placements) for sheet in sheets]


def paid(view: RunView) -> tuple[float, float, float]:
    plan = view.answer.plan
    assert plan is not None, view.answer.problems
    return float(plan.paid.amount), float(plan.used.amount), float(plan.left.amount)


def test_what_was_cut_from_the_stash_is_neither_laid_nor_bought_until_that_is_undone(desk):
    alone, both = run_of(desk, **{TOTE: 1}), run_of(desk, **{TOTE: 3, WALLET: 2})
    view = view_bag(desk, TOTE)
    before = [view_run(desk, run.id) for run in (alone, both)]
    assert all(one == Counter({"outer": 6, "strap": 6}) for one in laid_of(before[1], CANVAS))
    (offer,) = stash_for_bag(desk, view).offers
    kept = cut_from_stash(desk, TOTE, CANVAS, cutting_id="c", seen=offer.name, today=date(2026, 11, 26))
    assert [(one.id, one.count) for one in kept.value.ready] == [("strap", 2)]

    after = [view_run(desk, run.id) for run in (alone, both)]
    assert paid(after[0]) == tuple(float(one.amount) for one in view_bag(desk, TOTE).answer.money_in_all())
    assert all(one == Counter({"outer": 6, "strap": 4}) for one in laid_of(after[1], CANVAS))
    need = next(one for one in after[1].answer.needs if one.need.material_id == CANVAS)
    assert need.parts == (2, 1)  # two totes that take all, one that takes no straps
    cuts = {cut.id: cut.region.area_mm2 for cut in view.answer.cuts if cut.material_id == CANVAS}
    assert need.need.area_mm2 == pytest.approx(6 * cuts["outer"] + 4 * cuts["strap"])
    assert all(sheet.layout.verdict.passed for one in after for sheet in one.answer.sheets)
    assert all(new[0] < old[0] for new, old in zip(map(paid, after), map(paid, before), strict=True))

    page = run_page(after[1], TypedRun(), job=None, ended="")
    (line,) = page.cut_before
    assert line.words.startswith("2 × Strap of Pond canvas")
    assert "neither laid nor bought" in line.words
    assert line.href == f"/bags/{TOTE}/stash"
    for who in ListFor:
        groups = json.loads(supply_paper(desk, both.id, "supplies.json", who).data)["groups"]
        assert [one["heading"] for one in groups].count(HEADING) == 1
        assert groups[0]["lines"][0]["material_id"] == CANVAS

    take_back(desk, "c", kept.version)
    undone = [view_run(desk, run.id) for run in (alone, both)]
    assert list(map(paid, undone)) == list(map(paid, before))
    assert all(not one.answer.cut_before for one in undone)
    cut_after_all(desk, "c")
    assert paid(view_run(desk, both.id)) == paid(after[1])
    mark_sewn(desk, "c", kept.version + 2, is_sewn=True)  # the next ones take straps of their own again
    assert all(one == Counter({"outer": 6, "strap": 6}) for one in laid_of(view_run(desk, both.id), CANVAS))
