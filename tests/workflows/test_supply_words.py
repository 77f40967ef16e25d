"""What a supply list asks for: cloth, hides, parts by number, thread by the spool."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from bagwright.model.cost import Need, Purchase
from bagwright.model.material import MaterialKind
from bagwright.model.money import Money
from bagwright.model.pattern import NotionNeed
from bagwright.model.run_buying import RunNeed
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.units import UnitSystem
from bagwright.workflows.purchase_words import amount_in_words, bought_in_words, needed_in_words
from bagwright.workflows.supply_words import group_words, zips_instead

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
PACKED = replace(BOUGHT, pack_count=10)
SPOOL = replace(BOUGHT, holds_m=500, goes_on=True)


@pytest.mark.parametrize(
    ("quantity", "bought", "units", "asked", "beside_its_name", "needed"),
    [
        (1, PACKED, UnitSystem.INCH, "1 pack of Ring, 10 in a pack", "1 pack of 10", "4 pieces"),
        (2, PACKED, UnitSystem.INCH, "2 packs of Ring, 10 in a pack", "2 packs of 10", "4 pieces"),
        (4, replace(BOUGHT, needed=4), UnitSystem.INCH, "4 × Ring", "4 pieces", "4 pieces"),
        (1, replace(BOUGHT, needed=1), UnitSystem.INCH, "1 × Ring", "1 piece", "1 piece"),
        # 0.4 of 500 m are 200 m, which are 218.7 yd; cloth lengths go up to the next eighth of a yard.
        (
            1,
            SPOOL,
            UnitSystem.INCH,
            "1 spool of 547 yd (500 m) of Ring",
            "1 spool of 547 yd (500 m)",
            "218 3/4 yd",
        ),
        (
            2,
            replace(SPOOL, pack_count=3, goes_on=False, needed=0.2),
            UnitSystem.METRIC,
            "6 rolls of 500 m each of Ring",
            "6 rolls of 500 m each",
            "300.00 m",
        ),
    ],
)
def test_what_is_bought_tells_what_a_pack_holds(quantity, bought, units, asked, beside_its_name, needed):
    told = replace(bought, quantity=quantity)
    assert bought_in_words(told, units) == asked
    assert amount_in_words(told, units) == beside_its_name
    assert needed_in_words(told, units) == needed


def test_ready_made_zips_are_told_with_their_length():
    zips = replace(BOUGHT, name="Zip", quantity=2, pack_count=5, length_each_mm=304.8)
    assert bought_in_words(zips, UnitSystem.INCH) == "2 packs of Zip, 5 in a pack, each 12 in long"
    assert amount_in_words(zips, UnitSystem.INCH) == "2 packs of 5, each 12 in long"


def test_her_list_tells_hides_by_area_and_cloth_by_width():
    # 1 ft = 0.3048 m, exact: 18 sq ft are 1.67225 m2.
    hide = replace(BOUGHT, quantity_unit="m2", quantity=18 * 0.3048**2)
    assert bought_in_words(hide, UnitSystem.INCH) == "18 sq ft of Ring"
    assert amount_in_words(hide, UnitSystem.METRIC) == "1.68 m²"
    cloth = replace(BOUGHT, quantity_unit="mm", quantity=914.4, width_mm=1473.2)
    assert bought_in_words(cloth, UnitSystem.METRIC) == "0.92 m of Ring, 147 cm wide"


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
    thread = "96 yd (87 m)"
    assert grouped(MaterialKind.THREAD, length_mm=86_890) == f"{thread} of Ring"
    spools = grouped(MaterialKind.THREAD, length_mm=86_890, spools_m=[50, 500])
    assert spools == f"2 spools of 55 yd (50 m) each of Ring; {thread} of it will be sewn"
    assert grouped(MaterialKind.HARDWARE, count=4) == "4 × Ring"
    fit = ReadyMadeFit(least_mm=254)
    assert grouped(MaterialKind.ZIP, count=2, each=fit) == "2 × Ring; one of 10 in (25.4 cm) or longer is cut down"


def test_a_group_is_told_hides_with_their_waste():
    # Source: K16 of the reference facts, two suppliers' charts: what takes 13.5 sq ft of cloth takes 18 sq ft of hide.
    area_mm2 = 13.5 * 304.8**2
    told = grouped(MaterialKind.LEATHER, area_mm2=area_mm2, lengths_mm_by_width=((1200.0, 900.0),))
    assert told == "18 sq ft (1.68 m²) of Ring"


def test_a_group_is_told_which_ready_made_zips_do_instead_of_chain():
    main = NotionNeed(role="zip_chain", name="Zip", count=1, length_mm=260, ready_made=ReadyMadeFit(233.4, 228.6))
    slider = NotionNeed(role="slider", name="Slider", count=1)
    # 228.6 mm are 9 in exactly, 233.4 mm 9.19 in: the next eighth that is enough is 9 1/4 in.
    assert list(zips_instead("Pouch", [main, main, slider])) == [
        "Pouch: a ready-made zip will do in place of chain and slider: one of 9 in (22.9 cm) from stop to stop goes in "
        "as it is, one of 9 1/4 in (23.4 cm) or longer is cut down."
    ]
    inner = replace(main, name="Inner zip", ready_made=ReadyMadeFit(150.0))
    assert [told.partition("slider")[2] for told in zips_instead("Pouch", [main, inner])][1] == (
        " (inner zip): one of 6 in (15.0 cm) or longer is cut down."
    )
