"""Savings of whole bags: every change against the whole answer worked out anew, together against every set."""

from __future__ import annotations

import itertools
import random
import re
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest

from bagwright.costing.least_price import PriceLine
from bagwright.costing.price import price_bag
from bagwright.costing.savings import SavingsSearch, SearchLimits
from bagwright.errors import FaultyInput
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, TimeStep
from bagwright.model.material import Held, Layer
from bagwright.model.money import Money
from bagwright.model.running_costs import LastsFor, MonthlyCost, Overhead, ScrapsCount, SharedBy, SmallSupply
from bagwright.model.saving import ChangeGroup
from bagwright.model.timing import Timing
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.desk import BagView
from bagwright.workflows.least_price import BagLeast
from bagwright.workflows.saving_ways import changed_bag, changes_of_bag
from bagwright.workflows.saving_words import join_words, reached_said, saving_said
from bagwright.workflows.savings import SavingsAsked, WholeAnswers, find_savings, worth_telling
from tests.workflows.demo_values import BAGS, POUCH, SHELF, TOTE, answer_of, demo_answer, first_layout, without_offers


def view_of(answer: Any, shelf: Any = SHELF) -> BagView:
    return BagView(
        answer=answer,
        form=form_of_key(answer.bag.form),
        shelf=shelf,
        workroom=Workroom(),
        before=None,
        can_undo=False,
        is_demo=False,
    )


def dollars(amount: str) -> Money:
    return Money(Decimal(amount), "USD")


@pytest.fixture(scope="module")
def tote() -> Any:
    asked = SavingsAsked(target=dollars("45"), limits=SearchLimits(most_tried=40))
    return find_savings(view_of(demo_answer(TOTE)), first_layout, asked, other_bags=list(BAGS.values()))


def test_each_change_agrees_with_the_whole_answer_of_the_changed_bag(tote):
    told = worth_telling(tote)
    assert len(told) > 5
    for saving in told:
        (change,) = tote.of(saving.changes)
        if change.is_of_bag:
            made = tote.of(saving.changes)
            price = answer_of(changed_bag(tote.view.answer.bag, made, tote.view.form, tote.view.shelf)).price
            assert (price.paid_price, price.floor, price.minutes) == (
                saving.outcome.price,
                saving.outcome.cost,
                saving.outcome.minutes,
            )
    saved = [saving.saves(tote.savings.now).amount for saving in told]
    assert saved == sorted(saved, reverse=True)


def test_every_kind_of_change_property_is_among_those_tried(tote):
    groups = {change.group.split()[0] for change in tote.changes.values()}
    assert groups >= {"stack", "way", "run", "offer"}


def test_a_simple_swap_agrees_with_the_bag_made_so_by_hand(tote):
    by_hand = replace(BAGS[TOTE], stacks={**BAGS[TOTE].stacks, "pocket": (Layer("chalk-poplin"),)})
    key = next(key for key in tote.changes if key.startswith("pocket:chalk-poplin"))
    saving = next(one for one in tote.savings.ranked if one.changes == (key,))
    assert saving.outcome.price == answer_of(by_hand).price.paid_price


@pytest.mark.parametrize("bag_id", [TOTE, POUCH])
def test_together_agrees_with_every_set_tried_by_the_whole_answer(bag_id):
    view = view_of(demo_answer(bag_id))
    changes = {change.key: change for change in changes_of_bag(view, None)}
    few = [c for c in changes.values() if c.group.startswith(("stack of outer", "stack of zip", "way of zip"))]
    few += [c for c in changes.values() if c.group.startswith(("stack of pocket", "way of inside"))]
    by_group = {name: tuple(c.key for c in few if c.group == name) for name in dict.fromkeys(c.group for c in few)}
    evaluate = WholeAnswers(view, changes, first_layout, None)
    search = SavingsSearch([ChangeGroup(name, keys) for name, keys in by_group.items()], evaluate)
    together, target = search.savings().together, dollars("48.50" if bag_id == TOTE else "24.00")
    reached = search.reach(target)

    made = {}
    for picked in itertools.product(*((None, *keys) for keys in by_group.values())):
        keys = tuple(one for one in picked if one)
        outcome = evaluate(keys)
        if outcome and outcome.keeps:
            made[keys] = outcome
    assert len(made) > 10
    assert together
    assert together.outcome.price.amount == min(outcome.price.amount for outcome in made.values())
    sizes = [len(keys) for keys, outcome in made.items() if outcome.price.for_display() <= target.amount]
    assert reached.is_proven
    assert (reached.found and len(reached.found.changes)) == min(sizes, default=None)


def test_stacks_property_keep_what_every_panel_does(tote):
    (before,) = demo_answer(TOTE).panels
    for saving in (*tote.savings.ranked, *tote.savings.dear, tote.savings.together):
        low = saving.outcome.stands_mm[before.panel_key].low
        assert low >= before.body.standing_height_mm.low * (1 - 1e-6)


def test_changes_together_property_hold_nothing_needless(tote):
    together = tote.savings.together
    evaluate = WholeAnswers(tote.view, tote.changes, first_layout, None)
    for change in together.changes:
        fewer = evaluate(tuple(one for one in together.changes if one != change))
        assert fewer is None or together.outcome.price < fewer.price
    assert together.saves(tote.savings.now).amount != sum(
        one.saves(tote.savings.now).amount for one in tote.savings.ranked if one.changes[0] in together.changes
    )


def test_two_fused_layers_for_sturdier_cloth_property_is_told_to_act_on(tote):
    stack = (Layer("fern-lawn"), Layer("woven-fuse", held=Held.FUSED), Layer("mist-fuse", held=Held.FUSED))
    bag = replace(BAGS[TOTE], stacks={**BAGS[TOTE].stacks, "outer": stack})
    change = next(one for one in changes_of_bag(view_of(answer_of(bag)), None) if one.key.startswith("outer:"))
    assert change.does.startswith("Use ")
    assert "instead of Fern print cotton with Woven fusible, light (fused) and Mist" in change.does
    said = saving_said(tote, tote.savings.ranked[0])
    assert said.says.startswith(f"{said.does[0]}: saves $")
    assert said.says.count("The price that pays you falls by $") == 1


def test_reached_property_says_what_was_proven(tote):
    found = re.match(
        r"\d changes together bring the price that pays you to \$([\d.]+)", reached_said(tote, tote.reached)
    )
    assert found and 30 < float(found[1].rstrip(".")) <= 45
    said = {}
    for target in ("20", "36"):
        asked = SavingsAsked(target=dollars(target), limits=SearchLimits(most_tried=22))
        low = find_savings(tote.view, first_layout, asked)
        assert low.reached
        assert low.reached.found is None
        said[target] = reached_said(low, low.reached)
    assert said["20"].endswith("reaches $20.00: that is proven.")
    assert "not proven" in said["36"]


WORKROOMS = (
    Workroom(),
    replace(
        Workroom(),
        learning_rate=0.85,
        scraps_count=ScrapsCount.REPLACEMENT,
        overhead=Overhead(
            lines=(MonthlyCost("Rent", dollars("80")),), shared_by=SharedBy.BAGS, bags_a_month=10, hours_a_month=0
        ),
        small_supplies=(
            SmallSupply(name="Needles", price=dollars("3"), lasts=20_000, lasts_for=LastsFor.SEWN_MM),
            SmallSupply(name="Delivery", price=dollars("7"), lasts_for=LastsFor.RUNS),
        ),
    ),
)


@pytest.mark.parametrize("bag_id", [TOTE, POUCH])
def test_least_price_property_is_never_above_the_price_of_the_whole_answer(bag_id):
    """Sets of changes drawn at random, under two sets of rules; half of them with readings of the steps."""
    draw, looked_at = random.Random(7), 0
    for workroom in WORKROOMS:
        steps = ("", "cut", "setup", "sew:sides", "finish")
        timings = tuple(timed(bag_id, draw.choice(steps), draw.uniform(1, 60), n) for n in range(5))
        shelf = SHELF if workroom is WORKROOMS[0] else replace(SHELF, timings=timings)
        view = replace(view_of(answer_of(BAGS[bag_id], shelf=shelf, workroom=workroom), shelf), workroom=workroom)
        changes = {change.key: change for change in changes_of_bag(view, None)}
        groups: dict[str, list[str]] = {}
        for change in changes.values():
            groups.setdefault(change.group, []).append(change.key)
        least = BagLeast(view, changes)
        for _ in range(3):
            keys = tuple(key for key in (draw.choice(["", *ones]) for ones in groups.values()) if key)
            outcome = WholeAnswers(view, changes, first_layout, None)(keys)
            if outcome:
                looked_at += 1
                assert least.of_any(len(keys)) <= least.of(keys) + Decimal("0.001")
                assert Decimal("0.6") * outcome.price.amount < least.of(keys) <= outcome.price.amount, keys
        everything = [least.of_any(size) for size in range(len(groups) + 1)]
        assert everything == sorted(everything, reverse=True)
    assert looked_at > 2


def test_price_line_property_agrees_with_the_price_and_only_grows():
    """The bound of every part goes through it once: right only if more cost or more minutes never lower the price."""
    for workroom in WORKROOMS:
        line = PriceLine.of(workroom)
        prices = []
        for cost, minutes in ((0, 0), (0, 90), (12.5, 90), (12.5, 91)):
            paid = Money(Decimal(str(cost)), "USD")
            materials = BuyingPlan(purchases=(), paid=paid, used=paid, left=paid, from_stash=(("cloth", paid),))
            nothing = replace(materials, from_stash=())
            step = TimeStep(name="sew", minutes=minutes, reckoned="")
            price = price_bag(materials, nothing, [step], run_count=1, workroom=workroom).paid_price.amount
            assert float(line.price(cost, minutes)) == pytest.approx(float(price), abs=0.0002)
            assert line.price(cost, minutes) <= price
            prices.append(price)
        assert prices == sorted(prices)


def timed(bag_id: str, step: str, minutes: float, number: int) -> Timing:
    begun = datetime(2026, 3, 1, tzinfo=UTC)
    return Timing(id=f"t{number}", bag_id=bag_id, step=step, begun=begun, worked_seconds=60 * minutes, is_done=True)


def test_rejects_a_bag_whose_price_is_not_known():
    answer = answer_of(BAGS[TOTE], shelf=without_offers("cloud-fleece"))
    with pytest.raises(FaultyInput) as fault:
        find_savings(view_of(answer), first_layout, SavingsAsked())
    assert [problem.value for problem in fault.value.problems] == ["Cloud fusible fleece"]


def test_words_of_several_things_to_do():
    assert join_words(["Use felt"]) == "Use felt"
    assert join_words([]) == "Change nothing"
