"""The folded-up bag for the maker: from where it is seen, what is said of it, what machines get."""

import json
import math
from typing import Any

import pytest

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.own_pieces import OWN_PIECES
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import Pattern, Seam, SeamKind, SeamSide
from bagwright.model.piece import EdgeUse, Piece
from bagwright.units import UnitSystem
from bagwright.workflows.fold_up import (
    Viewpoint,
    fold_up_as_json,
    folded_file,
    folded_picture,
    folded_words,
    read_viewpoint,
    usual_viewpoint,
)

INCH, METRIC = UnitSystem.INCH, UnitSystem.METRIC


def as_json(pattern: Pattern) -> Any:
    """What a machine reads."""
    return json.loads(json.dumps(fold_up_as_json(pattern), allow_nan=False))


@pytest.mark.parametrize("key", FORMS)
def test_json_property_tells_a_sound_bag_that_closes(key):
    value = as_json(draft_bag(key, {}))
    assert value == fold_up_as_json(draft_bag(key, {}))
    assert value["faults"] == [] and value["unplaced"] == []
    assert value["worst_seam"]["gap_mm"] <= 0.5
    assert all(size >= 0 for size in value["assembled_size_mm"].values())


def test_json_property_corners_run_counter_clockwise_and_stand_on_the_ground():
    facets = as_json(draft_bag("boxed_tote", {}))["facets"]
    assert min(z for facet in facets for *_, z in facet["corners"]) == pytest.approx(0.0)
    # The front face of the outer is the largest of copy 1: seen from the front, its right side up, it turns left.
    front = next(
        f for f in facets if f["piece"] == "outer" and f["copy"] == 1 and len({p[1] for p in f["corners"]}) == 1
    )
    doubled = sum(
        a[0] * b[2] - b[0] * a[2]
        for a, b in zip(front["corners"], [*front["corners"][1:], front["corners"][0]], strict=True)
    )
    assert doubled > 0


@pytest.mark.parametrize(
    ("form", "sizes", "units", "said"),
    [
        # 330.2 x 127 x 355.6 mm hold 14.912 litres; 14.912 l / (2.54 cm)^3 = 910.0 cubic inches.
        ("boxed_tote", {}, INCH, "13 in wide, 5 in deep and 14 in high, and holds about 15 litres (910 cubic inches)."),
        ("boxed_tote", {}, METRIC, "33.0 cm wide, 12.7 cm deep and 35.6 cm high, and holds about 15 litres."),
        ("zip_pouch", {"depth_mm": 0.0}, INCH, "Folded up it lies flat, 9 in wide and 6 in high."),
    ],
)
def test_words_property_tell_size_and_capacity_in_her_units(form, sizes, units, said):
    assert folded_words(draft_bag(form, sizes), units=units).endswith(said)


def test_words_property_tell_of_faces_that_lean_in():
    words = folded_words(draft_bag("zip_pouch", {}), units=INCH)
    assert "Front and back lean in: its base is 9 in wide, and along a face it is 6 in high." in words


def test_usual_viewpoint_property_looks_into_what_lies_flat():
    assert usual_viewpoint(draft_bag("boxed_tote", {})) == Viewpoint(30.0, 20.0)
    assert usual_viewpoint(draft_bag("card_wallet", {})) == Viewpoint(150.0, 20.0)
    assert usual_viewpoint(draft_bag("organiser", {})) == Viewpoint(30.0, 20.0)


@pytest.mark.parametrize("text", ["", "nonsense", "nan", "inf", "-inf", "1e99", "٣٠x", "30;"])
def test_viewpoint_property_takes_the_usual_for_what_is_no_angle(text):
    pattern = draft_bag("boxed_tote", {})
    assert read_viewpoint(text, text, pattern) == Viewpoint(30.0, 20.0)
    assert read_viewpoint("-90", "400", pattern) == Viewpoint(270.0, 90.0)


def test_pictures_property_differ_by_viewpoint_and_are_remembered():
    pattern = draft_bag("gusset_bag", {})
    one, other = (folded_picture(pattern, Viewpoint(turn, 20.0), units=INCH) for turn in (0.0, 90.0))
    assert one != other
    assert one == folded_picture(pattern, Viewpoint(0.0, 20.0), units=INCH)
    assert folded_file(pattern, Viewpoint(0.0, 20.0), units=INCH).startswith(b"<?xml")


def own(*seams: Seam, width_mm: float = 100.0) -> Pattern:
    """Two square leaves of her own, in the order of these seams."""
    net = rectangle_outline(width_mm, 100.0)
    names = [edge.name for edge in net.edges]
    leaf = Piece(
        id="leaf",
        name="Leaf",
        role="outer",
        net=net,
        allowance_mm=dict.fromkeys(names, 10.0),
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
    )
    return Pattern(form=OWN_PIECES, measurements_mm={}, pieces=(leaf,), seams=seams, assembled=(), panels=())


def sewn(one: str, other: str, number: int) -> Seam:
    sides = (SeamSide("leaf", 1, one, 0.0, 100.0), SeamSide("leaf", 2, other, 100.0, 0.0))
    return Seam(id=f"seam-{number}", name="Sew", kind=SeamKind.LOCKSTITCH, order=number, sides=sides)


def test_own_pieces_property_are_folded_up_as_far_as_they_are_sewn():
    assert as_json(own())["unplaced"] == [{"piece": "leaf", "copy": 2}]
    assert as_json(own())["worst_seam"] is None
    closed = as_json(own(sewn("bottom", "bottom", 1), sewn("left", "right", 2), sewn("right", "left", 3)))
    assert closed["unplaced"] == [] and closed["faults"] == []
    assert closed["assembled_size_mm"] == {"width": 100.0, "depth": 0.0, "height": 100.0}


def test_own_pieces_property_that_must_bend_and_do_not_say_where_are_told_so():
    # A tube of two leaves: each would have to bend, unless it lies flat with the ends of the other between its own.
    twisted = own(sewn("left", "bottom", 1), sewn("right", "top", 2), sewn("bottom", "bottom", 3))
    assert as_json(twisted)["worst_seam"]["gap_mm"] > 0.5
    assert as_json(twisted)["faults"] == []
    assert "do not say where they bend" in folded_words(twisted, units=INCH)


def test_own_pieces_property_of_other_widths_are_remembered_apart():
    narrow, wide = (as_json(own(width_mm=width)) for width in (100.0, 120.0))
    assert narrow["assembled_size_mm"]["width"] == 100.0
    assert wide["assembled_size_mm"]["width"] == 120.0
    assert math.isclose(narrow["assembled_size_mm"]["height"], wide["assembled_size_mm"]["height"])
