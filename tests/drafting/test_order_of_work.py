"""The order of work: numbered without gaps, stage after stage, with what a step sews, meets and asks to mind."""

import math
from dataclasses import replace

import pytest

from bagwright.drafting import cautions
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.order_of_work import THICK_LAYERS, order_of_work, pieces_met
from bagwright.drafting.soundness import prove_sound
from bagwright.model.pattern import Handwork, SeamKind, Stage


@pytest.mark.parametrize("form", FORMS)
def test_steps_property_are_numbered_and_stages_follow_one_another(form):
    steps = order_of_work(draft_bag(form, {}))
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    stages = [list(Stage).index(step.stage) for step in steps]
    assert stages == sorted(stages)


@pytest.mark.parametrize("form", [key for key in FORMS if key not in {"organiser"}])
def test_steps_property_turn_the_bag_before_or_as_its_gap_is_closed(form):
    """All but a bound panel are sewn inside out: somebody must be told when to turn them."""
    steps = [step for step in order_of_work(draft_bag(form, {})) if step.stage in (Stage.JOIN, Stage.CLOSE)]
    turned = [step.number for step in steps if step.name.startswith("Turn right side out")]
    closed = [step.number for step in steps if "gap" in step.name and step.stage is Stage.CLOSE]
    assert turned and closed
    assert turned[0] <= closed[0]


@pytest.mark.parametrize("form", FORMS)
def test_steps_property_sew_every_seam_once(form):
    pattern = draft_bag(form, {})
    sewn = math.fsum(step.length_mm for step in order_of_work(pattern))
    assert sewn == pytest.approx(math.fsum(seam.length_mm for seam in pattern.seams))


def test_layers_are_counted_by_hand():
    """Tote: a strap folded in four lies between outer and lining, so the needle meets 1 + 1 + 4 layers."""
    pattern = draft_bag("boxed_tote", {})
    top = next(step for step in order_of_work(pattern) if step.name.startswith("Sew outer and lining"))
    assert top.layers == 6 >= THICK_LAYERS
    assert cautions.NEEDLE in top.cautions
    sides = next(step for step in order_of_work(pattern) if "lining panels together at the sides" in step.name)
    assert (sides.layers, sides.cautions) == (2, ())


def test_hem_by_itself_counts_three_layers():
    """An edge turned down twice: common practice, no source."""
    pattern = draft_bag("boxed_tote", {})
    hem = next(seam for seam in pattern.seams if seam.id == "pocket-hem")
    assert pieces_met(hem) == 3


@pytest.mark.parametrize("form", FORMS)
def test_zip_steps_property_carry_the_caution_of_teeth(form):
    for step in order_of_work(draft_bag(form, {})):
        if step.kind is SeamKind.ZIP:
            assert cautions.TEETH in step.cautions


def test_handwork_counts_with_the_seams():
    pattern = draft_bag("drawstring_bag", {})
    (cords,) = pattern.handwork
    step = order_of_work(pattern)[cords.order - 1]
    assert (step.name, step.kind, step.length_mm, step.cautions) == (cords.name, None, 0.0, (cautions.CORD,))


def test_handwork_out_of_its_stage_rejects():
    pattern = draft_bag("boxed_tote", {})
    last = max(seam.order for seam in pattern.seams)
    late = Handwork(id="late", name="Set the snap", order=last + 1, stage=Stage.PREPARE)
    verdict = prove_sound(replace(pattern, handwork=(late,)))
    assert "stages of the work do not follow one another" in str(verdict.faults)


def test_handwork_in_the_place_of_a_seam_rejects():
    pattern = draft_bag("boxed_tote", {})
    twice = Handwork(id="twice", name="Set the snap", order=1, stage=Stage.PREPARE)
    assert "step 1 is more than one kind of work" in str(prove_sound(replace(pattern, handwork=(twice,))).faults)
