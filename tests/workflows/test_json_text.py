"""JSON text before any contract reads it."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.errors import FaultyInput
from bagwright.workflows.json_text import MOST_NAMES, opened, place_of, shown

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


@given(value=VALUES.filter(lambda value: value != ""))
def test_property_sound_text_is_seen_whole(value):
    seen = opened(json.dumps(value).encode())
    assert seen.tree == value
    assert seen.repeats == ()


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ('{"a": 1, "a": 2}', ["a"]),
        ('{"a": 1, "b": 1, "a": 2, "b": 3, "a": 4}', ["a", "b"]),
        ('{"x": [{"a": 1}, {"a": 1, "a": 1}], "y": {"a": 1}}', ["x[1].a"]),
        ('{"x": {"a": 1, "a": 1}, "x": {"a": 1, "b": 2, "b": 1}}', ["x", "x.b"]),
        ('[[{"": 1, "": 2}]]', ["[0][0]."]),
    ],
)
def test_names_given_twice_are_found_where_they_stand(text, places):
    assert [problem.place for problem in opened(text.encode()).repeats] == places


def test_rejects_what_is_not_utf_8_and_names_the_line():
    with pytest.raises(FaultyInput, match="line 3"):
        opened(b'{\n"a":\n"\xe9"}')


def test_rejects_more_names_than_the_limit_and_takes_as_many():
    def text(count):
        return ("{" + ",".join(f'"{number}":0' for number in range(count)) + "}").encode()

    assert opened(text(MOST_NAMES)).tree is not None
    with pytest.raises(FaultyInput, match="more than 50000 fields"):
        opened(text(MOST_NAMES + 1))


@pytest.mark.parametrize("text", [b"[", b"[" * 100_000, b'{"a": 9' + b"9" * 9000 + b"}", b'{"a" 1}'])
def test_text_that_is_not_json_is_left_to_the_contract(text):
    assert opened(text).repeats == ()


def test_places_read_like_paths():
    assert place_of([]) == ""
    assert place_of(["pieces", 0, "outline", 2, 1]) == "pieces[0].outline[2][1]"


@given(value=VALUES | st.floats())
def test_property_values_are_shown_short(value):
    assert len(shown(value)) <= 63
