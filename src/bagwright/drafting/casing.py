"""A casing for two drawcords: two strips folded along their middle that stand up from the top edge of a bag."""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.lined_bag import shell_piece
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, size_spec
from bagwright.drafting.steps import Caught, Handling, Step, StitchLine, against, along
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, NotionNeed, SeamKind, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine

ENDS_FROM_SEAM_MM = 12.0
END_HEM_MM = 12.7

CASING_SPECS = (
    size_spec("casing_height_mm", "Casing height", "Finished height of the casing above the top edge.", (15, 25.4, 60)),
    size_spec("cord_tail_mm", "Cord tail", "Cord that hangs out at each end of a drawcord.", (50, 152.4, 400)),
)


def casing_piece(top_mm: float, sizes: Sizes) -> Piece:
    """One strip for each half of a top edge `top_mm` long; it ends short of the side seams so that cords come out."""
    length, high = top_mm - 2 * ENDS_FROM_SEAM_MM, sizes["casing_height_mm"]
    names = {"bottom": "top_outside", "top": "top_inside", "left": "end_left", "right": "end_right"}
    piece = shell_piece("casing", "outer", rectangle_outline(length, 2 * high, names), sizes)
    ends = ("end_left", "end_right")
    return replace(
        piece,
        name="Casing",
        count=2,
        grain_deg=0.0,
        allowance_mm={**piece.allowance_mm, **dict.fromkeys(ends, END_HEM_MM)},
        edge_use={**piece.edge_use, **dict.fromkeys(ends, EdgeUse.HEM)},
        notches=tuple(Notch(edge, length / 2) for edge in ("top_outside", "top_inside")),
        lines=(PlacementLine("fold", (0.0, high), (length, high)),),
        bends=(Bend((0.0, high), (length, high), 180.0),),
        note="Hem the short ends, then fold along the middle, wrong sides together.",
    )


def with_casing(making: Making, sizes: Sizes) -> Making:
    """The bag with a casing along the tops of front and back, and its two cords."""
    top_mm = making.tops["front"].length_mm
    casing = casing_piece(top_mm, sizes)
    for copy, where in ((1, "front"), (2, "back")):
        making = making.catching(where, *_both_edges(casing, copy), word="the casing")
    draw = "Draw a cord through both casings from either side; knot the ends of each"
    return making.having(
        pieces=(casing,),
        steps=(_hems(casing), Handling("cords", draw, stage=Stage.CLOSE, cautions=(cautions.CORD,))),
        assembled=(_measure(sizes),),
        notions=(cord_need(top_mm, sizes),),
        cautions=(cautions.CORD,),
    )


def _hems(casing: Piece) -> Step:
    """Hem both ends of both strips."""
    lines = tuple(StitchLine((along(casing, copy, end),)) for copy in (1, 2) for end in ("end_left", "end_right"))
    return Step(
        "casing",
        "Hem the ends of the casing strips; fold them along the middle",
        SeamKind.HEM,
        lines,
        stage=Stage.PARTS,
    )


def _both_edges(casing: Piece, copy: int) -> tuple[Caught, Caught]:
    """Both long edges of a folded strip in the top seam, walked as the outer's top is."""
    length = casing.edge("top_inside").length_mm
    start, end = ENDS_FROM_SEAM_MM, ENDS_FROM_SEAM_MM + length
    return (
        Caught(start, end, against(casing, copy, "top_outside")),
        Caught(start, end, along(casing, copy, "top_inside")),
    )


def cord_need(top_mm: float, sizes: Sizes) -> NotionNeed:
    """Two cords, each once through both casings, with a tail at either end."""
    length = 2 * top_mm + 2 * sizes["cord_tail_mm"]
    return NotionNeed(role="cord", name="Drawcord, one from either side", count=2, length_mm=length)


def _measure(sizes: Sizes) -> AssembledMeasure:
    """Height of the casing: half a strip's end."""
    spans = (Span("casing", "end_left", 0.5),)
    return AssembledMeasure(key="casing_height_mm", asked_mm=sizes["casing_height_mm"], spans=spans)
