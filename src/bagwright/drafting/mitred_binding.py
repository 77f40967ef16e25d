"""Binding round a rectangle: four strips folded over its raw edges, mitred where they meet at the corners.

Each strip is drawn as it shows, front half below its middle fold and back half above, and the turned-in quarters are
its allowances: cut, it is four times as wide as the binding. At a corner of angle a the mitre runs s / sin(a / 2) over
a binding s wide (derived); here a = 90 degrees.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.steps import Step, StitchLine, against, along
from bagwright.geometry.outline import polygon_outline
from bagwright.model.pattern import SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine

MITRE_ALLOWANCE_MM = 6.35
ROUND = ("bottom", "right", "top", "left")
"""The sides of the panel, counter-clockwise seen from its front."""


def mitre_mm(binding_mm: float, corner_deg: float = 90.0) -> float:
    """Length of the mitre across a binding of that width: s / sin(a / 2).

    >>> round(mitre_mm(10), 4), round(mitre_mm(10, 120), 4)
    (14.1421, 11.547)
    """
    return binding_mm / math.sin(math.radians(corner_deg) / 2)


@dataclass(frozen=True, slots=True)
class MitredBinding:
    """Strips of one width round a net rectangle, two along its bottom and top and two along its sides."""

    width_mm: float
    across: Piece
    upright: Piece

    @property
    def pieces(self) -> tuple[Piece, Piece]:
        """Both pairs."""
        return self.across, self.upright

    def strip(self, side: str) -> tuple[Piece, int]:
        """The piece and the copy along a side of the panel."""
        return {
            "bottom": (self.across, 1),
            "right": (self.upright, 1),
            "top": (self.across, 2),
            "left": (self.upright, 2),
        }[side]

    def sides(self, side: str) -> tuple[SeamSide, SeamSide]:
        """Its front and back half along a side, counter-clockwise seen from the panel's front."""
        piece, copy = self.strip(side)
        return against(piece, copy, "front"), along(piece, copy, "back")

    def mitres(self) -> Step:
        """The strips sewn together at their ends to a frame, each end from the inner corner to the outer and back."""
        lines = []
        for side, following in zip(ROUND, (*ROUND[1:], ROUND[0]), strict=True):
            (one, copy), (other, second) = self.strip(side), self.strip(following)
            lines += [
                StitchLine((along(one, copy, "left_front"), against(other, second, "right_front"))),
                StitchLine((along(one, copy, "left_back"), against(other, second, "right_back"))),
            ]
        name = "Sew the binding strips together at their mitred ends; trim the points and turn the frame"
        return Step("mitres", name, SeamKind.LOCKSTITCH, tuple(lines), stage=Stage.PARTS)

    def width_spans(self, times: float) -> tuple[Span, ...]:
        """So many finished widths of it, as its mitres give them."""
        return (Span(self.across.id, "left_front", times / mitre_mm(1.0)),)


def mitred_binding(
    width_mm: float, net_mm: tuple[float, float], creases_mm: Sequence[tuple[float, float]]
) -> MitredBinding:
    """Binding for a panel of that net width and height.

    `creases_mm`: where the finished panel folds upright, along its width, and by how much its back turns there.
    """
    across, upright = (
        _strip(f"binding_{key}", side, width_mm) for key, side in zip(("across", "upright"), net_mm, strict=True)
    )
    return MitredBinding(width_mm, replace(across, bends=_creased(across, width_mm, creases_mm)), upright)


def _strip(piece_id: str, length_mm: float, width_mm: float) -> Piece:
    w, end = width_mm, length_mm
    net = polygon_outline(
        [
            ("front", (0.0, 0.0)),
            ("right_front", (end, 0.0)),
            ("right_back", (end + w, w)),
            ("back", (end, 2 * w)),
            ("left_back", (0.0, 2 * w)),
            ("left_front", (-w, w)),
        ]
    )
    names = [edge.name for edge in net.edges]
    return Piece(
        id=piece_id,
        name="Binding, top and bottom" if piece_id.endswith("across") else "Binding, sides",
        role="binding",
        net=net,
        allowance_mm={name: w if name in ("front", "back") else MITRE_ALLOWANCE_MM for name in names},
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
        grain_deg=0.0,
        notches=(Notch("front", end / 2), Notch("back", end / 2)),
        lines=(PlacementLine("middle", (end, w), (0.0, w)),),
        bends=(Bend((-w, w), (end + w, w), 180.0),),
        note="Turn both long edges under; the middle fold lies on the raw edge of the panel.",
    )


def _creased(strip: Piece, width_mm: float, creases_mm: Sequence[tuple[float, float]]) -> tuple[Bend, ...]:
    """The middle fold in parts between the creases, and both halves bent with the panel: alike at either end."""
    (middle,) = strip.bends
    places = [middle.start[0], *(x for x, _ in creases_mm), middle.end[0]]
    folds = [Bend((a, width_mm), (b, width_mm), 180.0) for a, b in itertools.pairwise(places)]
    for x, turn in creases_mm:
        folds += [Bend((x, 0.0), (x, width_mm), -turn), Bend((x, width_mm), (x, 2 * width_mm), turn)]
    return tuple(folds)
