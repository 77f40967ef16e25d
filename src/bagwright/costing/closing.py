"""The baskets of every material that a bound leaves open, and the small program that chooses among them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bagwright.costing._solver import Effort, Program, solve
from bagwright.costing.baskets import Basket, Material, weighed
from bagwright.costing.lattice import Floats, Ints

_MOST_BASKETS = 1500
_MOST_LOOKS = 40_000
_NOTHING = 1e-3
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Closed:
    """The best choice of baskets, none if none of them will do; and a bound for all choices, delivery left out."""

    baskets: tuple[Basket, ...]
    bound: float
    work: float


@dataclass(frozen=True)
class _Lines:
    """Worthwhile pairs of steps and state held of one source, cheapest first: cents, weighed cents, steps, states."""

    weighed: Floats
    cents: Floats
    steps: Ints
    states: Ints


def close(
    materials: Sequence[Material],
    weights: Sequence[float],
    goods_for: Sequence[float],
    room: tuple[float, float],
    effort: Effort,
) -> Closed:
    """Choose among baskets whose weighed cents come within `room[0]`, and whose cents within `room[1]`, of the least.

    Goods of each seller have to reach `goods_for`. The bound is minus infinity if there are too many to choose from.
    """
    opened: list[list[Basket]] = []
    looks = 0
    for one in materials:
        found = _Open(one, weights, room, {at for at, least in enumerate(goods_for) if least})
        opened.append(found.all())
        looks += found.looks
        if found.looks > _MOST_LOOKS or len(opened[-1]) > _MOST_BASKETS:
            return Closed((), -math.inf, 100.0 * looks)
    work = 100.0 * looks + 3e4 * sum(map(len, opened))
    return _choose(materials, opened, goods_for, effort, work)


class _Open:
    """One material's baskets within the room."""

    def __init__(
        self, material: Material, weights: Sequence[float], room: tuple[float, float], filled_up: set[int]
    ) -> None:
        self.material, self.filled_up, self.looks = material, filled_up, 0
        self.found: dict[tuple[int, ...], Basket] = {}
        plain = [1.0 if math.isfinite(weight) else math.inf for weight in weights]
        self.most = material.value(weights) + room[0] + _NOTHING
        self.most_cents = material.value(plain) + room[1] + _NOTHING
        self.sources = [
            at for at, seller in enumerate(material.sellers) if seller < 0 or math.isfinite(weights[seller])
        ]
        own = [1.0 if (seller := material.sellers[at]) < 0 else weights[seller] for at in self.sources]
        self.lines = [self._lines(at, weight) for at, weight in zip(self.sources, own, strict=True)]
        shelf = material.shelf()
        self.rest = self._rests(
            [weighed(material.sources[at].least, w) for at, w in zip(self.sources, own, strict=True)], shelf
        )
        self.rest_cents = self._rests([material.sources[at].least for at in self.sources], shelf)

    def _rests(self, terms: list[Floats], shelf: Floats) -> list[Floats]:
        """For each state still wanted, the least that all later sources and the shelf cost together."""
        found = [shelf]
        for one in reversed(terms[1:]):
            found.insert(0, self.material.lattice.least_sums(one, found[0]))
        return found

    def _lines(self, at: int, weight: float) -> _Lines:
        source = self.material.sources[at]
        steps, states = source.lines(self.most_cents, is_filled_up=self.material.sellers[at] in self.filled_up)
        cents = source.cents_up_to(int(steps.max(initial=0)))[steps]
        keep = (weight * cents <= self.most) & (cents <= self.most_cents)
        return _Lines(weight * cents[keep], cents[keep], steps[keep], states[keep])

    def all(self) -> list[Basket]:
        self._look(0, self.material.all_held, (0.0, 0.0), (), ())
        return list(self.found.values())

    def _look(
        self, depth: int, wanted: int, spent: tuple[float, float], steps: tuple[int, ...], states: tuple[int, ...]
    ) -> None:
        if self.looks > _MOST_LOOKS or len(self.found) > _MOST_BASKETS:
            return
        self.looks += 1
        if depth == len(self.lines):
            self._keep(steps, (*states, wanted))
            return
        lines = self.lines[depth]
        after = self.material.still_wanted(wanted, lines.states)
        weighed = spent[0] + lines.weighed
        cents = spent[1] + lines.cents
        fits = weighed + self.rest[depth][after] <= self.most
        fits &= cents + self.rest_cents[depth][after] <= self.most_cents
        for at in np.flatnonzero(fits):
            so_far = (float(weighed[at]), float(cents[at]))
            held = wanted - int(after[at])
            self._look(depth + 1, int(after[at]), so_far, (*steps, int(lines.steps[at])), (*states, held))

    def _keep(self, steps: tuple[int, ...], states: tuple[int, ...]) -> None:
        many = len(self.material.sources)
        each, held = [0] * many, [0] * many
        for at, count, state in zip(self.sources, steps, states, strict=False):
            each[at], held[at] = count, state
        basket = Basket(tuple(each), tuple(held), self.material.things(states[-1]))
        self.found.setdefault(basket.steps, basket)


def _choose(
    materials: Sequence[Material],
    opened: Sequence[Sequence[Basket]],
    goods_for: Sequence[float],
    effort: Effort,
    work: float,
) -> Closed:
    """One basket of each material, so that goods reach what they have to and cost least."""
    program, chosen = Program(), []
    goods: list[dict[int, float]] = [{} for _ in goods_for]
    for material, baskets in zip(materials, opened, strict=True):
        if not baskets:
            return Closed((), math.inf, work)
        own = {}
        for basket in baskets:
            paid = list(material.cents_of(basket))
            variable = program.variable(high=1, cost=sum(cents for _, cents in paid))
            own[variable] = basket
            for seller, cents in paid:
                if seller >= 0:
                    goods[seller][variable] = goods[seller].get(variable, 0.0) + cents
        program.row(dict.fromkeys(own, 1.0), low=1, high=1)
        chosen.append(own)
    for least, sums in zip(goods_for, goods, strict=True):
        if least:
            program.row(sums, low=least - _NOTHING)
    try:
        solved = solve(program, effort, close_enough=_EXACT)
    except TimeoutError:
        return Closed((), -math.inf, work)
    if solved is None:
        return Closed((), math.inf, work)
    picked = tuple(_picked(own, solved.values) for own in chosen)
    return Closed(picked, solved.bound, work)


def _picked(own: dict[int, Basket], values: Sequence[float]) -> Basket:
    return own[max(own, key=lambda variable: values[variable])]
