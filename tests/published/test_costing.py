"""Time and money against published worked examples."""

from __future__ import annotations

import itertools
from datetime import date
from decimal import Decimal
from fractions import Fraction
from statistics import NormalDist

import pytest

from bagwright.costing.asking import bags_to_even, ways_to_ask
from bagwright.costing.bringing import how_many_to_bring
from bagwright.costing.buying import buy_materials
from bagwright.costing.offers import USED_SHARE_OF_HIDE
from bagwright.costing.step_minutes import machine_minutes
from bagwright.costing.working_time import standard_minutes
from bagwright.model.asking import Asking, DayCount, MarketDay, WayOfSelling
from bagwright.model.bringing import Bringing
from bagwright.model.cost import Need
from bagwright.model.material import OfferByArea
from bagwright.model.money import Money
from bagwright.units import MM_PER_INCH, MM_PER_YARD


def test_standard_time_matches_time_study_example_k11():
    # Source: worked example of a sewing-time study (found on the web, page not kept): 0.60 min observed, rated 80 %,
    # allowances of 10 % and 20 % of the basic time. Printed: SAM 0.624 min.
    assert standard_minutes(0.60 * 0.80, 0.10 + 0.20) == pytest.approx(0.624, abs=0.0005)


def test_machine_speed_matches_rpm_example_k12():
    # Source: worked example (found, page not kept): 4 stitches to the cm, 200 cm in 12 s. Printed: 4000 rpm.
    assert machine_minutes(2000, stitch_length_mm=10 / 4, speed_spm=4000) * 60 == pytest.approx(12, abs=1e-9)


def test_sewing_speed_matches_yards_a_minute_example_k13():
    # Source: worked example (found, page not kept): 5000 stitches a minute at 14 to the inch.
    # Printed: 9.9 yd/min; the division gives 9.92.
    minutes_a_yard = machine_minutes(MM_PER_YARD, stitch_length_mm=MM_PER_INCH / 14, speed_spm=5000)
    assert 1 / minutes_a_yard == pytest.approx(9.92, abs=0.005)
    assert int(10 / minutes_a_yard) / 10 == 9.9


def test_machine_minutes_match_the_stitches_over_rpm_formula():
    # Source: "machine minutes = SPI x length / rpm" and TMU = min / 0.0006, onlineclothingstudy.com. The formula is
    # found; the numbers 10 SPI, 36 in, 1000 rpm -> 0.36 min = 600 TMU are worked from it by hand.
    minutes = machine_minutes(36 * MM_PER_INCH, stitch_length_mm=MM_PER_INCH / 10, speed_spm=1000)
    assert minutes == pytest.approx(0.36, abs=1e-9)
    assert minutes / 0.0006 == pytest.approx(600, abs=1e-6)


def test_hide_waste_matches_leather_yardage_charts_k16():
    # Source: leather yardage charts (two found): 1 linear yard of 54 in cloth (13.5 sq ft) = 18 sq ft of hide; 3 yd ->
    # 54 sq ft. That is the share of 0.75.
    assert float(USED_SHARE_OF_HIDE) == 13.5 / 18
    square_foot_mm2 = (12 * MM_PER_INCH) ** 2
    need = Need(material_id="hide", name="hide", area_mm2=3 * 13.5 * square_foot_mm2)
    offer = OfferByArea(
        id="o",
        material_id="hide",
        seller="Tannery",
        price=Money(Decimal(60), "USD"),
        dated=date(2026, 3, 1),
        usual_area_m2=25 * square_foot_mm2 / 1e6,
        usual_width_mm=1000,
    )
    (bought,) = buy_materials([need], [offer], currency="USD").purchases
    assert bought.needed * 1e6 / square_foot_mm2 == pytest.approx(54, abs=1e-6)
    assert bought.quantity / offer.usual_area_m2 == pytest.approx(3)


def test_break_even_matches_textbook_example_k15():
    # Source: worked break-even example of a textbook page (found on the web, page not kept): fixed 108,000, price 50,
    # variable 32. Printed: 6000 units.
    assert bags_to_even(Fraction(108_000), Fraction(50 - 32)) == 6000
    nothing = Money(Decimal(0), "USD")
    asking = Asking(
        floor=Money(Decimal(32), "USD"),
        minutes=1.0,
        hourly_pay=nothing,
        margin_share=Decimal(0),
        asked=Money(Decimal(50), "USD"),
        ways=(WayOfSelling(name="direct", kept_share=Decimal(0), kept_fixed=nothing, delivery=nothing),),
        day=MarketDay(fixed=Money(Decimal(108_000), "USD"), minutes=0.0),
    )
    (answer,) = ways_to_ask(asking)
    assert answer.day == DayCount(to_even=6000, to_pay=6000)


def test_markup_and_margin_match_a_textbook_example():
    # Source: worked example (found on the web, page not kept): cost 450, markup 12 % -> 504. The margin of 10.714 % is
    # worked from it by hand: 54 / 504.
    nothing = Money(Decimal(0), "USD")
    asking = Asking(
        floor=Money(Decimal(450), "USD"),
        minutes=1.0,
        hourly_pay=nothing,
        margin_share=Decimal(0),
        asked=Money(Decimal(504), "USD"),
        ways=(WayOfSelling(name="direct", kept_share=Decimal(0), kept_fixed=nothing, delivery=nothing),),
    )
    asked = ways_to_ask(asking)[0].asked
    assert asked
    assert asked.markup_share == Decimal("0.12")
    assert asked.margin_share == Decimal("0.107143")


@pytest.mark.parametrize(
    ("cost", "kept", "worth", "mean", "spread", "count"),
    [(140, 200, 30, 80, 30, 68.68), (20, 50, 0, 1000, 200, 1050.67)],
)
def test_how_many_to_bring_matches_worked_examples_of_the_newsvendor_rule(cost, kept, worth, mean, spread, count):
    # Source: two worked examples (found on the web, pages not kept). The first page prints 92.6, having turned the sign
    # of z (its critical ratio of 0.3529 lies below one half); 68.68 is worked from its figures with z = -0.3774. The
    # second gives Cu 30 and Co 20: a cost of 20 with nothing left after it and a sale of 50 have just these.
    usual = NormalDist(mean, spread)
    below = [usual.cdf(n + 0.5) for n in range(int(mean + 5 * spread))]
    chances = [after - before for before, after in itertools.pairwise([0.0, *below])]
    chances[-1] += 1 - sum(chances)
    asked = Bringing(
        cost=Money(Decimal(cost), "USD"),
        kept=Money(Decimal(kept), "USD"),
        worth_after=Money(Decimal(worth), "USD"),
        chances=tuple(chances),
    )
    assert how_many_to_bring(asked).best.count == pytest.approx(count, abs=0.5)
