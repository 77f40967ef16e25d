"""Paper templates in a photo, handed on as a drawing of pieces for a bag."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from bagwright.geometry.curves import Affine
from bagwright.model.found_outline import FoundOutline
from bagwright.output.found_outlines import draw_found_outlines
from bagwright.output.svg import svg_file
from bagwright.store.photos import load_photo
from bagwright.store.workroom import load_workroom
from bagwright.workflows.desk import Desk, load_shelf
from bagwright.workflows.own_changes import keep_drawing
from bagwright.workflows.scraps_of_photo import Texts, chosen_outlines, corrected, grain_told, longest_edge_deg

_APART_MM = 20.0
_UP_DEG = 90.0


def drawing_of_photo(desk: Desk, token: str, texts: Texts) -> str:
    """Hold the ticked outlines as a drawing that was brought, and give its token.

    Each is turned so that its grain runs up, or, where none is told, its longest straight edge lies level. Raises
    `FaultyInput`, `NotKept`.
    """
    with desk.store() as store:
        photo, shelf, workroom = load_photo(store, token), load_shelf(store), load_workroom(store)
    turned = []
    for one in chosen_outlines(photo, texts):
        outline, grain = corrected(one, texts, workroom), grain_told(one, texts, shelf)
        turned.append(_moved(outline, Affine(-longest_edge_deg(outline.outer) if grain is None else _UP_DEG - grain)))
    drawing = draw_found_outlines(replace(photo.found, outlines=tuple(_side_by_side(turned))))
    return keep_drawing(desk, photo.name, svg_file(drawing), "")


def _side_by_side(outlines: Iterable[FoundOutline]) -> Iterator[FoundOutline]:
    left = 0.0
    for one in outlines:
        low_x, low_y, high_x, _ = one.region.bounds
        yield _moved(one, Affine(shift=(left - low_x, -low_y)))
        left += high_x - low_x + _APART_MM


def _moved(outline: FoundOutline, move: Affine) -> FoundOutline:
    outer, *holes = (tuple(map(move.apply, ring)) for ring in (outline.outer, *outline.holes))
    return replace(outline, outer=outer, holes=tuple(holes))
