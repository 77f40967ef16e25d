"""Straps whose length can be changed: a long part over the bar of an adjuster, and a short tab that holds a ring.

The long part is caught in the bag at one end, runs through the adjuster to the ring, round the ring and back to the
adjuster's bar, where its other end is turned back and stitched to itself. Between ring and adjuster it lies double:
the further the adjuster is from the ring, the shorter the strap. The tab is folded over the ring, both its ends in the
bag. Lengths are those of the strap's middle; how thick ring, bar and strap are is left out.
"""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.measurements import COMMON_PRACTICE, Choice, Room, Sizes, length_said, size_spec
from bagwright.drafting.steps import Handling, Step, StitchLine
from bagwright.drafting.strips import MadeStrip, Strip, StripKind, make_strip
from bagwright.model.pattern import NotionNeed, SeamKind, Span, Stage
from bagwright.model.piece import EdgeUse, PlacementLine

WEBBING_ADJUSTABLE, FOLDED_ADJUSTABLE = 4, 5
ADJUSTABLE = (WEBBING_ADJUSTABLE, FOLDED_ADJUSTABLE)
TURNED_UNDER_MM = 10.0
"""What of the raw end is folded under where it is stitched down (common practice, no source)."""
LEAST_PLAY_MM = 50.0
"""A strap that can be shortened by less is no adjustable one (common practice, no source)."""

_CHOSEN = Choice("strap_kind", ADJUSTABLE)


def least_doubled_mm(sizes: Sizes) -> float:
    """How much lies double where the strap is longest: the stitched end, and one adjuster so that it clears the ring.

    >>> least_doubled_mm({"strap_turn_mm": 40, "adjuster_mm": 25})
    65
    """
    return sizes["strap_turn_mm"] + sizes["adjuster_mm"]


def strap_to_bar_mm(sizes: Sizes) -> float:
    """Length of the long part from the bag to where it folds over the bar: L - t + x.

    L is the longest wearing length (`strap_length_mm`), t the tab, x what lies double then. Derived: from bag to ring
    the strap runs L - t, and x of it comes back.

    >>> strap_to_bar_mm({"strap_length_mm": 1200, "strap_tab_mm": 40, "strap_turn_mm": 40, "adjuster_mm": 25})
    1225
    """
    return sizes["strap_length_mm"] - sizes["strap_tab_mm"] + least_doubled_mm(sizes)


def shortest_worn_mm(sizes: Sizes) -> float:
    """Wearing length with the adjuster next to the bag: t + (S + c) / 2.

    S is the long part from the bag to the bar, c the length of one adjuster, which stays single there. Derived: what
    lies double is (S - c) / 2, and the strap reaches S less that, plus the tab.

    >>> shortest_worn_mm({"strap_length_mm": 1200, "strap_tab_mm": 40, "strap_turn_mm": 40, "adjuster_mm": 25})
    665.0
    """
    return sizes["strap_tab_mm"] + (strap_to_bar_mm(sizes) + sizes["adjuster_mm"]) / 2


def _tab_room_mm(sizes: Sizes) -> tuple[float, float]:
    """The longest tab leaves `LEAST_PLAY_MM` to shorten the strap by, which is (L - t - x - c) / 2."""
    single = least_doubled_mm(sizes) + sizes["adjuster_mm"]
    return 0.0, sizes["strap_length_mm"] - single - 2 * LEAST_PLAY_MM


ADJUSTER_SPECS = (
    size_spec(
        "adjuster_mm",
        "Adjuster length",
        "Length of the adjuster (the slider with a middle bar) along the strap; measure yours.",
        (6, 22, 45),
        source=COMMON_PRACTICE,
        needs=_CHOSEN,
    ),
    size_spec(
        "strap_turn_mm",
        "Turned end of the strap",
        "How far the end of the strap is turned back over the bar of the adjuster.",
        (15, 38.1, 60),
        source=COMMON_PRACTICE,
        needs=_CHOSEN,
    ),
    size_spec(
        "strap_tab_mm",
        "Tab for the ring",
        "From the seam to the ring: the short tab that holds it.",
        (15, 38.1, 100),
        source=COMMON_PRACTICE,
        needs=_CHOSEN,
        room=Room(
            ("strap_length_mm", "adjuster_mm", "strap_turn_mm"),
            _tab_room_mm,
            "is too short to fold over a ring",
            "leaves too little strap to make shorter",
        ),
    ),
)


def adjustable_strap(asked: Strip, sizes: Sizes) -> tuple[MadeStrip, MadeStrip]:
    """The long part and the tab; the long part is caught by its first end only, the tab by both."""
    kind = StripKind.WEBBING if sizes["strap_kind"] == WEBBING_ADJUSTABLE else StripKind.FOLDED
    long = make_strip(replace(asked, length_mm=strap_to_bar_mm(sizes) + sizes["strap_turn_mm"]), kind)
    tab = make_strip(replace(asked, key="strap_tab", said="strap tab", length_mm=2 * sizes["strap_tab_mm"]), kind)
    return _on_the_bar(long, asked, sizes), tab


def _on_the_bar(made: MadeStrip, asked: Strip, sizes: Sizes) -> MadeStrip:
    """The long part with its end stitched over the bar and its way through the ring."""
    piece, bar, turn = made.piece, strap_to_bar_mm(sizes), sizes["strap_turn_mm"]
    wide = piece.edge("end_one").length_mm
    aside = asked.width_mm / 2
    lines = (
        PlacementLine("over_the_bar", (wide, bar), (0.0, bar)),
        PlacementLine("turned_to", (wide, bar - turn), (0.0, bar - turn)),
        PlacementLine("turned_end", (aside, bar), (aside, bar + turn)),
        PlacementLine("double_when_longest", (aside, bar - least_doubled_mm(sizes)), (aside, bar)),
    )
    worn = f"To be worn from {length_said(round(shortest_worn_mm(sizes)))} to {length_said(sizes['strap_length_mm'])}."
    piece = replace(
        piece,
        lines=(*piece.lines, *lines),
        allowance_mm={**piece.allowance_mm, "end_two": TURNED_UNDER_MM},
        edge_use={**piece.edge_use, "end_two": EdgeUse.HEM},
        note=f"{piece.note} {worn}",
    )
    made = replace(made, piece=piece)
    needs = tuple(replace(need, length_mm=_cut_mm(made)) for need in made.notions)
    return replace(
        made,
        steps=(*made.steps, *_threading(made, asked)),
        notions=(*needs, *_hardware(asked)),
        cautions=(*made.cautions, cautions.SLIDER),
    )


def _cut_mm(made: MadeStrip) -> float:
    allowances = made.piece.allowance_mm
    return made.piece.edge("long_left").length_mm + allowances["end_one"] + allowances["end_two"]


def _threading(made: MadeStrip, asked: Strip) -> tuple[Step, Handling]:
    """The end turned back along the strap, wrong side on wrong side, then the strap through ring and adjuster."""
    lines = tuple(
        StitchLine((*made.across(number, "end_two"), *made.across(number, "turned_to")))
        for number in range(1, asked.count + 1)
    )
    over = f"Pass one end of {asked.told} over the bar of an adjuster, turn the raw end under and stitch it down"
    through = (
        "Fold a tab over each ring; pass the strap through the ring from its right side, then back through the "
        "adjuster over its bar"
    )
    stage = Stage.PARTS
    return (
        Step(f"{asked.key}-bar", over, SeamKind.HEM, lines, rows=2, stage=stage),
        Handling(f"{asked.key}-ring", through, stage=stage, cautions=(cautions.STRAP_LOAD,)),
    )


def _hardware(asked: Strip) -> tuple[NotionNeed, NotionNeed]:
    wide = length_said(asked.width_mm)
    return (
        NotionNeed(role="ring", name=f"Ring for a strap {wide} wide", count=asked.count),
        NotionNeed(role="strap_adjuster", name=f"Adjuster for a strap {wide} wide", count=asked.count),
    )


def wearing_spans() -> tuple[Span, ...]:
    """The longest wearing length: the long part less its turned end and what then lies double, plus half the tab."""
    return (
        Span("strap", "long_left"),
        Span("strap", "turned_end", -1.0),
        Span("strap", "double_when_longest", -1.0),
        Span("strap_tab", "long_left", 0.5),
    )
