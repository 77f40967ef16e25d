"""`bagwright today`: whole pieces first, then what the other scraps cover; every fault at once."""

from __future__ import annotations

import json

import pytest

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.tell_today import today_as_json, today_in_words, today_of_file


def box(width: float, height: float) -> list[list[float]]:
    return [[0, 0], [width, 0], [width, height], [0, height]]


def asked(**changes: object) -> bytes:
    side = {"id": "side", "material": "felt", "need": box(100, 80), "count": 4, "may_be_pieced": True}
    outer = {"id": "outer", "material": "canvas", "need": box(100, 80), "count": 2}
    scraps = [
        {"id": "large", "material": "felt", "outline": box(101, 162), "grain_deg": 0},
        {"id": "a", "material": "felt", "outline": box(100, 40), "grain_deg": 0},
        {"id": "b", "material": "felt", "outline": box(100, 40), "grain_deg": 0},
        {"id": "strip", "material": "canvas", "outline": box(300, 50), "grain_deg": 0},
    ]
    words = {"bags": [{"id": "tray", "pieces": [side, outer]}], "scraps": scraps, "seconds": 0}
    return json.dumps(words | changes).encode()


def test_whole_pieces_first_then_covers_then_new():
    """By hand: 101 x 162 holds two of 100 x 80, a and b make one more, the fourth is bought; a strip holds no outer."""
    (bag,) = today_of_file(asked())
    assert bag.whole_of("side") == ["large", "large"] and bag.left_of("side") == 1
    (cover,) = bag.covers[0].covers
    assert sorted(cover.scrap_ids) == ["a", "b"] and cover.cover.measures.covered_share == pytest.approx(1)
    assert bag.whole_of("outer") == [] and bag.left_of("outer") == 2
    told = today_as_json((bag,))
    assert json.loads(json.dumps(told)) == told
    words = today_in_words((bag,), UnitSystem.METRIC)
    assert "tray, side: 2 whole out of large; 1 pieced from a, b; 1 of new material." in words.replace("b, a", "a, b")


def test_rejects_twins_and_needs_that_are_all_hole():
    twins = [{"id": "tray", "pieces": [{"id": "s", "material": "felt", "need": box(9, 9)}]}] * 2
    with pytest.raises(FaultyInput) as fault:
        today_of_file(asked(bags=twins))
    assert {one.place for one in fault.value.problems} == {"bags[0].id", "bags[1].id"}
    small = {"id": "tray", "pieces": [{"id": "s", "material": "felt", "need": box(9, 9)}]}
    with pytest.raises(FaultyInput) as fault:
        today_of_file(asked(bags=[small]))
    assert [one.place for one in fault.value.problems] == ["bags[0].pieces[0].need"]
