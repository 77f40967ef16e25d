"""Straps whose ends are turned under and stitched on a face, pointing up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.steps import Caught, Step, StitchLine, along
from bagwright.drafting.straps import strap_asked, with_strip
from bagwright.drafting.strips import ENDS, MadeStrip, StripKind, make_strip
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import PlacementLine


@dataclass(frozen=True, slots=True)
class FacePlace:
    """Where one end of a strap is stitched down: the middle of its lower edge on a copy of a piece."""

    piece_id: str
    copy: int
    x_mm: float
    y_mm: float


def with_straps_sewn_on(
    making: Making, sizes: Sizes, straps: Sequence[tuple[FacePlace, FacePlace]], *, said: str, where: str
) -> Making:
    """The bag with its straps, each given by the places of its first and its second end.

    `said` is what they are called ("handle"), `where` what they are stitched to. Ends are turned under by the seam
    allowance.
    """
    asked = strap_asked({**sizes, "top_allowance_mm": sizes["seam_allowance_mm"]}, len(straps))
    made = make_strip(replace(asked, said=said), StripKind(int(sizes["strap_kind"])))
    lines, width = [], sizes["strap_width_mm"]
    for number, places in enumerate(straps, start=1):
        for end, place in zip(ENDS, places, strict=True):
            making, name = _marked(making, place, width)
            side = along(making.piece(place.piece_id), place.copy, name)
            lines.append(StitchLine((side,), _laid_on(made, number, end, width)))
    name = f"Turn the {said} ends under; stitch each to its line on {where}, in a box as high as it is wide"
    spans = {"strap_length_mm": Span("strap", "long_left"), "strap_width_mm": made.width_span()}
    return with_strip(making, made).having(
        steps=(Step("strap-on", name, SeamKind.LOCKSTITCH, tuple(lines), rows=2, stage=Stage.PARTS),),
        assembled=tuple(AssembledMeasure(key=k, asked_mm=sizes[k], spans=(span,)) for k, span in spans.items()),
    )


def _laid_on(made: MadeStrip, number: int, end: str, width_mm: float) -> tuple[Caught, ...]:
    """An end on its line, from left to right. Of a folded strip, the same outermost layer faces up at both ends."""
    caught = made.caught(number, end, (0.0, width_mm))
    if made.folds == 1 or end == "end_two":
        return caught
    return tuple(replace(one, side=_reversed(one.side)) for one in caught)


def _reversed(side: SeamSide) -> SeamSide:
    return replace(side, from_mm=side.to_mm, to_mm=side.from_mm)


def _marked(making: Making, place: FacePlace, width_mm: float) -> tuple[Making, str]:
    """The bag with the line marked on the piece, once for all copies, and what the line is called."""
    piece, half = making.piece(place.piece_id), width_mm / 2
    start, end = (place.x_mm - half, place.y_mm), (place.x_mm + half, place.y_mm)
    marked = [line for line in piece.lines if line.name.startswith("strap_end")]
    for line in marked:
        if (line.start, line.end) == (start, end):
            return making, line.name
    name = f"strap_end_{len(marked) + 1}"
    return making.with_changed(replace(piece, lines=(*piece.lines, PlacementLine(name, start, end)))), name
