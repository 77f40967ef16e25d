"""Pieces from SVG drawings: paths and basic shapes, nested groups, transforms, units, viewBox, elliptical arcs.

What is not read: text, pictures, what is clipped or hidden by style sheets. y is turned upwards.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from xml.etree.ElementTree import Element

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region
from bagwright.model.found_piece import FoundDrawing, FoundScale
from bagwright.output._svg_paths import (
    UNMOVED,
    Matrix,
    path_fault,
    path_runs,
    read_transform,
    then,
    transform_fault,
    view_box_matrix,
)
from bagwright.output.drawn_lines import MOST_CURVES, MOST_LINES, DrawnLine
from bagwright.output.piece_finding import Heap, find_pieces
from bagwright.output.svg_shapes import SHAPES, OddLength, shape_data
from bagwright.output.svg_tree import file_fault, is_physical, kind_of, length_px, parse_svg, style_of
from bagwright.output.svg_words import LineWords, Words

MM_PER_PX = 25.4 / 96
_MOST_VISITS = 60_000
_DEEPEST_USE = 10
_GROUPS = ("g", "a", "switch", "svg")
_UNSAID_SIZE = (300.0, 150.0)
"""Size of an SVG that says none, in CSS pixels (CSS Images, "Default Sizing")."""


def read_svg(data: bytes, *, mm_per_unit: float | None = None) -> FoundDrawing:
    """Every piece that the drawing holds, in mm.

    `mm_per_unit`: how many mm one unit of its outermost coordinates is, if that is known better than the file says.
    Raises `FaultyInput` with everything that cannot be read or cannot be a piece.
    """
    root = parse_svg(data)
    page = _Page.of(root)
    scale = page.scale
    if mm_per_unit is not None:
        scale = FoundScale(mm_per_unit, "as you say", True)
    reader = _Reader(root, page.matrix_at(scale.mm_per_unit))
    lines = list(reader.lines())
    if reader.problems:
        raise FaultyInput(reader.problems)
    pieces, notes = find_pieces([Heap(lines, page=page.region_at(scale.mm_per_unit))])
    return FoundDrawing(format="svg", scale=scale, pieces=pieces, notes=(*notes, *reader.notes()))


@dataclass(frozen=True, slots=True)
class _Page:
    """The outermost viewport: its size in CSS pixels, its viewBox, what its units are."""

    size_px: tuple[float, float]
    units: Matrix
    scale: FoundScale

    @classmethod
    def of(cls, root: Element) -> _Page:
        box = _view_box(root)
        texts = {name: style_of(root, name) for name in ("width", "height")}
        said = {name: length_px(text, 0.0) for name, text in texts.items() if not text.endswith("%")}
        fallback = box[2:] if box else _UNSAID_SIZE
        wide, high = said.get("width"), said.get("height")
        if wide and not high:
            high = wide * fallback[1] / fallback[0]
        elif high and not wide:
            wide = high * fallback[0] / fallback[1]
        size = (wide or fallback[0], high or fallback[1])
        if not (0 < size[0] < 1e9 and 0 < size[1] < 1e9):
            raise file_fault("has no size", "Give it a width and a height above 0.")
        matrix = view_box_matrix((0, 0, *size), box, root.get("preserveAspectRatio", "")) if box else UNMOVED
        return cls(size, matrix, _scale_of(texts, matrix))

    def matrix_at(self, mm_per_unit: float) -> Matrix:
        """From the outermost coordinates to mm, y upwards from the foot of the page."""
        factor = mm_per_unit / _across(self.units)
        return then((factor, 0.0, 0.0, -factor, 0.0, factor * self.size_px[1]), self.units)

    def region_at(self, mm_per_unit: float) -> Region:
        """The page itself."""
        factor = mm_per_unit / _across(self.units)
        return Region.rectangle((0.0, 0.0), (self.size_px[0] * factor, self.size_px[1] * factor))


def _across(units: Matrix) -> float:
    return math.hypot(units[0], units[1])


def _scale_of(texts: dict[str, str], units: Matrix) -> FoundScale:
    mm_per_unit = MM_PER_PX * _across(units)
    physical = next((f"{name} {text}" for name, text in texts.items() if is_physical(text)), "")
    if physical:
        return FoundScale(mm_per_unit, f"the file gives its size: {physical}", True)
    return FoundScale(mm_per_unit, "the file gives no size in inches or mm: 96 pixels were taken for an inch", False)


def _view_box(element: Element) -> tuple[float, float, float, float] | None:
    text = element.get("viewBox", "")
    if not text.strip():
        return None
    parts = re.split(r"[\s,]+", text.strip())
    try:
        x, y, wide, high = (float(part) for part in parts)
    except ValueError:
        raise file_fault(f'has a viewBox that cannot be read: "{text[:40]}"', "Save it anew as plain SVG.") from None
    if not all(map(math.isfinite, (x, y, wide, high))) or wide <= 0 or high <= 0 or max(wide, high) > 1e9:
        raise file_fault(f'has a viewBox without size: "{text[:40]}"', "Save it anew as plain SVG.")
    return x, y, wide, high


@dataclass(frozen=True, slots=True)
class _Here:
    """Where a walk through the elements stands: matrix, size of the viewport, words of the groups around, uses."""

    matrix: Matrix
    size: tuple[float, float]
    words: Words
    uses: tuple[str, ...] = ()


class _Reader:
    """Walks through the elements and gives every line that is drawn."""

    def __init__(self, root: Element, matrix: Matrix) -> None:
        self.problems: list[Problem] = []
        self._root, self._matrix = root, matrix
        self._by_id = {element.get("id", ""): element for element in root.iter() if element.get("id")}
        self._visits = self._drawn = self._curves = 0
        self._left_out: dict[str, int] = {}

    def lines(self) -> Iterator[DrawnLine]:
        """Every line, in the order of the file."""
        box = _view_box(self._root)
        size = box[2:] if box else _UNSAID_SIZE
        yield from self._children(self._root, _Here(self._matrix, size, Words.of(self._root)))

    def notes(self) -> Iterator[str]:
        """What was passed over."""
        if self._left_out:
            told = ", ".join(f"{count} of {kind}" for kind, count in sorted(self._left_out.items()))
            yield f"Left out, for they are no outlines: {told}."

    def _children(self, element: Element, here: _Here) -> Iterator[DrawnLine]:
        for child in element:
            yield from self._element(child, here)

    def _element(self, element: Element, here: _Here) -> Iterator[DrawnLine]:
        kind = kind_of(element)
        self._visits += 1
        if self._visits > _MOST_VISITS:
            raise file_fault("repeats its parts too often", "Take out what is no outline.")
        if style_of(element, "display") == "none" or style_of(element, "visibility") in ("hidden", "collapse"):
            self._leave_out("hidden parts")
        elif kind in SHAPES:
            yield from self._shape(element, kind, here)
        elif kind in _GROUPS or kind == "use":
            matrix = self._moved(element, here)
            if matrix is not None:
                yield from self._group(element, kind, replace(here, matrix=matrix, words=here.words.inside(element)))
        elif kind in ("text", "image", "foreignObject"):
            self._leave_out({"text": "text", "image": "pictures"}.get(kind, "foreign parts"))

    def _leave_out(self, what: str) -> None:
        self._left_out[what] = self._left_out.get(what, 0) + 1

    def _moved(self, element: Element, here: _Here) -> Matrix | None:
        text = style_of(element, "transform").replace("px", "").replace("deg", "")
        if text in ("", "none"):
            return here.matrix
        fault = transform_fault(text)
        if fault:
            self._refuse(here.words.place(element), f"has a transform that {fault}", 'such as "translate(10 20)"')
            return None
        return then(here.matrix, read_transform(text))

    def _group(self, element: Element, kind: str, here: _Here) -> Iterator[DrawnLine]:
        if kind == "svg":
            yield from self._children(element, self._viewport(element, here, ("100%", "100%")))
        elif kind == "use":
            yield from self._use(element, here)
        else:
            yield from self._children(element, here)

    def _viewport(self, element: Element, here: _Here, usual: tuple[str, str]) -> _Here:
        """Inside a nested svg or a symbol: shifted, and scaled to its viewBox."""
        texts = zip(("x", "y", "width", "height"), ("0", "0", *usual), (*here.size, *here.size), strict=True)
        x, y, wide, high = (length_px(element.get(name, given), whole) or 0.0 for name, given, whole in texts)
        box = _view_box(element)
        if box and wide > 0 and high > 0:
            inner = view_box_matrix((x, y, wide, high), box, element.get("preserveAspectRatio", ""))
            return replace(here, matrix=then(here.matrix, inner), size=box[2:])
        return replace(here, matrix=then(here.matrix, (1, 0, 0, 1, x, y)), size=(wide, high))

    def _use(self, element: Element, here: _Here) -> Iterator[DrawnLine]:
        href = element.get("href") or element.get("{http://www.w3.org/1999/xlink}href") or ""
        target = self._by_id.get(href.removeprefix("#")) if href.startswith("#") else None
        if target is None or href in here.uses or len(here.uses) >= _DEEPEST_USE:
            self._leave_out("references that lead nowhere")
            return
        x, y = (length_px(element.get(name, "0"), whole) or 0.0 for name, whole in zip("xy", here.size, strict=True))
        here = replace(here, matrix=then(here.matrix, (1, 0, 0, 1, x, y)), uses=(*here.uses, href))
        if kind_of(target) == "symbol":
            usual = (element.get("width", "100%"), element.get("height", "100%"))
            yield from self._children(target, self._viewport(target, here, usual))
        else:
            yield from self._element(target, here)

    def _shape(self, element: Element, kind: str, here: _Here) -> Iterator[DrawnLine]:
        matrix = self._moved(element, here)
        place = here.words.place(element)
        try:
            data = shape_data(element, kind, here.size)
        except OddLength as odd:
            self._refuse(place, f'has {odd.name}="{odd.text[:40]}"', "a number, or one with mm, cm, in, pt, pc or px")
            return
        fault = path_fault(data, most_numbers=7 * MOST_CURVES)
        if fault:
            self._refuse(place, fault, "path data as in the SVG standard")
        elif matrix is not None and (words := here.words.of_line(element)):
            yield from self._drawn_lines(place, data, matrix, words)

    def _drawn_lines(self, place: str, data: str, matrix: Matrix, words: LineWords) -> Iterator[DrawnLine]:
        try:
            for number, (run, is_closed) in enumerate(path_runs(data, matrix), start=1):
                self._drawn += 1
                self._curves += len(run)
                if self._drawn > MOST_LINES or self._curves > MOST_CURVES:
                    what = f"has more than {MOST_LINES} lines or {MOST_CURVES} curves"
                    raise file_fault(what, "Take out what is no outline.")
                part = place if number == 1 else f"{place}, part {number}"
                yield DrawnLine(place=part, run=run, is_closed=is_closed, meaning=words.meaning, name=words.name)
        except FaultyInput:
            raise
        except (ArithmeticError, ValueError):
            self._refuse(place, "has numbers too large to reckon with", "coordinates within 100 m")

    def _refuse(self, place: str, what: str, allowed: str) -> None:
        remedy = "Correct it in the drawing, or take it out."
        self.problems.append(Problem(place=place, value="", what=what, allowed=allowed, remedy=remedy))
