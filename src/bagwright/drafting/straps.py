"""Straps folded in four, their ends caught in seams."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from bagwright.drafting import cautions
from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, too_large, too_small
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.errors import Problem
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import EdgeUse, Piece, PlacementLine

STRAP_FOLDS = 4
LEAST_DROP_MM = 40.0
STRAPS_APART_MM = 5.0

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class StrapEnd:
    """Where one end of a strap is caught: a line of the making, the stretch of it, and the side it is basted to."""

    where: str
    place: Place
    held_on: int = 0


def with_straps(making: Making, sizes: Sizes, straps: Sequence[tuple[StrapEnd, StrapEnd]], basted_to: str) -> Making:
    """The bag with its straps, each given by its first and its second end."""
    strap = strap_piece(sizes, count=len(straps))
    word = "straps" if len(straps) > 1 else "the strap"
    held: list[tuple[SeamSide, Caught]] = []
    for copy, ends in enumerate(straps, start=1):
        for end, catch in zip(ends, (first_end, second_end), strict=True):
            caught = catch(strap, copy, end.place)
            held.append((making.line(end.where).through[end.held_on], caught))
            making = making.catching(end.where, caught, word=word)
    return making.having(
        pieces=(strap,),
        steps=(fold_step(strap), baste_step(held, basted_to)),
        assembled=strap_measures(sizes),
        cautions=(cautions.STRAP_LOAD,),
    )


def strap_for_drop_mm(drop_mm: float, spacing_mm: float) -> float:
    """Visible length of a strap that hangs `drop_mm` below where it is held.

    strap = 2 sqrt(drop^2 + (spacing / 2)^2): the strap pulled into a straight V, its ends `spacing_mm` apart; its width
    and the hand are left out, so a real drop is a little less. Derived from Pythagoras.

    >>> round(strap_for_drop_mm(10, 8), 2)
    21.54
    """
    return 2 * math.hypot(drop_mm, spacing_mm / 2)


def strap_piece(sizes: Sizes, *, count: int = 2) -> Piece:
    """The strip, four finished widths wide, upright."""
    width, length = sizes["strap_width_mm"], sizes["strap_length_mm"]
    names = {"bottom": "end_one", "top": "end_two", "left": "long_left", "right": "long_right"}
    folds = (("fold_first", width), ("fold_middle", 2 * width), ("fold_third", 3 * width))
    ends, longs = ("end_one", "end_two"), ("long_left", "long_right")
    return Piece(
        id="strap",
        name="Strap",
        role="strap",
        net=rectangle_outline(STRAP_FOLDS * width, length, names),
        allowance_mm={**dict.fromkeys(ends, sizes["top_allowance_mm"]), **dict.fromkeys(longs, 0.0)},
        edge_use={**dict.fromkeys(ends, EdgeUse.SEAM), **dict.fromkeys(longs, EdgeUse.HEM)},
        count=count,
        lines=tuple(PlacementLine(name, (x, 0.0), (x, length)) for name, x in folds),
        note="Fold the long edges to the middle, then fold in half.",
    )


def spaced_places(middle_mm: float, sizes: Sizes) -> tuple[Place, Place]:
    """Where two strap ends lie along an edge, `strap_spacing_mm` apart about its middle."""
    half = sizes["strap_width_mm"] / 2
    first, second = middle_mm - sizes["strap_spacing_mm"] / 2, middle_mm + sizes["strap_spacing_mm"] / 2
    return (first - half, first + half), (second - half, second + half)


def first_end(strap: Piece, copy: int, place: Place) -> Caught:
    """The first end of a strap caught at a place; its middle fold lies where the place starts."""
    return Caught(*place, along(strap, copy, "end_one", folds=STRAP_FOLDS))


def second_end(strap: Piece, copy: int, place: Place) -> Caught:
    """The other end; its middle fold lies where the place ends."""
    return Caught(*place, along(strap, copy, "end_two", folds=STRAP_FOLDS), turned=True)


def both_on(where: str, places: tuple[Place, Place]) -> tuple[StrapEnd, StrapEnd]:
    """Both ends of one strap on one line; the strap's middle fold is on the side away from its other end."""
    return StrapEnd(where, places[0]), StrapEnd(where, places[1])


def fold_step(strap: Piece) -> Step:
    """Folding and stitching: through four layers, both edges folded in, and the two halves of the strip."""
    edges = tuple(
        StitchLine(
            (
                against(strap, copy, "long_left"),
                along(strap, copy, "fold_first"),
                along(strap, copy, "long_right"),
                along(strap, copy, "fold_third"),
            )
        )
        for copy in range(1, strap.count + 1)
    )
    name = f"Fold {'the' if strap.count == 1 else 'each'} strap in four and stitch along both long edges"
    return Step("strap", name, SeamKind.HEM, edges, rows=2, stage=Stage.PREPARE)


def baste_step(caught: Iterable[tuple[SeamSide, Caught]], where: str) -> Step:
    """Hold strap ends in place, each on the edge it will be caught in."""
    lines = tuple(
        StitchLine((part(edge, c.start_mm, c.end_mm),), (replace(c, start_mm=0.0, end_mm=c.end_mm - c.start_mm),))
        for edge, c in caught
    )
    name = f"Baste the strap ends to {where} between notches"
    return Step("strap-ends", name, SeamKind.BASTE, lines, stage=Stage.PREPARE)


def strap_measures(sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    """Length and width of a strap."""
    width = (Span("strap", "end_one", 1 / STRAP_FOLDS),)
    return (
        AssembledMeasure(key="strap_length_mm", asked_mm=sizes["strap_length_mm"], spans=(Span("strap", "long_left"),)),
        AssembledMeasure(key="strap_width_mm", asked_mm=sizes["strap_width_mm"], spans=width),
    )


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
