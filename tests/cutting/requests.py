"""Requests of all sorts for the tests of the cutting room."""

from __future__ import annotations

import math

from hypothesis import strategies as st

from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.piece import Mirror

_SIZES = st.integers(10, 380)


@st.composite
def _rings(draw) -> list[tuple[float, float]]:
    """A rectangle, an L, a boxed panel, a trapezium or a round, somewhere in the plane, at any turn or none."""
    a, b = draw(_SIZES), draw(_SIZES)
    cut = min(a, b) * draw(st.floats(0.1, 0.45))
    ring = draw(
        st.sampled_from(
            [
                [(0, 0), (a, 0), (a, b), (0, b)],
                [(0, 0), (a, 0), (a, cut), (cut, cut), (cut, b), (0, b)],
                [(cut, 0), (a - cut, 0), (a - cut, cut), (a, cut), (a, b), (0, b), (0, cut), (cut, cut)],
                [(cut, 0), (a - cut, 0), (a, b), (0, b)],
                [(a * math.cos(t) / 2, b * math.sin(t) / 2) for t in (i * math.tau / 24 for i in range(24))],
            ]
        )
    )
    angle = draw(st.sampled_from([0.0, 0.0, 0.3, 1.1]))
    dx, dy = draw(st.sampled_from([(0.0, 0.0), (-137.5, 1000.25)]))
    cos, sin = math.cos(angle), math.sin(angle)
    return [(cos * x - sin * y + dx, sin * x + cos * y + dy) for x, y in ring]


@st.composite
def lay_requests(draw) -> LayRequest:
    """Up to five pieces on a cloth that is wide enough for all of them."""
    pieces = []
    for number in range(draw(st.integers(1, 5))):
        mirror = draw(st.sampled_from(Mirror))
        count = draw(st.integers(1, 4)) * (2 if mirror is Mirror.PAIRS else 1)
        turns = draw(st.sampled_from([(0.0,), (0.0, 180.0), (0.0, 90.0, 180.0, 270.0), (30.0,), None]))
        region = Region.from_ring(draw(_rings()))
        pieces.append(LayPiece(id=f"p{number}", region=region, count=count, turns_deg=turns, mirror=mirror))
    gap = draw(st.sampled_from([0.0, 0.0, 3.0, 12.7]))
    return LayRequest(width_mm=draw(st.floats(560, 1500)), gap_mm=gap, pieces=tuple(pieces))


def rectangles(width_mm: float, sizes: list[tuple[float, float, int]]) -> LayRequest:
    """Rectangles (length, height, copies) that keep their turn."""
    pieces = tuple(
        LayPiece(id=f"r{i}", region=Region.rectangle((0, 0), (length, height)), count=count, turns_deg=(0.0,))
        for i, (length, height, count) in enumerate(sizes)
    )
    return LayRequest(width_mm=width_mm, pieces=pieces)
