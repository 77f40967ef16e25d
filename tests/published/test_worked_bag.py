"""A whole bag worked by hand, from its sizes to what a shop has to ask, beside what `bagwright price` says.

Not a published example: every sum below is written out from the inputs stated here, in fractions, and shares no code
with the package. The rules are those of job-order costing as in R. Garrison, E. Noreen, P. Brewer, Managerial
Accounting (direct material, direct labour, overhead by a rate; from memory), the lockstitch ratio 2 (1 + t / p) of
tests/published/test_thread.py, and needle time as stitches over speed. Minutes to handle things are common practice, no
source. Everything in the bag is invented.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pytest

from bagwright.costing.asking import ways_to_ask
from bagwright.model.asking import Asking, WayOfSelling
from bagwright.model.money import Money
from bagwright.workflows.tell_price import price_of_file

FILE = {
    "form": "zip_pouch",
    "measurements_mm": {
        "width_mm": 240,
        "height_mm": 160,
        "depth_mm": 0,
        "zip_ends": 1,
        "seam_allowance_mm": 10,
        "zip_allowance_mm": 6,
    },
    "stacks": {
        "outer": [{"material_id": "cloth"}, {"material_id": "web", "held": "fused"}],
        "lining": [{"material_id": "thin"}],
        "zip_chain": [{"material_id": "zip"}],
        "slider": [{"material_id": "slider"}],
    },
    "materials": [
        {"id": "cloth", "name": "Cloth", "kind": "plain-weave cloth", "mass_gsm": 200, "thickness_mm": 0.4}
        | {"overhang_mm": 40},
        {"id": "thin", "name": "Thin", "kind": "plain-weave cloth", "mass_gsm": 100, "thickness_mm": 0.2}
        | {"overhang_mm": 40},
        {"id": "web", "name": "Web", "kind": "woven interfacing", "mass_gsm": 60, "thickness_mm": 0.3}
        | {"overhang_mm": 60, "fusible_sides": 1},
        {"id": "zip", "name": "Zip", "kind": "zip chain", "mass_gpm": 12, "thickness_mm": 1.0},
        {"id": "slider", "name": "Slider", "kind": "hardware", "mass_each_g": 2},
        {"id": "thread", "name": "Thread", "kind": "thread", "mass_gpm": 0.03},
    ],
    "offers": [
        {"id": f"of-{of}", "material_id": of, "seller": "an invented shop", "price": price, "dated": "2026-11-02"}
        | sold
        for of, price, sold in (
            ("cloth", "14.00", {"sold": "by length", "width_mm": 1400, "priced_per_mm": 1000, "step_mm": 100}),
            ("thin", "8.00", {"sold": "by length", "width_mm": 1400, "priced_per_mm": 1000, "step_mm": 250}),
            ("web", "6.00", {"sold": "by length", "width_mm": 900, "priced_per_mm": 1000, "step_mm": 100}),
            ("zip", "3.60", {"sold": "by length", "width_mm": 0, "priced_per_mm": 1000, "step_mm": 100}),
            ("slider", "4.50", {"sold": "by count", "pack_count": 10}),
            ("thread", "3.20", {"sold": "by count", "pack_count": 1, "length_each_m": 250}),
        )
    ],
    "workroom": {
        "currency": "EUR",
        "hourly_pay": "18.00",
        "selling_fee_share": 0.1,
        "selling_fee_fixed": "0.25",
        "stitch_length_mm": 3,
        "sewing_speed_spm": 350,
        "thread_waste_share": 0.15,
        "overhead": {"lines": [{"name": "rent", "a_month": "180"}], "shared_by": "hours", "hours_a_month": 60},
        "small_supplies": [
            {"kind": "needles", "name": "needle", "price": "0.90", "lasts": 300000, "lasts_for": "mm sewn"},
            {"kind": "packaging", "name": "box", "price": "0.35"},
        ],
    },
}


@dataclass(frozen=True)
class Sheet:
    """What one spreadsheet beside it would hold, line by line."""

    def cut(self) -> tuple[int, int]:
        """A panel: 10 mm at both sides and at the bottom, 6 mm at the zip."""
        return 240 + 2 * 10, 160 + 10 + 6

    def materials(self) -> dict[str, tuple[Fraction, Fraction]]:
        """Used and paid. Two panels 260 mm wide lie side by side on every cloth: 520 of 900 or 1400 mm."""
        _, tall = self.cut()
        return {
            "Cloth": (Fraction(14) * tall / 1000, Fraction(14) * 200 / 1000),  # 176 mm: 2 steps of 100 mm
            "Thin": (Fraction(8) * tall / 1000, Fraction(8) * 250 / 1000),  # one step of 250 mm
            "Web": (Fraction(6) * tall / 1000, Fraction(6) * 200 / 1000),
            "Zip": (
                Fraction("3.60") * 260 / 1000,
                Fraction("3.60") * 300 / 1000,
            ),  # 240 mm and 10 mm into each side seam
            "Slider": (Fraction("4.50") / 10, Fraction("4.50")),
        }

    SEAMS = (  # length, how many, thickness of all that the needle meets
        (240, 2, Fraction("0.4") + Fraction("0.3") + Fraction("0.2") + 1),  # zip: cloth and web, lining, tape
        (
            240,
            2,
            2 * (Fraction("0.4") + Fraction("0.3") + Fraction("0.2") + 1),
        ),  # topstitch: the allowances lie below, all twice
        (160, 2, Fraction("0.4")),  # lining sides
        (60, 2, Fraction("0.4")),  # lining bottom, beside the gap: 240 less 120 in the middle
        (160, 2, 2 * (Fraction("0.4") + Fraction("0.3"))),  # outer sides
        (10, 2, Fraction(2)),  # across the ends of the tapes
        (240, 1, 2 * (Fraction("0.4") + Fraction("0.3"))),  # outer bottom
        (120, 1, Fraction("0.4")),  # the gap
    )

    def sewn_mm(self) -> Fraction:
        return sum((Fraction(mm) * count for mm, count, _ in self.SEAMS), Fraction(0))

    def thread(self) -> Fraction:
        """2 (1 + t / p) of the seam and 15 % waste, of a spool of 250 m at 3.20."""
        mm = sum(mm * count * 2 * (1 + thick / 3) for mm, count, thick in self.SEAMS) * Fraction("1.15")
        return Fraction("3.20") * mm / 250_000

    def minutes(self) -> Fraction:
        wide, tall = self.cut()
        cut = Fraction(6 * 2 * (wide + tall), 1500) + 6 * Fraction("0.5")  # 2 of cloth, lining and web each
        fuse = Fraction(2 * math.ceil(wide * tall / 20_000) * (15 + 5), 60)
        handling = 2 * Fraction("2.5") + 2 * Fraction("0.75") + 10 * 1  # zip, topstitch, the ten plain seams
        sew = self.sewn_mm() / 3 / 350 + handling + (self.sewn_mm() - 480) / 1000  # topstitching is not pressed open
        return (10 + cut + fuse + sew + 2 * 2 + 5) * Fraction(
            "1.15"
        )  # setting up, zip and slider to fit, last look, rest

    def supplies(self) -> Fraction:
        return self.thread() + Fraction("0.90") * self.sewn_mm() / 300_000 + Fraction("0.35")

    def floor(self) -> Fraction:
        overhead = Fraction(180, 60) * self.minutes() / 60
        return sum((used for used, _ in self.materials().values()), Fraction(0)) + self.supplies() + overhead

    def pay(self) -> Fraction:
        return 18 * self.minutes() / 60


def cents(amount: Fraction) -> Decimal:
    return (Decimal(amount.numerator) / Decimal(amount.denominator)).quantize(Decimal("0.01"))


@pytest.fixture(scope="module")
def answer():
    return price_of_file(json.dumps(FILE).encode()).answer


def test_whole_bag_agrees_with_the_sheet_worked_by_hand(answer):
    sheet, price = Sheet(), answer.price
    assert sheet.sewn_mm() == Fraction(2100)
    assert sheet.minutes() == Fraction("54.7492")  # 47.608 before rest, by a pocket calculator
    bought = {one.name: (one.used.for_display(), one.paid.for_display()) for one in answer.plan.purchases}
    assert bought == {name: (cents(used), cents(paid)) for name, (used, paid) in sheet.materials().items()}
    assert price.minutes == pytest.approx(float(sheet.minutes()), abs=1e-9)
    assert price.materials.for_display() == cents(
        Fraction("2.464") + Fraction("1.408") + Fraction("1.056") + Fraction("0.936") + Fraction("0.45")
    )
    assert price.supplies.for_display() == cents(sheet.supplies())
    assert price.floor.for_display() == cents(sheet.floor())
    assert price.pay.for_display() == cents(sheet.pay()) == Decimal("16.42")
    # After 10 % and 0.25 the floor and her pay are left.
    assert price.paid_price.for_display() == cents((sheet.floor() + sheet.pay() + Fraction("0.25")) / Fraction("0.9"))
    assert sum(part.amount.amount for part in price.parts) == price.paid_price.amount


def test_what_to_ask_agrees_with_the_sheet_in_a_shop_and_with_tax_on_top(answer):
    """Wholesale: the shop keeps half of its price, and the box goes there for 1.20. By herself: 20 % tax on top."""
    sheet, price = Sheet(), answer.price
    shop = WayOfSelling(name="shop", kept_share=Decimal("0.5"), kept_fixed=eur("0"), delivery=eur("1.20"))
    taxed = WayOfSelling(
        name="herself", kept_share=Decimal("0.1"), kept_fixed=eur("0.25"), delivery=eur("0"), tax_share=Decimal("0.2")
    )
    asking = Asking(
        floor=price.floor,
        minutes=price.minutes,
        hourly_pay=eur("18"),
        margin_share=Decimal("0.25"),
        asked=eur("48"),
        ways=(shop, taxed),
    )
    in_shop, by_herself = ways_to_ask(asking)
    assert in_shop.at_margin and in_shop.asked
    wanted = sheet.floor() + sheet.pay()
    assert in_shop.paid.price.for_display() == cents((wanted + Fraction("1.20")) / Fraction("0.5"))
    # A quarter of the price is left besides: 0.5 - 0.25 of it pays for everything.
    assert in_shop.at_margin.price.for_display() == cents((wanted + Fraction("1.20")) / Fraction("0.25"))
    # The buyer pays 1.2 P; 10 % of that and 0.25 go to the seller: P (1 - 0.12) is left.
    paid = (wanted + Fraction("0.25")) / Fraction("0.88") * Fraction("1.2")
    assert by_herself.paid.price.for_display() == cents(paid)
    assert by_herself.paid.tax.for_display() == cents(paid / 6)
    # At 48 in the shop: 24, less 1.20 and the floor, for 54.7492 min.
    assert in_shop.asked.hourly_pay.for_display() == cents(
        (24 - Fraction("1.20") - sheet.floor()) * 60 / sheet.minutes()
    )


def eur(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")
