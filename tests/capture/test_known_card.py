"""The check of the scale by a plastic card: ISO/IEC 7810, ID-1, 85.60 x 53.98 mm, corners of radius 3.18 mm."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import affinity

from bagwright.capture.known_card import checked_scale, size_as_card
from bagwright.capture.outlines import find_outlines
from bagwright.errors import FaultyInput
from bagwright.model.found_outline import CameraAbove, FoundOutline, FoundOutlines, OutlineWishes
from tests.capture.rendered_mat import Camera, Patch, box, photo, plain, ring_of_cards, turned
from tests.capture.scenes import BLACK, MAT, WHITE, usual_scene

SMALL = Camera(width_px=1080, height_px=810, slant_deg=18, from_deg=50, k1=-0.07, k2=0.02)


def id1(x: float, y: float, deg: float, *, size: float = 1.0, radius: float = 3.18) -> np.ndarray:
    t = np.linspace(0, np.pi / 2, 12)
    arc = np.stack([np.cos(t), np.sin(t)], axis=1) * radius
    inner = np.array([85.60, 53.98]) / 2 - radius
    corners = [turned(arc, 90 * i, 0, 0) + inner * way for i, way in enumerate([(1, 1), (-1, 1), (-1, -1), (1, -1)])]
    return turned(np.concatenate(corners) * size, deg, x, y)


def as_found(ring: np.ndarray) -> FoundOutline:
    return FoundOutline(number=1, outer=tuple((float(x), float(y)) for x, y in ring), error_mm=0.2)


@pytest.mark.parametrize("size", [0.94, 1.0, 1.06])
def test_property_its_size_is_told_however_it_lies(size):
    assert size_as_card(as_found(id1(30, -12, 37, size=size))) == pytest.approx(size, rel=1e-3)


def test_rejects_what_has_another_shape():
    other = [box(85.6, 53.98, 10, 0, 0), box(85.6, 60, 10, 0, 0), id1(0, 0, 5, radius=12.0), id1(0, 0, 5, size=2.0)]
    assert [size_as_card(as_found(ring)) for ring in other] == [None] * 4


def test_cards_all_printed_at_94_percent_are_told_by_a_plastic_card_that_lies_there():
    cards = [replace(card, scale=0.94) for card in ring_of_cards(MAT)]
    patches = [Patch(id1(60, 40, 25), plain(0.1, 0.35, 0.5)), Patch(box(120, 70, 17, -130, 60), WHITE)]
    data = photo(usual_scene(patches=patches, cards=cards), SMALL, over=1, dots=2.5)
    found = find_outlines(data, OutlineWishes(shows_plastic_card=True))
    check = found.check
    assert check is not None and not check.agrees
    assert check.size_share == pytest.approx(1 / 0.94, rel=0.006)
    assert check.card_side_mm == pytest.approx(47.0, abs=0.3)
    assert [one.number for one in found.outlines] == [1]
    right = find_outlines(data, OutlineWishes(shows_plastic_card=True, card_side_mm=47.0))
    assert right.check is not None and right.check.agrees
    assert right.outlines[0].region.area_mm2 == pytest.approx(120 * 70, rel=0.012)


def test_rejects_a_picture_in_which_none_lies():
    data = photo(usual_scene(patches=[Patch(box(90, 60, 17, 0, 0), BLACK)]), SMALL, over=1, dots=2.5)
    with pytest.raises(FaultyInput, match="no plastic card"):
        find_outlines(data, OutlineWishes(shows_plastic_card=True))


def test_its_own_thickness_is_not_taken_for_a_wrong_scale():
    """0.76 mm thick (ISO/IEC 7810), seen aslant from 450 mm up: all that it hides, by rays to heights between."""
    foot, height = (-330.0, 60.0), 450.0
    flat = shapely.Polygon(id1(60, -40, 25))
    levels = [height / (height - z) for z in np.linspace(0, 0.76, 12)]
    hidden = shapely.union_all([affinity.scale(flat, s, s, origin=foot) for s in levels], grid_size=1e-6).simplify(0.02)
    assert isinstance(hidden, shapely.Polygon)
    found = FoundOutlines(
        outlines=(as_found(np.array(shapely.orient_polygons(hidden).exterior.coords[:-1])),),
        refused=(),
        cards=(1, 2, 3, 4),
        ignored=(),
        card_side_mm=50.0,
        scale_error_share=0.0005,
        fit_mm=0.02,
        ground=(200, 20, 120),
        low=(-250.0, -200.0),
        high=(250.0, 200.0),
        camera=CameraAbove(foot=foot, height_mm=height, doubt_share=0.02),
    )
    check = checked_scale(found).check
    assert hidden.area / flat.area > 1.008
    assert check is not None and check.agrees
    assert check.size_share == pytest.approx(1, abs=3e-4)
