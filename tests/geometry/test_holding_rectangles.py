"""Whether a rectangle lies in a shape, against what GEOS says of the same shapes moved by the rectangle's sides."""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import MultiPoint, Polygon, box

from bagwright.geometry.curves import Affine
from bagwright.geometry.holding_rectangles import Lying, which_hold
from bagwright.geometry.largest_rectangle import holds_rectangle
from bagwright.geometry.many_regions import moved_each
from bagwright.geometry.rectangle_in_hull import best_rooms
from bagwright.geometry.region import Region

corners = st.tuples(st.integers(0, 400), st.integers(0, 300))


def places_in_hull(hull, long: float, wide: float):
    """Where the lower left corner may lie: the corners of a rectangle lie in a convex shape, so all of it does."""
    moved = [affinity.translate(hull, -x, -y) for x, y in ((0, 0), (long, 0), (0, wide), (long, wide))]
    return shapely.intersection_all(moved)


@settings(max_examples=60)
@given(st.lists(corners, min_size=3, max_size=12, unique=True), st.integers(5, 250), st.integers(5, 200))
def test_room_in_a_convex_outline_agrees_with_geos(points, long, wide):
    hull = MultiPoint(points).convex_hull
    if not isinstance(hull, Polygon) or hull.area < 50:
        return
    ring = shapely.get_coordinates(shapely.orient_polygons(hull))[:-1]
    rooms = best_rooms([ring, ring], np.array([(long, wide), (long + 0.5, wide + 0.5)]))
    places = places_in_hull(hull, long, wide)
    if places.area > 1e-3:
        x, y = float(rooms.x_mm[0]), float(rooms.y_mm[0])
        assert rooms.room_mm[0] > 0 and hull.buffer(1e-6).covers(box(x, y, x + long, y + wide))
    if places.is_empty:
        assert rooms.room_mm[0] < 1e-6 and rooms.room_mm[1] < 0
    assert holds_rectangle(Region(hull), long + 0.01, wide + 0.01) == (not places.is_empty)


def test_a_ring_holds_what_its_sides_are_wide():
    """By hand: a frame of 100 by 80 whose hole leaves 20 all round, turned so that nothing of it is upright."""
    frame = Region.from_ring([(0, 0), (100, 0), (100, 80), (0, 80)], [[(20, 20), (80, 20), (80, 60), (20, 60)]])
    turned = Region(affinity.rotate(frame.shape, 30, origin=(0, 0)))
    back = Region(affinity.rotate(turned.shape, -30, origin=(0, 0)))
    ways = [[Lying.of(back)], [Lying.of(turned)], [Lying.of(turned), Lying.of(back)]]
    assert which_hold(ways, 100, 20) == [True, False, True]
    assert which_hold(ways, 100, 20.1) == [False, False, False]
    assert which_hold(ways, 20, 80) == [True, False, True]
    assert which_hold(ways, 20, 80, along=True) == [True, False, True]
    assert which_hold(ways, 20, 90, along=True) == [False, False, False]
    # A square of side s that is turned by 30 degrees against a bar is s (sin 30 + cos 30) wide across it.
    side = 20 / (math.sin(math.pi / 6) + math.cos(math.pi / 6))
    assert which_hold(ways, side, side)[1]
    assert which_hold([], 4, 4) == [] and which_hold([[]], 4, 4) == [False]


def test_many_moved_at_once_agree_with_each_moved_alone():
    """A triangle, a frame and two bars apart, mirrored, turned and shifted; shapely's own moves say where to."""
    frame = Region.from_ring([(0, 0), (100, 0), (100, 80), (0, 80)], [[(20, 20), (80, 20), (80, 60), (20, 60)]])
    bars = Region.union([Region.rectangle((0, 0), (90, 9)), Region.rectangle((0, 20), (90, 29))])
    shapes = [Region.from_ring([(0, 0), (40, 10), (5, 60)]), frame, bars]
    moves = [Affine(33.0), Affine(90.0, (5.0, -7.0)), Affine(-120.0, (1.0, 2.0), mirrors=True)]
    moved = moved_each(shapes, moves)
    assert moved == [shape.moved(move) for shape, move in zip(shapes, moves, strict=True)]
    for shape, move, there in zip(shapes, moves, moved, strict=True):
        mirrored = affinity.scale(shape.shape, -1, 1, origin=(0, 0)) if move.mirrors else shape.shape
        turned = affinity.translate(affinity.rotate(mirrored, move.turn_deg, origin=(0, 0)), *move.shift)
        assert shapely.equals_exact(there.shape.normalize(), turned.normalize(), tolerance=1e-9)
    for lying, shape in zip(Lying.of_each(moved), moved, strict=True):
        assert lying.box == shape.bounds and not (lying.is_convex and shape is not moved[0])
        assert shapely.equals(Polygon(lying.hull), shape.shape.convex_hull)
    assert moved_each([], []) == [] == Lying.of_each([])
