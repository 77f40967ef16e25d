"""Path data and transforms of SVG as curves; the only file that knows the library for them.

The library reads what it can and passes over the rest, so what it is given is looked through first.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Any

import svgelements

from bagwright.geometry.chains import Run
from bagwright.geometry.curves import Arc, Cubic, Curve, Line, Point

Matrix = tuple[float, float, float, float, float, float]
"""a, b, c, d, e, f of SVG: x' = a x + c y + e, y' = b x + d y + f."""
Box = tuple[float, float, float, float]
UNMOVED: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
ARC_MM = 1e-5
"""How far a cubic may lie from the elliptical arc it stands for."""
_ROUND = 1e-6
_FURTHEST_MM = 1e6
_NUMBER = re.compile(r"[\s,]*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)", re.ASCII)
_FLAG = re.compile(r"[\s,]*([01])")
_COMMAND = re.compile(r"[\s,]*([MmZzLlHhVvCcSsQqTtAa])")
_LETTER = re.compile("[MmZzLlHhVvCcSsQqTtAa]")
_UNRELATED = {"QS", "TS", "CT", "ST"}
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_TRANSFORM = re.compile(r"[\s,]*([A-Za-z]+)\s*\(")
_LONGEST_TRANSFORM = 2000
_END = re.compile(r"\s*\)")
_BLANKS = " \t\r\n,"
_TRANSFORMS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}


def path_fault(data: str, *, most_numbers: int) -> str:
    """Why this path data cannot be read, in plain words; empty if it can.

    >>> path_fault("M0 0 L nan 5 Z", most_numbers=99), path_fault("M0 0h10v5H0z", most_numbers=99)
    ('cannot be read from "nan 5 Z" on', '')
    """
    data = data.rstrip(_BLANKS)
    at, numbers, command = 0, 0, ""
    while at < len(data):
        found = _COMMAND.match(data, at)
        if found:
            command, at = found[1], found.end()
            if numbers == 0 and command not in "Mm":
                return "does not start with M"
            if command in "Zz":
                continue
        elif not command or command in "Zz":
            return _stuck(data, at)
        for place in range(_TAKES[command.upper()]):
            pattern = _FLAG if command in "Aa" and place in (3, 4) else _NUMBER
            number = pattern.match(data, at)
            if not number or not math.isfinite(float(number[1])):
                return _stuck(data, at)
            at, numbers = number.end(), numbers + 1
        if numbers > most_numbers:
            return f"has more than {most_numbers} numbers"
    return ""


def _stuck(data: str, at: int) -> str:
    rest = data[at : at + 40].lstrip(_BLANKS)
    return f'cannot be read from "{rest[:20]}" on' if rest else "ends too early"


def transform_fault(text: str) -> str:
    """Why this transform cannot be read; empty if it can."""
    if len(text) > _LONGEST_TRANSFORM:
        return f"has more than {_LONGEST_TRANSFORM} signs"
    at = 0
    text = text.rstrip(_BLANKS)
    while at < len(text):
        found = _TRANSFORM.match(text, at)
        if not found or found[1] not in _TRANSFORMS:
            return _stuck(text, at)
        at, numbers = found.end(), 0
        while number := _NUMBER.match(text, at):
            at, numbers = number.end(), numbers + 1
        end = _END.match(text, at)
        if not end or numbers not in _TRANSFORMS[found[1]]:
            return _stuck(text, found.start())
        at = end.end()
    return ""


def read_transform(text: str) -> Matrix:
    """The matrix of a transform that has no fault."""
    m = svgelements.Matrix(text)
    return float(m.a), float(m.b), float(m.c), float(m.d), float(m.e), float(m.f)


def view_box_matrix(place: Box, box: Box, aspect: str) -> Matrix:
    """What lays a viewBox into a viewport, each given as x, y, width, height, by the word of preserveAspectRatio.

    >>> view_box_matrix((0, 0, 210, 297), (0, 0, 21, 21), "")
    (10.0, 0.0, 0.0, 10.0, 0.0, 43.5)
    """
    (x, y, wide, high), (box_x, box_y, box_wide, box_high) = place, box
    align, *how = aspect.split() or ["xMidYMid"]
    across, down = wide / box_wide, high / box_high
    if align != "none":
        across = down = max(across, down) if how == ["slice"] else min(across, down)
    shares = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    right, low = shares.get(align[1:4], 0.5), shares.get(align[5:8], 0.5)
    left = x - box_x * across + (wide - box_wide * across) * right
    top = y - box_y * down + (high - box_high * down) * low
    return across, 0.0, 0.0, down, left, top


def then(first: Matrix, second: Matrix) -> Matrix:
    """`second` inside `first`: a child's matrix under its parent's."""
    a, b, c, d, e, f = first
    g, h, i, j, k, m = second
    return a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * m + e, b * k + d * m + f


def moved(matrix: Matrix, point: Point) -> Point:
    """Where a point goes."""
    a, b, c, d, e, f = matrix
    return a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f


def path_runs(data: str, matrix: Matrix) -> Iterator[tuple[Run, bool]]:
    """Each part of path data without fault as curves under `matrix`, and whether it is closed by Z."""
    run: list[Curve] = []
    for segment in svgelements.Path(_told_apart(data)):
        if isinstance(segment, svgelements.Move):
            if run:
                yield tuple(run), False
            run = []
        elif isinstance(segment, svgelements.Close):
            end, start = _point(segment.end, matrix), _point(segment.start, matrix)
            if math.dist(start, end) > 0 and run:
                run.append(Line(start, end))
            if run:
                yield tuple(run), True
            run = []
        else:
            run += _curves(segment, matrix)
    if run:
        yield tuple(run), False


def _told_apart(data: str) -> str:
    """Smooth curves after curves of the other kind have nothing to be smooth with, says the standard.

    The library goes on from those, too. A line of no length between them keeps it from that.

    >>> _told_apart("M0 0q3 6 6 0s2 4 0 6")
    'M0 0q3 6 6 0l0 0s2 4 0 6'
    """
    before = ""

    def apart(found: re.Match[str]) -> str:
        nonlocal before
        kinds, before = before.upper() + found[0].upper(), found[0]
        return f"l0 0{found[0]}" if kinds in _UNRELATED else found[0]

    return _LETTER.sub(apart, data)


def _point(point: Any, matrix: Matrix) -> Point:
    return moved(matrix, (float(point.x), float(point.y)))


def _curves(segment: Any, matrix: Matrix) -> Iterator[Curve]:
    match segment:
        case svgelements.Line():
            yield Line(_point(segment.start, matrix), _point(segment.end, matrix))
        case svgelements.CubicBezier():
            yield _cubic(segment, matrix)
        case svgelements.QuadraticBezier():
            start, pull, end = (_point(p, matrix) for p in (segment.start, segment.control, segment.end))
            yield Cubic(start, _third(start, pull), _third(end, pull), end)
        case svgelements.Arc():
            yield from _arc(segment, matrix)


def _cubic(segment: Any, matrix: Matrix) -> Cubic:
    points = (segment.start, segment.control1, segment.control2, segment.end)
    return Cubic(*(_point(point, matrix) for point in points))


def _third(end: Point, pull: Point) -> Point:
    """A quadratic curve raised to a cubic: its control points lie two thirds of the way to the quadratic's."""
    return end[0] + 2 / 3 * (pull[0] - end[0]), end[1] + 2 / 3 * (pull[1] - end[1])


def _arc(segment: Any, matrix: Matrix) -> Iterator[Curve]:
    """A circle's arc as it is, an ellipse's as cubics."""
    a, b, c, d, *_ = matrix
    if not segment.rx or not segment.ry:  # by the standard a straight line
        yield Line(_point(segment.start, matrix), _point(segment.end, matrix))
        return
    rx, ry, sweep = (float(n) for n in (segment.rx, segment.ry, segment.sweep))
    scale = math.sqrt(abs(a * d - b * c))
    keeps_circles = abs(a * c + b * d) <= _ROUND * scale**2 and abs(a * a + b * b - c * c - d * d) <= _ROUND * scale**2
    if keeps_circles and abs(rx - ry) <= _ROUND * max(rx, ry) and scale > 0:
        turned = math.degrees(sweep) if a * d - b * c > 0 else -math.degrees(sweep)
        start, centre = _point(segment.start, matrix), _point(segment.center, matrix)
        yield Arc(start, centre, turned)
        return
    reach = min(max(rx, ry) * math.sqrt(max(a * a + b * b, c * c + d * d)), _FURTHEST_MM)
    count = max(1, math.ceil(abs(sweep) / arc_step_rad(reach)))
    yield from (_cubic(part, matrix) for part in segment.as_cubic_curves(count))


def arc_step_rad(reach_mm: float) -> float:
    """Angle over which a cubic keeps within `ARC_MM` of an arc: 4/27 sin^6(t/4) / cos^2(t/4) of the radius."""
    step = math.pi / 2
    while reach_mm * 4 / 27 * math.sin(step / 4) ** 6 / math.cos(step / 4) ** 2 > ARC_MM:
        step /= 2
    return step
