"""Strips out of whole bands in a layout: judged with shapely alone, against a printed chart, and when tampered with."""

from __future__ import annotations

import itertools
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon, box

from bagwright.cutting.banded import Joins, with_bands
from bagwright.cutting.check import check_layout
from bagwright.cutting.check_banded import banded_faults
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.straight_rows import lay_in_rows, rows_hash
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.bands import BandsInLayout
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings
from bagwright.model.piece import Mirror
from bagwright.model.prints import Repeat

IN = 25.4
AT_ONCE = LaySettings(seconds=0)


def rectangle(name: str, length: float, width: float, count: int = 1, mirror: Mirror = Mirror.NO) -> LayPiece:
    region = Region.rectangle((3.0, -7.0), (3.0 + length, width - 7.0))
    return LayPiece(id=name, region=region, count=count, mirror=mirror)


def bands_in(request: LayRequest) -> BandsInLayout:
    assert request.bands is not None
    return request.bands


def shapes_by_shapely(request: LayRequest, layout: Layout) -> list[tuple[str, Polygon]]:
    """Where each copy lies, moved by shapely."""
    found = []
    for place in layout.placements:
        ring = next(piece for piece in request.pieces if piece.id == place.id).region.outer_ring()
        shape = Polygon([(-x, y) for x, y in ring] if place.mirrored else ring)
        shape = affinity.rotate(shape, place.turn_deg, origin=(0, 0))
        found.append((place.id, affinity.translate(shape, place.x_mm, place.y_mm)))
    return found


@st.composite
def banded(draw) -> tuple[LayRequest, LayRequest]:
    """Panels and strips, some of them longer than the cloth is wide; before and after the strips go into bands."""
    strips = [
        rectangle(
            f"s{number}",
            draw(st.floats(120, 2600)),
            draw(st.sampled_from([25.0, 40.0, 80.0])),
            draw(st.integers(1, 4)),
            mirror=draw(st.sampled_from(Mirror)) if draw(st.booleans()) else Mirror.NO,
        )
        for number in range(draw(st.integers(1, 3)))
    ]
    strips = [replace(one, count=2 * one.count) if one.mirror is Mirror.PAIRS else one for one in strips]
    panels = [rectangle("panel", 340, 260, draw(st.integers(1, 3)))] if draw(st.booleans()) else []
    gap = draw(st.sampled_from([0.0, 3.0]))
    asked = LayRequest(width_mm=1000.0, pieces=(*panels, *strips), gap_mm=gap)
    joins = Joins(join_mm=draw(st.sampled_from([0.0, 20.0])), least_part_mm=draw(st.sampled_from([50.0, 150.0])))
    return asked, with_bands(asked, [one.id for one in strips], joins)


@given(banded())
@settings(deadline=None, max_examples=15)
def test_property_bands_hold_all_strips_and_lie_beside_nothing_by_shapely_alone(pair):
    asked, request = pair
    layout = lay_pieces(request, settings=AT_ONCE)
    shapes = shapes_by_shapely(request, layout)
    cloth = box(0, 0, layout.length_mm, 1000.0).buffer(1e-6)
    assert all(cloth.covers(shape) for _, shape in shapes)
    for (_, one), (_, other) in itertools.combinations(shapes, 2):
        assert one.intersection(other).area < 1e-3
        assert one.distance(other) >= request.gap_mm - 1e-6
    rest_to = max((shape.bounds[2] for name, shape in shapes if name == "panel"), default=0.0)
    strips = [shape for name, shape in shapes if name != "panel"]
    assert all(shape.bounds[0] >= rest_to - 1e-6 for shape in strips)
    of = {part: one.strip_id for one in bands_in(request).joined for part in one.part_ids}
    whole, joins = Counter[str](), bands_in(request).joins
    for name, shape in shapes:
        whole[of.get(name, name)] += round(1e6 * (shape.bounds[3] - shape.bounds[1])) if name != "panel" else 0
    wanted = {p.id: p.count * max(p.region.width_mm, p.region.height_mm) for p in asked.pieces if p.id != "panel"}
    join_mm = bands_in(request).asked.join_mm
    for strip in bands_in(request).joined:
        wanted[strip.strip_id] += (len(strip.part_ids) - 1) * strip.count * join_mm
    assert {name: length / 1e6 for name, length in whole.items() if length} == pytest.approx(wanted, abs=1e-3)
    assert joins == len(strips) - sum(p.count for p in asked.pieces if p.id != "panel")


def test_matches_squares_per_yard_chart():
    # Source: K19 of the reference facts, a quilt cutting chart: squares out of a yard of washed 44 in cloth, cut from
    # strips across it; its rule floor(43 / s) x floor(35.9 / s) leaves 35.9 in of 43 in.
    for side, printed in ((2.5, 238), (3, 154), (3.5, 120), (4, 80), (4.5, 63), (5, 56), (6, 35), (8, 20), (10, 12)):
        for count, fits in ((printed, True), (printed + 1, False)):
            square = rectangle("square", side * IN, side * IN, count)
            request = with_bands(LayRequest(width_mm=43 * IN, pieces=(square,)), ["square"], Joins(may_join=()))
            taken = sum(band.width_mm for band in bands_in(request).bands)
            assert (taken <= 35.9 * IN) is fits, (side, count)


def test_rows_prints_and_cloth_laid_double_take_bands_too():
    strap, panel = rectangle("strap", 700, 80, 2), replace(rectangle("panel", 300, 400, 2), anchor=(100.0, 90.0))
    plain = with_bands(LayRequest(width_mm=1000, pieces=(panel, strap)), ["strap"], Joins())
    rows = lay_in_rows(plain)
    assert rows.verdict.passed and rows.request_hash == rows_hash(plain)
    assert lay_in_rows(plain, settings=LaySettings(iterations=3), on_better=lambda _: None).length_mm <= rows.length_mm
    printed = replace(plain, repeat=Repeat(along_mm=320, across_mm=320))
    assert lay_pieces(printed, settings=AT_ONCE).verdict.passed
    doubled = replace(plain, is_doubled=True)
    laid = lay_pieces(doubled, settings=AT_ONCE)
    assert laid.verdict.passed and laid.doubled_to_mm <= laid.length_mm - 80
    alone = with_bands(LayRequest(width_mm=1000, pieces=(strap,)), ["strap"], Joins())
    assert lay_pieces(alone, settings=AT_ONCE).length_mm == pytest.approx(160)


def test_what_is_tampered_with_fails_the_check():
    strap, panel = rectangle("strap", 1500, 80, 2), rectangle("panel", 300, 400)
    request = with_bands(LayRequest(width_mm=1000, pieces=(panel, strap)), ["strap"], Joins())
    layout = lay_pieces(request, settings=AT_ONCE)
    first = next(i for i, place in enumerate(layout.placements) if place.id != "panel")
    moved = list(layout.placements)
    moved[first] = replace(moved[first], x_mm=moved[first].x_mm + 500)
    assert check_layout(request, moved).passed  # a band by itself elsewhere
    moved[0] = replace(moved[0], x_mm=layout.length_mm - 40, y_mm=moved[0].y_mm)
    assert any("beside one another" in fault for fault in check_layout(request, moved).faults)
    short = [
        replace(piece, region=Region.rectangle((0, 0), (400, 80))) if "part 1" in piece.id else piece
        for piece in request.pieces
    ]
    faults = list(banded_faults(replace(request, pieces=tuple(short)), bands_in(request), (), ()))
    assert any("long, 1500 are asked for" in fault for fault in faults)
    fewer = replace(bands_in(request), joined=())
    assert any("cut 0 times" in fault for fault in banded_faults(request, fewer, (), ()))


def test_rejects_what_no_band_gives():
    strap = rectangle("strap", 1500, 80)
    round_ = replace(strap, id="round", region=Region.from_ring([(0, 0), (80, 0), (40, 60)]))
    asked = LayRequest(width_mm=1000, pieces=(round_, strap))
    with pytest.raises(FaultyInput) as refused:
        with_bands(asked, ["round", "strap"], Joins())
    assert [problem.place for problem in refused.value.problems] == ["pieces[0].outline"]
    with pytest.raises(FaultyInput) as refused:
        with_bands(asked, ["strap"], Joins(may_join=()))
    assert [problem.place for problem in refused.value.problems] == ["pieces[1].outline"]
    assert with_bands(asked, [], Joins()) is asked
