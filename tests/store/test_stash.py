"""The stash, cuttings as one act, and layouts of her own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise, NotKept, StaleSave
from bagwright.model.money import Money
from bagwright.model.source import Verdict
from bagwright.model.stash import Cutting, SideUp, StashPiece
from bagwright.store.materials import save_material
from bagwright.store.own_layouts import (
    can_step_back,
    lay_aside_own_layout,
    load_own_layout,
    save_own_layout,
    step_back_own_layout,
)
from bagwright.store.stamp import stamp_of_answers, stamp_of_the_rest
from bagwright.store.stash import (
    bring_cutting_back,
    can_undo_stash_piece,
    keep_cutting,
    load_cuttings,
    load_stash,
    load_stash_piece,
    redo_stash_piece,
    retire_stash_piece,
    save_stash_piece,
    take_back_cutting,
    undo_stash_piece,
)
from tests.store.kept_values import CANVAS, LAYOUT, monies, numbers, texts
from tests.store.test_round_trip import fresh_store

SQUARE = StashPiece(id="square", material_id=CANVAS.id, outer=((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)))
STRIP = replace(SQUARE, id="strip", outer=((0.0, 0.0), (900.0, 0.0), (900.0, 80.0), (0.0, 80.0)))
CUTTING = Cutting(
    id="cut",
    bag_id="tote",
    bag_name="Harbour tote",
    count=2,
    material_id=CANVAS.id,
    layout_hash="hash",
    length_mm=1371.6,
    dated=date(2026, 3, 1),
)
_rings = st.lists(st.tuples(numbers, numbers), min_size=3, max_size=5).map(tuple)
stash_pieces = st.builds(
    StashPiece,
    id=texts,
    material_id=st.just(CANVAS.id),
    outer=_rings,
    holes=st.lists(_rings, max_size=2).map(tuple),
    grain_deg=st.none() | numbers,
    side_up=st.sampled_from(SideUp),
    bin=texts,
    came_from=texts,
    dated=st.none() | st.dates(),
    value=st.none() | monies,
    picture=texts,
    error_mm=numbers,
    note=texts,
)


@settings(max_examples=60)
@given(stash_pieces)
def test_property_a_stash_piece_comes_back_equal(piece):
    with fresh_store() as connection:
        save_material(connection, CANVAS, expected_version=0)
        save_stash_piece(connection, piece, expected_version=0)
        kept = load_stash_piece(connection, piece.id)
        assert repr(kept.value) == repr(piece)
        assert load_stash(connection) == (kept,)


@pytest.fixture
def stocked(connection):
    """A store with canvas on the shelf."""
    save_material(connection, CANVAS, expected_version=0)
    return connection


def test_a_piece_is_changed_retired_undone_and_redone(stocked):
    save_stash_piece(stocked, SQUARE, expected_version=0)
    moved = save_stash_piece(stocked, replace(SQUARE, bin="blue bin"), expected_version=1)
    assert can_undo_stash_piece(stocked, SQUARE.id)
    with pytest.raises(StaleSave):
        save_stash_piece(stocked, SQUARE, expected_version=1)
    retire_stash_piece(stocked, SQUARE.id, expected_version=moved.version)
    assert load_stash(stocked) == ()
    assert undo_stash_piece(stocked, SQUARE.id).value.bin == "blue bin"
    assert undo_stash_piece(stocked, SQUARE.id).value == SQUARE
    assert redo_stash_piece(stocked, SQUARE.id).value.bin == "blue bin"
    assert len(load_stash(stocked)) == 1


def test_a_piece_of_an_unknown_material_is_rejected(stocked):
    with pytest.raises(NotKept):
        save_stash_piece(stocked, replace(SQUARE, material_id="no such"), expected_version=0)
    assert load_stash(stocked) == ()


def test_a_cutting_and_what_it_left_are_one_act(stocked):
    kept, pieces = keep_cutting(stocked, CUTTING, [SQUARE, STRIP])
    assert kept.value.stash_ids == ("square", "strip")
    assert {piece.value.cutting_id for piece in pieces} == {"cut"}
    assert load_cuttings(stocked, "tote") == (kept,)
    assert load_cuttings(stocked, "other") == ()
    assert take_back_cutting(stocked, "cut", expected_version=1) == ("square", "strip")
    assert (load_stash(stocked), load_cuttings(stocked, "tote")) == ((), ())
    bring_cutting_back(stocked, "cut")
    assert [piece.value.id for piece in load_stash(stocked)] == ["square", "strip"]
    assert len(load_cuttings(stocked, "tote")) == 1
    with pytest.raises(StaleSave):
        bring_cutting_back(stocked, "cut")


def test_a_piece_used_up_before_stays_out_when_its_cutting_is_taken_back(stocked):
    keep_cutting(stocked, CUTTING, [SQUARE, STRIP])
    retire_stash_piece(stocked, "strip", expected_version=1)
    assert take_back_cutting(stocked, "cut", expected_version=1) == ("square",)
    bring_cutting_back(stocked, "cut")
    assert [piece.value.id for piece in load_stash(stocked)] == ["square"]


def test_half_a_cutting_is_never_kept(stocked):
    with pytest.raises(NotKept):
        keep_cutting(stocked, CUTTING, [SQUARE, replace(STRIP, material_id="no such")])
    assert (load_stash(stocked), load_cuttings(stocked, "tote")) == ((), ())
    with pytest.raises(StaleSave):
        keep_cutting(stocked, CUTTING, [SQUARE, SQUARE])
    assert (load_stash(stocked), load_cuttings(stocked, "tote")) == ((), ())


def test_money_of_a_piece_is_exact(stocked):
    third = Money(Decimal("1.333333333333333333"), "USD")
    save_stash_piece(stocked, replace(SQUARE, value=third), expected_version=0)
    assert load_stash_piece(stocked, "square").value.value == third


def test_a_layout_of_her_own_is_kept_laid_aside_and_stepped_back(connection):
    name, longer = LAYOUT.request_hash, replace(LAYOUT, length_mm=600.0)
    assert not can_step_back(connection, name)
    save_own_layout(connection, LAYOUT)
    save_own_layout(connection, longer)
    assert load_own_layout(connection, name) == longer
    step_back_own_layout(connection, name)
    assert load_own_layout(connection, name) == LAYOUT
    lay_aside_own_layout(connection, name)
    assert load_own_layout(connection, name) is None
    assert can_step_back(connection, name)
    step_back_own_layout(connection, name)
    assert load_own_layout(connection, name) == LAYOUT
    step_back_own_layout(connection, name)
    assert load_own_layout(connection, name) is None


def test_an_unchecked_layout_of_her_own_is_rejected(connection):
    with pytest.raises(BrokenPromise):
        save_own_layout(connection, replace(LAYOUT, verdict=Verdict(("overlap",), ("a and b overlap",))))


def test_pieces_of_the_stash_move_the_stamp_and_cuttings_that_of_answers_too(connection):
    save_material(connection, CANVAS, expected_version=0)
    stamps = [stamp_of_the_rest(connection)]
    answers = [stamp_of_answers(connection)]
    for change in (
        lambda: save_stash_piece(connection, SQUARE, expected_version=0),
        lambda: save_stash_piece(connection, replace(SQUARE, bin="blue box"), expected_version=1),
        lambda: undo_stash_piece(connection, SQUARE.id),
        lambda: keep_cutting(connection, CUTTING, ()),
        lambda: take_back_cutting(connection, CUTTING.id, expected_version=1),
    ):
        change()
        stamps.append(stamp_of_the_rest(connection))
        answers.append(stamp_of_answers(connection))
    assert len(set(stamps)) == len(stamps)
    assert [one == answers[0] for one in answers] == [True] * 4 + [False] * 2 and answers[4] != answers[5]
