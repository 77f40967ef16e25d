"""A pair of flat panels whose lower corners are boxed: the shell of a tote or a pouch, outer or lining.

Net width = finished width + depth, net height = finished height + depth / 2, and a square of depth / 2 is missing at
each lower corner. Depth 0 leaves plain rectangles.
"""

from __future__ import annotations

import math
from dataclasses import replace

from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.lined_bag import shell_piece
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, too_large, too_small
from bagwright.drafting.recess import below_recess
from bagwright.drafting.steps import Step, StitchLine, against, along, part
from bagwright.drafting.zone_names import FACES, box_zone_names
from bagwright.errors import Problem
from bagwright.geometry.outline import Outline, polygon_outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Panel, SeamKind, Span, Stage
from bagwright.model.piece import Bend, Notch, Piece

LONGEST_GAP_MM = 152.4
"""A hand and a bag go through a 6 in gap (common practice, no source)."""


def boxed_panel_outline(width_mm: float, height_mm: float, depth_mm: float) -> Outline:
    """Net outline of one panel, bottom down.

    >>> [edge.name for edge in boxed_panel_outline(300, 200, 80).edges][:4]
    ['bottom', 'box_right_rise', 'box_right_run', 'right']
    >>> boxed_panel_outline(300, 200, 80).edge("top").length_mm
    380.0
    """
    if depth_mm == 0:
        return rectangle_outline(width_mm, height_mm)
    square = depth_mm / 2
    right, top = width_mm + depth_mm, height_mm + square
    return polygon_outline(
        [
            ("bottom", (square, 0.0)),
            ("box_right_rise", (right - square, 0.0)),
            ("box_right_run", (right - square, square)),
            ("right", (right, square)),
            ("top", (right, top)),
            ("left", (0.0, top)),
            ("box_left_run", (0.0, square)),
            ("box_left_rise", (square, square)),
        ]
    )


def open_box_bends(sizes: Sizes, *, is_lining: bool) -> tuple[Bend, ...]:
    """How a panel folds where the bag is an open box: half the base below, half a side to the left and right."""
    if sizes["depth_mm"] == 0:
        return ()
    square, turn = sizes["depth_mm"] / 2, -90.0 if is_lining else 90.0
    left, right, top = square, square + sizes["width_mm"], square + sizes["height_mm"]
    return (
        Bend((left, square), (right, square), turn),
        Bend((left, square), (left, top), turn),
        Bend((right, square), (right, top), turn),
    )


def closed_top_bends(sizes: Sizes, *, is_lining: bool) -> tuple[Bend, ...]:
    """How a panel folds where front and back meet along the top, which is as long as width and depth together.

    The faces lean in to the top line: with height H along the side seam and depth D they leave the base by
    acos(-D / 2H) and meet the three-cornered sides by acos(-(D / 2H)^2). Derived from the normals of the flat faces;
    range 0 < D < 2 H. The bag then stands sqrt(H^2 - D^2 / 4) high.
    """
    if sizes["depth_mm"] == 0:
        return ()
    square, sense = sizes["depth_mm"] / 2, -1.0 if is_lining else 1.0
    lean = square / sizes["height_mm"]
    left, right, top = square, square + sizes["width_mm"], square + sizes["height_mm"]
    side = sense * math.degrees(math.acos(-(lean**2)))
    return (
        Bend((left, square), (right, square), sense * math.degrees(math.acos(-lean))),
        Bend((left, square), (0.0, top), side),
        Bend((right, square), (right + square, top), side),
    )


def turning_gap_mm(width_mm: float) -> float:
    """Length left open in the lining's bottom seam: half of it, at most 6 in.

    >>> turning_gap_mm(200), turning_gap_mm(400)
    (100.0, 152.4)
    """
    return min(width_mm / 2, LONGEST_GAP_MM)


def side_lines(panel: Piece) -> tuple[StitchLine, ...]:
    """Side seams of the pair, each from the bottom up: lying face to face, right meets left."""
    return (
        StitchLine((along(panel, 1, "right"), against(panel, 2, "left"))),
        StitchLine((against(panel, 1, "left"), along(panel, 2, "right"))),
    )


def bottom_line(panel: Piece) -> StitchLine:
    """The whole bottom seam of the pair."""
    return StitchLine((along(panel, 1, "bottom"), against(panel, 2, "bottom")))


def bottom_lines_around_gap(panel: Piece) -> tuple[tuple[StitchLine, ...], StitchLine]:
    """The bottom seam beside a gap in its middle, and the gap."""
    sides = bottom_line(panel).through
    width = panel.edge("bottom").length_mm
    start, end = (width - turning_gap_mm(width)) / 2, (width + turning_gap_mm(width)) / 2
    first, gap, last = (
        StitchLine(tuple(part(side, a, b) for side in sides)) for a, b in ((0.0, start), (start, end), (end, width))
    )
    return (first, last), gap


def box_lines(panel: Piece) -> tuple[StitchLine, ...]:
    """Boxing seams: per corner two stretches of depth / 2 in one line, one in each panel.

    Bottom seam and side seam lie on one another, where each stretch starts; the two tips are its ends.
    """
    if not any(edge.name == "box_right_rise" for edge in panel.net.edges):
        return ()
    right = [StitchLine((along(panel, c, "box_right_rise"), against(panel, c, "box_right_run"))) for c in (1, 2)]
    left = [StitchLine((against(panel, c, "box_left_rise"), along(panel, c, "box_left_run"))) for c in (1, 2)]
    return (right[0], left[1], left[0], right[1])


def boxed_panels(sizes: Sizes) -> tuple[Piece, Piece]:
    """The outer and the lining pair of an open bag, notched in the middle, the lining round its gap."""
    net = boxed_panel_outline(sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"])
    middle, half_gap = sizes["width_mm"] / 2, turning_gap_mm(sizes["width_mm"]) / 2
    top = Notch("top", net.edge("top").length_mm / 2)
    return (
        replace(
            shell_piece("panel", "outer", net, sizes),
            count=2,
            notches=(Notch("bottom", middle), top),
            bends=open_box_bends(sizes, is_lining=False),
            zone_names=box_zone_names(sizes),
        ),
        replace(
            shell_piece("panel", "lining", net, sizes),
            count=2,
            notches=(Notch("bottom", middle - half_gap), Notch("bottom", middle + half_gap), top),
            bends=open_box_bends(sizes, is_lining=True),
            zone_names=box_zone_names(sizes),
        ),
    )


def boxed_making(sizes: Sizes) -> Making:
    """The open lined bag of two boxed pairs, its tops still open to what is caught in them."""
    outer, lining = boxed_panels(sizes)[0], boxed_panels(below_recess(sizes))[1]
    outer_steps, _ = boxed_shell_steps(outer)
    lining_steps, gap = boxed_shell_steps(lining, with_gap=True)
    return Making(
        pieces=(outer, lining),
        steps=(*outer_steps, *lining_steps),
        tops=panel_tops(outer, lining),
        gap=gap,
        assembled=shell_measures(outer, sizes),
        panels=(face_panel(sizes),),
    )


def panel_tops(outer: Piece, lining: Piece) -> dict[str, StitchLine]:
    """Top lines of front and back; outer and lining lie face to face, so the lining's is walked against the outer's."""
    return {
        where: StitchLine((along(outer, copy, "top"), against(lining, copy, "top")))
        for where, copy in (("front", 1), ("back", 2))
    }


def boxed_shell_steps(panel: Piece, *, with_gap: bool = False) -> tuple[list[Step], StitchLine]:
    """Sides, bottom and corners of one pair, and the gap that is left in its bottom if one is wanted."""
    role, lockstitch = panel.role, SeamKind.LOCKSTITCH
    stage = Stage.LINING if role == "lining" else Stage.OUTER
    beside, gap = bottom_lines_around_gap(panel)
    bottom, left_open = (beside, ", leaving a gap between notches") if with_gap else ((bottom_line(panel),), "")
    lines = (
        ("sides", f"Sew the {role} panels together at the sides", side_lines(panel)),
        ("bottom", f"Sew the {role} panels together at the bottom{left_open}", bottom),
        ("box", f"Box the lower corners of the {role}", box_lines(panel)),
    )
    return [Step(f"{role}-{key}", name, lockstitch, sewn, stage=stage) for key, name, sewn in lines], gap


def shell_measures(panel: Piece, sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    """Width and depth of the base and height, as the sewn edges give them."""
    width = AssembledMeasure(key="width_mm", asked_mm=sizes["width_mm"], spans=(Span(panel.id, "bottom"),))
    height = AssembledMeasure(key="height_mm", asked_mm=sizes["height_mm"], spans=(Span(panel.id, "right"),))
    if not box_lines(panel):
        return width, height
    halves = (Span(panel.id, "box_right_rise"), Span(panel.id, "box_left_run"))
    return width, height, AssembledMeasure(key="depth_mm", asked_mm=sizes["depth_mm"], spans=halves)


def face_panel(sizes: Sizes) -> Panel:
    """Front and back, outer and lining together."""
    height = sizes["height_mm"]
    pieces = ("outer", "lining")
    return Panel(key="face", name="Front and back", piece_ids=pieces, height_mm=height, copies=2, zone=FACES)


def _depth_over_width(sizes: Sizes) -> Problem | None:
    return too_large(sizes, "depth_mm", sizes["width_mm"], "is more than the bag is wide")


def _corner_under_allowance(sizes: Sizes) -> Problem | None:
    least = 2 * sizes["seam_allowance_mm"]
    return too_small(sizes, "depth_mm", least, "leaves corners smaller than their seam allowance")


def _corner_or_flat(sizes: Sizes) -> Problem | None:
    problem = _corner_under_allowance(sizes) if sizes["depth_mm"] else None
    return problem and replace(problem, allowed=f"{problem.allowed}; or 0 for no boxed corners")


def box_rules(*, may_be_flat: bool) -> tuple[FitRule, ...]:
    """What depth fits the other sizes."""
    return (
        FitRule(("depth_mm", "width_mm"), _depth_over_width),
        FitRule(("depth_mm", "seam_allowance_mm"), _corner_or_flat if may_be_flat else _corner_under_allowance),
    )
