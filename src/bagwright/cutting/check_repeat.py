"""Judge printed cloth: every anchor must fall where the repeat says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Point
from bagwright.model.layout import LayRequest, Placement, Repeat

OFF_MM = 1e-3


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
    """Anchors beside their motif, and matched pieces that do not go on from one another."""
    pieces = {piece.id: piece for piece in request.pieces}
    first: dict[str, tuple[Placement, Point]] = {}
    for placement in placements:
        piece, repeat = pieces[placement.id], request.repeat
        if piece.anchor is None or repeat is None:
            continue
        at = placement.move.apply(piece.anchor)
        if not piece.match:
            off = off_motif_mm(repeat, at)
            if off > OFF_MM:
                yield f"{piece.id}: lies {off:.6g} mm beside the motif"
            continue
        leader, motif = first.setdefault(piece.match, (placement, at))
        off = off_motif_mm(repeat, at, motif)
        if off > OFF_MM:
            yield f"{piece.id}: lies {off:.6g} mm off the print of {leader.id}, which it is matched with"
        if abs((placement.turn_deg - leader.turn_deg + 180) % 360 - 180) > OFF_MM:
            yield f"{piece.id}: is turned otherwise than {leader.id}, which it is matched with"
