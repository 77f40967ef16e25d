"""PDF templates, measured again by pdfplumber, which knows nothing of how they were made."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from itertools import pairwise

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise
from bagwright.model.material import MaterialKind
from bagwright.model.pattern import Pattern
from bagwright.output.drawing import Drawing, Hatch, Ink, Text, rectangle
from bagwright.output.pdf import drawings_pdf, pattern_pdf
from bagwright.output.tiling import MARGIN_MM, tile_name
from bagwright.units import UnitSystem
from tests.output.samples import rectangle_piece, rounded_front, sample_pattern

MM = 25.4 / 72
"""Millimetres in a PDF point, which is 1/72 in (ISO 32000-1, 8.3.2.3, default user space)."""


def only(*pieces) -> Pattern:
    return Pattern(form="sample", measurements_mm={}, pieces=pieces, seams=(), assembled=(), panels=())


def opened(pattern: Pattern, paper: str = "A4", **more):
    return pdfplumber.open(io.BytesIO(pattern_pdf(pattern, paper=paper, units=UnitSystem.INCH, **more)))


def squares_mm(page) -> list[tuple[float, float]]:
    return [
        ((shape["x1"] - shape["x0"]) * MM, (shape["bottom"] - shape["top"]) * MM)
        for shape in page.rects + page.curves
        if 45 < (shape["x1"] - shape["x0"]) * MM < 55 and 45 < (shape["bottom"] - shape["top"]) * MM < 55
    ]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_test_squares_agree_with_pdfplumber(paper):
    with opened(only(rectangle_piece("a", "A", 20, 20)), paper) as pdf:
        found = squares_mm(pdf.pages[0])
    assert found == [pytest.approx((50.0, 50.0), abs=0.02), pytest.approx((50.8, 50.8), abs=0.02)]


@pytest.mark.parametrize(("paper", "size_mm"), [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))])
def test_paper_matches_iso_216_and_the_inch_sizes(paper, size_mm):
    """A4: 210 x 297 mm (ISO 216). Letter: 8.5 x 11 in, from memory, definitional."""
    with opened(sample_pattern(), paper) as pdf:
        for page in pdf.pages:
            assert (page.width * MM, page.height * MM) == pytest.approx(size_mm, abs=0.01)


def test_piece_on_one_page_agrees_with_pdfplumber():
    with opened(only(rectangle_piece("a", "A", 120, 200))) as pdf:
        page = pdf.pages[1]
        sizes = [((r["x1"] - r["x0"]) * MM, (r["bottom"] - r["top"]) * MM) for r in page.rects if r["stroke"]]
    assert any(size == pytest.approx((140.0, 220.0), abs=0.05) for size in sizes)


def rings(page) -> list[tuple[float, float]]:
    """Middles of the targets: circles of 6 mm."""
    return sorted(
        ((c["x0"] + c["x1"]) / 2 * MM, (c["top"] + c["bottom"]) / 2 * MM)
        for c in page.curves
        if abs((c["x1"] - c["x0"]) * MM - 6) < 0.05 and abs((c["bottom"] - c["top"]) * MM - 6) < 0.05
    )


def seen_heavy(page) -> tuple[float, float, float, float]:
    """Box around the heavy lines of a page, as far as they lie within its margins."""
    low, high_x, high_y = MARGIN_MM, page.width * MM - MARGIN_MM, page.height * MM - MARGIN_MM
    heavy = [c for c in page.rects + page.curves + page.lines if c["stroke"] and c["linewidth"] * MM > 0.45]
    box = [
        (max(c["x0"] * MM, low), max(c["top"] * MM, low), min(c["x1"] * MM, high_x), min(c["bottom"] * MM, high_y))
        for c in heavy
    ]
    return min(b[0] for b in box), min(b[1] for b in box), max(b[2] for b in box), max(b[3] for b in box)


@pytest.mark.parametrize(
    ("paper", "piece", "size_mm"),
    [
        ("A4", rounded_front(), (320.0, 260.0)),
        ("Letter", rectangle_piece("wide", "Wide", 330, 180, allowance_mm={}), (330.0, 180.0)),
    ],
)
def test_tiles_joined_at_their_rings_agree_with_the_cut_size(paper, piece, size_mm):
    """Two pages laid ring on ring show the cut size, read from what lies within their margins."""
    with opened(only(piece), paper) as pdf:
        first, second = pdf.pages[1:]
        # Two columns share rings at the right and left; two rows at the foot and head.
        shift = [(a[0] - b[0], a[1] - b[1]) for a, b in zip(rings(first), rings(second), strict=True)]
        assert shift[0] == pytest.approx(shift[1], abs=0.02)
        one, other = seen_heavy(first), seen_heavy(second)
    (dx, dy) = shift[0]
    joined = (max(one[2], other[2] + dx) - min(one[0], other[0] + dx), max(one[3], other[3] + dy) - one[1])
    assert sorted(joined) == pytest.approx(sorted(size_mm), abs=0.1)


def test_neighbouring_tiles_overlap_by_12_mm_property():
    with opened(only(rectangle_piece("strap", "Strap", 60, 900))) as pdf:
        tiles = pdf.pages[1:]
        for one, following in pairwise(tiles):
            lower = [ring for ring in rings(one) if ring[1] > 150]
            upper = [ring for ring in rings(following) if ring[1] < 150]
            assert len(lower) == len(upper) == 2
            # A ring lies half an overlap, 6 mm, inside the frame of either page.
            assert one.height * MM - MARGIN_MM - lower[0][1] == pytest.approx(6.0, abs=0.02)


def test_fonts_are_embedded_for_latin_greek_and_cyrillic():
    name = "Große Tasche, łatka, Τσάντα, Сумка"
    with opened(sample_pattern(front_name=name)) as pdf:
        names = {char["fontname"] for page in pdf.pages for char in page.chars}
        text = "".join(page.extract_text() for page in pdf.pages)
    # A subset of an embedded font is named ABCDEF+Name (ISO 32000-1, 9.6.4).
    assert all("SourceSans3" in name and name[:6].isupper() and name[6] == "+" for name in names)
    assert set(name) <= set(text) and "Große Tasche, łatka" in text and "?" not in text
    raw = pattern_pdf(sample_pattern(), paper="A4", units=UnitSystem.INCH)
    assert raw.count(b"/FontFile2") >= 2
    assert b"/Helvetica" not in raw


@pytest.mark.parametrize(
    "name",
    [
        "</text><script>alert(1)</script>",
        "(a) Tj ET Q \\) BT",
        "x" * 300,
        "long words " * 30,
        "\x00\x1b]0;bell",
        "袋 👜",
    ],
)
def test_hostile_names_stay_on_the_page_and_are_only_text(name):
    with opened(sample_pattern(front_name=name), title=name) as pdf:
        assert len(pdf.pages) > 3
        for number, page in enumerate(pdf.pages):
            # Within the templates a name may run over a joint; the first page and all headings stay inside the margins.
            outside = [c for c in page.chars if number == 0 or c["top"] * MM < MARGIN_MM + 6]
            assert outside
            assert all(c["x0"] * MM >= MARGIN_MM - 1 and c["x1"] <= page.width - (MARGIN_MM - 1) / MM for c in outside)
            assert not page.annots
    raw = pattern_pdf(sample_pattern(front_name=name), paper="A4", units=UnitSystem.INCH)
    assert b"/JavaScript" not in raw
    assert b"/JS" not in raw


def test_same_input_gives_the_same_bytes():
    one, other = (pattern_pdf(sample_pattern(), paper="A4", units=UnitSystem.METRIC) for _ in range(2))
    assert one == other
    with pdfplumber.open(io.BytesIO(one)) as pdf:
        assert pdf.metadata["CreationDate"].startswith("D:20000101")


def test_creation_date_is_the_one_given():
    dated = datetime(2031, 5, 6, tzinfo=UTC)
    with opened(sample_pattern(), created=dated) as pdf:
        assert pdf.metadata["CreationDate"].startswith("D:20310506")


def test_bought_pieces_get_no_template():
    with opened(sample_pattern()) as pdf:
        text = "".join(page.extract_text() for page in pdf.pages)
    assert "Zip tab" in text
    assert "Zip chain" not in text


def test_page_numbers_on_the_map_agree_with_the_pages():
    with opened(sample_pattern()) as pdf:
        for number, page in enumerate(pdf.pages, start=1):
            assert f"page {number} of {len(pdf.pages)}" in page.extract_text()
        first = pdf.pages[0].extract_text()
        for number in range(2, len(pdf.pages) + 1):
            assert f"page {number}" in first


def test_unknown_paper_is_refused():
    with pytest.raises(BrokenPromise, match="A3"):
        pattern_pdf(sample_pattern(), paper="A3", units=UnitSystem.INCH)


def test_tile_names_do_not_repeat_property():
    names = [tile_name(column, row) for column in range(30) for row in range(800)]
    assert len(set(names)) == len(names)


@settings(max_examples=12, deadline=None)
@given(
    width_mm=st.floats(15, 700),
    height_mm=st.floats(15, 700),
    paper=st.sampled_from(["A4", "Letter"]),
)
def test_every_size_of_piece_keeps_its_size_property(width_mm, height_mm, paper):
    piece = rectangle_piece("a", "A", width_mm, height_mm)
    with opened(only(piece), paper) as pdf:
        page = pdf.pages[1]
        sizes = {
            tuple(sorted(((r["x1"] - r["x0"]) * MM, (r["bottom"] - r["top"]) * MM)))
            for r in page.rects
            if r["stroke"] and r["linewidth"] * MM > 0.45
        }
    wanted = tuple(sorted((width_mm + 20, height_mm + 20)))
    assert any(size == pytest.approx(wanted, abs=0.05) for size in sizes)


def test_drawing_page_keeps_proportions_and_never_enlarges():
    square = rectangle((10, 10), (60, 60), Ink.CUT, Hatch(MaterialKind.FELT))
    small = Drawing(70, 70, (square, Text((10, 8), "3/4 in", is_measure=True)), "Small", "")
    large = Drawing(700, 200, (square,), "Large", "")
    with pdfplumber.open(io.BytesIO(drawings_pdf([small, large], paper="A4", title="Two"))) as pdf:
        sizes = [max(r["x1"] - r["x0"] for r in page.rects if r["stroke"]) * MM for page in pdf.pages]
        assert sizes == [pytest.approx(50.0, abs=0.05), pytest.approx(50.0 * 277 / 700, abs=0.05)]
        assert pdf.pages[1].width > pdf.pages[1].height
