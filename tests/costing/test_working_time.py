"""Working time: each step from what is cut, fused and sewn, by hand from the standards."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.costing.working_time import TimeStandards, machine_minutes, standard_minutes, working_steps
from bagwright.errors import BrokenPromise
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.bag import Bag, Workroom
from bagwright.model.cost import TimeStep
from bagwright.model.material import Extent, Held, Layer
from bagwright.model.pattern import NotionNeed, Pattern, Seam, SeamKind, SeamSide
from bagwright.model.piece import CutPiece, EdgeUse, Mirror, Piece
from bagwright.units import UnitSystem

# A flat pouch of two panels, 300 x 200 mm, cut out with 10 mm all round, fused to the net line.
PANEL = Piece(
    id="panel",
    name="panel",
    role="outer",
    net=rectangle_outline(300, 200),
    allowance_mm=dict.fromkeys(("bottom", "right", "top", "left"), 10.0),
    edge_use=dict.fromkeys(("bottom", "right", "top", "left"), EdgeUse.SEAM),
    count=2,
)
STACK = (Layer("cloth"), Layer("fusible", Extent.NET, Held.FUSED), Layer("fleece", Extent.NET, Held.BASTED))


def side(copy: int, edge: str, length_mm: float) -> SeamSide:
    return SeamSide("panel", copy, edge, 0, length_mm)


BOTTOM = Seam(
    id="bottom",
    name="bottom",
    kind=SeamKind.LOCKSTITCH,
    order=2,
    sides=(side(1, "bottom", 300), side(2, "bottom", 300)),
    rows=2,
)
ZIP = Seam(id="zip", name="zip", kind=SeamKind.ZIP, order=1, sides=(side(1, "top", 300),))
TOPSTITCH = Seam(id="edge", name="edge", kind=SeamKind.TOPSTITCH, order=3, sides=(side(1, "top", 300),))
POUCH = Pattern(
    form="pouch",
    measurements_mm={},
    pieces=(PANEL, replace(PANEL, id="chain", name="zip chain", role="zip", count=1, is_bought=True)),
    seams=(BOTTOM, ZIP, TOPSTITCH),
    assembled=(),
    panels=(),
    notions=(NotionNeed(role="slider", name="slider", count=2),),
)
CUTS = tuple(
    CutPiece(
        piece_id="panel",
        name="panel",
        material_id=layer.material_id,
        extent=layer.extent,
        region=PANEL.region(layer.extent),
        count=2,
        mirror=Mirror.NO,
        grain_deg=90,
    )
    for layer in STACK
)
BAG = Bag(id="b", name="b", form="pouch", measurements_mm={}, stacks={"outer": STACK})
WORKROOM = Workroom(units=UnitSystem.METRIC, stitch_length_mm=3.0, sewing_speed_spm=400.0)
NO_REST = TimeStandards(allowance_share=0.0)


def steps_of(bag: Bag = BAG, standards: TimeStandards = NO_REST) -> dict[str, TimeStep]:
    steps = working_steps(bag, POUCH, CUTS, workroom=WORKROOM, standards=standards)
    return {step.name: step for step in steps}


def test_steps_come_in_the_order_of_work():
    assert list(steps_of()) == [
        "Set up the machine",
        "Cut out",
        "Fuse",
        "Sew: zip",
        "Sew: bottom",
        "Sew: edge",
        "Press the seams",
        "Fit: slider",
        "Finish",
    ]


def test_cutting_follows_the_cut_line_and_counts_the_pieces():
    # Whole: 2 (320 + 220) = 1080 mm; net, twice: 2 (300 + 200) = 1000 mm; two copies of each: 6160 mm at 1500 a minute.
    assert steps_of()["Cut out"].minutes == pytest.approx(6160 / 1500 + 6 * 0.5)


def test_only_what_is_fused_is_pressed_down_and_every_copy_takes_whole_presses():
    # 300 x 200 mm = 60 000 mm2 = 3 faces of 20 000 mm2; two copies; 20 s each.
    step = steps_of()["Fuse"]
    assert step.minutes == pytest.approx(6 * 20 / 60)
    assert step.reckoned.startswith("6 presses of 15 s each, 5 s to move the iron")
    larger = steps_of(standards=replace(NO_REST, iron_face_mm2=59_999.0))["Fuse"]
    assert larger.minutes == pytest.approx(4 * 20 / 60)


def test_nothing_fused_takes_no_fusing():
    assert "Fuse" not in steps_of(replace(BAG, stacks={"outer": (STACK[0],)}))


def test_sewing_counts_stitches_rows_and_the_handling_of_its_kind():
    steps = steps_of()
    assert steps["Sew: bottom"].minutes == pytest.approx(2 * 100 / 400 + 1.0)
    assert steps["Sew: zip"].minutes == pytest.approx(100 / 400 + 2.5)
    assert steps["Sew: bottom"].reckoned == (
        "30.0 cm in 2 rows in 0.3 cm stitches, 400 a minute; 1 min to handle it; 0% added for rest"
    )


def test_only_joining_seams_are_pressed_open():
    assert steps_of()["Press the seams"].minutes == pytest.approx(600 / 1000)


def test_each_bought_part_takes_its_time():
    assert steps_of()["Fit: slider"].minutes == 4.0


def test_only_setting_up_is_shared_by_a_run():
    one, ten = steps_of(), steps_of(replace(BAG, run_count=10))
    assert ten["Set up the machine"].minutes == one["Set up the machine"].minutes / 10
    assert "shared by 10 bags" in ten["Set up the machine"].reckoned
    assert {name for name in one if one[name].minutes != ten[name].minutes} == {"Set up the machine"}


def test_rest_is_added_to_every_step():
    without, with_rest = steps_of(), steps_of(standards=TimeStandards(allowance_share=0.15))
    for name, step in without.items():
        assert with_rest[name].minutes == pytest.approx(1.15 * step.minutes)


def test_every_kind_of_seam_has_a_handling_time():
    assert TimeStandards().seam_handling_minutes.keys() == set(SeamKind)


@given(st.floats(0, 1e5), st.floats(0.5, 10), st.floats(1, 5000), st.integers(1, 5))
def test_property_machine_time_adds_up_over_parts_and_rows(length_mm, stitch_mm, speed_spm, rows):
    whole = machine_minutes(length_mm, stitch_length_mm=stitch_mm, speed_spm=speed_spm, rows=rows)
    half = machine_minutes(length_mm / 2, stitch_length_mm=stitch_mm, speed_spm=speed_spm)
    assert whole == pytest.approx(2 * rows * half)


@pytest.mark.parametrize(
    ("length_mm", "stitch_mm", "speed_spm"), [(1, 0, 1), (1, 1, 0), (-1, 1, 1), (1, float("nan"), 1)]
)
def test_machine_time_rejects_what_cannot_be_sewn(length_mm, stitch_mm, speed_spm):
    with pytest.raises(BrokenPromise):
        machine_minutes(length_mm, stitch_length_mm=stitch_mm, speed_spm=speed_spm)


def test_rest_rejects_a_negative_allowance():
    with pytest.raises(BrokenPromise):
        standard_minutes(1.0, -0.1)


def test_working_steps_reject_an_empty_run():
    with pytest.raises(BrokenPromise):
        steps_of(replace(BAG, run_count=0))
