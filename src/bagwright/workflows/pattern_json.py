"""A pattern as JSON: millimetres, degrees, y upwards."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict

from bagwright.drafting.forms import FORMS
from bagwright.drafting.order_of_work import order_of_work
from bagwright.drafting.soundness import prove_sound
from bagwright.drafting.zip_work import zip_plans
from bagwright.geometry.curves import Arc, Cubic, Curve, Line, Point
from bagwright.geometry.outline import Edge
from bagwright.model.material import Extent
from bagwright.model.pattern import AssembledMeasure, Pattern, Seam
from bagwright.model.piece import DrillMark, Piece, PlacementLine
from bagwright.model.work_step import WorkStep
from bagwright.workflows.fold_up import fold_up_as_json
from bagwright.workflows.tell_zip import zip_as_json

Json = dict[str, object]
_DECIMALS = 6
_NOT_TOLD = frozenset({"id", "seam_ids", "layer"})
"""What times are kept under, and of steps that only a bag made of something has."""


def pattern_as_json(pattern: Pattern) -> Json:
    """The answer of `bagwright draft`: pieces, seams, notions, and the proof that they make the bag."""
    verdict = prove_sound(pattern)
    return {
        "form": pattern.form,
        "measurements_mm": _used_mm(pattern),
        "pieces": [_piece(piece) for piece in pattern.pieces],
        "seams": [_seam(seam) for seam in pattern.seams],
        "steps": [_step(step) for step in order_of_work(pattern)],
        "notions": [_rounded(asdict(notion)) for notion in pattern.notions],
        "zips": [zip_as_json(plan) for plan in zip_plans(pattern)],
        "assembled": [_assembled(measure, pattern) for measure in pattern.assembled],
        "soundness": {"passed": verdict.passed, "checks": list(verdict.checks), "faults": list(verdict.faults)},
        "folded_up": fold_up_as_json(pattern),
        "cautions": list(pattern.cautions),
    }


def _used_mm(pattern: Pattern) -> dict[str, float]:
    form = FORMS.get(pattern.form)
    used = form.used(pattern.measurements_mm) if form else dict(pattern.measurements_mm)
    return {key: _mm(size) for key, size in used.items()}


def _step(step: WorkStep) -> Json:
    told = _rounded(asdict(step))
    return {name: value for name, value in told.items() if name not in _NOT_TOLD}


def _rounded(fields: Json) -> Json:
    return {name: _mm(value) if isinstance(value, float) else value for name, value in fields.items()}


def _piece(piece: Piece) -> Json:
    return {
        "id": piece.id,
        "name": piece.name,
        "role": piece.role,
        "count": piece.count,
        "mirror": piece.mirror,
        "grain_deg": piece.grain_deg,
        "fold_edge": piece.fold_edge,
        "is_bought": piece.is_bought,
        "fixed_to": list(piece.fixed_to),
        "note": piece.note,
        "edges": [edge_as_json(edge, piece) for edge in piece.net.edges],
        "net_outline": _points(piece.region(Extent.NET).outer_ring()),
        "cut_outline": _points(piece.region().outer_ring()),
        "notches": [
            {"edge": notch.edge, "at_mm": _mm(notch.at_mm), "point": _point(piece.edge(notch.edge).at(notch.at_mm))}
            for notch in piece.notches
        ],
        "lines": [line_as_json(line) for line in piece.lines],
        "bends": [
            {
                "from": _point(bend.start),
                "to": _point(bend.end),
                "angle_deg": _mm(bend.angle_deg),
                "radius_mm": bend.radius_mm,
                "band_mm": _mm(bend.band_mm),
            }
            for bend in piece.bends
        ],
        "zones": [
            {"name": zone.name, "area_mm2": _mm(zone.region.area_mm2), "outline": _points(zone.outline)}
            for zone in piece.zones
        ],
        "drill_marks": [mark_as_json(mark) for mark in piece.drill_marks],
    }


def line_as_json(line: PlacementLine) -> Json:
    """A line drawn on a piece."""
    return {"name": line.name, "from": _point(line.start), "to": _point(line.end)}


def mark_as_json(mark: DrillMark) -> Json:
    """A point marked on a piece."""
    return {"name": mark.name, "at": _point(mark.at)}


def edge_as_json(edge: Edge, piece: Piece) -> Json:
    """An edge of a piece with its curves."""
    return {
        "name": edge.name,
        "use": piece.edge_use[edge.name],
        "allowance_mm": piece.allowance_mm.get(edge.name, 0.0),
        "length_mm": _mm(edge.length_mm),
        "curves": [_curve(curve) for curve in edge.curves],
    }


def _curve(curve: Curve) -> Json:
    ends: Json = {"from": _point(curve.start), "to": _point(curve.end)}
    match curve:
        case Line():
            return {"kind": "line", **ends}
        case Arc():
            return {"kind": "arc", **ends, "centre": _point(curve.centre), "sweep_deg": curve.sweep_deg}
        case Cubic():
            return {"kind": "cubic", **ends, "first": _point(curve.first), "second": _point(curve.second)}


def _seam(seam: Seam) -> Json:
    return {
        "id": seam.id,
        "name": seam.name,
        "kind": seam.kind,
        "order": seam.order,
        "stage": seam.stage,
        "rows": seam.rows,
        "length_mm": _mm(seam.length_mm),
        "sides": [{**asdict(side), "from_mm": _mm(side.from_mm), "to_mm": _mm(side.to_mm)} for side in seam.sides],
    }


def _assembled(measure: AssembledMeasure, pattern: Pattern) -> Json:
    spans = ((span.factor, pattern.piece(span.piece_id).edge(span.edge)) for span in measure.spans)
    measured_mm = math.fsum(factor * edge.length_mm for factor, edge in spans)
    return {"key": measure.key, "asked_mm": measure.asked_mm, "measured_mm": _mm(measured_mm)}


def _points(ring: Sequence[Point]) -> list[list[float]]:
    return [_point(point) for point in ring]


def _point(point: Point) -> list[float]:
    return [_mm(point[0]), _mm(point[1])]


def _mm(length_mm: float) -> float:
    """Rounded to a millionth, so that every machine prints the same."""
    return round(length_mm, _DECIMALS) + 0.0  # turns -0.0 into 0.0
