"""Judge printed cloth: every anchor must fall where the repeat says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Point
from bagwright.model.layout import LayRequest, Placement
from bagwright.model.prints import PrintPoint, Repeat

OFF_MM = 1e-3
MEETS_MM = 0.5
"""So far a print may be off across a seam: as much as two matched edges may differ in length."""
_SAME_DEG = 1e-3


def off_motif_mm(repeat: Repeat, at: Point, motif: Point | None = None) -> float:
    """How far `at` lies from where a motif (or the point of the print at `motif`) comes again, the further way.

    >>> off_motif_mm(Repeat(along_mm=100, across_mm=60, drop_share=0.5), (151.0, 60.0))
    1.0
    >>> off_motif_mm(Repeat(along_mm=100), (201.0, 33.0))
    1.0
    """
    first = motif or (repeat.first_along_mm, repeat.first_across_mm)
    dx, dy = at[0] - first[0], at[1] - first[1]
    row = round(dy / repeat.across_mm) if repeat.across_mm else 0
    off_across = abs(dy - row * repeat.across_mm) if repeat.across_mm else 0.0
    if not repeat.along_mm:
        return off_across
    dx -= row * repeat.drop_share * repeat.along_mm
    return max(off_across, abs(dx - round(dx / repeat.along_mm) * repeat.along_mm))


def repeat_faults(request: LayRequest, placements: Sequence[Placement]) -> Iterator[str]:
    """Anchors beside their motif, and seams across which the print does not go on, each judged by itself."""
    if request.repeat is None:
        return
    pieces = {piece.id: piece for piece in request.pieces}
    first: dict[str, tuple[str, Point, float]] = {}
    for placement in placements:
        piece = pieces[placement.id]
        if piece.anchor:
            off = off_motif_mm(request.repeat, placement.move.apply(piece.anchor))
            if off > (MEETS_MM if piece.goes_on else OFF_MM):
                yield f"{piece.id}: lies {off:.6g} mm beside the motif"
        for point in piece.goes_on:
            if point.mirrored is not placement.mirrored:
                continue
            at, runs_deg = placement.move.apply(point.at), _runs_deg(placement, point)
            leader, motif, way_deg = first.setdefault(point.seam, (piece.id, at, runs_deg))
            off = off_motif_mm(request.repeat, at, motif)
            if off > MEETS_MM:
                yield f"{piece.id}: lies {off:.6g} mm off the print of {leader} at {point.seam}"
            if abs((runs_deg - way_deg + 180) % 360 - 180) > _SAME_DEG:
                yield f"{piece.id}: is turned otherwise than {leader} at {point.seam}"


def _runs_deg(placement: Placement, point: PrintPoint) -> float:
    """Which way the seam runs on the cloth."""
    return placement.turn_deg + (180 - point.along_deg if placement.mirrored else point.along_deg)
