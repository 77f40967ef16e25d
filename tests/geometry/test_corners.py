"""Outlines from runs of curves: direction, corners, small gaps, needless joints."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise
from bagwright.geometry.chains import arc_as_cubics, chained, closed_up, turned_round, with_end_at
from bagwright.geometry.corners import heading, loop_fault, outline_of_run, turn_deg
from bagwright.geometry.curves import Affine, Arc, Cubic, Curve, Line

HALF_ROUND: tuple[Curve, ...] = (
    Line((0, 0), (100, 0)),
    Line((100, 0), (100, 40)),
    Arc((100, 40), (80, 40), 90),
    Line((80, 60), (20, 60)),
    Arc((20, 60), (20, 40), 90),
    Line((0, 40), (0, 0)),
)
"""A panel with two square corners below and two rounded ones above: its sides and top are one smooth edge."""


def test_smooth_joints_are_no_corners():
    outline = outline_of_run(HALF_ROUND)
    assert [edge.name for edge in outline.edges] == ["edge_1", "edge_2"]
    assert outline.edges[0].length_mm == 100
    assert outline.edges[1].length_mm == pytest.approx(40 + 60 + 40 + math.pi * 20)
    assert outline.area_mm2 == pytest.approx(100 * 60 - (4 - math.pi) / 2 * 400)


@given(st.integers(0, 5), st.booleans())
def test_property_edges_do_not_depend_on_where_and_which_way_the_run_goes(start, is_clockwise):
    run = (*HALF_ROUND[start:], *HALF_ROUND[:start])
    outline = outline_of_run(turned_round(run) if is_clockwise else run)
    plain = outline_of_run(HALF_ROUND)
    assert [edge.name for edge in outline.edges] == [edge.name for edge in plain.edges]
    for edge, other in zip(outline.edges, plain.edges, strict=True):
        assert edge.length_mm == pytest.approx(other.length_mm, abs=1e-9)
        assert edge.start == pytest.approx(other.start, abs=1e-9)


@pytest.mark.parametrize(("turn", "edges"), [(19.0, 4), (21.0, 5)])
def test_limit_a_corner_turns_by_more_than_twenty_degrees(turn, edges):
    rise = 50 * math.tan(math.radians(turn / 2))
    corners = [(0, 0), (100, 0), (100, 60), (50, 60 + rise), (0, 60)]
    run = [Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    assert len(outline_of_run(run).edges) == edges


def test_what_has_no_corner_is_two_halves():
    circle = outline_of_run((Arc((30, 0), (0, 0), 360),))
    assert [edge.length_mm for edge in circle.edges] == pytest.approx([30 * math.pi] * 2)
    drop = outline_of_run((Cubic((0, 0), (60, 40), (-60, 40), (0, 0)),))
    assert len(drop.edges) == 2
    assert drop.edges[0].length_mm == pytest.approx(drop.edges[1].length_mm, abs=1e-3)


def test_points_along_a_straight_edge_are_no_joints():
    along = [(x, 0.0) for x in range(0, 101, 5)]
    corners = [*along, (100.0, 50.0), (0.0, 50.0)]
    run = [Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    outline = outline_of_run(run)
    assert [len(edge.curves) for edge in outline.edges] == [1, 1, 1, 1]


def test_points_of_a_fine_arc_stay_joints():
    run = [Line(a, b) for a, b in _pairs([(50 * math.cos(t / 50), 50 * math.sin(t / 50)) for t in range(314)])]
    outline = outline_of_run(run)
    assert outline.length_mm == pytest.approx(math.fsum(line.length_mm for line in run), abs=1e-3)


def _pairs(points):
    return zip(points, [*points[1:], points[0]], strict=True)


def moved_start(curve, dx, dy):
    if isinstance(curve, Line):
        return Line((curve.start[0] + dx, curve.start[1] + dy), curve.end)
    return curve.moved(Affine(shift=(dx, dy)))


@given(st.lists(st.tuples(st.floats(-0.04, 0.04), st.floats(-0.04, 0.04)), min_size=6, max_size=6))
def test_property_small_gaps_are_closed_and_move_nothing_far(shifts):
    run = [moved_start(curve, *shift) for curve, shift in zip(HALF_ROUND, shifts, strict=True)]
    outline = outline_of_run(run)
    assert outline.area_mm2 == pytest.approx(outline_of_run(HALF_ROUND).area_mm2, abs=320 * 0.08)
    assert len(outline.edges) == 2


def test_gap_between_two_arcs_is_closed():
    run = (Arc((10, 0), (0, 0), 180), Arc((-10.03, 0), (0, 0.01), 180))
    outline = outline_of_run(run)
    assert outline.area_mm2 == pytest.approx(100 * math.pi, abs=1.0)


@pytest.mark.parametrize("sweep", [10.0, 90.0, -200.0, 360.0])
def test_arc_as_cubics_agrees_with_the_circle(sweep):
    arc = Arc((100, 20), (0, 20), sweep)
    cubics = arc_as_cubics(arc)
    assert max(abs(math.dist(p, arc.centre) - 100) for c in cubics for p in c.points(0.001)) < 1e-4
    assert sum(c.length_mm for c in cubics) == pytest.approx(arc.length_mm, abs=1e-3)
    assert cubics[-1].end == arc.end


def test_loose_lines_are_chained_in_any_order_and_direction():
    chance = random.Random(3)
    lines = [(Line(a, b),) for a, b in _pairs([(0, 0), (50, 0), (80, 30), (50, 60), (0, 60)])]
    other = [(Line(a, b),) for a, b in _pairs([(200, 0), (250, 0), (220, 30)])]
    for _ in range(20):
        loose = [run if chance.random() < 0.5 else turned_round(run) for run in lines + other]
        chance.shuffle(loose)
        loops = [run for _, run in chained(loose, within_mm=0.1)]
        assert sorted(len(loop) for loop in loops) == [3, 5]
        assert all(loop[0].start == loop[-1].end for loop in loops)


def test_runs_farther_apart_stay_apart():
    runs = [(Line((0, 0), (10, 0)),), (Line((10.2, 0), (20, 0)),)]
    assert chained(runs, within_mm=0.1) == [(0, runs[0]), (1, runs[1])]
    assert len(chained(runs, within_mm=0.3)) == 1


def test_dust_between_curves_goes():
    run = (*HALF_ROUND[:2], Line((100, 40), (100.0005, 40.0005)), *HALF_ROUND[2:])
    assert len(closed_up(run, least_mm=0.002)) == 6


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        ([(0, 0), (20, 20), (20, 0), (0, 20)], "crosses itself near (10, 10)"),
        ([(0, 0), (20, 0), (40, 0)], "encloses no area"),
        ([(0, 0), (math.nan, 0), (40, 10)], "has a corner that is not a number within 10 km"),
        ([(0, 0), (1e9, 0), (40, 10)], "has a corner that is not a number within 10 km"),
    ],
)
def test_what_encloses_nothing_is_told(corners, words):
    assert loop_fault([Line(a, b) for a, b in _pairs(corners)]) == words


def test_a_run_without_area_rejects():
    with pytest.raises(BrokenPromise):
        outline_of_run([Line((0, 0), (10, 0)), Line((10, 0), (0, 0))])


def test_heading_passes_over_control_points_on_the_end():
    assert heading(Cubic((0, 0), (0, 0), (3, 4), (9, 9))) == (3, 4)
    assert heading(Cubic((0, 0), (0, 0), (0, 0), (9, 9))) == (9, 9)
    assert turn_deg(Cubic((0, 0), (5, 0), (10, 0), (10, 0)), Line((10, 0), (10, 5))) == 90
    assert turn_deg(Arc((10, 0), (0, 0), 90), Line((0, 10), (-5, 10))) == pytest.approx(0, abs=1e-9)
    assert turn_deg(Line((0, 0), (1, 0)), Arc((1, 0), (1, -5), -90)) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("sweep", [30.0, 180.0, -270.0, 359.0])
def test_an_arc_moved_slightly_stays_an_arc_and_ends_there(sweep):
    arc = Arc((70, 20), (20, 20), sweep)
    end = (arc.end[0] + 0.001, arc.end[1] - 0.0005)
    (moved,) = with_end_at(arc, end)
    assert isinstance(moved, Arc)
    assert math.dist(moved.end, end) < 1e-9
    assert moved.start == arc.start
    assert moved.sweep_deg == pytest.approx(sweep, abs=0.2)
    assert {type(curve) for curve in with_end_at(arc, (arc.end[0] + 0.1, arc.end[1]))} == {Cubic}
