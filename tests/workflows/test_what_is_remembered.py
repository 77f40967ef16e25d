"""What is remembered: worked out once however many ask, and never older than the key it is kept under."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from threading import Event, Thread

import pytest

from bagwright.model.bag import Workroom
from bagwright.model.run import Run
from bagwright.model.stash import StashPiece
from bagwright.store.connection import Connection
from bagwright.store.layouts import save_layout
from bagwright.store.stash import save_stash_piece
from bagwright.store.workroom import load_workroom, save_workroom
from bagwright.workflows import desk as desks
from bagwright.workflows import runs, stash_today
from bagwright.workflows.bag_changes import set_run
from bagwright.workflows.desk import Desk, Remembered, unanswered, view_bag
from bagwright.workflows.runs import view_run
from bagwright.workflows.shared_buying import Watch, known_shared, look_for_shared
from bagwright.workflows.stash_changes import the_stash
from tests.workflows.demo_values import POUCH, WALLET


def test_many_who_ask_at_the_same_time_wait_for_the_one_who_works():
    shared: Remembered[str, int] = Remembered(2)
    begun, go = Event(), Event()
    found: list[int] = []
    times = 0

    def work():
        nonlocal times
        times += 1
        begun.set()
        assert go.wait(60)
        return 7

    threads = [Thread(target=lambda: found.append(shared.once("a", work))) for _ in range(4)]
    threads[0].start()
    assert begun.wait(60)
    for thread in threads[1:]:
        thread.start()
    assert shared.once("b", lambda: 8) == 8  # something else has nobody to wait for
    go.set()
    for thread in threads:
        thread.join()
    assert (found, times) == ([7] * 4, 1)


def test_work_that_broke_off_is_begun_anew_by_the_next():
    shared: Remembered[str, int] = Remembered(2)

    def broken() -> int:
        raise ValueError("broken")

    for _ in range(2):
        with pytest.raises(ValueError, match="broken"):
            shared.once("a", broken)
    assert shared.once("a", lambda: 7) == shared.get("a") == 7


def raised_meanwhile(desk: Desk) -> Callable[[Connection], Workroom]:
    """Reads the workroom; once that is done, and once only, somebody else changes what an hour of work counts."""
    left = [1]

    def load(store: Connection) -> Workroom:
        read = load_workroom(store)
        if left:
            left.clear()
            with desk.store() as other:
                pay = replace(read.hourly_pay, amount=read.hourly_pay.amount * 2)
                save_workroom(other, replace(read, hourly_pay=pay))
        return read

    return load


def test_a_bag_that_was_read_before_a_change_is_not_remembered_as_of_after(desk, monkeypatch):
    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(desks, "load_workroom", raised_meanwhile(desk))
        before = view_bag(desk, WALLET)
    after, afresh = view_bag(desk, WALLET), view_bag(Desk(desk.home), WALLET)
    assert after.answer.price and before.answer.price
    assert after.answer.price == afresh.answer.price != before.answer.price


def run_of_wallets(desk: Desk) -> Run:
    run = runs.start_run(desk, "Wallets")
    return runs.change_run(desk, run.id, run.version, {"add": WALLET})


def test_a_run_that_was_read_before_a_change_is_not_remembered_as_of_after(desk, monkeypatch):
    run_id = run_of_wallets(desk).id
    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(runs, "load_workroom", raised_meanwhile(desk))
        before = view_run(desk, run_id)
    after = view_run(desk, run_id)
    assert [bag.price for bag in after.answer.bags] != [bag.price for bag in before.answer.bags]
    assert after.answer.bags[0].price == view_run(Desk(desk.home), run_id).answer.bags[0].price


def test_a_stash_that_was_read_before_a_change_does_not_tell_what_can_be_cut_after(desk, monkeypatch):
    outer = ((0.0, 0.0), (900.0, 0.0), (900.0, 900.0), (0.0, 900.0))
    used = {layer.material_id for stack in view_bag(desk, WALLET).answer.bag.stacks.values() for layer in stack}
    large = StashPiece(id="large", material_id=min(used), outer=outer, grain_deg=0.0)

    def and_then_one_comes(desk):
        found = the_stash(desk)
        with desk.store() as other:
            save_stash_piece(other, large, expected_version=0)
        return found

    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(stash_today, "the_stash", and_then_one_comes)
        before = stash_today.stash_today(desk)
    after = stash_today.stash_today(desk)
    assert not any(bag.may_be_served for bag in before) and any(bag.may_be_served for bag in after)


def test_bags_of_a_run_are_worked_out_again_for_their_number_but_not_for_the_stash(desk, monkeypatch):
    run = run_of_wallets(desk)
    run = runs.change_run(desk, run.id, run.version, {f"count_{WALLET}": "2"})
    two = view_run(desk, run.id).answer
    outer = ((0.0, 0.0), (900.0, 0.0), (900.0, 900.0), (0.0, 900.0))
    large = StashPiece(id="s", material_id=two.sheets[0].material.id, outer=outer, grain_deg=0.0)
    with desk.store() as store:
        save_stash_piece(store, large, expected_version=0)
    with monkeypatch.context() as nothing_new:
        nothing_new.setattr(desks, "answer_bag", lambda *_, **__: pytest.fail("worked out again"))
        assert view_run(desk, run.id).answer.bags == two.bags
    assert view_run(desk, run.id).answer.plan == view_run(Desk(desk.home), run.id).answer.plan != two.plan
    changed = runs.change_run(desk, run.id, run.version, {f"count_{WALLET}": "3"})
    three = view_run(desk, run.id).answer
    assert changed.bags[0].count == three.bags[0].bag.run_count == 3
    assert three.bags[0] == view_run(Desk(desk.home), run.id).answer.bags[0] != two.bags[0]


def test_a_layout_that_was_found_makes_only_the_bags_stale_that_asked_for_it(desk, monkeypatch):
    before, pouch = view_bag(desk, WALLET).answer, view_bag(desk, POUCH).answer
    sheet = before.chosen_layouts()[0]
    others = {one.layout.request_hash for one in pouch.layouts}
    assert sheet.layout.request_hash not in others
    with desk.store() as store:
        save_layout(store, replace(sheet.layout, length_mm=sheet.layout.length_mm - 1, found_by="order search"))
    assert WALLET in unanswered(desk) and POUCH not in unanswered(desk)
    with monkeypatch.context() as nothing_new:
        nothing_new.setattr(desks, "answer_bag", lambda *_, **__: pytest.fail("worked out again"))
        assert view_bag(desk, POUCH).answer is pouch
    after = view_bag(desk, WALLET).answer
    assert after.chosen_layouts()[0].layout.length_mm == sheet.layout.length_mm - 1
    assert view_bag(desk, WALLET).answer is after and WALLET not in unanswered(desk)


def test_what_buying_with_others_saves_is_looked_for_again_once_another_bag_or_layout_is_new(desk):
    stopped_at_once = Watch(should_stop=lambda: True)

    def known_after(change: Callable[[], object]) -> bool:
        look_for_shared(desk, WALLET, watch=stopped_at_once)
        assert known_shared(desk, WALLET)
        change()
        return known_shared(desk, WALLET) is not None

    pouch = view_bag(desk, POUCH).answer
    layout = pouch.chosen_layouts()[0].layout

    def find_layout_of_the_pouch():
        with desk.store() as store:
            save_layout(store, replace(layout, length_mm=layout.length_mm - 1))

    assert known_after(lambda: None)
    assert not known_after(find_layout_of_the_pouch)
    assert not known_after(lambda: set_run(desk, POUCH, pouch.bag.version, "2"))
