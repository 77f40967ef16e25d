"""The slope card, re-measured from its PDF by another library."""

import io
import math

import pdfplumber
import pytest

from bagwright.output.pdf import drawings_pdf
from bagwright.output.slope_card import RULER_MM, draw_slope_card

MM = 72 / 25.4
SIZES_MM = {"A4": (210, 297), "Letter": (215.9, 279.4)}


def lines_of(paper, angle_deg):
    data = drawings_pdf([draw_slope_card(angle_deg, paper=paper)], paper=paper, title="Card")
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        page = pdf.pages[0]
        size = (page.width / MM, page.height / MM)
        lines = [[(x / MM, y / MM) for x, y in line["pts"]] for line in (*page.lines, *page.curves)]
        rects = [(r["x0"] / MM, r["top"] / MM, r["x1"] / MM, r["bottom"] / MM) for r in page.rects]
    return size, lines, rects


@pytest.mark.parametrize("paper", SIZES_MM)
@pytest.mark.parametrize("angle_deg", [5, 10, 30, 41.5, 45, 60, 80])
def test_line_falls_by_its_angle_and_the_page_is_whole(paper, angle_deg):
    size, lines, _ = lines_of(paper, angle_deg)
    assert size == pytest.approx(SIZES_MM[paper], abs=0.1)
    angles = [
        math.degrees(math.atan2(abs(b[1] - a[1]), abs(b[0] - a[0])))
        for a, b in (line for line in lines if len(line) == 2)
        if math.dist(a, b) > 60
    ]
    assert any(angle == pytest.approx(angle_deg, abs=0.05) for angle in angles)
    for line in lines:
        assert all(0 < x < size[0] and 0 < y < size[1] for x, y in line)


def test_ruler_has_a_tick_at_every_millimetre_at_true_scale():
    _, lines, _ = lines_of("A4", 41.5)
    upright = sorted(
        {
            round(a[0], 2)
            for a, b in (x for x in lines if len(x) == 2)
            if abs(a[0] - b[0]) < 0.01 and math.dist(a, b) < 8
        }
    )
    start = upright[0]
    ticks = {round(x - start, 1) for x in upright}
    assert {float(mm) for mm in range(RULER_MM + 1)} <= ticks


def test_squares_are_50_mm_and_2_in():
    _, lines, rects = lines_of("A4", 41.5)
    boxes = rects + [
        (min(x for x, _ in p), min(y for _, y in p), max(x for x, _ in p), max(y for _, y in p))
        for p in lines
        if len(p) > 3
    ]
    sides = [(b[2] - b[0], b[3] - b[1]) for b in boxes]
    for side in (50.0, 50.8):
        assert any(s == pytest.approx((side, side), abs=0.1) for s in sides)
