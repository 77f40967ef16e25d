"""Pieces and seams of her own in JSON: what comes in, what is refused where, what goes out."""

from __future__ import annotations

import copy
import json
import math
from typing import Any

import pytest
from click.testing import CliRunner
from shapely import LineString, Polygon

from bagwright.cli import main
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.own_pieces import OWN_FORM, draft_own
from bagwright.errors import FaultyInput
from bagwright.model.found_piece import OutlineKind
from bagwright.units import UnitSystem
from bagwright.workflows.own_drawing import Answers, read_allowance_mm, start_settings
from bagwright.workflows.own_words import ROLES, OwnPieceWords
from bagwright.workflows.pattern_json import pattern_as_json
from bagwright.workflows.tell_own import own_as_json, own_in_words, own_of_file
from bagwright.workflows.tell_pieces import pieces_as_json, pieces_in_words, pieces_of_file
from tests.json_doc import examples

POUCH = next(example.file for example in examples() if example.command == "prove")
FRONT = next(example.file for example in examples() if example.command == "pieces")


def changed(*path_and_value):
    """The pouch of the document with one value changed; ``None`` as the last but one step appends."""
    *path, value = path_and_value
    words = copy.deepcopy(POUCH)
    inner = words
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = value
    return words


def proved(words):
    return own_of_file(json.dumps(words).encode())


def told_of(own) -> Any:
    return own_as_json(own)


def told_pieces(found) -> Any:
    return pieces_as_json(found)


def refusals(words):
    with pytest.raises(FaultyInput) as refused:
        proved(words)
    return [(problem.place, problem.what) for problem in refused.value.problems]


def test_the_pouch_of_the_document_is_sound():
    told = told_of(proved(POUCH))
    assert told["soundness"]["passed"] is True
    assert told["assembled"] == [{"key": "width_mm", "asked_mm": 200, "measured_mm": 200}]


def test_edge_lengths_agree_with_their_outlines_measured_by_shapely():
    told = told_of(proved(POUCH))
    for edge in told["pieces"][0]["edges"]:
        (curve,) = edge["curves"]
        assert edge["length_mm"] == LineString([curve["from"], curve["to"]]).length


def test_an_unsound_bag_is_told_and_not_refused():
    lacking = changed("seams", POUCH["seams"][:-1])
    soundness = told_of(proved(lacking))["soundness"]
    assert soundness["passed"] is False
    assert [fault[:21] for fault in soundness["faults"]] == ["leaf (copy 1) left is", "leaf (copy 2) right i"]
    assert "Not sound yet:" in own_in_words(proved(lacking), UnitSystem.INCH)
    ran = CliRunner().invoke(main, ["prove", "-", "--json"], input=json.dumps(lacking))
    assert ran.exit_code == 0


def test_a_wrong_measure_is_told():
    words = changed("measures", 0, "asked_mm", 210)
    assert told_of(proved(words))["soundness"]["faults"] == [
        "width_mm was asked as 210.00 mm, but comes out at 200.00 mm"
    ]


LEAF = ("pieces", 0)
EDGE = (*LEAF, "edges", 0)


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (
            changed(*EDGE, "curves", 0, "to", [200, 0.5]),
            ("pieces[0].edges[1].curves[0]", "starts 0.50 mm from where the curve before it ends"),
        ),
        (changed(*EDGE, "length_mm", 199), ("pieces[0].edges[0].length_mm", "is not its length, which is 200.00 mm")),
        (changed(*EDGE, "name", "top"), ("pieces[0].edges[0].name", "is used more than once")),
        (changed(*EDGE, "allowance_mm", -1), ("pieces[0].edges[0].allowance_mm", "is less than 0")),
        (changed(*EDGE, "use", "glue"), ("pieces[0].edges[0].use", "is not one of the known words")),
        (
            changed(*EDGE, "curves", 0, "kind", "wave"),
            ("pieces[0].edges[0].curves[0].kind", "is not one of the known words"),
        ),
        (
            changed(*EDGE, "curves", 0, "via", [1, 2]),
            ("pieces[0].edges[0].curves[0].via", "is not a field that is known here"),
        ),
        (
            changed(*EDGE, "curves", 0, {"kind": "line", "to": [200, 0]}),
            ("pieces[0].edges[0].curves[0].from", "is missing"),
        ),
        (changed(*LEAF, "role", "hood"), ("pieces[0].role", "is no part of a bag known here")),
        (changed(*LEAF, "count", 0), ("pieces[0].count", "is less than 1")),
        (changed(*LEAF, "count", 1), ("seams.hem-2", "seam 'hem-2': piece 'leaf' has no copy 2")),
        (changed(*LEAF, "id", " "), ("pieces[0].id", "is not in the right form")),
        (
            changed(*LEAF, "notches", [{"edge": "brim", "at_mm": 3}]),
            ("pieces.leaf", "leaf: a notch on brim, which is no edge"),
        ),
        (changed("seams", 0, "sides", 0, "edge", "brim"), ("seams[0].sides[0].edge", "is no edge or line of leaf")),
        (changed("seams", 0, "sides", 0, "piece_id", "hood"), ("seams[0].sides[0].piece_id", "is no piece here")),
        (
            changed("seams", 0, "sides", 0, "to_mm", 300),
            ("seams.hem-1", "seam 'hem-1': leaf top is 200.00 mm long, but is sewn from 0.00 to 300.00 mm"),
        ),
        (
            changed("seams", 2, "sides", 1, "from_mm", 3),
            ("seams[2].sides[1].backwards", "is said of a stretch that has ends already"),
        ),
        (changed("seams", 1, "id", "hem-1"), ("seams.hem-1", None)),
        (changed("pieces", POUCH["pieces"] * 2), ("pieces", "piece 'leaf' is there twice")),
        (changed("pieces", []), ("pieces", "has too few entries")),
    ],
)
def test_faults_of_the_input_reject_with_their_places(words, fault):
    place, what = refusals(words)[0]
    assert what == fault[1] or (fault[1] is None and "is there twice" in what)
    assert place == fault[0] or fault[1] is None


@pytest.mark.parametrize(
    ("corners", "what"),
    [
        ([(0, 0), (0, 150), (200, 150), (200, 0)], "runs clockwise"),
        ([(0, 0), (200, 150), (200, 0), (0, 150)], "crosses itself near (100, 75)"),
        ([(0, 0), (200, 0), (100, 0), (50, 0)], "encloses no area"),
    ],
)
def test_outlines_that_enclose_nothing_reject(corners, what):
    edges = [
        {"name": f"edge_{n}", "curves": [{"kind": "line", "from": list(a), "to": list(b)}]}
        for n, (a, b) in enumerate(zip(corners, [*corners[1:], corners[0]], strict=True))
    ]
    assert refusals({"pieces": [{"id": "leaf", "edges": edges}]}) == [("pieces[0].edges", what)]


def test_far_and_fine_curves_reject_before_they_are_flattened():
    wild = {"kind": "cubic", "from": [0, 0], "first": [1e5, 1e5], "second": [-1e5, 1e5], "to": [0, 0]}
    edges = [{"name": name, "curves": [wild] * 300} for name in ("a", "b")]
    (fault,) = refusals({"pieces": [{"id": "leaf", "edges": edges}]})
    assert "chords when its curves are flattened are more" in fault[1]


@pytest.mark.parametrize("form", FORMS)
def test_pieces_and_seams_of_our_forms_go_through_json_and_stay_sound(form):
    pattern = draft_bag(form, {})
    told = json.loads(json.dumps(pattern_as_json(pattern)))
    known = set(OwnPieceWords.model_fields)
    roles = {piece["role"] for piece in told["pieces"]}
    pieces = [
        {
            **{key: value for key, value in piece.items() if key in known},
            "role": piece["role"] if piece["role"] in ROLES else "outer",
            "notches": [{"edge": notch["edge"], "at_mm": notch["at_mm"]} for notch in piece["notches"]],
        }
        for piece in told["pieces"]
    ]
    seams = [
        {key: value for key, value in seam.items() if key in ("id", "name", "kind", "rows", "sides")}
        for seam in sorted(told["seams"], key=lambda seam: seam["order"])
    ]
    again = told_of(proved({"pieces": pieces, "seams": seams}))
    assert again["soundness"] == {**told["soundness"], "passed": True}
    assert roles
    for one, other in zip(again["pieces"], told["pieces"], strict=True):
        assert Polygon(one["net_outline"]).area == pytest.approx(Polygon(other["net_outline"]).area, abs=0.01)
        assert [edge["length_mm"] for edge in one["edges"]] == pytest.approx(
            [edge["length_mm"] for edge in other["edges"]], abs=1e-4
        )


# From a drawing to the proof.


def brought(**answers):
    return pieces_of_file(FRONT.encode(), Answers(**answers), units=UnitSystem.INCH)


def test_what_pieces_prints_is_what_prove_reads():
    printed = json.loads(json.dumps(told_pieces(brought(allowance="10 mm"))))
    own = proved({"pieces": printed["pieces"]})
    assert draft_own(own).pieces[0].net.area_mm2 == pytest.approx(200 * 140 - (1 - math.pi / 4) * 2 * 900, rel=1e-9)
    assert own.faces == ("front",)


def test_answers_set_line_size_allowance_and_role():
    plain = brought()
    assert plain.own.pieces[0].allowance_mm["edge_1"] == 9.525
    cut = brought(line="cut", allowance="1 cm", role="lining")
    assert cut.own.pieces[0].region().width_mm == pytest.approx(200, abs=0.01)
    assert (cut.own.pieces[0].role, cut.own.faces) == ("lining", ())
    inches = brought(scale="in")
    assert inches.drawing.scale.mm_per_unit == 25.4
    known = brought(scale="front.edge_2 = 10 in")
    assert known.drawing.pieces[0].outline.edge("edge_2").length_mm == pytest.approx(254)
    assert known.drawing.scale.is_sure


@pytest.mark.parametrize(
    ("answers", "place"),
    [
        ({"scale": "furlong"}, "scale"),
        ({"scale": "front.edge_9=3 in"}, "scale"),
        ({"scale": "edge_1=3 in"}, "scale"),
        ({"scale": "front.edge_1=nothing"}, "scale"),
        ({"line": "chalk"}, "line"),
        ({"allowance": "thick"}, "allowance"),
        ({"allowance": "5 in"}, "allowance"),
        ({"role": "hood"}, "role"),
    ],
)
def test_answers_that_cannot_be_read_reject(answers, place):
    with pytest.raises(FaultyInput) as refused:
        brought(**answers)
    assert [problem.place for problem in refused.value.problems] == [place]


def test_words_say_what_the_file_left_open():
    told = pieces_in_words(brought(), UnitSystem.METRIC)
    assert "the file gives its size" in told
    assert "does not say which line this is; it was taken for the stitch line" in told
    unsure = pieces_of_file(b'<svg><rect width="90" height="90"/></svg>', Answers(), units=UnitSystem.INCH)
    assert "say it with --scale" in pieces_in_words(unsure, UnitSystem.INCH)
    assert told_pieces(unsure)["scale"]["is_sure"] is False


@pytest.mark.parametrize(
    ("text", "mm"), [("", 7.0), ("0", 0.0), ("0 in", 0.0), ("0.0mm", 0.0), ("1/2", 12.7), ("8 mm", 8.0)]
)
def test_an_allowance_is_read_as_typed(text, mm):
    assert read_allowance_mm(text, place="a", units=UnitSystem.INCH, usual_mm=7.0) == mm


def test_every_role_of_the_own_form_is_a_role_of_the_contract():
    assert tuple(role.key for role in OWN_FORM.roles) == ROLES
    assert start_settings(Answers(line="cut"), units=UnitSystem.INCH).line is OutlineKind.CUT
