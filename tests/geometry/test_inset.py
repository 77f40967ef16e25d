"""Net lines from cut lines: the way back from the cut line, and what does not fit."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bagwright.errors import FaultyInput
from bagwright.geometry.corners import outline_of_run
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.inset import allowance_between, farthest_apart_mm, net_within
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import Edge, Outline, polygon_outline, rectangle_outline
from bagwright.geometry.region import Region
from tests.geometry.shapes import flap, rounded_front, scoop

SHAPES = [rounded_front(), flap(), scoop(), rectangle_outline(120, 80)]
widths = st.floats(2, 15).map(lambda width: round(width, 2))


def all_round(outline, width):
    return {edge.name: width for edge in outline.edges}


@given(st.sampled_from(SHAPES), widths)
def test_property_the_net_line_grown_again_is_the_cut_line(cut, width):
    net = net_within(cut, all_round(cut, width))
    # Two of the shapes bend right up to a corner, where a mitred cut line runs straight on.
    allowed = 3.0 if cut in (flap(), scoop()) else 0.02
    assert farthest_apart_mm(cut_region(net, all_round(net, width)), cut.region()) < allowed


@given(st.sampled_from(SHAPES), widths)
def test_net_line_agrees_with_a_mitred_buffer(cut, width):
    expected = Region(shapely.buffer(cut.region().shape, -width, join_style="mitre", mitre_limit=20))
    assert farthest_apart_mm(net_within(cut, all_round(cut, width)).region(), expected) < 0.02


@given(widths, widths, widths, widths)
def test_property_each_edge_keeps_its_own_allowance(bottom, right, top, left):
    by_edge = {"bottom": bottom, "right": right, "top": top, "left": left}
    net = net_within(rectangle_outline(100, 60), by_edge)
    assert [edge.name for edge in net.edges] == ["bottom", "right", "top", "left"]
    assert net.region().bounds == pytest.approx((left, bottom, 100 - right, 60 - top), abs=1e-6)


def test_boxed_corners_keep_all_eight_edges():
    corners = [(30, 0), (170, 0), (170, 30), (200, 30), (200, 150), (0, 150), (0, 30), (30, 30)]
    cut = polygon_outline((f"edge_{n}", corner) for n, corner in enumerate(corners, start=1))
    net = net_within(cut, all_round(cut, 10.0))
    lengths = {edge.name: round(edge.length_mm, 6) for edge in net.edges}
    # Between two outer corners 2 x 10 shorter, between an outer and an inner one as long as before.
    assert lengths == {
        **dict.fromkeys(("edge_2", "edge_3", "edge_7", "edge_8"), 30.0),
        "edge_1": 120.0,
        "edge_4": 100.0,
        "edge_5": 180.0,
        "edge_6": 100.0,
    }


def test_an_edge_split_in_its_middle_stays_split():
    corners = [("bottom_1", (0, 0)), ("bottom_2", (40, 0)), ("right", (100, 0)), ("top", (100, 60)), ("left", (0, 60))]
    net = net_within(polygon_outline(corners), dict.fromkeys(dict(corners), 10.0))
    assert [(edge.name, round(edge.length_mm, 6)) for edge in net.edges][:2] == [("bottom_1", 30), ("bottom_2", 50)]


def test_corners_cut_off_in_the_allowance_are_no_edges_of_the_net_line():
    corners = [(4, 0), (96, 0), (100, 4), (100, 56), (96, 60), (4, 60), (0, 56), (0, 4)]
    cut = polygon_outline((f"edge_{n}", corner) for n, corner in enumerate(corners, start=1))
    net = net_within(cut, all_round(cut, 10.0))
    assert [edge.name for edge in net.edges] == ["edge_1", "edge_3", "edge_5", "edge_7"]
    assert net.region().bounds == pytest.approx((10, 10, 90, 50), abs=1e-6)


def test_rounding_smaller_than_the_allowance_becomes_a_corner():
    cut = outline_of_run(
        (
            Line((0, 0), (92, 0)),
            Arc((92, 0), (92, 8), 90),
            Line((100, 8), (100, 60)),
            Line((100, 60), (0, 60)),
            Line((0, 60), (0, 0)),
        )
    )
    net = net_within(cut, all_round(cut, 10.0))
    assert net.area_mm2 == pytest.approx(80 * 40, abs=0.1)


@pytest.mark.parametrize(("width", "what"), [(30.0, "leaves nothing inside it"), (6.0, "cuts the piece into parts")])
def test_allowance_that_does_not_fit_rejects(width, what):
    waist = polygon_outline(
        (f"edge_{n}", corner)
        for n, corner in enumerate([(0, 0), (50, 25), (100, 0), (100, 60), (50, 35), (0, 60)], start=1)
    )
    with pytest.raises(FaultyInput) as refused:
        net_within(waist, all_round(waist, width))
    (problem,) = refused.value.problems
    assert (problem.place, problem.value, problem.what) == ("allowance_mm", f"{width:g} mm", what)


def test_allowance_that_cuts_an_edge_in_two_rejects():
    arch = Outline(
        (
            Edge("brim", (Line((0, 0), (200, 0)),)),
            Edge(
                "rest",
                (
                    Line((200, 0), (200, 80)),
                    Line((200, 80), (100, 12)),
                    Line((100, 12), (0, 80)),
                    Line((0, 80), (0, 0)),
                ),
            ),
        )
    )
    with pytest.raises(FaultyInput) as refused:
        net_within(arch, {"brim": 0.0, "rest": 14.0})
    assert refused.value.problems


@pytest.mark.parametrize("shape", SHAPES[:3])
def test_allowance_between_agrees_with_what_was_added(shape):
    by_edge = {edge.name: 6.0 + 2 * n for n, edge in enumerate(shape.edges)}
    cut = cut_region(shape, by_edge)
    for edge in shape.edges:
        middle, spread = allowance_between(edge, cut)
        assert middle == pytest.approx(by_edge[edge.name], abs=0.01)
        assert spread < 3.0


def test_allowance_that_varies_is_told_by_its_spread():
    wedge = Region.from_ring([(-10, -10), (110, -20), (110, 70), (-10, 70)])
    _, spread = allowance_between(rectangle_outline(100, 60).edge("bottom"), wedge)
    assert spread > 4
