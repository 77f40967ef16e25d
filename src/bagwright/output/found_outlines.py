"""Outlines from a photo, drawn at true scale, so that they can be cut, printed or brought in as pieces."""

from __future__ import annotations

from collections.abc import Iterable

from bagwright.geometry.curves import Point
from bagwright.model.found_outline import FoundOutlines
from bagwright.output.drawing import Anchor, Drawing, Ink, Item, Path, Text, framed


def draw_found_outlines(found: FoundOutlines) -> Drawing:
    """All outlines as they lay, numbered; y runs up in them and down on paper."""
    items: list[Item] = []
    for outline in found.outlines:
        items += [Path(_on_paper(ring), Ink.CUT, closed=True) for ring in (outline.outer, *outline.holes)]
        low_x, low_y, high_x, high_y = outline.region.bounds
        middle = (low_x + high_x) / 2, -(low_y + high_y) / 2
        items.append(Text(middle, str(outline.number), 5.0, Anchor.MIDDLE))
    words = f"{len(found.outlines)} outlines at true scale"
    return framed(items, margin_mm=5.0, title="Outlines from a photo", description=words)


def _on_paper(ring: Iterable[Point]) -> tuple[Point, ...]:
    return tuple((x, -y) for x, y in ring)
