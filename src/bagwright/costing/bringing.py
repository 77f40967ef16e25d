"""How many bags to bring to a market day: too few lose sales, too many come home again."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from bagwright.costing.reckoning import exact, exact_money
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bringing import Bringing, BringingAnswer, Brought

MOST_BAGS = 2000
_SUM_SLACK = 1e-9


def chances_of_sales(least: int, likely: int, most: int) -> tuple[float, ...]:
    r"""How likely it is that 0, 1, 2, ... bags are wanted, from a guess at the least, the likeliest and the most.

    A triangular distribution over [least - 1/2, most + 1/2] with its top at the likeliest, a bag's chance being what
    lies within half a bag of it: :math:`F(x) = (x-a)^2 / ((b-a)(c-a))` up to the top c and :math:`1 - (b-x)^2 /
    ((b-a)(b-c))` beyond. That guesses are spread so is an assumption, no more; textbooks of simulation use it where
    three guesses are all there is. Raises `FaultyInput`.

    >>> [round(chance, 4) for chance in chances_of_sales(1, 2, 3)]
    [0.0, 0.2222, 0.5556, 0.2222]
    """
    if problems := list(_guess_faults(least, likely, most)):
        raise FaultyInput(problems)
    a, c, b = least - 0.5, float(likely), most + 0.5

    def below(x: float) -> float:
        if x <= a:
            return 0.0
        if x >= b:
            return 1.0
        return (x - a) ** 2 / ((b - a) * (c - a)) if x <= c else 1 - (b - x) ** 2 / ((b - a) * (b - c))

    return tuple(below(n + 0.5) - below(n - 0.5) for n in range(most + 1))


def how_many_to_bring(asked: Bringing) -> BringingAnswer:
    r"""The count with the largest expected gain; of equal ones the smallest.

    With Cu = kept - cost lost on a bag too few and Co = cost - worth_after on one too many, that is the smallest q with
    :math:`P(D \le q) \ge C_u / (C_u + C_o)` (the newsvendor rule, in every textbook of operations; Porteus,
    *Foundations of Stochastic Inventory Theory*, ch. 1, **from memory**). Here every count is reckoned and the best
    taken: the rule is what tests compare it with. Raises `FaultyInput`.
    """
    if problems := list(_faults(asked)):
        raise FaultyInput(problems)
    counts = tuple(_every_count(asked))
    best = max(counts, key=lambda one: (one.gain.amount, -one.count))
    too_few, too_many = asked.kept - asked.cost, asked.cost - asked.worth_after
    stake = too_few.amount + too_many.amount
    wanted = float(too_many.amount / stake) if too_many.amount > 0 and too_few.amount > 0 else None
    return BringingAnswer(best=best, counts=counts, wanted_share=wanted)


def _every_count(asked: Bringing) -> Iterator[Brought]:
    """Bringing one more sells one more as often as more are wanted."""
    kept, worth, cost = (exact(money.amount) for money in (asked.kept, asked.worth_after, asked.cost))
    chances = [exact(chance) for chance in asked.chances]
    whole = left_to_want = sum(chances, Fraction(0))
    sold = Fraction(0)
    for count, chance in enumerate(chances):
        if count:
            sold += left_to_want / whole
        left_over = count - sold
        yield Brought(
            count=count,
            sold=float(sold),
            left=float(left_over),
            gain=exact_money(kept * sold + worth * left_over - cost * count, asked.cost.currency),
            sold_out_share=float(left_to_want / whole),
        )
        left_to_want -= chance


def _guess_faults(least: int, likely: int, most: int) -> Iterator[Problem]:
    if least < 0:
        yield _problem("least", least, "is below zero", "0 or more")
    if likely < least:
        yield _problem("likely", likely, "is less than the least", f"{least} or more")
    if most < max(likely, 1):
        yield _problem("most", most, "is less than the likeliest", f"{max(likely, 1)} or more")
    if most > MOST_BAGS:
        yield _problem("most", most, "is more than this is made for", f"{MOST_BAGS} or fewer")


def _faults(asked: Bringing) -> Iterator[Problem]:
    for place in ("cost", "kept", "worth_after"):
        money = getattr(asked, place)
        if money.currency != asked.cost.currency:
            yield _problem(place, money.currency, "is other money", f"an amount in {asked.cost.currency}")
        elif money.amount < 0 and place != "kept":
            yield _problem(place, money.amount, "is below zero", "zero or more")
    if asked.worth_after.amount > asked.cost.amount:
        what = "is more than the bag costs: then no bag could be too many"
        yield _problem("worth_after", asked.worth_after.amount, what, f"{asked.cost.amount} or less")
    yield from _chance_faults(asked.chances)


def _chance_faults(chances: Sequence[float]) -> Iterator[Problem]:
    if not 1 <= len(chances) <= MOST_BAGS + 1:
        yield _problem("chances", len(chances), "is no list of chances", f"1 to {MOST_BAGS + 1} numbers")
    elif not all(math.isfinite(chance) and 0 <= chance <= 1 for chance in chances):
        yield _problem("chances", "", "has something else than a chance in it", "numbers from 0 to 1")
    elif abs(math.fsum(chances) - 1) > _SUM_SLACK:
        yield _problem("chances", math.fsum(chances), "is what they add up to", "chances that add up to 1")


def _problem(place: str, value: object, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=str(value), what=what, allowed=allowed, remedy="Correct it.")
