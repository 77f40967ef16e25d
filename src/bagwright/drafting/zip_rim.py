"""A zip round three sides of a cover that folds once: along bottom, outer side and top of both its leaves.

The chain is drawn closed, seen from outside the closed cover: `tape_front` lies along the right leaf as seen from
inside, from the spine's lower end to its upper end, `tape_back` along the left one. The spine is as wide as the zip
shows; the tape's ends are sewn into it. Extra tape e that is eased in at a corner of radius r lets the zip run wider
round it, at a smaller radius q between straight ends: e = (2 - pi / 2) (r - q), derived; at most square round it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.leaves import Leaves
from bagwright.drafting.lined_bag import split
from bagwright.drafting.steps import Step, StitchLine, along
from bagwright.drafting.zips import chain_piece
from bagwright.model.pattern import SeamKind, SeamSide, Stage
from bagwright.model.piece import Bend, Notch, Piece
from bagwright.model.sewn_zip import SewnZip

CLOSED_DEG = 90.0
SQUARE_EASE = 2 - math.pi / 2
"""Way round a square corner less that round an arc in it, over the arc's radius."""
LONGEST_GAP_MM = 101.6
GAP_CLEAR_MM = 10.0
SPINE_TOP = 1
"""Which line of the step `rim` lies across the upper end of the spine."""
RIGHT = ("bottom", "corner_bottom_right", "right", "corner_top_right", "top")
LEFT = ("top", "corner_top_left", "left", "corner_bottom_left", "bottom")
"""Edges of the inside that the two tapes lie along, as they run; of the first and the last only as far as the spine."""


def rim_mm(leaf_mm: float, height_mm: float, radius_mm: float) -> float:
    """The way round three sides of a leaf from spine to spine: 2 w + h - 4 r + pi r (derived).

    >>> round(rim_mm(20, 30, 5), 3)
    65.708
    """
    return 2 * leaf_mm + height_mm - 4 * radius_mm + math.pi * radius_mm


@dataclass(frozen=True, slots=True)
class ZipRim:
    """The zip of such a cover, with `ease_mm` more tape than seam at each corner."""

    leaves: Leaves
    sewn: SewnZip
    ease_mm: float

    def chain(self) -> Piece:
        """Its corners are notched on both tapes, and bent there."""
        one, radius = self.sewn, self.leaves.radius_mm - self.ease_mm / SQUARE_EASE
        _, start, end, *_ = self._ends_mm()
        middles = ((start + end) / 2, one.line_mm - (start + end) / 2)
        bends = tuple(Bend((x, 0.0), (x, one.showing_mm), CLOSED_DEG, radius) for x in middles)
        told = "Put the slider on before the stops; ease the tape in between the notches at the corners."
        note = f"Closed, right side up, its lower end at the left. {told}"
        chain = chain_piece(one, note=note, bends=bends)
        places = (start, end, one.line_mm - end, one.line_mm - start)
        corners = tuple(Notch(edge, at) for edge in ("tape_front", "tape_back") for at in places)
        return replace(chain, notches=(*chain.notches, *corners))

    def gap_in_top(self) -> tuple[float, float]:
        """What of the top is left open for turning: in the right leaf, clear of corner and spine."""
        straight = self.leaves.spine_in_edges_mm[0]
        half = min(straight - 2 * GAP_CLEAR_MM, LONGEST_GAP_MM) / 2
        return straight / 2 - half, straight / 2 + half

    def _ends_mm(self) -> list[float]:
        """Places along a tape where it goes from one edge of a leaf to the next."""
        straight, arc = self.leaves.leaf_mm - self.leaves.radius_mm, math.pi * self.leaves.radius_mm / 2 + self.ease_mm
        upright = self.leaves.height_mm - 2 * self.leaves.radius_mm
        return list(itertools.accumulate((straight, arc, upright, arc, straight), initial=0.0))

    def _taped(self, lines: Sequence[StitchLine], chain: Piece, tape: str) -> Iterator[StitchLine]:
        """One leaf's rim with a tape along it, eased in at the corners."""
        for number, (line, ends) in enumerate(zip(lines, itertools.pairwise(self._ends_mm()), strict=True)):
            side = SeamSide(chain.id, 1, tape, *ends, ease_mm=self.ease_mm if number % 2 else 0.0)
            yield StitchLine((*line.through, side), line.caught)

    def steps(self, rim: Mapping[str, StitchLine], chain: Piece) -> tuple[Step, ...]:
        """The rim of cover and inside, edge by edge, sewn with the zip; the gap lies in the top of the right leaf."""
        first, last = self.leaves.spine_in_edges_mm
        end = last + first
        right = [rim["bottom"].part(last, end), *(rim[edge] for edge in RIGHT[1:-1]), rim["top"].part(0.0, first)]
        left = [rim["top"].part(last, end), *(rim[edge] for edge in LEFT[1:-1]), rim["bottom"].part(0.0, first)]
        right, left = list(self._taped(right, chain, "tape_front")), list(self._taped(left, chain, "tape_back"))
        spine = [
            StitchLine((*rim[edge].part(first, last).through, along(chain, 1, end_of)))
            for edge, end_of in (("bottom", "end_left"), ("top", "end_right"))
        ]
        beside, gap = split(right[-1], *self.gap_in_top())
        return _sewn((*right, *left), spine, (*spine, *right[:-1], *beside, *left), gap)


def _sewn(
    taped: Sequence[StitchLine], spine: Sequence[StitchLine], joined: Sequence[StitchLine], gap: StitchLine
) -> tuple[Step, ...]:
    """The tapes held on the cover, the inside sewn over them, turned, topstitched."""
    held = tuple(StitchLine(line.through[1:]) for line in (*taped, *spine))
    hold = (
        "Open the zip; baste one tape to each leaf of the cover, right sides together, eased in and clipped at the "
        "corners; turn its ends in at the spine"
    )
    sew = "Lay the inside over it, right sides together; sew all round, leaving a gap at the top"
    turn = "Turn right side out through the gap, press, and close it"
    return (
        Step("tape", hold, SeamKind.BASTE, held, stage=Stage.ZIPS),
        Step("rim", sew, SeamKind.ZIP, tuple(joined), stage=Stage.JOIN),
        Step("gap", turn, SeamKind.ZIP, (gap,), stage=Stage.CLOSE),
        Step("edge", "Topstitch all round beside the zip", SeamKind.TOPSTITCH, tuple(taped), stage=Stage.CLOSE),
    )
