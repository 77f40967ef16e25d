"""Lines drawn on a piece: each at true scale, and only those that can be told apart on a small sheet."""

import math

import pytest

from bagwright.drafting.forms import draft_bag
from bagwright.geometry.region import Region
from bagwright.model.piece import Piece
from bagwright.output.drawing import Ink, Item, Path, Text
from bagwright.output.piece_lines import Frame
from bagwright.output.piece_marks import mark_items

EVERYWHERE = Region.rectangle((-1000.0, -1000.0), (1000.0, 1000.0))


@pytest.fixture(name="bag")
def bag_of_a_zip_pocket() -> Piece:
    """Window, stitching 3 mm round it, five cuts, a fold."""
    return draft_bag("boxed_tote", {"zip_pocket": 1.0}).piece("zip_pocket_bag")


def lines_of(items: list[Item]) -> list[Path]:
    return [item for item in items if isinstance(item, Path) and item.ink is Ink.MARK]


def test_template_property_shows_every_line(bag):
    assert len(lines_of(mark_items(bag, Frame(), EVERYWHERE))) == len(bag.lines) == 14


@pytest.mark.parametrize("reduction", [8.0, 12.0, 15.0])
def test_small_sheet_property_draws_no_two_lines_on_one_another(bag, reduction):
    items = mark_items(bag, Frame(reduction), EVERYWHERE)
    drawn = [path.points for path in lines_of(items)]
    assert len(drawn) < len(bag.lines)
    for i, (a, b) in enumerate(drawn):
        for p, q in drawn[:i]:
            assert min(max(math.dist(a, p), math.dist(b, q)), max(math.dist(a, q), math.dist(b, p))) >= 0.7
    told = [item.text for item in items if isinstance(item, Text)]
    assert "window" in told
    assert "zip" not in told
