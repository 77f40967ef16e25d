"""The lined zip pouch: outer and lining held by one zip across the top, a folded tab over each end of the zip.

The zip lies flat between front and back. Its stitch lines run one allowance inside the tape's edges, so what shows of
it is the tape's width less two allowances. A tab is a strip folded in half across: the fold covers the end of the tape,
the two raw ends lie in the side seam. Its bends show the zip folded along its teeth, as it is where it is sewn in.
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
from bagwright.drafting.form_spec import FitRule, FormSpec
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Sizes, size_spec, too_large, too_small
from bagwright.drafting.roles import LINING, OUTER, SLIDER, TAB, ZIP_CHAIN
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.errors import Problem
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, NotionNeed, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine
from bagwright.model.source import Source, SourceKind

SLIDER_PARKED_MM = 12.0
"""Length of the teeth that a parked slider takes up: 10 to 15 mm (common practice, no source)."""
LEAST_OPENING_MM = 60.0
LEAST_TAPE_SHOWING_MM = 10.0
"""Room for the teeth, the slider and a zip foot between the stitch lines (common practice, no source)."""
TAB_FOLDS = 2
DEEPEST_SHARE = 1.8
"""Depth over height. The pouch stands sqrt(H^2 - D^2 / 4) high; at a depth of twice its height it lies flat."""


def zip_line_mm(sizes: Sizes) -> float:
    """Length of the top of the pouch, side seam to side seam: width + depth."""
    return sizes["width_mm"] + sizes["depth_mm"]


def zip_showing_mm(sizes: Sizes) -> float:
    """Length of zip between the tabs."""
    return zip_line_mm(sizes) - 2 * sizes["tab_length_mm"]


def zip_opening_mm(sizes: Sizes) -> float:
    """How far the pouch opens: the zip between the tabs less the length that the parked slider takes up.

    The tabs do the work of the stops. A parked slider takes 10 to 15 mm, here 12 (common practice, no source).

    >>> zip_opening_mm({"width_mm": 220, "depth_mm": 0, "tab_length_mm": 20})
    168.0
    """
    return zip_showing_mm(sizes) - SLIDER_PARKED_MM


def tape_showing_mm(sizes: Sizes) -> float:
    """Width of the closed tape between its two stitch lines."""
    return sizes["tape_width_mm"] - 2 * sizes["zip_allowance_mm"]


def begin_zip_pouch(sizes: Sizes) -> Making:
    """Panels, tabs and zip."""
    outer, lining = _panel("outer", sizes), _panel("lining", sizes)
    chain, tab = _zip_chain(sizes), _tab(sizes)
    tape_mm = zip_showing_mm(sizes) + 2 * sizes["seam_allowance_mm"]
    lining_steps, gap = boxed_shell_steps(lining, with_gap=True)
    return Making(
        pieces=(outer, lining, tab, chain),
        steps=(*_zip_steps(outer, lining, tab, chain), *_outer_steps(outer, tab), *lining_steps),
        gap=gap,
        assembled=(*shell_measures(outer, sizes), _tab_measure(sizes)),
        panels=(face_panel(sizes),),
        notions=(
            NotionNeed(role="zip_chain", name="Zip chain, with its ends under the tabs", count=1, length_mm=tape_mm),
            NotionNeed(role="slider", name="Slider to fit the chain", count=1),
        ),
        cautions=(cautions.TEETH, cautions.SLIDER),
    )


def _panel(role: str, sizes: Sizes) -> Piece:
    net = boxed_panel_outline(sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"])
    names = [edge.name for edge in net.edges]
    is_lining = role == "lining"
    middle, half_gap = sizes["width_mm"] / 2, turning_gap_mm(sizes["width_mm"]) / 2
    bottom = (middle - half_gap, middle + half_gap) if is_lining else (middle,)
    tab, top = sizes["tab_length_mm"], zip_line_mm(sizes)
    return Piece(
        id=role,
        name="Lining panel" if is_lining else "Outer panel",
        role=role,
        net=net,
        allowance_mm={name: sizes["zip_allowance_mm" if name == "top" else "seam_allowance_mm"] for name in names},
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
        notches=(
            *(Notch("bottom", at) for at in bottom),
            *(Notch("top", at) for at in (tab, top / 2, top - tab)),
        ),
        bends=closed_top_bends(sizes, is_lining=is_lining),
        note="The outer notches at the top show where the tabs end.",
    )


def _zip_chain(sizes: Sizes) -> Piece:
    names = {"bottom": "tape_front", "right": "end_right", "top": "tape_back", "left": "end_left"}
    along_tape, across = sizes["zip_allowance_mm"], sizes["seam_allowance_mm"]
    length = zip_showing_mm(sizes)
    return Piece(
        id="zip_chain",
        name="Zip chain",
        role="zip_chain",
        net=rectangle_outline(length, tape_showing_mm(sizes), names),
        allowance_mm={"tape_front": along_tape, "tape_back": along_tape, "end_left": across, "end_right": across},
        edge_use=dict.fromkeys(names.values(), EdgeUse.SEAM),
        grain_deg=0.0,
        notches=(Notch("tape_front", length / 2), Notch("tape_back", length / 2)),
        bends=(Bend((0.0, tape_showing_mm(sizes) / 2), (length, tape_showing_mm(sizes) / 2), 180.0),),
        is_bought=True,
        note="Closed, right side up, front of the pouch below. Put the slider on before the tabs.",
    )


def _tab(sizes: Sizes) -> Piece:
    names = {"bottom": "side_one", "right": "end_over", "top": "side_two", "left": "end_under"}
    along_tape, across = sizes["zip_allowance_mm"], sizes["seam_allowance_mm"]
    length, width = sizes["tab_length_mm"], tape_showing_mm(sizes)
    middle = width / 2
    return Piece(
        id="tab",
        name="Zip tab",
        role="tab",
        net=rectangle_outline(TAB_FOLDS * length, width, names),
        allowance_mm={"side_one": along_tape, "side_two": along_tape, "end_over": across, "end_under": across},
        edge_use=dict.fromkeys(names.values(), EdgeUse.SEAM),
        count=2,
        grain_deg=0.0,
        notches=(Notch("side_one", length), Notch("side_two", length)),
        lines=(PlacementLine("fold", (length, 0.0), (length, width)),),
        bends=(
            Bend((length, 0.0), (length, middle), 180.0),
            Bend((length, middle), (length, width), 180.0),
            # The layer below is folded along the teeth with its right side inwards.
            Bend((0.0, middle), (length, middle), -180.0),
            Bend((length, middle), (TAB_FOLDS * length, middle), 180.0),
        ),
        note="Fold in half, wrong sides together; the fold goes over the end of the zip.",
    )


def _zip_steps(outer: Piece, lining: Piece, tab: Piece, chain: Piece) -> list[Step]:
    stage, zipped = Stage.ZIPS, SeamKind.ZIP
    front, back = _zip_line(outer, lining, tab, chain, 1), _zip_line(outer, lining, tab, chain, 2)
    tabs = "Put the slider on; stitch a folded tab over each end of the zip"
    edge = "Press cloth away from the teeth; topstitch along the zip"
    return [
        Step("tabs", tabs, SeamKind.LOCKSTITCH, _tab_lines(tab, chain), stage=stage),
        Step("zip-front", "Sew the zip and its tabs between front and front lining", zipped, (front,), stage=stage),
        Step("zip-back", "Sew the zip and its tabs between back and back lining", zipped, (back,), stage=stage),
        Step("zip-edge", edge, SeamKind.TOPSTITCH, (front, back), stage=stage),
    ]


def _outer_steps(outer: Piece, tab: Piece) -> list[Step]:
    sides, *others = boxed_shell_steps(outer)[0]
    name = "Open the zip; sew the sides of the outer, across the folded tab ends"
    return [replace(sides, name=name, lines=(*sides.lines, *_tab_end_lines(tab))), *others]


def _tab_lines(tab: Piece, chain: Piece) -> tuple[StitchLine, ...]:
    """Tab 1 lies at the left end turned half round, tab 2 at the right end as drawn. Both layers are caught."""
    fold = {copy: along(tab, copy, "fold") for copy in (1, 2)}
    return (
        StitchLine((along(chain, 1, "end_left"), fold[1], fold[1])),
        StitchLine((along(chain, 1, "end_right"), fold[2], fold[2])),
    )


def _zip_line(outer: Piece, lining: Piece, tab: Piece, chain: Piece, copy: int) -> StitchLine:
    """Front (copy 1) or back (copy 2): tab, zip, tab caught between outer and lining, in the outer's direction.

    A tab's side starts at the side seam, so the second of the two is walked back.
    """
    top, short = along(outer, copy, "top"), tab.edge("side_one").length_mm / TAB_FOLDS
    tape = against(chain, 1, "tape_front" if copy == 1 else "tape_back")
    first, last = (2, 1) if copy == 1 else (1, 2)
    side = {(1, 1): "side_two", (2, 1): "side_one", (1, 2): "side_one", (2, 2): "side_two"}
    ends = {number: along(tab, number, side[number, copy], folds=TAB_FOLDS) for number in (1, 2)}
    total = top.sewn_length_mm
    return StitchLine(
        (top, against(lining, copy, "top")),
        (
            Caught(0.0, short, ends[first]),
            Caught(short, total - short, tape),
            Caught(total - short, total, ends[last], turned=True),
        ),
    )


def _tab_end_lines(tab: Piece) -> tuple[StitchLine, ...]:
    """Where the zip's end is folded along its teeth: four layers of each tab, from the outer down to the fold."""
    return tuple(StitchLine(_folded(tab, copy, "end_over") + _folded(tab, copy, "end_under")) for copy in (1, 2))


def _folded(tab: Piece, copy: int, edge: str) -> tuple[SeamSide, SeamSide]:
    whole, back = along(tab, copy, edge), against(tab, copy, edge)
    half = whole.edge_length_mm / 2
    return part(whole, 0.0, half), part(back, 0.0, half)


def _tab_measure(sizes: Sizes) -> AssembledMeasure:
    spans = (Span("tab", "side_one", 1 / TAB_FOLDS),)
    return AssembledMeasure(key="tab_length_mm", asked_mm=sizes["tab_length_mm"], spans=spans)


def _tabs_too_long(sizes: Sizes) -> Problem | None:
    longest = (zip_line_mm(sizes) - SLIDER_PARKED_MM - LEAST_OPENING_MM) / 2
    return too_large(sizes, "tab_length_mm", longest, "leaves a zip too short to reach through")


def _too_deep_to_close(sizes: Sizes) -> Problem | None:
    deepest = DEEPEST_SHARE * sizes["height_mm"]
    return too_large(sizes, "depth_mm", deepest, "is too much for front and back to meet at the zip")


def _tape_too_narrow(sizes: Sizes) -> Problem | None:
    least = 2 * sizes["zip_allowance_mm"] + LEAST_TAPE_SHOWING_MM
    return too_small(sizes, "tape_width_mm", least, "leaves no room for teeth and foot between the stitch lines")


ZIP_POUCH = FormSpec(
    key="zip_pouch",
    name="Lined zip pouch",
    summary="A closed pouch with a zip across the top, a lining, and corners boxed or flat.",
    own_measurements=(
        size_spec("width_mm", "Width", "Finished width of the base, side to side.", (100, 228.6, 600)),
        size_spec(
            "height_mm", "Height", "Finished height from the base to the stitch line of the zip.", (60, 152.4, 500)
        ),
        size_spec(
            "depth_mm", "Depth", "Finished depth of the base, front to back; 0 for a flat pouch.", (0, 50.8, 200)
        ),
        size_spec(
            "tab_length_mm", "Tab length", "Length of the cloth tab that shows at each end of the zip.", (10, 19.05, 60)
        ),
        size_spec(
            "tape_width_mm",
            "Zip tape width",
            "Full width of the closed zip, tape edge to tape edge; measure yours.",
            (18, 32, 60),
            source=Source(SourceKind.GUESS, "about 32 mm for a #5 chain, from memory; measure yours"),
        ),
        size_spec(
            "seam_allowance_mm",
            "Seam allowance",
            "Cloth outside the stitch line at the sides, the bottom and the tab ends.",
            (6, 9.525, 20),
            source=COMMON_PRACTICE,
        ),
        size_spec(
            "zip_allowance_mm",
            "Zip allowance",
            "From the edges of cloth and tape to the stitch line along the zip.",
            (4, 6.35, 12),
            source=COMMON_PRACTICE,
        ),
    ),
    begin=begin_zip_pouch,
    own_rules=(
        *box_rules(may_be_flat=True),
        FitRule(("depth_mm", "height_mm"), _too_deep_to_close),
        FitRule(("tab_length_mm", "width_mm", "depth_mm"), _tabs_too_long),
        FitRule(("tape_width_mm", "zip_allowance_mm"), _tape_too_narrow),
    ),
    own_roles=(OUTER, LINING, TAB, ZIP_CHAIN, SLIDER),
)
