"""The lined zip pouch: outer and lining held by one zip across the top, flat or with boxed corners.

The zip lies flat between front and back; at its ends a folded tab, or its own tape, lies in the side seams. Bends show
it folded along its teeth, as it is where it is sewn in.
"""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import (
    box_rules,
    boxed_panel_outline,
    boxed_shell_steps,
    closed_top_bends,
    face_panel,
    shell_measures,
    turning_gap_mm,
)
from bagwright.drafting.faces import closed_faces
from bagwright.drafting.form_spec import FitRule, FormSpec
from bagwright.drafting.handles import up_the_side, wrist_loop
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Choice, Sizes, size_spec, too_large
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import boxed_quilting
from bagwright.drafting.roles import LINING, OUTER, SLIDER, TAB, ZIP_CHAIN
from bagwright.drafting.side_seams import boxed_side_seams
from bagwright.drafting.steps import Step, StitchLine, against, along
from bagwright.drafting.zip_seams import folded_ends, tab_step, tape_line
from bagwright.drafting.zips import (
    LEAST_OPENING_MM,
    chain_piece,
    ends_of,
    ends_spec,
    line_for_opening_mm,
    sewn_zip,
    tab_length_spec,
    tab_piece,
    zip_notions,
    zip_specs,
)
from bagwright.errors import Problem
from bagwright.model.pattern import AssembledMeasure, SeamKind, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece
from bagwright.model.sewn_zip import SewnZip, ZipEnds

DEEPEST_SHARE = 1.8
"""Depth over height. The pouch stands sqrt(H^2 - D^2 / 4) high; at a depth of twice its height it lies flat."""


def pouch_zip(sizes: Sizes) -> SewnZip:
    """The zip across the top, which is as long from side seam to side seam as width and depth together.

    >>> sizes = ZIP_POUCH.defaults() | {"width_mm": 220, "depth_mm": 0, "tab_length_mm": 20}
    >>> pouch_zip(sizes).line_mm, pouch_zip(sizes).opening_mm
    (180, 168.0)
    """
    ends = ends_of(sizes)
    tabs_mm = 2 * sizes["tab_length_mm"] if ends is ZipEnds.TABS else 0.0
    line_mm = sizes["width_mm"] + sizes["depth_mm"] - tabs_mm
    return sewn_zip("zip_chain", "Zip across the top", line_mm, sizes, ends=ends)


def begin_zip_pouch(sizes: Sizes) -> Making:
    """Panels, zip, and tabs if there are any."""
    one = pouch_zip(sizes)
    outer, lining = _panel("outer", sizes), _panel("lining", sizes)
    chain, tab = _chain(one), _tab(one) if one.ends is ZipEnds.TABS else None
    lining_steps, gap = boxed_shell_steps(lining, with_gap=True)
    measures = shell_measures(outer, sizes)
    if tab:
        spans = (Span("tab", "side_one", 1 / 2),)
        measures = (*measures, AssembledMeasure(key="tab_length_mm", asked_mm=one.tab_mm, spans=spans))
    return Making(
        pieces=(outer, lining, *([tab] if tab else []), chain),
        steps=(*_zip_steps(outer, lining, chain, tab), *_outer_steps(outer, chain, tab), *lining_steps),
        gap=gap,
        assembled=measures,
        panels=(face_panel(sizes),),
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )


def _panel(role: str, sizes: Sizes) -> Piece:
    net, one = boxed_panel_outline(sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"]), pouch_zip(sizes)
    names = [edge.name for edge in net.edges]
    is_lining, top = role == "lining", net.edge("top").length_mm
    middle, half_gap = sizes["width_mm"] / 2, turning_gap_mm(sizes["width_mm"]) / 2
    bottom = (middle - half_gap, middle + half_gap) if is_lining else (middle,)
    at_top = (one.tab_mm, top / 2, top - one.tab_mm) if one.tab_mm else (top / 2,)
    return Piece(
        id=role,
        name="Lining panel" if is_lining else "Outer panel",
        role=role,
        net=net,
        allowance_mm={name: sizes["zip_allowance_mm" if name == "top" else "seam_allowance_mm"] for name in names},
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
        notches=(*(Notch("bottom", at) for at in bottom), *(Notch("top", at) for at in at_top)),
        bends=closed_top_bends(sizes, is_lining=is_lining),
        note="The outer notches at the top show where the tabs end." if one.tab_mm else "",
    )


def _chain(one: SewnZip) -> Piece:
    middle = one.showing_mm / 2
    before = "the tabs" if one.tab_mm else "the stops"
    note = f"Closed, right side up, front of the pouch below. Put the slider on before {before}."
    return chain_piece(one, note=note, bends=(Bend((0.0, middle), (one.line_mm, middle), 180.0),))


def _tab(one: SewnZip) -> Piece:
    """Folded across and, with the zip, along its teeth: there the layer below has its right side inwards."""
    length, width, middle = one.tab_mm, one.showing_mm, one.showing_mm / 2
    bends = (
        Bend((length, 0.0), (length, middle), 180.0),
        Bend((length, middle), (length, width), 180.0),
        Bend((0.0, middle), (length, middle), -180.0),
        Bend((length, middle), (2 * length, middle), 180.0),
    )
    return replace(tab_piece(one), bends=bends)


def _zip_steps(outer: Piece, lining: Piece, chain: Piece, tab: Piece | None) -> list[Step]:
    stage, zipped, said = Stage.ZIPS, SeamKind.ZIP, "the zip and its tabs" if tab else "the zip"
    front, back = (_zip_line(outer, lining, chain, tab, copy) for copy in (1, 2))
    edge = "Press cloth away from the teeth; topstitch along the zip"
    return [
        *([tab_step(tab, chain)] if tab else []),
        Step("zip-front", f"Sew {said} between front and front lining", zipped, (front,), stage=stage),
        Step("zip-back", f"Sew {said} between back and back lining", zipped, (back,), stage=stage),
        Step("zip-edge", edge, SeamKind.TOPSTITCH, (front, back), stage=stage),
    ]


def _zip_line(outer: Piece, lining: Piece, chain: Piece, tab: Piece | None, copy: int) -> StitchLine:
    """Front (copy 1) or back (copy 2), in the outer's direction."""
    through = (along(outer, copy, "top"), against(lining, copy, "top"))
    return tape_line(through, chain, "tape_front" if copy == 1 else "tape_back", tab)


def _outer_steps(outer: Piece, chain: Piece, tab: Piece | None) -> list[Step]:
    sides, *others = boxed_shell_steps(outer)[0]
    across = "folded tab ends" if tab else "zip's ends beyond its stops"
    name = f"Open the zip; sew the sides of the outer, across the {across}"
    return [replace(sides, name=name, lines=(*sides.lines, *folded_ends(chain, tab))), *others]


def _tabs_too_long(sizes: Sizes) -> Problem | None:
    line_mm = line_for_opening_mm(LEAST_OPENING_MM, ZipEnds.TABS, sizes["slider_parked_mm"])
    longest = (sizes["width_mm"] + sizes["depth_mm"] - line_mm) / 2
    said = "leaves a zip too short to reach through"
    return too_large(sizes, "tab_length_mm", longest, said) if ends_of(sizes) is ZipEnds.TABS else None


def _too_deep_to_close(sizes: Sizes) -> Problem | None:
    deepest = DEEPEST_SHARE * sizes["height_mm"]
    return too_large(sizes, "depth_mm", deepest, "is too much for front and back to meet at the zip")


ZIP_POUCH = FormSpec(
    key="zip_pouch",
    name="Lined zip pouch",
    summary="A lined pouch with a zip across the top: flat (depth 0), or boxed, standing on a base.",
    own_measurements=(
        size_spec("width_mm", "Width", "Finished width of the base, side to side.", (100, 228.6, 600)),
        size_spec(
            "height_mm", "Height", "Finished height from the base to the stitch line of the zip.", (60, 152.4, 500)
        ),
        size_spec(
            "depth_mm",
            "Depth",
            "Finished depth of the base, front to back: the corners are boxed; 0 for a flat pouch.",
            (0, 50.8, 200),
        ),
        ends_spec(),
        tab_length_spec(needs=Choice("zip_ends", (0,))),
        *zip_specs(),
        size_spec(
            "seam_allowance_mm",
            "Seam allowance",
            "Cloth outside the stitch line at the sides, the bottom and the ends of the zip.",
            (6, 9.525, 20),
            source=COMMON_PRACTICE,
        ),
    ),
    begin=begin_zip_pouch,
    own_rules=(
        *box_rules(may_be_flat=True),
        FitRule(("depth_mm", "height_mm"), _too_deep_to_close),
        FitRule(("tab_length_mm", "slider_parked_mm", "width_mm", "depth_mm"), _tabs_too_long),
    ),
    own_roles=(OUTER, LINING, TAB, ZIP_CHAIN, SLIDER),
    add_ons=(
        *pocket_add_ons(closed_faces()),
        key_tab(boxed_side_seams()),
        wrist_loop(up_the_side("outer-sides:0", "the front", "height_mm")),
        boxed_quilting(),
    ),
)
