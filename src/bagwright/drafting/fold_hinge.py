"""The way in which a piece leaves a seam that alone does not hold it: on, over, or back."""

from __future__ import annotations

import math

from bagwright.drafting.fold_assembly import Assembly, Pair
from bagwright.drafting.fold_tracks import Body, Track, way_along
from bagwright.geometry.curves import Point
from bagwright.geometry.space import Point3, along, cross, dot
from bagwright.model.piece import Piece

INSIDE_ROLES = frozenset({"lining", "pocket", "facing"})
"""What lies within the bag: from a seam to anything else it hangs back, and does not stand on."""
_STILL = (0.0, 0.0, 0.0)


def way_off(pair: Pair, number: int, assembly: Assembly) -> Point3:
    """The direction into the waiting piece, square to the seam, at one sample of it.

    On a line drawn on the other piece it lies flat, right side up. From an edge it goes on in the plane of what it is
    sewn to, turned by the bend that it declares along its own edge; what belongs inside the bag turns right back.
    """
    inward, normal = assembly.frame(pair.target, number)
    body, way = assembly.bodies[pair.own.copy], way_along(pair.goal, number)
    own_inward, own_normal = body.inward_at(body.piece.edge(pair.own.side.edge), pair.own.at_mm[number])
    is_left = dot(cross(own_normal, way_along(pair.own.points, number)), own_inward) > 0
    if not (pair.own.is_edge and pair.target.is_edge):
        return along(_STILL, cross(normal, way), 1.0 if is_left else -1.0)
    # Laid out flat, two pieces lie on either side of their seam if their right sides look the same way.
    looks_alike = is_left != (dot(cross(normal, way), inward) > 0)
    turn = math.radians(_turn_deg(body, pair, assembly)) * (1.0 if looks_alike else -1.0)
    return along(along(_STILL, inward, -math.cos(turn)), normal, -math.sin(turn))


def declared_turn_deg(piece: Piece, track: Track) -> float | None:
    """By how much a piece says that it turns along the edge by which it is sewn; None if it says nothing."""
    start, end = track.drawn[0], track.drawn[-1]
    for bend in piece.bends:
        if _lies_on(start, bend.start, bend.end) and _lies_on(end, bend.start, bend.end):
            return bend.angle_deg
    return None


def _turn_deg(body: Body, pair: Pair, assembly: Assembly) -> float:
    declared = declared_turn_deg(body.piece, pair.own)
    if declared is not None:
        return declared
    role, other = body.piece.role, assembly.bodies[pair.target.copy].piece.role
    hangs_back = role == "pocket" or (role in INSIDE_ROLES and other not in INSIDE_ROLES)
    return 180.0 if hangs_back else 0.0


def _lies_on(point: Point, start: Point, end: Point) -> bool:
    return math.dist(start, point) + math.dist(point, end) < math.dist(start, end) + 0.01
