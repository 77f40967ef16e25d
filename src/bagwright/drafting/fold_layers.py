"""Which of the facets in one plane lies on which: pockets on linings, linings behind outers, flaps over all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from bagwright.drafting.fold_assembly import Assembly
from bagwright.drafting.fold_hinge import INSIDE_ROLES
from bagwright.geometry.space import Point3, dot
from bagwright.model.fold_up import Copy


def layer_ranks(
    owners: Sequence[Copy], normals: Sequence[Point3], planes: Sequence[int], assembly: Assembly
) -> list[int]:
    """For each facet its place in its plane, counted towards its own right side."""
    ranks = [0] * len(owners)
    members: defaultdict[int, list[int]] = defaultdict(list)
    for index, plane in enumerate(planes):
        members[plane].append(index)
    sewn = _sewn_order(assembly)
    for indices in members.values():
        if len(indices) > 1:
            looks_up = [dot(normals[index], normals[indices[0]]) > 0 for index in indices]
            place = _places({i: (owners[i], up) for i, up in zip(indices, looks_up, strict=True)}, sewn, assembly)
            for index, up in zip(indices, looks_up, strict=True):
                ranks[index] = place[index] if up else -place[index]
    return ranks


_Sewn = Mapping[Copy, Sequence[Copy]]


def _sewn_order(assembly: Assembly) -> _Sewn:
    """For each copy what it is sewn to, in the order of work; copies themselves in the order of their first seam."""
    sewn: defaultdict[Copy, list[Copy]] = defaultdict(list)
    for tracks in assembly.tracks.values():
        for track in tracks:
            sewn[track.copy] += [other.copy for other in tracks if other.copy != track.copy]
    return sewn


def _places(facets: Mapping[int, tuple[Copy, bool]], sewn: _Sewn, assembly: Assembly) -> dict[int, int]:
    """The facets of one plane from the lowest to the highest, up being where its first facet looks.

    What has nothing here that it is sewn to comes first, in the order of placing, each on the side to which it looks:
    a flap falls over the front from outside. Then in the order of work everything else, beside what it is sewn to: on
    its right side if both look the same way (a pocket), else behind its wrong side (a lining).
    """
    looks: dict[Copy, bool] = {}
    for copy, up in facets.values():
        looks.setdefault(copy, up)
    placed = [copy for copy in assembly.order if copy in looks]
    stack: list[Copy] = []
    resting: dict[Copy, Copy] = {}
    first = [copy for copy in placed if not _parents(copy, [c for c in placed if c != copy], looks, sewn, assembly)]
    for copy in first or placed[:1]:
        stack.insert(len(stack) if looks[copy] else 0, copy)
    waiting = [copy for copy in sewn if copy in looks and copy not in stack]
    while waiting:
        ready = [copy for copy in waiting if _parents(copy, stack, looks, sewn, assembly)]
        copy = ready[0] if ready else waiting[0]
        waiting.remove(copy)
        parents = _parents(copy, stack, looks, sewn, assembly)
        if not parents:
            stack.insert(len(stack) if looks[copy] else 0, copy)
            continue
        resting[copy] = parents[0]
        stack.insert(_beside(copy, parents[0], stack, looks, resting), copy)
    order = sorted(facets, key=lambda i: (stack.index(facets[i][0]), facets[i][1], i))
    return {index: place for place, index in enumerate(order)}


def _parents(
    copy: Copy, among: Sequence[Copy], looks: Mapping[Copy, bool], sewn: _Sewn, assembly: Assembly
) -> list[Copy]:
    """What of the plane it is sewn to, the likeliest first: a pocket lies on a lining, a lining behind no lining."""
    found = [other for other in dict.fromkeys(sewn.get(copy, ())) if other in among]
    role = assembly.bodies[copy].piece.role

    def is_unlikely(other: Copy) -> bool:
        inside = assembly.bodies[other].piece.role in INSIDE_ROLES
        return not inside if role == "pocket" else inside if role == "lining" else False

    return sorted(found, key=lambda other: (is_unlikely(other), (looks[other] != looks[copy]) == (role == "pocket")))


def _beside(
    copy: Copy, parent: Copy, stack: Sequence[Copy], looks: Mapping[Copy, bool], resting: Mapping[Copy, Copy]
) -> int:
    """Where in the stack: beyond the parent and whatever rests on the same side of it already, or just behind it."""
    at = stack.index(parent)
    if looks[copy] != looks[parent]:
        return at if looks[parent] else at + 1
    step, reached = (1, at) if looks[parent] else (-1, at)
    while 0 <= reached + step < len(stack) and _rests_on(stack[reached + step], parent, resting):
        reached += step
    return reached + 1 if looks[parent] else reached


def _rests_on(copy: Copy, parent: Copy, resting: Mapping[Copy, Copy]) -> bool:
    while copy in resting:
        copy = resting[copy]
        if copy == parent:
            return True
    return False
