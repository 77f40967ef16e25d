"""Straps whose ends are caught in seams, of the kind that was chosen."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.adjustable_strap import ADJUSTABLE, adjustable_strap, wearing_spans
from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, too_large, too_small
from bagwright.drafting.steps import Caught, Step, StitchLine, part
from bagwright.drafting.strips import ENDS, MadeStrip, Place, Strip, StripKind, make_strip
from bagwright.errors import Problem
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage

LEAST_DROP_MM = 40.0
STRAPS_APART_MM = 5.0


@dataclass(frozen=True, slots=True)
class StrapEnd:
    """Where one end of a strap is caught: a line of the making, the stretch of it, and the side it is basted to."""

    where: str
    place: Place
    held_on: int = 0


Straps = Sequence[tuple[StrapEnd, StrapEnd]]


def with_straps(making: Making, sizes: Sizes, straps: Straps, basted_to: str) -> Making:
    """The bag with its straps, each given by its first and its second end, of the kind that `strap_kind` says.

    An adjustable strap has its short tab at the second end. Where a form has no choice of kinds, straps are folded.
    """
    kind = int(sizes.get("strap_kind", StripKind.FOLDED))
    making, ends, length = _adjustable(making, sizes, straps) if kind in ADJUSTABLE else _plain(making, sizes, straps)
    word = "straps" if len(straps) > 1 else "the strap"
    width = ends[0].made.width_span()
    return with_ends_caught(making, ends, word=word, basted_to=basted_to).having(
        assembled=(
            AssembledMeasure(key="strap_length_mm", asked_mm=sizes["strap_length_mm"], spans=length),
            AssembledMeasure(key="strap_width_mm", asked_mm=sizes["strap_width_mm"], spans=(width,)),
        )
    )


def _plain(making: Making, sizes: Sizes, straps: Straps) -> tuple[Making, list[HeldEnd], tuple[Span, ...]]:
    made = make_strip(strap_asked(sizes, len(straps)), StripKind(int(sizes.get("strap_kind", StripKind.FOLDED))))
    ends = [
        HeldEnd(made, number, edge, end)
        for number, both in enumerate(straps, start=1)
        for edge, end in zip(ENDS, both, strict=True)
    ]
    return with_strip(making, made), ends, (Span("strap", "long_left"),)


def _adjustable(making: Making, sizes: Sizes, straps: Straps) -> tuple[Making, list[HeldEnd], tuple[Span, ...]]:
    made, tab = adjustable_strap(strap_asked(sizes, len(straps)), sizes)
    ends = [
        held
        for number, (first, second) in enumerate(straps, start=1)
        for held in (HeldEnd(made, number, "end_one", first), *looped(tab, number, second))
    ]
    return with_strip(with_strip(making, tab), made), ends, wearing_spans()


def looped(made: MadeStrip, number: int, end: StrapEnd) -> tuple[HeldEnd, HeldEnd]:
    """Both ends of a strip folded in half, one under the other."""
    return HeldEnd(made, number, "end_one", end), HeldEnd(made, number, "end_two", end, is_under=True)


def strap_asked(sizes: Sizes, count: int) -> Strip:
    """The straps that these sizes ask for."""
    return Strip(
        key="strap",
        said="strap",
        width_mm=sizes["strap_width_mm"],
        length_mm=sizes["strap_length_mm"],
        end_allowance_mm=sizes["top_allowance_mm"],
        seam_allowance_mm=sizes["seam_allowance_mm"],
        count=count,
    )


def with_strip(making: Making, made: MadeStrip) -> Making:
    """The bag with the strips made, their ends still free."""
    return making.having(pieces=(made.piece,), steps=made.steps, notions=made.notions, cautions=made.cautions)


@dataclass(frozen=True, slots=True)
class HeldEnd:
    """The end (``end_one`` or ``end_two``) of one of the strips, counted from 1, and where it is caught.

    `is_under`: the strip is folded back on itself, wrong side in, and this end lies under its other.
    """

    made: MadeStrip
    number: int
    edge: str
    end: StrapEnd
    is_under: bool = False


def with_ends_caught(making: Making, ends: Sequence[HeldEnd], *, word: str, basted_to: str) -> Making:
    """The bag with those ends basted in place and caught; `word` is what they are called between the layers."""
    held: list[tuple[SeamSide, Caught]] = []
    for one in ends:
        side = making.line(one.end.where).through[one.end.held_on]
        is_backwards = (side.to_mm < side.from_mm) != one.is_under
        caught = one.made.caught(one.number, one.edge, one.end.place, is_backwards=is_backwards)
        held += [(side, layer) for layer in caught]
        making = making.catching(one.end.where, *caught, word=word)
    return making.having(steps=(_baste_step(ends[0].made.piece.id, held, word, basted_to),))


def _baste_step(key: str, held: Sequence[tuple[SeamSide, Caught]], word: str, basted_to: str) -> Step:
    """Hold the ends in place, each on the edge it will be caught in; layers of one end in one line."""
    lines: dict[tuple[SeamSide, Place], StitchLine] = {}
    for side, caught in held:
        place = (caught.start_mm, caught.end_mm)
        line = lines.get((side, place), StitchLine((part(side, *place),)))
        moved = replace(caught, start_mm=0.0, end_mm=caught.end_mm - caught.start_mm)
        lines[side, place] = replace(line, caught=(*line.caught, moved))
    told = word.removeprefix("the ").removesuffix("s")
    name = f"Baste the {told} ends to {basted_to} between notches"
    return Step(f"{key}-ends", name, SeamKind.BASTE, tuple(lines.values()), stage=Stage.PARTS)


def strap_for_drop_mm(drop_mm: float, spacing_mm: float) -> float:
    """Visible length of a strap that hangs `drop_mm` below where it is held.

    strap = 2 sqrt(drop^2 + (spacing / 2)^2): the strap pulled into a straight V, its ends `spacing_mm` apart; its width
    and the hand are left out, so a real drop is a little less. Derived from Pythagoras.

    >>> round(strap_for_drop_mm(10, 8), 2)
    21.54
    """
    return 2 * math.hypot(drop_mm, spacing_mm / 2)


def spaced_places(middle_mm: float, sizes: Sizes) -> tuple[Place, Place]:
    """Where two strap ends lie along an edge, `strap_spacing_mm` apart about its middle."""
    return two_places(middle_mm, sizes["strap_width_mm"], sizes["strap_spacing_mm"])


def two_places(middle_mm: float, width_mm: float, spacing_mm: float) -> tuple[Place, Place]:
    """Where two ends of that width lie along an edge, `spacing_mm` apart about its middle."""
    half, first, second = width_mm / 2, middle_mm - spacing_mm / 2, middle_mm + spacing_mm / 2
    return (first - half, first + half), (second - half, second + half)


def both_on(where: str, places: tuple[Place, Place]) -> tuple[StrapEnd, StrapEnd]:
    """Both ends of one strap on one line."""
    return StrapEnd(where, places[0]), StrapEnd(where, places[1])


def spaced_strap_rules(across: str) -> tuple[FitRule, ...]:
    """Rules for two ends of a strap beside one another on a face; `across` is the measurement that is its width."""

    def too_wide(sizes: Sizes) -> Problem | None:
        return too_large(sizes, "strap_width_mm", sizes[across] / 3, "is too wide for two strap ends on this bag")

    def off_the_bag(sizes: Sizes) -> Problem | None:
        widest = sizes[across] - sizes["strap_width_mm"]
        return too_large(sizes, "strap_spacing_mm", widest, "puts the straps beyond the width of the bag")

    return (
        FitRule(("strap_width_mm", across), too_wide),
        FitRule(("strap_spacing_mm", "strap_width_mm", across), off_the_bag),
        FitRule(("strap_spacing_mm", "strap_width_mm"), _overlap),
        FitRule(("strap_length_mm", "strap_spacing_mm"), _too_short),
    )


def _overlap(sizes: Sizes) -> Problem | None:
    least = sizes["strap_width_mm"] + STRAPS_APART_MM
    return too_small(sizes, "strap_spacing_mm", least, "puts one strap end over the other")


def _too_short(sizes: Sizes) -> Problem | None:
    least = strap_for_drop_mm(LEAST_DROP_MM, sizes["strap_spacing_mm"])
    return too_small(sizes, "strap_length_mm", least, "leaves no room for a hand at that spacing")
