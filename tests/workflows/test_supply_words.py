"""What a supply list asks for: cloth, hides, parts by number, thread by the spool."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from bagwright.model.cost import Need, Purchase
from bagwright.model.material import MaterialKind, OfferByCount
from bagwright.model.money import Money
from bagwright.model.run_buying import RunNeed
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.units import UnitSystem
from bagwright.workflows.supply_words import counter_words, group_words

NO_MONEY = Money(Decimal(0), "USD")
BOUGHT = Purchase(
    material_id="m",
    name="Ring",
    offer_id="o",
    seller="Invented stall",
    quantity_unit="packs",
    needed=0.4,
    quantity=1,
    width_mm=0,
    paid=NO_MONEY,
    used=NO_MONEY,
    left=NO_MONEY,
)
PACK = OfferByCount(
    id="o", material_id="m", seller="Invented stall", price=NO_MONEY, dated=date(2026, 1, 5), pack_count=10
)
SPOOL = replace(PACK, pack_count=1, length_each_m=500)


@pytest.mark.parametrize(
    ("quantity", "offer", "kind", "units", "said"),
    [
        (1, PACK, MaterialKind.HARDWARE, UnitSystem.INCH, "1 pack of Ring, 10 in a pack"),
        (2, PACK, MaterialKind.HARDWARE, UnitSystem.INCH, "2 packs of Ring, 10 in a pack"),
        (4, replace(PACK, pack_count=1), MaterialKind.HARDWARE, UnitSystem.INCH, "4 × Ring"),
        (1, SPOOL, MaterialKind.THREAD, UnitSystem.INCH, "1 spool of 500 m (547 yd) of Ring"),
        (1, replace(SPOOL, length_each_m=914.4), MaterialKind.THREAD, UnitSystem.METRIC, "1 spool of 914 m of Ring"),
        (2, replace(SPOOL, pack_count=3), MaterialKind.THREAD, UnitSystem.METRIC, "6 spools of 500 m each of Ring"),
    ],
)
def test_her_list_tells_what_a_pack_holds(quantity, offer, kind, units, said):
    assert counter_words(replace(BOUGHT, quantity=quantity), offer, kind, units) == said


def test_her_list_tells_hides_by_area_and_cloth_by_width():
    # 1 ft = 0.3048 m, exact: 18 sq ft are 1.67225 m2.
    hide = replace(BOUGHT, quantity_unit="m2", quantity=18 * 0.3048**2)
    assert counter_words(hide, None, MaterialKind.LEATHER, UnitSystem.INCH) == "18 sq ft of Ring"
    assert counter_words(hide, None, MaterialKind.LEATHER, UnitSystem.METRIC) == "1.68 m² of Ring"
    cloth = replace(BOUGHT, quantity_unit="mm", quantity=914.4, width_mm=1473.2)
    assert counter_words(cloth, None, MaterialKind.PLAIN_CLOTH, UnitSystem.METRIC) == "0.92 m of Ring, 147 cm wide"


def grouped(kind, **need):
    asked = {name: need.pop(name) for name in ("width_mm", "spools_m") if name in need}
    return group_words(
        RunNeed(need=Need(material_id="m", name="Ring", **need), goes_on=kind is MaterialKind.THREAD), kind, **asked
    )


def test_a_group_is_told_enough_in_either_system():
    # 1 in = 25.4 mm and 1 yd = 914.4 mm, exact: 58 in are 147.32 cm, 95.02 yd of thread are 86.89 m.
    laid = ((1473.2, 914.4), (1117.6, 1300.0))
    wide = "1 yd (0.92 m) of Ring, 58 in (148 cm) wide or wider"
    assert grouped(MaterialKind.PLAIN_CLOTH, lengths_mm_by_width=laid, width_mm=1473.2) == wide
    assert grouped(MaterialKind.PLAIN_CLOTH, lengths_mm_by_width=laid, width_mm=900.0) == wide
    thread = "87 m (96 yd)"
    assert grouped(MaterialKind.THREAD, length_mm=86_890) == f"{thread} of Ring"
    spools = grouped(MaterialKind.THREAD, length_mm=86_890, spools_m=[50, 500])
    assert spools == f"2 spools of 50 m (55 yd) each of Ring; {thread} of it will be sewn"
    assert grouped(MaterialKind.HARDWARE, count=4) == "4 × Ring"
    fit = ReadyMadeFit(least_mm=254)
    assert grouped(MaterialKind.ZIP, count=2, each=fit) == "2 × Ring, each 10 in (25.4 cm) or longer"


def test_a_group_is_told_hides_with_their_waste():
    # Source: K16 of the reference facts, two suppliers' charts: what takes 13.5 sq ft of cloth takes 18 sq ft of hide.
    area_mm2 = 13.5 * 304.8**2
    told = grouped(MaterialKind.LEATHER, area_mm2=area_mm2, lengths_mm_by_width=((1200.0, 900.0),))
    assert told == "18 sq ft (1.68 m²) of Ring"
