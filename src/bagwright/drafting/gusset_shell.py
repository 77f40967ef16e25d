"""A front and a back joined by a strip: two panels with round lower corners, and a gusset of one piece or three.

The gusset lies right side up, its front edge above, the bag's left end (of the outer) at the left. It is as long as
the two sides and the bottom with both arcs: 2 h + w - 4 r + pi r (derived). A lining is the same shell turned inside
out, so its right end lies on the left end of the outer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from bagwright.drafting.boxed_panel import face_panel, panel_tops
from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.lined_bag import chain_lines, shell_piece, split
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, count_spec, size_spec, too_large, too_small
from bagwright.drafting.recess import below_recess
from bagwright.drafting.steps import Step, StitchLine, against, along
from bagwright.drafting.straps import LEAST_DROP_MM, strap_for_drop_mm
from bagwright.errors import Problem
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.outline import Edge, Outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, Notch, Piece
from bagwright.model.zones import ZoneName

LEAST_STRAIGHT_MM = 20.0
LONGEST_GAP_MM = 152.4
STRAP_ROOM_MM = 4.0
ROUND = ("left", "corner_left", "bottom", "corner_right", "right")

GUSSET_SPECS = (
    size_spec("corner_radius_mm", "Corner radius", "Rounding of the two lower corners.", (12, 50.8, 250)),
    count_spec(
        "separate_sides",
        "Gusset",
        "One strip all round, or two side strips joined to a base strip.",
        (0, 0, 1),
        choices=("one strip", "three strips"),
    ),
)


def three_sides_mm(width_mm: float, height_mm: float, radius_mm: float) -> float:
    """Length of a gusset round two sides and the bottom: 2 h + w - 4 r + pi r (derived).

    >>> round(three_sides_mm(30, 20, 5), 3)
    65.708
    """
    return 2 * height_mm + width_mm - 4 * radius_mm + math.pi * radius_mm


@dataclass(frozen=True, slots=True)
class GussetShell:
    """One shell, outer or lining: its pieces and how the gusset's edges follow one another from left to right."""

    panel: Piece
    strips: tuple[Piece, ...]
    front: tuple[SeamSide, ...]
    back: tuple[SeamSide, ...]
    joins: tuple[StitchLine, ...]
    left_top: SeamSide
    right_top: SeamSide

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Panel and gusset."""
        return (self.panel, *self.strips)

    def lines(self, copy: int) -> tuple[StitchLine, ...]:
        """The gusset sewn round the front (copy 1) or the back (2), in the direction of the panel's edges."""
        return chain_lines([along(self.panel, copy, edge) for edge in ROUND], self.front if copy == 1 else self.back)

    def steps(self, *, with_gap: bool) -> tuple[list[Step], StitchLine]:
        """Sewing the shell, and the gap left in the bottom seam of the back (the whole seam if none is wanted)."""
        role, lockstitch = self.panel.role, SeamKind.LOCKSTITCH
        back = self.lines(2)
        longest = max(back, key=lambda line: line.length_mm)
        half = min(longest.length_mm / 2, LONGEST_GAP_MM) / 2
        middle = longest.length_mm / 2
        beside, gap = split(longest, middle - half, middle + half)
        if with_gap:
            back = (*(line for line in back if line is not longest), *beside)
        left_open = ", leaving a gap to turn it through" if with_gap else ""
        steps = [
            ("gusset", f"Join the three gusset strips of the {role}", self.joins),
            ("front", f"Sew the gusset of the {role} round the front", self.lines(1)),
            ("back", f"Sew the gusset of the {role} round the back{left_open}", back),
        ]
        stage = Stage.LINING if role == "lining" else Stage.OUTER
        return [Step(f"{role}-{key}", name, lockstitch, lines, stage=stage) for key, name, lines in steps], gap


def gusset_shells(sizes: Sizes) -> tuple[GussetShell, GussetShell]:
    """Outer and lining, which ends below a recessed zip if there is one."""
    build, below = _three if sizes["separate_sides"] else _one, below_recess(sizes)
    return build(_panel("outer", sizes), sizes), build(_panel("lining", below), below)


def gusset_making(sizes: Sizes) -> Making:
    """The open lined bag of panels and gusset, its tops (front, back, left, right) still open to what is caught."""
    outer, lining = gusset_shells(sizes)
    outer_steps, _ = outer.steps(with_gap=False)
    lining_steps, gap = lining.steps(with_gap=True)
    return Making(
        pieces=(*outer.pieces, *lining.pieces),
        steps=(*outer_steps, *lining_steps),
        tops=_tops(outer, lining),
        gap=gap,
        assembled=gusset_measures(sizes),
        panels=(face_panel(sizes),),
    )


def _tops(outer: GussetShell, lining: GussetShell) -> dict[str, StitchLine]:
    """Along the top: each edge of the outer with the edge of the lining that lies on it."""
    left, right = lining.left_top, lining.right_top
    return {
        **panel_tops(outer.panel, lining.panel),
        "left": StitchLine((outer.left_top, _turned(right))),
        "right": StitchLine((outer.right_top, _turned(left))),
    }


def _turned(side: SeamSide) -> SeamSide:
    return replace(side, from_mm=side.to_mm, to_mm=side.from_mm)


def _panel(role: str, sizes: Sizes) -> Piece:
    wide, high, r = sizes["width_mm"], sizes["height_mm"], sizes["corner_radius_mm"]
    net = Outline(
        (
            Edge("bottom", (Line((r, 0.0), (wide - r, 0.0)),)),
            Edge("corner_right", (Arc((wide - r, 0.0), (wide - r, r), 90.0),)),
            Edge("right", (Line((wide, r), (wide, high)),)),
            Edge("top", (Line((wide, high), (0.0, high)),)),
            Edge("left", (Line((0.0, high), (0.0, r)),)),
            Edge("corner_left", (Arc((0.0, r), (r, r), 90.0),)),
        )
    )
    bottom = net.edge("bottom").length_mm
    arcs = [Notch(edge, at) for edge in ("corner_left", "corner_right") for at in (0.0, math.pi * r / 2)]
    notches = (*arcs, Notch("bottom", bottom / 2), Notch("top", wide / 2))
    return replace(shell_piece("panel", role, net, sizes), count=2, notches=notches)


def _marks_mm(sizes: Sizes) -> tuple[float, float, float, float, float]:
    """Along the gusset: where the arcs begin and end, and the middle of the bottom."""
    side, r = sizes["height_mm"] - sizes["corner_radius_mm"], sizes["corner_radius_mm"]
    arc, flat = math.pi * r / 2, sizes["width_mm"] - 2 * r
    return side, side + arc, side + arc + flat / 2, side + arc + flat, side + 2 * arc + flat


def _strip(key: str, role: str, start_mm: float, end_mm: float, sizes: Sizes) -> Piece:
    """What of the gusset lies between two places of it; the open ends of the whole are its top edges."""
    whole = three_sides_mm(sizes["width_mm"], sizes["height_mm"], sizes["corner_radius_mm"])
    length, deep = end_mm - start_mm, sizes["depth_mm"]
    is_top = (start_mm == 0.0, abs(end_mm - whole) < 1e-6)
    names = {
        "bottom": "back",
        "top": "front",
        "left": "top_left" if is_top[0] else "end_left",
        "right": "top_right" if is_top[1] else "end_right",
    }
    marks = [at - start_mm for at in _marks_mm(sizes) if start_mm + 1e-6 < at < end_mm - 1e-6]
    first, last = _marks_mm(sizes)[1], _marks_mm(sizes)[3]
    arc, r = math.pi * sizes["corner_radius_mm"] / 2, sizes["corner_radius_mm"]
    turn = 90.0 if role == "outer" else -90.0
    bends = [at - start_mm for at in (first - arc / 2, last + arc / 2) if start_mm < at < end_mm]
    return replace(
        shell_piece(key, role, rectangle_outline(length, deep, names), sizes),
        grain_deg=0.0,
        notches=tuple(Notch(edge, at if edge == "back" else length - at) for at in marks for edge in ("front", "back")),
        bends=tuple(Bend((x, 0.0), (x, deep), turn, radius_mm=r) for x in bends),
        zone_names=tuple(
            ZoneName(name, (at - start_mm, deep / 2))
            for name, at in (("left side", first / 2), ("bottom", whole / 2), ("right side", (last + whole) / 2))
            if bends and start_mm < at < end_mm
        ),
    )


def _one(panel: Piece, sizes: Sizes) -> GussetShell:
    whole = three_sides_mm(sizes["width_mm"], sizes["height_mm"], sizes["corner_radius_mm"])
    strip = _strip("gusset", panel.role, 0.0, whole, sizes)
    return GussetShell(
        panel=panel,
        strips=(strip,),
        front=(against(strip, 1, "front"),),
        # Seen from behind the bag, left is the other end.
        back=(against(strip, 1, "back"),),
        joins=(),
        left_top=along(strip, 1, "top_left"),
        right_top=along(strip, 1, "top_right"),
    )


def _three(panel: Piece, sizes: Sizes) -> GussetShell:
    """Two sides down to where the corners begin, and a base with both corners."""
    first, *_, last = _marks_mm(sizes)
    side = replace(_strip("gusset_side", panel.role, 0.0, first, sizes), count=2)
    base = _strip("gusset_base", panel.role, first, last, sizes)
    # The right side is the same strip turned half round: its front edge as drawn lies at the back.
    return GussetShell(
        panel=panel,
        strips=(side, base),
        front=(against(side, 1, "front"), against(base, 1, "front"), against(side, 2, "back")),
        back=(against(side, 2, "front"), against(base, 1, "back"), against(side, 1, "back")),
        joins=(
            StitchLine((along(side, 1, "end_right"), against(base, 1, "end_left"))),
            StitchLine((along(side, 2, "end_right"), against(base, 1, "end_right"))),
        ),
        left_top=along(side, 1, "top_left"),
        right_top=along(side, 2, "top_left"),
    )


def gusset_measures(sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    """Width, height, radius and depth of the outer; a quarter arc is pi / 2 radii long."""
    radius = 2 / math.pi
    strip = "gusset_side" if sizes["separate_sides"] else "gusset"
    spans = {
        "width_mm": (Span("outer", "top"),),
        "height_mm": (Span("outer", "right"), Span("outer", "corner_right", radius)),
        "corner_radius_mm": (Span("outer", "corner_left", radius),),
        "depth_mm": (Span(strip, "top_left"),),
    }
    return tuple(AssembledMeasure(key=key, asked_mm=sizes[key], spans=found) for key, found in spans.items())


def _corner_too_wide(sizes: Sizes) -> Problem | None:
    roundest = (sizes["width_mm"] - LEAST_STRAIGHT_MM) / 2
    return too_large(sizes, "corner_radius_mm", roundest, "leaves no straight bottom between the corners")


def _corner_too_tall(sizes: Sizes) -> Problem | None:
    roundest = sizes["height_mm"] - LEAST_STRAIGHT_MM
    return too_large(sizes, "corner_radius_mm", roundest, "leaves no straight side above the corners")


def _corner_under_allowance(sizes: Sizes) -> Problem | None:
    least = sizes["seam_allowance_mm"]
    return too_small(sizes, "corner_radius_mm", least, "is tighter than its seam allowance can be eased round")


def _strap_wider_than_gusset(sizes: Sizes) -> Problem | None:
    return too_large(
        sizes, "strap_width_mm", sizes["depth_mm"] - STRAP_ROOM_MM, "is too wide for the top of the gusset"
    )


def _strap_too_short(sizes: Sizes) -> Problem | None:
    least = strap_for_drop_mm(LEAST_DROP_MM, sizes["width_mm"])
    return too_small(sizes, "strap_length_mm", least, "does not reach from side to side with room for a hand")


GUSSET_RULES = (
    FitRule(("corner_radius_mm", "width_mm"), _corner_too_wide),
    FitRule(("corner_radius_mm", "height_mm"), _corner_too_tall),
    FitRule(("corner_radius_mm", "seam_allowance_mm"), _corner_under_allowance),
    FitRule(("strap_width_mm", "depth_mm"), _strap_wider_than_gusset),
    FitRule(("strap_length_mm", "width_mm"), _strap_too_short),
)


def strap_place(sizes: Sizes) -> tuple[float, float]:
    """Where a strap end lies along the top of the gusset."""
    middle, half = sizes["depth_mm"] / 2, sizes["strap_width_mm"] / 2
    return middle - half, middle + half
