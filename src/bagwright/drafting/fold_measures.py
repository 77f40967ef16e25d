"""What the folded-up bag measures: stood upright, its size, how its faces lean, and what it holds."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from bagwright.drafting.fold_assembly import Assembly
from bagwright.drafting.fold_tracks import CHORD_MM
from bagwright.geometry.facets import Facet
from bagwright.geometry.solids import enclosed_mm3, reach_mm
from bagwright.geometry.space import Motion, Point3, along, cross, dot, mean, spread_mm, unit
from bagwright.model.fold_up import Copy
from bagwright.model.pattern import Pattern
from bagwright.model.piece import EdgeUse

LEVEL_MM = 1.0
"""Points within this of the ground (or the top) count as lying on it."""
LEAST_CAPACITY_MM3 = 1000.0
_STILL = (0.0, 0.0, 0.0)

_NO_WALLS = ("lining", "pocket", "binding")

Facets = Mapping[Copy, Sequence[Facet]]


def upright(assembly: Assembly, facets: Facets) -> Motion:
    """The motion that stands the bag up: x to the right of its first piece, y away from its front, z up.

    Up is the mean direction that is up on the first piece as drawn, over all its copies, so that front and back may
    lean; right likewise on its first copy.
    """
    first = assembly.order[0]
    copies = [copy for copy in assembly.order if copy[0] == first[0]]
    up = _drawn_way(((facet, assembly.bodies[c].is_mirrored) for c in copies for facet in facets[c]), (0.0, 1.0, 0.0))
    right = _drawn_way(((facet, assembly.bodies[first].is_mirrored) for facet in facets[first]), (1.0, 0.0, 0.0))
    if up is None or right is None or abs(dot(up, right)) > 0.99:
        largest = max(facets[first], key=lambda facet: facet.area_mm2)
        up, right = largest.motion.turned((0.0, 1.0, 0.0)), largest.motion.turned((1.0, 0.0, 0.0))
    right = unit(along(right, up, -dot(right, up)))
    turn = Motion((right, cross(up, right), up))
    stiff = [found for copy, found in facets.items() if copy not in assembly.soft] or list(facets.values())
    points = [turn.apply(point) for found in stiff for facet in found for point in facet.points]
    low, high = reach_mm(points)
    return Motion(turn.rows, (-(low[0] + high[0]) / 2, -(low[1] + high[1]) / 2, -low[2]))


def _drawn_way(facets: Iterable[tuple[Facet, bool]], way: Point3) -> Point3 | None:
    """The mean of a direction as drawn over facets; None if it comes to nothing, as round a tube."""
    total, area = _STILL, 0.0
    for facet, is_mirrored in facets:
        drawn = (-way[0], way[1], way[2]) if is_mirrored else way
        total, area = along(total, facet.motion.turned(drawn), facet.area_mm2), area + facet.area_mm2
    return unit(total) if math.hypot(*total) > 0.01 * area else None


def body_facets(pattern: Pattern, facets: Facets, soft: Iterable[Copy]) -> list[Facet]:
    """What the size is taken of: the faces that the pattern names as panels; all that is stiff if it names none.

    What binds their raw edges counts with them.
    """
    named = {piece_id for panel in pattern.panels for piece_id in panel.piece_ids}
    named |= {piece.id for piece in pattern.pieces if piece.role == "binding"}
    leaves_out = set(soft)
    stiff = {copy: found for copy, found in facets.items() if copy not in leaves_out}
    own = [facet for (piece_id, _), found in stiff.items() if piece_id in named for facet in found]
    return own or [facet for found in stiff.values() for facet in found]


def size_of(facets: Sequence[Facet]) -> tuple[tuple[float, float, float], float, float]:
    """Width, depth and height over all; the width on the ground; by how much each face leans in above."""
    points = [point for facet in facets for point in facet.points]
    low, high = reach_mm(points)
    ground = reach_mm([p for p in points if p[2] < low[2] + LEVEL_MM])
    top = reach_mm([p for p in points if p[2] > high[2] - LEVEL_MM])
    lean = ((ground[1][1] - ground[0][1]) - (top[1][1] - top[0][1])) / 2
    size = (high[0] - low[0], high[1] - low[1], high[2] - low[2])
    return size, ground[1][0] - ground[0][0], lean


def capacity_mm3(assembly: Assembly, facets: Facets) -> float | None:
    """Space inside the lining up to its rim, or inside the outer if there is no lining; None if it holds nothing.

    A vessel's copies are joined to one another by edges that do not all lie in one line (a flap is no part of it), and
    none is laid on another. Its rim is where it is sewn to the rest.
    """
    stiff = [copy for copy in assembly.order if copy not in assembly.soft]
    lining = [copy for copy in stiff if assembly.bodies[copy].piece.role == "lining"]
    walls = [copy for copy in stiff if assembly.bodies[copy].piece.role not in _NO_WALLS]
    for copies in (lining, walls):
        vessel = _vessel(copies, assembly)
        if vessel:
            rings = [facet.points for copy in vessel for facet in facets[copy]]
            volume = abs(enclosed_mm3(rings, _rim_middle(vessel, assembly, rings)))
            return volume if volume > LEAST_CAPACITY_MM3 else None
    return None


def _vessel(copies: Sequence[Copy], assembly: Assembly) -> set[Copy]:
    joined: dict[Copy, list[Point3]] = {copy: [] for copy in copies}
    for tracks in assembly.tracks.values():
        within = [track for track in tracks if track.copy in joined]
        if len(within) > 1 and all(track.is_edge for track in tracks):
            for track in within:
                joined[track.copy] += assembly.points(track)
    return {copy for copy, points in joined.items() if points and spread_mm(points)[1] > LEVEL_MM}


def _rim_middle(vessel: set[Copy], assembly: Assembly, rings: Sequence[Sequence[Point3]]) -> Point3:
    """A point in the plane of the opening: the middle of where the vessel is sewn to what is none of it, or open."""
    rim: list[Point3] = []
    for tracks in assembly.tracks.values():
        own = {(track.copy, track.side.edge): track for track in tracks if track.copy in vessel and track.is_edge}
        if len(own) == 1 and len(tracks) > 1:
            rim += assembly.points(next(iter(own.values())))
    for copy in vessel:
        body = assembly.bodies[copy]
        for edge in body.piece.net.edges:
            if body.piece.edge_use[edge.name] in (EdgeUse.OPENING, EdgeUse.HEM):
                rim += (assembly.motions[copy].apply(point) for point in body.lifted(edge.points(CHORD_MM)))
    return mean(rim or [point for ring in rings for point in ring])
