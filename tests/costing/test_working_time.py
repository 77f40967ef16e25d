"""Working time: each step from what is cut, fused and sewn, by hand from the standards."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.costing.step_minutes import Pieced, Task, machine_minutes
from bagwright.costing.working_time import made_before, standard_minutes, working_steps
from bagwright.drafting.order_of_work import order_of_work
from bagwright.errors import BrokenPromise
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.bag import Workroom
from bagwright.model.cost import TimeStep
from bagwright.model.material import Extent, Held, Layer
from bagwright.model.pattern import Handwork, NotionNeed, Pattern, Seam, SeamKind, SeamSide, Stage
from bagwright.model.piece import CutPiece, EdgeUse, Mirror, Piece
from bagwright.model.timing import WHOLE_BAG, TimeStandards
from bagwright.model.work_step import WorkStep
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
WORKROOM = Workroom(units=UnitSystem.METRIC, stitch_length_mm=3.0, sewing_speed_spm=400.0)
NO_REST = TimeStandards(allowance_share=0.0)
FUSE = WorkStep(number=2, stage=Stage.FUSE, name="fuse", id="fuse:fusible", piece_ids=("panel",), layer=STACK[1])
WORK = (
    WorkStep(number=1, stage=Stage.PREPARE, name="cut", id="cut"),
    FUSE,
    *order_of_work(POUCH),
    WorkStep(number=9, stage=Stage.CLOSE, name="look", id="finish"),
)
TASK = Task(work=WORK, pattern=POUCH, cuts=CUTS)


def steps_of(
    task: Task = TASK, standards: TimeStandards = NO_REST, *, run_count: int = 1, rate: float = 1.0, readings=None
) -> dict[str, TimeStep]:
    workroom = replace(WORKROOM, standards=standards, learning_rate=rate)
    steps = working_steps(task, workroom=workroom, readings=readings or {}, run_count=run_count)
    return {step.id: step for step in steps}


def minutes_of(steps: dict[str, TimeStep]) -> float:
    return math.fsum(step.minutes for step in steps.values())


def test_every_step_of_the_order_of_work_has_a_time_in_its_place():
    steps = steps_of()
    assert list(steps) == ["setup", *(step.id for step in WORK[:-1]), "parts", "finish"]
    assert [steps[step.id].number for step in WORK] == [step.number for step in WORK]
    assert all(step.minutes > 0 for step in steps.values())


def test_cutting_follows_the_cut_line_and_counts_the_pieces():
    # Whole: 2 (320 + 220) = 1080 mm; net, twice: 2 (300 + 200) = 1000 mm; two copies of each: 6160 mm at 1500 a minute.
    assert steps_of()["cut"].minutes == pytest.approx(6160 / 1500 + 6 * 0.5)


def test_only_what_is_fused_is_pressed_down_and_every_copy_takes_whole_presses():
    # 300 x 200 mm = 60 000 mm2 = 3 faces of 20 000 mm2; two copies; 20 s each.
    step = steps_of()["fuse:fusible"]
    assert step.minutes == pytest.approx(6 * 20 / 60)
    assert step.reckoned == "6 presses of 15 s each and 5 s to move the iron: 2.0 min"
    larger = steps_of(standards=replace(NO_REST, iron_face_mm2=59_999.0))["fuse:fusible"]
    assert larger.minutes == pytest.approx(4 * 20 / 60)


def test_sewing_counts_stitches_rows_handling_of_its_kind_and_pressing_where_it_joins():
    steps = steps_of()
    assert steps["sew:bottom"].minutes == pytest.approx(2 * 100 / 400 + 1.0 + 300 / 1000)
    assert steps["sew:zip"].minutes == pytest.approx(100 / 400 + 2.5 + 300 / 1000)
    assert steps["sew:edge"].minutes == pytest.approx(100 / 400 + 0.75)
    assert steps["sew:bottom"].reckoned == (
        "60.0 cm in 0.3 cm stitches, 400 a minute: 0.5 min; 1 x 1 min to pin, place and clip threads: 1.0 min; "
        "press 30.0 cm of seam, 100.0 cm a minute: 0.3 min"
    )


def test_seams_of_one_step_are_timed_together():
    twin = replace(BOTTOM, id="bottom-2")
    pattern = replace(POUCH, seams=(*POUCH.seams, twin))
    two = steps_of(replace(TASK, pattern=pattern, work=(*WORK[:2], *order_of_work(pattern), WORK[-1])))
    assert two["sew:bottom"].minutes == pytest.approx(2 * steps_of()["sew:bottom"].minutes)


def test_bought_parts_go_by_count_and_handwork_by_the_step():
    assert steps_of()["parts"].minutes == 4.0
    snap = Handwork(id="snap", name="set the snap", order=4, stage=Stage.CLOSE)
    pattern = replace(POUCH, handwork=(snap,))
    assert steps_of(replace(TASK, pattern=pattern, work=order_of_work(pattern)))["hand:snap"].minutes == 1.0


def test_layers_pieced_from_scraps_take_time_for_every_join_its_further_scrap_and_its_length():
    task = replace(TASK, pieced=(Pieced(name="front fleece", joins=3, join_mm=600),))
    assert steps_of(task)["pieced:front fleece"].minutes == pytest.approx(3 * (0.5 + 1.0) + 600 / 300)


def test_inner_layers_that_are_basted_or_quilted_take_time_on_every_copy():
    # Two copies of 300 x 200 mm. Basted: 2 x 1000 mm at 1500 a minute and 2 x 0.75 min. Quilted in lines
    # 50 mm apart: 2 x 60 000 / 50 = 2400 mm at 3 mm x 400 a minute, and 2 x 4 lines of 0.3 min.
    def minutes(held: Held) -> float:
        layer = replace(STACK[1], held=held)
        work = tuple(replace(step, layer=layer) if step is FUSE else step for step in WORK)
        return steps_of(replace(TASK, work=work), replace(NO_REST, quilt_spacing_mm=50.0))["fuse:fusible"].minutes

    assert minutes(Held.BASTED) == pytest.approx(2000 / 1500 + 2 * 0.75)
    assert minutes(Held.QUILTED) == pytest.approx(2400 / 1200 + 8 * 0.3)


def test_only_setting_up_is_shared_by_a_run():
    one, ten = steps_of(), steps_of(run_count=10)
    assert ten["setup"].minutes == pytest.approx(one["setup"].minutes / 10)
    assert "shared by 10 bags" in ten["setup"].reckoned
    assert {name for name in one if one[name].minutes != ten[name].minutes} == {"setup"}


def test_practice_takes_the_average_of_the_run_off_all_work_but_setting_up():
    # An 80 % unit curve: four bags take 1, 0.8, 0.702104 and 0.64 of the first one's time.
    one, four = steps_of(), steps_of(run_count=4, rate=0.8)
    assert four["cut"].minutes == pytest.approx(one["cut"].minutes * (1 + 0.8 + 0.702104 + 0.64) / 4, rel=1e-6)
    assert four["setup"].minutes == pytest.approx(one["setup"].minutes / 4)


def test_bags_timed_before_flatten_the_curve():
    # After three of them the next one is the fourth: the fifth takes (5 / 4) ** log2 0.8 of it.
    timed = {"cut": [5.0, 5.0, 5.0]}
    now, two = steps_of(readings=timed), steps_of(readings=timed, run_count=2, rate=0.8)
    assert made_before(timed) == 3
    assert two["cut"].minutes == pytest.approx(now["cut"].minutes * (1 + 1.25 ** math.log2(0.8)) / 2)


def test_rest_is_added_to_every_step_timed_or_not():
    timed = {"cut": [5.0]}
    without, with_rest = (
        steps_of(readings=timed),
        steps_of(standards=TimeStandards(allowance_share=0.15), readings=timed),
    )
    for name, step in without.items():
        assert with_rest[name].minutes == pytest.approx(1.15 * step.minutes)


def test_her_readings_stand_in_for_the_standard_time_as_they_grow_in_number():
    standard = steps_of()["cut"].minutes
    assert steps_of(readings={"cut": [3.0]})["cut"].minutes == pytest.approx((standard + 3.0) / 2)
    assert steps_of(readings={"cut": [3.0] * 99})["cut"].minutes == pytest.approx((standard + 99 * 3.0) / 100)
    assert steps_of(readings={"cut": [3.0]})["cut"].doubt < steps_of()["cut"].doubt


def test_whole_bags_move_every_step_by_the_same_share_but_setting_up():
    plain = steps_of()
    work = minutes_of(plain) - plain["setup"].minutes
    timed = steps_of(readings={WHOLE_BAG: [2 * work]})
    assert timed["setup"] == plain["setup"]
    for name in plain.keys() - {"setup"}:
        assert timed[name].minutes == pytest.approx(1.5 * plain[name].minutes)
        assert timed[name].doubt < plain[name].doubt


TIMES = st.lists(st.floats(0.01, 500), max_size=4)


@given(TIMES, TIMES, st.integers(1, 30), st.floats(0.7, 1), st.floats(0, 0.5))
@settings(max_examples=40)
def test_property_parts_add_up_to_steps_and_steps_to_the_bag(cut, whole, count, rate, rest):
    standards = TimeStandards(allowance_share=rest)
    steps = steps_of(standards=standards, run_count=count, rate=rate, readings={"cut": cut, WHOLE_BAG: whole})
    for step in steps.values():
        assert step.minutes == math.fsum(part.minutes for part in step.parts)
        assert step.minutes > 0
        assert step.doubt >= 0
    assert minutes_of(steps) == pytest.approx(math.fsum(p.minutes for s in steps.values() for p in s.parts), rel=1e-12)


def test_every_kind_of_seam_has_a_handling_time():
    assert all(TimeStandards().handling_minutes(kind) > 0 for kind in SeamKind)


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
        steps_of(run_count=0)
