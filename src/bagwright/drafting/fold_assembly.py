"""What has been placed in space so far while a bag is folded up, and what the seams ask of the rest."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from bagwright.drafting.fold_tracks import Body, Track, Tracks
from bagwright.geometry.curves import Point
from bagwright.geometry.facets import Facet
from bagwright.geometry.ribbons import Ribbon
from bagwright.geometry.space import Motion, Point3, cross, minus, unit
from bagwright.model.fold_up import Copy

_HAIR_MM = 0.01


@dataclass(frozen=True, slots=True)
class SoftCopy:
    """A strip that bends as it is held: its ribbon, and how it lies on the piece as drawn.

    The strip starts at `origin`, `across` runs over it and `ahead` along it. `folds_mm` are the places over it where it
    is folded flat, so that it zigzags across the ribbon. `is_held_by_ends`: it hangs in an arch.
    """

    ribbon: Ribbon
    origin: Point
    across: Point
    ahead: Point
    folds_mm: tuple[float, ...] = ()
    is_held_by_ends: bool = False

    @property
    def looks_down(self) -> bool:
        """Whether its right side is the lower one of the ribbon: it was turned over when it was laid on."""
        return self.across[0] * self.ahead[1] - self.across[1] * self.ahead[0] < 0

    def at(self, drawn: Point) -> Point3:
        """Where a point of the piece comes to lie."""
        dx, dy = drawn[0] - self.origin[0], drawn[1] - self.origin[1]
        over = self.across[0] * dx + self.across[1] * dy
        run = self.ahead[0] * dx + self.ahead[1] * dy
        return self.ribbon.at(run, zigzag_mm(over, self.folds_mm) - self.ribbon.width_mm / 2)

    def frame(self, drawn: Point, way: Point) -> tuple[Point3, Point3]:
        """At a point as drawn: the direction to the left of a way through it, and out of the right side."""
        (x, y), (dx, dy) = drawn, way
        here, left = self.at(drawn), self.at((x - _HAIR_MM * dy, y + _HAIR_MM * dx))
        on = self.at((x + _HAIR_MM * dx, y + _HAIR_MM * dy))
        if left == here:  # half a hair this side of a fold and half a hair beyond it
            left = self.at((x - _HAIR_MM / 4 * dy, y + _HAIR_MM / 4 * dx))
        inward = unit(minus(left, here))
        return inward, unit(cross(minus(on, here), inward))

    def facets(self) -> Iterator[Facet]:
        """The ribbon's facets, seen from the strip's right side."""
        for facet in self.ribbon.facets():
            yield facet.turned_over() if self.looks_down else facet


def zigzag_mm(over_mm: float, folds_mm: Sequence[float]) -> float:
    """How far across lies what is `over_mm` over a strip folded to and fro at these places, the first layer outwards.

    >>> [zigzag_mm(over, (10, 20, 30)) for over in (0, 10, 15, 20, 35, 40)]
    [0.0, 10.0, 5.0, 0.0, 5.0, 0.0]
    """
    across, sense, last = 0.0, 1.0, 0.0
    for fold in folds_mm:
        if over_mm <= fold:
            break
        across, sense, last = across + sense * (fold - last), -sense, fold
    return across + sense * (over_mm - last)


@dataclass(frozen=True, slots=True)
class Pair:
    """A track of a copy that waits, and one that lies already, with where it lies."""

    seam_id: str
    own: Track
    target: Track
    goal: tuple[Point3, ...]


@dataclass(slots=True)
class Assembly:
    """Motions of the stiff copies, ribbons of the soft ones, in the order in which they were placed."""

    bodies: Mapping[Copy, Body]
    tracks: Tracks
    motions: dict[Copy, Motion] = field(default_factory=dict)
    soft: dict[Copy, SoftCopy] = field(default_factory=dict)
    order: list[Copy] = field(default_factory=list)
    pairs: defaultdict[Copy, list[Pair]] = field(default_factory=lambda: defaultdict(list))
    _seams_of: defaultdict[Copy, list[str]] = field(default_factory=lambda: defaultdict(list))

    def __post_init__(self) -> None:
        for seam_id, tracks in self.tracks.items():
            for copy in dict.fromkeys(track.copy for track in tracks):
                self._seams_of[copy].append(seam_id)

    def waits(self, copy: Copy) -> bool:
        """Whether the copy has no place yet."""
        return copy not in self.motions and copy not in self.soft

    def role(self, track: Track) -> str:
        """The role of the piece on which a track runs."""
        return self.bodies[track.copy].piece.role

    def lay(self, copy: Copy, motion: Motion) -> None:
        """A stiff copy gets its place."""
        self.motions[copy] = motion
        self._note(copy)

    def hang(self, copy: Copy, soft: SoftCopy) -> None:
        """A soft copy gets its place."""
        self.soft[copy] = soft
        self._note(copy)

    def _note(self, copy: Copy) -> None:
        """Tell every copy that waits what it is sewn to."""
        self.order.append(copy)
        for seam_id in self._seams_of[copy]:
            tracks = self.tracks[seam_id]
            for target in tracks:
                if target.copy == copy:
                    goal = self.points(target)
                    for own in tracks:
                        if self.waits(own.copy):
                            self.pairs[own.copy].append(Pair(seam_id, own, target, goal))

    def points(self, track: Track) -> tuple[Point3, ...]:
        """Where a track of a placed copy lies."""
        soft = self.soft.get(track.copy)
        if soft:
            return tuple(soft.at(point) for point in track.drawn)
        motion = self.motions[track.copy]
        return tuple(motion.apply(point) for point in track.points)

    def frame(self, track: Track, number: int) -> tuple[Point3, Point3]:
        """At one sample of a track: into the piece (left of its edge), and out of its right side."""
        body = self.bodies[track.copy]
        edge, at_mm = body.piece.edge(track.side.edge), track.at_mm[number]
        soft = self.soft.get(track.copy)
        if soft:
            return soft.frame(edge.at(at_mm), edge.direction_at(at_mm))
        motion = self.motions[track.copy]
        inward, normal = body.inward_at(edge, at_mm)
        return motion.turned(inward), motion.turned(normal)

    def facets(self, copy: Copy) -> Iterator[Facet]:
        """The facets of a placed copy."""
        soft = self.soft.get(copy)
        if soft:
            yield from soft.facets()
        else:
            for facet in self.bodies[copy].sheet.facets:
                yield facet.moved(self.motions[copy])
