"""The order of work with what the bag is made of: cutting, fusing, layers of cloth, a last look."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from bagwright.drafting import cautions
from bagwright.drafting.forms import draft_bag
from bagwright.model.bag import Workroom
from bagwright.model.heat import Fusing
from bagwright.model.material import Held
from bagwright.model.pattern import SeamKind, Stage
from bagwright.workflows.tell_heat import heat_of_stack
from bagwright.workflows.tell_price import price_of_file
from bagwright.workflows.thread_use import thread_uses
from bagwright.workflows.work_steps import work_steps
from tests.json_doc import examples
from tests.workflows.demo_values import BAGS, POUCH, SHELF, TOTE


def steps_of(bag_id):
    bag = BAGS[bag_id]
    return work_steps(draft_bag(bag.form, bag.measurements_mm), bag.stacks, SHELF)


def test_work_begins_with_the_blade_and_ends_with_a_look():
    steps = steps_of(TOTE)
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    assert steps[0].cautions == (cautions.BLADE,)
    assert steps[-1].stage is Stage.CLOSE
    assert {cautions.STRAP_LOAD, cautions.RULES} <= set(steps[-1].cautions)


def test_every_fused_layer_is_a_step_with_the_caution_of_the_iron():
    fused = [step for step in steps_of(TOTE) if step.stage is Stage.FUSE]
    pattern = draft_bag("boxed_tote", BAGS[TOTE].measurements_mm)
    used = {piece.role for piece in pattern.pieces}
    layers = [layer for role, stack in BAGS[TOTE].stacks.items() if role in used for layer in stack]
    assert len(fused) == len([layer for layer in layers if layer.held is Held.FUSED]) > 0
    assert all(step.cautions == (cautions.IRON,) for step in fused)


def test_fusing_steps_agree_with_the_heat_plan():
    plan = heat_of_stack(BAGS[TOTE].stacks["outer"], SHELF, place="outer").joints[0]
    step = next(step for step in steps_of(TOTE) if step.stage is Stage.FUSE and plan.inner in step.name)
    assert f"from the side of {plan.press_on}, iron at {plan.setting}" in step.name
    assert step.name.endswith("test it on a scrap first") is (plan.verdict is not Fusing.CAN)


def test_what_cannot_be_fused_is_held_without_the_iron():
    bag = BAGS[TOTE]
    unglued = replace(bag.stacks["lining"][0], held=Held.FUSED)
    stacks = {**bag.stacks, "outer": (bag.stacks["outer"][0], unglued)}
    steps = work_steps(draft_bag(bag.form, bag.measurements_mm), stacks, SHELF)
    step = next(step for step in steps if step.stage is Stage.FUSE)
    assert step.name.startswith("Hold ") and step.name.endswith("without the iron")
    assert any("No glue lies between" in caution for caution in step.cautions)
    assert cautions.IRON not in step.cautions


def test_basted_and_quilted_layers_are_steps_unless_the_pattern_draws_their_lines():
    bag, (outer, fused) = BAGS[TOTE], BAGS[TOTE].stacks["outer"]

    def steps(held: Held, **sizes: float):
        stacks = {**bag.stacks, "outer": (outer, replace(fused, held=held))}
        found = work_steps(draft_bag(bag.form, {**bag.measurements_mm, **sizes}), stacks, SHELF)
        return [step for step in found if step.layer and step.layer.held is held]

    (basted,), (quilted,) = steps(Held.BASTED), steps(Held.QUILTED)
    assert (basted.id, quilted.id) == (f"baste:outer:{fused.material_id}", f"quilt:outer:{fused.material_id}")
    assert basted.stage is quilted.stage is Stage.FUSE
    assert not steps(Held.QUILTED, quilting=1)
    assert not steps(Held.LOOSE)


def test_layers_of_cloth_property_are_at_least_those_of_pieces():
    """An interfacing that reaches into the allowance is met by the needle as well."""
    from bagwright.drafting.order_of_work import order_of_work

    bag = BAGS[TOTE]
    plain = {s.name: s.layers for s in order_of_work(draft_bag(bag.form, bag.measurements_mm))}
    for step in steps_of(TOTE):
        if step.name in plain:
            assert step.layers >= plain[step.name]


def test_every_caution_of_the_pattern_is_told_in_some_step():
    for bag_id in BAGS:
        bag = BAGS[bag_id]
        pattern = draft_bag(bag.form, bag.measurements_mm)
        told = {caution for step in steps_of(bag_id) for caution in step.cautions}
        always = {cautions.IRON, cautions.NEEDLE}  # told where there is something to fuse or a thick seam
        assert set(pattern.cautions) - always <= told


def test_zip_steps_of_the_pouch_are_sewn_with_the_zip_foot():
    assert [s.stage for s in steps_of(POUCH) if s.kind is SeamKind.ZIP] == [Stage.ZIPS, Stage.ZIPS]


def test_thread_of_undrawn_quilting_worked_by_hand():
    """Lines 38.1 mm apart over the area; 2 (1 + t / p) for each mm of them, through the whole stack, 15 % for waste."""
    bag, (outer, fused) = BAGS[TOTE], BAGS[TOTE].stacks["outer"]
    quilted = replace(fused, held=Held.QUILTED)
    stacks = {**bag.stacks, "outer": (outer, quilted)}

    def uses(**sizes: float):
        pattern = draft_bag(bag.form, {**bag.measurements_mm, **sizes})
        return pattern, [
            use for use in thread_uses(pattern, stacks, SHELF, Workroom()) if use.seam_id.startswith("quilt:")
        ]

    pattern, found = uses()
    pieces = [piece for piece in pattern.pieces if piece.role == "outer"]
    thick = sum(SHELF.materials[layer.material_id].thickness_mm.value for layer in (outer, quilted))
    for piece, use in zip(pieces, found, strict=True):
        line_mm = piece.count * piece.region(quilted.extent).area_mm2 / 38.1
        assert use.seam_length_mm == pytest.approx(line_mm)
        assert use.thread_mm == pytest.approx(line_mm * 2 * (1 + thick / 3) * 1.15)
    assert uses(quilting=1)[1] == []


def test_basting_of_the_felt_in_the_document_worked_by_hand():
    """docs/json.md, `bagwright price`: felt on the base of a tote 300 mm wide, half of its 127 mm (5 in) on each panel.

    Two strips of 300 x 63.5 mm: 2 x 727 mm along the edges at 1500 mm a minute, 0.75 min to handle each, and 15 % rest.
    A run of 3 takes 6 strips, side by side on 381 of the sheet's 450 mm: 300 of its 600 mm, half of 3.40, 0.57 a bag.
    """
    example = next(one for one in examples() if one.command == "price")
    answer = price_of_file(json.dumps(example.file).encode()).answer
    (basted,) = [step for step in answer.steps if step.id == "baste:outer:base-felt:base"]
    assert basted.minutes == pytest.approx(float((Fraction(2 * 727, 1500) + 2 * Fraction(3, 4)) * Fraction(115, 100)))
    assert answer.price
    felt = next(part for part in answer.price.parts if part.offer_id == "sheet")
    assert answer.bag.run_count == 3
    assert felt.amount.for_display() == Decimal("0.57")
