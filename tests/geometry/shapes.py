"""Invented outlines for the tests of the geometry room."""

from __future__ import annotations

import math

from hypothesis import strategies as st

from bagwright.geometry.curves import Affine, Arc, Cubic, Line
from bagwright.geometry.outline import Edge, Outline, polygon_outline, rectangle_outline

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
