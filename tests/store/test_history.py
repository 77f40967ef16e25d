"""Saving over, retiring, undoing, redoing: for everything that is kept with its history."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise, NoAnswer, NotKept, StaleSave
from bagwright.model.material import OfferByCount
from bagwright.model.money import Money
from bagwright.model.source import Verdict
from bagwright.store.bags import list_bags, load_bag, redo_bag, retire_bag, save_bag, undo_bag
from bagwright.store.layouts import load_layout, save_layout
from bagwright.store.materials import (
    load_material,
    load_materials,
    load_offer,
    load_offers,
    redo_material,
    redo_offer,
    retire_offer,
    save_material,
    save_offer,
    undo_material,
    undo_offer,
)
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom, redo_workroom, save_workroom, undo_workroom
from tests.store.kept_values import CANVAS, LAYOUT, TOTE
from tests.store.test_round_trip import fresh_store

SNAPS = OfferByCount(
    id="snaps",
    material_id="canvas",
    seller="Stall",
    price=Money(Decimal("2.50"), "USD"),
    dated=date(2026, 3, 1),
    pack_count=10,
)


def test_versions_grow_by_one(connection):
    first = save_bag(connection, TOTE)
    second = save_bag(connection, replace(first, name="Quay tote"))
    assert (first.version, second.version, load_bag(connection, "tote")) == (1, 2, second)


def test_a_stale_save_is_rejected_and_changes_nothing(connection):
    first = save_bag(connection, TOTE)
    second = save_bag(connection, replace(first, name="from one tab"))
    with pytest.raises(StaleSave) as refused:
        save_bag(connection, replace(first, name="from the other tab"))
    assert (refused.value.expected_version, refused.value.kept_version) == (1, 2)
    assert load_bag(connection, "tote") == second
    assert not connection.in_transaction


def test_a_new_bag_is_rejected_where_one_is_there(connection):
    save_bag(connection, TOTE)
    with pytest.raises(StaleSave):
        save_bag(connection, replace(TOTE, name="another"))


def test_an_old_version_is_rejected_where_nothing_is_there(connection):
    with pytest.raises(StaleSave):
        save_bag(connection, replace(TOTE, version=3))


def test_undo_goes_back_step_by_step_and_redo_forward(connection):
    bag = TOTE
    for name in ("a", "b", "c"):
        bag = save_bag(connection, replace(bag, name=name))
    assert [undo_bag(connection, "tote").name for _ in range(2)] == ["b", "a"]
    with pytest.raises(NoAnswer):
        undo_bag(connection, "tote")
    assert [redo_bag(connection, "tote").name for _ in range(2)] == ["b", "c"]
    with pytest.raises(NoAnswer):
        redo_bag(connection, "tote")
    assert load_bag(connection, "tote") == replace(bag, name="c", version=7)


def test_a_save_after_undo_goes_on_from_there(connection):
    first = save_bag(connection, replace(TOTE, name="a"))
    save_bag(connection, replace(first, name="b"))
    back = undo_bag(connection, "tote")
    save_bag(connection, replace(back, name="c"))
    assert undo_bag(connection, "tote").name == "a"
    assert redo_bag(connection, "tote").name == "c"


def test_a_tab_that_has_not_seen_an_undo_is_stale(connection):
    first = save_bag(connection, TOTE)
    second = save_bag(connection, replace(first, name="b"))
    undo_bag(connection, "tote")
    with pytest.raises(StaleSave):
        save_bag(connection, replace(second, name="c"))


def test_a_retired_bag_is_out_of_sight_and_comes_back(connection):
    bag = save_bag(connection, TOTE)
    retired = retire_bag(connection, "tote", expected_version=1)
    assert list_bags(connection) == ()
    assert [(line.id, line.retired) for line in list_bags(connection, with_retired=True)] == [("tote", True)]
    assert load_bag(connection, "tote") == retired == replace(bag, version=2)
    undo_bag(connection, "tote")
    assert [line.retired for line in list_bags(connection)] == [False]
    redo_bag(connection, "tote")
    save_bag(connection, load_bag(connection, "tote"))
    assert [line.version for line in list_bags(connection)] == [5]


def test_retiring_rejects_a_stale_version_and_an_unknown_bag(connection):
    save_bag(connection, TOTE)
    with pytest.raises(StaleSave):
        retire_bag(connection, "tote", expected_version=2)
    with pytest.raises(NotKept):
        retire_bag(connection, "clutch", expected_version=1)


@pytest.mark.parametrize("ask", [load_bag, undo_bag, redo_bag, load_material, undo_material, load_offer, redo_offer])
def test_asking_rejects_an_unknown_id(connection, ask):
    with pytest.raises(NotKept, match="nothing"):
        ask(connection, "nothing")


def test_bags_are_listed_by_name(connection):
    for key, name in (("1", "Pouch"), ("2", "Clutch"), ("3", "Tote")):
        save_bag(connection, replace(TOTE, id=key, name=name))
    assert [line.name for line in list_bags(connection)] == ["Clutch", "Pouch", "Tote"]


def test_materials_are_undone_and_redone(connection):
    save_material(connection, CANVAS, expected_version=0)
    save_material(connection, replace(CANVAS, retired=True), expected_version=1)
    assert load_materials(connection) == ()
    assert undo_material(connection, "canvas").value == CANVAS
    assert load_materials(connection)[0].version == 3
    assert redo_material(connection, "canvas").retired
    with pytest.raises(StaleSave):
        save_material(connection, CANVAS, expected_version=1)


def test_offers_are_retired_undone_and_redone(connection):
    save_material(connection, CANVAS, expected_version=0)
    save_offer(connection, SNAPS, expected_version=0)
    dearer = replace(SNAPS, price=Money(Decimal(3), "USD"))
    save_offer(connection, dearer, expected_version=1)
    retire_offer(connection, "snaps", expected_version=2)
    assert (load_offers(connection), len(load_offers(connection, with_retired=True))) == ((), 1)
    assert [undo_offer(connection, "snaps").value for _ in range(2)] == [dearer, SNAPS]
    assert redo_offer(connection, "snaps").value == dearer


def test_an_offer_is_rejected_without_its_material(connection):
    with pytest.raises(NotKept, match="canvas"):
        save_offer(connection, SNAPS, expected_version=0)


def test_settings_start_from_the_defaults_and_are_undone(connection):
    start = load_workroom(connection)
    assert start.version == 0
    first = save_workroom(connection, replace(start, fraction=8))
    save_workroom(connection, replace(first, fraction=32))
    assert undo_workroom(connection).fraction == 8
    assert redo_workroom(connection).fraction == 32
    with pytest.raises(StaleSave):
        save_workroom(connection, first)
    assert load_workroom(connection) == replace(first, fraction=32, version=5)
    assert [undo_workroom(connection) for _ in range(2)] == [
        replace(start, fraction=8, version=6),
        replace(start, version=7),
    ]
    with pytest.raises(NoAnswer):
        undo_workroom(connection)


def test_the_shortest_layout_of_a_request_is_kept(connection):
    assert load_layout(connection, "hash") is None
    shorter, longer = replace(LAYOUT, length_mm=400.0), replace(LAYOUT, length_mm=600.0)
    assert [save_layout(connection, one) for one in (LAYOUT, longer, shorter)] == [LAYOUT, LAYOUT, shorter]
    assert load_layout(connection, "hash") == shorter
    other = replace(longer, request_hash="another")
    assert save_layout(connection, other) == other


@pytest.mark.parametrize("verdict", [Verdict(()), Verdict(("overlap",), ("a overlaps b",))])
def test_an_unchecked_layout_is_rejected(connection, verdict):
    with pytest.raises(BrokenPromise):
        save_layout(connection, replace(LAYOUT, verdict=verdict))
    assert load_layout(connection, "hash") is None


def test_several_saves_are_one_transaction(connection):
    with pytest.raises(NotKept), transaction(connection):
        save_material(connection, CANVAS, expected_version=0)
        save_offer(connection, replace(SNAPS, material_id="linen"), expected_version=0)
    assert load_materials(connection) == ()


def test_a_part_that_fails_takes_only_itself_back(connection):
    with transaction(connection):
        save_bag(connection, TOTE)
        with pytest.raises(StaleSave):
            save_bag(connection, TOTE)
        save_bag(connection, replace(TOTE, id="pouch"))
    assert [line.id for line in list_bags(connection)] == ["pouch", "tote"]


@given(st.lists(st.sampled_from(["save", "undo", "redo"]), max_size=25))
def test_undo_and_redo_agree_with_a_tree_of_versions(acts):
    """Against a plain tree: each save hangs a leaf under the present one, undo climbs, redo takes the newest child."""
    parents: list[int | None] = [None]
    present = 0
    with fresh_store() as connection:
        bag = save_bag(connection, replace(TOTE, name="0"))
        for act in acts:
            if act == "save":
                parents.append(present)
                present = len(parents) - 1
                bag = save_bag(connection, replace(bag, name=str(present)))
                continue
            children = [number for number, parent in enumerate(parents) if parent == present]
            there = parents[present] if act == "undo" else max(children, default=None)
            step = undo_bag if act == "undo" else redo_bag
            if there is None:
                with pytest.raises(NoAnswer):
                    step(connection, "tote")
            else:
                present, bag = there, step(connection, "tote")
            assert load_bag(connection, "tote").name == str(present)
