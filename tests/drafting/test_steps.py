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
