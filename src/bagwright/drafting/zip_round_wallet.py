"""The zip-round wallet: the folded wallet, with a zip along bottom, outer side and top of both its leaves.

The chain is drawn closed, seen from outside the closed wallet: `tape_front` lies along the right leaf as seen from
inside, from the spine's lower end to its upper end, `tape_back` along the left one. The spine is as wide as the zip
shows; the tape's ends are sewn into it. Extra tape e that is eased in at a corner of radius r lets the zip run wider
round it, at a smaller radius q between straight ends: e = (2 - pi / 2) (r - q), derived; at most square round it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.card_pockets import CardPockets
from bagwright.drafting.card_rules import (
    CARD_POCKETS,
    CARD_RULES,
    closed_width_spec,
    pocket_step_spec,
    wallet_height_spec,
)
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.leaves import Leaves, rim_lines
from bagwright.drafting.lined_bag import split
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Room, Sizes, size_spec
from bagwright.drafting.roles import LINING, OUTER, POCKET, SLIDER, ZIP_CHAIN
from bagwright.drafting.steps import Step, StitchLine, along
from bagwright.drafting.zips import chain_piece, sewn_zip, zip_notions, zip_specs
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, Notch, Piece
from bagwright.model.sewn_zip import SewnZip, ZipEnds

CLOSED_DEG = 90.0
SQUARE_EASE = 2 - math.pi / 2
"""Way round a square corner less that round an arc in it, over the arc's radius."""
ROUNDEST_EASE = 0.9
LONGEST_GAP_MM = 101.6
GAP_CLEAR_MM = 10.0
RIGHT = ("bottom", "corner_bottom_right", "right", "corner_top_right", "top")
LEFT = ("top", "corner_top_left", "left", "corner_bottom_left", "bottom")
"""Edges of the inside that the two tapes lie along, as they run; of the first and the last only as far as the spine."""


def begin_zip_round_wallet(sizes: Sizes) -> Making:
    """Cover, inside, card pockets and the zip between them."""
    leaves, one = _leaves(sizes), wallet_zip(sizes)
    pockets = CardPockets(leaves, round(sizes["card_pockets"]), sizes["pocket_step_mm"])
    cover, inside, chain = leaves.cover(CLOSED_DEG), leaves.inside(CLOSED_DEG), _chain(one, leaves, sizes)
    inside = replace(inside, lines=(*inside.lines, *pockets.foot_lines()))
    rim = rim_lines(cover, inside, pockets.caught_in_rim(inside))
    return Making(
        pieces=(cover, inside, *pockets.pieces(), chain),
        steps=(*pockets.steps(inside), *_zip_steps(rim, chain, leaves, sizes)),
        assembled=(*leaves.measures({key: sizes[key] for key in sizes if key != "fold_ease_mm"}), _ease_measure(sizes)),
        panels=(leaves.panel(),),
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )


def _leaves(sizes: Sizes) -> Leaves:
    return Leaves(
        leaf_mm=sizes["closed_width_mm"],
        spine_mm=sizes["tape_width_mm"] - 2 * sizes["zip_allowance_mm"],
        height_mm=sizes["height_mm"],
        radius_mm=sizes["corner_radius_mm"],
        allowance_mm=sizes["zip_allowance_mm"],
    )


def rim_mm(leaf_mm: float, height_mm: float, radius_mm: float) -> float:
    """The way round three sides of a leaf from spine to spine: 2 w + h - 4 r + pi r (derived).

    >>> round(rim_mm(20, 30, 5), 3)
    65.708
    """
    return 2 * leaf_mm + height_mm - 4 * radius_mm + math.pi * radius_mm


def wallet_zip(sizes: Sizes) -> SewnZip:
    """The zip: as long as the rim of a leaf, and longer by what is eased in at both its corners."""
    line = rim_mm(sizes["closed_width_mm"], sizes["height_mm"], sizes["corner_radius_mm"]) + 2 * sizes["tape_ease_mm"]
    # All round there is one allowance, that of the zip; so much of its tape goes under at the spine.
    under = {**sizes, "seam_allowance_mm": sizes["zip_allowance_mm"]}
    return sewn_zip("zip_chain", "Zip round three sides", line, under, ends=ZipEnds.STOPS)


def _chain(one: SewnZip, leaves: Leaves, sizes: Sizes) -> Piece:
    """Its corners are notched on both tapes, and bent there."""
    _, start, end, *_ = _ends_mm(leaves, sizes)
    places = (start, end, one.line_mm - end, one.line_mm - start)
    bends = tuple(
        Bend((x, 0.0), (x, one.showing_mm), CLOSED_DEG, leaves.radius_mm - sizes["tape_ease_mm"] / SQUARE_EASE)
        for x in ((start + end) / 2, one.line_mm - (start + end) / 2)
    )
    told = "Put the slider on before the stops; ease the tape in between the notches at the corners."
    note = f"Closed, right side up, its lower end at the left. {told}"
    chain = chain_piece(one, note=note, bends=bends)
    corners = tuple(Notch(edge, at) for edge in ("tape_front", "tape_back") for at in places)
    return replace(chain, notches=(*chain.notches, *corners))


def _ends_mm(leaves: Leaves, sizes: Sizes) -> list[float]:
    """Places along a tape where it goes from one edge of a leaf to the next."""
    straight, arc = leaves.leaf_mm - leaves.radius_mm, math.pi * leaves.radius_mm / 2 + sizes["tape_ease_mm"]
    upright = leaves.height_mm - 2 * leaves.radius_mm
    return list(itertools.accumulate((straight, arc, upright, arc, straight), initial=0.0))


def _with_tape(lines: Sequence[StitchLine], chain: Piece, tape: str, leaves: Leaves, sizes: Sizes) -> list[StitchLine]:
    """One leaf's rim with a tape along it, eased in at the corners."""
    ends = _ends_mm(leaves, sizes)
    eased = []
    for number, (line, (start, end)) in enumerate(zip(lines, itertools.pairwise(ends), strict=True)):
        ease = sizes["tape_ease_mm"] if number % 2 else 0.0
        side = SeamSide(chain.id, 1, tape, start, end, ease_mm=ease)
        eased.append(StitchLine((*line.through, side), line.caught))
    return eased


def _zip_steps(rim: Mapping[str, StitchLine], chain: Piece, leaves: Leaves, sizes: Sizes) -> tuple[Step, ...]:
    first, last = leaves.spine_in_edges_mm
    whole = last + first
    parts = {
        "right": [rim["bottom"].part(last, whole), *(rim[edge] for edge in RIGHT[1:-1]), rim["top"].part(0.0, first)],
        "left": [rim["top"].part(last, whole), *(rim[edge] for edge in LEFT[1:-1]), rim["bottom"].part(0.0, first)],
    }
    right = _with_tape(parts["right"], chain, "tape_front", leaves, sizes)
    left = _with_tape(parts["left"], chain, "tape_back", leaves, sizes)
    spine = [
        StitchLine((*rim[edge].part(first, last).through, along(chain, 1, end)))
        for edge, end in (("bottom", "end_left"), ("top", "end_right"))
    ]
    half = min(first - 2 * GAP_CLEAR_MM, LONGEST_GAP_MM) / 2
    beside, gap = split(right[-1], first / 2 - half, first / 2 + half)
    return _sewn([*right, *left], (*right[:-1], *beside, *left, *spine), gap, spine)


def _sewn(
    taped: Sequence[StitchLine], joined: Sequence[StitchLine], gap: StitchLine, spine: Sequence[StitchLine]
) -> tuple[Step, ...]:
    """The tapes held on the cover, the inside sewn over them, turned, topstitched."""
    held = tuple(StitchLine(line.through[1:]) for line in (*taped, *spine))
    hold = (
        "Open the zip; baste one tape to each leaf of the cover, right sides together, eased in and clipped at the "
        "corners; turn its ends in at the spine"
    )
    sew = "Lay the inside over it, right sides together; sew all round, leaving a gap at the top"
    turn = "Turn right side out through the gap, press, and close it"
    return (
        Step("tape", hold, SeamKind.BASTE, held, stage=Stage.ZIPS),
        Step("rim", sew, SeamKind.ZIP, tuple(joined), stage=Stage.JOIN),
        Step("gap", turn, SeamKind.ZIP, (gap,), stage=Stage.CLOSE),
        Step("edge", "Topstitch all round beside the zip", SeamKind.TOPSTITCH, tuple(taped), stage=Stage.CLOSE),
    )


def _ease_measure(sizes: Sizes) -> AssembledMeasure:
    """What the tape has over the rim, at each of its two corners."""
    rim = ("bottom", "corner_bottom_right", "right", "corner_top_right")
    spans = (
        Span("zip_chain", "tape_front", 0.5),
        *(Span("inside", edge, -0.5) for edge in rim),
        Span("inside", "spine_width", 0.5),
    )
    return AssembledMeasure(key="tape_ease_mm", asked_mm=sizes["tape_ease_mm"], spans=spans)


def _square_round_corner(sizes: Sizes) -> tuple[float, float]:
    return 0.0, ROUNDEST_EASE * SQUARE_EASE * sizes["corner_radius_mm"]


ZIP_ROUND_WALLET = FormSpec(
    key="zip_round_wallet",
    name="Zip-round wallet",
    summary="A wallet that folds once and zips shut round three sides, with stepped card pockets on both halves.",
    own_measurements=(
        closed_width_spec((90, 114.3, 160)),
        wallet_height_spec((70, 101.6, 200)),
        CARD_POCKETS,
        pocket_step_spec((10, 12.7, 25)),
        size_spec("corner_radius_mm", "Corner radius", "Rounding that the zip goes round.", (10, 12.7, 25)),
        *zip_specs(),
        size_spec(
            "tape_ease_mm",
            "Ease at the corners",
            "Tape over the length of the seam at each corner, so that the zip does not pull it in.",
            (0, 3.175, 10),
            source=COMMON_PRACTICE,
            room=Room(
                ("corner_radius_mm",), _square_round_corner, "", "is more than takes the zip square round the corner"
            ),
        ),
    ),
    begin=begin_zip_round_wallet,
    own_rules=CARD_RULES,
    own_roles=(OUTER, LINING, POCKET, ZIP_CHAIN, SLIDER),
)
