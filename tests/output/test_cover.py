"""The drawing of a cover: every scrap numbered, every cut drawn, at the scale it tells."""

from __future__ import annotations

import pytest

from bagwright.geometry.region import Region
from bagwright.model.cover import CoverRequest, CoverScrap
from bagwright.output.cover import draw_cover
from bagwright.output.drawing import Ink, Path, Text
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
    assert "2 scraps cover 100.0% of the template, cuts: 1" in drawn(UnitSystem.METRIC)[1].description
