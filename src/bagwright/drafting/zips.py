"""Zips: the sizes they ask for, the bought chain and its cloth tabs as pieces, and what to buy.

The chain is drawn closed, right side up; its stitch lines run one allowance inside the tape's edges, so what shows of
it is the tape's width less two allowances. A tab is a strip folded in half across: its fold covers the end of the
tape, its raw ends lie beyond.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from bagwright.drafting.measurements import (
    COMMON_PRACTICE,
    Choice,
    MeasurementSpec,
    Room,
    Sizes,
    count_spec,
    size_spec,
)
from bagwright.drafting.zip_stock import ready_made_fit
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import NotionNeed
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine
from bagwright.model.sewn_zip import STOP_INSET_MM, SewnZip, ZipEnds
from bagwright.model.source import Source, SourceKind

SLIDER_PARKED_MM = 12.0
"""Length of the teeth that a parked slider takes up: 10 to 15 mm (common practice, no source)."""
LEAST_OPENING_MM = 60.0
LEAST_SHOWING_MM = 10.0
"""Room for the teeth, the slider and a zip foot between the stitch lines (common practice, no source)."""
TAB_FOLDS = 2
NUMBERS = (3, 10)
USUAL_NUMBER = 5
TAPE_MM = ((3, 25.0), (5, 32.0), (8, 38.0), (10, 42.0))
"""Closed zip, tape edge to tape edge, by size number: from memory; measure yours."""


_CAP = "Turn the short ends under, then fold in half, wrong sides together, round the end of the zip."


def usual_tape_mm(number: float) -> float:
    """Width of a closed zip of that size number, from memory; between the numbers of `TAPE_MM`, in proportion.

    >>> usual_tape_mm(3), usual_tape_mm(5), usual_tape_mm(6), usual_tape_mm(10)
    (25.0, 32.0, 34.0, 42.0)
    """
    for (low, narrow), (high, wide) in itertools.pairwise(TAPE_MM):
        if number <= high:
            return narrow + (wide - narrow) * (max(number, low) - low) / (high - low)
    return TAPE_MM[-1][1]


def line_for_opening_mm(opening_mm: float, ends: ZipEnds, parked_mm: float = SLIDER_PARKED_MM) -> float:
    """What has to lie between the ends of a zip so that it opens `opening_mm` wide.

    >>> line_for_opening_mm(150, ZipEnds.TABS), line_for_opening_mm(150, ZipEnds.STOPS)
    (162.0, 168.0)
    """
    return opening_mm + parked_mm + (2 * STOP_INSET_MM if ends is ZipEnds.STOPS else 0.0)


def zip_specs(
    prefix: str = "", *, needs: Choice | None = None, least_showing_mm: float = LEAST_SHOWING_MM
) -> tuple[MeasurementSpec, ...]:
    """Size number, allowance, tape and slider of one zip; `prefix` tells the zips of one form apart ("band_").

    `least_showing_mm`: what the stitch lines must leave between them.
    """
    size, allowance = f"{prefix}zip_size", f"{prefix}zip_allowance_mm"

    def tape(sizes: Sizes) -> tuple[float, float]:
        return 2 * sizes[allowance] + least_showing_mm, 60.0

    low, high = NUMBERS
    return (
        count_spec(
            size,
            "Zip size number",
            "The number by which zips are sold, #3 fine to #10 heavy.",
            (low, USUAL_NUMBER, high),
            choices=tuple(f"#{number}" for number in range(low, high + 1)),
            needs=needs,
        ),
        size_spec(
            allowance,
            "Zip allowance",
            "From the edges of cloth and tape to the stitch line along the zip.",
            (4, 6.35, 12),
            source=COMMON_PRACTICE,
            needs=needs,
        ),
        size_spec(
            f"{prefix}tape_width_mm",
            "Zip tape width",
            "Full width of the closed zip, tape edge to tape edge; measure yours.",
            (18, usual_tape_mm(USUAL_NUMBER), 60),
            source=Source(SourceKind.GUESS, "about 25 mm for #3, 32 for #5, 38 to 42 for #8 to #10, from memory"),
            needs=needs,
            room=Room(
                (allowance, size),
                tape,
                "leaves no room for teeth and foot between the stitch lines",
                "is wider than any zip tape",
                lambda sizes: usual_tape_mm(sizes[size]),
            ),
        ),
        size_spec(
            f"{prefix}slider_parked_mm",
            "Parked slider",
            "Length of the teeth that the slider takes up when it is parked; measure yours.",
            (6, SLIDER_PARKED_MM, 20),
            source=COMMON_PRACTICE,
            needs=needs,
        ),
    )


def ends_spec(prefix: str = "", *, needs: Choice | None = None) -> MeasurementSpec:
    """Whether a zip ends at cloth tabs (0) or runs on into the seams, with stops before them (1)."""
    said = "Cloth tabs over both ends, or the tape in the side seams with stops sewn just before them."
    return count_spec(f"{prefix}zip_ends", "Zip ends", said, (0, 0, 1), choices=("tabs", "stops"), needs=needs)


def ends_of(sizes: Sizes, prefix: str = "") -> ZipEnds:
    """What `ends_spec` was answered with."""
    return ZipEnds.STOPS if sizes[f"{prefix}zip_ends"] else ZipEnds.TABS


def tab_length_spec(prefix: str = "", *, needs: Choice | None = None, room: Room | None = None) -> MeasurementSpec:
    """How much shows of each cloth tab."""
    said = "Length of the cloth tab that shows at each end of the zip."
    return size_spec(f"{prefix}tab_length_mm", "Tab length", said, (10, 19.05, 60), needs=needs, room=room)


def sewn_zip(
    key: str, name: str, line_mm: float, sizes: Sizes, *, prefix: str = "", ends: ZipEnds, under_mm: float | None = None
) -> SewnZip:
    """A zip of these sizes along a line; `under_mm` of tape go on under each end (a seam allowance if not given)."""
    return SewnZip(
        key=key,
        name=name,
        number=int(sizes[f"{prefix}zip_size"]),
        line_mm=line_mm,
        under_mm=sizes["seam_allowance_mm"] if under_mm is None else under_mm,
        tape_mm=sizes[f"{prefix}tape_width_mm"],
        allowance_mm=sizes[f"{prefix}zip_allowance_mm"],
        parked_mm=sizes[f"{prefix}slider_parked_mm"],
        ends=ends,
        tab_mm=sizes.get(f"{prefix}tab_length_mm", 0.0) if ends is ZipEnds.TABS else 0.0,
    )


def chain_piece(one: SewnZip, *, note: str, bends: Sequence[Bend] = ()) -> Piece:
    """The bought chain: edges `tape_front` (below), `end_right`, `tape_back`, `end_left`, notched in the middle."""
    names = {"bottom": "tape_front", "right": "end_right", "top": "tape_back", "left": "end_left"}
    tapes, ends = ("tape_front", "tape_back"), ("end_left", "end_right")
    return Piece(
        id=one.key,
        name="Zip chain" if one.key == "zip_chain" else one.name,
        role="zip_chain",
        net=rectangle_outline(one.line_mm, one.showing_mm, names),
        allowance_mm={**dict.fromkeys(tapes, one.allowance_mm), **dict.fromkeys(ends, one.under_mm)},
        edge_use=dict.fromkeys(names.values(), EdgeUse.SEAM),
        grain_deg=0.0,
        notches=tuple(Notch(edge, one.line_mm / 2) for edge in tapes),
        lines=(_parked(one),),
        bends=tuple(bends),
        is_bought=True,
        note=note,
    )


def _parked(one: SewnZip) -> PlacementLine:
    """The teeth under the parked slider, at the right end."""
    end_mm, across = one.line_mm - one.inset_mm, one.showing_mm / 2
    return PlacementLine("parked", (end_mm - one.parked_mm, across), (end_mm, across))


def tab_piece(one: SewnZip, *, key: str = "tab", caps: bool = False) -> Piece:
    """The pair of tabs, each unfolded: edges `side_one` (below), `end_over`, `side_two`, `end_under`, and its fold.

    The fold lies over the end of the tape, the raw ends in a seam; of tabs that cap a free end (`caps`), the fold lies
    beyond the tape, the ends are turned under.
    """
    names = {"bottom": "side_one", "right": "end_over", "top": "side_two", "left": "end_under"}
    sides, ends = ("side_one", "side_two"), ("end_over", "end_under")
    length, width = one.tab_mm, one.showing_mm
    return Piece(
        id=key,
        name="Zip tab",
        role="tab",
        net=rectangle_outline(TAB_FOLDS * length, width, names),
        allowance_mm={**dict.fromkeys(sides, one.allowance_mm), **dict.fromkeys(ends, one.under_mm)},
        edge_use=dict.fromkeys(names.values(), EdgeUse.SEAM),
        count=2,
        grain_deg=0.0,
        notches=tuple(Notch(side, length) for side in sides),
        lines=(PlacementLine("fold", (length, 0.0), (length, width)),),
        bends=(Bend((length, 0.0), (length, width), 180.0),),
        note=_CAP if caps else "Fold in half, wrong sides together; the fold goes over the end of the zip.",
    )


def zip_notions(one: SewnZip) -> tuple[NotionNeed, NotionNeed]:
    """What to buy: the chain by length, and a slider; or a ready-made zip, which has its own."""
    told = "with its ends under the tabs" if one.ends is ZipEnds.TABS else "with its ends in the seams"
    return (
        NotionNeed(
            role="zip_chain",
            name=f"Zip chain, {told}",
            count=1,
            length_mm=one.chain_mm,
            ready_made=ready_made_fit(one),
        ),
        NotionNeed(role="slider", name="Slider to fit the chain", count=1),
    )
