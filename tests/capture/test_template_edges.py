"""Paper templates made clean, and the points kept of an edge, against curves whose formula is known."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from shapely.geometry import LinearRing, Polygon
from shapely.geometry import Point as Spot

from bagwright.capture.kept_points import kept_ring
from bagwright.capture.template_edges import cleaned

Floats = npt.NDArray[np.float64]
WITHIN_MM = 0.08
NOISE_MM = 0.05
"""More than traced places scatter in a rendered picture of 5 pixels to a mm."""


def arc(middle: tuple[float, float], radius: float, from_deg: float, to_deg: float) -> Floats:
    """Places on a circle."""
    turn = np.radians(np.linspace(from_deg, to_deg, 200))
    return np.stack([middle[0] + radius * np.cos(turn), middle[1] + radius * np.sin(turn)], axis=1)


def ellipse(a: float, b: float) -> Floats:
    return arc((0, 0), 1.0, 0, 358.2) * [a, b]


def pocket(radius: float) -> Floats:
    """160 x 120 mm: two sharp corners, two rounded ones."""
    low = [arc((-80 + radius, radius), radius, 180, 270), arc((80 - radius, radius), radius, 270, 360)]
    return np.concatenate([[[80.0, 120.0], [-80.0, 120.0]], *low])


def traced(ring: Floats, noise_mm: float) -> Floats:
    """Places every 0.45 mm on a ring, as a picture would give them."""
    closed = np.concatenate([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.arange(0, along[-1], 0.45)
    even = np.stack([np.interp(at, along, closed[:, 0]), np.interp(at, along, closed[:, 1])], axis=1)
    return np.asarray(even + np.random.default_rng(3).normal(0, noise_mm, even.shape))


def apart_mm(points: Floats, ring: npt.ArrayLike) -> Floats:
    line = LinearRing(np.asarray(ring))
    return np.array([line.distance(Spot(point)) for point in points])


@pytest.mark.parametrize(
    ("true", "area_mm2"),
    [
        (ellipse(90, 55), np.pi * 90 * 55),
        (ellipse(60, 15), np.pi * 60 * 15),
        (ellipse(8, 2), np.pi * 8 * 2),
        (ellipse(25, 4), np.pi * 25 * 4),
        (np.concatenate([arc((0, 80), 60, 0, 180), [[-60.0, 0.0], [60.0, 0.0]]]), 120 * 80 + np.pi * 60**2 / 2),
        (pocket(25), 160 * 120 - (4 - np.pi) / 2 * 25**2),
        (pocket(4), 160 * 120 - (4 - np.pi) / 2 * 4**2),
    ],
    ids=[
        "ellipse",
        "slender ellipse",
        "slot, 16 x 4 mm",
        "slot, 50 x 8 mm",
        "half round",
        "pocket, 25 mm",
        "pocket, 4 mm",
    ],
)
def test_a_template_keeps_its_curve_and_its_area(true, area_mm2):
    """The points kept lie so near the smoothed curve as docs/json.md says, and hold the area of the formula."""
    clean = cleaned(traced(true, NOISE_MM), 0.25, 2.7)
    ring = kept_ring(clean, WITHIN_MM)
    assert ring is not None
    assert apart_mm(clean, ring).max() <= WITHIN_MM
    kept = traced(np.array(ring), 0.0)
    assert np.median(apart_mm(kept, true)) < 0.04
    assert apart_mm(kept, true).max() < 0.25
    assert Polygon(ring).area == pytest.approx(area_mm2, abs=0.015 * Polygon(true).length)


def test_straight_edges_are_straight_and_sharp_corners_sharp_even_at_a_slender_tip():
    """The lens rounds each corner; at a tip of 24 degrees it eats 4 mm."""
    corners = np.array([(0.0, 0.0), (110.0, 0.0), (20.0, 40.0)])
    round_mm = 1.2
    rounded = np.array(Polygon(corners).buffer(-round_mm).buffer(round_mm, quad_segs=32).exterior.coords[:-1])
    ring = kept_ring(cleaned(traced(rounded, 0.03), 0.25, 2.7), WITHIN_MM)
    assert ring is not None
    assert len(ring) == 3
    assert np.hypot(*(np.array(ring)[:, None] - corners[None]).transpose(2, 0, 1)).min(axis=0).max() < 0.5
    assert apart_mm(corners, rounded).max() > 4.0


def test_property_what_is_left_out_of_an_edge_takes_nothing_from_its_area():
    """Chords of a circle lie within it: 0.16 % of this one's area, were they not moved."""
    circle = traced(ellipse(60, 60), 0.0)
    ring = kept_ring(circle, WITHIN_MM)
    assert ring is not None
    assert len(ring) < 80
    assert Polygon(ring).area == pytest.approx(np.pi * 60**2, rel=0.0002)
    assert apart_mm(circle, ring).max() <= WITHIN_MM


def test_property_what_is_left_out_of_a_frayed_edge_takes_nothing_from_its_area_either():
    """Sides moved one by one leave the area of a circle that wanders by a tenth of a mm off by 0.002 %."""
    turn = np.linspace(0, 2 * np.pi, 1500, endpoint=False)
    wander = np.sum([0.05 * np.cos(waves * turn + waves) for waves in (7, 19, 53, 110, 171)], axis=0)
    frayed = (40 + wander)[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    for way in (1, -1):
        ring = kept_ring(frayed[::way], 0.15)
        assert ring is not None
        assert len(ring) < 150
        assert Polygon(ring).area == pytest.approx(Polygon(frayed).area, rel=3e-6)
