"""A zip along the top of a closed body: between front and back, each of them an outer and a lining half sewn at once.

It ends at folded tabs, or runs on into the seams with stops before them. The chain is drawn with the front below.
"""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.drafting.boxed_panel import turning_gap_mm
from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.measurements import Sizes, too_large
from bagwright.drafting.steps import Step, StitchLine, against, along
from bagwright.drafting.zip_seams import tab_step, tape_line
from bagwright.drafting.zips import LEAST_OPENING_MM, ends_of, line_for_opening_mm, sewn_zip
from bagwright.errors import Problem
from bagwright.geometry.outline import Outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, Span, Stage
from bagwright.model.piece import EdgeUse, Notch, Piece
from bagwright.model.sewn_zip import SewnZip, ZipEnds


def zip_across(name: str, sizes: Sizes, lengths: Sequence[str]) -> SewnZip:
    """The zip along a top that is as long as those measurements together, less its tabs."""
    ends = ends_of(sizes)
    tabs_mm = 2 * sizes["tab_length_mm"] if ends is ZipEnds.TABS else 0.0
    return sewn_zip("zip_chain", name, sum(sizes[key] for key in lengths) - tabs_mm, sizes, ends=ends)


def tabs_rule(lengths: Sequence[str]) -> FitRule:
    """How long tabs may be beside a zip that can be reached through."""

    def judge(sizes: Sizes) -> Problem | None:
        line_mm = line_for_opening_mm(LEAST_OPENING_MM, ZipEnds.TABS, sizes["slider_parked_mm"])
        longest = (sum(sizes[key] for key in lengths) - line_mm) / 2
        said = "leaves a zip too short to reach through"
        return too_large(sizes, "tab_length_mm", longest, said) if ends_of(sizes) is ZipEnds.TABS else None

    return FitRule(("tab_length_mm", "slider_parked_mm", *lengths), judge)


def zipped_half(role: str, named: str, net: Outline, one: SewnZip, sizes: Sizes) -> Piece:
    """Front and back of outer or lining, sewn to the zip along `top`; notched at its ends, the middles and the gap."""
    is_lining, top, bottom = role == "lining", net.edge("top").length_mm, net.edge("bottom").length_mm
    half_gap = turning_gap_mm(bottom) / 2
    below = (bottom / 2 - half_gap, bottom / 2 + half_gap) if is_lining else (bottom / 2,)
    above = (one.tab_mm, top / 2, top - one.tab_mm) if one.tab_mm else (top / 2,)
    names = [edge.name for edge in net.edges]
    return Piece(
        id=role,
        name=f"{role.capitalize()} {named}",
        role=role,
        net=net,
        allowance_mm={name: sizes["zip_allowance_mm" if name == "top" else "seam_allowance_mm"] for name in names},
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
        notches=(*(Notch("bottom", at) for at in below), *(Notch("top", at) for at in above)),
        note="The outer notches at the top show where the tabs end." if one.tab_mm else "",
    )


def chain_note(one: SewnZip, bag: str) -> str:
    """How the chain lies."""
    before = "the tabs" if one.tab_mm else "the stops"
    return f"Closed, right side up, front of the {bag} below. Put the slider on before {before}."


def tab_measure(one: SewnZip) -> tuple[AssembledMeasure, ...]:
    """What shows of a tab, if there are any."""
    spans = (Span("tab", "side_one", 1 / 2),)
    return (AssembledMeasure(key="tab_length_mm", asked_mm=one.tab_mm, spans=spans),) if one.tab_mm else ()


def zip_across_steps(outer: Piece, lining: Piece, chain: Piece, tab: Piece | None) -> tuple[Step, ...]:
    """Tabs on, the zip between the halves of the front and of the back, topstitched."""
    stage, zipped, said = Stage.ZIPS, SeamKind.ZIP, "the zip and its tabs" if tab else "the zip"
    front, back = (_zip_line(outer, lining, chain, tab, copy) for copy in (1, 2))
    edge = "Press cloth away from the teeth; topstitch along the zip"
    return (
        *((tab_step(tab, chain),) if tab else ()),
        Step("zip-front", f"Sew {said} between front and front lining", zipped, (front,), stage=stage),
        Step("zip-back", f"Sew {said} between back and back lining", zipped, (back,), stage=stage),
        Step("zip-edge", edge, SeamKind.TOPSTITCH, (front, back), stage=stage),
    )


def _zip_line(outer: Piece, lining: Piece, chain: Piece, tab: Piece | None, copy: int) -> StitchLine:
    """Front (copy 1) or back (copy 2), in the outer's direction."""
    through = (along(outer, copy, "top"), against(lining, copy, "top"))
    return tape_line(through, chain, "tape_front" if copy == 1 else "tape_back", tab)
