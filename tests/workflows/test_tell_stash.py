"""`bagwright stash`: what it takes, what it refuses, and that what fits does fit."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon, box

from bagwright.errors import FaultyInput
from bagwright.model.stash import StashPiece
from bagwright.units import UnitSystem
from bagwright.workflows.stash_finding import can_cut
from bagwright.workflows.tell_stash import stash_as_file, stash_as_json, stash_in_words, stash_of_file

STRIP_RING = [(0, 0), (900, 0), (900, 120), (0, 120)]
STRIP = {"id": "strip", "outline": [[0, 0], [900, 0], [900, 120], [0, 120]], "grain_deg": 0}
ELL = {"id": "ell", "outline": [[0, 0], [500, 0], [500, 220], [300, 220], [300, 400], [0, 400]], "bin": "box"}


def told(*pieces, **others):
    found = stash_of_file(json.dumps({"pieces": list(pieces), **others}).encode())
    return json.loads(json.dumps(stash_as_json(found)))["pieces"], found


def refused(*pieces, **others):
    with pytest.raises(FaultyInput) as fault:
        told(*pieces, **others)
    return {problem.place for problem in fault.value.problems}


def test_what_fits_comes_first_and_the_rest_is_told_too():
    answer, found = told(STRIP, ELL, at_least={"one_mm": 480, "other_mm": 200})
    assert [(one["id"], one["fits"]) for one in answer] == [("ell", True), ("strip", False)]
    assert "ell, in box: holds" in stash_in_words(found, UnitSystem.INCH)
    assert "strip" not in stash_in_words(found, UnitSystem.INCH)


def test_none_and_nothing_are_told_plainly():
    _, found = told(STRIP, at_least={"one_mm": 480, "other_mm": 200})
    assert stash_in_words(found, UnitSystem.METRIC) == "The size can be cut from none of these pieces."
    _, nothing = told(STRIP, material="felt")
    assert "is what you look for" in stash_in_words(nothing, UnitSystem.METRIC)


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0, 137.5])
def test_a_grain_that_runs_slantwise_is_followed(turn):
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    outline = [[cos * x - sin * y, sin * x + cos * y] for x, y in STRIP_RING]
    ((one,), _) = told({**STRIP, "outline": outline, "grain_deg": turn})
    assert one["largest"]["length_mm"] == pytest.approx(900, abs=0.1)
    assert one["largest"]["width_mm"] == pytest.approx(120, abs=0.1)


@settings(max_examples=40)
@given(
    st.lists(st.tuples(st.integers(0, 400), st.integers(0, 400)), min_size=3, max_size=7, unique=True),
    st.integers(10, 200),
    st.integers(10, 200),
)
def test_property_what_is_said_to_fit_does_by_shapely_alone(corners, one, other):
    hull = Polygon(corners).convex_hull
    if not isinstance(hull, Polygon) or hull.area < 100:
        return
    outline = [(x, y) for x, y, *_ in list(hull.exterior.coords)[:-1]]
    ((answer,), _) = told({"id": "odd", "outline": outline, "grain_deg": 20})
    largest = answer["largest"]
    low = (largest["x_mm"], largest["y_mm"])
    inside = box(*low, low[0] + largest["length_mm"], low[1] + largest["width_mm"])
    turned = affinity.rotate(hull, largest["turn_deg"], origin=(0, 0))
    assert turned.buffer(1e-4).covers(inside)
    piece = StashPiece(id="odd", material_id="felt", outer=tuple(outline))
    if can_cut(piece, one, other):
        assert one * other <= hull.area + 1
        assert max(one, other) <= max(math.dist(a, b) for a in corners for b in corners) + 0.1


def test_faults_are_told_all_at_once():
    crossed = {"id": "strip", "outline": [[0, 0], [4, 4], [4, 0], [0, 4]]}
    assert refused(crossed, at_least={"one_mm": 0, "other_mm": 5}) == {"pieces[0].outline", "at_least.one_mm"}
    assert refused(STRIP, STRIP) == {"pieces[0].id", "pieces[1].id"}
    away = {**STRIP, "holes": [[[800, 60], [950, 60], [950, 80]]]}
    assert refused(away) == {"pieces[0].holes[0]"}


def test_a_hole_counts_as_no_cloth():
    ((one,), _) = told({**STRIP, "holes": [[[400, 20], [500, 20], [500, 100], [400, 100]]]})
    assert one["area_mm2"] == 900 * 120 - 100 * 80
    assert one["largest"]["length_mm"] == pytest.approx(400)


def test_the_stash_written_is_read_again():
    piece = StashPiece(
        id="a", material_id="m", outer=((0.0, 0.0), (10.5, 0.0), (10.5, 20.0), (0.0, 20.0)), grain_deg=90.0
    )
    text = stash_as_file([piece], {"m": "canvas"})
    (found,) = stash_of_file(text)
    assert (found.id, found.material, found.area_mm2) == ("a", "canvas", 210.0)


def test_what_is_looked_for_and_how_it_is_sorted():
    square = [[0, 0], [90, 0], [90, 90], [0, 90]]
    pieces = [
        {"id": "a", "outline": square, "bin": "Blue box 10", "dated": "2026-01-01", "value": "2.00 USD"},
        {"id": "b", "outline": square, "bin": "blue box 2", "dated": "2026-03-01", "value": "9.00 USD", "grain_deg": 0},
        {"id": "c", "outline": square, "value": "4.00 EUR"},
        {**STRIP, "id": "d", "bin": "box", "dated": "2026-02-01"},
    ]

    def ids(**wish):
        return "".join(one["id"] for one in told(*pieces, **wish)[0])

    assert ids() == "dabc"
    assert [ids(bin=words) for words in ("box", "BLUE box", "box 1", "2")] == ["dab", "ab", "", "b"]
    assert (ids(grain="known"), ids(grain="none")) == ("db", "ac")
    assert ids(dated_from="2026-01-02", dated_to="2026-03-01") == "db"
    assert (ids(worth_from="2.00 USD"), ids(worth_to="4.00 USD"), ids(worth_to="4.00 EUR")) == ("ab", "a", "c")
    assert (ids(order="newest first"), ids(order="oldest first")) == ("bdac", "adbc")
    assert (ids(order="worth most first"), ids(order="by where it lies")) == ("cbad", "bad"[:2] + "dc")
    along, _ = told(*pieces, at_least={"one_mm": 90, "other_mm": 80, "along_grain": True})
    assert [(one["id"], one["fits"]) for one in along] == [("d", True), ("b", True), ("a", False), ("c", False)]
    wrong = {"worth_from": "much USD", "grain": "some", "order": "any", "dated_to": "then"}
    assert refused(*pieces, worth_to="1,000 USD", worth_from="x") == {"worth_from", "worth_to"}
    assert refused(*pieces, **wrong) >= {"grain", "order", "dated_to"}
