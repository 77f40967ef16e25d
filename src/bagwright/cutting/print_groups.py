"""Prints that go on over chains of seams: which pieces step together, and how each lies in the print they share.

Seams are taken in the order in which pieces name them. One that joins two groups makes them one, in which every piece
has a turn and a place. One between pieces of the same group closes a ring: there the print has to meet by itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from bagwright.cutting.check_repeat import MEETS_MM, off_motif_mm
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import Bounds
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.prints import PrintPoint, Repeat

Node = tuple[str, bool]
"""Copies of one piece that lie alike: its id, and whether they are mirrored."""
_SAME_DEG = 1e-6
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class PrintSpot:
    """How copies step with the print: turned by `turn_deg`, `anchor` (in the frame of the outline) on its point.

    That point is a motif where `group` is empty, else the same for all of one group, wherever the first of them lies.
    """

    group: str
    turn_deg: float
    anchor: Point


@dataclass(frozen=True, slots=True)
class _Group:
    """Pieces in one print: the pose of each, and by how much all of them may be turned (None: as one likes)."""

    seam: str
    poses: Mapping[Node, Affine]
    bases: tuple[float, ...] | None

    def turned(self, base: float) -> dict[Node, Affine]:
        return {node: _after(pose, Affine(base)) for node, pose in self.poses.items()}

    def tried_bases(self) -> tuple[float, ...]:
        return (0.0, 90.0) if self.bases is None else self.bases


def print_spots(request: LayRequest) -> dict[Node, PrintSpot]:
    """How pieces with `goes_on` step; empty without a repeat. Raises `FaultyInput` for each seam that can't match."""
    if request.repeat is None:
        return {}
    joining = _Joining(request, request.repeat, {})
    if joining.problems:
        raise FaultyInput(joining.problems)
    return {node: spot for group in joining.groups() for node, spot in joining.spots(group)}


def joined_ids(pieces: Sequence[LayPiece]) -> list[frozenset[str]]:
    """Ids of pieces that seams join, chain by chain, of two pieces or more.

    >>> from bagwright.geometry.region import Region
    >>> region, seam = Region.rectangle((0, 0), (1, 1)), (PrintPoint("side", (0, 0)),)
    >>> front, side = (LayPiece(id=name, region=region, count=1, goes_on=seam) for name in ("front", "side"))
    >>> [sorted(chain) for chain in joined_ids([front, side, LayPiece(id="tab", region=region, count=1)])]
    [['front', 'side']]
    """
    chains: list[frozenset[str]] = []
    for ends in _seams(pieces).values():
        met = frozenset(node[0] for node, _ in ends)
        meets = [chain for chain in chains if chain & met]
        chains = [chain for chain in chains if chain not in meets] + [met.union(*meets)]
    return [chain for chain in chains if len(chain) > 1]


def print_problems(request: LayRequest, names: Mapping[str, str] | None = None) -> list[Problem]:
    """One for each seam across which the print can't go on; `Problem.value` is the seam. `names`: of the pieces."""
    return _Joining(request, request.repeat, names or {}).problems if request.repeat else []


class _Joining:
    """One call of `print_spots`."""

    def __init__(self, request: LayRequest, repeat: Repeat, names: Mapping[str, str]) -> None:
        self.request, self.repeat, self.names = request, repeat, names
        self.pieces = {piece.id: piece for piece in request.pieces}
        self.problems: list[Problem] = []
        self.group_of: dict[Node, _Group] = {}
        for seam, ends in _seams(request.pieces).items():
            for end in ends:
                self._begin(seam, end[0])
            for one, other in pairwise(ends):
                if problem := self._join(seam, one, other):
                    self.problems.append(problem)
                    break

    def _named(self, one: Node, other: Node) -> tuple[str, str]:
        return self.names.get(one[0], one[0]), self.names.get(other[0], other[0])

    def groups(self) -> list[_Group]:
        return list({id(group): group for group in self.group_of.values()}.values())

    def _begin(self, seam: str, node: Node) -> None:
        if node not in self.group_of:
            self.group_of[node] = _Group(seam, {node: Affine(mirrors=node[1])}, self.pieces[node[0]].turns_deg)

    def _join(self, seam: str, one: tuple[Node, PrintPoint], other: tuple[Node, PrintPoint]) -> Problem | None:
        (first, point), (second, next_point) = one, other
        into, added = self.group_of[first], self.group_of[second]
        if into is added:
            return self._close(seam, into, one, other)
        turn = _direction(into.poses[first], point) - _direction(added.poses[second], next_point)
        poses = added.turned(turn)
        x, y = into.poses[first].apply(point.at)
        from_x, from_y = poses[second].apply(next_point.at)
        moved = {node: _after(pose, Affine(shift=(x - from_x, y - from_y))) for node, pose in poses.items()}
        joined = _Group(into.seam, {**into.poses, **moved}, _shared(into.bases, added.bases, turn))
        if joined.bases == ():
            return _no_turn(seam, self._named(first, second))
        joined = replace(joined, bases=self._on_motif(joined, joined.bases))
        if joined.bases == ():
            return _two_motifs(seam, self._named(first, second))
        self.group_of |= dict.fromkeys(joined.poses, joined)
        return None

    def _on_motif(self, group: _Group, bases: tuple[float, ...] | None) -> tuple[float, ...] | None:
        """Those of the turns in which all anchors of the group can fall on motifs."""
        anchored = self._anchored(group)
        if len(anchored) < 2:
            return bases
        turns = replace(group, bases=bases).tried_bases()
        return tuple(base for base in turns if self._is_off(group, base, anchored[0], anchored[1:]) <= MEETS_MM)

    def _anchored(self, group: _Group) -> list[Point]:
        """Where the anchors of the group lie."""
        anchors = ((pose, self.pieces[node[0]].anchor) for node, pose in group.poses.items())
        return [pose.apply(anchor) for pose, anchor in anchors if anchor]

    def _is_off(self, group: _Group, base: float, at: Point, others: Sequence[Point]) -> float:
        turned = Affine(base)
        return max(off_motif_mm(self.repeat, turned.apply(other), turned.apply(at)) for other in others)

    def _close(
        self, seam: str, group: _Group, one: tuple[Node, PrintPoint], other: tuple[Node, PrintPoint]
    ) -> Problem | None:
        poses = group.poses[one[0]], group.poses[other[0]]
        askew = (_direction(poses[0], one[1]) - _direction(poses[1], other[1]) + 180) % 360 - 180
        names = self._named(one[0], other[0])
        if abs(askew) > _SAME_DEG:
            return _askew(seam, names, askew)
        ends = poses[0].apply(one[1].at), poses[1].apply(other[1].at)
        off = {base: self._is_off(group, base, ends[0], ends[1:]) for base in group.tried_bases()}
        good = tuple(base for base, off_mm in off.items() if off_mm <= MEETS_MM)
        if not good:
            return _off_print(seam, names, min(off.values()))
        self.group_of |= dict.fromkeys(group.poses, replace(group, bases=good))
        return None

    def spots(self, group: _Group) -> Iterator[tuple[Node, PrintSpot]]:
        """Each member's turn, and the point of its frame that falls on the point that they share."""
        base = group.tried_bases()[0]
        poses = group.turned(base)
        anchored = self._anchored(replace(group, poses=poses))
        origin = anchored[0] if anchored else self._best_origin(poses)
        for node, pose in poses.items():
            yield node, PrintSpot("" if anchored else group.seam, pose.turn_deg, _back(pose, origin))

    def _best_origin(self, poses: Mapping[Node, Affine]) -> Point:
        """The point that, on the first motif, lays the widest member along the selvedge; another if some don't fit."""
        boxes = [self.pieces[node[0]].region.moved(pose).bounds for node, pose in poses.items()]
        boxes.sort(key=lambda box: box[1] - box[3])
        low_x = boxes[0][0] + self.repeat.first_along_mm
        lows = [box[1] + self.repeat.first_across_mm for box in boxes]
        return low_x, next((low for low in lows if self._all_fit(low, boxes)), lows[0])

    def _all_fit(self, low: float, boxes: Sequence[Bounds]) -> bool:
        step = self.repeat.across_mm
        for box in boxes:
            begins = box[1] + self.repeat.first_across_mm - low
            begins = begins - step * math.floor(begins / step + _HAIR) if step else 0.0
            if begins + box[3] - box[1] > self.request.width_mm * (1 + _HAIR):
                return False
        return True


def _seams(pieces: Sequence[LayPiece]) -> dict[str, list[tuple[Node, PrintPoint]]]:
    ends: dict[str, list[tuple[Node, PrintPoint]]] = {}
    for piece in pieces:
        for point in piece.goes_on:
            ends.setdefault(point.seam, []).append(((piece.id, point.mirrored), point))
    return ends


def _direction(pose: Affine, point: PrintPoint) -> float:
    return pose.turn_deg + (180 - point.along_deg if pose.mirrors else point.along_deg)


def _after(pose: Affine, move: Affine) -> Affine:
    """`pose`, then `move`, which does not mirror."""
    return Affine((pose.turn_deg + move.turn_deg) % 360, move.apply(pose.shift), pose.mirrors)


def _back(pose: Affine, at: Point) -> Point:
    """The point of the outline's frame that lies `at`."""
    x, y = Affine(-pose.turn_deg).apply((at[0] - pose.shift[0], at[1] - pose.shift[1]))
    return (-x, y) if pose.mirrors else (x, y)


def _shared(bases: tuple[float, ...] | None, added: tuple[float, ...] | None, turn: float) -> tuple[float, ...] | None:
    """The turns that two groups may take together, the second being turned by `turn` against the first."""
    if added is None:
        return bases
    turns = tuple((base - turn) % 360 for base in added)
    if bases is None:
        return turns
    return tuple(base for base in bases if any(abs((base - other + 180) % 360 - 180) <= _SAME_DEG for other in turns))


def _no_turn(seam: str, names: tuple[str, str]) -> Problem:
    what = f"joins {names[0]} and {names[1]}, which share no turn in which the print could go on"
    allowed = "a turn of the one that fits a turn of the other"
    return _problem(seam, what, allowed, "Allow them the same turns, or leave this seam unmatched.")


def _two_motifs(seam: str, names: tuple[str, str]) -> Problem:
    what = f"joins {names[0]} and {names[1]}, whose anchors could not both fall on a motif then"
    return _problem(seam, what, f"at most {MEETS_MM:g} mm off", "Leave one of the anchors out.")


def _askew(seam: str, names: tuple[str, str], askew: float) -> Problem:
    what = f"can't match: other seams already turn {names[1]} by {abs(askew):.4g} degrees against it at {names[0]}"
    allowed = "a print that runs the same way on both sides"
    return _problem(seam, what, allowed, "Leave this seam unmatched, or another of the seams between these pieces.")


def _off_print(seam: str, names: tuple[str, str], off_mm: float) -> Problem:
    what = f"can't match: through the other seams, {names[0]} and {names[1]} meet {off_mm:.4g} mm off the print there"
    remedy = f"Leave this seam unmatched, or make the pieces {off_mm:.4g} mm longer or shorter between the seams."
    return _problem(seam, what, f"at most {MEETS_MM:g} mm off", remedy)


def _problem(seam: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place="goes_on", value=seam, what=what, allowed=allowed, remedy=remedy)
