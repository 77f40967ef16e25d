"""A straightened picture of the mat with the outlines found in it, numbered, to be set into a page."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from bagwright.geometry.curves import Point
from bagwright.model.found_outline import FoundOutline, FoundOutlines


def mat_picture_svg(found: FoundOutlines, href: str) -> str:
    """SVG in mm: the picture at that address, a dark line with a light one on it round each outline, its number."""
    (left, bottom), (right, top) = found.low, found.high
    width, height = right - left, top - bottom
    marks = "".join(_marked(outline, (left, top)) for outline in found.outlines)
    count = f"{len(found.outlines)} numbered outline{'' if len(found.outlines) == 1 else 's'}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="mat-picture" role="img" '
        f'viewBox="0 0 {width:.1f} {height:.1f}" '
        f'aria-label="The mat from above with {count}">'
        f'<image href="{escape(href)}" x="0" y="0" width="{width:.1f}" height="{height:.1f}"/>{marks}</svg>'
    )


def _marked(outline: FoundOutline, corner: Point) -> str:
    """Its lines, where it may be two scraps, its number. Its outer line can be dragged by script, see mat.js."""
    low_x, low_y, high_x, high_y = outline.region.bounds
    x, y = (low_x + high_x) / 2 - corner[0], corner[1] - (low_y + high_y) / 2
    touches = "".join(
        f'<circle cx="{touch.x_mm - corner[0]:.1f}" cy="{corner[1] - touch.y_mm:.1f}" r="7" fill="none" '
        f'stroke="#D9A441" stroke-width="2.5"/>'
        for touch in outline.touches
    )
    exact = ";".join(f"{px - low_x:.3f} {py - low_y:.3f}" for px, py in outline.outer)
    return (
        f'<g data-outline="{outline.number}" data-x="{low_x - corner[0]:.3f}" data-y="{corner[1] - low_y:.3f}" '
        f'data-corners="{exact}">'
        f"{_lines(_closed(outline.outer, corner))}</g>"
        f"{''.join(_lines(_closed(hole, corner)) for hole in outline.holes)}{touches}"
        f'<g class="outline-number"><circle data-px="9" cx="{x:.1f}" cy="{y:.1f}" r="9" fill="#111111"/>'
        f'<text data-px="12" x="{x:.1f}" y="{y:.1f}" dy=".35em" font-size="12" text-anchor="middle" fill="#ffffff">'
        f"{outline.number}</text></g>"
    )


def _lines(path: str) -> str:
    return "".join(
        f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{width}"/>'
        for colour, width in (("#111111", 3.2), ("#ffffff", 1.4))
    )


def _closed(ring: Iterable[Point], corner: Point) -> str:
    points = " ".join(f"{x - corner[0]:.2f},{corner[1] - y:.2f}" for x, y in ring)
    return f"M{points}Z"
