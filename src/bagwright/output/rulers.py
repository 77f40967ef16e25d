"""Rulers and dimension lines in the maker's unit, and the scales that drawings are made to."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from bagwright.output.drawing import Anchor, Ink, Item, Path, Text, Tone, line
from bagwright.output.lettering import text_width_mm
from bagwright.units import MM_PER_INCH, UnitSystem, print_length

_ROUND_SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)
_GOOD_STEPS = {UnitSystem.INCH: (1, 2, 3, 6, 12, 24, 36, 72), UnitSystem.METRIC: (1, 2, 5, 10, 20, 50, 100, 200)}
_LEAST_NUMBER_PITCH_MM = 11.0
_LEAST_TICK_PITCH_MM = 1.2
MEASURE_SIZE_MM = 3.0


def told_share(share: float) -> str:
    """A share in hundredths, three digits of it.

    >>> told_share(0.9973), told_share(1)
    ('99.7 %', '100 %')
    """
    return f"{100 * share:.3g} %"


@dataclass(frozen=True, slots=True)
class Measuring:
    """The maker's units and how finely inches are told."""

    units: UnitSystem
    fraction: int = 16

    def told(self, length_mm: float) -> str:
        """A length as she reads it."""
        return print_length(length_mm, self.units, fraction=self.fraction).text

    def told_size(self, one_mm: float, other_mm: float) -> str:
        """Two lengths as a size, the unit once.

        >>> Measuring(UnitSystem.INCH).told_size(254, 31.75)
        '10 × 1 1/4 in'
        """
        return f"{self.told(one_mm).rpartition(' ')[0]} × {self.told(other_mm)}"


def round_reduction(needed: float) -> float:
    """The smallest round scale 1 : n with n at least `needed`.

    >>> round_reduction(3.4), round_reduction(0.2), round_reduction(61)
    (4.0, 1.0, 70.0)
    """
    return next((scale for scale in _ROUND_SCALES if scale >= needed - 1e-9), math.ceil(needed / 10) * 10.0)


def told_scale(reduction: float) -> str:
    """ "true scale" or "scale 1 : 4".

    >>> told_scale(1.0), told_scale(2.5)
    ('true scale', 'scale 1 : 2.5')
    """
    return "true scale" if reduction == 1.0 else f"scale 1 : {reduction:g}"


def ruler(length_mm: float, reduction: float, units: UnitSystem, *, top_mm: float) -> list[Item]:
    """A ruler from x = 0, `length_mm` long on paper, its edge at `top_mm` and its ticks and numbers below."""
    unit_mm = (MM_PER_INCH if units is UnitSystem.INCH else 10.0) / reduction
    number_step = next((n for n in _GOOD_STEPS[units] if n * unit_mm >= _LEAST_NUMBER_PITCH_MM), 500)
    tick_step = next(n for n in (*_fine_steps(units), *_GOOD_STEPS[units], 500) if n * unit_mm >= _LEAST_TICK_PITCH_MM)
    items: list[Item] = [line((0, top_mm), (length_mm, top_mm), Ink.MEASURE)]
    for count in range(int(length_mm / (unit_mm * tick_step) + 1e-6) + 1):
        place, x = count * tick_step, count * tick_step * unit_mm
        is_numbered, is_whole = _is_multiple(place, number_step), _is_multiple(place, 1)
        depth = 2.4 if is_numbered else 1.6 if is_whole else 0.9
        items.append(line((x, top_mm), (x, top_mm + depth), Ink.MEASURE))
        if is_numbered:
            unit = (" in" if units is UnitSystem.INCH else " cm") if place == 0 else ""
            anchor = Anchor.START if place == 0 else Anchor.MIDDLE
            items.append(Text((x, top_mm + 5.4), f"{place:.0f}{unit}", 2.8, anchor, tone=Tone.SOFT))
    return items


def _fine_steps(units: UnitSystem) -> Iterable[float]:
    return (0.125, 0.25, 0.5) if units is UnitSystem.INCH else (0.1, 0.5)


def _is_multiple(place: float, step: float) -> bool:
    return abs(place / step - round(place / step)) < 1e-6


def dimension_across(
    left_mm: float, right_mm: float, y_mm: float, told: str, *, size_mm: float = MEASURE_SIZE_MM
) -> list[Item]:
    """A dimension line from left to right at `y_mm`, what it says under it."""
    return [
        line((left_mm, y_mm), (right_mm, y_mm), Ink.MEASURE),
        *(line((x, y_mm - 1), (x, y_mm + 1), Ink.MEASURE) for x in (left_mm, right_mm)),
        Text(
            ((left_mm + right_mm) / 2, y_mm + size_mm + 0.6),
            told,
            size_mm,
            Anchor.MIDDLE,
            tone=Tone.SOFT,
            is_measure=True,
        ),
    ]


def dimension_up(
    top_mm: float, bottom_mm: float, x_mm: float, told: str, *, size_mm: float = MEASURE_SIZE_MM
) -> list[Item]:
    """A dimension line from bottom to top at `x_mm`, what it says on its left, reading upwards.

    Words longer than the line begin at its foot, so that they keep off what stands below. No words: the line alone.
    """
    is_longer = text_width_mm(told, size_mm) > bottom_mm - top_mm
    y, anchor = (bottom_mm, Anchor.START) if is_longer else ((top_mm + bottom_mm) / 2, Anchor.MIDDLE)
    text = Text((x_mm - 1.2, y), told, size_mm, anchor, 90.0, tone=Tone.SOFT, is_measure=True)
    ends = [line((x_mm - 1, y), (x_mm + 1, y), Ink.MEASURE) for y in (top_mm, bottom_mm)]
    return [line((x_mm, top_mm), (x_mm, bottom_mm), Ink.MEASURE), *ends, *([text] if told else [])]


def arrow_head(tip: tuple[float, float], direction: tuple[float, float], ink: Ink, *, length_mm: float = 1.8) -> Path:
    """An open arrow head at `tip` that points along the unit vector `direction`."""
    (x, y), (dx, dy) = tip, direction
    back, side = length_mm, length_mm * 0.42
    left = (x - dx * back - dy * side, y - dy * back + dx * side)
    right = (x - dx * back + dy * side, y - dy * back - dx * side)
    return Path((left, tip, right), ink)


def double_arrow(a: tuple[float, float], b: tuple[float, float]) -> list[Item]:
    """A grain arrow from `a` to `b`, with a head at either end."""
    run = math.dist(a, b)
    along = ((b[0] - a[0]) / run, (b[1] - a[1]) / run)
    head = min(2.0, run / 3)
    return [
        line(a, b, Ink.GRAIN),
        arrow_head(a, (-along[0], -along[1]), Ink.GRAIN, length_mm=head),
        arrow_head(b, along, Ink.GRAIN, length_mm=head),
    ]
