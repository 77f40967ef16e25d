"""Pattern pieces: net outline, allowance per edge, grain, marks; and what is cut from them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine, Line, Point
from bagwright.geometry.folding import Crease
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import Edge, Outline
from bagwright.geometry.region import Region
from bagwright.model.bands import StripWay
from bagwright.model.material import Extent
from bagwright.model.prints import PrintPoint
from bagwright.model.zones import Zone, ZoneName, zones_between


class EdgeUse(StrEnum):
    """What becomes of an edge. On `FOLD` the piece lies on a fold of the cloth: what is cut is twice as large."""

    SEAM = "seam"
    OPENING = "opening"
    HEM = "hem"
    FOLD = "fold"


class Mirror(StrEnum):
    """Whether copies are mirrored: never, in left and right pairs, or as it suits the layout."""

    NO = "no"
    PAIRS = "pairs"
    EITHER = "either"


@dataclass(frozen=True, slots=True)
class Notch:
    """A tick on an edge, `at_mm` along it from its start."""

    edge: str
    at_mm: float


@dataclass(frozen=True, slots=True)
class PlacementLine:
    """A named straight line drawn on the piece: where another piece is laid, folded or stitched."""

    name: str
    start: Point
    end: Point

    def as_edge(self) -> Edge:
        """The line as an edge that a seam can use."""
        return Edge(self.name, (Line(self.start, self.end),))


@dataclass(frozen=True, slots=True)
class DrillMark:
    """A named point on the piece."""

    name: str
    at: Point


@dataclass(frozen=True, slots=True)
class Bend:
    """Where a sewn piece folds in the finished bag: a straight line on the piece from `start` to `end`.

    `angle_deg`: by how much the piece turns there, 0 flat, 90 a square corner, 180 folded back on itself, 360 rolled to
    a tube. Positive bends the right side outwards (it comes to lie on the outside of the corner), negative inwards: a
    lining, whose right side faces into the bag, bends the other way than its outer. The sense does not depend on which
    way the line runs, and a mirrored copy keeps it.
    The ends lie on the net line, or where other bends end (a crease meets others at the inner corner of a box). A bend
    all along a sewn edge says by how much the bag turns at that seam: a flap that goes over the top from the back.
    `radius_mm` > 0: bent round, over a band `radius_mm` x angle (in radians) wide with the line in its middle.
    Where the cloth is soft by nature (a strap that hangs), no bend is declared.
    """

    start: Point
    end: Point
    angle_deg: float
    radius_mm: float = 0.0

    @property
    def band_mm(self) -> float:
        """Width of the band that is bent; 0 for a sharp crease.

        >>> round(Bend((0, 0), (0, 9), 180, radius_mm=10).band_mm, 3)
        31.416
        """
        return self.radius_mm * math.radians(abs(self.angle_deg))


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One pattern piece. `role` names the stack of layers it is cut from (outer, lining, strap...).

    `net` is the stitch line, counter-clockwise, right side up; `grain_deg` the direction of the lengthwise grain in
    the piece's own frame (90 = up). `bends`: where it folds in the finished bag; none if it is flat or soft.
    `zone_names`: what the form calls the parts between its bends, or the whole of a piece that is one of several.
    `is_bought` marks a part that comes ready made (zip chain): it is sewn, not cut. `fixed_to`: for each copy the piece
    to whose wrong side it is fused or glued; it is sewn nowhere, so all its edges are openings.
    """

    id: str
    name: str
    role: str
    net: Outline
    allowance_mm: Mapping[str, float]
    edge_use: Mapping[str, EdgeUse]
    count: int = 1
    mirror: Mirror = Mirror.NO
    grain_deg: float = 90.0
    notches: tuple[Notch, ...] = ()
    lines: tuple[PlacementLine, ...] = ()
    drill_marks: tuple[DrillMark, ...] = ()
    bends: tuple[Bend, ...] = ()
    zone_names: tuple[ZoneName, ...] = ()
    is_bought: bool = False
    fixed_to: tuple[str, ...] = ()
    note: str = ""

    def edge(self, name: str) -> Edge:
        """The edge or placement line of that name."""
        for line in self.lines:
            if line.name == name:
                return line.as_edge()
        return self.net.edge(name)

    @property
    def fold_edge(self) -> str | None:
        """The edge that lies on the fold of the cloth, if any."""
        return next((name for name, use in self.edge_use.items() if use is EdgeUse.FOLD), None)

    @property
    def zones(self) -> tuple[Zone, ...]:
        """Its parts that a layer can cover alone, within the net line; none of what is bought or has but one part."""
        if self.is_bought or not (self.bends or self.zone_names):
            return ()
        if self.fold_edge is not None:
            return tuple(Zone(one.name, tuple(self.region(Extent.NET).outer_ring())) for one in self.zone_names)
        creases = tuple(Crease(bend.start, bend.end, bend.angle_deg, bend.band_mm) for bend in self.bends)
        return zones_between(self.net, creases, self.zone_names, self.name)

    def zone(self, name: str) -> Zone | None:
        """The zone of that name, if it has one."""
        return next((zone for zone in self.zones if zone.name == name), None)

    def region(self, extent: Extent = Extent.WHOLE, zone: str = "") -> Region:
        """What is cut for one copy: out to the cut line, to the net line, or one zone; unfolded.

        Raises `BrokenPromise` for a zone that it does not have.
        """
        if extent is Extent.ZONE:
            found = self.zone(zone)
            if found is None:
                raise BrokenPromise(f"{self.id!r} has no zone {zone!r} among {[one.name for one in self.zones]}")
            return found.region
        if self.fold_edge is None:
            return self._cut_from(self.net, extent)
        # Only on the axis do both halves have the very same fold; elsewhere rounding leaves a gap of 1e-14 mm.
        there, back = _onto_the_axis(self.net.edge(self.fold_edge))
        half = self._cut_from(self.net.moved(there), extent)
        return Region.union([half, half.moved(Affine(mirrors=True))]).without_needless_points().moved(back)

    def _cut_from(self, net: Outline, extent: Extent) -> Region:
        return net.region(side="right") if extent is Extent.NET else cut_region(net, self.allowance_mm)


def _onto_the_axis(fold: Edge) -> tuple[Affine, Affine]:
    """The move that lays the fold on the y axis, and the one back; no turn if it is upright already."""
    if len(fold.curves) != 1 or not isinstance(fold.curves[0], Line):
        raise BrokenPromise(f"edge {fold.name!r} lies on a fold, so it must be one straight line")
    (ax, ay), (bx, by) = fold.start, fold.end
    turn = 90 - math.degrees(math.atan2(by - ay, bx - ax)) % 180
    across, _ = Affine(turn_deg=turn).apply((ax, ay))
    back_x, back_y = Affine(turn_deg=-turn).apply((across, 0.0))
    return Affine(turn_deg=turn, shift=(-across, 0.0)), Affine(turn_deg=-turn, shift=(back_x, back_y))


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """What the shears cut: one shape in one material, `count` times for one bag.

    `on_fold`: its middle can lie on the fold of cloth laid double. `zone`: which part of the piece, if not all of it.
    `best_only`: it keeps off the lesser parts of a hide. `goes_on`: the seams across which its print goes on;
    `any_print`: it needs no motif in its middle.
    `cut_as`: how it is cut if it is a strip; a join of bands takes `join_mm` of its length.
    """

    piece_id: str
    name: str
    material_id: str
    extent: Extent
    region: Region = field(repr=False)
    count: int
    mirror: Mirror
    grain_deg: float
    on_fold: bool = False
    zone: str = ""
    best_only: bool = False
    goes_on: tuple[PrintPoint, ...] = ()
    any_print: bool = False
    cut_as: StripWay = StripWay.LAID
    join_mm: float = 0.0

    @property
    def id(self) -> str:
        """Name of the shape within its material; the same piece may be cut to several extents."""
        if self.extent is Extent.WHOLE:
            return self.piece_id
        return f"{self.piece_id} ({'net' if self.extent is Extent.NET else self.zone})"
