"""The folded card wallet: a cover and an inside of one shape, stepped card pockets on either half."""

from __future__ import annotations

from dataclasses import replace

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
from bagwright.drafting.measurements import COMMON_PRACTICE, Sizes, size_spec
from bagwright.drafting.quilting import quilting
from bagwright.drafting.roles import LINING, OUTER, POCKET
from bagwright.drafting.steps import Step, StitchLine
from bagwright.model.pattern import SeamKind, Stage
from bagwright.model.piece import Notch, Piece

GAP_SHARE = 0.5
LONGEST_GAP_MM = 101.6
HALF_OPEN_DEG = 55.0
"""How far each leaf is turned from flat where the wallet is shown: like a book, so that the pockets show."""


def begin_card_wallet(sizes: Sizes) -> Making:
    """Cover, inside and card pockets."""
    leaves = _leaves(sizes)
    pockets = CardPockets(leaves, round(sizes["card_pockets"]), sizes["pocket_step_mm"])
    cover, inside = leaves.cover(HALF_OPEN_DEG), _with_marks(leaves.inside(HALF_OPEN_DEG), pockets)
    return Making(
        pieces=(cover, inside, *pockets.pieces()),
        steps=(*pockets.steps(inside), *_rim_steps(rim_lines(cover, inside, pockets.caught_in_rim(inside)))),
        assembled=leaves.measures(sizes),
        panels=(leaves.panel(),),
    )


def _leaves(sizes: Sizes) -> Leaves:
    return Leaves(
        leaf_mm=sizes["closed_width_mm"],
        spine_mm=sizes["fold_ease_mm"],
        height_mm=sizes["height_mm"],
        radius_mm=sizes["corner_radius_mm"],
        allowance_mm=sizes["seam_allowance_mm"],
    )


def _with_marks(inside: Piece, pockets: CardPockets) -> Piece:
    gap = tuple(Notch("top", at) for at in _gap_in(inside.edge("top").length_mm))
    return replace(inside, notches=(*inside.notches, *gap), lines=(*inside.lines, *pockets.foot_lines()))


def _gap_in(length_mm: float) -> tuple[float, float]:
    half = min(length_mm * GAP_SHARE, LONGEST_GAP_MM) / 2
    return length_mm / 2 - half, length_mm / 2 + half


def _rim_steps(rim: dict[str, StitchLine]) -> tuple[Step, ...]:
    beside, gap = split(rim["top"], *_gap_in(rim["top"].length_mm))
    joined = (*beside, *(line for name, line in rim.items() if name != "top"))
    sew = "Sew cover and inside together all round, leaving a gap at the top"
    turn = "Turn right side out through the gap, press, and close it"
    return (
        Step("rim", sew, SeamKind.LOCKSTITCH, joined, stage=Stage.JOIN),
        Step("gap", turn, SeamKind.LOCKSTITCH, (gap,), stage=Stage.CLOSE),
        Step("edge", "Topstitch all round", SeamKind.TOPSTITCH, tuple(rim.values()), stage=Stage.CLOSE),
    )


CARD_WALLET = FormSpec(
    key="card_wallet",
    name="Folded card wallet",
    summary="A wallet that folds once, with stepped card pockets on both halves.",
    own_measurements=(
        closed_width_spec((70, 98.425, 160)),
        wallet_height_spec((50, 88.9, 200)),
        CARD_POCKETS,
        pocket_step_spec((6, 12.7, 20)),
        size_spec("corner_radius_mm", "Corner radius", "Rounding of the four corners; 0 for square.", (0, 6.35, 15)),
        size_spec("fold_ease_mm", "Fold ease", "Width of the spine between the two halves.", (2, 3.175, 12)),
        size_spec(
            "seam_allowance_mm",
            "Seam allowance",
            "Cloth outside the stitch line at every seam.",
            (4, 6.35, 12),
            source=COMMON_PRACTICE,
        ),
    ),
    begin=begin_card_wallet,
    own_rules=CARD_RULES,
    own_roles=(OUTER, LINING, POCKET),
    add_ons=(
        quilting(
            "cover",
            ("closed_width_mm", "height_mm", "fold_ease_mm"),
            lambda s: (2 * s["closed_width_mm"] + s["fold_ease_mm"], s["height_mm"]),
        ),
    ),
)
