"""One found piece from its outer line and what lies on it: stitch line, fold, grain, notches, marks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bagwright.geometry.chains import Run
from bagwright.geometry.corners import outline_of_run
from bagwright.geometry.curves import Affine, Line, Point
from bagwright.geometry.nearest import nearest_place
from bagwright.geometry.outline import Edge, Outline
from bagwright.model.found_piece import FoundPiece, OutlineKind
from bagwright.model.piece import DrillMark, Notch, PlacementLine
from bagwright.output.drawn_lines import DrawnLine, DrawnPoint, Meaning, is_straight
from bagwright.output.loops import Loop
from bagwright.output.sew_lines import completed, is_parallel, measured_allowances, uneven_edges

_ON_FOLD_MM = 0.2
_NOTCH_REACH_MM = 25.0
"""A notch is drawn on the cut line or at the stitch line, never farther from it than a wide allowance."""
_LEAST_LINE_MM = 1.0
_KIND_OF = {Meaning.STITCH: OutlineKind.STITCH, Meaning.CUT: OutlineKind.CUT}


@dataclass(slots=True)
class Gathered:
    """An outer loop, the loops in it, the open lines and points that lie on it."""

    outer: Loop
    inner: list[Loop] = field(default_factory=list)
    lines: list[DrawnLine] = field(default_factory=list)
    points: list[DrawnPoint] = field(default_factory=list)
    smooth_at: list[Point] = field(default_factory=list)


def piece_of(found: Gathered) -> FoundPiece:
    """The piece, its stitch line if that is drawn and else its outer line, moved to the corner of the plane."""
    low_x, low_y, _, _ = found.outer.region.bounds
    notes = list(found.outer.notes)
    border = outline_of_run(found.outer.line.run, smooth_at=found.smooth_at)
    net = _net_of(found, border, notes)
    outline = net or border
    fold = _fold_edge(outline, found.lines)
    kind = OutlineKind.STITCH if net else _KIND_OF.get(found.outer.line.meaning)
    allowance_mm = measured_allowances(net, found.outer.region) if net else {}
    notes += [
        f"The seam allowance along {edge} varies: the one in its middle is taken."
        for edge in (uneven_edges(net, found.outer.region) if net else ())
    ]
    move = Affine(shift=(-low_x, -low_y))
    return FoundPiece(
        name=found.outer.line.name,
        place=found.outer.line.place,
        outline=outline.moved(move),
        kind=kind,
        allowance_mm={edge: 0.0 if edge == fold else width for edge, width in allowance_mm.items()},
        fold_edge=fold,
        grain_deg=_grain_deg(found.lines),
        notches=tuple(_notches(outline, found, notes)),
        lines=tuple(_lines(outline, found.lines, move, notes)),
        drill_marks=tuple(_drill_marks(outline, found.points, move, notes)),
        notes=tuple(notes),
    )


def _net_of(found: Gathered, border: Outline, notes: list[str]) -> Outline | None:
    """The stitch line, if the file draws one inside the outer line; what else is closed there is left out."""
    stitched = [loop.line.run for loop in found.inner if loop.line.meaning is Meaning.STITCH]
    runs = [line.run for line in found.lines if line.meaning is Meaning.STITCH]
    net: Outline | None = None
    if stitched:
        net = outline_of_run(stitched[0])
    elif runs:
        whole = completed(runs, tuple(curve for edge in border.edges for curve in edge.curves))
        net = outline_of_run(whole) if whole else None
        if net is None:
            notes.append("Its stitch line was left out: it is neither closed nor ends on the cut line.")
    for loop in found.inner:
        if loop.line.meaning is Meaning.STITCH and loop.line.run is (stitched[0] if stitched else None):
            continue
        parallel = outline_of_run(loop.line.run) if net is None and loop.line.meaning is not Meaning.CUT_OUT else None
        if parallel and is_parallel(parallel, found.outer.region):
            net = parallel
            notes.append(f"{loop.line.place} runs along its inside and is taken for its stitch line.")
        else:
            notes.append(f"{loop.line.place} lies in it and was left out: cut-outs are not kept.")
    return net


def _fold_edge(outline: Outline, lines: Sequence[DrawnLine]) -> str:
    """The straight edge that lies on a line marked as fold."""
    for line in lines:
        if line.meaning is Meaning.FOLD and is_straight(line.run):
            for edge in outline.edges:
                if len(edge.curves) == 1 and isinstance(edge.curves[0], Line) and _lies_on(edge, line.run):
                    return edge.name
    return ""


def _lies_on(edge: Edge, run: Run) -> bool:
    return all(nearest_place(run, point)[1] < _ON_FOLD_MM for point in (edge.start, edge.end))


def _grain_deg(lines: Sequence[DrawnLine]) -> float | None:
    """Direction of the first grain line, from 0 up to 180: a line has two ends, and which is up the file can't say."""
    for line in lines:
        (ax, ay), (bx, by) = line.run[0].start, line.run[-1].end
        if line.meaning is Meaning.GRAIN and math.dist((ax, ay), (bx, by)) > _LEAST_LINE_MM:
            return round(math.degrees(math.atan2(by - ay, bx - ax)), 3) % 180
    return None


def _notches(outline: Outline, found: Gathered, notes: list[str]) -> Iterator[Notch]:
    ticks = [(line.place, _outer_end(line.run, outline)) for line in found.lines if line.meaning is Meaning.NOTCH]
    ticks += [(point.place, point.at) for point in found.points if point.meaning is Meaning.NOTCH]
    for place, at in ticks:
        spots = {edge.name: nearest_place(edge.curves, at) for edge in outline.edges}
        name = min(spots, key=lambda edge: spots[edge][1])
        at_mm, off_mm = spots[name]
        if off_mm <= _NOTCH_REACH_MM:
            yield Notch(name, round(at_mm, 3))
        else:
            notes.append(f"{place}: a notch far from every edge was left out.")


def _outer_end(run: Run, outline: Outline) -> Point:
    """Of a notch drawn as a tick, the end on its edge or outside; of one drawn as a V, the middle of its opening."""
    a, b = run[0].start, run[-1].end
    if len(run) > 1:
        return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    inside = outline.region(0.01).holds_lines([(a, a), (b, b)])
    return b if inside[0] and not inside[1] else a


def _lines(outline: Outline, lines: Sequence[DrawnLine], move: Affine, notes: list[str]) -> Iterator[PlacementLine]:
    """Straight lines on the piece, as far as they lie inside its outline."""
    inside = outline.region(0.01)
    names = {edge.name for edge in outline.edges}
    for line in lines:
        if line.meaning not in (Meaning.MARK, Meaning.UNTOLD):
            continue
        stretch = inside.stretch_inside(line.run[0].start, line.run[-1].end) if is_straight(line.run) else None
        if stretch is None or math.dist(*stretch) < _LEAST_LINE_MM:
            notes.append(f"{line.place} lies on it and was left out: only straight lines inside the outline are kept.")
            continue
        name = _free_name(line.name or "line", names)
        names.add(name)
        yield PlacementLine(name, *(move.apply(point) for point in stretch))


def _drill_marks(outline: Outline, points: Sequence[DrawnPoint], move: Affine, notes: list[str]) -> Iterator[DrillMark]:
    holes = [point for point in points if point.meaning is not Meaning.NOTCH]
    inside = outline.region(0.01).holds_lines([(point.at, point.at) for point in holes])
    for number, (point, is_inside) in enumerate(zip(holes, inside, strict=True), start=1):
        if is_inside:
            yield DrillMark(f"mark_{number}", move.apply(point.at))
        else:
            notes.append(f"{point.place}: a drill mark outside the stitch line was left out.")


def _free_name(wanted: str, taken: set[str]) -> str:
    if wanted != "line" and wanted not in taken:
        return wanted
    return next(name for number in range(1, len(taken) + 2) if (name := f"{wanted}_{number}") not in taken)
