"""Buying for several bags in one go: against each bought by itself, and against sums written out."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from bagwright.model.money import Money
from bagwright.model.run_buying import SellerTerms
from bagwright.workflows.shared_buying import SharedNews, Watch, shared_buying, shared_said, without_copies
from tests.workflows.demo_values import BAGS, POUCH, SHELF, TOTE, WALLET, answer_of, demo_answer, first_layout
from tests.workflows.test_savings import view_of

DELIVERY = Money(Decimal("4.50"), "USD")


def test_buying_in_one_go_agrees_with_its_sums_and_pays_delivery_once():
    sellers = {offer.seller for offer in SHELF.offers}
    shelf = replace(SHELF, terms=tuple(SellerTerms(seller=one, delivery=DELIVERY) for one in sellers))
    tote, pouch, wallet = (answer_of(BAGS[one], shelf=shelf) for one in (TOTE, POUCH, WALLET))
    found = shared_buying(view_of(tote, shelf), [pouch, wallet], first_layout)
    assert {tuple(bag.id for bag in one.others) for one in found} == {(POUCH,), (WALLET,), (POUCH, WALLET)}
    assert [one.saves.amount for one in found] == sorted((one.saves.amount for one in found), reverse=True)
    answers = {POUCH: pouch, WALLET: wallet}
    for one in found:
        bags = [tote, *(answers[bag.id] for bag in one.others)]
        paid = sum(answer.money_in_all()[0].amount for answer in bags)
        used = [Fraction(answer.money_in_all()[1].amount) for answer in bags]
        assert one.paid_less.amount == paid - one.plan.paid.amount > 0
        # What all save together, by the tote's part of what all use; fees are 5 %, and one is made at a time.
        falls = (sum(used) - Fraction(one.plan.used.amount)) * used[0] / sum(used) / Fraction(95, 100)
        assert abs(Fraction(one.saves.amount) - falls) < Fraction(1, 10**6)
        assert one.price + one.saves == tote.price.paid_price
        asked = [answer.plan.deliveries for answer in bags]
        orders = sum(1 for order in one.plan.orders if order.delivery == DELIVERY)
        assert one.deliveries_less == sum(map(len, asked)) - orders >= 1
        assert "less to pay" in shared_said(one)[2]
    both = next(one for one in found if len(one.others) == 1 and one.others[0].id == POUCH)
    assert set(both.materials) == {"Fern print cotton", "Chalk poplin lining"}


def test_stopping_property_keeps_the_ways_tried_by_then_and_each_is_told():
    tote, pouch, wallet = demo_answer(TOTE), demo_answer(POUCH), demo_answer(WALLET)
    told: list[SharedNews] = []
    watch = Watch(lambda: bool(told), told.append)
    found = shared_buying(view_of(tote), [pouch, wallet], first_layout, watch=watch)
    assert [(news.tried, news.ways, news.best) for news in told] == [(1, 3, found[0] if found else None)]
    assert all(len(one.others) == 1 for one in found) and len(found) <= 1


def test_bags_that_share_nothing_and_copies_property_are_not_told_of():
    tote, wallet = demo_answer(TOTE), demo_answer(WALLET)
    lonely = replace(wallet, cuts=(), notions=())
    assert shared_buying(view_of(tote), [lonely, replace(wallet, price=None)], first_layout) == ()
    copy = replace(tote, bag=replace(tote.bag, id="copy", name=f"{tote.bag.name} with felt"))
    assert without_copies(tote.bag, [copy.bag, wallet.bag]) == (wallet.bag,)
