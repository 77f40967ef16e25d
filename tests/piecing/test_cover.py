"""Covers: planted ones are found, tiny ones equal an exact solver, and every answer stands up to shapely alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp
from shapely import affinity
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from bagwright.errors import NoAnswer
from bagwright.geometry.region import Region
from bagwright.model.cover import Cover, CoverRequest, CoverScrap, CoverSettings
from bagwright.piecing.cover import cover_template
from bagwright.piecing.measures import cuts_to_trim
from tests.piecing.planted import planted

SEARCHED = CoverSettings(iterations=60)


def scrap(name, width, height, grain_deg=0.0):
    return CoverScrap(id=name, region=Region.rectangle((0, 0), (width, height)), grain_deg=grain_deg)


def rings(cover):
    return {one.id: [Polygon(part.outer_ring()) for part in one.kept] for one in cover.placements}


def assert_sound(request, cover):
    """By shapely alone, from the outlines as given."""
    outlines = {one.id: Polygon(one.region.outer_ring()) for one in request.scraps}
    kept: list[BaseGeometry] = []
    for one in cover.placements:
        lies = affinity.translate(affinity.rotate(outlines[one.id], one.turn_deg, origin=(0, 0)), one.x_mm, one.y_mm)
        part = unary_union([shape.buffer(0) for shape in rings(cover)[one.id]])
        assert part.difference(lies.buffer(0.01)).area < 0.01
        assert part.difference(Polygon(request.need.outer_ring()).buffer(0.01)).area < 0.01
        assert all(part.intersection(other).area < 0.05 for other in kept)
        kept.append(part)
        if request.keeps_grain:
            assert min(one.turn_deg % 180, 180 - one.turn_deg % 180) < 0.01
    share = unary_union(kept).intersection(Polygon(request.need.outer_ring())).area / request.need.area_mm2
    assert cover.measures.covered_share == pytest.approx(share, abs=2e-4)
    assert len(cover.placements) <= request.max_scraps
    assert cover.verdict.passed


@pytest.mark.parametrize(
    ("seed", "parts", "grain", "bend_mm"), [(1, 4, True, 0), (2, 5, False, 0), (3, 4, True, 10), (5, 5, False, 12)]
)
def test_planted_covers_with_straight_and_curved_cuts_are_found_whole(seed, parts, grain, bend_mm):
    request, count, share = planted(seed, parts, grain=grain, bend_mm=bend_mm)
    assert share == pytest.approx(1)
    cover = cover_template(request, settings=SEARCHED)
    assert_sound(request, cover)
    assert cover.measures.covered_share >= 0.995
    assert len(cover.placements) <= count


def test_outlines_that_wander_as_read_from_a_photo_still_find_one_another():
    request, count, _ = planted(0, 4, grain=True, noise_mm=0.3, strays=12)
    cover = cover_template(request, settings=CoverSettings(iterations=250))
    assert_sound(request, cover)
    assert cover.measures.covered_share >= 0.995
    assert len(cover.placements) <= count


def as_traced(one, chance):
    """The outline as 6 mm steps, each point off by some 0.2 mm, as read from a photo."""
    ring = np.array(Polygon(one.region.outer_ring()).segmentize(6.0).exterior.coords[:-1])
    points = [(float(x), float(y)) for x, y in ring + chance.normal(0, 0.2, ring.shape)]
    return CoverScrap(id=one.id, region=Region.from_ring(points), grain_deg=one.grain_deg)


def test_outlines_of_many_points_that_wander_are_laid_as_they_were_cut():
    request, count, _ = planted(1, 4, grain=True, strays=5)
    chance = np.random.default_rng(4)
    traced = replace(request, scraps=tuple(as_traced(one, chance) for one in request.scraps))
    cover = cover_template(traced, settings=CoverSettings(iterations=12))
    assert_sound(traced, cover)
    assert cover.measures.covered_share >= 0.985
    assert len(cover.placements) <= count


def test_a_missing_part_is_filled_from_strays():
    request, _, share = planted(4, 5, grain=False, missing=1, strays=15)
    cover = cover_template(request, settings=SEARCHED)
    assert_sound(request, cover)
    assert cover.measures.covered_share > share + 0.5 * (1 - share)


@settings(max_examples=12)
@given(
    sizes=st.lists(st.tuples(st.integers(30, 160), st.integers(30, 160)), min_size=1, max_size=6),
    grain=st.booleans(),
)
def test_property_every_cover_is_sound_by_shapely_alone(sizes, grain):
    scraps = tuple(scrap(f"s{n}", w, h, 0.0 if grain else None) for n, (w, h) in enumerate(sizes))
    need = Region.from_ring([(0, 0), (180, 0), (180, 90), (120, 140), (0, 140)])
    request = CoverRequest(need=need, scraps=scraps, keeps_grain=grain, max_scraps=4)
    assert_sound(request, cover_template(request, settings=CoverSettings(iterations=8)))


def best_on_a_raster(need, scraps, most):
    """The largest area that upright rectangles on whole squares cover without overlap: an integer program.

    scipy's milp (HiGHS). A binary for each scrap at each place, over the edge or not, and one for each square that a
    scrap keeps: it lies there, nothing else keeps the square, and it is trimmed in whatever way.
    """
    squares = need[0] * need[1]
    lies, owners = list[np.ndarray](), list[int]()
    for number, (w, h) in enumerate(scraps):
        for x in range(1 - w, need[0]):
            for y in range(1 - h, need[1]):
                cells = np.zeros(need)
                cells[max(0, x) : x + w, max(0, y) : y + h] = 1
                lies.append(cells.ravel())
                owners.append(number)
    owner = np.array(owners)
    places, keeps = len(lies), squares * len(scraps)
    under = np.vstack([np.where(owner == number, np.array(lies).T, 0) for number in range(len(scraps))])
    once = [np.concatenate([owner == number, np.zeros(keeps)]) for number in range(len(scraps))]
    alone = np.hstack([np.zeros((squares, places)), np.tile(np.eye(squares), len(scraps))])
    in_all = np.concatenate([np.ones(places), np.zeros(keeps)])
    found = milp(
        np.concatenate([np.zeros(places), -np.ones(keeps)]),
        constraints=[
            LinearConstraint(np.hstack([-under, np.eye(keeps)]), ub=0),
            LinearConstraint(np.vstack([*once, alone]), ub=1),
            LinearConstraint(in_all, ub=most),
        ],
        integrality=np.ones(places + keeps, dtype=int),
        bounds=Bounds(0, 1),
    )
    assert found.fun is not None
    return -found.fun


@pytest.mark.parametrize(
    ("need", "scraps"),
    [
        ((4, 3), [(2, 3), (2, 2), (1, 2), (2, 1)]),
        ((5, 4), [(3, 2), (2, 4), (2, 2), (3, 3)]),
        ((4, 4), [(3, 1), (1, 3), (3, 3), (1, 1), (4, 1)]),
        ((5, 3), [(2, 2), (2, 2), (4, 1)]),
    ],
)
def test_tiny_covers_agree_with_an_integer_program(need, scraps):
    most = 4
    unit = 40.0
    request = CoverRequest(
        need=Region.rectangle((0, 0), (need[0] * unit, need[1] * unit)),
        scraps=tuple(scrap(f"s{n}", w * unit, h * unit) for n, (w, h) in enumerate(scraps)),
        keeps_grain=True,
        max_scraps=most,
    )
    cover = cover_template(request, settings=CoverSettings(iterations=300))
    assert_sound(request, cover)
    share = best_on_a_raster(need, scraps, most) / (need[0] * need[1])
    assert cover.measures.covered_share == pytest.approx(share, abs=1e-3)


def test_repair_beats_the_first_answer():
    request, *_ = planted(1, 6, grain=True, missing=1, strays=8)
    told: list[Cover] = []
    cover_template(request, settings=CoverSettings(iterations=150), on_better=told.append)
    assert not told[0].is_enough and told[-1].is_enough
    assert told[-1].measures.widest_gap_mm < told[0].measures.widest_gap_mm
    assert len(told[-1].placements) < max(len(one.placements) for one in told)
    assert told[-1].measures.covered_share >= 0.98


def test_the_same_rounds_and_seed_give_the_same_cover():
    request, *_ = planted(6, 4, missing=1)
    one, other = (cover_template(request, settings=CoverSettings(iterations=90, seed=3)) for _ in range(2))
    assert one == other


def test_better_covers_come_in_order_and_the_search_stops_when_told():
    request, *_ = planted(7, 5, missing=1)
    told: list[Cover] = []
    cover = cover_template(
        request, settings=CoverSettings(seconds=60), should_stop=lambda: len(told) >= 1, on_better=told.append
    )
    assert cover == told[-1]
    assert len(told) >= 1


def test_round_scraps_without_corners_cover_a_round_template():
    def disc(radius_mm):
        return Region.from_ring([(radius_mm * np.cos(a), radius_mm * np.sin(a)) for a in np.linspace(0, 6.28, 300)])

    scraps = tuple(CoverScrap(id=f"d{n}", region=disc(70.0 - n)) for n in range(6))
    request = CoverRequest(need=disc(100.0), scraps=scraps, max_scraps=6)
    cover = cover_template(request)
    assert_sound(request, cover)
    assert cover.measures.covered_share > 0.8


def test_what_is_too_thin_to_show_on_the_raster_is_left():
    need = Region.union([Region.rectangle((0, 0), (90, 60)), Region.rectangle((90.0, 10.1), (200, 10.5))])
    request = CoverRequest(need=need, scraps=(scrap("a", 90, 60), scrap("b", 40, 30)), max_scraps=2)
    cover = cover_template(request, settings=CoverSettings(iterations=10))
    assert cover.measures.covered_share == pytest.approx(5400 / 5444, abs=2e-3)


def test_halves_cover_a_template_with_notched_corners_whole():
    """No corner of the need lies where theirs do: there the notches are closed."""
    wide, high, notch = 280.0, 180.0, 40.0
    corners = [box(x, y, x + notch, y + notch) for x in (0, wide - notch) for y in (0, high - notch)]
    need = box(0, 0, wide, high).difference(unary_union(corners))
    strays = [scrap(f"stray-{n}", 70 + 23 * n, 150 - 11 * n, None) for n in range(6)]
    halves = [scrap(name, wide / 2, high, None) for name in ("left", "right")]
    request = CoverRequest(need=Region(need), scraps=(*halves, *strays), keeps_grain=False)
    cover = cover_template(request, settings=CoverSettings(iterations=150))
    assert_sound(request, cover)
    assert cover.measures.covered_share == pytest.approx(1)
    assert {one.id for one in cover.placements} == {"left", "right"}


def test_no_scrap_of_use_is_no_answer():
    request = CoverRequest(need=Region.rectangle((0, 0), (400, 300)), scraps=(scrap("crumb", 2, 2),))
    with pytest.raises(NoAnswer) as told:
        cover_template(request)
    assert told.value.problem.place == "scraps"


def test_grain_may_run_along_a_scrap_that_lies_across():
    strip = CoverScrap(id="s", region=Region.rectangle((0, 0), (50, 200)), grain_deg=90.0)
    request = CoverRequest(need=Region.rectangle((0, 0), (200, 50)), scraps=(strip,), keeps_grain=True)
    cover = cover_template(request)
    assert cover.measures.covered_share == pytest.approx(1, abs=1e-3)
    assert cover.placements[0].turn_deg % 180 == pytest.approx(90)


def test_a_scrap_laid_over_its_edge_takes_one_cut():
    request = CoverRequest(need=Region.rectangle((0, 0), (100, 80)), scraps=(scrap("s", 100, 120),), keeps_grain=True)
    cover = cover_template(request)
    assert (cover.measures.cuts, round(cover.measures.wasted_mm2)) == (1, 4000)
    assert rings(cover)["s"][0].equals(box(0, 0, 100, 80)) or rings(cover)["s"][0].area == pytest.approx(8000)


def test_outlines_of_teeth_are_covered_and_each_edge_trimmed_is_a_cut():
    def star(inner_mm, outer_mm, count):
        ways = np.linspace(0, 2 * np.pi, 2 * count, endpoint=False)
        radii = np.where(np.arange(2 * count) % 2, outer_mm, inner_mm)
        return Region.from_ring(list(zip(radii * np.cos(ways), radii * np.sin(ways), strict=True)))

    request = CoverRequest(need=star(100, 120, 60), scraps=(CoverScrap(id="disc", region=star(70, 71, 500)),))
    assert_sound(request, cover_template(request))
    edge = np.linspace(-200, 200, 500, endpoint=False)
    square = (
        [(x, -200) for x in edge] + [(200, y) for y in edge] + [(-x, 200) for x in edge] + [(-200, -y) for y in edge]
    )
    assert cuts_to_trim(star(100, 120, 1000), Region.from_ring(square)) == 2000
