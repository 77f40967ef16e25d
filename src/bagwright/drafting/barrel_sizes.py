"""What a barrel bag asks for, and what of it fits."""

from __future__ import annotations

import math

from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.measurements import (
    Choice,
    Room,
    Sizes,
    count_spec,
    size_spec,
    too_large,
)
from bagwright.drafting.round_end import strip_round_mm, too_tight_rule
from bagwright.drafting.size_specs import SEAM_ALLOWANCE, STRAP_KIND, STRAP_SPACING, STRAP_WIDTH
from bagwright.drafting.straps import LEAST_DROP_MM, spaced_strap_rules, strap_for_drop_mm
from bagwright.drafting.zip_across import tabs_rule, zip_across
from bagwright.drafting.zips import ends_spec, tab_length_spec, zip_specs
from bagwright.errors import Problem
from bagwright.model.sewn_zip import SewnZip

HANDLES, STRAP = Choice("carried", (0,)), Choice("carried", (1,))
USUAL_HANDLE_MM, USUAL_STRAP_MM = 457.2, 914.4
CLEAR_MM = 20.0
"""From a strap's end to the bottom of a half (common practice, no source)."""
BESIDE_STRAP_MM = 8.0
"""Cloth beside a strap's end on a round end (common practice, no source)."""


def barrel_zip(sizes: Sizes) -> SewnZip:
    """The zip along the top, from end to end of the barrel less its tabs."""
    return zip_across("Zip along the top", sizes, ("width_mm",))


def half_mm(sizes: Sizes) -> float:
    """From the zip down to the bottom seam: (pi d - z) / 2."""
    showing_mm = sizes["tape_width_mm"] - 2 * sizes["zip_allowance_mm"]
    return (strip_round_mm(sizes["diameter_mm"]) - showing_mm) / 2


def _down(sizes: Sizes) -> tuple[float, float]:
    """Handles end on a half; a strap where the round end is wide enough for it, above its middle."""
    if HANDLES.is_made(sizes):
        return 0.0, half_mm(sizes) - CLEAR_MM
    radius = sizes["diameter_mm"] / 2
    half = min(sizes["strap_width_mm"] / 2 + BESIDE_STRAP_MM, radius)
    return radius - math.sqrt(radius**2 - half**2), radius


def _length(sizes: Sizes) -> tuple[float, float]:
    """From its ends up to the top, and a hand's room between."""
    apart = sizes["strap_spacing_mm"] if HANDLES.is_made(sizes) else sizes["width_mm"]
    return 2 * sizes["strap_down_mm"] + strap_for_drop_mm(LEAST_DROP_MM, apart), 2000.0


def _usual_length(sizes: Sizes) -> float:
    return USUAL_HANDLE_MM if HANDLES.is_made(sizes) else USUAL_STRAP_MM


BARREL_SPECS = (
    size_spec("width_mm", "Width", "Finished length of the barrel, end to end.", (140, 279.4, 700)),
    size_spec("diameter_mm", "Diameter", "Finished diameter of the round ends, seam to seam.", (90, 165.1, 400)),
    count_spec(
        "carried",
        "Carried by",
        "Two handles on the body, or one strap from end to end.",
        (0, 0, 1),
        choices=("two handles", "one strap"),
    ),
    STRAP_KIND,
    STRAP_WIDTH,
    size_spec(
        STRAP_SPACING.key,
        STRAP_SPACING.label,
        STRAP_SPACING.meaning,
        (STRAP_SPACING.low_mm, 114.3, STRAP_SPACING.high_mm),
        needs=HANDLES,
    ),
    size_spec(
        "strap_down_mm",
        "Strap ends below the top",
        "From the zip down to the end of a handle, or from the top of a round end to that of the strap.",
        (15, 63.5, 300),
        room=Room(
            ("diameter_mm", "carried", "strap_width_mm", "tape_width_mm", "zip_allowance_mm"),
            _down,
            "leaves the strap no cloth beside it on the round end",
            "puts the strap's end too far down",
        ),
    ),
    size_spec(
        "strap_length_mm",
        "Strap length",
        "Length of one handle, or of the strap, end to end as stitched on.",
        (100, USUAL_HANDLE_MM, 1800),
        room=Room(
            ("width_mm", "carried", "strap_spacing_mm", "strap_down_mm"),
            _length,
            "does not reach over the top with room for a hand",
            "",
            _usual_length,
        ),
    ),
    ends_spec(),
    tab_length_spec(needs=Choice("zip_ends", (0,))),
    *zip_specs(),
    SEAM_ALLOWANCE,
)


def _strap_too_wide(sizes: Sizes) -> Problem | None:
    if HANDLES.is_made(sizes):
        return None
    widest = sizes["diameter_mm"] / 2
    return too_large(sizes, "strap_width_mm", widest, "is too wide for the round ends")


def _only_with_handles(rule: FitRule) -> FitRule:
    return FitRule(rule.keys, lambda sizes: rule.judge(sizes) if HANDLES.is_made(sizes) else None)


BARREL_RULES = (
    too_tight_rule("diameter_mm"),
    *(_only_with_handles(rule) for rule in spaced_strap_rules("width_mm")),
    FitRule(("strap_width_mm", "diameter_mm"), _strap_too_wide),
    tabs_rule(("width_mm",)),
)
