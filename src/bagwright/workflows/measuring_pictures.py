"""Pictures of the tests at the kitchen table, as SVG to be set into a page."""

from __future__ import annotations

from bagwright.output.ruler_test import draw_ruler_test, draw_test_strips
from bagwright.output.svg import inline_svg


def ruler_test_picture(angle_deg: float) -> str:
    """How the strip is slid over the edge onto a slope of that angle."""
    return inline_svg(draw_ruler_test(angle_deg), id_prefix="ruler-test")


def strips_picture() -> str:
    """How strips are cut from the cloth."""
    return inline_svg(draw_test_strips(), id_prefix="test-strips")
