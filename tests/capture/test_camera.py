"""Where the camera stood, and thick scraps brought down to the mat: against rays drawn by hand."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import affinity

from bagwright.capture.camera import brought_down, camera_above
from bagwright.capture.fitting import Fit
from bagwright.capture.plane import Plane, plane_of_square
from bagwright.capture.told_focal import told_focal_mm
from bagwright.errors import FaultyInput
from bagwright.model.found_outline import CameraAbove, FoundOutline

SQUARE = np.array([(-50.0, 50.0), (50.0, 50.0), (50.0, -50.0), (-50.0, -50.0)])


def seen_from(height_mm: float, slant_deg: float, focal: float) -> tuple[Fit, float]:
    """A fit of a ground seen by a pinhole, its focal length in halves of the picture's diagonal; how far off the foot.

    The camera is turned about the picture's x and then a little about its own axis.
    """
    slant, roll = np.radians([slant_deg, 25.0])
    right, down = np.array([1.0, 0, 0]), np.array([0, -np.cos(slant), np.sin(slant)])
    ahead = np.cross(right, down)
    right, down = np.cos(roll) * right + np.sin(roll) * down, np.cos(roll) * down - np.sin(roll) * right
    eye = np.array([0, 0, height_mm])
    away = np.concatenate([SQUARE, np.zeros((4, 1))], axis=1) - eye
    corners = focal * np.stack([away @ right, away @ down], axis=1) / (away @ ahead)[:, None]
    values = plane_of_square(corners, SQUARE)
    doubt = np.diag((1e-4 * np.array([values[0], values[0], values[0], 1, 1, 1, 1])) ** 2)
    plane = Plane((0.0, 0.0), 1.0, tuple(float(v) for v in values))
    none = np.zeros(1)
    return Fit(plane, np.zeros((1, 3)), none, none, doubt, none, none), height_mm * float(np.tan(slant))


@pytest.mark.parametrize(("slant", "told_mm"), [(25.0, None), (12.0, 25.0), (0.0, 24.0)])
def test_height_and_foot_are_those_of_the_pinhole(slant, told_mm):
    focal = 1.11  # as 24 mm on 36 x 24 mm, of which half the diagonal is 21.63 mm
    fit, away = seen_from(420.0, slant, focal)
    camera = camera_above(fit, told_mm)
    assert abs(camera.height_mm / 420 - 1) < min(camera.doubt_share, 0.1)
    assert np.hypot(*camera.foot) == pytest.approx(away, rel=0.1, abs=0.5)
    assert camera.doubt_share < (0.05 if slant > 20 else 0.2)


def test_without_slant_and_focal_length_the_height_is_told_as_little_known():
    fit, _ = seen_from(420.0, 0.0, 1.6)
    camera = camera_above(fit, None)
    assert camera.doubt_share > 0.3
    assert abs(camera.height_mm / 420 - 1) < camera.doubt_share


RING = shapely.Polygon([(-60, -40), (60, -40), (60, 40), (-60, 40)], [[(-10, -8), (15, -8), (15, 12), (-10, 12)]])
HOOK = shapely.Polygon([(0, 0), (110, 0), (110, 38), (52, 38), (52, 84), (0, 84)])


@pytest.mark.parametrize("shape", [RING, HOOK, affinity.rotate(HOOK, 130)])
@pytest.mark.parametrize("foot", [(20.0, 30.0), (-140.0, 25.0), (300.0, -200.0)])
def test_property_what_stands_thick_is_brought_down_to_where_it_lies(shape, foot):
    """All that a slab hides, by rays: its upper rim nearer to the eye, and every height between."""
    height, thick = 400.0, 3.0
    levels = [height / (height - z) for z in np.linspace(0, thick, 40)]
    hidden = shapely.union_all([affinity.scale(shape, s, s, origin=foot) for s in levels], grid_size=1e-6).simplify(
        0.05
    )
    assert isinstance(hidden, shapely.Polygon)
    seen = FoundOutline(
        number=1,
        outer=tuple((x, y) for x, y in shapely.orient_polygons(hidden).exterior.coords[:-1]),
        holes=tuple(tuple((x, y) for x, y in hole.coords[:-1]) for hole in hidden.interiors),
        error_mm=0.2,
    )
    found = brought_down(seen, CameraAbove(foot=foot, height_mm=height, doubt_share=0.1), thick, place="thickness")
    assert hidden.area > 1.003 * shape.area
    assert shape.difference(found.region.shape).area < 1e-4 * shape.area
    assert found.region.area_mm2 == pytest.approx(shape.area, rel=1e-3)  # in an inner corner some of it is hidden
    assert found.thickness_mm == thick
    assert seen.error_mm < found.error_mm < 1.0


def test_rejects_a_thickness_that_leaves_nothing():
    strip = FoundOutline(number=4, outer=((200, 0), (201, 0), (201, 9), (200, 9)), error_mm=0.2)
    with pytest.raises(FaultyInput, match="nothing of it would be left"):
        brought_down(strip, CameraAbove(foot=(0, 0), height_mm=400, doubt_share=0.1), 10.0, place="thickness")


@pytest.mark.parametrize("order", ["little", "big"])
def test_focal_length_is_read_from_exif_in_either_order_of_bytes(order):
    """Laid out by hand as TIFF 6.0 says: a list of one entry that names the place of another list."""

    def number(value: int, size: int) -> bytes:
        return value.to_bytes(size, order)

    def listed(tag: int, kind: int, value: bytes) -> bytes:
        return number(1, 2) + number(tag, 2) + number(kind, 2) + number(1, 4) + value.ljust(4, b"\0") + number(0, 4)

    head = (b"II" if order == "little" else b"MM") + number(42, 2) + number(8, 4)
    tiff = head + listed(0x8769, 4, number(26, 4)) + listed(0xA405, 3, number(24, 2))
    part = b"\xff\xe1" + (8 + len(tiff)).to_bytes(2, "big") + b"Exif\0\0" + tiff
    assert told_focal_mm(b"\xff\xd8" + part + b"\xff\xd9") == 24.0
    assert all(told_focal_mm((b"\xff\xd8" + part)[:cut]) in (None, 24.0) for cut in range(len(part) + 2))
