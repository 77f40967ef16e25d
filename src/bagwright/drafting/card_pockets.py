"""Stepped card pockets on both leaves of a wallet.

Pocket 1 is the front one of each leaf: a single layer whose slanted top is hemmed, cut as a mirrored pair. The ones
behind it are folded double along their top edge, each one step higher, and stitched down along their foot.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bagwright.drafting.cards import pocket_height_mm
from bagwright.drafting.leaves import Leaves
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.outline import Edge, Outline, rectangle_outline
from bagwright.model.pattern import SeamKind, Stage
from bagwright.model.piece import EdgeUse, Mirror, Piece, PlacementLine

SLANT_SHARE = 1 / 3
SLANT_HEM_MM = 6.35


@dataclass(frozen=True, slots=True)
class CardPockets:
    """The pockets of both leaves: `levels` cards one behind the other, each a step above the next."""

    leaves: Leaves
    levels: int
    step_mm: float

    @property
    def high_mm(self) -> float:
        """Foot to top of each."""
        return pocket_height_mm(self.step_mm)

    def foot_lines(self) -> Iterator[PlacementLine]:
        """Where the feet of the back pockets lie on the inside, left to right on both leaves."""
        leaf, width = self.leaves.leaf_mm, self.leaves.open_mm
        for level in range(2, self.levels + 1):
            y = (level - 1) * self.step_mm
            yield PlacementLine(f"foot_{level}_left", (0.0, y), (leaf, y))
            yield PlacementLine(f"foot_{level}_right", (width - leaf, y), (width, y))

    def pieces(self) -> tuple[Piece, ...]:
        """Front pockets, and back pockets if there are any."""
        return (self._front(), *([self._back()] if self.levels > 1 else []))

    def _front(self) -> Piece:
        """The left one as drawn: lower at the outer side, rounded like the cover."""
        width, high, r = self.leaves.leaf_mm, self.high_mm, self.leaves.radius_mm
        low = high * (1 - SLANT_SHARE)
        lines = (
            ("bottom", (r, 0.0), (width, 0.0)),
            ("spine", (width, 0.0), (width, high)),
            ("slant", (width, high), (0.0, low)),
            ("side", (0.0, low), (0.0, r)),
        )
        corner = [Edge("corner", (Arc((0.0, r), (r, r), 90.0),))] if r else []
        net = Outline((*(Edge(name, (Line(start, end),)) for name, start, end in lines), *corner))
        names = [edge.name for edge in net.edges]
        return Piece(
            id="front_pocket",
            name="Front card pocket",
            role="pocket",
            net=net,
            allowance_mm={name: SLANT_HEM_MM if name == "slant" else self.leaves.allowance_mm for name in names},
            edge_use={name: EdgeUse.HEM if name == "slant" else EdgeUse.SEAM for name in names},
            count=2,
            mirror=Mirror.PAIRS,
            note="Left as drawn, right mirrored. Hem the slant, turn the spine edge under.",
        )

    def _back(self) -> Piece:
        sewn = ("bottom", "right", "left")
        return Piece(
            id="back_pocket",
            name="Back card pocket",
            role="pocket",
            net=rectangle_outline(self.leaves.leaf_mm, self.high_mm),
            allowance_mm={**dict.fromkeys(sewn, self.leaves.allowance_mm), "top": 0.0},
            edge_use={**dict.fromkeys(sewn, EdgeUse.SEAM), "top": EdgeUse.FOLD},
            count=2 * (self.levels - 1),
            note="Stays folded double along its top. Turn the spine edges of both layers under.",
        )

    def steps(self, inside: Piece) -> tuple[Step, ...]:
        """Hemming the front ones, and stitching all of them to the inside; their outer edges wait for the rim."""
        front, stage = self._front(), Stage.POCKETS
        slants = tuple(StitchLine((along(front, copy, "slant"),)) for copy in (1, 2))
        feet = "From the back forwards, stitch each back pocket along its foot"
        spine = "Turn the spine edges under; stitch the pockets along the spine lines"
        return (
            Step("slants", "Hem the slanted tops of the front pockets", SeamKind.HEM, slants, stage=stage),
            Step("feet", feet, SeamKind.LOCKSTITCH, self._feet(inside), stage=stage),
            Step("spine", spine, SeamKind.LOCKSTITCH, self._spine_seams(inside), stage=stage),
        )

    def _back_copies(self) -> Iterator[tuple[Piece, int, int, int]]:
        """The piece, the pocket's number counted from the front, its left copy and its right copy."""
        if self.levels > 1:
            back = self._back()
            for left in range(1, back.count, 2):
                yield back, (left + 3) // 2, left, left + 1

    def _feet(self, inside: Piece) -> tuple[StitchLine, ...]:
        return tuple(
            StitchLine((along(inside, 1, f"foot_{level}_{half}"), *[along(piece, copy, "bottom")] * 2))
            for piece, level, left, right in reversed(list(self._back_copies()))
            for half, copy in (("left", left), ("right", right))
        )

    def _spine_seams(self, inside: Piece) -> tuple[StitchLine, ...]:
        """From the bottom up to the top of the highest pocket, on both sides of the spine."""
        front, high = self._front(), self.high_mm
        top = (self.levels - 1) * self.step_mm + high
        caught = {
            "left": [Caught(0.0, high, along(front, 1, "spine"))],
            "right": [Caught(0.0, high, along(front, 2, "spine"))],
        }
        for piece, level, left, right in self._back_copies():
            foot = (level - 1) * self.step_mm
            caught["left"].append(Caught(foot, foot + high, along(piece, left, "right"), layers=2))
            caught["right"].append(Caught(foot, foot + high, against(piece, right, "left"), layers=2))
        return tuple(
            StitchLine((part(along(inside, 1, f"spine_{half}"), 0.0, top),), tuple(pockets))
            for half, pockets in caught.items()
        )

    def caught_in_rim(self, inside: Piece) -> dict[str, list[Caught]]:
        """Pockets in the outer seam; distances run along the inside's edges: rightwards, up, leftwards, down."""
        front = self._front()
        base, side = front.edge("bottom").length_mm, front.edge("side").length_mm
        bottom, upright = inside.edge("bottom").length_mm, inside.edge("left").length_mm
        caught = {
            "bottom": [
                Caught(0.0, base, along(front, 1, "bottom")),
                Caught(bottom - base, bottom, against(front, 2, "bottom")),
            ],
            "right": [Caught(0.0, side, against(front, 2, "side"))],
            "left": [Caught(upright - side, upright, along(front, 1, "side"))],
        }
        if self.leaves.radius_mm:
            arc = front.edge("corner").length_mm
            caught["corner_bottom_right"] = [Caught(0.0, arc, against(front, 2, "corner"))]
            caught["corner_bottom_left"] = [Caught(0.0, arc, along(front, 1, "corner"))]
        for piece, level, left, right in self._back_copies():
            start = (level - 1) * self.step_mm - self.leaves.radius_mm
            end = start + self.high_mm
            caught["right"].append(Caught(start, end, along(piece, right, "right"), layers=2))
            caught["left"].append(Caught(upright - end, upright - start, along(piece, left, "left"), layers=2))
        return caught
