"""Fill the cloth with boxes from one end: always at the deepest gap of the front.

Which box goes there: the one that suits the gap best by the `Rule`; among equals, the one that comes first in the
*order*. Searching for a good order is `ordering.py`. The rule follows the fitness idea known from skyline heuristics
for packing rectangles into a strip.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.cutting.front import FAR_MM, Front

TOUCH_SHARE = 1e-7
"""Lengths that differ by less than this share of the cloth's width count as equal."""


@dataclass(frozen=True, slots=True)
class Rule:
    """What counts in favour of a box: that it fills the gap from side to side, that it ends level with a neighbour."""

    fills_gap: int = 4
    ends_level: int = 2


RULES = (Rule(4, 2), Rule(0, 0), Rule(0, 2), Rule(4, 0))


Box = tuple[float, float]
"""Length and height."""


Spot = tuple[int, int, float, float]
"""Kind of box, which of its ways, x and y of its lowest corner."""


@dataclass(frozen=True, slots=True)
class Filling:
    """Length taken, the mean of the front at the end (the length if the end were level), and where each box lies."""

    length_mm: float
    mean_mm: float
    spots: tuple[Spot, ...]


Option = tuple[int, int, float, float]
"""Kind, way, length, height."""


def fill(order: Sequence[int], boxes: Sequence[Sequence[Box]], width_mm: float, rule: Rule) -> Filling:
    """Lay the boxes named by `order`; `boxes[kind]` lists the ways in which a box of that kind may lie.

    Every way must be at most `width_mm` high.

    >>> fill([0, 0, 1], [[(2.0, 3.0)], [(4.0, 2.0)]], 5.0, Rule()).length_mm
    4.0
    """
    waiting: list[list[int]] = [[] for _ in boxes]
    for place in range(len(order) - 1, -1, -1):
        waiting[order[place]].append(place)
    options = [(k, w, *box) for k, ways in enumerate(boxes) if waiting[k] for w, box in enumerate(ways)]
    lowest = min(option[3] for option in options)
    front = Front(width_mm, TOUCH_SHARE * width_mm)
    spots: list[Spot] = []
    length = 0.0
    while options:
        level = min(front.levels)
        at = front.levels.index(level)
        if front.heights[at + 1] - front.heights[at] < lowest - front.touch_mm:
            front.give_up(at)
            continue
        chosen, low_side = _suits_best(front, at, options, waiting, rule)
        if chosen is None:
            front.give_up(at)
            continue
        kind, way, long, high = chosen
        spots.append((kind, way, level, front.lay(at, long, high, at_low_side=low_side)))
        length = max(length, level + long)
        waiting[kind].pop()
        if not waiting[kind]:
            options = [option for option in options if option[0] != kind]
            lowest = min((option[3] for option in options), default=0.0)
    return Filling(length, front.mean_level_mm(), tuple(spots))


def _suits_best(
    front: Front, at: int, options: Sequence[Option], waiting: Sequence[Sequence[int]], rule: Rule
) -> tuple[Option | None, bool]:
    """The option for stretch `at`, the deepest of the front, and whether it goes to the stretch's low side."""
    levels, touch = front.levels, front.touch_mm
    level = levels[at]
    room = front.heights[at + 1] - front.heights[at] + touch
    below = levels[at - 1] - level if at else FAR_MM
    above = levels[at + 1] - level if at + 1 < len(levels) else FAR_MM
    best: Option | None = None
    best_score, best_place = -1, 0
    fills_gap, ends_level, full = rule.fills_gap, rule.ends_level, room - 2 * touch
    for option in options:
        kind, _, length, height = option
        if height > room:
            continue
        score = fills_gap if height >= full else 0
        if -touch <= length - below <= touch or -touch <= length - above <= touch:
            score += ends_level
        if score > best_score or (score == best_score and waiting[kind][-1] < best_place):
            best, best_score, best_place = option, score, waiting[kind][-1]
    if best is None:
        return None, True
    ends_below = -touch <= best[2] - below <= touch
    ends_above = -touch <= best[2] - above <= touch
    return best, ends_below or (not ends_above and below >= above)
