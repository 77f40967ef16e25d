"""Where drill marks come to lie in the bag folded up."""

from __future__ import annotations

from bagwright.drafting.fold_placing import place_copies
from bagwright.drafting.fold_tracks import fold_bodies, seam_tracks
from bagwright.geometry.space import Point3
from bagwright.model.pattern import Pattern


def marks_in_space(pattern: Pattern) -> dict[tuple[str, int, str], Point3]:
    """Each drill mark of each copy: piece, copy and name of the mark, and the point."""
    bodies = fold_bodies(pattern)
    assembly = place_copies(bodies, seam_tracks(pattern, bodies))
    found = {}
    for (piece_id, copy), body in bodies.items():
        for mark in body.piece.drill_marks:
            (point,) = body.lifted([mark.at])
            found[piece_id, copy, mark.name] = assembly.motions[piece_id, copy].apply(point)
    return found
