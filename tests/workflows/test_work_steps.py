"""The order of work with what the bag is made of: cutting, fusing, layers of cloth, a last look."""

from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.forms import draft_bag
from bagwright.model.heat import Fusing
from bagwright.model.material import Held
from bagwright.model.pattern import SeamKind, Stage
from bagwright.workflows.tell_heat import heat_of_stack
from bagwright.workflows.work_steps import work_steps
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
