"""Runs and sellers' terms come back as they were kept, and every change can be taken back."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from decimal import Decimal

import pytest

from bagwright.errors import StaleSave
from bagwright.model.money import Money
from bagwright.model.run import Run, RunBag
from bagwright.model.run_buying import SellerTerms
from bagwright.store.connection import Connection, open_store
from bagwright.store.runs import (
    can_undo_run,
    load_run,
    load_runs,
    load_seller_terms,
    retire_run,
    save_run,
    save_seller_terms,
    undo_run,
    undo_seller_terms,
)

RUN = Run(id="r", name="Autumn market", bags=(RunBag(bag_id="tote", count=3),), left_worth=0.5)
TERMS = SellerTerms(seller="Invented mill", delivery=Money(Decimal("4.90"), "USD"))


@pytest.fixture
def store(tmp_path) -> Iterator[Connection]:
    with closing(open_store(tmp_path)) as connection:
        yield connection


def test_a_run_comes_back_is_put_away_and_comes_back_again(store):
    kept = save_run(store, RUN)
    assert load_run(store, "r") == kept == replace(RUN, version=1)
    assert not can_undo_run(store, "r")
    renamed = save_run(store, replace(kept, name="Winter market"))
    assert load_runs(store) == (renamed,)
    away = retire_run(store, "r", expected_version=2)
    assert (away.name, load_runs(store)) == ("Winter market", ())
    assert undo_run(store, "r").name == "Winter market"
    assert undo_run(store, "r").name == "Autumn market"
    with pytest.raises(StaleSave):
        save_run(store, replace(kept, name="Too late"))


def test_what_a_seller_asks_for_comes_back_and_can_be_taken_back(store):
    save_seller_terms(store, TERMS, expected_version=0)
    dearer = replace(TERMS, free_from=Money(Decimal(50), "USD"), least_order=Money(Decimal(10), "USD"))
    save_seller_terms(store, dearer, expected_version=1)
    assert [one.value for one in load_seller_terms(store)] == [dearer]
    assert undo_seller_terms(store, "Invented mill") == TERMS
