"""`bagwright price`: a whole bag as JSON, its answer by hand, and every kind of fault at its place in the file."""

from __future__ import annotations

import copy
import json
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.errors import FaultyInput
from bagwright.workflows.tell_price import price_as_json, price_of_file
from tests.json_doc import examples

FILE = next(example.file for example in examples() if example.command == "price")


def changed(**changes):
    """The documented example with some of its top fields replaced."""
    return {**copy.deepcopy(FILE), **changes}


def planted(path, value):
    """The documented example with one value replaced (or taken out, for `...`) at a path of names and numbers."""
    file = copy.deepcopy(FILE)
    inner = file
    for step in path[:-1]:
        inner = inner[step]
    if value is ...:
        del inner[path[-1]]
    else:
        inner[path[-1]] = value
    return file


def priced(file):
    return price_as_json(price_of_file(json.dumps(file).encode()))


def faults_of(file):
    with pytest.raises(FaultyInput) as refused:
        price_of_file(json.dumps(file).encode())
    problems = refused.value.problems
    assert all(problem.allowed and problem.remedy for problem in problems)
    return {problem.place: problem for problem in problems}


def test_the_answer_is_json_and_its_money_adds_up():
    answer = priced(FILE)
    json.dumps(answer, allow_nan=False)
    money = {name: Decimal(answer[name]) for name in ("paid", "used", "left")}
    assert money["paid"] == pytest.approx(money["used"] + money["left"], abs=Decimal("0.01"))
    parts = [Decimal(answer[name]) for name in ("materials", "supplies", "overhead", "pay", "fees")]
    assert sum(parts) == pytest.approx(Decimal(answer["paid_price"]), abs=Decimal("0.03"))
    assert sum(parts[:3]) == pytest.approx(Decimal(answer["floor"]), abs=Decimal("0.02"))
    assert all(layout["checked"] for layout in answer["layouts"])
    assert answer["currency"] == "EUR"


def test_pay_and_fees_agree_with_a_sum_by_hand():
    """Pay 30 an hour for m minutes; the price p keeps 5 % and 0.30 of each sale, so p = (floor + pay + 0.30) / 0.95."""
    answer = priced(changed(workroom={"currency": "EUR", "hourly_pay": "30"}))
    pay = answer["minutes"] / 60 * 30
    assert float(answer["pay"]) == pytest.approx(pay, abs=0.006)
    assert float(answer["paid_price"]) == pytest.approx((float(answer["floor"]) + pay + 0.30) / 0.95, abs=0.012)


def test_canvas_bought_agrees_with_its_layout_by_hand():
    """The example's bolt: 1448 mm wide, no selvedge or shrinkage named, steps of 100 mm, 14.00 a metre."""
    answer = priced(FILE)
    layout = next(one for one in answer["layouts"] if one["material_id"] == "canvas")
    bought = next(one for one in answer["purchases"] if one["material_id"] == "canvas")
    assert layout["usable_width_mm"] == 1448
    steps = -(-layout["length_mm"] // 100)
    assert bought["quantity"] == steps * 100
    assert float(bought["paid"]) == pytest.approx(steps * 1.40, abs=0.005)


def test_the_same_file_has_the_same_answer():
    assert priced(FILE) == priced(FILE)


@pytest.mark.parametrize(
    ("path", "value", "place"),
    [
        (["form"], "boxed_toto", "form"),
        (["form"], 3, "form"),
        (["stacks", "outer", 0, "material_id"], "canvass", "stacks.outer[0].material_id"),
        (["stacks", "outer", 0, "material_id"], "", "stacks.outer[0].material_id"),
        (["stacks", "outer", 0, "held"], "glued", "stacks.outer[0].held"),
        (["stacks", "outer"], [], "stacks.outer"),
        (["stacks", "wheel"], [{"material_id": "canvas"}], "stacks.wheel"),
        (["stacks", "lining"], ..., "stacks.lining"),
        (["measurements_mm", "width_mm"], -3, "measurements_mm.width_mm"),
        (["measurements_mm", "width_mm"], "14 in", "measurements_mm.width_mm"),
        (["measurements_mm", "wdith_mm"], 300, "measurements_mm.wdith_mm"),
        (["measurements_mm", "inside_pockets"], 1.5, "measurements_mm.inside_pockets"),
        (["materials", 0, "mass_gsm"], ..., "materials[0].mass_gsm"),
        (["materials", 0, "overhang_mm"], ..., "materials[0].overhang_mm"),
        (["materials", 1, "thickness_mm"], ..., "materials[1].thickness_mm"),
        (["materials", 2, "mass_gpm"], ..., "materials[2].mass_gpm"),
        (["materials", 1, "id"], "canvas", "materials[1].id"),
        (["materials", 0, "kind"], "canvas", "materials[0].kind"),
        (["materials"], [], "materials"),
        (["offers", 0, "price"], "1e-99999999", "offers[0].price"),
        (["offers", 0, "price"], "-1", "offers[0].price"),
        (["offers", 0, "price"], "NaN", "offers[0].price"),
        (["offers", 0, "price"], 14, "offers[0].price"),
        (["offers", 0, "price"], "", "offers[0].price"),
        (["offers", 0, "price"], "1,000", "offers[0].price"),
        (["offers", 0, "dated"], "2026-02-30", "offers[0].dated"),
        (["offers", 0, "dated"], "30.11.2026", "offers[0].dated"),
        (["offers", 0, "step_mm"], 0, "offers[0].step_mm"),
        (["offers", 0, "width_mm"], -1, "offers[0].width_mm"),
        (["offers", 0, "sold"], "by weight", "offers[0].sold"),
        (["offers", 0, "material_id"], "felt", "offers[0].material_id"),
        (["offers", 1, "id"], "bolt", "offers[1].id"),
        (["offers"], [], "offers"),
        (["workroom", "currency"], "euro", "workroom.currency"),
        (["workroom", "hourly_pay"], "lots", "workroom.hourly_pay"),
        (["workroom", "stitch_length_mm"], 0, "workroom.stitch_length_mm"),
        (["run_count"], 0, "run_count"),
        (["run_count"], 201, "run_count"),
        (["run_count"], True, "run_count"),
        (["seconds"], -1, "seconds"),
    ],
)
def test_rejects_faults_at_their_place(path, value, place):
    assert place in faults_of(planted(path, value))


def test_every_fault_of_every_part_is_told_at_once():
    file = changed(run_count=3)
    file["measurements_mm"] = {"width_mm": -3, "heigth_mm": 300}
    file["stacks"]["outer"][0]["material_id"] = "canvass"
    file["stacks"]["wheel"] = [{"material_id": "felt"}]
    file["offers"][0]["material_id"] = "felt"
    file["materials"][1]["id"] = "canvas"
    assert faults_of(file).keys() >= {
        "measurements_mm.width_mm",
        "measurements_mm.heigth_mm",
        "stacks.outer[0].material_id",
        "stacks.wheel",
        "stacks.wheel[0].material_id",
        "offers[0].material_id",
        "materials[1].id",
    }


def test_what_was_meant_is_guessed_for_materials():
    problem = faults_of(planted(["stacks", "outer", 0, "material_id"], "canvass"))["stacks.outer[0].material_id"]
    assert problem.remedy == 'Did you mean "canvas"?'


def test_cloth_too_narrow_for_a_piece_is_told_at_its_material():
    problem = faults_of(planted(["offers", 0, "width_mm"], 200))["materials[0]"]
    assert problem.value == "Invented canvas"
    assert "narrow" in problem.what


def test_a_price_that_is_missing_is_no_zero():
    file = planted(["offers"], FILE["offers"][1:])
    problem = faults_of(file)["materials[0].offers"]
    assert "offer" in problem.remedy


def test_ids_that_look_like_paths_are_still_found_in_the_file():
    file = json.loads(json.dumps(FILE).replace('"canvas"', '"a.b[0].c"'))
    del file["materials"][0]["overhang_mm"]
    assert faults_of(file).keys() == {"materials[0].overhang_mm"}


def test_one_id_that_begins_like_another_is_told_apart():
    file = json.loads(json.dumps(FILE).replace('"lawn"', '"canvas.mass_gsm"'))
    del file["materials"][1]["overhang_mm"]
    assert faults_of(file).keys() == {"materials[1].overhang_mm"}


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-10, 10**9) | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


def places_in(value, path=()):
    yield path
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from places_in(inner, (*path, name))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from places_in(inner, (*path, number))


PLACES = [list(path) for path in places_in(FILE) if path]


@settings(max_examples=150)
@given(path=st.sampled_from(PLACES), value=JSON)
def test_any_value_anywhere_is_answered_or_refused_property(path, value):
    file = planted(path, value)
    file["seconds"] = 0
    try:
        priced(file)
    except FaultyInput as fault:
        assert fault.problems


def heights(answer):
    return [panel["standing_height_mm"] for panel in answer["panels"]]


def fused_pair():
    """Two materials of the example, and the example with the one fused behind the other."""
    stacks = {**FILE["stacks"], "outer": [{"material_id": "canvas"}, {"material_id": "lawn", "held": "fused"}]}
    return {"outer_id": "canvas", "inner_id": "lawn"}, changed(stacks=stacks)


def test_a_tested_bond_narrows_how_high_panels_stand():
    pair, file = fused_pair()
    wide, narrow = (heights(priced({**file, "bonds": bonds})) for bonds in ([], [{**pair, "share": 0.5}]))
    widths = [[one["high"] - one["low"] for one in found] for found in (wide, narrow)]
    assert all(a <= b + 1e-9 for a, b in zip(widths[1], widths[0], strict=True)) and sum(widths[1]) < sum(widths[0])
    turned = {"outer_id": pair["inner_id"], "inner_id": pair["outer_id"], "share": 0.5}
    assert heights(priced({**file, "bonds": [turned]})) == narrow


def test_rejects_bonds_of_no_material_told_twice_or_empty():
    pair, file = fused_pair()
    bonds = [{**pair, "share": 0.5}, {**pair, "inner_id": "moon", "share": 2}, {**pair, "share": 0.6}, pair]
    assert set(faults_of({**file, "bonds": bonds})) == {"bonds[1].share"}
    bonds[1]["share"] = 1
    assert set(faults_of({**file, "bonds": bonds})) == {"bonds[1].inner_id", "bonds[2]", "bonds[3]"}
