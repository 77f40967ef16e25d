"""Straps: strips that hang in an arch between the places that hold them, one layer on another, over a ring or loose."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from bagwright.drafting.fold_assembly import Assembly, Pair, SoftCopy
from bagwright.drafting.fold_bands import band_along
from bagwright.drafting.fold_hinge import INSIDE_ROLES, way_off
from bagwright.drafting.fold_strips import STRAP_ROLES, at_level, extent_mm, laid_out, left_of, way_between
from bagwright.drafting.fold_tracks import Body, way_along
from bagwright.geometry.curves import Point
from bagwright.geometry.ribbons import RibbonEnd, arch_ribbon, hanging_ribbon
from bagwright.geometry.space import Point3, along, cross, mean, minus, unit
from bagwright.model.fold_up import Copy

STRIP_SHARE = 2.5
"""A piece so many times longer than wide counts as a strip."""
LENGTHWISE_SHARE = 0.6
"""A strip sewn over more than this of its length is held along it, not by its ends."""
_STILL = (0.0, 0.0, 0.0)
_UP, _OUT = (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
_ASIDE = 0.02
"""A strip cannot leave an end along that end: the sine between the two is more than this."""


def hang_next(assembly: Assembly) -> bool:
    """Hang the waiting strip that is held best; whether there was one."""
    waiting = [key for key in assembly.bodies if assembly.waits(key) and assembly.pairs[key]]
    if not waiting:
        return False
    key = max(waiting, key=lambda key: _hold(assembly.pairs[key]))
    assembly.hang(key, _hung(assembly.bodies[key], assembly))
    return True


def _hold(pairs: Sequence[Pair]) -> tuple[int, int]:
    """By how many edges, and in how many seams, a strip is held."""
    return len({pair.own.side.edge for pair in pairs}), len({pair.seam_id for pair in pairs})


def _hung(body: Body, assembly: Assembly) -> SoftCopy:
    pairs = assembly.pairs[body.key]
    ends = _ends(pairs)
    lengthwise = [pair for pair in pairs if _run_mm(pair) > LENGTHWISE_SHARE * _longest_mm(body)]
    on_strip = [pair for pair in lengthwise if _is_sewn_lengthwise(pair, assembly)]
    if on_strip:
        return _laid_on(body, on_strip[0], assembly)
    if lengthwise and len(ends) == 1:
        return band_along(body, pairs, assembly) or _between(body, ends, assembly)
    return _between(body, ends, assembly)


def _longest_mm(body: Body) -> float:
    return max(extent_mm(body, (1.0, 0.0)), extent_mm(body, (0.0, 1.0)))


def _is_sewn_lengthwise(pair: Pair, assembly: Assembly) -> bool:
    """Whether a strip is sewn to another that hangs already, along that one's length, too."""
    host = assembly.bodies[pair.target.copy]
    return host.key in assembly.soft and _run_mm(pair) > LENGTHWISE_SHARE * _longest_mm(host)


def strip_along(body: Body, pairs: Sequence[Pair], assembly: Assembly) -> SoftCopy | None:
    """A strip without bends as its seams have it: between two places, or along a line; None if it is neither."""
    ends = _ends(pairs)
    if len(ends) == 2:
        far = math.dist(_middle(ends[0]), _middle(ends[1]))
        if far > STRIP_SHARE * max(_held_mm(end) for end in ends):
            return _between(body, ends, assembly)
    return band_along(body, pairs, assembly)


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


def _run_mm(pair: Pair) -> float:
    return math.dist(pair.own.drawn[0], pair.own.drawn[-1])


def _held_mm(pairs: Sequence[Pair]) -> float:
    """From the first to the last place of an edge that is sewn; of a folded one, over one layer."""
    sewn = [place for pair in pairs if pair.own.layer == 0 for place in (pair.own.at_mm[0], pair.own.at_mm[-1])]
    return max(sewn) - min(sewn) if sewn else 0.0


def _between(body: Body, ends: Sequence[Sequence[Pair]], assembly: Assembly) -> SoftCopy:
    """Laid out from its first end to its last; from its only one to a ring that waits for it, or straight out."""
    side = ends[0][0].own.side
    edge = body.piece.edge(side.edge)
    start, stop = edge.at(min(side.from_mm, side.to_mm)), edge.at(max(side.from_mm, side.to_mm))
    beyond = _middle(ends[1]) if len(ends) > 1 else _middle_of(body)
    # Edges run counter-clockwise, so the piece lies to their left; a line drawn on it may run either way.
    across = way_between(start, stop)
    if across[0] * (beyond[1] - start[1]) - across[1] * (beyond[0] - start[0]) < 0:
        across = way_between(stop, start)
    strip = at_level(laid_out(body, across, side), start)
    held, width = _held(ends[0], strip, assembly), strip.ribbon.width_mm
    last = _held(ends[1], strip, assembly) if len(ends) > 1 else _free_ring(body.key, assembly)
    run = _run_to(beyond, strip) if len(ends) > 1 else _run_to_bar(body, strip, assembly)
    ribbon = arch_ribbon(held, last, run, width) if last else hanging_ribbon(held, run, width)
    return replace(strip, ribbon=ribbon, is_held_by_ends=True)


def _middle_of(body: Body) -> Point:
    ring = body.piece.net.ring(0.5)
    return sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring)


def _run_to(point: Point, strip: SoftCopy) -> float:
    return strip.ahead[0] * (point[0] - strip.origin[0]) + strip.ahead[1] * (point[1] - strip.origin[1])


def _run_to_bar(body: Body, strip: SoftCopy, assembly: Assembly) -> float:
    """The length of a strip with one free end: to its end, or to where that is turned back and sewn to itself."""
    for tracks in assembly.tracks.values():
        own = [track for track in tracks if track.copy == body.key]
        if len({track.side.edge for track in own}) > 1 and len({track.copy for track in tracks}) == 1:
            runs = [_run_to(track.drawn[0], strip) for track in own]
            return (min(runs) + max(runs)) / 2
    return max(_run_to(point, strip) for point in body.piece.net.ring(0.5))


def _held(pairs: Sequence[Pair], strip: SoftCopy, assembly: Assembly) -> RibbonEnd:
    """An end of the strip: where its middle lies, the direction across it and the one in which it leaves."""
    pair = pairs[0]
    overs = [strip.at(point)[0] for point in pair.own.drawn]
    across = along(_STILL, way_along((pair.goal[0], pair.goal[-1])), 1.0 if overs[-1] >= overs[0] else -1.0)
    middles = [along(goal, across, -over) for goal, over in zip(pair.goal, overs, strict=True)]
    ways = (*_leaving(pairs, assembly), _UP, _OUT)
    leaving = next(way for way in ways if math.hypot(*cross(way, across)) > _ASIDE)
    return RibbonEnd(mean(middles), across, leaving)


def _leaving(pairs: Sequence[Pair], assembly: Assembly) -> list[Point3]:
    """Away from all that it is sewn to: from an edge outwards, from between two panels out of their right sides.

    Between outer and lining those of the outer count; between two panels of the lining it goes into the bag. The
    likeliest way comes first; there may be none.
    """
    total, normals = _STILL, _STILL
    firm = [pair for pair in pairs if pair.target.copy not in assembly.soft] or pairs
    outside = [pair for pair in firm if assembly.role(pair.target) not in INSIDE_ROLES]
    for pair in {(p.seam_id, p.target.copy): p for p in firm}.values():
        number = len(pair.goal) // 2
        total = along(total, way_off(pair, number, assembly), 1.0)
        if pair in outside or not outside:
            normals = along(normals, assembly.frame(pair.target, number)[1], 1.0)
    is_inside = not outside and len({pair.target.copy for pair in firm}) > 1
    ways = (normals, total) if is_inside else (total, normals)
    return [unit(way) for way in ways if math.hypot(*way) > 0.2]


def _free_ring(key: Copy, assembly: Assembly) -> RibbonEnd | None:
    """The loop of a tab through which no strap runs yet, rather that of the same number: a ring hangs in it."""
    loops = [
        (copy, soft.ribbon.stations)
        for copy, soft in assembly.soft.items()
        if copy[0] != key[0] and assembly.bodies[copy].piece.role in STRAP_ROLES and soft.ribbon.is_loop
    ]
    ends = [soft.ribbon.stations[-1].middle for soft in assembly.soft.values()]
    free = [(copy, tip) for copy, (_, tip, _) in loops if all(math.dist(tip.middle, end) > 1.0 for end in ends)]
    if not free:
        return None
    copy, tip = min(free, key=lambda found: found[0][1] != key[1])
    foot = assembly.soft[copy].ribbon.stations[0].middle
    return RibbonEnd(tip.middle, tip.across, unit(minus(tip.middle, foot)))


def _laid_on(body: Body, pair: Pair, assembly: Assembly) -> SoftCopy:
    """One layer on another: it takes the way of the strip to which its long edge is sewn."""
    host = assembly.soft[pair.target.copy]
    edges = (body.piece.edge(pair.own.side.edge), assembly.bodies[pair.target.copy].piece.edge(pair.target.side.edge))
    (own, into), (on, inside) = (
        (way_between(track.drawn[0], track.drawn[-1]), left_of(edge.direction_at(track.at_mm[0])))
        for track, edge in zip((pair.own, pair.target), edges, strict=True)
    )

    def brought(way: Point) -> Point:
        """A direction of the other strip as it lies on this one."""
        one, other = way[0] * on[0] + way[1] * on[1], way[0] * inside[0] + way[1] * inside[1]
        return own[0] * one + into[0] * other, own[1] * one + into[1] * other

    (x, y), (px, py) = pair.own.drawn[0], pair.target.drawn[0]
    back = brought((host.origin[0] - px, host.origin[1] - py))
    return replace(host, origin=(x + back[0], y + back[1]), across=brought(host.across), ahead=brought(host.ahead))
