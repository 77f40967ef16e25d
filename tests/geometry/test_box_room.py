"""Room for boxes: the same place that trying them all one by one gives."""

from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.geometry.box_room import BoxRoom, box_about
from bagwright.geometry.region import Region
from tests.geometry.shapes import polygons

SHARES = st.tuples(st.floats(0.02, 1.0), st.floats(0.02, 1.0))
HOLES = st.lists(st.tuples(*[st.floats(-100, 100)] * 2), max_size=4)


def tried_one_by_one(room: Region, size, bounds):
    """Distance of the most central place that holds, by asking the exact region at each of them."""
    left, low, right, high = bounds
    steps = [i / 12 for i in range(13)]
    wide, tall = right - left - size[0], high - low - size[1]
    middles = [
        (left + size[0] / 2 + u * wide, low + size[1] / 2 + v * tall) for u, v in itertools.product(steps, steps)
    ]
    held = [off(middle, bounds) for middle in middles if room.holds(box_about(middle, size))]
    return min(held, default=None) if wide >= 0 and tall >= 0 else None


def off(middle, bounds) -> float:
    left, low, right, high = bounds
    return (middle[0] - (left + right) / 2) ** 2 + (middle[1] - (low + high) / 2) ** 2


@settings(max_examples=60, deadline=None)
@given(polygons(), HOLES, SHARES)
def test_place_agrees_with_trying_all_of_them(outline, holes, shares):
    whole = outline.region()
    taken = [Region.rectangle((x, y), (x + 25, y + 3)) for x, y in holes]
    room = whole.minus(Region.union(taken)) if taken else whole
    size = shares[0] * whole.width_mm, shares[1] * whole.height_mm
    found = BoxRoom.of(room).middle_for(size, whole.bounds)
    nearest = tried_one_by_one(room, size, whole.bounds)
    assert (found is None) == (nearest is None)
    if found:
        assert room.holds(box_about(found, size))
        assert off(found, whole.bounds) == nearest


@given(st.integers(1, 300), st.integers(1, 300), st.integers(0, 12), st.integers(0, 12))
def test_boxes_that_touch_the_outline_property_have_room(width, height, right, up):
    """All but one place is taken, and the box fits that one exactly: whole mm, so nothing is rounded."""
    size = 24.0 * width, 24.0 * height
    bounds = (0.0, 0.0, 3 * size[0], 3 * size[1])
    start = right * size[0] / 6, up * size[1] / 6
    only = Region.rectangle(start, (start[0] + size[0], start[1] + size[1]))
    found = BoxRoom.of(only).middle_for(size, bounds)
    assert found == (start[0] + size[0] / 2, start[1] + size[1] / 2)
