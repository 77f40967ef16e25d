"""A pattern as JSON: what a reader can work out from it must hold together."""

from __future__ import annotations

import json
import math

import pytest
from scipy.integrate import quad

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.workflows.pattern_json import pattern_as_json


@pytest.fixture(scope="module", params=FORMS)
def told(request):
    return json.loads(json.dumps(pattern_as_json(draft_bag(request.param, {})), allow_nan=False))


def curve_length_mm(curve):
    """Length of one curve from its JSON alone, by textbook formulas."""
    (x0, y0), (x3, y3) = curve["from"], curve["to"]
    if curve["kind"] == "line":
        return math.hypot(x3 - x0, y3 - y0)
    if curve["kind"] == "arc":
        return math.dist(curve["from"], curve["centre"]) * math.radians(abs(curve["sweep_deg"]))
    (x1, y1), (x2, y2) = curve["first"], curve["second"]

    def speed(t):
        a, b, c = 3 * (1 - t) ** 2, 6 * (1 - t) * t, 3 * t * t
        return math.hypot(a * (x1 - x0) + b * (x2 - x1) + c * (x3 - x2), a * (y1 - y0) + b * (y2 - y1) + c * (y3 - y2))

    return quad(speed, 0, 1)[0]


def area_mm2(ring):
    """Enclosed area by the shoelace formula, above zero if counter-clockwise."""
    following = [*ring[1:], ring[0]]
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, following, strict=True)) / 2


def test_edges_close_and_are_as_long_as_their_curves_property(told):
    for piece in told["pieces"]:
        curves = [curve for edge in piece["edges"] for curve in edge["curves"]]
        for curve, following in zip(curves, [*curves[1:], curves[0]], strict=True):
            assert curve["to"] == pytest.approx(following["from"], abs=1e-5)
        for edge in piece["edges"]:
            assert edge["length_mm"] == pytest.approx(sum(map(curve_length_mm, edge["curves"])), abs=1e-3)


def test_cut_outline_is_the_net_outline_and_more_property(told):
    for piece in told["pieces"]:
        net, cut = area_mm2(piece["net_outline"]), area_mm2(piece["cut_outline"])
        assert 0 < net <= cut
        if any(edge["allowance_mm"] for edge in piece["edges"]):
            assert net < cut


def test_seams_join_stretches_of_equal_length_property(told):
    lengths = {
        (piece["id"], edge["name"]): edge["length_mm"] for piece in told["pieces"] for edge in piece["edges"]
    } | {
        (piece["id"], line["name"]): math.dist(line["from"], line["to"])
        for piece in told["pieces"]
        for line in piece["lines"]
    }
    assert told["seams"]
    for seam in told["seams"]:
        for side in seam["sides"]:
            low, high = sorted((side["from_mm"], side["to_mm"]))
            assert -1e-6 <= low < high <= lengths[side["piece_id"], side["edge"]] + 1e-5
            sewn = (high - low) / side["folds"] - side["ease_mm"]
            assert sewn == pytest.approx(seam["length_mm"], abs=0.5)


def test_bag_measures_what_was_asked_property(told):
    assert told["soundness"]["passed"] is True and told["soundness"]["faults"] == []
    assert told["assembled"]
    for measure in told["assembled"]:
        assert measure["measured_mm"] == pytest.approx(measure["asked_mm"], abs=1.0)
        assert told["measurements_mm"][measure["key"]] == measure["asked_mm"]


def test_notches_lie_on_their_edges_property(told):
    for piece in told["pieces"]:
        edges = {edge["name"]: edge for edge in piece["edges"]}
        for notch in piece["notches"]:
            edge = edges[notch["edge"]]
            assert 0 <= notch["at_mm"] <= edge["length_mm"] + 1e-6
            if [curve["kind"] for curve in edge["curves"]] == ["line"]:
                start = edge["curves"][0]["from"]
                assert math.dist(start, notch["point"]) == pytest.approx(notch["at_mm"], abs=1e-4)
