"""`bagwright bulk` and `bagwright strap`: from JSON to values and words."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bagwright.body.strength import seam_strength_n_per_mm, strap_pull_n, thread_strength_n
from bagwright.errors import FaultyInput
from bagwright.model.bulk import Fit
from bagwright.units import UnitSystem
from bagwright.workflows.seam_bulk import bag_bulks
from bagwright.workflows.tell_bulk import bulk_as_json, bulk_in_words, bulk_line, bulk_of_file
from bagwright.workflows.tell_strap import strap_as_json, strap_in_words, strap_of_file
from tests.json_doc import examples
from tests.workflows.demo_values import BAGS, SHELF, demo_answer

FILE: Any = next(example.file for example in examples() if example.command == "bulk")
STRAP = {"load_g": 6000, "ends": 4, "stitched_mm": 90}


def told(**changes: object):
    return bulk_of_file(json.dumps(FILE | changes).encode())


def strap(**changes: object):
    return strap_of_file(json.dumps(STRAP | changes).encode())


def bulk_at(found, seam_id: str, *, crossing: bool = False):
    return next(b for b in found.bulks if b.seam_id == seam_id and (b.at_mm is not None) is crossing)


def test_thickness_adds_up_by_hand():
    bottom = bulk_at(told(), "outer-bottom")
    assert (bottom.layers, bottom.trimmed_layers) == (4, 2)
    assert bottom.thickness_mm.low == pytest.approx(2 * (0.6 + 0.3))
    assert bottom.trimmed_mm.high == pytest.approx(2 * 0.6)
    top_over_strap = bulk_at(told(), "top-2")
    assert top_over_strap.thickness_mm.low == pytest.approx(0.6 + 0.3 + 0.25 + 4 * 0.6)


def test_layers_cut_to_the_net_line_are_not_in_a_seam():
    net = {"material_id": "web", "held": "fused", "extent": "net line only"}
    stacks = FILE["stacks"] | {"outer": [{"material_id": "canvas"}, net]}
    assert bulk_at(told(stacks=stacks), "outer-bottom").layers == 2


@pytest.mark.parametrize(
    ("takes", "fit", "words"),
    [(6, Fit.FITS, "mm."), (4, Fit.TOO_THICK, "trim the inner layers"), (2, Fit.TOO_THICK, "even trimmed")],
)
def test_crossing_at_the_boxed_corner_against_the_machine(takes, fit, words):
    corner = bulk_at(told(), "outer-box-1", crossing=True)
    # By hand: six layers of canvas and six of interfacing, 5.4 mm; six of canvas trimmed, 3.6 mm.
    assert (corner.layers, corner.trimmed_layers) == (12, 6)
    assert (corner.thickness_mm.high, corner.trimmed_mm.high) == pytest.approx((5.4, 3.6))
    assert corner.fit(takes) is fit
    assert words in bulk_line(corner, takes, UnitSystem.METRIC)


def test_advice_goes_by_the_heaviest_outermost_cloth():
    assert told().advice.needle_nm.low == 100
    light = [m | {"mass_gsm": 120} if m["id"] == "canvas" else m for m in FILE["materials"]]
    assert told(materials=light).advice.needle_nm.low == 65
    leather = [m | {"holes_stay": True} if m["id"] == "canvas" else m for m in FILE["materials"]]
    assert "leather" in " ".join(told(materials=leather).advice.notes)


def test_words_tell_every_step_once_and_what_to_sew_with():
    words = bulk_in_words(told(), UnitSystem.INCH)
    steps = {bulk.name for bulk in told().bulks}
    assert all(words.count(f"{step}:") + words.count(f"{step}, where") == 1 for step in steps)
    assert "100/16 to 110/18" in words and "0.12 in" in words


def test_every_demo_bag_has_bulk():
    for bag_id, bag in BAGS.items():
        pattern = demo_answer(bag_id).pattern
        bulks = bag_bulks(pattern, bag.stacks, SHELF)
        assert {bulk.seam_id for bulk in bulks} == {seam.id for seam in pattern.seams}
        assert all(0 < bulk.thickness_mm.low < 60 for bulk in bulks)


def test_bulk_rejects_a_missing_thickness_at_its_place_in_the_file():
    bare = [{key: value for key, value in m.items() if key != "thickness_mm"} for m in FILE["materials"]]
    with pytest.raises(FaultyInput) as refused:
        told(materials=bare)
    assert {problem.place for problem in refused.value.problems} == {f"materials[{i}].thickness_mm" for i in range(3)}


def test_strap_agrees_with_the_formulas():
    found = strap(spread_mm=150, drop_mm=250)
    pull = strap_pull_n(6 * 9.80665, angle_deg=found.angle_deg, ends=4)
    assert found.join.pull_n == pytest.approx(pull)
    thread = thread_strength_n(40)
    assert found.join.bears_n.low == pytest.approx(90 * seam_strength_n_per_mm(3, thread.low))
    assert strap(spread_mm=0).angle_deg == 0


def test_strap_words_hold_the_numbers_and_every_caution():
    found = strap()
    words = strap_in_words(found, UnitSystem.METRIC)
    assert "1.5 kg at rest" in words and "4.5 kg" in words
    assert all(caution in words for caution in found.join.cautions)
    assert " lb" in strap_in_words(found, UnitSystem.INCH)
    answer: Any = strap_as_json(found)
    assert answer["cautions"] == list(found.join.cautions)


def test_strap_rejects_every_fault_at_once():
    with pytest.raises(FaultyInput) as refused:
        strap(load_g=0, ends=0, thread_tex=1)
    assert {problem.place for problem in refused.value.problems} == {"load_g", "ends", "thread_tex"}


def test_bulk_json_holds_both_fits():
    assert bulk_as_json(told(thickest_needle_nm=100))["needle_nm"] == {"low": 100, "high": 100}
    answer: Any = bulk_as_json(told(takes_mm=4))
    corner = next(s for s in answer["seams"] if s["seam_id"] == "outer-box-1" and s["crosses"])
    assert (corner["fit"], corner["trimmed_fit"]) == ("too thick", "fits")
