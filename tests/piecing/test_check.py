"""The judge of covers names each thing that can be wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.geometry.region import Region
from bagwright.model.cover import CoverRequest, CoverScrap, ScrapPlacement
from bagwright.piecing.check import check_cover
from bagwright.piecing.measures import measure_cover

HALF = Region.rectangle((0, 0), (50, 80))
REQUEST = CoverRequest(
    need=Region.rectangle((0, 0), (100, 80)),
    scraps=(CoverScrap(id="a", region=HALF, grain_deg=0.0), CoverScrap(id="b", region=HALF, grain_deg=0.0)),
    keeps_grain=True,
)
A = ScrapPlacement("a", 0.0, 0.0, 0.0, (HALF,))
B = ScrapPlacement("b", 180.0, 100.0, 80.0, (HALF.shifted(50, 0),))


def faults(*placements, request=REQUEST, **told):
    known = [one for one in placements if one.id in {"a", "b"}]
    measures = replace(measure_cover(request, known), **told)
    return check_cover(request, placements, measures).faults


def test_a_sound_cover_passes():
    measures = measure_cover(REQUEST, [A, B])
    assert check_cover(REQUEST, [A, B], measures).passed
    assert measures.join_mm == pytest.approx(80, abs=0.5)
    assert measures.covered_share == pytest.approx(1)
    assert (measures.widest_gap_mm, measures.cuts) == (0, 0)


@pytest.mark.parametrize(
    ("placements", "fault"),
    [
        ([A, replace(A)], "a: used 2 times"),
        ([A, replace(B, x_mm=float("nan"))], "b: has no place"),
        ([A, replace(B, turn_deg=90.0, x_mm=130.0, y_mm=0.0)], "against its grain"),
        ([A, replace(B, x_mm=101.0)], "b: keeps cloth that the scrap does not have"),
        ([A, replace(B, x_mm=110.0, kept=(HALF.shifted(60, 0),))], "b: reaches out of the template"),
        ([A, replace(B, x_mm=90.0, kept=(HALF.shifted(40, 0),))], "a: lies over b"),
        ([replace(A, kept=())], "keeps nothing"),
    ],
)
def test_rejects_what_is_unsound(placements, fault):
    assert any(fault in one for one in check_cover(REQUEST, placements, measure_cover(REQUEST, [A])).faults)


def test_rejects_unknown_scraps_and_too_many():
    stranger = ScrapPlacement("x", 0.0, 0.0, 0.0, (HALF,))
    assert "x: no such scrap was given" in faults(A, stranger)
    assert "2 scraps, at most 1" in faults(A, B, request=replace(REQUEST, max_scraps=1))


@pytest.mark.parametrize(
    ("told", "word"),
    [({"covered_share": 0.9}, "covers"), ({"widest_gap_mm": 9.0}, "widest gap"), ({"join_mm": 200.0}, "joins")],
)
def test_rejects_untrue_measures(told, word):
    assert any(one.startswith(word) for one in faults(A, B, **told))


def test_joins_near_a_line_to_keep_off_are_measured():
    near = replace(REQUEST, keep_off=(((52.0, 0.0), (52.0, 80.0)),))
    assert measure_cover(near, [A, B]).join_near_mm == pytest.approx(80, abs=6)
    far = replace(REQUEST, keep_off=(((20.0, 0.0), (20.0, 80.0)),))
    assert measure_cover(far, [A, B]).join_near_mm == pytest.approx(0, abs=0.5)
