"""A cover that folds once: two leaves with a spine between them, cut in one, and an inside of the same shape.

Everything is drawn open and seen from inside. Seen from outside, the cover's left lies on the inside's right.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bagwright.drafting.steps import Caught, StitchLine, against, along
from bagwright.geometry.curves import Arc, Line, Point
from bagwright.geometry.outline import Edge, Outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Panel, Span
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine
from bagwright.model.zones import ZoneName


def rounded_rectangle(width: float, height: float, radius: float) -> Outline:
    """Edges bottom, right, top, left with an arc between each two (`corner_bottom_right`...) unless the radius is 0.

    >>> rounded_rectangle(30, 20, 5).edge("corner_top_left").start
    (5, 20)
    """
    if radius == 0:
        return rectangle_outline(width, height)
    r = radius
    sides: list[tuple[str, Point, Point, str, Point]] = [
        ("bottom", (r, 0.0), (width - r, 0.0), "corner_bottom_right", (width - r, r)),
        ("right", (width, r), (width, height - r), "corner_top_right", (width - r, height - r)),
        ("top", (width - r, height), (r, height), "corner_top_left", (r, height - r)),
        ("left", (0.0, height - r), (0.0, r), "corner_bottom_left", (r, r)),
    ]
    edges = []
    for name, start, end, corner, centre in sides:
        edges += [Edge(name, (Line(start, end),)), Edge(corner, (Arc(end, centre, 90.0),))]
    return Outline(tuple(edges))


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaves:
    """The sizes of such a cover: one leaf from its outer edge to the spine, the spine, height and corner radius."""

    leaf_mm: float
    spine_mm: float
    height_mm: float
    radius_mm: float
    allowance_mm: float

    @property
    def open_mm(self) -> float:
        """Width lying open."""
        return 2 * self.leaf_mm + self.spine_mm

    @property
    def spine_in_edges_mm(self) -> tuple[float, float]:
        """Where the spine lies along top and bottom: both halves are alike, so from either end."""
        start = self.leaf_mm - self.radius_mm
        return start, start + self.spine_mm

    def cover(self, turn_deg: float) -> Piece:
        """The outside, turned by `turn_deg` on either side of the spine."""
        return self._piece("cover", "Cover", "outer", turn_deg)

    def inside(self, turn_deg: float) -> Piece:
        """What faces it."""
        return self._piece("inside", "Inside", "lining", -turn_deg)

    def _piece(self, piece_id: str, name: str, role: str, turn_deg: float) -> Piece:
        net = rounded_rectangle(self.open_mm, self.height_mm, self.radius_mm)
        left, right, top = self.leaf_mm, self.leaf_mm + self.spine_mm, self.height_mm
        return Piece(
            id=piece_id,
            name=name,
            role=role,
            net=net,
            allowance_mm={edge.name: self.allowance_mm for edge in net.edges},
            edge_use={edge.name: EdgeUse.SEAM for edge in net.edges},
            notches=tuple(Notch(edge, at) for edge in ("bottom", "top") for at in self.spine_in_edges_mm),
            bends=tuple(Bend((x, 0.0), (x, top), turn_deg) for x in (left, right)),
            zone_names=tuple(
                ZoneName(name, (x, top / 2))
                for name, x in (
                    ("left leaf", left / 2),
                    ("spine", (left + right) / 2),
                    ("right leaf", (right + self.open_mm) / 2),
                )
            ),
            lines=(
                PlacementLine("spine_left", (left, 0.0), (left, top)),
                PlacementLine("spine_right", (right, 0.0), (right, top)),
                PlacementLine("spine_width", (left, top), (right, top)),
            ),
        )

    def panel(self) -> Panel:
        """Cover and inside together, lying open."""
        return Panel(
            key="cover",
            name="Cover, open",
            piece_ids=("cover", "inside"),
            height_mm=self.height_mm,
            copies=1,
            is_upright=False,
        )

    def measures(self, keys: Mapping[str, float]) -> tuple[AssembledMeasure, ...]:
        """Those of leaf, height, spine and corner that were asked for: `keys` says what each is called and asked as.

        A quarter arc is pi / 2 radii long. Square corners have no radius to measure.
        """
        rounded = ("bottom_right", "top_right", "top_left") if self.radius_mm else ()
        arcs = {end: Span("inside", f"corner_{end}", 2 / math.pi) for end in rounded}
        across = (Span("inside", "top"), *(arcs[end] for end in rounded if end.startswith("top")))
        spans: dict[str, tuple[Span, ...]] = {
            "closed_width_mm": (
                *(Span(s.piece_id, s.edge, s.factor / 2) for s in across),
                Span("inside", "spine_width", -0.5),
            ),
            "height_mm": (Span("inside", "right"), *(arcs[end] for end in rounded if end.endswith("right"))),
            "fold_ease_mm": (Span("inside", "spine_width"),),
        }
        if rounded:
            spans["corner_radius_mm"] = (Span("cover", "corner_top_left", 2 / math.pi),)
        return tuple(
            AssembledMeasure(key=key, asked_mm=keys[key], spans=found) for key, found in spans.items() if key in keys
        )


def rim_lines(cover: Piece, inside: Piece, caught: Mapping[str, Sequence[Caught]]) -> dict[str, StitchLine]:
    """Cover and inside sewn together all round, edge by edge, as the inside's edges run."""
    return {
        edge.name: StitchLine(
            (along(inside, 1, edge.name), against(cover, 1, _other_hand(edge.name))), tuple(caught.get(edge.name, ()))
        )
        for edge in inside.net.edges
    }


def _other_hand(name: str) -> str:
    return name.replace("left", "right") if "left" in name else name.replace("right", "left")
