"""The drawing of a cover: every scrap numbered, every cut drawn, at the scale it tells."""

from __future__ import annotations

import io

import pdfplumber
import pytest
from shapely import affinity
from shapely.geometry import LinearRing

from bagwright.geometry.region import Region
from bagwright.model.cover import CoverRequest, CoverScrap
from bagwright.output.cover import ScrapLook, draw_cover
from bagwright.output.cover_pages import CoverSheet, PaperSteps, cover_pages
from bagwright.output.drawing import Ink, Path, Text
from bagwright.output.pdf import drawings_pdf
from bagwright.output.tiling import Paper
from bagwright.piecing.cover import cover_template
from bagwright.units import UnitSystem


def drawn(units):
    request = CoverRequest(
        need=Region.rectangle((0, 0), (200, 100)),
        scraps=(
            CoverScrap(id="wide", region=Region.rectangle((0, 0), (140, 120)), grain_deg=0.0),
            CoverScrap(id="slim", region=Region.rectangle((0, 0), (60, 100)), grain_deg=0.0),
        ),
        keeps_grain=True,
        keep_off=(((0.0, 50.0), (200.0, 50.0)),),
    )
    cover = cover_template(request)
    return cover, draw_cover(request, cover, units=units)


@pytest.mark.parametrize("units", UnitSystem)
def test_scraps_are_numbered_and_cuts_drawn_to_scale(units):
    cover, drawing = drawn(units)
    words = [item.text for item in drawing.items if isinstance(item, Text)]
    assert {"1", "2"} <= set(words)
    trim = "5 1/2 in" if units is UnitSystem.INCH else "14.0 cm"  # 140 mm across, by hand
    assert any(text.endswith(f" wide, cut {trim}") for text in words)
    (beside,) = (item for item in drawing.items if isinstance(item, Text) and item.text == trim and item.halo)
    assert beside.turn_deg == pytest.approx(0, abs=1e-6)
    assert any(text.endswith(" slim, as it is") for text in words)
    assert ("7 7/8 in" if units is UnitSystem.INCH else "20.0 cm") in words
    cuts = [item for item in drawing.items if isinstance(item, Path) and item.ink is Ink.CUT]
    assert len(cuts) == cover.measures.cuts == 1
    (start, end) = cuts[0].points
    scale = float(drawing.description.rpartition(" : ")[2].rstrip("."))
    assert abs(end[0] - start[0]) * scale == pytest.approx(140, abs=1)


def test_those_who_cannot_see_it_are_told():
    assert "2 scraps cover 100 % of the template, cuts: 1" in drawn(UnitSystem.METRIC)[1].description


MM = 25.4 / 72
"""Millimetres in a PDF point (ISO 32000-1, 8.3.2.3)."""
LEANING = [(0, 0), (180, 0), (165, 120), (10, 120)]


def rings_read(page):
    """Closed lines of a page in mm, y up, their box at the origin."""
    for one in (*page.curves, *page.rects):
        ring = LinearRing([(x * MM, -y * MM) for x, y in one["pts"]])
        left, low, *_ = ring.bounds
        yield affinity.translate(ring, -left, -low)


def is_read(ring, found):
    left, low, *_ = ring.bounds
    return any(affinity.translate(ring, -left, -low).hausdorff_distance(one) <= 0.1 for one in found)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("units", UnitSystem)
def test_the_print_is_true_to_scale_as_pdfplumber_reads_it(paper, units):
    """The template and each part that stays of a scrap; the measure of 180 mm by hand."""
    halves = {"left": [(0, 0), (90, 0), (90, 140), (0, 140)], "right": [(0, 0), (90, 0), (90, 120), (0, 120)]}
    scraps = tuple(CoverScrap(id=name, region=Region.from_ring(ring), grain_deg=0.0) for name, ring in halves.items())
    request = CoverRequest(need=Region.from_ring(LEANING), scraps=scraps, keeps_grain=True)
    cover = cover_template(request)
    sheet = CoverSheet("Side", request, cover, {name: ScrapLook(f"felt {name}") for name in halves})
    pages = cover_pages([sheet], paper, PaperSteps(("Cool it.",), units), title="Pouch")
    with pdfplumber.open(io.BytesIO(drawings_pdf(pages, paper=paper, title="Pouch"))) as pdf:
        first, overview, true_scale = pdf.pages
        for side_mm in (50.0, 50.8):
            assert is_read(LinearRing([(0, 0), (side_mm, 0), (side_mm, side_mm), (0, side_mm)]), rings_read(first))
        found = list(rings_read(true_scale))
        kept = [LinearRing(part.outer_ring()) for one in cover.placements for part in one.kept]
        assert len(kept) == 2 and all(is_read(ring, found) for ring in [LinearRing(LEANING), *kept])
        assert {"1", "2"} <= set(true_scale.extract_text().split())
        words = overview.extract_text().replace("\u2044", "/")
        assert ("7 1/16 in" if units is UnitSystem.INCH else "18.0 cm") in words
        assert "1. Cool it." in first.extract_text()
        assert words.index("1 felt") < words.index("2 felt")
