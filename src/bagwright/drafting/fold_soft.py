"""Soft strips: straps that hang in an arch between their ends, and bands that bend along what they are sewn to."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.fold_assembly import Assembly, Pair, SoftCopy, zigzag_mm
from bagwright.drafting.fold_hinge import way_off
from bagwright.drafting.fold_tracks import Body, Tracks, way_along
from bagwright.geometry.curves import Point
from bagwright.geometry.ribbons import Ribbon, RibbonEnd, Station, arch_ribbon, hanging_ribbon, straightened
from bagwright.geometry.space import Point3, along, mean, unit
from bagwright.model.pattern import SeamSide

STRIP_SHARE = 2.5
"""A piece so many times longer than wide counts as a strip."""
STRETCH_SHARE = 0.05
"""A band follows a line if distances along both agree within this."""
LENGTHWISE_SHARE = 0.6
"""A strip sewn over more than this of its length is held along it, not by its ends."""
FLAT_FOLD_DEG = 170.0
_STILL, _X = (0.0, 0.0, 0.0), (1.0, 0.0, 0.0)


def is_ribbon(body: Body, tracks: Tracks) -> bool:
    """Whether a copy is a strip by nature: a strap, or anything folded over and over where it is caught."""
    if not is_strip(body):
        return False
    sides = (track.side for found in tracks.values() for track in found if track.copy == body.key)
    return body.piece.role == "strap" or any(side.folds > 1 for side in sides)


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


def hung(body: Body, assembly: Assembly) -> SoftCopy:
    """A strip held by its ends, or by one; or along its length, if that is how it is sewn."""
    pairs = assembly.pairs[body.key]
    longest = max(_extent_mm(body, (1.0, 0.0)), _extent_mm(body, (0.0, 1.0)))
    if max(_held_mm(end) for end in _ends(pairs)) > LENGTHWISE_SHARE * longest:
        return strip_along(body, pairs, assembly) or _between(body, _ends(pairs), assembly)
    return _between(body, _ends(pairs), assembly)


def strip_along(body: Body, pairs: Sequence[Pair], assembly: Assembly) -> SoftCopy | None:
    """A strip without bends as its seams have it: between two places, or along a line; None if it is neither."""
    ends = _ends(pairs)
    if len(ends) == 2:
        far = math.dist(_middle(ends[0]), _middle(ends[1]))
        if far > STRIP_SHARE * max(_held_mm(end) for end in ends):
            return _between(body, ends, assembly)
    return _band(body, pairs, assembly)


def _ends(pairs: Sequence[Pair]) -> Sequence[Sequence[Pair]]:
    """Where a strip is held, by edges: the two places that lie furthest apart, or the one there is."""
    by_edge: defaultdict[str, list[Pair]] = defaultdict(list)
    for pair in pairs:
        by_edge[pair.own.side.edge].append(pair)
    held = list(by_edge.values())
    if len(held) == 1:
        return held
    return max(itertools.combinations(held, 2), key=lambda two: round(math.dist(_middle(two[0]), _middle(two[1])), 3))


def _middle(pairs: Sequence[Pair]) -> Point:
    xs, ys = zip(*(point for pair in pairs for point in pair.own.drawn), strict=True)
    return sum(xs) / len(xs), sum(ys) / len(ys)


def _extent_mm(body: Body, way: Point) -> float:
    reach = [x * way[0] + y * way[1] for x, y in body.piece.net.ring(0.5)]
    return max(reach) - min(reach)


def _between(body: Body, ends: Sequence[Sequence[Pair]], assembly: Assembly) -> SoftCopy:
    """Laid out from its first end to its last, or straight out from the only one."""
    side = ends[0][0].own.side
    edge = body.piece.edge(side.edge)
    start, stop = edge.at(min(side.from_mm, side.to_mm)), edge.at(max(side.from_mm, side.to_mm))
    ahead = _middle(ends[-1]) if len(ends) > 1 else _middle_of(body)
    # Edges run counter-clockwise, so the piece lies to their left; a line drawn on it may run either way.
    across = _way(start, stop)
    if across[0] * (ahead[1] - start[1]) - across[1] * (ahead[0] - start[0]) < 0:
        across = _way(stop, start)
    flat = _laid_out(body, across, side)
    held = [_held(pairs, flat, assembly) for pairs in ends]
    width = flat.ribbon.width_mm
    if len(ends) == 1:
        ribbon = hanging_ribbon(held[0], _extent_mm(body, (-across[1], across[0])), width)
        return replace(flat, ribbon=ribbon, is_held_by_ends=True)
    length = across[0] * (ahead[1] - start[1]) - across[1] * (ahead[0] - start[0])
    ribbon = arch_ribbon(held[0], held[1], length, width)
    return replace(flat, ribbon=ribbon, origin=_foot(flat, start), is_held_by_ends=True)


def _way(start: Point, end: Point) -> Point:
    run = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / run, (end[1] - start[1]) / run


def _foot(flat: SoftCopy, level: Point) -> Point:
    """The strip's origin moved along it to the level of a point."""
    (ux, uy), (x, y) = flat.across, flat.origin
    run = ux * (level[1] - y) - uy * (level[0] - x)
    return x - run * uy, y + run * ux


def _laid_out(body: Body, across: Point, side: SeamSide) -> SoftCopy:
    """The strip as drawn, in a plane, folded by its bends or as the side says."""
    ring = body.piece.net.ring(0.5)
    low = min(x * across[0] + y * across[1] for x, y in ring)
    back = min(across[0] * y - across[1] * x for x, y in ring)
    origin = (low * across[0] - back * across[1], low * across[1] + back * across[0])
    wide = _extent_mm(body, across)
    folds = [(b.start[0] - origin[0]) * across[0] + (b.start[1] - origin[1]) * across[1] for b in body.piece.bends]
    if side.folds > 1:
        folds = [layer * wide / side.folds for layer in range(1, side.folds)]
    places = [zigzag_mm(over, sorted(folds)) for over in (0.0, *folds, wide)]
    ribbon = Ribbon((Station(0.0, _STILL, _X), Station(1.0, (0.0, 1.0, 0.0), _X)), max(places) - min(places))
    return SoftCopy(ribbon, origin, across, tuple(sorted(folds)))


def _middle_of(body: Body) -> Point:
    ring = body.piece.net.ring(0.5)
    return sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring)


def _held(pairs: Sequence[Pair], flat: SoftCopy, assembly: Assembly) -> RibbonEnd:
    """An end of the strip: where its middle lies, the direction across it and the one in which it leaves."""
    pair = pairs[0]
    overs = [flat.at(point)[0] for point in pair.own.drawn]
    across = along(_STILL, way_along((pair.goal[0], pair.goal[-1])), 1.0 if overs[-1] >= overs[0] else -1.0)
    middles = [along(goal, across, -over) for goal, over in zip(pair.goal, overs, strict=True)]
    return RibbonEnd(mean(middles), across, _leaving(pairs, assembly))


def _leaving(pairs: Sequence[Pair], assembly: Assembly) -> Point3:
    """Away from all that it is sewn to: from an edge outwards, from between two panels out of their right sides."""
    total, normals = _STILL, _STILL
    for pair in {(p.seam_id, p.target.copy): p for p in pairs}.values():
        number = len(pair.goal) // 2
        total = along(total, way_off(pair, number, assembly), 1.0)
        role = assembly.bodies[pair.target.copy].piece.role
        normals = along(normals, assembly.frame(pair.target, number)[1], 0.0 if role in ("lining", "pocket") else 1.0)
    for direction in (total, normals, (0.0, 1.0, 0.0)):
        if math.hypot(*direction) > 0.2:
            return unit(direction)
    return 0.0, 1.0, 0.0


def _band(body: Body, pairs: Sequence[Pair], assembly: Assembly) -> SoftCopy | None:
    """A strip sewn along one straight edge or line of it, which keeps its length where it bends."""
    edges = sorted({pair.own.side.edge for pair in pairs})
    name = max(edges, key=lambda name: round(sum(_run_mm(pair) for pair in pairs if pair.own.side.edge == name), 3))
    samples, line = _samples([pair for pair in pairs if pair.own.side.edge == name]), body.piece.edge(name)
    if len(samples) < 3 or math.dist(line.start, line.end) < 0.999 * line.length_mm or not _keeps_length(samples):
        return None
    way = _way(line.start, line.end)
    flat = _laid_out(body, (way[1], -way[0]), pairs[0].own.side)
    flat = replace(flat, origin=_foot(flat, line.start))
    seam_mm = flat.at(line.start)[0]
    stations = []
    for sample in samples:
        # The strip leaves its seam towards the smaller or the larger side of the ribbon, whichever is wider.
        outward = along(_STILL, way_off(sample.pair, sample.number, assembly), -1.0 if seam_mm > 0 else 1.0)
        run = math.dist(line.start, sample.drawn)
        stations.append(Station(run, along(sample.goal, outward, -seam_mm), outward))
    return replace(flat, ribbon=Ribbon(straightened(stations), flat.ribbon.width_mm))


@dataclass(frozen=True, slots=True)
class _Sample:
    """A place on a strip's edge as drawn, and where it must lie."""

    drawn: Point
    goal: Point3
    pair: Pair
    number: int


def _keeps_length(samples: Sequence[_Sample]) -> bool:
    return all(
        abs(math.dist(a.goal, b.goal) - math.dist(a.drawn, b.drawn)) < STRETCH_SHARE * math.dist(a.drawn, b.drawn) + 0.1
        for a, b in itertools.pairwise(samples)
    )


def _samples(pairs: Sequence[Pair]) -> list[_Sample]:
    """Samples of all pairs in order along the strip's edge, each place once."""
    by_place: dict[float, _Sample] = {}
    for pair in pairs:
        for number, at_mm in enumerate(pair.own.at_mm):
            sample = _Sample(pair.own.drawn[number], pair.goal[number], pair, number)
            by_place.setdefault(round(at_mm, 3), sample)
    return [by_place[at] for at in sorted(by_place)]


def _run_mm(pair: Pair) -> float:
    return math.dist(pair.own.drawn[0], pair.own.drawn[-1])


def _held_mm(pairs: Sequence[Pair]) -> float:
    """From the first to the last place of an edge that is sewn; of a folded one, over one layer."""
    sewn = [place for pair in pairs if pair.own.layer == 0 for place in (pair.own.at_mm[0], pair.own.at_mm[-1])]
    return max(sewn) - min(sewn) if sewn else 0.0
