"""Papers of a bag: each opens as what it says it is, and measures what the pattern measures."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from typing import Any

import pdfplumber
import pytest
from ezdxf.filemanagement import read as ezdxf_read

from bagwright.errors import NotKept
from bagwright.workflows.papers import PAPER_NAMES, paper_of_bag
from bagwright.workflows.workroom_changes import change_workroom
from tests.workflows.demo_values import BAGS, POUCH, TOTE, demo_answer

POINTS_PER_MM = 72 / 25.4
PAGES_MM = {"templates-a4.pdf": (210.0, 297.0), "templates-letter.pdf": (215.9, 279.4)}
"""A4: ISO 216. Letter: 8.5 x 11 in by definition."""


@pytest.mark.parametrize("paper", PAGES_MM)
@pytest.mark.parametrize("bag_id", [TOTE, POUCH])
def test_templates_are_pages_of_their_paper_and_name_every_piece(desk, bag_id, paper):
    file = paper_of_bag(desk, bag_id, paper)
    assert (file.kind, file.name) == ("application/pdf", f"{bag_id}-{paper}")
    with pdfplumber.open(io.BytesIO(file.data)) as pdf:
        text = " ".join(page.extract_text() for page in pdf.pages)
        for page in pdf.pages:
            assert (page.width / POINTS_PER_MM, page.height / POINTS_PER_MM) == pytest.approx(PAGES_MM[paper], abs=0.5)
    for piece in demo_answer(bag_id).pattern.pieces:
        if not piece.is_bought:
            assert piece.name.lower() in text.lower()


def test_the_svg_is_xml_in_millimetres(desk):
    file = paper_of_bag(desk, TOTE, "pieces.svg")
    root = ET.fromstring(file.data)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert root.attrib["width"].endswith("mm") and root.attrib["height"].endswith("mm")
    assert file.kind == "image/svg+xml"


def test_the_dxf_holds_the_size_of_the_outer_panel(desk):
    file = paper_of_bag(desk, TOTE, "pieces.dxf")
    drawing = ezdxf_read(io.StringIO(file.data.decode()))
    assert drawing.header["$INSUNITS"] == 4  # millimetres
    outer = next(cut.region for cut in demo_answer(TOTE).cuts if cut.piece_id == "outer")
    spans = set()
    for block in drawing.blocks:
        lines: list[Any] = [*block.query("LWPOLYLINE")]
        points = [point for line in lines for point in line.get_points("xy")]
        lines = [*block.query("POLYLINE")]
        points += [tuple(vertex.dxf.location)[:2] for line in lines for vertex in line.vertices]
        if points:
            xs, ys = zip(*points, strict=True)
            spans.add((round(max(xs) - min(xs), 1), round(max(ys) - min(ys), 1)))
    assert any(
        width == pytest.approx(outer.width_mm, abs=0.2) and height == pytest.approx(outer.height_mm, abs=0.2)
        for width, height in spans
    ), spans


@pytest.mark.parametrize("bag_id", BAGS)
def test_every_paper_is_there_for_every_bag_in_both_units(desk, bag_id):
    inches = {paper: paper_of_bag(desk, bag_id, paper).data for paper in PAPER_NAMES}
    change_workroom(desk, 0, {"units": "metric"})
    metric = {paper: paper_of_bag(desk, bag_id, paper).data for paper in PAPER_NAMES}
    assert all(inches.values()) and all(metric.values())
    assert inches["pieces.svg"] != metric["pieces.svg"]


@pytest.mark.parametrize(
    ("bag_id", "paper"), [(TOTE, "size"), (TOTE, ""), (TOTE, "../bagwright.sqlite3"), ("no-bag", "pieces.svg")]
)
def test_rejects_papers_that_are_not_there(desk, bag_id, paper):
    with pytest.raises(NotKept):
        paper_of_bag(desk, bag_id, paper)
