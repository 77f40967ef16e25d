"""Which changes make a bag cheaper: each by itself, the best together, and the fewest that reach a price.

What changes do together is worked out for the whole bag by the evaluator that is handed in; it is never added up.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bagwright.costing.change_sets import ChangeSets
from bagwright.costing.least_prices import NO_LEAST, LeastPrice
from bagwright.errors import BrokenPromise
from bagwright.model.money import Money
from bagwright.model.saving import ChangeGroup, Outcome, Reached, Saving, Savings

MOST_SETS = 100_000
HALF_A_CENT = Decimal("0.005")
Evaluate = Callable[[tuple[str, ...]], Outcome | None]
"""What the bag comes to with these changes, in the order of their groups; None if it cannot be made so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SavingsNews:
    """How far a search is: `tried` ways to make the bag of at most `most`; `best`: the cheapest of them, if any saves.

    `alone`: how many changes there are, each of which is tried by itself first.
    """

    tried: int
    most: int
    alone: int
    now: Outcome
    best: Saving | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchLimits:
    """`most_tried`: how many ways to make the bag may be worked out; `least`: what rules out some beforehand.

    `should_stop` is asked before each of them, `tell` is told after each.
    """

    most_tried: int = 2000
    most_changes: int = 99
    least: LeastPrice | None = None
    should_stop: Callable[[], bool] = lambda: False
    tell: Callable[[SavingsNews], object] = lambda news: None


class SavingsSearch:
    """One bag, its groups of changes, and every outcome worked out so far.

    >>> from bagwright.model.money import Money
    >>> def priced(changes):
    ...     money = Money(Decimal(20 - 3 * ("felt" in changes) - 2 * ("no pocket" in changes)), "EUR")
    ...     return Outcome(price=money, cost=money, minutes=60, mass_g=300)
    >>> groups = ChangeGroup("outer", ("felt", "foam")), ChangeGroup("pocket", ("no pocket",))
    >>> search = SavingsSearch(groups, priced)
    >>> search.savings().together.changes, search.reach(Money(Decimal(17), "EUR")).found.changes
    (('felt', 'no pocket'), ('felt',))
    """

    def __init__(self, groups: Sequence[ChangeGroup], evaluate: Evaluate, limits: SearchLimits | None = None) -> None:
        self._sets = ChangeSets.of(groups)
        self._evaluate, self._limits = evaluate, limits or SearchLimits()
        self._known: dict[tuple[str, ...], Outcome | None] = {}
        self._best: Saving | None = None
        now = self._worked_out(())
        if now is None:
            raise BrokenPromise("the bag as it is must have an outcome")
        self.now: Outcome = now

    @property
    def tried(self) -> int:
        """How many ways to make the bag were worked out, the one it is made now among them."""
        return len(self._known)

    def savings(self) -> Savings:
        """Every change by itself, ranked by what the price falls by (ties: fewer minutes), and the best together.

        Once it should stop, changes that were not tried yet are left out.
        """
        ranked: list[Saving] = []
        dear: list[Saving] = []
        refused: list[str] = []
        for change in self._sets.changes():
            if self._is_stopped_before((change,)):
                break
            found = self._good((change,))
            if found is None:
                refused.append(change)
            else:
                (ranked if found.outcome.price < self.now.price else dear).append(found)
        together, is_proven = self._best_together()
        return Savings(
            now=self.now,
            ranked=tuple(sorted(ranked, key=_rank)),
            dear=tuple(sorted(dear, key=_rank)),
            refused=tuple(refused),
            together=together,
            tried=self.tried,
            is_proven=is_proven,
        )

    def reach(self, target: Money) -> Reached:
        """The fewest changes with which the price, told to the cent, is not over `target`; then the least change.

        Of sets as small it is the one that loses least height of a strip, then the one whose minutes change least,
        then the cheapest. Where the limits end the search, a way that was found without proof is told as such.
        """
        wanted = target.for_display()
        most = self._most
        if self._least_of_any(most) > wanted + HALF_A_CENT:
            return self._reached(target, None, is_proven=self._is_for_all)
        if sum(self._sets.count_of(size) for size in range(most + 1)) > self._limits.most_tried:
            self._climbed()
        for size in range(most + 1):
            if self._least_of_any(size) > wanted + HALF_A_CENT:
                continue
            reaching, is_whole = self._reaching(size, wanted)
            if reaching:
                return self._reached(target, min(reaching, key=self._gentleness), is_proven=is_whole)
            if not is_whole:
                return self._reached(target, self._shrunk(wanted), is_proven=False)
        return self._reached(target, None, is_proven=self._is_for_all)

    @property
    def _most(self) -> int:
        return min(len(self._sets.groups), self._limits.most_changes)

    @property
    def _is_for_all(self) -> bool:
        """Whether what holds for sets of the most changes that are taken together holds for all."""
        return self._most == len(self._sets.groups)

    def _reached(self, target: Money, found: Saving | None, *, is_proven: bool) -> Reached:
        return Reached(target=target, found=found, tried=self.tried, is_proven=is_proven)

    def _reaching(self, size: int, wanted: Decimal) -> tuple[list[Saving], bool]:
        """Sets of that size which reach the price, and whether all that might were worked out."""
        if self._sets.count_of(size) > MOST_SETS:
            return [], False
        reaching: list[Saving] = []
        for changes in self._most_promising(self._sets.of_size(size)):
            if self._least(changes) > wanted + HALF_A_CENT:
                if self._limits.should_stop():
                    return reaching, False
                continue
            if self._is_spent(changes):
                return reaching, False
            found = self._good(changes)
            if found and found.outcome.price.for_display() <= wanted:
                reaching.append(found)
        return reaching, True

    def _best_together(self) -> tuple[Saving | None, bool]:
        """The cheapest set: of all, if the limits allow; or else the best found by one change after another."""
        best = self._climbed()
        if sum(self._sets.count_of(size) for size in range(1, self._most + 1)) > MOST_SETS:
            return best, self._is_for_all and self._least_of_any(self._most) > _price_of(best, self.now)
        left = self._worth_a_try(best)
        if left is None or self._limits.should_stop():
            return best, False
        for changes in left:
            if self._is_spent(changes):
                return best, False
            best = _cheaper(best, self._good(changes), self.now)
        return best, self._is_for_all

    def _worth_a_try(self, best: Saving | None) -> list[tuple[str, ...]] | None:
        """Every set that may be cheaper than the best so far; None if there are more than may be tried.

        Once it should stop, only those seen by then.
        """
        limit, room = _price_of(best, self.now), self._limits.most_tried - self.tried
        # The largest first: of them most may be cheaper, so that too many are soon found.
        every = itertools.chain.from_iterable(self._sets.of_size(size) for size in range(self._most, 0, -1))
        unknown = (changes for changes in self._until_stopped(every) if changes not in self._known)
        left = list(itertools.islice((one for one in unknown if self._least(one) <= limit), max(room, 0) + 1))
        return left if len(left) <= room else None

    def _climbed(self) -> Saving | None:
        """One change after another, as long as one of them helps, those first that help most by themselves.

        Changes that turn out needless are left out again.
        """
        best: Saving | None = None
        while True:
            before = best
            for change in self._changes_by_promise():
                near = self._sets.with_change(best.changes if best else (), change)
                if len(near) <= self._limits.most_changes and not self._is_spent(near):
                    best = _cheaper(best, self._good(near), self.now)
            best = self._without_needless(best, lambda less, whole: not whole.outcome.price < less.outcome.price)
            if best is before or (best and before and best.changes == before.changes):
                return best

    def _changes_by_promise(self) -> list[str]:
        return sorted(self._sets.changes(), key=lambda change: -self._promise(change))

    def _without_needless(self, found: Saving | None, is_enough: Callable[[Saving, Saving], bool]) -> Saving | None:
        """The set with every change left out, one after another, without which it `is_enough`, told less and whole."""
        for change in found.changes if found else ():
            assert found is not None
            fewer = tuple(one for one in found.changes if one != change)
            less = None if not fewer or self._is_spent(fewer) else self._good(fewer)
            found = less if less and is_enough(less, found) else found
        return found

    def _shrunk(self, wanted: Decimal) -> Saving | None:
        """The best set known that reaches the price, with what is not needed for it left out again."""
        known = [self._good(changes) for changes in self._known]
        reaching = [one for one in known if one and one.outcome.price.for_display() <= wanted]
        if not reaching:
            return None
        found = min(reaching, key=lambda one: (len(one.changes), *self._gentleness(one)))
        return self._without_needless(found, lambda less, _: less.outcome.price.for_display() <= wanted)

    def _gentleness(self, saving: Saving) -> tuple[float, float, Decimal, tuple[str, ...]]:
        outcome = saving.outcome
        lower = round(outcome.stands_lower(self.now), 9)
        minutes = round(abs(outcome.minutes - self.now.minutes), 9)
        return lower, minutes, outcome.price.amount, saving.changes

    def _most_promising(self, sets: Iterator[tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
        """Those first whose changes by themselves save most; the order decides only what is tried before time is up."""
        alone = {change: self._promise(change) for change in self._sets.changes()}
        heap = [(-math.fsum(alone[one] for one in changes), number, changes) for number, changes in enumerate(sets)]
        heapq.heapify(heap)
        while heap:
            yield heapq.heappop(heap)[2]

    def _promise(self, change: str) -> float:
        found = self._known.get((change,))
        return float(self.now.price.amount - found.price.amount) if found else 0.0

    def _least(self, changes: tuple[str, ...]) -> Decimal:
        least = self._limits.least
        return least.of(changes) if least else NO_LEAST

    def _least_of_any(self, most_changes: int) -> Decimal:
        least = self._limits.least
        return least.of_any(most_changes) if least else NO_LEAST

    def _is_spent(self, changes: tuple[str, ...]) -> bool:
        if changes not in self._known and self.tried >= self._limits.most_tried:
            return True
        return self._is_stopped_before(changes)

    def _until_stopped(self, sets: Iterator[tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
        return itertools.takewhile(lambda _: not self._limits.should_stop(), sets)

    def _is_stopped_before(self, changes: tuple[str, ...]) -> bool:
        return changes not in self._known and self._limits.should_stop()

    def _good(self, changes: tuple[str, ...]) -> Saving | None:
        """What these changes come to, if the bag can be made so and keeps what is asked of its panels."""
        outcome = self._worked_out(changes)
        return Saving(changes, outcome) if outcome and (outcome.keeps or not changes) else None

    def _worked_out(self, changes: tuple[str, ...]) -> Outcome | None:
        if changes not in self._known:
            outcome = self._known[changes] = self._evaluate(changes)
            if changes:
                self._tell(Saving(changes, outcome) if outcome and outcome.keeps else None)
        return self._known[changes]

    def _tell(self, found: Saving | None) -> None:
        self._best = _cheaper(self._best, found, self.now)
        alone = self._sets.count_of(1)
        most = max(self._limits.most_tried, alone + 1)
        self._limits.tell(SavingsNews(tried=self.tried - 1, most=most - 1, alone=alone, now=self.now, best=self._best))


def _price_of(best: Saving | None, now: Outcome) -> Decimal:
    return best.outcome.price.amount if best else now.price.amount


def _rank(saving: Saving) -> tuple[Decimal, float, tuple[str, ...]]:
    return saving.outcome.price.amount, saving.outcome.minutes, saving.changes


def _cheaper(best: Saving | None, other: Saving | None, now: Outcome) -> Saving | None:
    """The one of the lower price; ties: fewer changes, then fewer minutes. None if neither is below the price now."""
    if other is None or not other.outcome.price < now.price:
        return best

    def order(one: Saving) -> tuple[Decimal, int, float, tuple[str, ...]]:
        return one.outcome.price.amount, len(one.changes), one.outcome.minutes, one.changes

    return other if best is None or order(other) < order(best) else best
