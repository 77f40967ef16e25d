"""The zip-round wallet: the folded wallet, with a zip round three sides of both its leaves."""

from __future__ import annotations

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
from bagwright.drafting.form_spec import AddOn, FormSpec
from bagwright.drafting.handles import SeamPlace, hanging_loop
from bagwright.drafting.leaves import Leaves, rim_lines
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Room, Sizes, size_spec
from bagwright.drafting.quilting import quilting
from bagwright.drafting.roles import LINING, OUTER, POCKET, SLIDER, ZIP_CHAIN
from bagwright.drafting.zip_rim import CLOSED_DEG, SPINE_TOP, SQUARE_EASE, ZipRim, rim_mm
from bagwright.drafting.zips import sewn_zip, zip_notions, zip_specs
from bagwright.model.pattern import AssembledMeasure, Span
from bagwright.model.piece import Notch
from bagwright.model.sewn_zip import SewnZip, ZipEnds

ROUNDEST_EASE = 0.9
"""Most of what takes the zip square round a corner that can be eased in there (common practice, no source)."""
LOOP_CLEAR_MM = 1.0


def begin_zip_round_wallet(sizes: Sizes) -> Making:
    """Cover, inside, card pockets and the zip between them."""
    leaves, one = _leaves(sizes), wallet_zip(sizes)
    pockets = CardPockets(leaves, round(sizes["card_pockets"]), sizes["pocket_step_mm"])
    cover, inside = leaves.cover(CLOSED_DEG), leaves.inside(CLOSED_DEG)
    zip_rim = ZipRim(leaves, one, sizes["tape_ease_mm"])
    gap = tuple(Notch("top", at) for at in zip_rim.gap_in_top())
    inside = replace(inside, notches=(*inside.notches, *gap), lines=(*inside.lines, *pockets.foot_lines()))
    chain, rim = zip_rim.chain(), rim_lines(cover, inside, pockets.caught_in_rim(inside))
    return Making(
        pieces=(cover, inside, *pockets.pieces(), chain),
        steps=(*pockets.steps(inside), *zip_rim.steps(rim, chain)),
        assembled=(*leaves.measures(sizes), _ease_measure(sizes)),
        panels=(leaves.panel(),),
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )


def _leaves(sizes: Sizes) -> Leaves:
    return Leaves(
        leaf_mm=sizes["closed_width_mm"],
        spine_mm=_spine_mm(sizes),
        height_mm=sizes["height_mm"],
        radius_mm=sizes["corner_radius_mm"],
        allowance_mm=sizes["zip_allowance_mm"],
    )


def _spine_mm(sizes: Sizes) -> float:
    return sizes["tape_width_mm"] - 2 * sizes["zip_allowance_mm"]


def wallet_zip(sizes: Sizes) -> SewnZip:
    """The zip: as long as the rim of a leaf, and longer by what is eased in at both its corners."""
    line = rim_mm(sizes["closed_width_mm"], sizes["height_mm"], sizes["corner_radius_mm"]) + 2 * sizes["tape_ease_mm"]
    return sewn_zip("zip_chain", "Zip round three sides", line, _with_one_allowance(sizes), ends=ZipEnds.STOPS)


def _with_one_allowance(sizes: Sizes) -> Sizes:
    """All round there is one allowance, that of the zip: so much of its tape, or of a loop, goes under at the spine."""
    return {**sizes, "seam_allowance_mm": sizes["zip_allowance_mm"]}


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


def _wrist_loop() -> AddOn:
    """In the upper end of the spine, between the two halves of the zip."""
    loop = hanging_loop(
        SeamPlace(
            where=f"rim:{SPINE_TOP}",
            said="the upper end of the spine",
            keys=("tape_width_mm", "zip_allowance_mm"),
            free_mm=lambda sizes: (LOOP_CLEAR_MM, _spine_mm(sizes) - LOOP_CLEAR_MM),
        ),
        usual_mm=152.4,
        said="A loop for the wrist",
    )
    return replace(loop, add=lambda making, sizes: loop.add(making, _with_one_allowance(sizes)))


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
    add_ons=(
        _wrist_loop(),
        quilting(
            "cover",
            ("closed_width_mm", "height_mm", "tape_width_mm", "zip_allowance_mm"),
            lambda sizes: (2 * sizes["closed_width_mm"] + _spine_mm(sizes), sizes["height_mm"]),
        ),
    ),
)
