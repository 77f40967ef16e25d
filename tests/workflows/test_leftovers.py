"""Cuts and remnants of whole answers: on cloth cut double, and in what `bagwright lay` says."""

from __future__ import annotations

import json

import pytest
from shapely import union_all
from shapely.geometry import Polygon, box

from bagwright.workflows.tell_layout import layout_as_json, layout_of_file

PANEL = {"id": "panel", "outline": [[0, 0], [400, 0], [400, 300], [0, 300]], "count": 4}


def told(**words):
    laid = layout_of_file(json.dumps({"width_mm": 1100, "seconds": 0, "pieces": [PANEL], **words}).encode())
    return json.loads(json.dumps(layout_as_json(laid)))


def test_remnants_and_pieces_share_no_cloth_and_all_of_it_is_told():
    answer = told(width_mm=1300)
    remnants = [Polygon(one["outline"], one["holes"]) for one in answer["remnants"]]
    whole = box(0, 0, answer["length_mm"], 1300)
    assert union_all(remnants).area == pytest.approx(sum(one.area for one in remnants))
    assert all(whole.buffer(1e-6).covers(one) for one in remnants)
    pieces = 4 * 400 * 300
    assert sum(one.area for one in remnants) + pieces <= whole.area + 1
    assert answer["remnants"][0]["share_of_cloth"] == pytest.approx(remnants[0].area / whole.area)


def test_every_piece_is_freed_once_by_the_cuts():
    answer = told()
    assert sum(len(cut["frees"]) for cut in answer["cuts"]) == 4
    freed = [name for cut in answer["cuts"] for name in cut["frees_remnants"]]
    assert sorted(freed) == [one["name"] for one in answer["remnants"]]


def test_cloth_cut_double_is_cut_below_the_fold_and_left_in_both_layers():
    answer = told(double=True, width_mm=1000)
    assert answer["doubled_to_mm"] == answer["length_mm"]
    assert all(end[1] <= 500.0 + 1e-6 for cut in answer["cuts"] for end in (cut["from"], cut["to"]))
    # Four panels lie in two layers: each is cut once, with its twin.
    assert sum(len(cut["frees"]) for cut in answer["cuts"]) == 2
    left = [Polygon(one["outline"]) for one in answer["remnants"]]
    assert left
    over = [Polygon([(x, 1000 - y) for x, y in one["outline"]]) for one in answer["remnants"]]
    assert union_all(left).symmetric_difference(union_all(over)).area == pytest.approx(0, abs=1e-3)
