"""What scraps count for, her three ways, each by hand to the cent."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.costing.buying import buy_materials
from bagwright.costing.scraps_counted import leftovers_counted, scrap_counts
from bagwright.errors import FaultyInput
from bagwright.model.bag import Workroom
from bagwright.model.cost import Need
from bagwright.model.material import Material, MaterialKind, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.money import Money
from bagwright.model.running_costs import ScrapsCount

CANVAS = Material(id="canvas", name="invented canvas", kind=MaterialKind.BOTTOM_WEIGHT)
RING = Material(id="ring", name="invented ring", kind=MaterialKind.HARDWARE)
MATERIALS = {"canvas": CANVAS, "ring": RING}


def usd(amount: str | int | Decimal) -> Money:
    return Money(Decimal(amount), "USD")


SOLD: dict[str, Any] = {"material_id": "canvas", "seller": "an invented shop", "dated": date(2026, 11, 2)}
BOLT = OfferByLength(id="bolt", price=usd(14), width_mm=1400, priced_per_mm=1000, step_mm=500, **SOLD)
CHEAPER_WIDE = OfferByLength(id="wide", price=usd("12.60"), width_mm=1500, priced_per_mm=1000, step_mm=500, **SOLD)
PACK = OfferByCount(id="pack", price=usd(6), pack_count=4, **{**SOLD, "material_id": "ring"})


def bought(*offers, needs=None):
    needs = needs or [Need(material_id="canvas", name="canvas", lengths_mm_by_width=((1400.0, 1600.0),))]
    return buy_materials(needs, offers, currency="USD").purchases


def room(way: ScrapsCount, share: str = "1") -> Workroom:
    return replace(Workroom(), scraps_count=way, scraps_share=Decimal(share))


@pytest.mark.parametrize(
    ("workroom", "used", "left"),
    [
        # 2 m at 14 for 1.6 m: 0.4 m is left, which cost 5.60.
        (room(ScrapsCount.SHARE), "22.40", "5.60"),
        (room(ScrapsCount.SHARE, "0.25"), "26.60", "1.40"),
        (room(ScrapsCount.NOTHING), "28.00", "0"),
        # 0.4 m x 1.4 m = 0.56 m2, new at its cheapest 12.60 / 1.5 = 8.40 a square metre: 4.704.
        (room(ScrapsCount.REPLACEMENT), "23.296", "4.704"),
    ],
)
def test_what_is_left_of_a_length_by_hand(workroom, used, left):
    offers = (BOLT, CHEAPER_WIDE)
    (one,) = leftovers_counted(bought(*offers), MATERIALS, offers, workroom)
    assert (one.paid, one.used, one.left) == (usd("28.00"), usd(used), usd(left))


def test_what_is_left_of_cut_pieces_and_areas_counts_by_its_area():
    # A piece of 0.5 m x 1 m at 4.00 is 8.00 a m2; half of it, 0.25 m2, is left: 2.00. Of a hide of 1 m2 at 30.00 the
    # layout takes 0.8 m2: 0.2 m2 is left, 6.00.
    piece = OfferByPiece(id="piece", price=usd(4), width_mm=500, length_mm=1000, **SOLD)
    need = [Need(material_id="canvas", name="canvas", lengths_mm_by_width=((500.0, 500.0),))]
    (one,) = leftovers_counted(bought(piece, needs=need), MATERIALS, (piece,), room(ScrapsCount.REPLACEMENT))
    assert (one.quantity, one.needed, one.left) == (1.0, 0.5, usd(2))
    hide = OfferByArea(id="hide", price=usd(30), usual_area_m2=1.0, usual_width_mm=1000, **SOLD)
    need = [Need(material_id="canvas", name="hide", lengths_mm_by_width=((1000.0, 800.0),), area_mm2=600_000)]
    (one,) = leftovers_counted(bought(hide, needs=need), MATERIALS, (hide,), room(ScrapsCount.REPLACEMENT))
    assert (one.quantity, one.needed, one.left) == (1.0, 0.8, usd(6))


def test_what_is_no_scrap_keeps_its_price():
    # 3 rings of a pack of 4 at 6.00: the fourth is worth 1.50 whatever scraps count for.
    (one,) = bought(PACK, needs=[Need(material_id="ring", name="ring", count=3)])
    (kept,) = leftovers_counted([one], MATERIALS, (PACK,), room(ScrapsCount.NOTHING))
    assert kept == one
    assert kept.left == usd("1.50")


def test_a_piece_of_the_stash_by_hand():
    offers = (BOLT, CHEAPER_WIDE)
    cost, area_mm2 = usd("3.00"), 250_000.0
    ways = [room(ScrapsCount.NOTHING), room(ScrapsCount.SHARE, "0.4"), room(ScrapsCount.REPLACEMENT)]
    counted = [scrap_counts(cost, area_mm2, CANVAS, offers, one) for one in ways]
    # 0.4 x 3.00 = 1.20; 0.25 m2 at 8.40 = 2.10.
    assert counted == [usd(0), usd("1.20"), usd("2.10")]
    assert scrap_counts(None, area_mm2, CANVAS, offers, ways[1]) == usd(0)


def test_rejects_new_without_a_price():
    with pytest.raises(FaultyInput) as refused:
        scrap_counts(usd(3), 1e5, CANVAS, (PACK,), room(ScrapsCount.REPLACEMENT))
    assert [problem.place for problem in refused.value.problems] == ["offers"]


@given(
    st.sampled_from(ScrapsCount), st.decimals("0", "1", places=3), st.floats(1, 5000), st.decimals("1", "90", places=2)
)
def test_property_used_and_left_are_what_was_paid(way, share, length_mm, price):
    need = [Need(material_id="canvas", name="canvas", lengths_mm_by_width=((1400.0, length_mm),))]
    offers = (replace(BOLT, price=usd(price)), CHEAPER_WIDE)
    for one in leftovers_counted(bought(*offers, needs=need), MATERIALS, offers, room(way, str(share))):
        assert one.used + one.left == one.paid
        assert 0 <= one.left.amount <= one.paid.amount
