"""All templates on one sheet, for a print shop and for a projector: measured again by pdfplumber and svgelements."""

from __future__ import annotations

import io
from itertools import pairwise
from typing import Any, cast

import pdfplumber
import pypdf
import pytest
import svgelements

from bagwright.model.pattern import Pattern
from bagwright.output.drawing import Dot, Ink, Path, Text
from bagwright.output.inks import projected_css
from bagwright.output.one_sheet import projected_sheet
from bagwright.output.pdf import one_sheet_pdf, pattern_pdf
from bagwright.output.pdf_layers import LAYERS, layer_of
from bagwright.output.rulers import Measuring
from bagwright.output.svg import svg_file
from bagwright.units import UnitSystem
from tests.output.samples import rectangle_piece, rounded_front, sample_pattern

MM = 25.4 / 72
"""Millimetres in a PDF point, which is 1/72 in (ISO 32000-1, 8.3.2.3, default user space)."""


def only(*pieces) -> Pattern:
    return Pattern(form="sample", measurements_mm={}, pieces=pieces, seams=(), assembled=(), panels=())


def heavy_boxes(page) -> list[tuple[float, float, float, float]]:
    shapes = [s for s in page.rects + page.curves + page.lines if s["stroke"] and s["linewidth"] * MM > 0.45]
    return [(s["x0"] * MM, s["top"] * MM, s["x1"] * MM, s["bottom"] * MM) for s in shapes]


def sizes(boxes) -> list[tuple[float, float]]:
    return [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes]


@pytest.mark.parametrize(("roll", "width_mm"), [("841mm", 841.0), ("36in", 914.4)])
def test_one_sheet_is_as_wide_as_the_roll_and_true_to_scale(roll, width_mm):
    """841 mm: A0, ISO 216. 36 in: 914.4 mm by definition."""
    pieces = only(rounded_front(), rectangle_piece("strap", "Strap", 100, 700), rectangle_piece("tab", "Tab", 40, 60))
    with pdfplumber.open(io.BytesIO(one_sheet_pdf(pieces, roll=roll, units=UnitSystem.METRIC))) as pdf:
        (page,) = pdf.pages
        assert page.width * MM == pytest.approx(width_mm, abs=0.01)
        boxes = heavy_boxes(page)
        assert all(x0 >= 0 and x1 <= page.width * MM and y1 <= page.height * MM for x0, _, x1, y1 in boxes)
    found = [tuple(sorted(size)) for size in sizes(boxes)]
    for size in ((260.0, 320.0), (120.0, 720.0), (60.0, 80.0), (50.0, 50.0), (50.8, 50.8)):
        assert any(one == pytest.approx(size, abs=0.05) for one in found), (size, found)


def test_pieces_on_one_sheet_lie_apart_property():
    many = only(*(rectangle_piece(f"p{n}", f"Piece {n}", 30 + 37 * n, 400 - 29 * n) for n in range(12)))
    with pdfplumber.open(io.BytesIO(one_sheet_pdf(many, roll="841mm", units=UnitSystem.INCH))) as pdf:
        boxes = [
            box for box, (w, h) in ((b, (b[2] - b[0], b[3] - b[1])) for b in heavy_boxes(pdf.pages[0])) if w > 49 < h
        ]
    assert len(boxes) == 14
    for number, a in enumerate(boxes):
        assert not any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for b in boxes[:number])


def test_a_piece_wider_than_the_roll_makes_the_sheet_wider():
    pdf = one_sheet_pdf(only(rectangle_piece("big", "Big", 1000, 1100)), roll="36in", units=UnitSystem.INCH)
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        assert opened.pages[0].width * MM > 1020
        assert any(size == pytest.approx((1020, 1120), abs=0.05) for size in sizes(heavy_boxes(opened.pages[0])))


@pytest.mark.parametrize(("units", "step_mm"), [(UnitSystem.INCH, 25.4), (UnitSystem.METRIC, 20.0)])
def test_projector_file_agrees_with_svgelements(units, step_mm):
    drawing = projected_sheet(only(rounded_front()), Measuring(units), title="Sample")
    data = svg_file(drawing, css=projected_css())
    shapes = [
        s for s in svgelements.SVG.parse(io.BytesIO(data), ppi=25.4).elements() if isinstance(s, svgelements.Path)
    ]

    def boxes(ink: str) -> list[tuple[float, float]]:
        found = [s.bbox() for s in shapes if s.values.get("class", "").startswith(ink + " ")]
        return [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in found]

    for size in ((320.0, 260.0), (50.0, 50.0), (50.8, 50.8)):
        assert any(sorted(one) == pytest.approx(sorted(size), abs=0.02) for one in boxes("cut-line")), size
    lines = [s.bbox() for s in shapes if s.values.get("class", "").startswith(("hairline", "measure"))]
    upright = sorted(x0 for x0, y0, x1, y1 in lines if x1 - x0 < 0.001 and y1 - y0 > 100)
    assert [b - a for a, b in pairwise(upright)] == pytest.approx([step_mm] * (len(upright) - 1))


def test_projected_lines_are_bright_on_black():
    css = projected_css()
    assert ".drawing{background:#000000}" in css and "stroke:#FFFFFF" in css


@pytest.mark.parametrize(
    "made",
    [
        lambda: pattern_pdf(sample_pattern(), paper="A4", units=UnitSystem.INCH),
        lambda: one_sheet_pdf(sample_pattern(), roll="36in", units=UnitSystem.INCH),
    ],
)
def test_layers_can_be_switched_as_pypdf_reads_them(made):
    """Optional content: every group is listed to be switched, and pages mark content for it (ISO 32000-1, 8.11)."""
    data = made()
    assert data == made()
    reader = pypdf.PdfReader(io.BytesIO(data))
    listed: Any = reader.root_object["/OCProperties"]
    assert [group.get_object()["/Name"] for group in listed["/OCGs"]] == list(LAYERS)
    assert [group.get_object()["/Name"] for group in listed["/D"]["/ON"]] == list(LAYERS)
    marked: dict[str, int] = {}
    for page in reader.pages:
        depth, named = 0, cast("Any", page["/Resources"])["/Properties"]
        for operands, operator in pypdf.generic.ContentStream(page.get_contents(), reader).operations:
            if operator == b"BDC" and operands[0] == "/OC":
                name = named[operands[1]].get_object()["/Name"]
                marked[name] = marked.get(name, 0) + 1
                depth += 1
            elif operator == b"EMC":
                depth -= 1
            assert 0 <= depth <= 1
        assert depth == 0
    assert set(marked) == set(LAYERS)


def test_marks_are_on_the_layer_of_their_meaning():
    line = ((0.0, 0.0), (1.0, 0.0))
    told = [layer_of(Path(line, ink)) for ink in (Ink.CUT, Ink.STITCH, Ink.NOTCH, Ink.GRAIN, Ink.FOLD, Ink.MARK)]
    assert told == ["Cut line", "Stitch line", "Notches", "Grain and fold", "Grain and fold", "Placement lines"]
    assert layer_of(Dot((0, 0), 1)) == "Placement lines" and layer_of(Text((0, 0), "Strap")) == "Names and sizes"
