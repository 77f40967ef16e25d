"""`bagwright lay` with strips out of bands and on the bias: judged by shapely alone, bounded, refused where it must."""

from __future__ import annotations

import itertools
import json
import math
from collections import Counter
from typing import Any

import pytest
from shapely import affinity
from shapely.geometry import Polygon, box

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.tell_layout import layout_as_json, layout_in_words, layout_of_file
from tests.json_doc import examples

EXAMPLE: dict[str, Any] = [one.file for one in examples() if one.command == "lay"][-1]


def rectangle(name: str, length: float, width: float, count: int = 1, **others: Any) -> dict[str, Any]:
    return {
        "id": name,
        "outline": [[0, 0], [length, 0], [length, width], [0, width]],
        "count": count,
        "turns": [0, 180],
        **others,
    }


def answer(file: dict[str, Any]) -> dict[str, Any]:
    return layout_as_json(layout_of_file(json.dumps({"seconds": 0, **file}).encode()))


def laid(file: dict[str, Any], told: dict[str, Any]) -> list[tuple[str, Polygon]]:
    """Each copy where it lies, moved by shapely."""
    rings = {one["id"]: one["outline"] for one in [*file["pieces"], *told["strips"]["shapes"]]}
    found = []
    for place in told["placements"]:
        shape = Polygon([(-x, y) if place["mirrored"] else (x, y) for x, y in rings[place["id"]]])
        turned = affinity.rotate(shape, place["turn_deg"], origin=(0, 0))
        found.append((place["id"], affinity.translate(turned, place["x_mm"], place["y_mm"])))
    return found


@pytest.mark.parametrize("others", [{}, {"gap_mm": 4}, {"double": True}])
def test_strips_lie_in_bands_and_blocks_by_shapely_alone(others):
    file = {**EXAMPLE, **others}
    told = answer(file)
    shapes, strips = laid(file, told), told["strips"]
    gap, length = file.get("gap_mm", 0), told["length_mm"]
    assert all(box(0, 0, length, file["width_mm"]).buffer(1e-6).covers(shape) for _, shape in shapes)
    for (_, one), (_, other) in itertools.combinations(shapes, 2):
        assert one.intersection(other).area < 1e-6
        assert one.distance(other) > gap - 1e-6
    counts = Counter(name for name, _ in shapes)
    assert counts["panel"] == 2
    assert counts == {"panel": 2} | {one["id"]: one["count"] for one in strips["shapes"]}
    # The two straps, each of parts joined with a loss of 20 mm a join; a band is as wide as a strap.
    lengths = {one["id"]: max(x for x, _ in one["outline"]) for one in strips["shapes"]}
    for one in strips["joined"]:
        whole = sum(lengths[part] for part in one["part_ids"]) - 20 * (len(one["part_ids"]) - 1)
        assert (one["strip_id"], whole) == ("strap", pytest.approx(1500))
    assert sum(one["count"] for one in strips["joined"]) == 2
    assert {band["width_mm"] for band in strips["bands"]} == {80}
    # 2 x 900 mm of binding, one width lost where an end is squared: the square by the trade's formula and an allowance.
    (square,) = strips["blocks"]
    assert square["needed_mm"] == 2 * 900 + 40
    side = next(one["outline"] for one in strips["shapes"] if one["id"] == square["id"])[0][0]
    assert side == pytest.approx(math.sqrt(1840 * 40) + 6.35)


def test_the_words_say_how_strips_are_cut():
    said = layout_in_words(layout_of_file(json.dumps(EXAMPLE).encode()), UnitSystem.METRIC)
    assert "3 bands across the cloth, 3 × 8.0 cm wide, cut to length: 2 joins." in said
    assert "of bias strip 4.0 cm wide out of 1 square of 27.8 cm: no join." in said


def test_a_wish_for_a_piece_goes_before_one_for_all():
    file = {
        "width_mm": 500,
        "pieces": [rectangle("a", 300, 20), rectangle("b", 310, 20)],
        "strip_wishes": [{"way": "bands"}, {"way": "laid", "piece_id": "b"}],
    }
    told = answer(file)["strips"]
    assert [[part["id"] for part in band["parts"]] for band in told["bands"]] == [["a"]]
    assert answer({**file, "strip_wishes": []})["strips"] is None


def test_one_way_strips_lie_across_all_alike_as_they_may_if_they_can():
    pieces = [rectangle("a", 300, 20, 4, turns=[270]), rectangle("b", 300, 30, 4, turns=[0])]
    told = answer({"width_mm": 500, "pieces": pieces, "strip_wishes": [{"way": "bands"}]})
    turns = {name: {one["turn_deg"] for one in told["placements"] if one["id"] == name} for name in "ab"}
    assert turns == {"a": {270}, "b": {90}}


STRIP, PANEL = rectangle("s", 900, 30, 3), rectangle("p", 300, 200)
BIAS = rectangle("b", 900, 30, turns=[45, 225])


@pytest.mark.parametrize(
    ("pieces", "wishes", "others", "places"),
    [
        ([PANEL, STRIP], [{"way": "bands", "piece_id": "p"}], {}, ["strip_wishes[0].piece_id"]),
        ([STRIP], [{"way": "bands", "piece_id": "q"}], {}, ["strip_wishes[0].piece_id"]),
        ([STRIP], [{"way": "bias square", "piece_id": "s"}], {}, ["strip_wishes[0].piece_id"]),
        ([BIAS], [{"way": "bands"}], {}, ["strip_wishes[0].way"]),
        ([STRIP], [{"way": "bands", "piece_id": "s"}] * 2, {}, [f"strip_wishes[{at}].piece_id" for at in range(2)]),
        ([rectangle("s", 900, 0.6)], [{"way": "bands"}], {}, ["pieces[0].outline"]),
        ([rectangle("s", 90_000, 1, 2000)], [{"way": "bands"}], {}, ["strip_wishes"]),
        ([rectangle("s", 90_000, 1, 40, turns=[45])], [{"way": "bias strips"}], {}, ["strip_wishes"]),
        ([{**BIAS, "id": "Bias square"}, BIAS], [{"way": "bias square", "piece_id": "b"}], {}, ["pieces[0].id"]),
        ([STRIP], [{"way": "bands"}], {"width_mm": 150}, ["width_mm"]),
        ([BIAS], [{"way": "bias strips"}], {"width_mm": 20}, ["width_mm"]),
    ],
)
def test_what_cannot_be_cut_so_is_told_with_what_is_allowed(pieces, wishes, others, places):
    with pytest.raises(FaultyInput) as caught:
        answer({"width_mm": 1100, "pieces": pieces, "strip_wishes": wishes, **others})
    assert [problem.place for problem in caught.value.problems] == places
    assert all(problem.allowed and problem.remedy for problem in caught.value.problems)


def test_many_thin_strips_come_out_of_bands_and_are_freed_by_straight_cuts():
    told = answer({"width_mm": 1100, "pieces": [rectangle("s", 30, 1, 360)], "strip_wishes": [{"way": "bands"}]})
    assert len(told["strips"]["bands"]) == 10  # 36 strips of 30 mm on 1100 mm
    assert told["length_mm"] == pytest.approx(10)
    assert {cut["way"] for cut in told["cuts"]} == {"across", "along"}
    assert sum(len(cut["frees"]) for cut in told["cuts"]) == 360
