"""Her own pieces and seams as JSON, in the fields that `bagwright prove` reads."""

from __future__ import annotations

from bagwright.geometry.curves import Arc, Cubic, Curve, Line
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import Seam
from bagwright.model.piece import Piece

Json = dict[str, object]


def own_as_words(own: OwnPattern) -> Json:
    """The pattern as `own_from` takes it back, equal in every field."""
    return {
        "pieces": [_piece(piece, is_face=piece.id in own.faces) for piece in own.pieces],
        "seams": [_seam(seam) for seam in own.seams],
        "measures": [
            {
                "key": measure.key,
                "asked_mm": measure.asked_mm,
                "spans": [{"piece_id": s.piece_id, "edge": s.edge, "factor": s.factor} for s in measure.spans],
            }
            for measure in own.measures
        ],
    }


def _piece(piece: Piece, *, is_face: bool) -> Json:
    return {
        "id": piece.id,
        "name": piece.name,
        "role": piece.role,
        "count": piece.count,
        "mirror": piece.mirror.value,
        "grain_deg": piece.grain_deg,
        "is_face": is_face,
        "edges": [
            {
                "name": edge.name,
                "curves": [_curve(curve) for curve in edge.curves],
                "use": piece.edge_use[edge.name].value,
                "allowance_mm": piece.allowance_mm.get(edge.name),
            }
            for edge in piece.net.edges
        ],
        "notches": [{"edge": notch.edge, "at_mm": notch.at_mm} for notch in piece.notches],
        "lines": [{"name": line.name, "from": list(line.start), "to": list(line.end)} for line in piece.lines],
        "drill_marks": [{"name": mark.name, "at": list(mark.at)} for mark in piece.drill_marks],
    }


def _curve(curve: Curve) -> Json:
    match curve:
        case Line():
            return {"kind": "line", "from": list(curve.start), "to": list(curve.end)}
        case Arc():
            start, centre = list(curve.start), list(curve.centre)
            return {"kind": "arc", "from": start, "centre": centre, "sweep_deg": curve.sweep_deg}
        case Cubic():
            ends: Json = {"from": list(curve.start), "to": list(curve.end)}
            return {"kind": "cubic", **ends, "first": list(curve.first), "second": list(curve.second)}


def _seam(seam: Seam) -> Json:
    return {
        "id": seam.id,
        "name": seam.name,
        "kind": seam.kind.value,
        "rows": seam.rows,
        "sides": [
            {
                "piece_id": side.piece_id,
                "copy": side.copy,
                "edge": side.edge,
                "from_mm": side.from_mm,
                "to_mm": side.to_mm,
                "folds": side.folds,
                "ease_mm": side.ease_mm,
            }
            for side in seam.sides
        ],
    }
