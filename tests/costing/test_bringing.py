"""How many to bring: against the newsvendor rule, brute sums and textbook figures."""

from __future__ import annotations

import itertools
import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from bagwright.costing.bringing import chances_of_sales, how_many_to_bring
from bagwright.errors import FaultyInput
from bagwright.model.bringing import Bringing
from bagwright.model.money import Money


def usd(amount: object) -> Money:
    return Money(Decimal(str(amount)), "USD")


cents = st.decimals(0, 300, places=2)
guesses = st.lists(st.integers(0, 40), min_size=3, max_size=3).map(sorted).filter(lambda three: three[2] > 0)


@st.composite
def questions(draw: st.DrawFn) -> Bringing:
    worth, cost = sorted((draw(cents), draw(cents)))
    return Bringing(
        cost=usd(cost), kept=usd(draw(cents)), worth_after=usd(worth), chances=chances_of_sales(*draw(guesses))
    )


@given(guesses)
def test_chances_agree_with_the_triangular_distribution_of_scipy(guess):
    least, likely, most = guess
    spread = stats.triang((likely - least + 0.5) / (most - least + 1), loc=least - 0.5, scale=most - least + 1)
    found = chances_of_sales(least, likely, most)
    assert math.fsum(found) == pytest.approx(1)
    assert found == pytest.approx([spread.cdf(n + 0.5) - spread.cdf(n - 0.5) for n in range(most + 1)], abs=1e-9)


@given(questions())
def test_best_count_property_follows_the_newsvendor_rule(question):
    answer = how_many_to_bring(question)
    few = question.kept.amount - question.cost.amount
    many = question.cost.amount - question.worth_after.amount
    if few <= 0:
        assert answer.best.count == 0
    elif many > 0:
        ratio = float(few / (few + many))
        below = list(itertools.accumulate(question.chances))
        by_rule = next(n for n, share in enumerate(below) if share >= ratio - 1e-9)
        gains = {one.count: one.gain.amount for one in answer.counts}
        assert gains[answer.best.count] - gains[by_rule] < Decimal("0.001")


@given(questions())
def test_every_count_property_adds_up(question):
    for one in how_many_to_bring(question).counts:
        assert one.sold + one.left == pytest.approx(one.count)
        byhand = sum(
            chance
            * (
                float(question.kept.amount) * min(n, one.count)
                + float(question.worth_after.amount) * max(one.count - n, 0)
                - float(question.cost.amount) * one.count
            )
            for n, chance in enumerate(question.chances)
        )
        assert float(one.gain.amount) == pytest.approx(byhand, abs=1e-4)


@pytest.mark.parametrize(("guess", "fields"), [((5, 3, 2), {"likely", "most"}), ((-1, 0, 0), {"least", "most"})])
def test_rejects_guesses_out_of_order_all_at_once(guess, fields):
    with pytest.raises(FaultyInput) as caught:
        chances_of_sales(*guess)
    assert {problem.place for problem in caught.value.problems} == fields


def test_rejects_other_money_and_a_leftover_worth_more_than_it_cost():
    asked = Bringing(cost=usd(20), kept=Money(Decimal(30), "EUR"), worth_after=usd(25), chances=(0.5, 0.4))
    with pytest.raises(FaultyInput) as caught:
        how_many_to_bring(asked)
    assert {problem.place for problem in caught.value.problems} == {"kept", "worth_after", "chances"}
