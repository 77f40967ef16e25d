"""The savings search against trying every set of changes, on small shelves drawn at random."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from decimal import Decimal

import pytest

from bagwright.costing.least_prices import LeastSum
from bagwright.costing.savings import SavingsNews, SavingsSearch, SearchLimits
from bagwright.errors import BrokenPromise
from bagwright.model.money import Money
from bagwright.model.saving import ChangeGroup, Outcome
from bagwright.model.source import Band

SHELVES = 200


def money(amount):
    return Money(Decimal(str(amount)), "EUR")


class RandomShelf:
    """Groups of changes whose effects do not add up: pairs of changes help or spoil each other, some cannot be made."""

    def __init__(self, seed):
        draw = random.Random(seed)
        self.groups = tuple(
            ChangeGroup(f"g{g}", tuple(f"g{g}.{c}" for c in range(draw.randint(0, 3))))
            for g in range(draw.randint(0, 4))
        )
        every = [change for group in self.groups for change in group.changes]
        self.cents = {one: draw.randint(-400, 150) for one in every}
        self.minutes = {one: draw.choice([-6, -2, 0, 0, 3]) for one in every}
        self.lower = {one: draw.choice([0, 0, 10, 30]) for one in every}
        self.pairs = {pair: draw.randint(-150, 300) for pair in itertools.combinations(every, 2) if draw.random() < 0.3}
        self.cannot = {pair for pair in itertools.combinations(every, 2) if draw.random() < 0.05}
        self.needed = draw.choice([0, 0, 150, 175])
        self.target = money(Decimal(draw.randint(900, 2100)) / 100)
        self.asked = 0

    def outcome(self, changes):
        self.asked += 1
        if any(pair in self.cannot for pair in itertools.combinations(changes, 2)):
            return None
        cents = 2000 + sum(self.cents[one] for one in changes)
        cents += sum(self.pairs.get(pair, 0) for pair in itertools.combinations(changes, 2))
        stands = 200 - sum(self.lower[one] for one in changes)
        return Outcome(
            price=money(Decimal(cents) / 100),
            cost=money(Decimal(cents) / 200),
            minutes=60 + sum(self.minutes[one] for one in changes),
            mass_g=300,
            keeps=stands >= self.needed,
            stands_mm={"front": Band(stands, stands + 40)},
        )

    def every_set(self):
        for picked in itertools.product(*((None, *group.changes) for group in self.groups)):
            yield tuple(one for one in picked if one)

    def kept(self):
        """Every set that can be made and keeps the body, tried one by one."""
        found = ((changes, self.outcome(changes)) for changes in self.every_set())
        return {changes: outcome for changes, outcome in found if outcome and (outcome.keeps or not changes)}

    def least(self):
        """Effects of single changes, and for each pair the help it may bring counted at its later change."""
        helps = dict.fromkeys(self.cents, 0)
        for (_, later), cents in self.pairs.items():
            helps[later] += min(cents, 0)
        return LeastSum(Decimal(20), {one: Decimal(self.cents[one] + helps[one]) / 100 for one in self.cents})


def found_for(search, target):
    found = search.reach(money(target)).found
    return found and found.changes


def order_together(item):
    changes, outcome = item
    return outcome.price.amount, len(changes), outcome.minutes, changes


def order_reached(item, now):
    changes, outcome = item
    lower = round(outcome.stands_lower(now), 9)
    return len(changes), lower, abs(outcome.minutes - now.minutes), outcome.price.amount, changes


@pytest.mark.parametrize("bounded", [False, True])
def test_search_agrees_with_every_set_tried_on_200_random_shelves(bounded):
    proved, ruled_out = 0, 0
    for seed in range(SHELVES):
        shelf = RandomShelf(seed)
        kept, now = shelf.kept(), shelf.outcome(())
        shelf.asked = 0
        limits = SearchLimits(least=shelf.least() if bounded else None)
        search = SavingsSearch(shelf.groups, shelf.outcome, limits)
        savings = search.savings()
        reached = search.reach(shelf.target)

        alone = sorted(
            (outcome.price.amount, outcome.minutes, changes)
            for changes, outcome in kept.items()
            if len(changes) == 1 and outcome.price < now.price
        )
        assert [one.changes for one in savings.ranked] == [changes for _, _, changes in alone], seed
        cheaper = [item for item in kept.items() if item[1].price < now.price]
        best = min(cheaper, key=order_together, default=None)
        assert (savings.together and (savings.together.changes, savings.together.outcome)) == best, seed
        assert savings.is_proven and reached.is_proven

        reaching = [item for item in kept.items() if item[1].price.amount <= shelf.target.amount]
        fewest = min(reaching, key=lambda item: order_reached(item, now), default=None)
        assert (reached.found and (reached.found.changes, reached.found.outcome)) == fewest, seed
        proved += fewest is None
        ruled_out += len(list(shelf.every_set())) - search.tried
        assert shelf.asked == search.tried <= len(list(shelf.every_set()))
    assert proved > 20
    assert ruled_out > 200 if bounded else ruled_out >= 0


def test_a_bound_on_every_set_property_is_sound_and_proves_on_shelves_too_large_to_try():
    """200 shelves, searched with room for a handful of ways: what is called proven holds against every set tried."""
    proofs = {"none reaches": 0, "smallest": 0, "together": 0}
    for seed in range(SHELVES):
        shelf = RandomShelf(seed)
        kept, least = shelf.kept(), shelf.least()
        for size in range(len(shelf.groups) + 1):
            true_least = min(one.price.amount for changes, one in kept.items() if len(changes) <= size)
            assert least.of_any(size) <= true_least, seed
        limits = SearchLimits(least=least, most_tried=2 + len(shelf.cents), most_changes=seed % 5)
        search = SavingsSearch(shelf.groups, shelf.outcome, limits)
        reached, savings = search.reach(shelf.target), search.savings()
        sizes = [len(changes) for changes, one in kept.items() if one.price.amount <= shelf.target.amount]
        if reached.is_proven:
            assert (reached.found and len(reached.found.changes)) == min(sizes, default=None), seed
            proofs["smallest" if reached.found else "none reaches"] += 1
        if savings.is_proven:
            cheapest = min(one.price.amount for one in kept.values())
            assert (savings.together.outcome if savings.together else search.now).price.amount == cheapest, seed
            proofs["together"] += 1
    assert all(count > 10 for count in proofs.values()), proofs


def test_a_bound_property_ends_a_search_of_more_sets_than_can_be_counted_through():
    """12 groups of 8: 9 to the 12th sets. Each change takes off at most a euro; the cheapest is at 20 - 12 = 8."""
    groups = tuple(ChangeGroup(f"g{g}", tuple(f"{g}.{n}" for n in range(8))) for g in range(12))

    def outcome(changes):
        price = money(20 - sum(Decimal(one[-1]) / 7 for one in changes))
        return Outcome(price=price, cost=price, minutes=60, mass_g=300)

    least = LeastSum(Decimal(20), {f"{g}.{n}": -Decimal(n) / 7 for g in range(12) for n in range(8)})
    search = SavingsSearch(groups, outcome, SearchLimits(least=least, most_tried=800))
    nothing, twelve = search.reach(money("7.99")), search.reach(money(8))
    assert (nothing.found, nothing.is_proven) == (None, True)
    assert twelve.found and len(twelve.found.changes) == 12
    without = SavingsSearch(groups, outcome, SearchLimits(most_tried=800)).reach(money("7.99"))
    assert (without.found, without.is_proven) == (None, False)
    few = SavingsSearch(groups[:4], outcome, SearchLimits(most_changes=2))
    found = few.savings()
    assert found.together and found.together.outcome.price == money(18)
    assert not found.is_proven
    assert not few.reach(money("17.99")).is_proven


def test_ways_that_save_nothing_or_lose_the_stance_property_are_told_apart():
    for seed in range(40):
        shelf = RandomShelf(seed)
        savings = SavingsSearch(shelf.groups, shelf.outcome).savings()
        told = [*(one.changes[0] for one in (*savings.ranked, *savings.dear)), *savings.refused]
        assert sorted(told) == sorted(change for group in shelf.groups for change in group.changes)
        assert all(not (one.outcome.price < savings.now.price) for one in savings.dear)
        kept = shelf.kept()
        assert all((change,) not in kept for change in savings.refused)


def test_a_search_that_is_cut_short_property_claims_no_proof_and_stays_within_its_limits():
    short = [RandomShelf(seed) for seed in range(60) if len(list(RandomShelf(seed).every_set())) > 30]
    assert len(short) > 5
    for shelf in short:
        most = 1 + len(shelf.cents) + 6
        search = SavingsSearch(shelf.groups, shelf.outcome, SearchLimits(most_tried=most))
        savings, reached = search.savings(), search.reach(money(5))
        assert not savings.is_proven and not reached.is_proven
        assert reached.found is None
        assert search.tried <= most
        kept = shelf.kept()
        assert savings.together is None or kept[savings.together.changes] == savings.together.outcome


def test_a_way_found_by_climbing_property_is_told_without_proof_and_holds_nothing_needless():
    groups = tuple(ChangeGroup(f"g{g}", (f"{g}a", f"{g}b")) for g in range(7))

    def outcome(changes):
        cents = 2000 - 100 * sum(one.endswith("a") for one in changes)
        return Outcome(price=money(Decimal(cents) / 100), cost=money(1), minutes=60, mass_g=300)

    search = SavingsSearch(groups, outcome, SearchLimits(most_tried=120))
    reached = search.reach(money(16))
    assert reached.found and not reached.is_proven
    assert len(reached.found.changes) == 4


def test_stopping_property_ends_the_search_with_what_it_has():
    shelf = RandomShelf(3)
    search = SavingsSearch(shelf.groups, shelf.outcome, SearchLimits(should_stop=lambda: True))
    assert not search.reach(money(1)).is_proven


def test_stopping_property_leaves_untried_changes_out_and_what_is_told_is_the_best_of_what_was_tried():
    groups = tuple(ChangeGroup(f"g{g}", (f"{g}a", f"{g}b")) for g in range(4))
    told: list[SavingsNews] = []

    def outcome(changes):
        cents = 2000 - 50 * len(changes) - 100 * sum(one.endswith("a") for one in changes)
        return Outcome(price=money(Decimal(cents) / 100), cost=money(1), minutes=60, mass_g=300)

    limits = SearchLimits(should_stop=lambda: len(told) == 5, tell=told.append)
    savings = SavingsSearch(groups, outcome, limits).savings()
    assert [news.tried for news in told] == [1, 2, 3, 4, 5]
    assert len(savings.ranked) + len(savings.dear) + len(savings.refused) == 5 < told[-1].alone == 8
    assert not savings.is_proven
    assert told[-1].best == savings.together == savings.ranked[0]
    assert savings.ranked[0].changes == ("0a",)


def test_a_price_that_reads_like_the_target_property_reaches_it():
    def outcome(changes):
        price = money("20.00") if not changes else money("17.0043")
        return Outcome(price=price, cost=price, minutes=60, mass_g=300)

    least = LeastSum(Decimal(20), {"felt": Decimal("-2.9957")})
    search = SavingsSearch([ChangeGroup("outer", ("felt",))], outcome, SearchLimits(least=least))
    assert found_for(search, "17.00") == ("felt",)
    assert search.reach(money("16.99")).found is None
    assert found_for(search, "20.00") == ()


def test_rejects_a_bag_that_cannot_be_made_as_it_is():
    with pytest.raises(BrokenPromise):
        SavingsSearch([], lambda changes: None)


def test_the_gentlest_of_the_smallest_sets_property_wins():
    def outcome(changes):
        now = Outcome(price=money(20), cost=money(9), minutes=60, mass_g=300, stands_mm={"front": Band(200, 220)})
        ways = {
            "limp": replace(now, price=money(12), stands_mm={"front": Band(120, 220)}),
            "long": replace(now, price=money(14), minutes=75),
            "even": replace(now, price=money(15), minutes=62),
        }
        return ways[changes[0]] if changes else now

    search = SavingsSearch([ChangeGroup("outer", ("limp", "long", "even"))], outcome)
    assert found_for(search, 15) == ("even",)
    assert found_for(search, 14) == ("long",)
    assert found_for(search, 13) == ("limp",)
    together = search.savings().together
    assert together and together.changes == ("limp",)
