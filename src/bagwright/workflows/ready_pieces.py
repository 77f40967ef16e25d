"""What of a bag's run was cut from the stash already and need not be bought again."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.piece import CutPiece, Mirror
from bagwright.model.stash import Cutting

Counts = Mapping[str, int]
_NAMED_MM = 2
"""Decimals of a corner that name a shape: another by less than 0.01 mm is the same."""


def shape_name(region: Region) -> str:
    """Names an outline, so that a piece that was made another size since is not taken for it.

    >>> shape_name(Region.rectangle((0, 0), (30, 20))) == shape_name(Region.rectangle((0, 0), (30, 20.5)))
    False
    """
    rings = [region.outer_ring(), *region.hole_rings()]
    told = repr([[(round(x, _NAMED_MM) + 0.0, round(y, _NAMED_MM) + 0.0) for x, y in ring] for ring in rings])
    return hashlib.sha256(told.encode()).hexdigest()[:16]


def ready_counts(cuttings: Sequence[Cutting], pieces: Sequence[LayPiece]) -> dict[str, int]:
    """How many of each of the pieces of one material are ready, at most as many as are needed.

    Pieces of another shape than the one that was cut are not; of mirrored pairs whole pairs are.
    """
    shapes = {piece.id: shape_name(piece.region) for piece in pieces}
    cut: dict[str, int] = {}
    for one in (ready for cutting in cuttings for ready in cutting.ready):
        if shapes.get(one.id) == one.shape:
            cut[one.id] = cut.get(one.id, 0) + one.count
    counts = {piece.id: min(cut.get(piece.id, 0), piece.count) for piece in pieces}
    paired = {piece.id for piece in pieces if piece.mirror is Mirror.PAIRS}
    counts = {name: count - count % 2 if name in paired else count for name, count in counts.items()}
    return {name: count for name, count in counts.items() if count}


def without_ready(request: LayRequest, counts: Counts) -> LayRequest:
    """The request for what is still to be cut; without any piece if all is ready."""
    if not counts:
        return request
    left = (replace(piece, count=piece.count - counts.get(piece.id, 0)) for piece in request.pieces)
    return replace(request, pieces=tuple(piece for piece in left if piece.count))


def ready_area_mm2(cuts: Sequence[CutPiece], material_id: str, counts: Counts) -> float:
    """Area of what is ready of one material."""
    areas = {cut.id: cut.region.area_mm2 for cut in cuts if cut.material_id == material_id}
    return math.fsum(areas[name] * count for name, count in counts.items())
