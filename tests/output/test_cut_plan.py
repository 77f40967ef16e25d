"""The page for the cutting table: everything stands on it, in letters that can be read, within the paper."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bagwright.cutting.keeping import keep_and_cut
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.remnants import laid_regions
from bagwright.model.cuts import CutWay
from bagwright.model.layout import LaySettings
from bagwright.model.material import MaterialKind
from bagwright.output.cut_columns import Line, SheetWords, set_lines
from bagwright.output.cut_plan import CutPlan, draw_cut_plan, draw_cut_sheet
from bagwright.output.drawing import Dot, Fill, Text, bounds_of, text_box
from bagwright.output.lettering import Weight
from bagwright.output.tiling import PAPER_MM, Paper
from bagwright.units import UnitSystem
from tests.cutting.requests import rectangles

MANY = rectangles(1100, [(400, 350, 5), (300, 120, 7), (900, 60, 4), (180, 180, 6)])


def plan():
    layout = lay_pieces(MANY, settings=LaySettings(seconds=0))
    remnants, cuts = keep_and_cut(
        laid_regions(MANY, layout.placements), length_mm=layout.length_mm + 200, width_mm=1100
    )
    return CutPlan(
        layout=layout,
        pieces=MANY.pieces,
        names={piece.id: f"Piece {piece.id}" for piece in MANY.pieces},
        kind=MaterialKind.PLAIN_CLOTH,
        table_length_mm=layout.length_mm + 200,
        cuts=cuts,
        remnants=remnants,
    )


def texts(drawing):
    return [item for item in drawing.items if isinstance(item, Text)]


def test_every_straight_cut_has_its_number_and_every_remnant_its_letter():
    drawn = plan()
    drawing = draw_cut_plan(drawn, units=UnitSystem.INCH)
    said = [text.text for text in texts(drawing)]
    straight = [str(n) for n, cut in enumerate(drawn.cuts, start=1) if cut.way is not CutWay.ROUND]
    assert set(straight) <= set(said)
    assert {f"R{n}" for n in range(1, len(drawn.remnants) + 1)} <= set(said)
    assert sum(isinstance(item, Dot) and item.fill is Fill.PAPER for item in drawing.items) == len(straight)


def test_no_number_of_a_cut_hides_a_corner_a_name_or_another_number():
    drawn = plan()
    items = draw_cut_plan(drawn, units=UnitSystem.INCH).items
    rings = [item for item in items if isinstance(item, Dot) and item.fill is Fill.PAPER]
    for number, ring in enumerate(rings):
        assert all(math.dist(ring.centre, one.centre) > ring.radius_mm + one.radius_mm for one in rings[:number])
    for name in (item for item in items if isinstance(item, Text) and item.text.startswith("Piece ")):
        (left, top), (right, bottom) = text_box(name)
        for ring in rings:
            x, y = ring.centre
            off = math.dist((x, y), (min(max(x, left), right), min(max(y, top), bottom)))
            assert off >= ring.radius_mm, (name.text, ring)


def test_a_fold_is_drawn_only_if_the_cloth_is_cut_double():
    drawn = plan()
    folded = replace(drawn, layout=replace(drawn.layout, doubled_to_mm=300.0))
    for is_doubled in (False, True):
        drawing = draw_cut_plan(replace(folded, is_doubled=is_doubled), units=UnitSystem.INCH)
        assert ("fold" in {text.text for text in texts(drawing)}) is is_doubled


def test_cloth_cut_double_is_told_to_be_drawn_opened():
    single, double = (
        {text.text for text in texts(draw_cut_plan(one, units=UnitSystem.METRIC))}
        for one in (plan(), replace(plan(), is_doubled=True))
    )
    assert len(double - single) == 1 and next(iter(double - single)).startswith("Drawn opened")


@pytest.mark.parametrize(("paper", "lines"), [("A4", 4), ("Letter", 15), ("A4", 400)])
def test_no_line_is_lost_and_none_is_too_small_to_read(paper, lines):
    words = SheetWords(
        title="Harbour tote: canvas",
        under_title="1 bag.",
        pieces=[("2 ×", "Front panel, 18 × 11 in")],
        before=["Square the cut end."],
        cuts=[
            (str(n), f"Along, line{n} from the selvedge and so many words that it needs two lines.")
            for n in range(lines)
        ],
        left=[("R1", "18 x 11 in")],
        cautions=["Cut away from yourself."],
    )
    pages = draw_cut_sheet(plan(), words, paper=paper, units=UnitSystem.METRIC)
    said = " ".join(text.text for page in pages for text in texts(page))
    assert all(f"line{n} " in f"{said} " for n in range(lines))
    assert "Cut away" in said and "18 x 11 in" in said and "Front panel, 18 × 11 in" in said
    wide, high = PAPER_MM[Paper.called(paper)]
    for page in pages:
        left, top, right, bottom = bounds_of(page.items)
        assert left >= 5 and top >= 5 and right <= wide - 5 and bottom <= high - 5
    column = [text for page in pages for text in texts(page) if "line" in text.text]
    assert min(text.size_mm for text in column) >= 2.4
    assert len(pages) == 1 or lines == 400


@pytest.mark.parametrize("entries", range(1, 60))
def test_a_sentence_stays_in_one_column_and_a_heading_with_what_it_heads(entries):
    """Each entry takes two lines: the second stands right under the first, wherever columns end."""
    lines = [Line("Cut", Weight.STRONG)]
    for number in range(entries):
        lines += [Line(f"a{number}", lead=str(number)), Line(f"b{number}", goes_on=True)]
    lines += [Line(""), Line("Left", Weight.STRONG), Line("c0")]
    items, rest = set_lines(lines, (0.0, 0.0), (180.0, 120.0), (2.4, 3))
    places = {item.text: item.at for item in items if isinstance(item, Text)}
    assert not rest or entries > 40
    pairs = [(f"a{number}", f"b{number}") for number in range(entries)] + [("Left", "c0"), ("Cut", "a0")]
    for one, other in pairs:
        if other in places:
            assert places[one][0] == places[other][0]
            assert places[other][1] - places[one][1] == pytest.approx(2.4 * 1.35)
    assert {one.text for one in lines if one.text} == set(places) - {str(n) for n in range(entries)} | {
        one.text for one in rest if one.text
    }
