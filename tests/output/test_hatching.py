"""Hatches: one for each kind, told apart without colour, and the same in every writer."""

from __future__ import annotations

import io
import itertools

import pdfplumber
import pytest

from bagwright.model.material import MaterialKind
from bagwright.output.drawing import Drawing, Hatch, Ink, Text, rectangle
from bagwright.output.hatching import LETTERS, TILES, draw_swatch, tile_origins
from bagwright.output.pdf import drawings_pdf


def test_every_kind_has_a_hatch_and_a_letter_of_its_own():
    assert set(TILES) == set(LETTERS) == set(MaterialKind)
    assert len(set(LETTERS.values())) == len(MaterialKind)
    assert len({(tile.strokes, tile.dots, tile.rings) for tile in TILES.values()}) == len(MaterialKind)


@pytest.mark.parametrize("kind", list(MaterialKind))
def test_hatch_stays_within_its_tile_property(kind):
    """What leaves a tile would be cut off in SVG, where patterns clip, but not in PDF."""
    tile = TILES[kind]
    points = list(itertools.chain.from_iterable(tile.strokes))
    assert all(0 <= x <= tile.width_mm and 0 <= y <= tile.height_mm for x, y in points)
    for x, y, r in (*tile.dots, *tile.rings):
        assert r <= x <= tile.width_mm - r
        assert r <= y <= tile.height_mm - r


@pytest.mark.parametrize("kind", list(MaterialKind))
def test_strokes_that_leave_a_tile_come_back_property(kind):
    """Every stroke end on one border has a partner straight across on the opposite border."""
    tile = TILES[kind]
    ends = [end for stroke in tile.strokes for end in (stroke[0], stroke[-1])]

    def on_border(x, y):
        return x in (0, tile.width_mm) or y in (0, tile.height_mm)

    for x, y in (end for end in ends if on_border(*end)):
        across = [(tile.width_mm - x if x in (0, tile.width_mm) else x, y)] if x in (0, tile.width_mm) else []
        across += [(x, tile.height_mm - y)] if y in (0, tile.height_mm) else []
        corner = (tile.width_mm - x, tile.height_mm - y)
        assert any(partner in ends for partner in (*across, corner))


def test_tiles_cover_the_box_property():
    tile = TILES[MaterialKind.FOAM]
    origins = list(tile_origins(tile, (-7.0, 3.0), (21.0, 18.0)))
    assert min(x for x, _ in origins) <= -7.0
    assert max(x for x, _ in origins) + tile.width_mm >= 21.0
    assert min(y for _, y in origins) <= 3.0
    assert max(y for _, y in origins) + tile.height_mm >= 18.0
    assert len(origins) == len(set(origins))


def test_swatch_shows_the_hatch_and_the_letter_of_its_kind():
    swatch = draw_swatch(MaterialKind.FELT)
    assert [item.text for item in swatch.items if isinstance(item, Text)] == ["E"]
    assert any(getattr(item, "fill", None) == Hatch(MaterialKind.FELT) for item in swatch.items)


def test_hatches_print_in_greys_only():
    swatches = [
        rectangle((5, 5 + 12 * i), (45, 15 + 12 * i), Ink.OUTLINE, Hatch(kind)) for i, kind in enumerate(MaterialKind)
    ]
    drawing = Drawing(50, 180, tuple(swatches), "Hatches", "")
    with pdfplumber.open(io.BytesIO(drawings_pdf([drawing], paper="A4", title="Hatches"))) as pdf:
        page = pdf.pages[0]
        spaces = {s["non_stroking_color"] if s["fill"] else s["stroking_color"] for s in page.curves + page.lines}
        shapes = len(page.curves) + len(page.lines)
    assert shapes > 100
    # One number is a grey (ISO 32000-1, 8.6.4.2); three must be equal.
    colours = [colour if isinstance(colour, tuple) else (colour,) for colour in spaces]
    assert all(len(set(colour)) == 1 for colour in colours)
