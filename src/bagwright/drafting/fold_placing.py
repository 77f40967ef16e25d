"""Placing every copy by following the seams, from the first piece outwards."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from bagwright.drafting.fold_assembly import Assembly, Pair
from bagwright.drafting.fold_hinge import declared_turn_deg, way_off
from bagwright.drafting.fold_straps import hang_next, strip_along
from bagwright.drafting.fold_strips import is_ribbon, is_strip
from bagwright.drafting.fold_tracks import Body, Tracks, way_along
from bagwright.geometry.space import (
    Motion,
    Point3,
    along,
    best_motion,
    cross,
    frame_motion,
    spread_mm,
)
from bagwright.model.fold_up import Copy

LEAST_SPREAD_MM = 1.0
"""Seams that keep closer to one line than this leave a piece free to swing about them."""
_SAME_MM = 0.01
MISFIT_MM = 2.0
"""A strip without bends that is further off than this when it is kept flat must bend to follow its seam."""

Spread = tuple[float, bool, float]


def place_copies(bodies: Mapping[Copy, Body], tracks: Tracks) -> Assembly:
    """Every copy that a joining seam reaches gets its place.

    The copy whose seams to those placed spread widest comes next, laid on them as closely as it can be; one whose
    seams all lie in one line swings about it; soft strips wait until nothing stiff can be placed.
    """
    assembly = Assembly(bodies, tracks)
    stiff = [key for key, body in bodies.items() if not is_ribbon(body, tracks)]
    assembly.lay((stiff or list(bodies))[0], Motion())
    known: dict[Copy, tuple[int, Spread]] = {}
    while True:
        reached = [key for key in stiff if assembly.waits(key) and assembly.pairs[key]]
        if reached:
            _place(max(reached, key=lambda key: _spread(key, assembly, known)), assembly)
        elif not hang_next(assembly):
            return assembly


def _spread(key: Copy, assembly: Assembly, known: dict[Copy, tuple[int, Spread]]) -> Spread:
    """How far the seams of a waiting copy spread across a line and along it, on itself and where they must lie.

    Between the two: whether it says itself how it turns off its seam, and so need not wait for others to hold it.
    """
    pairs = assembly.pairs[key]
    if key not in known or known[key][0] != len(pairs):
        (along_own, across_own), (along_goal, across_goal) = spread_mm(_own(pairs)), spread_mm(_goals(pairs))
        least = min(across_own, across_goal)
        tells = any(declared_turn_deg(assembly.bodies[key].piece, pair.own) is not None for pair in pairs)
        across_mm = round(least if least > LEAST_SPREAD_MM else 0.0, 3)
        known[key] = len(pairs), (across_mm, tells, round(min(along_own, along_goal), 3))
    return known[key][1]


def _own(pairs: Sequence[Pair]) -> list[Point3]:
    return [point for pair in pairs for point in pair.own.points]


def _goals(pairs: Sequence[Pair]) -> list[Point3]:
    return [point for pair in pairs for point in pair.goal]


def _place(key: Copy, assembly: Assembly) -> None:
    pairs, body = _firm(assembly.pairs[key]), assembly.bodies[key]
    own, goals = _own(pairs), _goals(pairs)
    is_spread = min(spread_mm(own)[1], spread_mm(goals)[1]) > LEAST_SPREAD_MM
    motion = best_motion(own, goals) if is_spread else _swung(body, pairs, assembly)
    if is_strip(body) and _misfit_mm(motion, own, goals) > MISFIT_MM:
        soft = strip_along(body, pairs, assembly)
        if soft:
            assembly.hang(key, soft)
            return
    assembly.lay(key, motion)


def _firm(pairs: Sequence[Pair]) -> Sequence[Pair]:
    """Those whose sides fit: where one is eased in, the seam tells only roughly where it lies."""
    return [pair for pair in pairs if not pair.own.side.ease_mm and not pair.target.side.ease_mm] or pairs


def _misfit_mm(motion: Motion, own: Sequence[Point3], goals: Sequence[Point3]) -> float:
    return max(math.dist(motion.apply(a), b) for a, b in zip(own, goals, strict=True))


def _swung(body: Body, pairs: Sequence[Pair], assembly: Assembly) -> Motion:
    """Hinged on its longest seam; where it is sewn to several of one kind there, it leaves them evenly."""
    pairs = _telling(body, pairs, assembly)
    runs = [math.dist(pair.goal[0], pair.goal[-1]) for pair in pairs]
    # Of seams that are equally long but for rounding, the one to what was placed first.
    pair = next(pair for pair, run in zip(pairs, runs, strict=True) if run > max(runs) - _SAME_MM)
    middle = len(pair.goal) // 2
    inward, _ = body.inward_at(body.piece.edge(pair.own.side.edge), pair.own.at_mm[middle])
    wanted = way_off(pair, middle, assembly)
    for other in pairs:
        if assembly.role(other.target) == assembly.role(pair.target) and other is not pair:
            wanted = along(wanted, way_off(other, len(other.goal) // 2, assembly), 1.0)
    way = way_along(pair.goal)
    if math.hypot(*cross(wanted, way)) < 0.1:
        wanted = way_off(pair, middle, assembly)
    own = pair.own.points[middle], way_along(pair.own.points), inward
    return frame_motion(own, (pair.goal[middle], way, wanted))


def _telling(body: Body, pairs: Sequence[Pair], assembly: Assembly) -> Sequence[Pair]:
    """The pairs that tell how a copy leaves its seam.

    If it says along one of its edges how it turns there (a strip sewn in double does so along its upper one), that
    holds; what turns off there itself (a flap, the panel of a zip) tells nothing of how the others go on.
    """
    own = [pair for pair in pairs if declared_turn_deg(body.piece, pair.own) is not None] or pairs
    pieces = {pair.target.copy: assembly.bodies[pair.target.copy].piece for pair in own}
    return [pair for pair in own if declared_turn_deg(pieces[pair.target.copy], pair.target) is None] or own
