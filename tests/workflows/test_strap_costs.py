"""Webbing and hardware of straps: weighed, sewn through, timed and bought as what they are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.model.bag import Bag
from bagwright.model.material import Layer
from tests.workflows.demo_values import SHELF, answer_of, with_material, with_stacks

STACKS = {
    "outer": (Layer("pond-canvas"),),
    "lining": (Layer("chalk-poplin"),),
    "webbing": (Layer("flax-webbing"),),
    "ring": (Layer("brass-ring"),),
    "strap_adjuster": (Layer("brass-adjuster"),),
}
BAG = Bag(id="b", name="Gusset bag (invented)", form="gusset_bag", measurements_mm={"strap_kind": 4.0}, stacks=STACKS)


def test_webbing_strap_is_answered_in_full_without_cloth_for_it():
    answer = answer_of(BAG)
    assert answer.problems == ()
    assert not any(cut.piece_id.startswith("strap") for cut in answer.cuts)
    bought = {purchase.material_id: purchase for purchase in answer.plan.purchases}
    assert {"flax-webbing", "brass-ring", "brass-adjuster"} <= bought.keys()


def test_seams_through_webbing_are_as_thick_as_it_is():
    answer = answer_of(BAG)
    webbing, canvas = (
        SHELF.materials["flax-webbing"].thickness_mm.value,
        SHELF.materials["pond-canvas"].thickness_mm.value,
    )
    by_id = {use.seam_id: use for use in answer.threads}
    # The end on itself is webbing twice; a basted end is one layer on the outer, the tab two.
    assert by_id["strap-bar"].thickness_mm == pytest.approx(2 * webbing)
    held = sorted(use.thickness_mm for key, use in by_id.items() if key.startswith("strap-ends"))
    assert held == pytest.approx([canvas + webbing, canvas + 2 * webbing])


def test_hardware_and_webbing_add_their_weight():
    plain = answer_of(
        with_stacks(
            Bag(id="b", name="b", form="gusset_bag", measurements_mm={}, stacks=STACKS),
            {"strap": (Layer("pond-canvas"),)},
        )
    )
    answer = answer_of(BAG)
    heavier = answer_of(BAG, shelf=with_material("brass-ring", mass_each_g=105.2))
    assert heavier.mass_g - answer.mass_g == pytest.approx(100)
    metres = sum(need.length_mm for need, _ in answer.notions if need.role == "webbing") / 1000
    denser = answer_of(BAG, shelf=with_material("flax-webbing", mass_gpm=121.0))
    assert denser.mass_g - answer.mass_g == pytest.approx(100 * metres)
    assert plain.problems == ()


@pytest.mark.parametrize(
    ("change", "place"), [({"thickness_mm": None}, "thickness_mm"), ({"mass_gpm": None}, "mass_gpm")]
)
def test_webbing_rejects_a_missing_reading_by_its_field(change, place):
    answer = answer_of(BAG, shelf=with_material("flax-webbing", **change))
    assert f"materials.flax-webbing.{place}" in {problem.place for problem in answer.problems}


def test_snap_and_feet_are_bought_and_the_squares_behind_the_snap_are_cut():
    stacks = {
        **STACKS,
        "magnetic_snap": (Layer("brass-snap"),),
        "feet": (Layer("brass-feet"),),
        "reinforcement": (Layer("mist-fuse"),),
    }
    sizes = {"strap_kind": 3.0, "magnetic_snap": 1.0, "feet": 1.0}
    answer = answer_of(replace(BAG, measurements_mm=sizes, stacks=stacks))
    assert answer.problems == ()
    (square,) = [cut for cut in answer.cuts if cut.piece_id == "snap_square"]
    assert (square.count, square.material_id) == (2, "mist-fuse")
    assert {"brass-snap", "brass-feet"} <= {purchase.material_id for purchase in answer.plan.purchases}
    heavier = answer_of(replace(BAG, measurements_mm={**sizes, "feet": 2.0}, stacks=stacks))
    assert heavier.mass_g - answer.mass_g == pytest.approx(SHELF.materials["brass-feet"].mass_each_g.value)


def test_each_bought_part_takes_its_time():
    (fitted,) = [step for step in answer_of(BAG).steps if step.name == "Fit the bought parts"]
    for part in ("ring", "adjuster"):
        assert any(one.says.startswith(part) and one.minutes > 0 for one in fitted.parts)
