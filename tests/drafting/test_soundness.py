"""Each fault planted in a good pattern is found, and by the check that is meant to find it."""

from dataclasses import replace

import pytest

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.piece_soundness import PIECE_CHECKS
from bagwright.drafting.soundness import find_faults, prove_sound
from bagwright.geometry.curves import Line
from bagwright.geometry.outline import Edge, Outline, polygon_outline, rectangle_outline
from bagwright.model.pattern import NotionNeed, Pattern, Seam, SeamKind, SeamSide, Span
from bagwright.model.piece import DrillMark, EdgeUse, Mirror, Notch, Piece, PlacementLine

TOTE, POUCH, WALLET = (draft_bag(form, {}) for form in ("boxed_tote", "zip_pouch", "card_wallet"))


def with_piece(pattern: Pattern, piece_id: str, **changes) -> Pattern:
    pieces = tuple(replace(piece, **changes) if piece.id == piece_id else piece for piece in pattern.pieces)
    return replace(pattern, pieces=pieces)


def with_seam(pattern: Pattern, seam_id: str, **changes) -> Pattern:
    seams = tuple(replace(seam, **changes) if seam.id == seam_id else seam for seam in pattern.seams)
    assert seams != pattern.seams
    return replace(pattern, seams=seams)


def with_first_side(pattern: Pattern, seam_id: str, **changes) -> Pattern:
    sides = seam_of(pattern, seam_id).sides
    return with_seam(pattern, seam_id, sides=(replace(sides[0], **changes), *sides[1:]))


def seam_of(pattern: Pattern, seam_id: str) -> Seam:
    return next(seam for seam in pattern.seams if seam.id == seam_id)


def without_seam(pattern: Pattern, seam_id: str) -> Pattern:
    assert seam_of(pattern, seam_id)
    return replace(pattern, seams=tuple(seam for seam in pattern.seams if seam.id != seam_id))


def found(pattern: Pattern, words: str) -> bool:
    verdict = prove_sound(pattern)
    assert not verdict.passed
    return any(words in fault for fault in verdict.faults)


@pytest.mark.parametrize("form", FORMS)
def test_good_pattern_property_passes_every_check(form):
    verdict = prove_sound(draft_bag(form, {}))
    assert verdict.passed
    assert len(verdict.checks) == len(set(verdict.checks)) > len(PIECE_CHECKS)


def test_shortened_edge_rejects_a_seam_that_runs_off_it():
    sizes = {**TOTE.measurements_mm, "height_mm": TOTE.measurements_mm["height_mm"] - 1}
    shorter = draft_bag("boxed_tote", sizes).piece("lining").net
    assert found(
        with_piece(TOTE, "lining", net=shorter), "lining right is 354.60 mm long, but is sewn from 0.00 to 355.60"
    )


def test_shortened_side_rejects_unequal_seams():
    shorter = with_first_side(TOTE, "outer-sides-1", to_mm=TOTE.measurements_mm["height_mm"] - 0.6)
    assert found(shorter, "sides of seam 'outer-sides-1' differ in length")


def test_difference_within_half_a_millimetre_property_passes():
    shorter = with_first_side(TOTE, "outer-sides-1", to_mm=TOTE.measurements_mm["height_mm"] - 0.4)
    assert prove_sound(shorter).passed


def test_ease_said_property_passes_and_ease_unsaid_rejects():
    sides = seam_of(TOTE, "outer-bottom").sides
    eased = replace(sides[0], ease_mm=1.0), replace(sides[1], ease_mm=1.0)
    assert prove_sound(with_seam(TOTE, "outer-bottom", sides=eased)).passed
    assert found(with_seam(TOTE, "outer-bottom", sides=(eased[0], sides[1])), "differ in length")


@pytest.mark.parametrize("seam_id", [s.id for s in TOTE.seams if s.kind.joins or s.kind is SeamKind.HEM])
def test_any_missing_seam_of_the_tote_rejects(seam_id):
    assert found(without_seam(TOTE, seam_id), "is declared")


@pytest.mark.parametrize("seam_id", [s.id for s in WALLET.seams if s.kind.joins and s.length_mm > 3])
def test_any_missing_seam_of_the_wallet_rejects(seam_id):
    assert found(without_seam(WALLET, seam_id), "is declared")


@pytest.mark.parametrize("seam_id", [s.id for s in POUCH.seams if s.kind.joins])
def test_any_missing_seam_of_the_pouch_rejects(seam_id):
    assert found(without_seam(POUCH, seam_id), "is declared")


def test_seam_twice_rejects():
    again = replace(seam_of(TOTE, "outer-bottom"), id="outer-bottom-again")
    assert found(replace(TOTE, seams=(*TOTE.seams, again)), "outer (copy 1) bottom is declared seam")


def test_one_layer_of_a_folded_pocket_rejects():
    sides = seam_of(WALLET, "feet-1").sides
    assert found(with_seam(WALLET, "feet-1", sides=sides[:2]), "back_pocket (copy 3) bottom is declared seam")


@pytest.mark.parametrize("use", [EdgeUse.OPENING, EdgeUse.HEM])
def test_edge_declared_otherwise_rejects(use):
    uses = {**TOTE.piece("outer").edge_use, "bottom": use}
    assert found(with_piece(TOTE, "outer", edge_use=uses), f"outer (copy 1) bottom is declared {use.value}")


def test_opening_property_stays_unjoined():
    uses = {**TOTE.piece("pocket").edge_use, "top": EdgeUse.OPENING}
    unhemmed = tuple(seam for seam in TOTE.seams if seam.id != "pocket-hem")
    renumbered = tuple(replace(seam, order=seam.order - (seam.order > 3)) for seam in unhemmed)
    assert prove_sound(replace(with_piece(TOTE, "pocket", edge_use=uses), seams=renumbered)).passed


@pytest.mark.parametrize("key", [measure.key for measure in TOTE.assembled])
def test_wrong_measure_rejects(key):
    wider = tuple(replace(m, asked_mm=m.asked_mm + 1.1) if m.key == key else m for m in TOTE.assembled)
    sizes = {**TOTE.measurements_mm, key: TOTE.measurements_mm[key] + 1.1}
    assert found(replace(TOTE, assembled=wider, measurements_mm=sizes), f"{key} was asked as")


def test_measure_that_was_not_asked_rejects():
    measured = tuple(replace(m, asked_mm=m.asked_mm + 0.5) for m in TOTE.assembled)
    assert found(replace(TOTE, assembled=measured), "which is not what was asked")


def test_measure_along_no_edge_rejects():
    lost = (replace(TOTE.assembled[0], spans=(Span("outer", "brim"),)),)
    assert found(replace(TOTE, assembled=lost), "width_mm is measured along an edge that does not exist")


def test_no_measure_rejects():
    assert found(replace(TOTE, assembled=()), "no measure of the finished bag is proved")


def test_missing_allowance_rejects():
    allowances = dict(TOTE.piece("outer").allowance_mm)
    del allowances["left"]
    assert found(with_piece(TOTE, "outer", allowance_mm=allowances), "outer: left has no seam allowance")


@pytest.mark.parametrize("width", [-1.0, float("inf"), float("nan")])
def test_impossible_allowance_rejects(width):
    allowances = {**TOTE.piece("outer").allowance_mm, "left": width}
    assert found(with_piece(TOTE, "outer", allowance_mm=allowances), "outer: left has the allowance")


def test_allowance_on_the_fold_rejects():
    allowances = {**WALLET.piece("back_pocket").allowance_mm, "top": 3.0}
    assert found(with_piece(WALLET, "back_pocket", allowance_mm=allowances), "lies on the fold")


def test_allowance_or_use_of_no_edge_rejects():
    outer = TOTE.piece("outer")
    assert found(with_piece(TOTE, "outer", allowance_mm={**outer.allowance_mm, "brim": 5.0}), "brim, which is no edge")
    assert found(with_piece(TOTE, "outer", edge_use={**outer.edge_use, "brim": EdgeUse.HEM}), "uses are declared for")


def test_two_folds_rejects():
    uses = {**WALLET.piece("back_pocket").edge_use, "bottom": EdgeUse.FOLD}
    assert found(with_piece(WALLET, "back_pocket", edge_use=uses), "only one edge, and a straight one")


def test_crossing_outline_rejects():
    corners = [("bottom", (0.0, 0.0)), ("right", (90.0, 0.0)), ("top", (-10.0, 60.0)), ("left", (60.0, 60.0))]
    crossing = polygon_outline([*corners[:2], ("top", (90.0, 60.0)), ("left", (30.0, -5.0))])
    assert found(with_piece(TOTE, "pocket", net=crossing), "pocket: the net line crosses itself")


def test_outline_with_an_edge_of_no_length_rejects():
    net = rectangle_outline(100, 50)
    speck = Outline((*net.edges, Edge("speck", (Line((0.0, 0.0), (0.0, 0.0)),))))
    assert found(with_piece(TOTE, "pocket", net=speck), "pocket: speck has no length")


@pytest.mark.parametrize("notch", [Notch("top", 1e4), Notch("top", -1.0), Notch("brim", 1.0)])
def test_notch_off_its_edge_rejects(notch):
    assert found(with_piece(TOTE, "outer", notches=(notch,)), "outer: a notch")


def test_line_or_mark_off_the_piece_rejects():
    line = PlacementLine("pocket_left", (100.0, 100.0), (-5.0, 100.0))
    # (2, 2) lies inside the bounding box, but in the boxed corner that is cut away.
    mark = DrillMark("snap", (2.0, 2.0))
    assert found(with_piece(TOTE, "outer", lines=(line,)), "outer: pocket_left leaves the piece")
    assert found(with_piece(TOTE, "outer", drill_marks=(mark,)), "outer: snap leaves the piece")


def test_line_named_like_an_edge_rejects():
    line = PlacementLine("left", (100.0, 100.0), (105.0, 100.0))
    assert found(with_piece(TOTE, "outer", lines=(line,)), "the name 'left' is taken twice")


def test_odd_pair_rejects():
    assert found(with_piece(WALLET, "front_pocket", count=3), "cut in mirrored pairs, but 3 times")
    assert WALLET.piece("front_pocket").mirror is Mirror.PAIRS


@pytest.mark.parametrize("count", [0, -1])
def test_nothing_to_cut_rejects(count):
    assert found(with_piece(TOTE, "strap", count=count), f"strap is cut {count} times")


def test_copy_too_many_rejects_as_sewn_to_nothing():
    assert found(with_piece(TOTE, "strap", count=3), "strap (copy 3) is sewn to nothing of the bag")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"piece_id": "hood"}, "there is no piece 'hood'"),
        ({"copy": 3}, "piece 'outer' has no copy 3"),
        ({"copy": 0}, "piece 'outer' has no copy 0"),
        ({"edge": "brim"}, "has no edge or line 'brim'"),
        ({"folds": 0}, "is folded 0 times"),
        ({"to_mm": 1e4}, "mm long, but is sewn from"),
        ({"ease_mm": 1e4}, "has no length to sew"),
    ],
)
def test_seam_side_that_is_not_there_rejects(changes, words):
    assert found(with_first_side(TOTE, "outer-bottom", **changes), words)


def test_seam_of_one_side_rejects():
    one = seam_of(TOTE, "outer-bottom").sides[:1]
    assert found(with_seam(TOTE, "outer-bottom", sides=one), "'outer-bottom' joins nothing")
    assert found(with_seam(TOTE, "outer-bottom", rows=0), "has no row of stitching")


def test_names_twice_rejects():
    assert found(replace(TOTE, pieces=(*TOTE.pieces, TOTE.pieces[0])), "piece 'outer' is there twice")
    assert found(replace(TOTE, seams=(*TOTE.seams, TOTE.seams[-1])), "seam 'gap' is there twice")


def test_empty_pattern_rejects():
    assert found(replace(TOTE, pieces=(), seams=(), panels=(), assembled=()), "the pattern has no pieces")


def test_panels_and_notions_of_nothing_reject():
    panel = TOTE.panels[0]
    assert found(replace(TOTE, panels=()), "no panel is named")
    assert found(replace(TOTE, panels=(replace(panel, piece_ids=("hood",)),)), "there is no piece 'hood'")
    assert found(replace(TOTE, panels=(replace(panel, height_mm=0.0),)), "no height or no copies")
    assert found(replace(TOTE, notions=(NotionNeed(role="slider", name="Slider", count=0),)), "asks for nothing")


def test_gap_in_the_order_rejects():
    last = max(seam.order for seam in TOTE.seams)
    assert found(with_seam(TOTE, "gap", order=last + 1), "not 1, 2, 3 and so on")


def test_two_kinds_of_work_in_one_step_rejects():
    assert found(with_seam(TOTE, "outer-box-1", kind=SeamKind.ZIP), "is more than one kind of work")


def swapped(pattern: Pattern, one: int, other: int) -> Pattern:
    places = {one: other, other: one}
    return replace(pattern, seams=tuple(replace(s, order=places.get(s.order, s.order)) for s in pattern.seams))


def order_of(pattern: Pattern, seam_id: str) -> int:
    return seam_of(pattern, seam_id).order


def test_steps_out_of_turn_reject():
    hem_late = swapped(TOTE, order_of(TOTE, "strap-1"), order_of(TOTE, "gap"))
    assert found(hem_late, "strap (copy 1) long_left is hemmed")
    top_early = swapped(TOTE, order_of(TOTE, "top-1"), order_of(TOTE, "top-edge-1"))
    assert found(top_early, "outer (copy 1) top is topstitched")
    baste_late = swapped(TOTE, order_of(TOTE, "strap-ends-1"), order_of(TOTE, "gap"))
    assert found(baste_late, "is basted in step")


def test_two_bags_in_one_pattern_reject():
    """A loose pouch: two rectangles sewn together all round, but to nothing of the bag."""
    names = ("bottom", "right", "top", "left")
    leaf = Piece(
        id="leaf",
        name="Leaf",
        role="outer",
        net=rectangle_outline(50, 40),
        allowance_mm=dict.fromkeys(names, 5.0),
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
    )
    last = max(seam.order for seam in TOTE.seams)
    lengths = {edge.name: edge.length_mm for edge in leaf.net.edges}
    seams = [
        Seam(
            id=f"leaf-{name}",
            name="Sew the leaves",
            kind=SeamKind.LOCKSTITCH,
            order=last + 1,
            sides=(SeamSide("leaf", 1, name, 0.0, length), SeamSide("leaf", 2, name, length, 0.0)),
        )
        for name, length in lengths.items()
    ]
    both = replace(TOTE, pieces=(*TOTE.pieces, leaf), seams=(*TOTE.seams, *seams))
    assert found(both, "leaf (copy 1) is sewn to nothing of the bag")


def test_faults_tell_which_seam_or_edge_they_concern():
    shorter = with_first_side(TOTE, "outer-sides-1", to_mm=TOTE.measurements_mm["height_mm"] - 10)
    by_seam, by_edge = find_faults(shorter).faults
    assert by_seam.seam_id == "outer-sides-1"
    assert (by_edge.piece_id, by_edge.copy, by_edge.edge) == ("outer", 1, seam_of(TOTE, "outer-sides-1").sides[0].edge)
    assert (round(by_edge.missing_mm, 6), by_edge.surplus_mm) == (10, 0)


def test_surplus_layers_are_told_apart_from_missing_ones():
    again = replace(seam_of(TOTE, "outer-bottom"), id="outer-bottom-again")
    faults = find_faults(replace(TOTE, seams=(*TOTE.seams, again))).faults
    assert {(fault.missing_mm, round(fault.surplus_mm, 6)) for fault in faults} == {
        (0, TOTE.measurements_mm["width_mm"])
    }


def test_pattern_that_asks_for_no_measure_property_needs_none():
    assert prove_sound(replace(TOTE, assembled=(), measurements_mm={})).passed
