"""The boxed-corner tote: two outer panels, two lining panels, two straps caught in the top seam."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import (
    bottom_line,
    bottom_lines_around_gap,
    box_lines,
    box_rules,
    boxed_panel_outline,
    face_panel,
    open_box_bends,
    shell_measures,
    side_lines,
    turning_gap_mm,
)
from bagwright.drafting.measurements import (
    COMMON_PRACTICE,
    FitRule,
    FormSpec,
    MeasurementSpec,
    size_spec,
    too_large,
    too_small,
)
from bagwright.drafting.roles import LINING, OUTER, POCKET, STRAP
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, number_steps, part
from bagwright.errors import Problem
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Pattern, SeamKind, Span
from bagwright.model.piece import EdgeUse, Notch, Piece, PlacementLine

STRAP_FOLDS = 4
POCKET_BELOW_TOP_MM = 38.1
POCKET_MARGIN_MM = 12.7
POCKET_HEM_MM = 25.4
LEAST_DROP_MM = 40.0
STRAPS_APART_MM = 5.0

Sizes = Mapping[str, float]


def strap_for_drop_mm(drop_mm: float, spacing_mm: float) -> float:
    """Visible length of a strap that hangs `drop_mm` below where it is held.

    strap = 2 sqrt(drop^2 + (spacing / 2)^2): the strap pulled into a straight V, its ends `spacing_mm` apart; its width
    and the hand are left out, so a real drop is a little less. Derived from Pythagoras.

    >>> round(strap_for_drop_mm(10, 8), 2)
    21.54
    """
    return 2 * math.hypot(drop_mm, spacing_mm / 2)


def draft_boxed_tote(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    outer, lining = _panel("outer", sizes), _panel("lining", sizes)
    strap = _strap(sizes)
    pocket = _pocket(sizes) if sizes["inside_pockets"] else None
    return Pattern(
        form="boxed_tote",
        measurements_mm=dict(sizes),
        pieces=(outer, lining, strap, *([pocket] if pocket else [])),
        seams=number_steps(_steps(outer, lining, strap, pocket, sizes)),
        assembled=(*shell_measures(outer, sizes), *_strap_measures(sizes), *_pocket_measures(sizes, pocket)),
        panels=(face_panel(sizes),),
        cautions=(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.STRAP_LOAD, cautions.RULES),
    )


def _panel(role: str, sizes: Sizes) -> Piece:
    net = boxed_panel_outline(sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"])
    names = [edge.name for edge in net.edges]
    is_lining = role == "lining"
    has_pocket = is_lining and bool(sizes["inside_pockets"])
    return Piece(
        id=role,
        name="Lining panel" if is_lining else "Outer panel",
        role=role,
        net=net,
        allowance_mm={name: sizes["top_allowance_mm" if name == "top" else "seam_allowance_mm"] for name in names},
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
        notches=_bottom_notches(sizes, is_lining=is_lining) + (() if is_lining else _strap_notches(sizes)),
        lines=_pocket_lines(sizes) if has_pocket else (),
        bends=open_box_bends(sizes, is_lining=is_lining),
        note="The pocket goes on one of the two." if has_pocket else "",
    )


def _bottom_notches(sizes: Sizes, *, is_lining: bool) -> tuple[Notch, ...]:
    middle = sizes["width_mm"] / 2
    half_gap = turning_gap_mm(sizes["width_mm"]) / 2
    places = (middle - half_gap, middle + half_gap) if is_lining else (middle,)
    top_middle = Notch("top", (sizes["width_mm"] + sizes["depth_mm"]) / 2)
    return (*(Notch("bottom", at) for at in places), top_middle)


def _strap_places(sizes: Sizes) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the two strap ends lie along the top edge."""
    middle, half = (sizes["width_mm"] + sizes["depth_mm"]) / 2, sizes["strap_width_mm"] / 2
    first, second = middle - sizes["strap_spacing_mm"] / 2, middle + sizes["strap_spacing_mm"] / 2
    return (first - half, first + half), (second - half, second + half)


def _strap_notches(sizes: Sizes) -> tuple[Notch, ...]:
    return tuple(Notch("top", at) for place in _strap_places(sizes) for at in place)


def _pocket_lines(sizes: Sizes) -> tuple[PlacementLine, ...]:
    """Where the pocket lies, walked the same way round as its own edges."""
    middle = (sizes["width_mm"] + sizes["depth_mm"]) / 2
    left, right = middle - sizes["pocket_width_mm"] / 2, middle + sizes["pocket_width_mm"] / 2
    top = sizes["height_mm"] + sizes["depth_mm"] / 2 - POCKET_BELOW_TOP_MM
    bottom = top - sizes["pocket_height_mm"]
    return (
        PlacementLine("pocket_left", (left, top), (left, bottom)),
        PlacementLine("pocket_bottom", (left, bottom), (right, bottom)),
        PlacementLine("pocket_right", (right, bottom), (right, top)),
    )


def _strap(sizes: Sizes) -> Piece:
    width, length = sizes["strap_width_mm"], sizes["strap_length_mm"]
    names = {"bottom": "end_one", "top": "end_two", "left": "long_left", "right": "long_right"}
    folds = (("fold_first", width), ("fold_middle", 2 * width), ("fold_third", 3 * width))
    return Piece(
        id="strap",
        name="Strap",
        role="strap",
        net=rectangle_outline(STRAP_FOLDS * width, length, names),
        allowance_mm={
            "end_one": sizes["top_allowance_mm"],
            "end_two": sizes["top_allowance_mm"],
            "long_left": 0.0,
            "long_right": 0.0,
        },
        edge_use={
            "end_one": EdgeUse.SEAM,
            "end_two": EdgeUse.SEAM,
            "long_left": EdgeUse.HEM,
            "long_right": EdgeUse.HEM,
        },
        count=2,
        lines=tuple(PlacementLine(name, (x, 0.0), (x, length)) for name, x in folds),
        note="Fold the long edges to the middle, then fold in half.",
    )


def _pocket(sizes: Sizes) -> Piece:
    net = rectangle_outline(sizes["pocket_width_mm"], sizes["pocket_height_mm"])
    allowance = dict.fromkeys(("bottom", "right", "left"), sizes["seam_allowance_mm"])
    return Piece(
        id="pocket",
        name="Inside pocket",
        role="pocket",
        net=net,
        allowance_mm={**allowance, "top": POCKET_HEM_MM},
        edge_use={**dict.fromkeys(allowance, EdgeUse.SEAM), "top": EdgeUse.HEM},
        note="Turn the top down twice for its hem; turn the other three edges under.",
    )


def _steps(outer: Piece, lining: Piece, strap: Piece, pocket: Piece | None, sizes: Sizes) -> list[Step]:
    beside_gap, gap = bottom_lines_around_gap(lining)
    lockstitch = SeamKind.LOCKSTITCH
    caught = {copy: _strap_ends(strap, copy, sizes) for copy in (1, 2)}
    # Outer and lining lie face to face, so the lining's top is walked against the outer's.
    tops = tuple(StitchLine((along(outer, c, "top"), against(lining, c, "top")), caught[c]) for c in (1, 2))
    shell = [
        Step("outer-sides", "Sew the outer panels together at the sides", lockstitch, side_lines(outer)),
        Step("outer-bottom", "Sew the outer panels together at the bottom", lockstitch, (bottom_line(outer),)),
        Step("outer-box", "Box the lower corners of the outer", lockstitch, box_lines(outer)),
        Step("lining-sides", "Sew the lining panels together at the sides", lockstitch, side_lines(lining)),
        Step("lining-bottom", "Sew the bottom of the lining, leaving a gap between notches", lockstitch, beside_gap),
        Step("lining-box", "Box the lower corners of the lining", lockstitch, box_lines(lining)),
    ]
    closing = [
        Step("top", "Sew outer and lining together along the top, straps between them", lockstitch, tops),
        Step("top-edge", "Turn right side out; topstitch along the top edge", SeamKind.TOPSTITCH, tops),
        Step("gap", "Close the gap in the lining", lockstitch, (gap,)),
    ]
    return [*_strap_steps(outer, strap, caught), *_pocket_steps(lining, pocket), *shell, *closing]


def _strap_steps(outer: Piece, strap: Piece, caught: Mapping[int, tuple[Caught, ...]]) -> list[Step]:
    # Stitched through four layers: both edges folded in, and the two halves of the strip.
    edges = [
        StitchLine(
            (
                against(strap, copy, "long_left"),
                along(strap, copy, "fold_first"),
                along(strap, copy, "long_right"),
                along(strap, copy, "fold_third"),
            )
        )
        for copy in (1, 2)
    ]
    ends = [
        StitchLine(
            (part(along(outer, copy, "top"), c.start_mm, c.end_mm),),
            (replace(c, start_mm=0.0, end_mm=c.end_mm - c.start_mm),),
        )
        for copy, strap_ends in caught.items()
        for c in strap_ends
    ]
    return [
        Step("strap", "Fold each strap in four and stitch along both long edges", SeamKind.HEM, tuple(edges), rows=2),
        Step("strap-ends", "Baste the strap ends to the outer panels between notches", SeamKind.BASTE, tuple(ends)),
    ]


def _strap_ends(strap: Piece, copy: int, sizes: Sizes) -> tuple[Caught, ...]:
    """The two ends of one strap on a top edge; the strap's middle fold is on the side away from its other end."""
    first, second = _strap_places(sizes)
    return (
        Caught(*first, along(strap, copy, "end_one", folds=STRAP_FOLDS)),
        Caught(*second, along(strap, copy, "end_two", folds=STRAP_FOLDS), turned=True),
    )


def _pocket_steps(lining: Piece, pocket: Piece | None) -> list[Step]:
    if pocket is None:
        return []
    hem = (StitchLine((along(pocket, 1, "top"),)),)
    edges = tuple(
        StitchLine((along(pocket, 1, edge), along(lining, 1, f"pocket_{edge}"))) for edge in ("left", "bottom", "right")
    )
    return [
        Step("pocket-hem", "Hem the top of the pocket", SeamKind.HEM, hem),
        Step("pocket", "Stitch the pocket to one lining panel, on its lines", SeamKind.LOCKSTITCH, edges),
    ]


def _strap_measures(sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    width = (Span("strap", "end_one", 1 / STRAP_FOLDS),)
    return (
        AssembledMeasure(key="strap_length_mm", asked_mm=sizes["strap_length_mm"], spans=(Span("strap", "long_left"),)),
        AssembledMeasure(key="strap_width_mm", asked_mm=sizes["strap_width_mm"], spans=width),
    )


def _pocket_measures(sizes: Sizes, pocket: Piece | None) -> tuple[AssembledMeasure, ...]:
    if pocket is None:
        return ()
    return tuple(
        AssembledMeasure(key=key, asked_mm=sizes[key], spans=(Span("pocket", edge),))
        for key, edge in (("pocket_width_mm", "top"), ("pocket_height_mm", "left"))
    )


def _strap_too_wide(sizes: Sizes) -> Problem | None:
    return too_large(sizes, "strap_width_mm", sizes["width_mm"] / 3, "is too wide for two strap ends on this bag")


def _straps_off_the_bag(sizes: Sizes) -> Problem | None:
    widest = sizes["width_mm"] - sizes["strap_width_mm"]
    return too_large(sizes, "strap_spacing_mm", widest, "puts the straps beyond the width of the bag")


def _straps_overlap(sizes: Sizes) -> Problem | None:
    least = sizes["strap_width_mm"] + STRAPS_APART_MM
    return too_small(sizes, "strap_spacing_mm", least, "puts one strap end over the other")


def _strap_too_short(sizes: Sizes) -> Problem | None:
    least = strap_for_drop_mm(LEAST_DROP_MM, sizes["strap_spacing_mm"])
    return too_small(sizes, "strap_length_mm", least, "leaves no room for a hand at that spacing")


def _pocket_too_wide(sizes: Sizes) -> Problem | None:
    widest = sizes["width_mm"] - 2 * POCKET_MARGIN_MM
    unused = not sizes["inside_pockets"]
    return None if unused else too_large(sizes, "pocket_width_mm", widest, "is too wide for the face of the bag")


def _pocket_too_tall(sizes: Sizes) -> Problem | None:
    tallest = sizes["height_mm"] - POCKET_BELOW_TOP_MM - POCKET_MARGIN_MM
    unused = not sizes["inside_pockets"]
    return None if unused else too_large(sizes, "pocket_height_mm", tallest, "is too tall for the face of the bag")


BOXED_TOTE = FormSpec(
    key="boxed_tote",
    name="Boxed-corner tote",
    summary="An open bag with a flat base, a lining and two straps.",
    measurements=(
        size_spec("width_mm", "Width", "Finished width of the base, side to side.", (100, 330.2, 900)),
        size_spec("height_mm", "Height", "Finished height from the base to the top edge.", (120, 355.6, 900)),
        size_spec("depth_mm", "Depth", "Finished depth of the base, front to back.", (20, 127, 500)),
        size_spec(
            "strap_length_mm", "Strap length", "Length of one strap that shows above the top edge.", (100, 609.6, 1800)
        ),
        size_spec("strap_width_mm", "Strap width", "Finished width of a strap.", (12.7, 25.4, 60)),
        size_spec(
            "strap_spacing_mm",
            "Strap spacing",
            "From the middle of one end of a strap to the middle of its other end.",
            (20, 152.4, 800),
        ),
        MeasurementSpec(
            key="inside_pockets",
            label="Inside pockets",
            meaning="How many slip pockets lie on the lining, none or one.",
            default_mm=1,
            low_mm=0,
            high_mm=1,
            unit="count",
        ),
        size_spec(
            "pocket_width_mm", "Pocket width", "Finished width of the slip pocket, if there is one.", (60, 177.8, 600)
        ),
        size_spec(
            "pocket_height_mm",
            "Pocket height",
            "Finished height of the slip pocket, if there is one.",
            (60, 152.4, 600),
        ),
        size_spec(
            "seam_allowance_mm",
            "Seam allowance",
            "Cloth outside the stitch line at every seam but the top one.",
            (6, 9.525, 20),
            source=COMMON_PRACTICE,
        ),
        size_spec(
            "top_allowance_mm",
            "Top allowance",
            "Cloth above the stitch line at the top edge, and the strap ends held in it.",
            (6, 12.7, 40),
            source=COMMON_PRACTICE,
        ),
    ),
    rules=(
        *box_rules(may_be_flat=False),
        FitRule(("strap_width_mm", "width_mm"), _strap_too_wide),
        FitRule(("strap_spacing_mm", "strap_width_mm", "width_mm"), _straps_off_the_bag),
        FitRule(("strap_spacing_mm", "strap_width_mm"), _straps_overlap),
        FitRule(("strap_length_mm", "strap_spacing_mm"), _strap_too_short),
        FitRule(("pocket_width_mm", "width_mm", "inside_pockets"), _pocket_too_wide),
        FitRule(("pocket_height_mm", "height_mm", "inside_pockets"), _pocket_too_tall),
    ),
    roles=(OUTER, LINING, STRAP, POCKET),
    draft=draft_boxed_tote,
)
