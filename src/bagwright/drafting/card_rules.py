"""What a wallet with card pockets asks for, and what keeps a card from going in or lets it stand out."""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting.card_pockets import SLANT_SHARE
from bagwright.drafting.cards import (
    CARD_HEIGHT_MM,
    CARD_SIDE_EASE_MM,
    CARD_SOURCE,
    CARD_TOP_EASE_MM,
    CARD_WIDTH_MM,
    corner_lift_mm,
    pocket_height_mm,
    roundest_corner_mm,
)
from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.measurements import MeasurementSpec, Sizes, count_spec, size_spec, too_large, too_small
from bagwright.errors import Problem

LEAST_RADIUS_MM = 1.0
LEAST_SIDE_MM = 5.0
"""Straight side of the front pocket above its round corner."""

LowDefaultHigh = tuple[float, float, float]


def closed_width_spec(low_default_high_mm: LowDefaultHigh) -> MeasurementSpec:
    """Width of one leaf."""
    said = "Finished width of the folded wallet, outer edge to the start of the spine."
    return size_spec("closed_width_mm", "Closed width", said, low_default_high_mm, source=CARD_SOURCE)


def wallet_height_spec(low_default_high_mm: LowDefaultHigh) -> MeasurementSpec:
    """Height of the wallet."""
    said = "Finished height, bottom to top."
    return size_spec("height_mm", "Height", said, low_default_high_mm, source=CARD_SOURCE)


def pocket_step_spec(low_default_high_mm: LowDefaultHigh) -> MeasurementSpec:
    """How far one pocket shows above the next."""
    said = "How far each card and each pocket shows above the next."
    return size_spec("pocket_step_mm", "Pocket step", said, low_default_high_mm)


CARD_POCKETS = count_spec(
    "card_pockets", "Card pockets each side", "How many cards go into each half, one behind the other.", (1, 3, 4)
)


def _card_too_wide(sizes: Sizes) -> Problem | None:
    least = CARD_WIDTH_MM + CARD_SIDE_EASE_MM
    return too_small(sizes, "closed_width_mm", least, "is too narrow for a card to go in")


def _card_too_tall(sizes: Sizes) -> Problem | None:
    steps = (sizes["card_pockets"] - 1) * sizes["pocket_step_mm"]
    room = sizes["closed_width_mm"] - CARD_WIDTH_MM
    # Only in the front pocket does the card come down on a rounded corner; where it is the only one, it counts.
    lift = 0.0 if steps or room < CARD_SIDE_EASE_MM else corner_lift_mm(sizes["corner_radius_mm"], room)
    least = steps + lift + CARD_HEIGHT_MM + CARD_TOP_EASE_MM
    return too_small(sizes, "height_mm", least, "lets the card in the last pocket stand above the cover")


def _corner_holds_card_up(sizes: Sizes) -> Problem | None:
    room = sizes["closed_width_mm"] - CARD_WIDTH_MM
    if room < CARD_SIDE_EASE_MM:
        return None
    roundest = roundest_corner_mm(room)
    return too_large(sizes, "corner_radius_mm", roundest, "keeps a card from going down into the front pocket")


def _corner_too_small(sizes: Sizes) -> Problem | None:
    if sizes["corner_radius_mm"] == 0:
        return None
    problem = too_small(sizes, "corner_radius_mm", LEAST_RADIUS_MM, "is too small to turn")
    return problem and replace(problem, allowed=f"{problem.allowed}; or 0 for square corners")


def _corner_cuts_pockets(sizes: Sizes) -> Problem | None:
    if sizes["card_pockets"] < 2:
        return None
    return too_large(sizes, "corner_radius_mm", sizes["pocket_step_mm"], "cuts into the second card pocket")


def _corner_cuts_slant(sizes: Sizes) -> Problem | None:
    side = (1 - SLANT_SHARE) * pocket_height_mm(sizes["pocket_step_mm"])
    return too_large(sizes, "corner_radius_mm", side - LEAST_SIDE_MM, "reaches the slanted top of the front pocket")


CARD_RULES = (
    FitRule(("closed_width_mm",), _card_too_wide),
    FitRule(("height_mm", "card_pockets", "pocket_step_mm", "closed_width_mm", "corner_radius_mm"), _card_too_tall),
    FitRule(("corner_radius_mm",), _corner_too_small),
    FitRule(("corner_radius_mm", "closed_width_mm"), _corner_holds_card_up),
    FitRule(("corner_radius_mm", "card_pockets", "pocket_step_mm"), _corner_cuts_pockets),
    FitRule(("corner_radius_mm", "pocket_step_mm"), _corner_cuts_slant),
)
