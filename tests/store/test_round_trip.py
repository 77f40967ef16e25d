"""Every value saved comes back equal, to the type of each field."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import given

from bagwright.errors import BrokenPromise
from bagwright.store.bags import list_bags, load_bag, redo_bag, save_bag, undo_bag
from bagwright.store.layouts import load_layout, save_layout
from bagwright.store.materials import load_material, load_materials, load_offer, load_offers, save_material, save_offer
from bagwright.store.migrations import migrate
from bagwright.store.workroom import load_workroom, save_workroom
from tests.store.kept_values import (
    CANVAS,
    LAYOUT,
    OWN_POUCH,
    ROUND_POCKET,
    TOTE,
    bags,
    layouts,
    materials,
    offers,
    workrooms,
)


@contextmanager
def fresh_store() -> Iterator[sqlite3.Connection]:
    """In memory, for speed: what the file adds is tested where files are."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        migrate(connection)
        yield connection


@given(bags)
def test_property_a_bag_comes_back_equal(bag):
    with fresh_store() as connection:
        saved = save_bag(connection, bag)
        assert saved == replace(bag, version=1)
        assert repr(load_bag(connection, bag.id)) == repr(saved)
        (line,) = list_bags(connection)
        assert (line.id, line.name, line.form, line.version) == (bag.id, bag.name, bag.form, 1)


@given(materials)
def test_property_a_material_comes_back_equal(material):
    with fresh_store() as connection:
        save_material(connection, material, expected_version=0)
        kept = load_material(connection, material.id)
        assert repr(kept.value) == repr(material)
        assert (kept.version, kept.retired) == (1, material.retired)
        assert load_materials(connection) == (() if material.retired else (kept,))
        assert load_materials(connection, with_retired=True) == (kept,)


@given(offers)
def test_property_an_offer_comes_back_equal_and_of_its_kind(offer):
    with fresh_store() as connection:
        save_material(connection, CANVAS, expected_version=0)
        save_offer(connection, offer, expected_version=0)
        kept = load_offer(connection, offer.id)
        assert type(kept.value) is type(offer)
        assert repr(kept.value) == repr(offer)
        assert load_offers(connection) == (kept,)


@given(workrooms)
def test_property_a_workroom_comes_back_equal(workroom):
    with fresh_store() as connection:
        save_workroom(connection, workroom)
        assert repr(load_workroom(connection)) == repr(replace(workroom, version=2))


@given(layouts)
def test_property_a_layout_comes_back_equal(layout):
    with fresh_store() as connection:
        assert save_layout(connection, layout) == layout
        assert repr(load_layout(connection, layout.request_hash)) == repr(layout)


def test_a_frozen_mapping_comes_back_equal(connection):
    save_bag(connection, replace(TOTE, measurements_mm=MappingProxyType({"width_mm": 1.0})))
    assert load_bag(connection, "tote").measurements_mm == {"width_mm": 1.0}


@pytest.mark.parametrize(
    "change",
    [
        {"measurements_mm": {"width_mm": float("inf")}},
        {"measurements_mm": {"width_mm": float("nan")}},
        {"measurements_mm": {"width_mm": object()}},
        {"name": "\ud800"},
        {"name": 3},
        {"stacks": {"outer": ["canvas"]}},
    ],
)
def test_saving_rejects_what_would_not_come_back(connection, change):
    with pytest.raises(BrokenPromise):
        save_bag(connection, replace(TOTE, **change))
    assert list_bags(connection) == ()


def test_loading_rejects_a_document_that_is_none(connection):
    save_layout(connection, LAYOUT)
    connection.execute("UPDATE layout SET document = '{}'")
    with pytest.raises(BrokenPromise):
        load_layout(connection, LAYOUT.request_hash)


def test_a_bag_of_her_own_pieces_keeps_every_curve_through_undo_and_redo(connection):
    own = replace(TOTE, form="own_pieces", own=ROUND_POCKET)
    first = save_bag(connection, own)
    second = save_bag(connection, replace(first, own=OWN_POUCH))
    assert undo_bag(connection, own.id).own == ROUND_POCKET
    assert redo_bag(connection, own.id).own == second.own
    assert first.own is not None
    kinds = [type(curve).__name__ for edge in first.own.pieces[0].net.edges for curve in edge.curves]
    assert kinds == ["Line", "Cubic", "Arc", "Line"]


def test_a_bag_kept_before_there_were_own_pieces_is_read(connection):
    save_bag(connection, TOTE)
    (document,) = connection.execute("SELECT document FROM history").fetchone()
    older = {key: value for key, value in json.loads(document).items() if key != "own"}
    connection.execute("UPDATE history SET document = ?", (json.dumps(older),))
    assert load_bag(connection, "tote") == replace(TOTE, version=1)
