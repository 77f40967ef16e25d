"""Tidy a layout with the exact outlines: undo overlaps of rounding size, then push every piece back as far as it goes.

Never makes a sound layout longer. What can't be put right is left for `check.py` to find.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bagwright.cutting.requests import plain_outline
from bagwright.geometry.sliding import Sides, free_run_among_mm
from bagwright.model.layout import LayRequest, Placement

_HAIR_SHARE = 5e-6
"""Overlaps up to this share of the layout's longer side count as rounding: single precision keeps 7 digits."""
_SWEEPS = 4
_STILL_MM = 1e-7


def settle(request: LayRequest, placements: Sequence[Placement]) -> tuple[Placement, ...]:
    """The same layout, its pieces moved only a hair across the cloth and as far back along it as they go."""
    grown = {piece.id: plain_outline(piece.region, request.gap_mm) for piece in request.pieces}
    regions = [grown[place.id].moved(place.move) for place in placements]
    edge = -request.gap_mm / 2
    hair = _HAIR_SHARE * max([request.width_mm, *(region.bounds[2] for region in regions)])
    lifts = _lifts([Sides.of(region, axis=1) for region in regions], edge, hair)
    raised = [region.shifted(0.0, lift) for region, lift in zip(regions, lifts, strict=True)]
    shifts = _shifts([Sides.of(region) for region in raised], edge, hair)
    return tuple(
        replace(place, x_mm=place.x_mm + dx, y_mm=place.y_mm + dy)
        for place, dx, dy in zip(placements, shifts, lifts, strict=True)
    )


def _lifts(sides: list[Sides], edge: float, hair: float) -> list[float]:
    """How far each piece must rise to clear what it overlaps by a hair below it, lowest first."""
    moves = [0.0] * len(sides)
    for i in sorted(range(len(sides)), key=lambda i: sides[i].along[0]):
        others = [other for j, other in enumerate(sides) if j != i and _meet(sides[i], other, hair)]
        run = min(free_run_among_mm(sides[i], others, overlap_mm=hair), sides[i].along[0] - edge)
        if -hair <= run < 0:
            moves[i] -= run
            sides[i] = sides[i].moved(-run)
    return moves


def _meet(upper: Sides, lower: Sides, hair: float) -> bool:
    return upper.along[0] < lower.along[1] and lower.along[0] < upper.along[1] and upper.shares_heights_with(lower)


def _shifts(sides: list[Sides], edge: float, hair: float) -> list[float]:
    """How far each piece moves along, in a few sweeps from the start of the cloth."""
    moves = [0.0] * len(sides)
    beside = [
        [j for j, other in enumerate(sides) if j != i and one.shares_heights_with(other)] for i, one in enumerate(sides)
    ]
    for _ in range(_SWEEPS):
        moved = 0.0
        for i in sorted(range(len(sides)), key=lambda i: sides[i].along[0]):
            behind = [sides[j] for j in beside[i] if sides[j].along[0] < sides[i].along[1]]
            run = min(free_run_among_mm(sides[i], behind, overlap_mm=hair), sides[i].along[0] - edge)
            if run < -hair or abs(run) <= _STILL_MM * hair:
                continue
            moves[i] -= run
            sides[i] = sides[i].moved(-run)
            moved = max(moved, abs(run))
        if moved <= hair:
            break
    return moves
