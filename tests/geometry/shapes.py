"""Invented outlines for the tests of the geometry room."""

from __future__ import annotations

import math

from hypothesis import reject
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine, Arc, Cubic, Curve, Line, Point
from bagwright.geometry.outline import Edge, Outline, polygon_outline, rectangle_outline
from bagwright.geometry.region import Region

TURNS = st.floats(-360, 360).map(lambda turn: round(turn, 2))
MOVES = st.builds(
    Affine,
    turn_deg=TURNS,
    shift=st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
    mirrors=st.booleans(),
)


def rounded_front(width_mm: float = 300, height_mm: float = 240, radius_mm: float = 40) -> Outline:
    """A rectangle whose lower corners are round."""
    w, h, r = width_mm, height_mm, radius_mm
    foot = (Arc((0, r), (r, r), 90), Line((r, 0), (w - r, 0)), Arc((w - r, 0), (w - r, r), 90))
    return Outline(
        (
            Edge("foot", foot),
            Edge("right", (Line((w, r), (w, h)),)),
            Edge("top", (Line((w, h), (0, h)),)),
            Edge("left", (Line((0, h), (0, r)),)),
        )
    )


def flap() -> Outline:
    """Straight at the top, a wave of two cubics below: one bulges out, one hollows in."""
    return Outline(
        (
            Edge(
                "wave",
                (
                    Cubic((0, 0), (30, -60), (80, -60), (120, -10)),
                    Cubic((120, -10), (160, 40), (200, 30), (240, 0)),
                ),
            ),
            Edge("right", (Line((240, 0), (240, 90)),)),
            Edge("top", (Line((240, 90), (0, 90)),)),
            Edge("left", (Line((0, 90), (0, 0)),)),
        )
    )


def scoop() -> Outline:
    """A rectangle with a round opening hollowed out of its top."""
    return Outline(
        (
            Edge("bottom", (Line((0, 0), (200, 0)),)),
            Edge("right", (Line((200, 0), (200, 150)),)),
            Edge("brim", (Line((200, 150), (160, 150)),)),
            Edge("mouth", (Arc((160, 150), (100, 150), -180),)),
            Edge("other brim", (Line((40, 150), (0, 150)),)),
            Edge("left", (Line((0, 150), (0, 0)),)),
        )
    )


def dart(half_mm: float = 10) -> Outline:
    """A rectangle with a deep dart in its top, its sides cubic."""
    h = half_mm
    down = Cubic((50 + h, 100), (50 + h * 0.8, 80), (50 + h * 0.5, 50), (50, 20))
    up = Cubic((50, 20), (50 - h * 0.5, 50), (50 - h * 0.8, 80), (50 - h, 100))
    return Outline(
        (
            Edge("bottom", (Line((0, 0), (100, 0)),)),
            Edge("right", (Line((100, 0), (100, 100)),)),
            Edge("top", (Line((100, 100), (50 + h, 100)),)),
            Edge("down", (down,)),
            Edge("up", (up,)),
            Edge("other top", (Line((50 - h, 100), (0, 100)),)),
            Edge("left", (Line((0, 100), (0, 0)),)),
        )
    )


def notched_rectangle() -> Outline:
    """A rectangle with both lower corners cut out, as for a boxed corner; straight edges, two hollow corners."""
    return polygon_outline(
        [
            ("bottom", (40, 0)),
            ("right box", (200, 0)),
            ("right ledge", (200, 40)),
            ("right", (240, 40)),
            ("top", (240, 200)),
            ("left", (0, 200)),
            ("left ledge", (0, 40)),
            ("left box", (40, 40)),
        ]
    )


OUTLINES = {
    "rectangle": rectangle_outline(120, 80),
    "notched": notched_rectangle(),
    "rounded": rounded_front(),
    "flap": flap(),
    "scoop": scoop(),
    "dart": dart(),
}


@st.composite
def polygons(draw: st.DrawFn) -> Outline:
    """Polygons around the origin, corners in order of angle; no gap reaches half a turn."""
    count = draw(st.integers(3, 9))
    gaps = [draw(st.floats(0.7, 1.3)) for _ in range(count)]
    whole = sum(gaps)
    corners, angle = [], 0.0
    for i, gap in enumerate(gaps):
        reach = draw(st.floats(60, 160))
        corners.append((f"edge {i}", (reach * math.cos(angle), reach * math.sin(angle))))
        angle += 2 * math.pi * gap / whole
    return polygon_outline(corners)


@st.composite
def curved_outlines(draw: st.DrawFn) -> Outline:
    """Outlines as forms and makers draw them, hollow, curved, neither or both; often not simple."""
    corners = draw(st.one_of(_stars(), _steps()))
    edges = []
    for i, (a, b) in enumerate(zip(corners, corners[1:] + corners[:1], strict=True)):
        sweep = draw(st.sampled_from([0, 0, 0, 20, 90, 180, -15, -60, -150]))
        edges.append(Edge(f"edge {i}", (bowed(a, b, sweep),)))
    try:
        outline = Outline(tuple(edges))
    except BrokenPromise:
        reject()
    return outline.moved(Affine(draw(st.sampled_from([0.0, 0.0, 90.0, 33.0])), mirrors=draw(st.booleans())))


def bowed(start: Point, end: Point, sweep_deg: float) -> Curve:
    """From start to end by an arc of that sweep."""
    if sweep_deg == 0:
        return Line(start, end)
    across = 1 / (2 * math.tan(math.radians(sweep_deg) / 2))
    dx, dy = end[0] - start[0], end[1] - start[1]
    return Arc(start, ((start[0] + end[0]) / 2 - dy * across, (start[1] + end[1]) / 2 + dx * across), sweep_deg)


@st.composite
def _stars(draw: st.DrawFn) -> list[Point]:
    reaches = draw(st.lists(st.integers(30, 160), min_size=3, max_size=9))
    step = math.tau / len(reaches)
    return [(reach * math.cos(i * step), reach * math.sin(i * step)) for i, reach in enumerate(reaches)]


@st.composite
def _steps(draw: st.DrawFn) -> list[Point]:
    """A block with boxed corners below and a slot in its top."""
    wide, high = draw(st.integers(120, 300)), draw(st.integers(100, 300))
    box, deep, half = draw(st.integers(2, 50)), draw(st.integers(2, 60)), draw(st.integers(1, 30))
    middle = wide / 2
    below = [(box, 0.0), (wide - box, 0.0), (wide - box, box), (wide, box), (wide, high)]
    slot = [(middle + half, high), (middle + half, high - deep), (middle - half, high - deep), (middle - half, high)]
    return [(float(x), float(y)) for x, y in (*below, *slot, (0, high), (0, box), (box, box))]


@st.composite
def star_regions(draw: st.DrawFn) -> Region:
    """A ring around the origin, far from convex."""
    far = draw(st.lists(st.floats(5, 30), min_size=4, max_size=14))
    return Region.from_ring(
        [(r * math.cos(i * math.tau / len(far)), r * math.sin(i * math.tau / len(far))) for i, r in enumerate(far)]
    )
