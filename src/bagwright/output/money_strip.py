"""A price as an upright strip, cut into the parts that it goes to, with words beside each."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.model.material import MaterialKind
from bagwright.output.drawing import Anchor, Drawing, Hatch, Ink, Item, Path, Text, Tone, framed, line, rectangle
from bagwright.output.lettering import Weight, shortened, text_width_mm
from bagwright.output.strokes import Strokes, stroked

_STRIP_MM = (6.0, 30.0)
_LABEL_X_MM, _AMOUNT_X_MM, _NAME_X_MM, _RIGHT_MM = 36.0, 50.0, 52.0, 96.0
_LEAST_HEIGHT_MM = 84.0
_LINE_MM = 5.6
_SIZE_MM = 3.6


@dataclass(frozen=True, slots=True, kw_only=True)
class StripPart:
    """One part: its name, its amount in words, its share of the whole strip, and how it is filled.

    Neighbours with the same `group` are bracketed together, with these words.
    """

    name: str
    amount: str
    share: float
    fill: MaterialKind | Strokes
    group: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Label:
    at_mm: float
    amount: str
    name: str
    is_strong: bool = False


def draw_money_strip(parts: Sequence[StripPart], *, price: str, covered_share: float = 1.0) -> Drawing:
    """The parts from the top down in their order, their shares adding up to 1.

    `covered_share`: how far down the strip the `price` reaches; less than 1 where it does not pay for all.
    """
    height = max(_LEAST_HEIGHT_MM, _LINE_MM * (len(parts) + 2))
    tops = [height * share for share in itertools.accumulate((part.share for part in parts), initial=0.0)]
    labels = [
        _Label(at_mm=(top + bottom) / 2, amount=part.amount, name=part.name)
        for part, (top, bottom) in zip(parts, itertools.pairwise(tops), strict=True)
    ]
    if covered_share < 1:
        labels.append(_Label(at_mm=covered_share * height, amount=price, name="the price ends here", is_strong=True))
    items: list[Item] = [
        item
        for part, (top, bottom) in zip(parts, itertools.pairwise(tops), strict=True)
        for item in _segment(part, top, bottom)
    ]
    if covered_share < 1:
        at = covered_share * height
        items.append(line((_STRIP_MM[0] - 3, at), (_LABEL_X_MM - 2, at), Ink.ATTENTION))
    items += _labels(sorted(labels, key=lambda one: one.at_mm), height)
    items += _brackets(parts, tops)
    told = "; ".join(f"{part.name} {part.amount}" for part in parts)
    ends = "" if covered_share >= 1 else f" The price ends at {covered_share:.0%} of all that it should pay for."
    words = f"Of {price}: {told}.{ends}"
    # The frame is the same whatever the words are.
    items.append(rectangle((0.0, -2.0), (_RIGHT_MM, height + 2.0)))
    return framed(items, margin_mm=0.5, title="Where the money goes", description=words)


def _segment(part: StripPart, top: float, bottom: float) -> Iterator[Item]:
    low, high = (_STRIP_MM[0], top), (_STRIP_MM[1], bottom)
    if isinstance(part.fill, MaterialKind):
        yield rectangle(low, high, Ink.OUTLINE, Hatch(part.fill))
    else:
        yield from stroked(low, high, part.fill)


def _labels(labels: Sequence[_Label], height: float) -> Iterator[Item]:
    for label, y in zip(labels, spread_out([label.at_mm for label in labels], _LINE_MM, height), strict=True):
        weight = Weight.STRONG if label.is_strong else Weight.PLAIN
        amount_left = _AMOUNT_X_MM - text_width_mm(label.amount, _SIZE_MM, Weight.STRONG)
        leader = ((_STRIP_MM[1], label.at_mm), (_STRIP_MM[1] + 2.5, y), (min(_LABEL_X_MM, amount_left) - 1.0, y))
        yield Path(leader, Ink.MEASURE)
        base = y + 0.35 * _SIZE_MM
        yield Text((_AMOUNT_X_MM, base), label.amount, _SIZE_MM, Anchor.END, weight=Weight.STRONG)
        name = shortened(label.name, _RIGHT_MM - _NAME_X_MM, _SIZE_MM, weight)
        yield Text((_NAME_X_MM, base), name, _SIZE_MM, weight=weight)


def spread_out(wanted_mm: Sequence[float], apart_mm: float, height_mm: float) -> list[float]:
    """Places near the wanted ones, which rise, at least so far apart, from half of that on, up to half before the end.

    >>> spread_out([1.0, 1.5, 30.0], 5.0, 31.0)
    [2.5, 7.5, 28.5]
    """
    places: list[float] = []
    for wanted in wanted_mm:
        places.append(max(wanted, places[-1] + apart_mm if places else apart_mm / 2))
    limit = height_mm - apart_mm / 2
    for at in reversed(range(len(places))):
        places[at] = min(places[at], limit)
        limit = places[at] - apart_mm
    return places


def _brackets(parts: Sequence[StripPart], tops: Sequence[float]) -> Iterator[Item]:
    """Along each group that has room for its words."""
    for words, found in itertools.groupby(enumerate(parts), key=lambda one: one[1].group):
        places = [place for place, _ in found]
        top, bottom, x = tops[places[0]], tops[places[-1] + 1], _STRIP_MM[0] - 1.6
        if words and bottom - top >= text_width_mm(words, _SIZE_MM):
            yield Path(((x + 1, top), (x, top), (x, bottom), (x + 1, bottom)), Ink.MEASURE)
            yield Text((x - 1.2, (top + bottom) / 2), words, _SIZE_MM, Anchor.MIDDLE, turn_deg=90, tone=Tone.SOFT)
