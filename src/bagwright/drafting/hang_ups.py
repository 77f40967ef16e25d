"""What an organiser hangs by or is held shut with: loops in its upper edge, grommets, a tie on its back."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

from bagwright.drafting import cautions
from bagwright.drafting.form_spec import RoleSpec
from bagwright.drafting.making import Making
from bagwright.drafting.mitred_binding import MitredBinding
from bagwright.drafting.organiser_sizes import Carried, OrganiserSizes
from bagwright.drafting.steps import Caught, Handling, Step, StitchLine, against, along, part
from bagwright.drafting.strips import ENDS, MadeStrip, Place, Strip, StripKind, make_strip
from bagwright.model.material import MaterialKind
from bagwright.model.pattern import AssembledMeasure, NotionNeed, SeamKind, Span, Stage
from bagwright.model.piece import DrillMark, EdgeUse, Piece, PlacementLine

GROMMET = RoleSpec(
    key="grommet",
    name="Grommet",
    meaning="The metal ring with its washer that lines a hole to hang by.",
    kinds=(MaterialKind.HARDWARE,),
    is_notion=True,
    word="grommet",
)
FROM_SIDE_MM = 38.1
GROMMET_DOWN_MM = 19.05
"""From the stitch line of the upper edge to the middle of a grommet."""
LONGEST_GAP_MM = 152.4
GAP_CLEAR_MM = 10.0
TIE_END_HEM_MM = 12.7
TIE_FROM_FOLD_MM = 5.0


def hang_points_mm(one: OrganiserSizes) -> list[float]:
    """Middles of loops or grommets along the upper edge, alike from either end; none if it folds."""
    wide, number = one.net_mm[0], int(one.sizes["hang_points"])
    if one.carried not in (Carried.LOOPS, Carried.GROMMETS):
        return []
    if number == 1:
        return [wide / 2]
    return [FROM_SIDE_MM + n * (wide - 2 * FROM_SIDE_MM) / (number - 1) for n in range(number)]


def loop_places(one: OrganiserSizes) -> list[Place]:
    """Where loops lie along the upper edge, if it hangs by them."""
    half = one.sizes["loop_width_mm"] / 2
    return [(x - half, x + half) for x in hang_points_mm(one)] if one.carried is Carried.LOOPS else []


def turning_gap(one: OrganiserSizes) -> Place:
    """Where the upper edge is left open to turn it: in the middle of the longest stretch without a loop."""
    wide = one.net_mm[0]
    ends = [0.0, *itertools.chain.from_iterable(loop_places(one)), wide]
    start, end = max(zip(ends[::2], ends[1::2], strict=True), key=lambda free: round(free[1] - free[0], 3))
    half = min(end - start - 2 * GAP_CLEAR_MM, LONGEST_GAP_MM) / 2
    return (start + end) / 2 - half, (start + end) / 2 + half


@dataclass(frozen=True, slots=True)
class Loops:
    """The loops of an organiser: each a strip folded in half, both its ends on one place."""

    made: MadeStrip
    places: list[Place]

    def caught(self) -> list[Caught]:
        """Along the upper edge. The two ends lie on one another, right sides outwards, so both start alike."""
        return [
            Caught(*place, side)
            for number, place in enumerate(self.places, start=1)
            for end in ENDS
            for side in self.made.across(number, end)
        ]

    def held(self, back: Piece) -> Step:
        """Basting them to the back, hanging down."""
        edge = against(back, 1, "top")
        lines = []
        for start, end in self.places:
            here = [c for c in self.caught() if c.start_mm == start]
            moved = tuple(replace(c, start_mm=0.0, end_mm=end - start) for c in here)
            lines.append(StitchLine((part(edge, start, end),), moved))
        name = "Fold each loop in half; baste its ends to the upper edge of the back, the loop hanging down"
        return Step("loop-ends", name, SeamKind.BASTE, tuple(lines), stage=Stage.JOIN)

    def flipped(self, binding: MitredBinding) -> Step:
        """Stitching them to the edge of the binding, pointing up."""
        strip, copy = binding.strip("top")
        lines = tuple(StitchLine((part(along(strip, copy, "middle"), *place),)) for place in self.places)
        name = "Turn the loops up over the binding; stitch each down along its edge"
        return Step("loop-edge", name, SeamKind.TOPSTITCH, lines, rows=2, stage=Stage.CLOSE)


def organiser_loops(one: OrganiserSizes) -> Loops | None:
    """Its loops, if it hangs by them."""
    places = loop_places(one)
    if not places:
        return None
    strip = Strip(
        key="loop",
        said="loop",
        width_mm=one.sizes["loop_width_mm"],
        length_mm=2 * one.sizes["loop_length_mm"],
        end_allowance_mm=one.rim_mm,
        seam_allowance_mm=one.sizes["seam_allowance_mm"],
        count=len(places),
    )
    return Loops(make_strip(strip, StripKind.FOLDED), places)


def with_loops(making: Making, loops: Loops, one: OrganiserSizes) -> Making:
    """The organiser with its loops made; the rim catches them."""
    spans = {"loop_length_mm": Span("loop", "long_left", 0.5), "loop_width_mm": loops.made.width_span()}
    return making.having(
        pieces=(loops.made.piece,),
        steps=loops.made.steps,
        assembled=tuple(AssembledMeasure(key=k, asked_mm=one.sizes[k], spans=(span,)) for k, span in spans.items()),
        cautions=loops.made.cautions,
    )


def with_grommets(making: Making, one: OrganiserSizes) -> Making:
    """Marks on front and back, and the setting of the grommets."""
    high = one.net_mm[1] - GROMMET_DOWN_MM
    places = hang_points_mm(one)
    marks = tuple(DrillMark(f"grommet_{n}", (x, high)) for n, x in enumerate(places, start=1))
    for key in ("front", "back"):
        making = making.with_changed(replace(making.piece(key), drill_marks=marks))
    name = "Punch the marks through all layers and set the grommets"
    step = Handling("grommets", name, stage=Stage.CLOSE, cautions=(cautions.SHEET_TOOLS,))
    need = NotionNeed(role="grommet", name="Grommets with their washers", count=len(places))
    return making.having(steps=(step,), notions=(need,), cautions=(cautions.SHEET_TOOLS,))


def with_tie(making: Making, one: OrganiserSizes) -> Making:
    """A tie whose middle is stitched to the back beside the first fold; it goes round all and is tied."""
    width, length = one.sizes["tie_width_mm"], one.sizes["tie_length_mm"]
    made = make_strip(
        Strip(
            key="tie",
            said="tie",
            width_mm=width,
            length_mm=length,
            end_allowance_mm=TIE_END_HEM_MM,
            seam_allowance_mm=one.sizes["seam_allowance_mm"],
        ),
        StripKind.FOLDED,
    )
    holds = {"left": length / 2 - width / 2, "right": length / 2 + width / 2}
    lines = tuple(PlacementLine(f"hold_{key}", (0.0, y), (made.folds * width, y)) for key, y in holds.items())
    tie = replace(
        made.piece,
        edge_use={**made.piece.edge_use, **dict.fromkeys(ENDS, EdgeUse.HEM)},
        lines=(*made.piece.lines, *lines),
        note=f"Turn the ends in. {made.piece.note}",
    )
    making = making.having(pieces=(tie,), steps=(_tie_ends(tie), *made.steps), cautions=(cautions.CORD,))
    return _tie_on(making, tie, one)


def _tie_ends(tie: Piece) -> Step:
    lines = tuple(StitchLine((along(tie, 1, end),)) for end in ENDS)
    return Step("tie-ends", "Hem the ends of the tie", SeamKind.HEM, lines, stage=Stage.PREPARE)


def _tie_on(making: Making, tie: Piece, one: OrganiserSizes) -> Making:
    """The tie lies across; on the back the places are counted from its own left."""
    width, back = one.sizes["tie_width_mm"], making.piece("back")
    x, y = one.net_mm[0] - one.folds_mm[0] - TIE_FROM_FOLD_MM - width, one.net_mm[1] / 2
    ends = {"left": x, "right": x + width}
    marks = tuple(PlacementLine(f"tie_{k}", (at, y + width / 2), (at, y - width / 2)) for k, at in ends.items())
    back = replace(back, lines=(*back.lines, *marks))
    lines = tuple(StitchLine((along(back, 1, f"tie_{k}"), along(tie, 1, f"hold_{k}", folds=4))) for k in ends)
    name = "Stitch the middle of the tie to the back, on both its lines"
    step = Step("tie-on", name, SeamKind.LOCKSTITCH, lines, rows=2, stage=Stage.OUTER)
    spans = {"tie_length_mm": Span("tie", "long_left"), "tie_width_mm": Span("tie", "end_one", 0.25)}
    measures = tuple(AssembledMeasure(key=k, asked_mm=one.sizes[k], spans=(span,)) for k, span in spans.items())
    return making.with_changed(back).having(steps=(step,), assembled=measures)
