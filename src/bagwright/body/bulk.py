"""Layers under the needle, along every seam and where it crosses seams sewn before it, from the seams themselves."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from bagwright.body.zone_reach import meets_zone
from bagwright.geometry.curves import Point
from bagwright.geometry.outline import Edge
from bagwright.model.bulk import SeamBulk, SeamLayer
from bagwright.model.material import Extent
from bagwright.model.pattern import Pattern, Seam, SeamKind, SeamSide
from bagwright.model.source import Band

Layers = Mapping[str, Sequence[SeamLayer]]
"""By piece, from the outside in."""

TOUCHES_MM = 0.5
_TURNS_ALLOWANCES = frozenset({SeamKind.LOCKSTITCH, SeamKind.ZIP, SeamKind.HEM})


def seam_bulks(pattern: Pattern, layers: Layers) -> tuple[SeamBulk, ...]:
    """Every seam of a pattern in the order of work, each followed by its crossings. `layers`: of every piece.

    Along a seam the needle meets each side as often as `Seam.layers_of` says; layers cut to the net line end there and
    do not count, but where stitching runs across a piece (a placement line, quilting) or along its turned edge. A layer
    of one zone has no seam allowance either; it counts where such stitching runs over its zone.
    A crossing is where a seam sewn earlier ends on the line of this one, on the same piece and another edge: there the
    allowances of that seam lie turned over, one more layer of each of its sides (two of a hem), whichever way they
    are pressed.

    Assumes that nothing is squeezed: soft layers flatten under the foot, so it errs towards thick. What is topstitched
    or basted before adds nothing of its own; hardware and thread are not counted.

    >>> from bagwright.drafting.forms import draft_bag
    >>> from bagwright.model.source import Reading
    >>> tote = draft_bag("boxed_tote", {})
    >>> cloth = [SeamLayer(name="canvas", thickness_mm=Reading.exact(0.6))]
    >>> bulks = seam_bulks(tote, {piece.id: cloth for piece in tote.pieces})
    >>> [(bulk.name, bulk.layers) for bulk in bulks if bulk.seam_id == "outer-bottom" and bulk.at_mm is None]
    [('Sew the outer panels together at the bottom', 2)]
    """
    placed = _Placed(pattern, layers)
    return tuple(bulk for seam in sorted(pattern.seams, key=_order) for bulk in placed.bulks_of(seam))


def _order(seam: Seam) -> int:
    return seam.order


@dataclass(frozen=True, slots=True)
class _Met:
    """Layers as they are, and those left after trimming."""

    as_cut: tuple[SeamLayer, ...]
    trimmed: tuple[SeamLayer, ...]

    def __add__(self, other: _Met) -> _Met:
        return _Met(self.as_cut + other.as_cut, self.trimmed + other.trimmed)


_NOTHING = _Met((), ())


@dataclass(frozen=True, slots=True)
class _Placed:
    pattern: Pattern
    layers: Layers

    def bulks_of(self, seam: Seam) -> Iterator[SeamBulk]:
        """The seam itself, then each of its crossings from its start on."""
        met = sum((self._met(seam, side) for side in seam.sides), _NOTHING)
        yield _bulk(seam, met)
        for at_mm, earlier in sorted(self._crossings(seam).items()):
            turned = sum((self._turned(one, seam) for one in earlier), _NOTHING)
            names = tuple(dict.fromkeys(one.name for one in earlier))
            if turned.as_cut:
                yield _bulk(seam, met + turned, crosses=names, at_mm=at_mm)

    def _runs_across(self, side: SeamSide) -> bool:
        return side.edge in {line.name for line in self.pattern.piece(side.piece_id).lines}

    def _met(self, seam: Seam, side: SeamSide) -> _Met:
        """What the needle meets of one side."""
        piece = self.pattern.piece(side.piece_id)
        every = tuple(
            layer
            for layer in self.layers[side.piece_id]
            if layer.extent is not Extent.ZONE or meets_zone(piece, layer.zone, side)
        )
        if seam.kind is SeamKind.QUILT or self._runs_across(side):
            return _Met(every * side.folds, every * side.folds)
        allowance = _allowance(every)
        # Of what is folded over (a strap's end) only the end lies turned down under a topstitched edge.
        times = side.folds if seam.kind is SeamKind.TOPSTITCH else seam.layers_of(side)
        if seam.kind is SeamKind.TOPSTITCH and side.folds == 1:
            return _Met(every + allowance.as_cut, every + allowance.trimmed)
        if seam.kind is SeamKind.HEM and len(seam.sides) == 1:
            return _Met(allowance.as_cut * times, allowance.as_cut + allowance.trimmed * (times - 1))
        return _Met(allowance.as_cut * times, allowance.trimmed * times)

    def _turned(self, earlier: Seam, seam: Seam) -> _Met:
        """The allowances of an earlier seam that lie turned over where `seam` crosses it.

        Of a piece that `seam` itself meets folded over all layers are counted there.
        """
        folded = {(side.piece_id, side.copy) for side in seam.sides if side.folds > 1}
        turned = _NOTHING
        for side in earlier.sides:
            if not self._runs_across(side) and (side.piece_id, side.copy) not in folded:
                allowance = _allowance(tuple(self.layers[side.piece_id]))
                times = 2 if earlier.kind is SeamKind.HEM and len(earlier.sides) == 1 else side.folds
                turned += _Met(allowance.as_cut * times, allowance.trimmed * times)
        return turned

    def _crossings(self, seam: Seam) -> dict[float, list[Seam]]:
        """Earlier seams that end on this one, by how far along it, those within the same half millimetre together."""
        found: dict[float, list[Seam]] = {}
        for side in seam.sides:
            for earlier in self.pattern.seams:
                if earlier.order < seam.order and earlier.kind in _TURNS_ALLOWANCES:
                    for at_mm in self._meets(side, earlier):
                        near = next((known for known in found if abs(known - at_mm) <= 2 * TOUCHES_MM), at_mm)
                        if earlier not in found.setdefault(near, []):
                            found[near].append(earlier)
        return found

    def _meets(self, side: SeamSide, earlier: Seam) -> Iterator[float]:
        piece = self.pattern.piece(side.piece_id)
        for other in earlier.sides:
            if (other.piece_id, other.copy) == (side.piece_id, side.copy) and other.edge != side.edge:
                for end_mm in (other.from_mm, other.to_mm):
                    along = _along(piece.edge(side.edge), piece.edge(other.edge).at(end_mm))
                    if along is not None and _within(along, side):
                        yield abs(along - side.from_mm) / side.folds


def _allowance(every: tuple[SeamLayer, ...]) -> _Met:
    """What lies in a seam allowance: layers cut to the net line do not, and only the outermost stays when trimmed."""
    whole = tuple(layer for layer in every if layer.extent is Extent.WHOLE)
    return _Met(whole, whole[:1])


def _within(along_mm: float, side: SeamSide) -> bool:
    low, high = sorted((side.from_mm, side.to_mm))
    return low - TOUCHES_MM <= along_mm <= high + TOUCHES_MM


def _along(edge: Edge, point: Point) -> float | None:
    """How far along an edge a point lies on it, if it does."""
    walked, nearest, at = 0.0, math.inf, 0.0
    for (ax, ay), (bx, by) in pairwise(edge.points(TOUCHES_MM / 10)):
        length = math.hypot(bx - ax, by - ay)
        share = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / length**2 if length else 0.0
        share = min(max(share, 0.0), 1.0)
        away = math.dist(point, (ax + share * (bx - ax), ay + share * (by - ay)))
        if away < nearest:
            nearest, at = away, walked + share * length
        walked += length
    return at if nearest <= TOUCHES_MM else None


def _bulk(seam: Seam, met: _Met, *, crosses: tuple[str, ...] = (), at_mm: float | None = None) -> SeamBulk:
    return SeamBulk(
        seam_id=seam.id,
        name=seam.name,
        order=seam.order,
        crosses=crosses,
        at_mm=at_mm,
        layers=len(met.as_cut),
        thickness_mm=_thickness(met.as_cut),
        trimmed_layers=len(met.trimmed),
        trimmed_mm=_thickness(met.trimmed),
    )


def _thickness(layers: Sequence[SeamLayer]) -> Band:
    low, high = (math.fsum(getattr(layer.thickness_mm, end) for layer in layers) for end in ("low", "high"))
    return Band(low, high)
