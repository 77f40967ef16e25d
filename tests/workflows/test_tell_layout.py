"""`bagwright lay`: what it takes, what it refuses, and that its answer is what was asked."""

from __future__ import annotations

import json
import math
import signal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from bagwright.errors import FaultyInput
from bagwright.model.layout import Placement
from bagwright.units import UnitSystem
from bagwright.workflows.stopping import first_stop_keeps_the_best
from bagwright.workflows.tell_layout import layout_as_json, layout_in_words, layout_of_file, placements_as_json

SQUARE = [[0, 0], [100, 0], [100, 100], [0, 100]]
LEG = [[0, 0], [120, 0], [120, 30], [40, 30], [40, 90], [0, 90]]


def lay(*pieces, width_mm=500.0, **others):
    return layout_of_file(json.dumps({"width_mm": width_mm, "seconds": 0, "pieces": list(pieces), **others}).encode())


def answer_to(layout):
    """The answer as a reader of JSON sees it."""
    return json.loads(json.dumps(layout_as_json(layout), allow_nan=False))


def refused(*pieces, **others):
    with pytest.raises(FaultyInput) as fault:
        lay(*pieces, **others)
    return {problem.place: problem for problem in fault.value.problems}


def placed(answer, outlines):
    """The outlines where the answer puts them, by the mapping that docs/json.md states and shapely alone."""
    for spot in answer["placements"]:
        shape = Polygon(outlines[spot["id"]])
        if spot["mirrored"]:
            shape = affinity.scale(shape, -1, 1, origin=(0, 0))
        shape = affinity.rotate(shape, spot["turn_deg"], origin=(0, 0))
        yield affinity.translate(shape, spot["x_mm"], spot["y_mm"])


def test_no_hair_is_told_where_a_piece_lies_at_the_edge():
    told = placements_as_json([Placement("leg", 0.0, False, -2e-06, 2e-06), Placement("leg", 0.0, False, 0.25, -0.5)])
    assert [(one["x_mm"], one["y_mm"]) for one in told] == [(0.0, 0.0), (0.25, -0.5)]


@settings(max_examples=25, deadline=None)
@given(
    legs=st.integers(1, 4),
    squares=st.integers(1, 3),
    turns=st.sampled_from([[0], [0, 180], [90, 270], "free"]),
    mirror=st.sampled_from(["no", "either"]),
    gap_mm=st.sampled_from([0, 3]),
)
def test_answer_agrees_with_shapely_on_overlap_gap_and_edges(legs, squares, turns, mirror, gap_mm):
    pieces = [
        {"id": "leg", "outline": LEG, "count": legs, "turns": turns, "mirror": mirror},
        {"id": "square", "outline": SQUARE, "count": squares},
    ]
    answer = answer_to(lay(*pieces, width_mm=260, gap_mm=gap_mm))
    shapes = list(placed(answer, {"leg": LEG, "square": SQUARE}))
    assert answer["checked"] is True
    assert sorted(spot["id"] for spot in answer["placements"]) == ["leg"] * legs + ["square"] * squares
    for number, shape in enumerate(shapes):
        low_x, low_y, high_x, high_y = shape.bounds
        assert low_x >= -0.01 and low_y >= -0.01 and high_y <= 260.01 and high_x <= answer["length_mm"] + 0.01
        for other in shapes[:number]:
            assert shape.intersection(other).area < 1
            assert shape.distance(other) >= gap_mm - 0.01
    area = sum(shape.area for shape in shapes)
    assert answer["share_used"] == pytest.approx(area / (260 * answer["length_mm"]), rel=1e-3)


def test_pairs_are_half_mirrored():
    answer = answer_to(lay({"id": "leg", "outline": LEG, "count": 4, "mirror": "pairs"}))
    assert sorted(spot["mirrored"] for spot in answer["placements"]) == [False, False, True, True]


@pytest.mark.parametrize(
    "outline",
    [
        [[0, 0], [100, 0], [100, 100], [0, 100], [0, 0]],  # the first corner again at the end
        [[0, 100], [100, 100], [100, 0], [0, 0]],  # clockwise
        [[0, 0], [50, 0], [100, 0], [100, 100], [0, 100]],  # a corner on a straight line
        [[900, 900], [1000, 900], [1000, 1000], [900, 1000]],  # far from the origin
    ],
)
def test_a_square_is_a_square_however_it_is_written(outline):
    layout = lay({"id": "square", "outline": outline}, width_mm=100)
    assert layout.length_mm == pytest.approx(100, abs=0.1)


@pytest.mark.parametrize(
    ("outline", "what"),
    [
        ([[0, 0], [2, 2], [2, 0], [0, 2]], "crosses itself near (1, 1)"),
        ([[0, 0], [5, 0], [9, 0]], "encloses no area"),
        ([[0, 0], [0, 0], [1, 1], [1, 1]], "has fewer than three different corners"),
        ([[0, 0], [10, 0], [10, 10], [5, 0], [0, 10]], "crosses itself near (5, 0)"),
        ([[0, 0], [1e-5, 0], [0, 1e-5]], "encloses no area"),
        ([[0, 0], [0.4, 0], [0, 0.4]], "is smaller than 0.5 mm both ways"),
    ],
)
def test_rejects_an_outline_that_cannot_be_cut(outline, what):
    assert refused({"id": "a", "outline": outline})["pieces[0].outline"].what == what


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"count": 0}, "pieces[0].count"),
        ({"count": 3, "mirror": "pairs"}, "pieces[0].count"),
        ({"count": 2001}, "pieces[0].count"),
        ({"turns": []}, "pieces[0].turns"),
        ({"turns": "any"}, "pieces[0].turns"),
        ({"turns": 90}, "pieces[0].turns"),
        ({"turns": [0, "90"]}, "pieces[0].turns[1]"),
        ({"turns": [361]}, "pieces[0].turns[0]"),
        ({"mirror": True}, "pieces[0].mirror"),
        ({"outline": SQUARE[:2]}, "pieces[0].outline"),
        ({"outline": [*SQUARE, [0]]}, "pieces[0].outline[4]"),
        ({"outline": [*SQUARE, [0, math.inf]]}, "pieces[0].outline[4][1]"),
        ({"outline": [*SQUARE, [0, 1e7]]}, "pieces[0].outline[4][1]"),
        ({"id": ""}, "pieces[0].id"),
    ],
)
def test_rejects_a_piece_with_the_place_of_its_fault(change, place):
    assert refused({"id": "a", "outline": SQUARE} | change).keys() == {place}


def test_rejects_ids_used_twice_and_too_many_copies():
    twins = [{"id": "a", "outline": SQUARE, "count": 1001}, {"id": "a", "outline": LEG, "count": 1000}]
    found = refused(*twins)
    assert found.keys() == {"pieces[0].id", "pieces[1].id", "pieces"}
    assert found["pieces"].value == "2001"


@pytest.mark.parametrize("piece", [{"outline": SQUARE}, {"outline": SQUARE, "turns": "free"}])
def test_rejects_cloth_narrower_than_a_piece(piece):
    with pytest.raises(FaultyInput) as refused:
        lay({"id": "a", **piece}, width_mm=99)
    (problem,) = refused.value.problems
    assert problem.place == "width_mm"
    assert "'a'" in problem.what
    assert "wider cloth" in problem.remedy


def test_a_piece_may_be_as_wide_as_the_cloth_and_a_gap_wider():
    assert lay({"id": "a", "outline": SQUARE}, width_mm=100, gap_mm=100).length_mm == pytest.approx(100, abs=0.1)


def test_cloth_laid_double_is_told_as_it_lies():
    leg = {"id": "leg", "outline": LEG, "count": 4, "mirror": "pairs"}
    laid = lay(leg, width_mm=240, double=True)
    answer = answer_to(laid)
    assert answer["doubled_to_mm"] == answer["length_mm"]
    spots = answer["placements"]
    assert sum(spot["mirrored"] for spot in spots) == 2
    assert sum(spot["y_mm"] for spot in spots) == pytest.approx(4 * 120)  # each with its image across the middle
    assert "double, selvedge on selvedge" in layout_in_words(laid, UnitSystem.METRIC)


def test_the_print_costs_cloth_and_says_how_much():
    square = {"id": "a", "outline": SQUARE, "count": 2, "turns": [0], "anchor": [50, 50]}
    laid = lay(square, width_mm=150, repeat={"along_mm": 160})
    answer = answer_to(laid)
    assert answer["length_mm"] == pytest.approx(160 + 160 + 50)
    assert answer["length_without_repeat_mm"] == pytest.approx(200)
    assert "costs 0.17 m" in layout_in_words(laid, UnitSystem.METRIC)


def test_selvedge_and_wash_are_taken_off_before_laying_and_put_on_the_bill():
    # By hand: (110 - 2 x 5) x (1 - 0) leaves 100 mm for one square across; 200 mm washed is 250 mm bought at 20 %.
    answer = answer_to(
        lay({"id": "a", "outline": SQUARE, "count": 2}, width_mm=110, selvedge_mm=5, shrinkage_share=0.2)
    )
    assert answer["length_mm"] == pytest.approx(200)
    assert answer["bought_mm"] == pytest.approx(250)
    assert refused({"id": "a", "outline": SQUARE}, width_mm=110, crosswise_shrinkage_share=0.1).keys() == {"width_mm"}
    assert refused({"id": "a", "outline": SQUARE}, width_mm=110, selvedge_mm=55).keys() == {"selvedge_mm"}


def test_rejects_a_match_without_an_anchor_and_a_print_on_double_cloth():
    assert refused({"id": "a", "outline": SQUARE, "match": "side"}).keys() == {"pieces[0].anchor"}
    assert refused({"id": "a", "outline": SQUARE}, double=True, repeat={"along_mm": 90}).keys() == {"repeat"}


def test_words_count_the_pieces():
    layout = lay({"id": "a", "outline": SQUARE, "count": 2}, width_mm=100)
    assert layout_in_words(layout, UnitSystem.METRIC).startswith("2 pieces take 0.2")


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM])
def test_the_first_stop_keeps_the_best_layout_and_the_second_ends_the_command(stop):
    text = json.dumps(
        {"width_mm": 500, "pieces": [{"id": "leg", "outline": LEG, "count": 30, "turns": "free"}], "seconds": 600}
    ).encode()
    before = signal.getsignal(signal.SIGINT), signal.getsignal(signal.SIGTERM)
    with first_stop_keeps_the_best() as was_asked:
        assert not was_asked()
        signal.raise_signal(stop)
        assert layout_as_json(layout_of_file(text, should_stop=was_asked))["checked"]
        assert signal.getsignal(signal.SIGTERM) is signal.SIG_DFL
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert (signal.getsignal(signal.SIGINT), signal.getsignal(signal.SIGTERM)) == before
