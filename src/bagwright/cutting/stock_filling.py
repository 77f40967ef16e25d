"""One plan of filling hides, remnants and scraps, carried out: each piece goes into some corner of the room left."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from bagwright.cutting.container import Container, Phases, Way
from bagwright.cutting.print_groups import joined_ids
from bagwright.geometry.curves import Point
from bagwright.model.layout import LayPiece, Placement
from bagwright.model.piece import Mirror

CORNERS: tuple[Callable[[Point], tuple[float, float]], ...] = (
    lambda at: (at[0], at[1]),
    lambda at: (at[1], at[0]),
    lambda at: (-at[0], at[1]),
    lambda at: (-at[1], at[0]),
    lambda at: (at[0] + at[1], at[0]),
    lambda at: (at[0] - at[1], at[0]),
)
"""To which side of a container pieces are pushed."""
_WAYS_AT_ONCE = 4


@dataclass(frozen=True, slots=True)
class Plan:
    """In which order pieces and containers are taken, to which side each container is filled, and from which of its
    ways on each piece is tried: a few of them at a time. `slants`: whether slanted ways are tried too."""

    order: tuple[int, ...]
    containers: tuple[int, ...]
    corners: tuple[int, ...]
    turns: tuple[int, ...]
    slants: bool = False


@dataclass(frozen=True, slots=True)
class Filled:
    """What came of a plan: area laid, minus area of the stock it took, and the placements on each container."""

    worth: tuple[float, float]
    placements: tuple[tuple[Placement, ...], ...]


@dataclass(frozen=True, slots=True)
class _Laid:
    """A piece by its number, the container it lies on, the way in which it does, and the lowest corner of its box."""

    piece: int
    container: int
    way: Way
    corner: Point


def carry_out(
    plan: Plan, pieces: Sequence[LayPiece], containers: Sequence[Container], *, stop: Callable[[], bool]
) -> Filled:
    """What comes of a plan, or of its beginning if it is stopped on the way.

    Pieces of which all or none lie on stock are left out together, and the rest is filled anew without them.
    """
    chains = joined_ids(pieces) if containers and containers[0].has_print else []
    while True:
        filling = _Filling(plan, pieces, containers, stop)
        filled = filling.run()
        short = {i for i in range(len(pieces)) if any(pieces[i].id in chain for chain in filling.short(chains))}
        if not short:
            return filled
        plan = replace(plan, order=tuple(i for i in plan.order if i not in short))


class _Filling:
    """One call of `carry_out`."""

    def __init__(
        self, plan: Plan, pieces: Sequence[LayPiece], containers: Sequence[Container], stop: Callable[[], bool]
    ) -> None:
        self.plan, self.pieces, self.containers, self.stop = plan, pieces, containers, stop
        self.boards = [container.board() for container in containers]
        self.full: set[tuple[int, Way]] = set()
        self.laid: list[_Laid] = []
        self.phases: Phases = {}

    def run(self) -> Filled:
        mirrored = Counter[tuple[int, bool]]()
        for number in self.plan.order:
            if self.stop():
                break
            piece = self.pieces[number]
            wants = (False, True) if piece.mirror is Mirror.EITHER else (False,)
            if piece.mirror is Mirror.PAIRS:
                wants = (mirrored[number, True] < mirrored[number, False],)
            found = self._first_room(number, wants)
            if found:
                self.boards[found.container].lay(found.way.shape, found.corner)
                self.containers[found.container].note_phase(piece, found.way, found.corner, self.phases)
                self.laid.append(found)
                mirrored[number, found.way.mirrored] += 1
        return self._filled()

    def short(self, chains: Sequence[frozenset[str]]) -> list[frozenset[str]]:
        """Those of the chains of which some copies were laid, but not all."""
        spare = self._without_partner()
        laid = Counter(self.pieces[one.piece].id for i, one in enumerate(self.laid) if i not in spare)
        counts = {piece.id: piece.count for piece in self.pieces}
        return [
            chain
            for chain in chains
            if any(laid[name] for name in chain) and any(laid[name] < counts[name] for name in chain)
        ]

    def _first_room(self, number: int, wants: Sequence[bool]) -> _Laid | None:
        """The piece in the first container with room for it; remembers where there is none."""
        for at in self.plan.containers:
            if self.stop():
                return None
            worth, spots = CORNERS[self.plan.corners[at]], []
            ways = self.containers[at].ways(self.pieces[number], slanted=self.plan.slants)
            for way in _a_few([way for way in ways if way.mirrored in wants], self.plan.turns[number]):
                corner = None if (at, way) in self.full else self._best_corner(at, number, way, worth)
                if corner is None:
                    self.full.add((at, way))
                    continue
                length, height = self.containers[at].shape(way).size
                ends = (corner[0] + length / 2, corner[1] + height / 2)
                spots.append((worth(ends), way.shape, corner, way))
            if spots:
                _, _, corner, way = min(spots, key=lambda spot: spot[:3])
                return _Laid(number, at, way, corner)
        return None

    def _best_corner(
        self, at: int, number: int, way: Way, worth: Callable[[Point], tuple[float, float]]
    ) -> Point | None:
        return self.containers[at].best_corner(self.boards[at], self.pieces[number], way, worth, self.phases)

    def _filled(self) -> Filled:
        placements: list[list[Placement]] = [[] for _ in self.containers]
        area, spare = 0.0, self._without_partner()
        for i, one in enumerate(self.laid):
            if i not in spare:
                member = self.containers[one.container].shape(one.way).member
                placements[one.container].append(member.laid_at(*one.corner))
                area += self.pieces[one.piece].region.area_mm2
        used = sum(one.area_mm2 for one, spots in zip(self.containers, placements, strict=True) if spots)
        return Filled((round(area, 3), -used), tuple(map(tuple, placements)))

    def _without_partner(self) -> set[int]:
        """Of pairs, the last unmirrored copy if its mirror image found no room."""
        waiting: dict[int, list[int]] = {}
        for i, one in enumerate(self.laid):
            if self.pieces[one.piece].mirror is Mirror.PAIRS:
                stack = waiting.setdefault(one.piece, [])
                if one.way.mirrored:
                    stack.pop()
                else:
                    stack.append(i)
        return {i for stack in waiting.values() for i in stack}


def _a_few(ways: Sequence[Way], start: int) -> Sequence[Way]:
    """Four of the ways, from `start` on, round and round."""
    at = start % len(ways) if len(ways) > _WAYS_AT_ONCE else 0
    return [*ways[at:], *ways[:at]][:_WAYS_AT_ONCE]
