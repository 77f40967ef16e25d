"""Strips of a layout cut otherwise than each by itself: out of bands across the cloth, or on the bias in one go."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.cutting.banded import Joins, with_bands
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region
from bagwright.model.bands import StripWay
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.material import Material
from bagwright.model.piece import CutPiece, Mirror
from bagwright.workflows.strip_shapes import grain_off_deg, lies_on_bias, strip_sides_mm
from bagwright.workflows.tell_bias import told_bias

BIAS_JOIN_MM = 6.35
"""One allowance of the slanted joins of bias strips, 1/4 in: common practice, no source."""
LEAST_PART_MM = 100.0
BLOCK_NAMES = {StripWay.BIAS_SQUARE: "Bias square", StripWay.BIAS_STRIPS: "Bias strips"}
"""What the pieces are called that bias strips come out of; a number follows where there are several widths."""
_MOST_SQUARES = 40
_SAME_MM = 0.01


@dataclass(frozen=True, slots=True)
class BiasBlock:
    """Cloth that bias strips of one width come out of: `count` squares or slanted blocks of one shape.

    `needed_mm`: strip in all, ends and joins counted. `joins`: of the strip that comes of it.
    """

    region: Region
    count: int
    needed_mm: float
    joins: int


@dataclass(frozen=True, slots=True)
class BiasStrips:
    """Strips of one width on the bias."""

    pieces: tuple[LayPiece, ...]
    width_mm: float

    @property
    def needed_mm(self) -> float:
        """All of them end to end; squaring off an end takes one width each time."""
        lengths = [strip_sides_mm(piece.region) or (0.0, 0.0) for piece in self.pieces]
        copies = sum(piece.count for piece in self.pieces)
        run = math.fsum(length * piece.count for (length, _), piece in zip(lengths, self.pieces, strict=True))
        return run + (copies - 1) * self.width_mm

    def block(self, way: StripWay, cloth_mm: float) -> BiasBlock:
        """What they come out of on cloth so wide. Raises `FaultyInput` if that is too narrow."""
        if cloth_mm <= 4 * BIAS_JOIN_MM:
            raise FaultyInput([_too_narrow(cloth_mm)])
        return self._slanted(cloth_mm) if way is StripWay.BIAS_STRIPS else self._squares(cloth_mm)

    def _squares(self, cloth_mm: float) -> BiasBlock:
        """As few squares as fit the cloth; strips of two squares are joined on the slant."""
        lost = self.width_mm + 2 * BIAS_JOIN_MM * math.sqrt(2)
        for count in range(1, _MOST_SQUARES + 1):
            each = (self.needed_mm + (count - 1) * lost) / count
            side = told_bias(each, self.width_mm, cloth_mm=cloth_mm, allowance_mm=BIAS_JOIN_MM).square_mm
            if side <= cloth_mm:
                return BiasBlock(Region.rectangle((0.0, 0.0), (side, side)), count, self.needed_mm, count - 1)
        raise FaultyInput([_too_narrow(cloth_mm)])

    def _slanted(self, cloth_mm: float) -> BiasBlock:
        """Strips from edge to edge of the cloth, side by side."""
        told = told_bias(self.needed_mm, self.width_mm, cloth_mm=cloth_mm, allowance_mm=BIAS_JOIN_MM)
        base = told.strips * self.width_mm * math.sqrt(2)
        ring = [(0.0, 0.0), (base, 0.0), (base + cloth_mm, cloth_mm), (cloth_mm, cloth_mm)]
        return BiasBlock(Region.from_ring(ring), 1, self.needed_mm, told.joins)


def bias_strips(pieces: Iterable[LayPiece]) -> tuple[BiasStrips, ...]:
    """The pieces by the width of the strip."""
    groups: dict[float, list[LayPiece]] = {}
    for piece in pieces:
        sides = strip_sides_mm(piece.region)
        if sides:
            width = next((one for one in groups if abs(one - sides[1]) <= _SAME_MM), sides[1])
            groups.setdefault(width, []).append(piece)
    return tuple(BiasStrips(tuple(own), width) for width, own in groups.items())


@dataclass(frozen=True, slots=True)
class LaidBlock:
    """A block as it is laid, under a name of its own, and the strips that come out of it."""

    id: str
    way: StripWay
    strips: BiasStrips
    block: BiasBlock


def recut(request: LayRequest, cuts: Sequence[CutPiece], material: Material) -> LayRequest:
    """The request with its strips cut as `cuts` say. Raises `FaultyInput` where the cloth is too narrow for that."""
    told = {cut.id: cut for cut in cuts if cut.material_id == material.id}
    ways = {piece.id: _way(piece, told.get(piece.id), material) for piece in request.pieces}
    join_mm = max((told[name].join_mm for name, way in ways.items() if way is StripWay.BANDS), default=0.0)
    return cut_as(request, ways, join_mm=join_mm)[0]


def cut_as(
    request: LayRequest, ways: Mapping[str, StripWay], *, join_mm: float, least_part_mm: float = LEAST_PART_MM
) -> tuple[LayRequest, tuple[LaidBlock, ...]]:
    """The request with each of its pieces cut in its way, all of which can be, and the blocks that bias strips take.

    Strips longer than the cloth is wide are joined out of bands. Raises `FaultyInput` where the cloth is too narrow.
    """
    joins = Joins(
        may_join=[piece.id for piece in request.pieces if _is_longer(piece, request.width_mm)],
        join_mm=join_mm,
        least_part_mm=least_part_mm,
    )
    banded = with_bands(request, [name for name, way in ways.items() if way is StripWay.BANDS], joins)
    blocks = tuple(block for way in BLOCK_NAMES for block in _blocks(request, ways, way))
    gone = {piece.id for one in blocks for piece in one.strips.pieces}
    pieces = (*(piece for piece in banded.pieces if piece.id not in gone), *map(_as_piece, blocks))
    return replace(banded, pieces=pieces), blocks


def _blocks(request: LayRequest, ways: Mapping[str, StripWay], way: StripWay) -> Iterator[LaidBlock]:
    groups = bias_strips(piece for piece in request.pieces if ways.get(piece.id) is way)
    for number, group in enumerate(groups, start=1):
        name = BLOCK_NAMES[way] if len(groups) == 1 else f"{BLOCK_NAMES[way]} {number}"
        yield LaidBlock(name, way, group, group.block(way, request.width_mm))


def _as_piece(one: LaidBlock) -> LayPiece:
    block = one.block
    return LayPiece(id=one.id, region=block.region, count=block.count, turns_deg=(0.0,), mirror=Mirror.NO)


def _is_longer(piece: LayPiece, width_mm: float) -> bool:
    """Only what no band holds is joined: a join less looks better and holds more than a little cloth is worth."""
    return max(piece.region.width_mm, piece.region.height_mm) > width_mm


def _way(piece: LayPiece, cut: CutPiece | None, material: Material) -> StripWay:
    """How it is cut on that cloth: where bands or the bias would not do, as it is laid."""
    if cut is None or not can_be_cut(cut.cut_as, piece, cut.grain_deg, material):
        return StripWay.LAID
    return cut.cut_as


def can_be_cut(way: StripWay, piece: LayPiece, grain_deg: float, material: Material) -> bool:
    """Whether strips of that material can be cut so."""
    if way is StripWay.LAID:
        return True
    if strip_sides_mm(piece.region) is None or piece.goes_on or not material.kind.has_grain:
        return False
    is_bias = lies_on_bias(grain_off_deg(piece.region, grain_deg))
    return way.is_bias == is_bias


def names_laid(names: Mapping[str, str], request: LayRequest) -> dict[str, str]:
    """`names` of cut pieces, and of the parts of joined strips."""
    told = dict(names)
    for joined in request.bands.joined if request.bands else ():
        name = names.get(joined.strip_id, joined.strip_id)
        told |= {part: name + part.removeprefix(joined.strip_id) for part in joined.part_ids}
    return told


def _too_narrow(cloth_mm: float) -> Problem:
    return Problem(
        place="width_mm",
        value=f"{cloth_mm:.6g} mm",
        what="is too narrow for bias strips in one go",
        allowed="a wider cloth",
        remedy="Lay each strip by itself, or choose a wider cloth.",
    )
