"""Every outline of every form, measured again from each true-scale file by another library, as a shape, not as a box.

SVG is read by svgelements, PDF by pdfplumber, DXF by ezdxf (see test_dxf too); the distance between a read outline and
the piece's own is Hausdorff's, by shapely. 0.1 mm is what the design promises.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator

import pdfplumber
import pytest
import svgelements
from shapely import get_exterior_ring
from shapely.affinity import rotate, scale, translate
from shapely.geometry import LinearRing, LineString
from shapely.geometry.base import BaseGeometry

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.model.pattern import Pattern
from bagwright.output.inks import projected_css
from bagwright.output.one_sheet import projected_sheet
from bagwright.output.pdf import one_sheet_pdf
from bagwright.output.pieces import draw_pieces
from bagwright.output.rulers import Measuring
from bagwright.output.svg import svg_file
from bagwright.units import UnitSystem

PROMISED_MM = 0.1
MM = 25.4 / 72
"""Millimetres in a PDF point (ISO 32000-1, 8.3.2.3)."""


def at_origin(line: BaseGeometry) -> BaseGeometry:
    left, low, _, _ = line.bounds
    return translate(line, -left, -low)


def is_read(ring: BaseGeometry, found: Iterable[BaseGeometry]) -> bool:
    """Whether one of those is this outline, wherever it lies and by whichever quarter it is turned."""
    ways = [at_origin(rotate(ring, turn)) for turn in (0, 90, 180, 270)]
    return any(
        abs(one.bounds[2] - way.bounds[2]) < 1 and one.hausdorff_distance(way) <= PROMISED_MM
        for one in found
        for way in ways
    )


def outlines(pattern: Pattern) -> Iterator[tuple[str, BaseGeometry]]:
    """The cut line of each piece that has a template; half of one on the fold has no line along it."""
    for piece in pattern.pieces:
        if not piece.is_bought and piece.fold_edge is None:
            ring = get_exterior_ring(piece.region().shape)
            assert ring is not None
            yield piece.id, ring


def svg_lines(data: bytes) -> list[BaseGeometry]:
    """Closed paths drawn with the cut line, in mm, upright as the piece is: SVG counts downwards."""
    lines = []
    for shape in svgelements.SVG.parse(io.BytesIO(data), ppi=25.4).elements():
        if isinstance(shape, svgelements.Path) and "cut-line" in shape.values.get("class", ""):
            points = [(end.x, end.y) for end in (segment.end for segment in shape) if end is not None]
            if len(points) > 2:
                lines.append(at_origin(scale(LineString(points), yfact=-1)))
    return lines


def pdf_lines(data: bytes) -> list[BaseGeometry]:
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        (page,) = pdf.pages
        shapes = [*page.curves, *page.rects, *page.lines]
        points = [[(x * MM, -y * MM) for x, y in one["pts"]] for one in shapes if len(one["pts"]) > 2]
    return [at_origin(LinearRing(line)) for line in points]


@pytest.mark.parametrize("form", sorted(FORMS))
def test_every_outline_agrees_with_what_other_libraries_read(form):
    pattern = draft_bag(form, {})
    wanted = list(outlines(pattern))
    assert wanted
    sheet = svg_file(draw_pieces(pattern, units=UnitSystem.METRIC, true_scale=True))
    thrown = svg_file(projected_sheet(pattern, Measuring(UnitSystem.INCH), title=form), css=projected_css())
    printed = one_sheet_pdf(pattern, roll="841mm", units=UnitSystem.METRIC)
    for name, found in (("svg", svg_lines(sheet)), ("projector", svg_lines(thrown)), ("pdf", pdf_lines(printed))):
        missed = [piece for piece, ring in wanted if not is_read(ring, found)]
        assert missed == [], name


def test_an_outline_that_is_off_by_more_is_noticed():
    """The measure itself must not let everything pass."""
    pattern = draft_bag("boxed_tote", {})
    found = svg_lines(svg_file(draw_pieces(pattern, units=UnitSystem.METRIC, true_scale=True)))
    (_, ring), *_ = outlines(pattern)
    assert is_read(ring, found)
    assert not is_read(scale(ring, 1.001, 1.001), found)
