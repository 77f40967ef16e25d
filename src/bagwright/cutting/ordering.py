"""Search for the order in which boxes fill the cloth best: simulated annealing over orders.

Kirkpatrick, Gelatt and Vecchi, "Optimization by simulated annealing", Science 220 (1983), pp. 671-680. Neighbours:
swap two, move a short run elsewhere, regroup a stretch. What is judged: the length, and a little of the mean of the
front, so that a level end counts before it shows in the length.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from random import Random

from bagwright.cutting.filling import Box, Filling, Rule, fill

_MEAN_WEIGHT = 0.3
_HEAT = 0.04


class OrderSearch:
    """One annealing run under one rule. `advance` makes one trial; `best` is the shortest filling so far."""

    def __init__(self, boxes: Sequence[Sequence[Box]], counts: Sequence[int], *, width_mm: float, rule: Rule) -> None:
        self.boxes, self.width_mm, self.rule = boxes, width_mm, rule
        each = [kind for kind, count in enumerate(counts) for _ in range(count)]
        area = sum(boxes[kind][0][0] * boxes[kind][0][1] for kind in each)
        self._heat_mm = _HEAT * area / width_mm / math.sqrt(len(each))
        starts = [sorted(each, key=key, reverse=True) for key in self._sizes()]
        fillings = [fill(order, boxes, width_mm, rule) for order in starts]
        at = min(range(len(starts)), key=lambda i: _worth(fillings[i]))
        self.order = starts[at]
        self._worth = _worth(fillings[at])
        self.best = min((*fillings, *self._shortest_way_first(starts)), key=lambda filling: filling.length_mm)

    def _shortest_way_first(self, starts: Sequence[Sequence[int]]) -> Iterator[Filling]:
        """The same orders with each box across the cloth rather than along it, where it may lie either way."""
        ranks = [sorted(range(len(ways)), key=lambda way: ways[way][0]) for ways in self.boxes]
        if all(rank[0] == 0 for rank in ranks):
            return
        boxes = [[ways[way] for way in rank] for ways, rank in zip(self.boxes, ranks, strict=True)]
        for order in starts:
            filling = fill(order, boxes, self.width_mm, self.rule)
            yield replace(filling, spots=tuple((kind, ranks[kind][way], x, y) for kind, way, x, y in filling.spots))

    def _sizes(self) -> list[Callable[[int], float]]:
        """By area, by length, by height."""
        boxes = self.boxes
        return [lambda k: boxes[k][0][0] * boxes[k][0][1], lambda k: boxes[k][0][0], lambda k: boxes[k][0][1]]

    def advance(self, rng: Random, warmth: float) -> bool:
        """Try one neighbour; `warmth` falls from 1 to 0 over the run. True if a shorter filling was found."""
        order = neighbour(self.order, len(self.boxes), rng)
        if order == self.order:
            return False
        filling = fill(order, self.boxes, self.width_mm, self.rule)
        worth = _worth(filling)
        heat = max(self._heat_mm * warmth * warmth, 1e-9)
        if worth <= self._worth or rng.random() < math.exp((self._worth - worth) / heat):
            self.order, self._worth = order, worth
        if filling.length_mm < self.best.length_mm - 1e-6:
            self.best = filling
            return True
        return False


def _worth(filling: Filling) -> float:
    return filling.length_mm + _MEAN_WEIGHT * filling.mean_mm


def neighbour(order: Sequence[int], kinds: int, rng: Random) -> list[int]:
    """A changed copy of `order` with the same contents.

    >>> sorted(neighbour([0, 0, 1, 2, 2], 3, Random(1)))
    [0, 0, 1, 2, 2]
    """
    changed, count = list(order), len(order)
    chance, at = rng.random(), rng.randrange(count)
    if chance < 0.4:
        other = rng.randrange(count)
        changed[at], changed[other] = changed[other], changed[at]
        return changed
    if chance < 0.7:
        to, end = rng.randrange(count), at + rng.randint(1, 4)
        run = changed[at:end]
        del changed[at:end]
        changed[to:to] = run
        return changed
    end = at + rng.randint(2, count // 4 + 2)
    stretch = changed[at:end]
    if rng.random() < 0.3:
        rng.shuffle(stretch)
    else:
        rank = [rng.random() for _ in range(kinds)]
        stretch.sort(key=rank.__getitem__)
    changed[at:end] = stretch
    return changed
