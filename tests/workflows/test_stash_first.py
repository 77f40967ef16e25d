"""The stash first: a bag's pieces on what is left over, and what that saves."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bagwright.model.material import MaterialKind
from bagwright.model.money import Money
from bagwright.model.source import Reading
from bagwright.model.stash import SideUp, StashPiece
from bagwright.workflows.stash_first import cloth_price, lay_sheet_on_stash, stock_piece
from tests.workflows.demo_values import SHELF, TOTE, demo_answer


def remnant(material_id: str, length_mm: float, width_mm: float, **others) -> StashPiece:
    ring = ((0.0, 0.0), (length_mm, 0.0), (length_mm, width_mm), (0.0, width_mm))
    return StashPiece(id="remnant", material_id=material_id, outer=ring, grain_deg=0.0, **others)


@pytest.fixture(scope="module")
def sheet():
    (found,) = (s for s in demo_answer(TOTE).chosen_layouts() if s.material.kind is MaterialKind.BOTTOM_WEIGHT)
    return found


def test_a_large_remnant_saves_the_cloth_that_its_pieces_would_take(sheet):
    found = lay_sheet_on_stash(sheet, [remnant(sheet.material.id, 2000, 1500)], SHELF)
    assert found
    assert found.plan.stock.left == ()
    assert found.plan.bought_mm == 0
    assert found.plan.costs.amount == 0
    assert found.plan.costs_without
    assert found.plan.costs_without.amount > 0
    assert [piece.id for piece in found.used] == ["remnant"]


def test_a_remnant_worth_more_than_it_saves_a_small_one_and_other_cloth_are_left_alone(sheet):
    dear = remnant(sheet.material.id, 2000, 1500, value=Money(Decimal(900), "USD"))
    assert lay_sheet_on_stash(sheet, [dear], SHELF) is None
    assert lay_sheet_on_stash(sheet, [remnant(sheet.material.id, 30, 30)], SHELF) is None
    assert lay_sheet_on_stash(sheet, [remnant("other", 2000, 1500)], SHELF) is None


def test_washed_cloth_costs_more_and_comes_in_shorter_steps(sheet):
    plain = cloth_price(SHELF, replace(sheet.material, shrinkage_share=None), sheet.shop_width_mm, 1400)
    shrunk = replace(sheet.material, shrinkage_share=Reading.exact(0.2))
    washed = cloth_price(SHELF, shrunk, sheet.shop_width_mm, 1400)
    assert plain
    assert washed
    assert float(washed.price_per_m.amount) == pytest.approx(float(plain.price_per_m.amount) / 0.8)
    assert washed.step_mm == pytest.approx(plain.step_mm * 0.8)
    assert cloth_price(SHELF, shrunk, 1.0, 1400) is None


def test_a_piece_lies_right_side_up_and_as_small_as_it_may_be():
    ring = ((0.0, 0.0), (100.0, 0.0), (0.0, 50.0))
    piece = StashPiece(id="s", material_id="m", outer=ring, grain_deg=30.0, side_up=SideUp.WRONG)
    stock = stock_piece(piece, has_grain=True)
    assert stock
    assert stock.region.bounds == (-100.0, 0.0, 0.0, 50.0)
    assert stock.grain_deg == 150.0
    felt = stock_piece(replace(piece, side_up=SideUp.EITHER, error_mm=2.0), has_grain=False)
    assert felt
    assert felt.grain_deg is None
    assert felt.region.bounds[:2] == pytest.approx((2.0, 2.0))
    assert stock_piece(replace(piece, error_mm=40.0), has_grain=True) is None
