"""Her own pieces: the same proof as for our forms, what is refused, and what happens to edges and seams together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.own_edges import divide_edge, put_edges_together, rename_edges
from bagwright.drafting.own_pieces import accept_own, draft_own, free_id, report_own
from bagwright.drafting.own_start import StartSettings, add_found
from bagwright.drafting.soundness import prove_sound
from bagwright.errors import FaultyInput
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.inset import farthest_apart_mm
from bagwright.model.found_piece import OutlineKind
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import SeamKind, SeamSide
from bagwright.model.piece import DrillMark, EdgeUse, Notch, PlacementLine
from tests.drafting.own_samples import CUT, ROUND_FOOT, found, joined, leaf, pouch


def refusal(change, *args, **how):
    with pytest.raises(FaultyInput) as refused:
        change(*args, **how)
    return refused.value.problems[0]


def test_a_pouch_of_her_own_property_is_sound():
    pattern = draft_own(pouch())
    assert prove_sound(pattern).passed
    assert [(panel.key, panel.height_mm, panel.copies) for panel in pattern.panels] == [("leaf", 150, 2)]
    assert [seam.order for seam in pattern.seams] == [1, 2, 3, 4, 5]
    assert any("ccredited" in caution for caution in pattern.cautions)


@pytest.mark.parametrize("form", FORMS)
def test_pieces_of_our_forms_brought_as_her_own_property_are_sound(form):
    pattern = draft_bag(form, {})
    seams = tuple(sorted(pattern.seams, key=lambda seam: seam.order))
    own = OwnPattern(pieces=pattern.pieces, faces=(pattern.pieces[0].id,), seams=seams, measures=pattern.assembled)
    assert report_own(accept_own(own)).faults == ()


def test_without_measures_and_faces_it_is_proved_all_the_same():
    own = replace(pouch(), measures=(), faces=())
    assert report_own(own).faults == ()
    assert draft_own(own).panels[0].key == "leaf"


@pytest.mark.parametrize("number", range(5))
def test_any_missing_seam_is_told_at_its_edges(number):
    own = pouch()
    lacking = own.seams[number]
    report = report_own(accept_own(replace(own, seams=(*own.seams[:number], *own.seams[number + 1 :]))))
    told = {(fault.piece_id, fault.copy, fault.edge) for fault in report.faults}
    assert told == {(side.piece_id, side.copy, side.edge) for side in lacking.sides}
    assert all(fault.missing_mm == lacking.length_mm and not fault.surplus_mm for fault in report.faults)


def test_sides_that_differ_are_told_at_their_seam_unless_eased():
    wide = leaf(
        "wide", width_mm=203.0, count=1, edge_use=dict.fromkeys(("bottom", "right", "top", "left"), EdgeUse.OPENING)
    )
    uses = {**wide.edge_use, "bottom": EdgeUse.SEAM}
    own = OwnPattern(
        pieces=(replace(wide, edge_use=uses), leaf("plain", count=1, edge_use=uses)),
        seams=(replace(joined("s", ("wide", 1, "bottom"), ("plain", 1, "bottom"), length_mm=200.0)),),
    )
    sides = (SeamSide("wide", 1, "bottom", 0.0, 203.0), own.seams[0].sides[1])
    uneven = replace(own, seams=(replace(own.seams[0], sides=sides),))
    (fault,) = report_own(uneven).faults
    assert fault.seam_id == "s"
    assert "203.00 mm" in fault.words
    eased = replace(own, seams=(replace(own.seams[0], sides=(replace(sides[0], ease_mm=3.0), sides[1])),))
    assert report_own(eased).faults == ()


@pytest.mark.parametrize(
    ("changes", "place", "words"),
    [
        ({"pieces": ()}, "pieces", "are none"),
        ({"pieces": (leaf(count=0),)}, "pieces.leaf.count", "is not a number of copies"),
        ({"pieces": (leaf(count=21),)}, "pieces.leaf.count", "is not a number of copies"),
        ({"pieces": (leaf(), leaf())}, "pieces", "piece 'leaf' is there twice"),
        ({"pieces": tuple(leaf(f"leaf_{n}") for n in range(101))}, "pieces", "pieces are too many for one bag"),
        (
            {"pieces": (leaf(notches=(Notch("top", 900.0),)),)},
            "pieces.leaf",
            "leaf: a notch at 900.00 mm lies off top (200.00 mm)",
        ),
        (
            {"pieces": (leaf(lines=(PlacementLine("fold", (0, 0), (900, 0)),)),)},
            "pieces.leaf",
            "leaf: fold leaves the piece",
        ),
        (
            {"seams": (joined("s", ("hood", 1, "top"), ("leaf", 1, "top"), length_mm=9.0),)},
            "seams.s",
            "seam 's': there is no piece 'hood'",
        ),
        (
            {"seams": (joined("s", ("leaf", 3, "top"), ("leaf", 1, "top"), length_mm=9.0),)},
            "seams.s",
            "seam 's': piece 'leaf' has no copy 3",
        ),
        (
            {"seams": (joined("s", ("leaf", 1, "brim"), ("leaf", 1, "top"), length_mm=9.0),)},
            "seams.s",
            "seam 's': piece 'leaf' has no edge or line 'brim'",
        ),
    ],
)
def test_what_cannot_be_cut_or_names_nothing_rejects(changes, place, words):
    problem = refusal(accept_own, replace(pouch(), **changes))
    assert (problem.place, problem.what) == (place, words)


# From what was found to pieces of hers.


def test_a_stitch_line_takes_the_allowance_she_types():
    own = add_found(None, [found()], StartSettings(allowance_mm=12.0))
    (piece,) = own.pieces
    assert (piece.id, piece.name, piece.count, piece.grain_deg) == ("front", "Front", 1, 90)
    assert set(piece.allowance_mm.values()) == {12.0}
    assert set(piece.edge_use.values()) == {EdgeUse.SEAM}
    assert own.faces == ("front",)
    assert piece.net.edge("edge_1").length_mm == 200


@pytest.mark.parametrize("settings", [StartSettings(OutlineKind.CUT, 10.0), StartSettings(OutlineKind.STITCH, 10.0)])
def test_a_cut_line_gets_its_net_line_inside(settings):
    kind = CUT if settings.line is OutlineKind.STITCH else None
    mark = DrillMark("mark_1", (100, 75))
    lost = DrillMark("mark_2", (3, 3))
    line = PlacementLine("line_1", (0, 75), (200, 75))
    one = found(kind=kind, notches=(Notch("edge_1", 60.0),), lines=(line,), drill_marks=(mark, lost), grain_deg=0.0)
    (piece,) = add_found(None, [one], settings).pieces
    assert {edge.name: round(edge.length_mm, 6) for edge in piece.net.edges} == {
        "edge_1": 180,
        "edge_2": 130,
        "edge_3": 180,
        "edge_4": 130,
    }
    assert farthest_apart_mm(piece.region(), one.outline.region()) < 0.001
    assert [(notch.edge, round(notch.at_mm, 6)) for notch in piece.notches] == [("edge_1", 50)]
    assert piece.lines == (PlacementLine("line_1", (10.0, 75.0), (190.0, 75.0)),)
    assert piece.drill_marks == (mark,)
    assert piece.grain_deg == 0


def test_both_lines_in_the_file_win_over_what_she_types():
    widths = {"edge_1": 10.0, "edge_2": 8.0, "edge_3": 25.0, "edge_4": 8.0}
    one = found(kind=OutlineKind.STITCH, allowance_mm=widths)
    (piece,) = add_found(None, [one], StartSettings(CUT, 5.0)).pieces
    assert piece.allowance_mm == widths


def test_an_edge_on_the_fold_takes_no_allowance():
    (piece,) = add_found(None, [found(fold_edge="edge_4", kind=CUT)], StartSettings(allowance_mm=10.0)).pieces
    assert piece.fold_edge == "edge_4"
    assert piece.allowance_mm["edge_4"] == 0
    assert piece.net.edge("edge_1").length_mm == pytest.approx(190)
    assert piece.region().bounds == pytest.approx((-200, 0, 200, 150))


def test_a_curved_cut_line_keeps_its_edges():
    (piece,) = add_found(None, [found(outline=ROUND_FOOT)], StartSettings(CUT, 10.0)).pieces
    assert [edge.name for edge in piece.net.edges] == ["edge_1", "edge_2"]
    # Inside by 10: the radius 40 becomes 30, the straight runs lose 10 at the top only.
    assert max(edge.length_mm for edge in piece.net.edges) == pytest.approx(120 + 100 + 100 + 3.14159265 * 30, abs=0.05)


def test_an_allowance_that_does_not_fit_rejects_and_names_the_piece():
    problem = refusal(add_found, None, [found("Tab")], StartSettings(CUT, 80.0))
    assert problem.place == "path 'Tab': allowance_mm"
    assert problem.what == "leaves nothing inside it"


def test_pieces_of_one_name_get_ids_of_their_own_and_join_those_there_are():
    own = add_found(
        add_found(None, [found()], StartSettings()), [found(), found("Strap!")], StartSettings(role="strap")
    )
    assert [piece.id for piece in own.pieces] == ["front", "front_2", "strap"]
    assert own.faces == ("front",)
    assert free_id("", set()) == free_id("ÄÖ", set()) == "piece"


# Edges.


def test_renamed_edges_take_seams_notches_and_measures_along():
    own = pouch()
    noted = replace(own, pieces=(replace(own.pieces[0], notches=(Notch("bottom", 50.0),)),))
    renamed = rename_edges(noted, "leaf", {"bottom": "foot", "right": "left", "left": "right"})
    assert [edge.name for edge in renamed.pieces[0].net.edges] == ["foot", "left", "top", "right"]
    assert report_own(renamed).faults == ()
    assert renamed.pieces[0].notches == (Notch("foot", 50.0),)
    assert renamed.measures[0].spans[0].edge == "foot"
    problem = refusal(rename_edges, own, "leaf", {"bottom": "top"})
    assert problem.what == "is the name of another edge or line"


def test_divided_edges_take_seams_notches_and_measures_along():
    own = pouch()
    noted = replace(own, pieces=(replace(own.pieces[0], notches=(Notch("bottom", 50.0), Notch("bottom", 150.0))),))
    unsewn = replace(noted, seams=noted.seams[:2])
    divided = divide_edge(unsewn, "leaf", "bottom", 80.0)
    (piece,) = divided.pieces
    assert [(e.name, round(e.length_mm, 9)) for e in piece.net.edges][:2] == [("bottom", 80), ("bottom_2", 120)]
    assert piece.notches == (Notch("bottom", 50.0), Notch("bottom_2", 70.0))
    assert [span.edge for span in divided.measures[0].spans] == ["bottom", "bottom_2"]
    assert piece.edge_use["bottom_2"] is EdgeUse.SEAM
    assert piece.allowance_mm["bottom_2"] == 10
    again = divide_edge(divided, "leaf", "bottom", 20.0)
    assert [edge.name for edge in again.pieces[0].net.edges][:3] == ["bottom", "bottom_3", "bottom_2"]


def test_an_edge_sewn_in_parts_is_divided_only_between_them():
    own = pouch()
    halves = tuple(
        replace(
            joined(f"s{n}", ("leaf", 1, "bottom"), ("leaf", 2, "bottom"), length_mm=100.0),
            sides=(SeamSide("leaf", 1, "bottom", a, b), SeamSide("leaf", 2, "bottom", 200.0 - a, 200.0 - b)),
        )
        for n, (a, b) in enumerate(((0.0, 100.0), (100.0, 200.0)))
    )
    parted = accept_own(replace(own, seams=(*own.seams[:2], *halves, *own.seams[3:])))
    assert report_own(parted).faults == ()
    divided = divide_edge(parted, "leaf", "bottom", 100.0)
    assert report_own(divided).faults == ()
    assert divided.seams[3].sides[0] == SeamSide("leaf", 1, "bottom_2", 0.0, 100.0)
    assert "is sewn there already" in refusal(divide_edge, parted, "leaf", "bottom", 60.0).what


@pytest.mark.parametrize("at_mm", [-5.0, 0.0, 0.5, 199.5, 200.0, 1e9, float("nan")])
def test_an_edge_is_divided_only_within_itself(at_mm):
    assert "is no place along bottom" in refusal(divide_edge, replace(pouch(), seams=()), "leaf", "bottom", at_mm).what


@pytest.mark.parametrize("name", ["bottom", "right", "top", "left"])
def test_neighbouring_edges_put_together_keep_the_outline(name):
    own = replace(pouch(), seams=(), measures=())
    (before,), (after,) = own.pieces, put_edges_together(own, "leaf", name).pieces
    assert after.net.area_mm2 == before.net.area_mm2
    assert len(after.net.edges) == 3
    assert after.net.edge(name).length_mm == 350
    assert after.edge_use[name] is before.edge_use[name]


def test_notches_go_along_when_edges_are_put_together():
    plain = replace(pouch(), seams=(), measures=())
    own = replace(plain, pieces=(replace(plain.pieces[0], notches=(Notch("right", 30.0),)),))
    assert put_edges_together(own, "leaf", "bottom").pieces[0].notches == (Notch("bottom", 230.0),)


def test_edges_that_are_sewn_or_folded_are_not_put_together():
    assert "is sewn there already" in refusal(put_edges_together, pouch(), "leaf", "bottom").what
    measured = replace(pouch(), seams=())
    assert refusal(put_edges_together, measured, "leaf", "left").what == "is part of a measure"
    folded = leaf(edge_use={**leaf().edge_use, "left": EdgeUse.FOLD}, allowance_mm={**leaf().allowance_mm, "left": 0.0})
    own = OwnPattern(pieces=(folded,))
    for name in ("left", "top"):
        assert refusal(put_edges_together, own, "leaf", name).what == "would bend the fold"
    half_round = leaf(net=ROUND_FOOT, edge_use=dict.fromkeys(("edge_1", "edge_2"), EdgeUse.SEAM), allowance_mm={})
    two = OwnPattern(pieces=(replace(half_round, allowance_mm={"edge_1": 1.0, "edge_2": 1.0}),))
    assert "no other edge" in refusal(put_edges_together, two, "leaf", "edge_1").what


def test_unknown_pieces_and_edges_reject():
    assert refusal(divide_edge, pouch(), "hood", "top", 5.0).what == "is no piece of this bag"
    assert refusal(divide_edge, pouch(), "leaf", "brim", 5.0).what == "is no edge of Leaf"


def test_a_zip_or_a_strap_brings_its_cautions():
    zipped = replace(pouch(), seams=(replace(pouch().seams[2], kind=SeamKind.ZIP),))
    assert any("Zip teeth" in caution for caution in draft_own(zipped).cautions)
    strap = OwnPattern(pieces=(leaf("strap", role="strap"),))
    assert any("Straps" in caution for caution in draft_own(strap).cautions)


def test_curves_survive_dividing():
    uses = dict.fromkeys(("edge_1", "edge_2"), EdgeUse.SEAM)
    own = OwnPattern(pieces=(leaf(net=ROUND_FOOT, edge_use=uses, allowance_mm=dict.fromkeys(uses, 10.0)),))
    long = max(ROUND_FOOT.edges, key=lambda edge: edge.length_mm)
    divided = divide_edge(own, "leaf", long.name, long.length_mm / 2).pieces[0].net
    assert divided.area_mm2 == pytest.approx(ROUND_FOOT.area_mm2, rel=1e-12)
    assert {type(curve) for edge in divided.edges for curve in edge.curves} == {Arc, Line}
