"""Overhead of a month and small supplies: to the cent, by hand and by a textbook."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.costing.overhead import overhead_an_hour, overhead_faults, overhead_of_bag
from bagwright.costing.price import price_bag
from bagwright.costing.used_up import Wear, not_counted, small_supply_faults, supplies_used_up
from bagwright.errors import FaultyInput
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, TimeStep
from bagwright.model.money import Money, total
from bagwright.model.running_costs import (
    LastsFor,
    MonthlyCost,
    Overhead,
    SharedBy,
    SmallSupply,
    StuckAt,
    SupplyKind,
)
from bagwright.units import UnitSystem

A_MILLIONTH = Decimal("0.000001")


def usd(amount: str | Decimal | int) -> Money:
    return Money(Decimal(amount), "USD")


NOTHING = BuyingPlan(purchases=(), paid=usd(0), used=usd(0), left=usd(0))
MONTH = (MonthlyCost("rent", usd("240.00")), MonthlyCost("insurance", usd("31.50")), MonthlyCost("power", usd("18.50")))
BY_BAGS = replace(Workroom(), overhead=Overhead(lines=MONTH, shared_by=SharedBy.BAGS, bags_a_month=40))
BY_HOURS = replace(Workroom(), overhead=Overhead(lines=MONTH, shared_by=SharedBy.HOURS, hours_a_month=80))


def priced(workroom: Workroom, minutes: float = 90, supplies: BuyingPlan = NOTHING, run_count: int = 1):
    steps = (TimeStep(name="all of it", minutes=minutes, reckoned=""),)
    return price_bag(NOTHING, supplies, steps, run_count=run_count, workroom=workroom)


def test_overhead_matches_garrison_predetermined_rate():
    # Source, from memory: R. Garrison, E. Noreen, P. Brewer, Managerial Accounting, chapter on job-order costing:
    # 320,000 of overhead over 40,000 direct labour-hours is 8 an hour; a job of 27 hours is charged 216.
    lines = (MonthlyCost("manufacturing overhead", usd(320_000)),)
    room = replace(Workroom(), overhead=Overhead(lines=lines, shared_by=SharedBy.HOURS, hours_a_month=40_000))
    assert overhead_an_hour(room) == usd(8)
    assert overhead_of_bag(room, 27 * 60).amount == usd(216)


def test_overhead_of_a_month_by_hand():
    # 240.00 + 31.50 + 18.50 = 290.00 a month. 40 bags: 7.25 each. 80 hours: 3.625 an hour, 5.4375 for 1 h 30 min.
    by_bags, by_hours = overhead_of_bag(BY_BAGS, 90), overhead_of_bag(BY_HOURS, 90)
    assert (by_bags.amount, by_hours.amount) == (usd("7.25"), usd("5.4375"))
    assert (
        by_bags.reckoned == "rent $240.00, insurance $31.50, power $18.50, together $290.00 a month, shared by 40 bags"
    )
    assert by_hours.reckoned.startswith("1 h 30 min of rent $240.00")
    assert (overhead_an_hour(BY_BAGS), overhead_an_hour(BY_HOURS)) == (usd(0), usd("3.625"))
    # In the price: floor 7.25, pay 27, fee (7.25 + 27 + 0.30) / 0.95 = 36.368421 in all.
    price = priced(BY_BAGS)
    assert (price.overhead, price.floor, price.paid_price) == (usd("7.25"), usd("7.25"), usd("36.368421"))


@pytest.mark.parametrize(("shared_by", "place"), [("bags", "bags_a_month"), ("hours", "hours_a_month")])
def test_a_month_that_nothing_shares_is_a_problem_not_nothing(shared_by, place):
    room = replace(Workroom(), overhead=Overhead(lines=MONTH, shared_by=SharedBy(shared_by)))
    with pytest.raises(FaultyInput) as refused:
        priced(room)
    assert [problem.place for problem in refused.value.problems] == [f"overhead.{place}"]


def test_rejects_costs_of_a_month_below_zero_or_in_other_money():
    lines = (MonthlyCost("rent", usd(-1)), MonthlyCost("rent", Money(Decimal(1), "EUR")))
    room = replace(BY_BAGS, overhead=replace(BY_BAGS.overhead, lines=lines))
    assert [one.place for one in overhead_faults(room)] == ["overhead.lines[0].a_month", "overhead.lines[1].a_month"]


def test_property_a_full_month_carries_its_costs():
    # As many bags as she said, or bags that take as many hours: together they carry the whole month.
    for count in (1, 7, 40):
        room = replace(BY_BAGS, overhead=replace(BY_BAGS.overhead, bags_a_month=count))
        assert abs(overhead_of_bag(room, 60).amount.amount * count - 290) <= count * A_MILLIONTH
        minutes = 80 * 60 / count
        assert abs(overhead_of_bag(BY_HOURS, minutes).amount.amount * count - 290) <= count * A_MILLIONTH


def supply(price: str, lasts: float, lasts_for: LastsFor, *stuck_at: StuckAt, kind: SupplyKind = SupplyKind.OTHER):
    return SmallSupply(
        name=kind.value, price=usd(price), lasts=lasts, lasts_for=lasts_for, kind=kind, stuck_at=stuck_at
    )


SUPPLIES = (
    supply("0.80", 500_000, LastsFor.SEWN_MM, kind=SupplyKind.NEEDLE),
    supply("600", 120_000, LastsFor.SEWN_MINUTES, kind=SupplyKind.MACHINE),
    supply("4.00", 400_000, LastsFor.CUT_MM, kind=SupplyKind.BLADE),
    supply("3.60", 18_000, LastsFor.STUCK_MM, StuckAt.ZIPS, StuckAt.HEMS, kind=SupplyKind.TAPE),
    supply("5.00", 25_000, LastsFor.STUCK_MM, StuckAt.HOLES_STAY, kind=SupplyKind.GLUE),
    supply("0.25", 1, LastsFor.BAGS, kind=SupplyKind.LABEL),
    supply("9.00", 12, LastsFor.BAGS, kind=SupplyKind.PACKAGING),
    supply("6.00", 1, LastsFor.RUNS, kind=SupplyKind.DELIVERY),
)
SEAMS = (
    (450.0, frozenset({StuckAt.ZIPS})),
    (600.0, frozenset({StuckAt.HEMS, StuckAt.HOLES_STAY})),
    (900.0, frozenset[StuckAt]()),
    (300.0, frozenset({StuckAt.BASTED})),
)
WEAR = Wear(sewn_mm=12_500, sewn_minutes=42, cut_mm=9_000, seams_mm=SEAMS, run_count=4)


def test_small_supplies_by_hand():
    # needle 0.80 x 12.5 m / 500 m; machine 600 x 42 min / 2,000 h; blade 4 x 9 m / 400 m; tape 3.60 x (0.45 + 0.60) /
    # 18 m; glue 5 x 0.60 / 25 m; a label; 9.00 for 12 bags; 6.00 for a run of 4.
    parts = supplies_used_up(replace(Workroom(units=UnitSystem.METRIC), small_supplies=SUPPLIES), WEAR)
    amounts = {part.name: part.amount.amount for part in parts}
    assert amounts == {
        "needles": Decimal("0.02"),
        "wear of the machine": Decimal("0.21"),
        "blades": Decimal("0.09"),
        "double-sided tape": Decimal("0.21"),
        "glue": Decimal("0.12"),
        "labels and tags": Decimal("0.25"),
        "packaging": Decimal("0.75"),
        "delivery in": Decimal("1.50"),
    }
    said = {part.name: part.reckoned for part in parts}
    assert said["needles"] == "12.50 m sewn; $0.80 lasts 500.00 m"
    assert said["delivery in"] == "$6.00 for a run of 4 bags"


def test_small_supplies_are_in_the_floor_and_in_supplies():
    # 0.02 + 0.21 + 0.09 + 0.21 + 0.12 + 0.25 + 0.75 + 1.50 = 3.15, for one bag whatever the run; overhead 7.25.
    room = replace(BY_BAGS, small_supplies=SUPPLIES)
    price = priced(room, supplies=replace(NOTHING, used_up=supplies_used_up(room, WEAR)), run_count=4)
    assert (price.supplies, price.floor) == (usd("3.15"), usd("10.40"))
    assert total((part.amount for part in price.parts), "USD") == price.paid_price
    assert price.not_counted == ("care label",)


def test_what_has_no_number_is_told_and_never_assumed():
    assert not_counted(Workroom()) == (
        "needles",
        "blades",
        "double-sided tape",
        "glue",
        "wear of the machine",
        "packaging",
        "labels and tags",
        "care label",
        "delivery in",
    )
    assert supplies_used_up(Workroom(), WEAR) == ()
    assert "delivery in" not in not_counted(Workroom(), has_delivery=True)
    free = replace(Workroom(), small_supplies=(supply("0", 1, LastsFor.BAGS, kind=SupplyKind.GLUE),))
    assert "glue" not in not_counted(free)


def test_rejects_supplies_that_cannot_be_reckoned_with():
    wrong = (
        supply("1", 0, LastsFor.CUT_MM),
        supply("-1", 1, LastsFor.BAGS),
        supply("1", 10, LastsFor.STUCK_MM),
        supply("1", 10, LastsFor.BAGS, StuckAt.ZIPS),
        replace(supply("1", 1, LastsFor.RUNS), price=Money(Decimal(1), "EUR")),
    )
    places = [one.place for one in small_supply_faults(replace(Workroom(), small_supplies=wrong))]
    names = ("lasts", "price", "stuck_at", "stuck_at", "price")
    assert places == [f"small_supplies[{number}].{name}" for number, name in enumerate(names)]


@given(st.decimals("0", "500", places=2), st.floats(1, 1e6), st.floats(0, 1e5), st.integers(1, 50))
def test_property_a_supply_is_used_up_when_it_has_lasted(price, lasts, taken, bags):
    # By an independent sum: bags that take as much as it lasts have paid for all of it.
    room = replace(Workroom(), small_supplies=(supply(str(price), lasts, LastsFor.SEWN_MINUTES),))
    parts = supplies_used_up(room, Wear(sewn_mm=0, sewn_minutes=taken, cut_mm=0, run_count=bags))
    paid = parts[0].amount.amount if parts else Decimal(0)
    whole = Fraction(price) * Fraction(repr(taken)) / Fraction(repr(lasts))
    assert abs(Fraction(paid) - whole) <= Fraction(A_MILLIONTH)
