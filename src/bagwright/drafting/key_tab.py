"""A key tab: a short strip folded in four, then over a swivel hook or a ring, its ends caught in a side seam."""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Choice, MeasurementSpec, Room, Sizes, count_spec, length_said, size_spec
from bagwright.drafting.roles import KEY_HOOK, STRAP
from bagwright.drafting.side_seams import SideSeam, SideSeams
from bagwright.drafting.steps import Handling
from bagwright.drafting.straps import StrapEnd, looped, with_ends_caught, with_strip
from bagwright.drafting.strips import MadeStrip, Strip, StripKind, make_strip
from bagwright.model.pattern import AssembledMeasure, NotionNeed, Span, Stage

KEY_TAB = "key_tab"
INSIDE, OUTSIDE = 1, 2
CLEAR_BELOW_MM = 15.0
"""Seam left below the tab (common practice, no source)."""


def key_tab(seams: SideSeams) -> AddOn:
    """One tab in a side seam of the lining or of the outer."""

    def add(making: Making, sizes: Sizes) -> Making:
        return _with_tab(making, _seam(seams, sizes), sizes)

    return AddOn(key=KEY_TAB, name="Key tab", measurements=_specs(seams), add=add, roles=(STRAP, KEY_HOOK))


def _seam(seams: SideSeams, sizes: Sizes) -> SideSeam:
    return seams.inside if sizes[KEY_TAB] == INSIDE else seams.outside


def _specs(seams: SideSeams) -> tuple[MeasurementSpec, ...]:
    chosen, width = Choice(KEY_TAB), "key_tab_width_mm"

    def below(sizes: Sizes) -> tuple[float, float]:
        return 0.0, _seam(seams, sizes).free_mm(sizes) - sizes[width] - CLEAR_BELOW_MM

    keys = (KEY_TAB, width, *seams.inside.keys, *seams.outside.keys)
    return (
        count_spec(
            KEY_TAB,
            "Key tab",
            "A small strip with a swivel hook or a ring for keys, caught in a side seam.",
            (0, 0, OUTSIDE),
            choices=("none", "inside", "outside"),
        ),
        size_spec(width, "Key tab width", "Finished width of the strip.", (8, 12.7, 30), needs=chosen),
        size_spec(
            "key_tab_length_mm",
            "Key tab length",
            "From the seam to the fold that holds the hook or ring.",
            (15, 38.1, 150),
            needs=chosen,
        ),
        size_spec(
            "key_tab_below_mm",
            "Key tab below the top",
            "From the upper end of the side seam to the tab.",
            (10, 38.1, 300),
            needs=chosen,
            room=Room(tuple(dict.fromkeys(keys)), below, "", "puts the tab beyond the side seam"),
        ),
    )


def _with_tab(making: Making, seam: SideSeam, sizes: Sizes) -> Making:
    made = _strip(sizes)
    line, low = making.line(seam.where), sizes["key_tab_below_mm"]
    place = (low, low + sizes["key_tab_width_mm"])
    if seam.runs_up:
        place = (line.length_mm - place[1], line.length_mm - place[0])
    ends = looped(made, 1, StrapEnd(seam.where, place))
    spans = {"key_tab_width_mm": made.width_span(), "key_tab_length_mm": Span(KEY_TAB, "long_left", 0.5)}
    return with_ends_caught(with_strip(making, made), ends, word="the key tab", basted_to=seam.said).having(
        assembled=[AssembledMeasure(key=key, asked_mm=sizes[key], spans=(span,)) for key, span in spans.items()]
    )


def _strip(sizes: Sizes) -> MadeStrip:
    """The strip, made up with its hook; keys weigh little, so it takes no caution for loads."""
    asked = Strip(
        key=KEY_TAB,
        said="key tab",
        width_mm=sizes["key_tab_width_mm"],
        length_mm=2 * sizes["key_tab_length_mm"],
        end_allowance_mm=sizes["seam_allowance_mm"],
        seam_allowance_mm=sizes["seam_allowance_mm"],
    )
    made, wide = make_strip(asked, StripKind.FOLDED), length_said(asked.width_mm)
    hang = Handling(
        f"{KEY_TAB}-hook", "Slide the hook or ring onto the key tab; fold the tab in half", stage=Stage.PARTS
    )
    need = NotionNeed(role=KEY_HOOK.key, name=f"Swivel hook or ring for a tab {wide} wide", count=1)
    return replace(made, steps=(*made.steps, hang), notions=(need,), cautions=(cautions.SLIDER,))
