"""Bonds of two materials: saved, replaced, removed, brought back."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.errors import NotKept, StaleSave
from bagwright.model.body import Bond, BondedSwatch, KeptBond
from bagwright.model.material import Held
from bagwright.model.source import Reading
from bagwright.store.bonds import (
    can_redo_bond,
    can_undo_bond,
    load_bond,
    load_bonds,
    redo_bond,
    retire_bond,
    save_bond,
    undo_bond,
)
from bagwright.store.connection import open_store
from bagwright.store.materials import save_material
from tests.store.kept_values import CANVAS, maybe_readings, numbers, readings

FLEECE = replace(CANVAS, id="fleece", name="fleece")
FUSED = KeptBond(
    outer_id=CANVAS.id, inner_id=FLEECE.id, bond=Bond(swatch=BondedSwatch(overhang_mm=Reading.exact(70.0)))
)
bonds = st.builds(
    KeptBond,
    outer_id=st.sampled_from([CANVAS.id, FLEECE.id]),
    inner_id=st.sampled_from([CANVAS.id, FLEECE.id]),
    held=st.sampled_from(Held),
    bond=st.builds(
        Bond,
        share=maybe_readings,
        swatch=st.none() | st.builds(BondedSwatch, overhang_mm=readings(), angle_deg=numbers),
    ),
)


@pytest.fixture
def stocked(connection):
    for material in (CANVAS, FLEECE):
        save_material(connection, material, expected_version=0)
    return connection


@settings(max_examples=25)
@given(bonds)
def test_property_a_bond_comes_back_equal(bond):
    with TemporaryDirectory() as folder, closing(open_store(Path(folder))) as connection:
        for material in (CANVAS, FLEECE):
            save_material(connection, material, expected_version=0)
        kept = save_bond(connection, bond, expected_version=0)
        assert load_bond(connection, bond.id).value == bond
        assert load_bonds(connection) == (kept,)


def test_a_new_test_of_the_two_takes_the_place_of_the_old_and_can_be_undone(stocked):
    save_bond(stocked, FUSED, expected_version=0)
    # The same two, named the other way round: one row.
    newer = KeptBond(outer_id=FLEECE.id, inner_id=CANVAS.id, bond=Bond(share=Reading.exact(0.4)))
    save_bond(stocked, newer, expected_version=1)
    assert [kept.value for kept in load_bonds(stocked)] == [newer]
    assert can_undo_bond(stocked, FUSED.id) and not can_redo_bond(stocked, FUSED.id)
    assert undo_bond(stocked, FUSED.id).value == FUSED
    assert can_redo_bond(stocked, FUSED.id)
    assert redo_bond(stocked, FUSED.id).value == newer


def test_a_bond_that_is_quilted_stands_beside_the_fused_one(stocked):
    save_bond(stocked, FUSED, expected_version=0)
    save_bond(stocked, replace(FUSED, held=Held.QUILTED), expected_version=0)
    assert len(load_bonds(stocked)) == 2


def test_a_removed_bond_counts_no_longer_and_comes_back(stocked):
    save_bond(stocked, FUSED, expected_version=0)
    retire_bond(stocked, FUSED.id, expected_version=1)
    assert load_bonds(stocked) == ()
    assert [kept.retired for kept in load_bonds(stocked, with_retired=True)] == [True]
    assert not undo_bond(stocked, FUSED.id).retired
    assert len(load_bonds(stocked)) == 1


def test_saving_rejects_what_is_out_of_date_and_materials_that_are_not_there(stocked):
    save_bond(stocked, FUSED, expected_version=0)
    with pytest.raises(StaleSave):
        save_bond(stocked, FUSED, expected_version=0)
    with pytest.raises(NotKept):
        save_bond(stocked, replace(FUSED, inner_id="mist"), expected_version=0)
    with pytest.raises(NotKept):
        load_bond(stocked, "mist+canvas+fused")
    assert [kept.version for kept in load_bonds(stocked)] == [1]
