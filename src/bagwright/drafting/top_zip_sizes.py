"""What a zip across the top asks for: its zip, how far it opens, and its bands or its recess."""

from __future__ import annotations

import math
from collections.abc import Callable

from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.measurements import (
    ROUNDING_MM,
    Choice,
    MeasurementSpec,
    Room,
    Sizes,
    count_spec,
    no_room,
    size_spec,
    too_large,
    too_small,
)
from bagwright.drafting.recess import BANDS, RECESSED, TOP_ZIP
from bagwright.drafting.zip_bands import LEAST_BAND_MM
from bagwright.drafting.zips import LEAST_OPENING_MM, tab_length_spec, zip_specs
from bagwright.errors import Problem

PREFIX = "top_"
OPENING = f"{PREFIX}opening_mm"
ENDS_OF_BAND = (TOP_ZIP, OPENING, f"{PREFIX}tab_length_mm", f"{PREFIX}slider_parked_mm")
TENTH_MM = 0.1
"""Sizes that fit are told to a tenth."""
OFF_CORNER_MM = 6.0
"""From the end of a band to the corner of the bag (common practice, no source)."""
LEAST_TAB_MM = 10.0
LEAST_RECESS_MM = 20.0
DEEPEST_SHARE = 1 / 3
"""How far into the bag a zip between bands may hang, of its height."""

LeastBelow = Callable[[Sizes], float]


def top_zip_specs(least_below: LeastBelow, keys: tuple[str, ...]) -> tuple[MeasurementSpec, ...]:
    """The choice that adds it, and its sizes.

    `least_below` is the lowest lining that a recess may leave, which depends on `keys`.
    """
    chosen, banded, recessed = Choice(TOP_ZIP), Choice(TOP_ZIP, (BANDS,)), Choice(TOP_ZIP, (RECESSED,))
    return (
        count_spec(
            TOP_ZIP,
            "Zip across the top",
            "Between two bands at the top edge, or recessed: let into the lining below a facing.",
            (0, 0, 2),
            choices=("none", "bands", "recessed"),
        ),
        *zip_specs(PREFIX, needs=chosen),
        tab_length_spec(PREFIX, needs=banded),
        size_spec(
            OPENING,
            "Zip opening",
            "How far the zip across the top opens.",
            (LEAST_OPENING_MM, 254, 900),
            needs=chosen,
            room=_opening_room(),
        ),
        size_spec(
            "band_width_mm",
            "Zip band width",
            "Finished width of each band; wider than it takes to reach across, the zip hangs into the bag.",
            (LEAST_BAND_MM, 38.1, 300),
            needs=banded,
            room=_band_room(),
        ),
        size_spec(
            "recess_mm",
            "Recess",
            "From the top edge down to the zip.",
            (LEAST_RECESS_MM, 50.8, 300),
            needs=recessed,
            room=_recess_room(least_below, keys),
        ),
    )


def _opening_room() -> Room:
    """A zip between bands ends short of the corners; a recessed one ends at tabs that reach them."""
    return Room(
        (TOP_ZIP, "width_mm", f"{PREFIX}tab_length_mm", f"{PREFIX}slider_parked_mm"),
        _opening_limits_mm,
        "leaves too little to reach through",
        "is longer than the top of the bag has room for",
        _usual_opening_mm,
    )


def _beyond_opening_mm(sizes: Sizes) -> float:
    """What a band is longer than the opening."""
    return sizes[f"{PREFIX}slider_parked_mm"] + 2 * sizes[f"{PREFIX}tab_length_mm"]


def _opening_limits_mm(sizes: Sizes) -> tuple[float, float]:
    # Until it is chosen, what fits either kind.
    if sizes[TOP_ZIP] != RECESSED:
        return LEAST_OPENING_MM, sizes["width_mm"] - _beyond_opening_mm(sizes) - 2 * OFF_CORNER_MM
    return LEAST_OPENING_MM, sizes["width_mm"] - sizes[f"{PREFIX}slider_parked_mm"] - 2 * LEAST_TAB_MM


def _usual_opening_mm(sizes: Sizes) -> float:
    """As long as there is room for; of a band that would end within a strap end, as long as fits between the straps."""
    longest = _opening_limits_mm(sizes)[1]
    if sizes[TOP_ZIP] != RECESSED and "strap_spacing_mm" in sizes:
        shorter, longer = _openings_within_mm("strap", sizes)
        return shorter if shorter < longest < longer else longest
    return longest


def _openings_within_mm(what: str, sizes: Sizes) -> tuple[float, float]:
    """Openings with which the bands would end within the ends of a strap or handle lie between these two."""
    inner, outer = (sizes[f"{what}_spacing_mm"] + way * sizes[f"{what}_width_mm"] for way in (-1, 1))
    return inner - _beyond_opening_mm(sizes), outer - _beyond_opening_mm(sizes)


def beside_ends(what: str, count: str = "") -> FitRule:
    """The ends of the bands lie beside those of a strap or handle: within one the seam is too thick to sew.

    `count` is the choice that adds it, if it is not always there.
    """
    told = f"ends the zip bands within the {what} ends, where it is too thick to sew"

    def judge(sizes: Sizes) -> Problem | None:
        if sizes[TOP_ZIP] != BANDS or (count and not sizes[count]):
            return None
        (shorter, longer), (low, high) = _openings_within_mm(what, sizes), _opening_limits_mm(sizes)
        if not shorter + ROUNDING_MM < sizes[OPENING] < longer - ROUNDING_MM:
            return None
        if longer + TENTH_MM <= high:
            return too_small(sizes, OPENING, longer, told)
        return too_large(sizes, OPENING, shorter, told) if shorter - TENTH_MM >= low else no_room(sizes, TOP_ZIP, told)

    keys = (*ENDS_OF_BAND, f"{what}_spacing_mm", f"{what}_width_mm")
    return FitRule((*keys, count) if count else keys, judge)


def flat_band_mm(sizes: Sizes) -> float:
    """Width of a band with which two of them and the zip lie flat across the depth."""
    showing_mm = sizes[f"{PREFIX}tape_width_mm"] - 2 * sizes[f"{PREFIX}zip_allowance_mm"]
    return (sizes["depth_mm"] - showing_mm) / 2


_ACROSS = ("depth_mm", f"{PREFIX}tape_width_mm", f"{PREFIX}zip_allowance_mm")
_NONE = (1.0, 0.0)


def _band_room() -> Room:
    """At least what lies flat across the depth, at most what hangs a third of the height into the bag."""

    def limits_mm(sizes: Sizes) -> tuple[float, float]:
        flat = flat_band_mm(sizes)
        return (flat, math.hypot(flat, DEEPEST_SHARE * sizes["height_mm"])) if flat >= LEAST_BAND_MM else _NONE

    return Room(
        (*_ACROSS, "height_mm"),
        limits_mm,
        "is too narrow to reach across the depth of the bag",
        "does not fit into the top of the bag",
        lambda sizes: limits_mm(sizes)[0],
    )


def _recess_room(least_below: LeastBelow, keys: tuple[str, ...]) -> Room:
    def limits_mm(sizes: Sizes) -> tuple[float, float]:
        fits = flat_band_mm(sizes) >= LEAST_BAND_MM
        return (LEAST_RECESS_MM, sizes["height_mm"] - least_below(sizes)) if fits else _NONE

    small, large = "is too little for a hand to find the slider", "does not fit into the top of the bag"
    return Room((*_ACROSS, "height_mm", *keys), limits_mm, small, large)
