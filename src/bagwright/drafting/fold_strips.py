"""How a strip lies on its piece as drawn: which way it runs, how wide it is, where it is folded lengthwise."""

from __future__ import annotations

import math
from dataclasses import replace

from bagwright.drafting.fold_assembly import SoftCopy, zigzag_mm
from bagwright.drafting.fold_tracks import Body, Tracks
from bagwright.geometry.curves import Point
from bagwright.geometry.ribbons import Ribbon, Station
from bagwright.model.pattern import SeamSide

STRAP_ROLES = frozenset({"strap", "webbing"})
FLAT_FOLD_DEG = 170.0
_X = (1.0, 0.0, 0.0)


def is_ribbon(body: Body, tracks: Tracks) -> bool:
    """Whether a copy is a strip by nature: a strap, or anything folded over and over where it is caught.

    What is sewn all round (the tab over the end of a zip) is none.
    """
    if not is_strip(body):
        return False
    if body.piece.role in STRAP_ROLES:
        return True
    sides = [track.side for found in tracks.values() for track in found if track.copy == body.key]
    is_sewn_round = {edge.name for edge in body.piece.net.edges} <= {side.edge for side in sides}
    return not is_sewn_round and any(side.folds > 1 for side in sides)


def is_strip(body: Body) -> bool:
    """Whether a copy has no bends, or is only folded flat along lines side by side."""
    bends = body.piece.bends
    ways = [(b.end[0] - b.start[0], b.end[1] - b.start[1]) for b in bends]
    return all(
        bend.radius_mm == 0
        and abs(bend.angle_deg) > FLAT_FOLD_DEG
        and abs(way[0] * ways[0][1] - way[1] * ways[0][0]) < 1e-6 * math.hypot(*way) * math.hypot(*ways[0])
        for bend, way in zip(bends, ways, strict=True)
    )


def laid_out(body: Body, across: Point, side: SeamSide) -> SoftCopy:
    """The strip as drawn, in a plane, its length to the left of `across`; folded by its bends or as the side says."""
    low, back, wide = low_mm(body, across), low_mm(body, left_of(across)), extent_mm(body, across)
    origin = (low * across[0] - back * across[1], low * across[1] + back * across[0])
    folds = [(b.start[0] - origin[0]) * across[0] + (b.start[1] - origin[1]) * across[1] for b in body.piece.bends]
    if side.folds > 1:
        folds = [layer * wide / side.folds for layer in range(1, side.folds)]
    folds.sort()
    places = [zigzag_mm(over, folds) for over in (0.0, *folds, wide)]
    ribbon = Ribbon((Station(0.0, (0.0, 0.0, 0.0), _X), Station(1.0, (0.0, 1.0, 0.0), _X)), max(places) - min(places))
    return SoftCopy(ribbon, origin, across, left_of(across), tuple(folds))


def at_level(strip: SoftCopy, level: Point) -> SoftCopy:
    """The strip started from the level of a point along it."""
    (x, y), (ux, uy) = strip.origin, strip.ahead
    run = ux * (level[0] - x) + uy * (level[1] - y)
    return replace(strip, origin=(x + run * ux, y + run * uy))


def way_between(start: Point, end: Point) -> Point:
    """The direction from one point to another, one long."""
    run = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / run, (end[1] - start[1]) / run


def left_of(way: Point) -> Point:
    """The direction to the left of another."""
    return -way[1], way[0]


def low_mm(body: Body, way: Point) -> float:
    """Where the piece begins one way."""
    return min(x * way[0] + y * way[1] for x, y in body.piece.net.ring(0.5))


def extent_mm(body: Body, way: Point) -> float:
    """How far the piece reaches one way."""
    return -low_mm(body, way) - low_mm(body, (-way[0], -way[1]))
