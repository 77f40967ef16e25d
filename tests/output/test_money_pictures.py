"""The price as a strip and what moves it as bars: to scale, with words beside every part that do not touch."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.model.material import MaterialKind
from bagwright.output.drawing import Drawing, Ink, Path, Text, Window, text_box
from bagwright.output.money_strip import StripPart, draw_money_strip, spread_out
from bagwright.output.strokes import Strokes
from bagwright.output.svg import inline_svg
from bagwright.output.swing_bars import SwingBar, draw_swing_bars

PARTS = (
    StripPart(name="Market", amount="$3.00", share=0.06, fill=Strokes.FALLING),
    StripPart(name="Canvas", amount="$20.00", share=0.4, fill=MaterialKind.BOTTOM_WEIGHT, group="materials $22.00"),
    StripPart(name="Lawn " * 20, amount="$2.00", share=0.04, fill=MaterialKind.PLAIN_CLOTH, group="materials $22.00"),
    StripPart(name="Time", amount="$25.00", share=0.5, fill=Strokes.FULL),
)


def outlined(drawing: Drawing) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of every rectangle that is drawn round."""
    found = [one for one in drawing.items if isinstance(one, Path) and one.ink is Ink.OUTLINE and one.closed]
    return [(min(xs), min(ys), max(xs), max(ys)) for xs, ys in (tuple(zip(*one.points, strict=True)) for one in found)]


def words(drawing: Drawing) -> list[Text]:
    return [one for one in drawing.items if isinstance(one, Text)]


def test_parts_are_as_high_as_their_shares_and_each_has_its_words():
    drawing = draw_money_strip(PARTS, price="$50.00")
    heights = [bottom - top for _, top, _, bottom in outlined(drawing)]
    assert [one / sum(heights) for one in heights] == pytest.approx([part.share for part in PARTS])
    told = [one.text for one in words(drawing)]
    assert {"Market", "$3.00", "Canvas", "$20.00", "Time", "$25.00", "materials $22.00"} <= set(told)
    assert any(one.startswith("Lawn") and one.endswith("…") for one in told)
    assert "the price ends here" not in told
    assert "Canvas $20.00" in drawing.description
    assert all(text_box(one)[1][0] <= drawing.width_mm for one in words(drawing) if not one.turn_deg)


def test_a_price_that_does_not_reach_ends_at_its_share_of_the_strip():
    drawing = draw_money_strip(PARTS, price="$30.00", covered_share=0.6)
    boxes = outlined(drawing)
    top, bottom = boxes[0][1], boxes[-1][3]
    (mark,) = [one for one in drawing.items if isinstance(one, Path) and one.ink is Ink.ATTENTION]
    assert mark.points[0][1] == pytest.approx(top + 0.6 * (bottom - top))
    assert "the price ends here" in [one.text for one in words(drawing)]
    assert "60%" in drawing.description


@given(st.lists(st.floats(0, 100), max_size=15).map(sorted))
def test_property_labels_keep_apart_and_in_their_order(wanted):
    places = spread_out(wanted, 5.0, 100.0)
    assert all(later - earlier >= 5 - 1e-9 for earlier, later in itertools.pairwise(places))
    assert all(2.5 - 1e-9 <= one <= 97.5 + 1e-9 for one in places)


def test_bars_are_as_long_as_what_they_move_on_the_side_they_move_it_to():
    bars = (
        SwingBar(name="Sew", down=-4.0, up=8.0, down_said="−$4.00", up_said="$8.00"),
        SwingBar(name="Length", down=-2.0, up=0.0, down_said="−$2.00", up_said=""),
    )
    drawing = draw_swing_bars(bars, total="Your hour earns", now="$18.00", up_is_better=True)
    boxes = outlined(drawing)
    widths = [right - left for left, _, right, _ in boxes]
    assert [one / widths[1] for one in widths] == pytest.approx([0.5, 1.0, 0.25])
    middle = boxes[0][2]
    assert [boxes[1][0], boxes[2][2]] == pytest.approx([middle, middle])
    struck = [one.low[0] for one in drawing.items if isinstance(one, Window)]
    assert struck == pytest.approx([boxes[0][0], boxes[2][0]])  # the worse side only
    assert {"Sew", "−$4.00", "$8.00", "Length", "−$2.00"} <= {one.text for one in words(drawing)}


def test_every_way_of_striking_stays_inside_and_tells_apart():
    shapes = set()
    for strokes in Strokes:
        part = StripPart(name="x", amount="$1", share=1.0, fill=strokes)
        drawing = draw_money_strip((part,), price="$1")
        svg = inline_svg(drawing, id_prefix="strip")
        shapes.add(svg)
        ((left, top, right, bottom),) = outlined(drawing)
        for window in (one for one in drawing.items if isinstance(one, Window)):
            assert (*window.low, *window.high) == pytest.approx((left, top, right, bottom))
    assert len(shapes) == len(Strokes)
