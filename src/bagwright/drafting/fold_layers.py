"""Which of the facets in one plane lies on which: pockets on linings, linings behind outers, flaps over all."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bagwright.drafting.fold_assembly import Assembly
from bagwright.drafting.fold_hinge import INSIDE_ROLES
from bagwright.drafting.fold_tracks import Track
from bagwright.geometry.space import Point3, dot
from bagwright.model.fold_up import Copy


def layer_ranks(
    owners: Sequence[Copy], normals: Sequence[Point3], planes: Sequence[int], assembly: Assembly
) -> list[int]:
    """For each facet its place in its plane, counted towards its own right side from what was placed first there."""
    ranks = [0] * len(owners)
    members: defaultdict[int, list[int]] = defaultdict(list)
    for index, plane in enumerate(planes):
        members[plane].append(index)
    near = _neighbours(assembly)
    for indices in members.values():
        if len(indices) > 1:
            looks_up = [dot(normals[index], normals[indices[0]]) > 0 for index in indices]
            place = _places({i: (owners[i], up) for i, up in zip(indices, looks_up, strict=True)}, near, assembly)
            for index, up in zip(indices, looks_up, strict=True):
                ranks[index] = place[index] if up else -place[index]
    return ranks


@dataclass(slots=True)
class _Shared:
    """What two copies have in common: the length of their seams, and how much of it leads on from one to the other."""

    length_mm: float = 0.0
    onwards_mm: float = 0.0

    @property
    def leads_on(self) -> bool:
        """Whether they lie beside one another, not on one another."""
        return self.onwards_mm > self.length_mm / 2


_Neighbours = Mapping[Copy, Mapping[Copy, _Shared]]


def _neighbours(assembly: Assembly) -> _Neighbours:
    """For each copy, in the order of their first seams, what it shares with each other copy."""
    found: defaultdict[Copy, defaultdict[Copy, _Shared]] = defaultdict(lambda: defaultdict(_Shared))
    for tracks in assembly.tracks.values():
        by_copy = {track.copy: track for track in tracks}
        for one, other in itertools.permutations(by_copy.values(), 2):
            shared = found[one.copy][other.copy]
            shared.length_mm += one.side.sewn_length_mm
            if one.is_edge and other.is_edge and _runs_round(one, assembly) != _runs_round(other, assembly):
                shared.onwards_mm += one.side.sewn_length_mm
    return found


def _runs_round(track: Track, assembly: Assembly) -> bool:
    """Whether the seam runs counter-clockwise round the copy: it lies to the left of the seam then."""
    return (track.side.to_mm > track.side.from_mm) != assembly.bodies[track.copy].is_mirrored


Stack = list[list[Copy]]
"""Levels from the lowest up; what lies beside one another shares one."""


def _places(facets: Mapping[int, tuple[Copy, bool]], near: _Neighbours, assembly: Assembly) -> dict[int, int]:
    """The places of a plane's facets, up being where its first facet looks, 0 what was placed first.

    What has nothing here that it is sewn to comes first, in the order of placing, each on the side to which it looks:
    a flap falls over the front from outside. Then the rest of the shell, its linings, and what lies on them, each
    beside, on or behind what it is sewn to.
    """
    looks: dict[Copy, bool] = {}
    for copy, up in facets.values():
        looks.setdefault(copy, up)
    placed = [copy for copy in assembly.order if copy in looks]
    free = [copy for copy in placed if not any(other in looks for other in near.get(copy, ()))]
    stack: Stack = []
    for copy in dict.fromkeys((placed[0], *free)):
        stack.insert(len(stack) if looks[copy] else 0, [copy])
    resting: dict[Copy, Copy] = {}
    set_down = {copy for level in stack for copy in level}
    waiting = sorted((c for c in near if c in looks and c not in set_down), key=lambda c: _depth(c, assembly))
    while waiting:
        copy = next((one for one in waiting if _parent(one, stack, near, assembly)), waiting[0])
        waiting.remove(copy)
        _put(copy, _parent(copy, stack, near, assembly), stack, looks, resting, near)
    level_of = {copy: number for number, level in enumerate(stack) for copy in level}
    ground = 2 * level_of[placed[0]] + looks[placed[0]]
    # Of a copy folded flat on itself, what looks up lies above what looks down.
    return {index: 2 * level_of[copy] + up - ground for index, (copy, up) in facets.items()}


def _depth(copy: Copy, assembly: Assembly) -> int:
    return {"lining": 1, "pocket": 2}.get(assembly.bodies[copy].piece.role, 0)


def _parent(copy: Copy, stack: Stack, near: _Neighbours, assembly: Assembly) -> Copy | None:
    """What of the plane it is sewn to longest: a pocket rather to a lining, a lining rather to what is none."""
    found = [other for other in near.get(copy, ()) if any(other in level for level in stack)]
    role = assembly.bodies[copy].piece.role

    def is_likely(other: Copy) -> bool:
        inside = assembly.bodies[other].piece.role in INSIDE_ROLES
        return inside if role == "pocket" else not inside if role == "lining" else True

    return max(found, key=lambda other: (is_likely(other), round(near[copy][other].length_mm, 3)), default=None)


def _put(
    copy: Copy,
    parent: Copy | None,
    stack: Stack,
    looks: Mapping[Copy, bool],
    resting: dict[Copy, Copy],
    near: _Neighbours,
) -> None:
    """Put the copy beside its parent, on it or behind it.

    Where both look the same way it lies beside it if their seam leads on, else on its right side, beyond what rests
    there already. Where it looks the other way it lies just behind its wrong side.
    """
    if parent is None:
        stack.insert(len(stack) if looks[copy] else 0, [copy])
        return
    at = next(number for number, level in enumerate(stack) if parent in level)
    if looks[copy] != looks[parent]:
        stack.insert(at if looks[parent] else at + 1, [copy])
        return
    if near[copy][parent].leads_on:
        stack[at].append(copy)
        return
    resting[copy] = parent
    step = 1 if looks[parent] else -1
    while 0 <= at + step < len(stack) and any(_rests_on(one, parent, resting) for one in stack[at + step]):
        at += step
    stack.insert(at + 1 if looks[parent] else at, [copy])


def _rests_on(copy: Copy, parent: Copy, resting: Mapping[Copy, Copy]) -> bool:
    while copy in resting:
        copy = resting[copy]
        if copy == parent:
            return True
    return False
