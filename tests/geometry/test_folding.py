"""Folding flat sheets into space, laying them on one another, and what hides what."""

import math

import pytest

from bagwright.geometry.facets import EdgeKind
from bagwright.geometry.folding import Crease, fold_sheet
from bagwright.geometry.sight import Sheet, sight_tree
from bagwright.geometry.space import best_motion, dot, minus, spread_mm, turn_about

STRIP = [(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)]


def test_square_corner_limit_turns_the_small_side_straight_down():
    sheet = fold_sheet(STRIP, [Crease((20, 0), (20, 10), 90)])
    assert len(sheet.facets) == 2
    assert sheet.at((30, 5)) == pytest.approx((20, 5, -10))
    assert sheet.at((5, 5)) == pytest.approx((5, 5, 0))


def test_sense_property_does_not_depend_on_the_way_the_line_runs():
    there, back = (fold_sheet(STRIP, [Crease(*ends, 70)]) for ends in (((20, 0), (20, 10)), ((20, 10), (20, 0))))
    assert there.at((30, 3)) == pytest.approx(back.at((30, 3)))


def test_crease_that_divides_nothing_limit_leaves_the_sheet_flat():
    for idle in (Crease((0, 0), (0, 10), 90), Crease((40, 0), (40, 10), 90), Crease((5, 5), (5, 5), 90)):
        assert [facet.points for facet in fold_sheet(STRIP, [idle]).facets] == [tuple((x, y, 0.0) for x, y in STRIP)]


@pytest.mark.parametrize("angle", [360, -360])
def test_rolled_strip_agrees_with_the_circle_of_its_length(angle):
    """Circumference pi d: the two ends meet, and lie opposite the middle one diameter away."""
    sheet = fold_sheet(STRIP, [Crease((15, 0), (15, 10), angle, band_mm=30)])
    assert sheet.at((0, 4)) == pytest.approx(sheet.at((30, 4)), abs=1e-9)
    assert math.dist(sheet.at((0, 4)), sheet.at((15, 4))) == pytest.approx(30 / math.pi, rel=1e-12)
    assert len(sheet.facets) == 48
    centre = (15, 5, math.copysign(15 / math.pi, -angle))
    for facet in sheet.facets:
        out = minus(facet.points[0], centre)
        assert dot(facet.normal, out) * angle > 0
        assert facet.area_mm2 == pytest.approx(300 / 48)
        for x, _, z in facet.points:
            assert math.hypot(x - 15, z - centre[2]) == pytest.approx(15 / math.pi)


@pytest.mark.parametrize("angle", [90, -90, 40])
def test_round_corner_agrees_with_arc_and_tangents(angle):
    """A quarter band of radius r: both arms touch the circle, so their ends lie where the tangents put them."""
    r, sense = 4.0, math.copysign(1, angle)
    turn = math.radians(abs(angle))
    band = r * turn
    sheet = fold_sheet(STRIP, [Crease((20, 0), (20, 10), angle, band_mm=band)])
    start, arm = 20 - band / 2, 30 - 20 - band / 2
    x = start + r * math.sin(turn) + arm * math.cos(turn)
    z = -sense * (r * (1 - math.cos(turn)) + arm * math.sin(turn))
    assert sheet.at((30, 7)) == pytest.approx((x, 7, z), abs=2e-3)
    assert sheet.at((3, 7)) == pytest.approx((3, 7, 0), abs=2e-3)
    ends = [facet for facet in sheet.facets if any(edge.kind is EdgeKind.RIM for edge in facet.edges)]
    assert len(ends) == len(sheet.facets)
    assert math.fsum(facet.area_mm2 for facet in sheet.facets) == pytest.approx(300, abs=0.01)


def test_smooth_sides_property_know_the_normal_of_the_next_facet():
    sheet = fold_sheet(STRIP, [Crease((20, 0), (20, 10), 90, band_mm=6)])
    by_ends: dict[frozenset, list] = {}
    for facet in sheet.facets:
        corners = [tuple(round(v, 6) for v in point) for point in facet.points]
        for a, b, edge in zip(corners, [*corners[1:], corners[0]], facet.edges, strict=True):
            if edge.kind is EdgeKind.SMOOTH:
                by_ends.setdefault(frozenset((a, b)), []).append((facet.normal, edge.beyond))
    assert len(by_ends) == len(sheet.facets) - 1
    for (one, beyond_one), (other, beyond_other) in by_ends.values():
        assert beyond_one == pytest.approx(other) and beyond_other == pytest.approx(one)


def test_tube_folded_flat_property_both_layers_keep_to_the_bend():
    """A strip rolled by a quarter, then folded along its length: the upper half lies on the lower one everywhere."""
    band = 4 * math.pi / 2
    creases = [
        Crease((0, 5), (30, 5), 180),
        Crease((15, 0), (15, 5), 90, band_mm=band),
        Crease((15, 5), (15, 10), -90, band_mm=band),
    ]
    sheet = fold_sheet(STRIP, creases)
    for x in (2, 13, 15, 16.5, 28):
        assert sheet.at((x, 1)) == pytest.approx(sheet.at((x, 9)), abs=1e-9)


def test_best_motion_property_undoes_any_turn():
    points = [(0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, 3.0, 0.0)]
    motion = turn_about((1, 2), (4, 3), 37)
    found = best_motion(points, [motion.apply(point) for point in points])
    assert found.apply((1.0, 1.0, 7.0)) == pytest.approx(motion.apply((1.0, 1.0, 7.0)))
    assert spread_mm(points)[1] > 1


def flat_sheet(z, key, **placed):
    facet = fold_sheet(STRIP, []).facets[0]
    points = tuple((x, y, z) for x, y, _ in facet.points)
    return Sheet(points, facet.edges, facet.normal, key, **{"plane": key, **placed})


def test_sight_property_the_nearer_of_two_sheets_comes_last_from_either_side():
    tree = sight_tree([flat_sheet(0.0, 0), flat_sheet(5.0, 1)])
    assert tree is not None
    assert [s.key for s in tree.back_to_front((0, 0, 1))] == [0, 1]
    assert [s.key for s in tree.back_to_front((0, 0, -1))] == [1, 0]


def test_sight_property_sheets_of_one_plane_keep_their_ranks_from_either_side():
    tree = sight_tree([flat_sheet(0.0, 0, plane=0, rank=1), flat_sheet(0.01, 1, plane=0, rank=0)])
    assert tree is not None
    assert [s.key for s in tree.back_to_front((0, 0, 1))] == [1, 0]
    assert [s.key for s in tree.back_to_front((0, 0, -1))] == [0, 1]


def test_sight_property_crossing_sheets_are_cut_where_they_cross():
    upright = Sheet(
        ((15, 5, -9), (15, 5, 9), (15, 30, 9), (15, 30, -9)), flat_sheet(0.0, 0).edges, (1.0, 0.0, 0.0), 1, 1
    )
    tree = sight_tree([flat_sheet(0.0, 0), upright])
    assert tree is not None
    parts = [sheet.key for sheet in tree.back_to_front((0.2, 0.1, 1))]
    assert sorted(parts) in ([0, 0, 1], [0, 1, 1])


def test_line_on_a_folded_sheet_property_is_as_long_as_drawn_and_turns_with_it():
    sheet = fold_sheet(STRIP, [Crease((20, 0), (20, 10), 90)])
    parts = sheet.line_on((5, 5), (30, 5))
    assert sum(math.dist(*segment) for _, segment in parts) == pytest.approx(25.0, abs=2e-3)
    assert len({number for number, _ in parts}) == 2
    ends = [end for _, segment in parts for end in segment]
    assert min(math.dist(end, (20, 5, -10)) for end in ends) < 2e-3
    for number, segment in parts:
        facet = sheet.facets[number]
        assert all(abs(dot(minus(end, facet.points[0]), facet.normal)) < 2e-3 for end in segment)


def test_line_on_a_rolled_sheet_agrees_with_its_chords():
    """Round a whole turn of radius r, strips of 7.5 degrees: 48 chords of 2 r sin(3.75 deg)."""
    sheet = fold_sheet(STRIP, [Crease((15, 0), (15, 10), 360, band_mm=30)])
    parts = sheet.line_on((0, 4), (30, 4))
    assert sorted(number for number, _ in parts) == list(range(48))
    chords = 48 * 2 * 30 / (2 * math.pi) * math.sin(math.radians(3.75))
    assert sum(math.dist(*segment) for _, segment in parts) == pytest.approx(chords, rel=1e-9)
    # Along the roll, where two strips meet, it lies on both; within one, on that alone.
    assert len(sheet.line_on((15, 1), (15, 9))) == 2
    assert len(sheet.line_on((15.2, 1), (15.2, 9))) == 1


def test_lines_property_are_cut_with_their_sheet():
    line = ((1.0, 5.0, 0.0), (29.0, 5.0, 0.0))
    upright = Sheet(
        ((15, 5, -9), (15, 5, 9), (15, 30, 9), (15, 30, -9)), flat_sheet(0.0, 0).edges, (1.0, 0.0, 0.0), 1, 1
    )
    lower = Sheet(((0, -40, -9), (30, -40, -9), (30, -40, 9)), (upright.edges[0],) * 3, (0.0, 1.0, 0.0), 2, 2)
    tree = sight_tree([flat_sheet(0.0, 0, lines=(line,)), upright, lower])
    assert tree is not None
    kept = [segment for sheet in tree.back_to_front((0.2, 0.1, 1)) for segment in sheet.lines]
    assert sum(math.dist(*segment) for segment in kept) == pytest.approx(28.0)


@pytest.mark.parametrize("hair", [0.0, 1e-13, -1e-13, 1e-6, -4e-4, 4e-4])
@pytest.mark.parametrize("corner", [10.0, 10.0005, 10.9375, 10.00049999999])
def test_crease_to_a_corner_property_meets_it_however_both_are_rounded(corner, hair):
    """A square is missing at one corner, as for boxing; two creases meet in the corner that is left, as good as."""
    ring = [(corner, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0), (0.0, corner), (corner, corner)]
    inner = (corner + hair, corner - hair)
    creases = [Crease(inner, (40.0, corner - hair), 90), Crease(inner, (corner + hair, 30.0), 90)]
    sheet = fold_sheet(ring, creases)
    assert len(sheet.facets) == 3
    assert [facet.normal for facet in sheet.facets].count((0.0, 0.0, 1.0)) == 1
