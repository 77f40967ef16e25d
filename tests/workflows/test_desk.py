"""The desk: what is remembered, what is compared with, what comes out of the store."""

from __future__ import annotations

import threading

import pytest

from bagwright.cutting.lay import lay_pieces
from bagwright.errors import StoreRefused
from bagwright.model.layout import LaySettings
from bagwright.store.connection import FILE_NAME
from bagwright.store.layouts import save_layout
from bagwright.store.materials import load_material, save_material
from bagwright.workflows import desk as desks
from bagwright.workflows.bag_changes import resize_bag, set_run
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk, Remembered, all_forms, find_layout, load_shelf, new_id, view_bag
from tests.workflows.demo_values import BAGS, TOTE, all_bags, demo_answer, with_material


def test_oldest_values_are_forgotten_first():
    few: Remembered[str, int] = Remembered(2)
    few.put("a", 1)
    few.put("b", 2)
    assert few.get("a") == 1  # and so it is newer than b
    few.put("c", 3)
    assert [few.get(key) for key in "abc"] == [1, None, 3]


def test_many_threads_may_remember_at_once():
    shared: Remembered[int, int] = Remembered(8)

    def work():
        for number in range(2_000):
            shared.put(number % 50, number)
            shared.get(number % 50)

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(shared.get(key) is not None for key in range(50)) == 8


def test_a_view_compares_with_the_version_that_was_shown(desk):
    shown = view_bag(desk, TOTE).answer
    resize_bag(desk, TOTE, 1, {"width_mm": "15 in"})
    view = view_bag(desk, TOTE, since=1)
    assert view.before == shown
    assert view.answer.price and view.before.price
    assert view.answer.price.paid_price != view.before.price.paid_price


@pytest.mark.parametrize("since", [None, 2, 7, 0])
def test_there_is_nothing_to_compare_with_a_version_never_seen_or_the_same(desk, since):
    set_run(desk, TOTE, 1, "2")
    assert view_bag(desk, TOTE, since=since).before is None


def test_every_bag_is_listed_by_name(desk):
    names = [answer.bag.name for answer in all_bags(desk)]
    assert names == sorted(bag.name for bag in BAGS.values())
    assert all(answer.price for answer in all_bags(desk))
    assert {answer.bag.form for answer in all_bags(desk)} <= {form.key for form in all_forms()}


def test_first_layouts_are_worked_out_once(desk, monkeypatch):
    view_bag(desk, TOTE)

    def never(*_args, **_options):
        raise AssertionError("laid again")

    monkeypatch.setattr(desks, "lay_pieces", never)
    assert view_bag(desk, TOTE).answer.problems == ()


def test_a_kept_layout_goes_before_a_first_one(desk):
    sheet = demo_answer(TOTE).layouts[0]
    with desk.store() as store:
        kept = save_layout(store, lay_pieces(sheet.request, settings=LaySettings(iterations=50)))
        assert find_layout(desk, store, sheet.request) == kept


def test_retired_materials_stay_on_the_shelf_for_the_bags_made_of_them(desk):
    with desk.store() as store:
        canvas = load_material(store, "pond-canvas")
        retired = with_material("pond-canvas", retired=True).materials["pond-canvas"]
        save_material(store, retired, expected_version=canvas.version)
        assert load_shelf(store).materials["pond-canvas"].retired
    assert view_bag(desk, TOTE).answer.problems == ()


def test_the_demo_is_put_into_an_empty_store_only(tmp_path):
    desk = Desk(tmp_path)
    fill_demo(desk)
    set_run(desk, TOTE, 1, "9")
    fill_demo(desk)
    assert view_bag(desk, TOTE).answer.bag.run_count == 9
    assert len(all_bags(desk)) == 3


def test_a_damaged_store_is_refused_and_left_as_it_is(tmp_path):
    (tmp_path / FILE_NAME).write_bytes(b"no store at all" * 100)
    with pytest.raises(StoreRefused):
        all_bags(Desk(tmp_path))
    assert (tmp_path / FILE_NAME).read_bytes() == b"no store at all" * 100


@pytest.mark.parametrize("name", ["", "🧵", "../../etc/passwd", "a" * 500, "CON", "<script>", "x\x00y", "----"])
def test_ids_are_safe_in_addresses_and_file_names(name):
    made = new_id(name)
    assert made.replace("-", "").isalnum() and made.isascii()
    assert 7 < len(made) <= 47
    assert made != new_id(name)
