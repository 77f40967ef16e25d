"""Shapes that bags are made of: lengths and corners worked out from first principles, and one found figure."""

from __future__ import annotations

import math

import pytest

from bagwright.drafting.forms import draft_bag
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import Edge, Outline, polygon_outline


def _rounded(width: float, height: float, radius: float) -> Outline:
    """A rectangle with four round corners; edge "sides" leaves out the top and the two upper corners."""
    w, h, r = width, height, radius
    left = Line((0, h - r), (0, r))
    low_left, low_right = Arc((0, r), (r, r), 90), Arc((w - r, 0), (w - r, r), 90)
    bottom, right = Line((r, 0), (w - r, 0)), Line((w, r), (w, h - r))
    high_right, high_left = Arc((w, h - r), (w - r, h - r), 90), Arc((r, h), (r, h - r), 90)
    top = Line((w - r, h), (r, h))
    return Outline(
        (Edge("sides", (left, low_left, bottom, low_right, right)), Edge("lid", (high_right, top, high_left)))
    )


def test_gusset_all_round_matches_derived_length():
    # Derived: 2 (w + h) - 8 r + 2 pi r; 30 x 20 with r 5: 91.416.
    assert _rounded(30, 20, 5).length_mm == pytest.approx(91.416, abs=0.0005)


def test_gusset_of_three_sides_matches_derived_length():
    # Derived: 2 h + w - 4 r + pi r; 30 x 20 with r 5: 65.708. The upper corners are square there, so add their r.
    assert _rounded(30, 20, 5).edge("sides").length_mm + 2 * 5 == pytest.approx(65.708, abs=0.0005)


def test_circle_matches_derived_strip():
    # Derived: a cylinder of d 20 needs a strip of pi d = 62.832 before allowances; with 1 on each side 64.832.
    circle = Outline((Edge("rim", (Arc((20, 10), (10, 10), 180), Arc((0, 10), (10, 10), 180))),))
    assert circle.length_mm == pytest.approx(62.832, abs=0.0005)
    assert circle.length_mm + 2 * 1 == pytest.approx(64.832, abs=0.0005)
    base = cut_region(circle, {"rim": 1})
    assert base.width_mm / 2 == pytest.approx(20 / 2 + 1, abs=0.002)


@pytest.mark.parametrize("corner_deg", [45, 60, 90, 120, 160])
def test_mitre_matches_sine_rule(corner_deg):
    # Derived: the seam runs s / sin(angle / 2) from the corner; at 90 degrees 1.41421 s.
    half, s = math.radians(corner_deg / 2), 8.0
    x, y = 100 * math.cos(half), 100 * math.sin(half)
    net = polygon_outline([("low", (0, 0)), ("far", (x, -y)), ("high", (x, y))])
    reach = -cut_region(net, {"low": s, "far": s, "high": s}).bounds[0]
    assert reach == pytest.approx(s / math.sin(half))
    if corner_deg == 90:
        assert reach == pytest.approx(1.41421 * s, abs=0.00001 * s)


def _boxed_net(width: float, height: float, depth: float) -> Outline:
    """Net panel whose finished bag measures width x height x depth: half the depth is cut out of each lower corner."""
    half = depth / 2
    return polygon_outline(
        [
            ("bottom", (half, 0)),
            ("right box", (width + half, 0)),
            ("right ledge", (width + half, half)),
            ("right", (width + depth, half)),
            ("top", (width + depth, height + half)),
            ("left", (0, height + half)),
            ("left ledge", (0, half)),
            ("left box", (half, half)),
        ]
    )


@pytest.mark.parametrize(("side", "box"), [(0.5, 0.5), (0.5, 0.25), (0.25, 0.5)])
def test_boxed_corner_square_matches_derived_rule(side, box):
    # Derived: a square of q from the raw edges gives the depth D = 2 (q - side allowance + box allowance).
    # Found (sewshare.com): a 2 in square gives a 4 in base, which is the rule with equal allowances.
    net = _boxed_net(11, 11.5, 4)
    widths = {edge.name: box if "box" in edge.name or "ledge" in edge.name else side for edge in net.edges}
    cut = cut_region(net, {**widths, "top": 0.0})
    low_x, low_y, *_ = cut.bounds
    off_the_edges = [p for p in cut.outer_ring() if p[0] > low_x + 1e-6 and p[1] > low_y + 1e-6]
    inner = min(off_the_edges, key=lambda p: math.dist(p, (low_x, low_y)))
    q = inner[0] - low_x
    assert inner[1] - low_y == pytest.approx(q)
    assert 2 * (q - side + box) == pytest.approx(4)
    if side == box:
        assert q == pytest.approx(2)


def test_boxed_corner_raw_panel_matches_derived_size():
    # Derived: W 16, H 14, s 0.5, D 4 in: finished width W - 2 s - D = 11, height H - s - D / 2 = 11.5 less the top's.
    cut = cut_region(_boxed_net(11, 11.5, 4), {e.name: 0.5 for e in _boxed_net(11, 11.5, 4).edges if e.name != "top"})
    assert (cut.width_mm, cut.height_mm) == pytest.approx((16, 14))


def test_gusset_of_a_drafted_bag_matches_derived_length():
    # Derived: 2 h + w - 4 r + pi r, with w 300, h 200, r 50 mm: 657.08.
    sizes = {"width_mm": 300.0, "height_mm": 200.0, "corner_radius_mm": 50.0}
    gusset = draft_bag("gusset_bag", sizes).piece("gusset")
    assert gusset.edge("front").length_mm == pytest.approx(657.08, abs=0.005)


def test_bucket_matches_derived_strip():
    # Derived: strip = pi d + 2 s, base radius d / 2 + s; d 200, s 10 mm: 628.32 net. The wall is two halves, each with
    # s at both ends, so the two seams take 4 s where one would take 2 s.
    pattern = draft_bag("bucket_bag", {"diameter_mm": 200.0, "seam_allowance_mm": 10.0})
    wall, base = pattern.piece("outer"), pattern.piece("base")
    assert 2 * wall.edge("bottom").length_mm == pytest.approx(628.32, abs=0.005)
    assert 2 * wall.region().width_mm == pytest.approx(628.32 + 4 * 10, abs=0.01)
    assert base.region().width_mm / 2 == pytest.approx(110, abs=0.01)
