"""`bagwright covers`: every fault at once, and words that say what is left and why."""

from __future__ import annotations

import json

import pytest

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.tell_covers import covers_as_json, covers_in_words, covers_of_file

SQUARE = [[0, 0], [100, 0], [100, 100], [0, 100]]
HALF = [[0, 0], [100, 0], [100, 50], [0, 50]]


def told(**changed):
    words: dict[str, object] = {
        "templates": [{"id": "base", "need": SQUARE, "count": 2}],
        "scraps": [{"id": name, "outline": HALF, "grain_deg": 0} for name in ("a", "b", "c")],
        "seconds": 0,
    }
    return covers_of_file(json.dumps(words | changed).encode())


def test_two_halves_cover_one_copy_and_the_other_is_bought():
    found = told()
    answer = json.loads(json.dumps(covers_as_json(found)))
    assert [one["template"] for one in answer["covers"]] == ["base"]
    assert answer["left"] == [{"template": "base", "count": 1, "best_share": 1.0}]
    assert "the scraps do not go round" in covers_in_words(found, UnitSystem.METRIC)


def test_every_fault_is_told_at_once():
    small = {"id": "x", "need": [[0, 0], [5, 0], [5, 5], [0, 5]]}
    with pytest.raises(FaultyInput) as fault:
        told(templates=[small, {**small, "id": "y"}])
    assert [one.place for one in fault.value.problems] == ["templates[0].need", "templates[1].need"]
    with pytest.raises(FaultyInput) as fault:
        told(templates=[small, small])
    assert [one.place for one in fault.value.problems] == ["templates[0].id", "templates[1].id"]
    with pytest.raises(FaultyInput) as fault:
        told(templates=[small], scraps=[{"id": "a", "outline": HALF}])
    assert fault.value.problems[0].place == "scraps[0].grain_deg"
