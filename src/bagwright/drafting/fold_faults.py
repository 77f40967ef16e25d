"""What is wrong with a bag as it folds up: seams that gape, faces that miss their size, linings that stand out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from bagwright.geometry.solids import reach_mm
from bagwright.model.fold_up import GAP_TOLERANCE_MM, FoldUp
from bagwright.model.pattern import Pattern, SeamSide
from bagwright.model.piece import Mirror, Piece
from bagwright.model.soundness import SoundnessFault

SIZE_TOLERANCE_MM = 1.0
_SHELL = frozenset({"outer", "base", "lining"})


def find_fold_faults(pattern: Pattern, fold: FoldUp) -> tuple[SoundnessFault, ...]:
    """Every fault that shows when the bag is folded up; none for a sound pattern.

    Tolerances: 0.5 mm for seams, 1 mm for sizes.
    """
    checks = (_copies_have_a_place, _right_sides_go_on, _seams_close, _size_is_what_was_asked, _lining_lies_inside)
    return tuple(fault for check in checks for fault in check(pattern, fold))


Found = Iterator[SoundnessFault]


def _copies_have_a_place(_pattern: Pattern, fold: FoldUp) -> Found:
    for piece_id, copy in fold.unplaced:
        words = f"{piece_id} (copy {copy}) is joined to nothing that has a place"
        yield SoundnessFault(words=words, piece_id=piece_id, copy=copy)


def _seams_close(_pattern: Pattern, fold: FoldUp) -> Found:
    for gap in fold.gaps:
        if gap.gap_mm > GAP_TOLERANCE_MM:
            words = f"seam {gap.seam_id!r} gapes by {gap.gap_mm:.2f} mm when the bag is folded up"
            yield SoundnessFault(words=words, seam_id=gap.seam_id)


def _right_sides_go_on(pattern: Pattern, _fold: FoldUp) -> Found:
    """Along a seam of the shell right side follows right side: its two edges run against one another."""
    pieces = {piece.id: piece for piece in pattern.pieces}
    for seam in pattern.seams:
        if seam.kind.joins and len(seam.sides) > 1:
            one, other = seam.sides[:2]
            ways = [_way_round(side, pieces[side.piece_id]) for side in (one, other)]
            if None not in ways and ways[0] == ways[1] and one != other:
                words = f"seam {seam.id!r} joins the right side of {one.piece_id} to the wrong side of {other.piece_id}"
                yield SoundnessFault(words=words, seam_id=seam.id)


def _way_round(side: SeamSide, piece: Piece) -> bool | None:
    """Whether the side is walked counter-clockwise round its copy; None for what is no edge of the shell."""
    if piece.role not in _SHELL or all(edge.name != side.edge for edge in piece.net.edges):
        return None
    is_mirrored = piece.mirror is Mirror.PAIRS and side.copy % 2 == 0
    return (side.to_mm > side.from_mm) != is_mirrored


def _size_is_what_was_asked(pattern: Pattern, fold: FoldUp) -> Found:
    asked = {measure.key: measure.asked_mm for measure in pattern.assembled}
    for key, got in sizes_as_asked(fold).items():
        if key in asked and abs(got - asked[key]) > SIZE_TOLERANCE_MM:
            yield SoundnessFault(
                words=f"{key} was asked as {asked[key]:.2f} mm, but folded up the bag measures {got:.2f} mm"
            )


def sizes_as_asked(fold: FoldUp) -> Mapping[str, float]:
    """The folded bag as its maker measures it: if its faces lean in, its width on the ground, its height along them."""
    width, depth, height = fold.assembled_size_mm
    if fold.lean_mm > SIZE_TOLERANCE_MM:
        width, height = fold.base_width_mm, math.hypot(height, fold.lean_mm)
    return {"width_mm": width, "depth_mm": depth, "height_mm": height}


def _lining_lies_inside(pattern: Pattern, fold: FoldUp) -> Found:
    """No lining reaches further out than the rest of the bag."""
    rest = [p for facet in fold.facets if facet.role not in ("lining", "pocket", "strap") for p in facet.points]
    if not rest:
        return
    low, high = reach_mm(rest)
    for piece in pattern.pieces:
        own = [
            p for facet in fold.facets if facet.piece_id == piece.id and piece.role == "lining" for p in facet.points
        ]
        if own:
            own_low, own_high = reach_mm(own)
            out = max(
                *(a - b for a, b in zip(low, own_low, strict=True)),
                *(b - a for a, b in zip(high, own_high, strict=True)),
            )
            if out > SIZE_TOLERANCE_MM:
                words = f"{piece.id} stands {out:.2f} mm out of the bag when it is folded up"
                yield SoundnessFault(words=words, piece_id=piece.id)
