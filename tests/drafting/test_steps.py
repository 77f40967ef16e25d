"""Lines of stitching fall into stretches; each stretch has the layers that lie there."""

import pytest

from bagwright.drafting.steps import Caught, Handling, Step, StitchLine, against, along, number_steps, part
from bagwright.errors import BrokenPromise
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import SeamKind, SeamSide, Stage
from bagwright.model.piece import EdgeUse, Piece


def leaf(piece_id: str, width_mm: float) -> Piece:
    names = ("bottom", "right", "top", "left")
    return Piece(
        id=piece_id,
        name=piece_id,
        role="outer",
        net=rectangle_outline(width_mm, 50),
        allowance_mm=dict.fromkeys(names, 5.0),
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
    )


WIDE, NARROW = leaf("wide", 100), leaf("narrow", 40)


def test_caught_piece_property_splits_the_line_where_it_begins_and_ends():
    line = StitchLine(
        (along(WIDE, 1, "bottom"), against(WIDE, 1, "top")), (Caught(30, 70, along(NARROW, 1, "bottom")),)
    )
    assert [len(sides) for sides in line.stretches()] == [2, 3, 2]
    middle = list(line.stretches())[1]
    assert middle == (
        SeamSide("wide", 1, "bottom", 30, 70),
        SeamSide("wide", 1, "top", 70, 30),
        SeamSide("narrow", 1, "bottom", 0, 40),
    )


def test_turned_stretch_property_runs_the_other_way_with_all_its_sides():
    folded = Caught(90, 100, along(NARROW, 1, "bottom", folds=4), turned=True)
    last = list(StitchLine((along(WIDE, 1, "bottom"),), (folded,)).stretches())[-1]
    assert last == (SeamSide("wide", 1, "bottom", 100, 90), SeamSide("narrow", 1, "bottom", 0, 40, folds=4))


def test_layers_property_repeat_a_side():
    double = Caught(0, 40, along(NARROW, 1, "bottom"), layers=2)
    first = next(StitchLine((along(WIDE, 1, "bottom"),), (double,)).stretches())
    assert first[1] == first[2] == SeamSide("narrow", 1, "bottom", 0, 40)


def test_folded_edge_property_is_told_by_layers_where_something_else_ends_within_it():
    """Folded in four, 10 wide: what is caught to 94 parts it at 4 of its 10, in every layer, there and back."""
    folded = Caught(90, 100, along(NARROW, 1, "bottom", folds=4))
    other = Caught(0, 94, SeamSide("other", 1, "top", 0, 94))
    _, part_one, part_two = StitchLine((along(WIDE, 1, "bottom"),), (folded, other)).stretches()
    layers = [(0, 4), (20, 16), (20, 24), (40, 36)]
    assert part_one[1:-1] == tuple(SeamSide("narrow", 1, "bottom", a, b) for a, b in layers)
    layers = [(4, 10), (16, 10), (24, 30), (36, 30)]
    assert part_two[1:] == tuple(SeamSide("narrow", 1, "bottom", a, b) for a, b in layers)
    assert {side.sewn_length_mm for side in part_one} == {4} and {side.sewn_length_mm for side in part_two} == {6}


def test_two_folded_edges_property_keep_their_own_ways_in_one_place():
    """One starts where the line does, the other at its end: the line is walked back, the first told by layers."""
    one = Caught(90, 100, along(NARROW, 1, "bottom", folds=4))
    other = Caught(90, 100, along(NARROW, 1, "bottom", folds=4), turned=True)
    last = list(StitchLine((along(WIDE, 1, "bottom"),), (one, other)).stretches())[-1]
    assert last[0] == SeamSide("wide", 1, "bottom", 100, 90)
    assert last[1:5] == tuple(SeamSide("narrow", 1, "bottom", a, b) for a, b in [(10, 0), (10, 20), (30, 20), (30, 40)])
    assert last[5] == SeamSide("narrow", 1, "bottom", 0, 40, folds=4)


def test_turned_side_property_is_parted_from_its_own_start():
    """It starts where the line ends, so its first 6 lie from 100 back to 94."""
    turned = Caught(90, 100, SeamSide("narrow", 1, "left", 0, 10), turned=True)
    other = Caught(0, 94, SeamSide("other", 1, "top", 0, 94))
    _, nearer, last = StitchLine((along(WIDE, 1, "bottom"),), (turned, other)).stretches()
    assert (last[0].from_mm, last[0].to_mm, last[1]) == (100, 94, SeamSide("narrow", 1, "left", 0, 6))
    assert (nearer[0].from_mm, nearer[0].to_mm, nearer[1]) == (94, 90, SeamSide("narrow", 1, "left", 6, 10))


def test_part_of_a_folded_edge_rejects():
    with pytest.raises(BrokenPromise):
        part(along(NARROW, 1, "bottom", folds=2), 0, 5)


def test_numbering_property_counts_steps_and_names_stretches():
    bottom, top = StitchLine((along(WIDE, 1, "bottom"),)), StitchLine((along(WIDE, 1, "top"),))
    stage = Stage.PREPARE
    steps: list[Step | Handling] = [
        Step("hem", "Hem", SeamKind.HEM, (bottom, top), rows=2, stage=stage),
        Step("none", "Nothing to sew", SeamKind.HEM, (), stage=stage),
        Handling("snap", "Set the snap", stage=stage, cautions=("Mind it.",)),
        Step("last", "Last", SeamKind.BASTE, (top,), stage=stage),
    ]
    seams, (snap,) = number_steps(steps)
    assert [(s.id, s.order, s.rows) for s in seams] == [("hem-1", 1, 2), ("hem-2", 1, 2), ("last", 3, 1)]
    assert (snap.id, snap.order, snap.cautions) == ("snap", 2, ("Mind it.",))
