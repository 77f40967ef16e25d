"""Outlines parted and joined by hand; the areas follow from the shapes that were drawn up."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.capture.corrections import join_outlines, part_outline
from bagwright.capture.outlines import find_outlines
from bagwright.errors import FaultyInput
from bagwright.model.found_outline import FoundOutline, OutlineWishes
from tests.capture.rendered_mat import Camera, Patch, box, dotted, photo, plain, striped, turned
from tests.capture.scenes import BLACK, usual_scene

SMALL = Camera(width_px=1080, height_px=810, slant_deg=18, from_deg=50, k1=-0.07, k2=0.02)


def found(*rings: tuple[tuple[float, float], ...]) -> tuple[FoundOutline, ...]:
    return tuple(FoundOutline(number=i, outer=ring, error_mm=0.1 * i) for i, ring in enumerate(rings, start=1))


LONG = ((0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0))
BESIDE = ((103.0, 0.0), (150.0, 0.0), (150.0, 40.0), (103.0, 40.0))


def test_property_a_line_parts_one_outline_and_joining_makes_it_whole():
    parted = part_outline(found(LONG, BESIDE), 1, ((30.0, 10.0), (30.0, 20.0)))
    assert [(one.number, round(one.region.area_mm2)) for one in parted] == [(1, 2800), (2, 1880), (3, 1200)]
    whole = join_outlines(parted, 1, 3)
    assert [(one.number, round(one.region.area_mm2)) for one in whole] == [(1, 4000), (2, 1880)]


def test_property_joining_closes_a_gap_and_keeps_the_larger_error():
    (one,) = join_outlines(found(LONG, BESIDE), 1, 2)
    assert one.region.area_mm2 == pytest.approx(150 * 40, rel=1e-3)
    assert one.error_mm == pytest.approx(0.2)


def test_rejects_a_line_that_parts_nothing_and_outlines_that_lie_apart_or_are_not_there():
    far = tuple((x + 60, y) for x, y in BESIDE)
    for fault in (
        lambda: part_outline(found(LONG), 1, ((0.0, 60.0), (50.0, 60.0))),
        lambda: part_outline(found(LONG), 1, ((1.0, 0.0), (1.0, 40.0))),
        lambda: part_outline(found(LONG), 9, ((30.0, 10.0), (30.0, 20.0))),
        lambda: join_outlines(found(LONG, far), 1, 2),
        lambda: join_outlines(found(LONG), 1, 1),
    ):
        with pytest.raises(FaultyInput) as caught:
            fault()
        assert all(problem.remedy for problem in caught.value.problems)


def test_two_cloths_edge_to_edge_are_asked_about_along_their_seam_and_parted_on_wish():
    patches = [Patch(box(70, 60, 0, -35, 0), plain(0.5, 0.45, 0.2)), Patch(box(50, 60, 0, 25, 0), BLACK)]
    data = photo(usual_scene(patches=patches), SMALL, over=1, dots=2.5)
    (one,) = find_outlines(data).outlines
    (touch,) = one.touches
    assert touch.sign == "another cloth beyond it"
    assert touch.width_mm == pytest.approx(60, abs=2)
    areas = sorted(each.region.area_mm2 for each in find_outlines(data, OutlineWishes(splits=True)).outlines)
    assert areas == pytest.approx([3000, 4200], rel=0.04)


def test_two_halves_of_one_print_a_hair_apart_are_asked_about_and_a_striped_scrap_is_not():
    """The seam lies aslant, flush at its ends; the other scrap has stripes, one of them straight across it."""
    cloth = dotted((0.7, 0.7, 0.68), (0.03, 0.05, 0.2))
    halves = [turned(box(45, 60, 0, -22.5, 0), 25, -80, 20), turned(box(40, 60, 0, 20.4, 0), 25, -80, 20)]
    whole = Patch(box(80, 60, 0, 90, -10), striped((0.03, 0.03, 0.03), (0.75, 0.75, 0.7)))
    scene = usual_scene(patches=[*(Patch(half, cloth) for half in halves), whole])
    left, right = find_outlines(photo(scene, replace(SMALL, width_px=1600, height_px=1200), over=2, dots=5.0)).outlines
    (touch,) = left.touches
    assert touch.width_mm == pytest.approx(60, abs=3)
    assert (touch.sign, right.touches) == ("a thin line", ())
