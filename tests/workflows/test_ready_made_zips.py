"""Zips bought ready made: one for each, long enough by its stops, with their sliders; or by length from a roll."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from bagwright.costing.buying import buy_materials
from bagwright.costing.offers import DoesNotSuit, quote_offer
from bagwright.drafting.forms import draft_bag
from bagwright.drafting.zip_work import zip_plans
from bagwright.errors import FaultyInput
from bagwright.model.cost import Need, Purchase
from bagwright.model.material import Layer, Material, MaterialKind, Offer, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.money import Money
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.model.source import Reading
from bagwright.workflows.reckoning import notion_materials, notion_needs, roles_not_needed
from bagwright.workflows.shelf import Shelf

IN = 25.4
DAY = date(2026, 3, 1)
ZIP = Material(id="zip", name="Coil zip", kind=MaterialKind.ZIP, mass_gpm=Reading.exact(19.0))
SLIDER = Material(id="slider", name="Slider", kind=MaterialKind.HARDWARE, mass_each_g=Reading.exact(3.5))
STACKS = {"zip_chain": (Layer("zip"),), "slider": (Layer("slider"),)}


def usd(amount: str) -> Money:
    return Money(Decimal(amount), "USD")


def ready(length_in: float, price: str, material_id: str = "zip") -> OfferByPiece:
    return OfferByPiece(
        id=f"{material_id}-{length_in:g}",
        material_id=material_id,
        seller="Zip stall (invented)",
        price=usd(price),
        dated=DAY,
        width_mm=0.0,
        length_mm=length_in * IN,
    )


ROLL = OfferByLength(
    id="roll",
    material_id="zip",
    seller="Zip stall (invented)",
    price=usd("2.00"),
    dated=DAY,
    width_mm=0.0,
    priced_per_mm=36 * IN,
    step_mm=IN,
)
SLIDERS = OfferByCount(
    id="sliders", material_id="slider", seller="Zip stall (invented)", price=usd("3.00"), dated=DAY, pack_count=10
)


def needs(
    shelf: Shelf, sizes: dict[str, float] | None = None, *, run: int = 1, form: str = "zip_pouch"
) -> tuple[Need, ...]:
    return notion_needs(notion_materials(draft_bag(form, sizes or {}), STACKS, shelf), run, shelf)


def test_run_of_ready_made_zips_matches_counting_by_hand():
    # A pouch 9 + 2 in across with tabs of 3/4 in: 9.5 in of teeth and 3/8 in beyond: 9 7/8 in, so 10 in does, at 90 c.
    # Six bags take six of them, without sliders.
    shelf = Shelf.of([ZIP, SLIDER], [ready(9, "0.80"), ready(10, "0.90"), ready(12, "1.00"), SLIDERS])
    (need,) = needs(shelf, run=6)
    assert (need.count, need.length_mm) == (6, None)
    plan = buy_materials([need], shelf.offers, currency="USD")
    assert [(p.offer_id, p.quantity, p.quantity_unit, p.length_each_mm) for p in plan.purchases] == [
        ("zip-10", 6, "pieces", 254.0)
    ]
    assert (plan.paid, plan.left) == (usd("5.40"), usd("0.00"))


def test_roll_is_bought_by_length_with_sliders():
    # 10 1/4 in each: six take 61.5 in, 62 in steps of an inch at 2 a yard: 3.44; and a pack of sliders.
    shelf = Shelf.of([ZIP, SLIDER], [ROLL, SLIDERS])
    chain, sliders = needs(shelf, run=6)
    assert chain.length_mm == pytest.approx(6 * 10.25 * IN)
    assert sliders.count == 6
    plan = buy_materials([chain, sliders], shelf.offers, currency="USD")
    assert [p.paid for p in plan.purchases] == [usd("3.44"), usd("3.00")]


def test_zips_of_different_lengths_are_bought_each_as_it_fits():
    shelf = Shelf.of([ZIP, SLIDER], [ready(8, "0.70"), ready(10, "0.90"), ready(14, "1.20")])
    found = needs(shelf, {"top_zip": 1.0, "zip_pocket": 1.0}, run=2, form="boxed_tote")
    plan = buy_materials(found, shelf.offers, currency="USD")
    lengths = {p.length_each_mm: p.quantity for p in plan.purchases}
    pattern = draft_bag("boxed_tote", {"top_zip": 1.0, "zip_pocket": 1.0})
    asked = [one.ready_made for one in zip_plans(pattern, stock_mm=[8 * IN, 10 * IN, 14 * IN])]
    assert lengths == {one.length_mm: 2 for one in asked if one}
    assert len(lengths) == 2


def test_what_is_bought_property_is_what_the_plan_says():
    stock = [n * IN for n in (7, 8, 9, 10, 12, 14)]
    offers: list[Offer] = [ready(length / IN, f"{length / 100:.2f}") for length in stock]
    shelf = Shelf.of([ZIP], offers)
    for width in range(150, 330, 7):
        for ends in (0.0, 1.0):
            sizes = {"width_mm": float(width), "depth_mm": 0.0, "zip_ends": ends}
            plan = zip_plans(draft_bag("zip_pouch", sizes), stock_mm=stock)[0]
            (need,) = needs(shelf, sizes)
            bought = buy_materials([need], offers, currency="USD").purchases[0]
            assert plan.ready_made and bought.length_each_mm == pytest.approx(plan.ready_made.length_mm)


def test_packs_of_ready_made_zips_are_bought_whole():
    pack = OfferByCount(
        id="pack", material_id="zip", seller="Stall", price=usd("4.00"), dated=DAY, pack_count=5, length_each_m=0.254
    )
    need = Need(material_id="zip", name="zip", count=6, each=ReadyMadeFit(250.0))
    bought = quote_offer(need, pack)
    assert isinstance(bought, Purchase)
    assert (bought.quantity, bought.needed, bought.paid) == (2, 1.2, usd("8.00"))
    assert bought.length_each_mm == pytest.approx(254.0)
    assert isinstance(quote_offer(need, replace(pack, length_each_m=0.2)), DoesNotSuit)
    assert isinstance(quote_offer(need, replace(pack, length_each_m=None)), DoesNotSuit)


def test_short_zip_rejects_with_the_length_it_has_to_have():
    shelf = Shelf.of([ZIP], [ready(8, "0.70")])
    with pytest.raises(FaultyInput) as refused:
        buy_materials(needs(shelf), shelf.offers, currency="USD")
    assert "8 in long" in refused.value.problems[0].what and "9 7/8 in" in refused.value.problems[0].what


def test_slider_is_asked_for_only_with_a_roll():
    by_roll, by_piece = (Shelf.of([ZIP], [offer]) for offer in (ROLL, ready(10, "0.90")))
    assert roles_not_needed(STACKS, by_roll) == frozenset()
    assert roles_not_needed(STACKS, by_piece) == {"slider"}
    only_zip = {"zip_chain": STACKS["zip_chain"]}
    assert notion_materials(draft_bag("zip_pouch", {}), only_zip, by_piece)
    with pytest.raises(FaultyInput) as refused:
        notion_materials(draft_bag("zip_pouch", {}), only_zip, by_roll)
    assert [problem.place for problem in refused.value.problems] == ["stacks.slider"]
