"""How far shapes slide, against shapely's own distances and overlaps."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bagwright.geometry.curves import Affine
from bagwright.geometry.outline import Outline
from bagwright.geometry.region import Region
from bagwright.geometry.sliding import Sides, free_run_among_mm, free_run_mm
from tests.geometry.shapes import polygons

MOVES = st.builds(
    Affine, st.sampled_from([0.0, 90.0, 180.0, 23.0]), st.tuples(st.floats(-40, 40), st.floats(-40, 40)), st.booleans()
)


def _region(outline: Outline) -> Region:
    """Straight-edged outlines only."""
    return Region.from_ring([edge.start for edge in outline.edges])


def _ahead(still: Region, mover: Region, axis: int) -> Region:
    """The mover, put beyond the still one along the axis."""
    step = still.bounds[axis + 2] - mover.bounds[axis] + 10.0
    return mover.shifted(step, 0.0) if axis == 0 else mover.shifted(0.0, step)


@given(polygons(), polygons(), MOVES, st.sampled_from([0, 1]))
def test_a_free_run_agrees_with_shapely_distance_and_overlap(one, other, move, axis):
    still = _region(one)
    mover = _ahead(still, _region(other).moved(move), axis)
    run = free_run_mm(Sides.of(mover, axis=axis), Sides.of(still, axis=axis))
    assume(math.isfinite(run))
    assert run > 0
    landed = mover.shifted(-run, 0.0) if axis == 0 else mover.shifted(0.0, -run)
    assert landed.distance_mm(still) == pytest.approx(0.0, abs=1e-6)
    assert landed.overlap_mm2(still) == pytest.approx(0.0, abs=1e-4)


def test_shapes_that_share_no_heights_never_meet_limit():
    low, high = Region.rectangle((0, 0), (5, 5)), Region.rectangle((9, 5), (12, 7))
    assert free_run_mm(Sides.of(high), Sides.of(low)) == math.inf
    assert not Sides.of(high).shares_heights_with(Sides.of(low))


def test_the_nearest_of_many_counts_limit():
    mover = Sides.of(Region.rectangle((100, 0), (110, 10)))
    others = [Sides.of(Region.rectangle((0, 0), (x, 3))) for x in (20, 60, 40)]
    assert free_run_among_mm(mover, others) == 40.0
    assert free_run_among_mm(mover, []) == math.inf


def test_a_piece_in_a_pocket_slides_to_the_pocket_s_own_back():
    cup = Region.from_ring([(0, 0), (50, 0), (50, 10), (10, 10), (10, 40), (50, 40), (50, 50), (0, 50)])
    assert free_run_mm(Sides.of(Region.rectangle((20, 15), (30, 35))), Sides.of(cup)) == 10.0


def test_free_run_limit_of_round_shapes_with_thousands_of_corners():
    # Two circles of 50 mm radius with their centres 300 mm apart and level leave 200 mm; 60 mm off level, where the
    # centres touch at sqrt(100^2 - 60^2) = 80 mm along, they leave 220 mm. Chords of 4000 corners differ by < 1e-4 mm.
    turns = [2 * math.pi * i / 4000 for i in range(4000)]
    still, level, higher = (
        Sides.of(Region.from_ring([(x + 50 * math.cos(turn), y + 50 * math.sin(turn)) for turn in turns]))
        for x, y in ((0, 0), (300, 0), (300, 60))
    )
    assert free_run_mm(level, still) == pytest.approx(200, abs=1e-3)
    assert free_run_mm(higher, still) == pytest.approx(220, abs=1e-3)


def test_a_ring_comes_back_as_drawn_limit():
    ring = [(0.0, 0.0), (0.0, 2.0), (1.0, 2.0), (3.0, 2.0), (3.0, 0.0)]  # clockwise, with a needless point
    assert Region.from_ring(ring).drawn_ring() == [*ring, ring[0]]
