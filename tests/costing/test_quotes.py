"""Two quotes compared: what changed adds up, and comparing backwards turns it round."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.costing.quotes import compare_quotes
from bagwright.errors import FaultyInput
from bagwright.model.money import Money, total
from bagwright.model.quote import Quote, QuotePart


def usd(amount: object, currency: str = "USD") -> Money:
    return Money(Decimal(str(amount)), currency)


@st.composite
def quotes(draw: st.DrawFn) -> Quote:
    lines = draw(st.lists(st.tuples(st.sampled_from("abcde"), st.decimals(0, 90, places=6)), min_size=1, max_size=7))
    parts = tuple(QuotePart(name, usd(amount)) for name, amount in lines)
    assumed = draw(st.dictionaries(st.sampled_from(["pay", "fees", "run"]), st.sampled_from(["1", "2"])))
    return Quote(
        id="q",
        bag_id="bag",
        bag_name="Bag",
        bag_version=1,
        number=1,
        dated=date(2026, 11, 26),
        run_count=1,
        parts=parts,
        floor=usd(draw(st.decimals(0, 90, places=2))),
        paid_price=total((part.amount for part in parts), "USD"),
        minutes=draw(st.floats(0, 500)),
        assumed=tuple(assumed.items()),
    )


@given(quotes(), quotes())
def test_parts_of_a_change_property_add_up_to_it(before, after):
    change = compare_quotes(before, after)
    assert total((part.more for part in change.parts), "USD") == change.more
    assert {part.name for part in change.parts} == {part.name for part in (*before.parts, *after.parts)}
    assert all(one != other for _, one, other in change.assumed)


@given(quotes(), quotes())
def test_comparing_backwards_property_turns_every_change_round(before, after):
    there, back = compare_quotes(before, after), compare_quotes(after, before)
    assert there.more.amount == -back.more.amount
    assert there.minutes_more == -back.minutes_more
    assert {part.name: part.more.amount for part in there.parts} == {p.name: -p.more.amount for p in back.parts}


@given(quotes())
def test_a_quote_property_differs_in_nothing_from_itself(one):
    change = compare_quotes(one, one)
    assert change.more.amount == 0 and change.assumed == ()
    assert all(part.more.amount == 0 and part.before == part.after for part in change.parts)


def test_other_money_rejects():
    dollars = Quote(
        id="d",
        bag_id="bag",
        bag_name="Bag",
        bag_version=1,
        number=1,
        dated=date(2026, 11, 26),
        run_count=1,
        parts=(QuotePart("a", usd(1)),),
        floor=usd(1),
        paid_price=usd(1),
        minutes=1.0,
    )
    one = usd(1, "EUR")
    euros = replace(dollars, parts=(QuotePart("a", one),), floor=one, paid_price=one)
    with pytest.raises(FaultyInput) as caught:
        compare_quotes(dollars, euros)
    assert [problem.place for problem in caught.value.problems] == ["after"]
