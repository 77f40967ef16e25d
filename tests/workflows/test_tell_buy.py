"""`bagwright buy`: what it takes, what it refuses and where, and what it says."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest

from bagwright.errors import FaultyInput, NoAnswer
from bagwright.units import UnitSystem
from bagwright.workflows.tell_buy import buy_as_json, buy_in_words, buy_of_file
from tests.json_doc import examples

EXAMPLE: dict[str, Any] = next(one.file for one in examples() if one.command == "buy")


def changed(**others: Any) -> dict[str, Any]:
    return {**copy.deepcopy(EXAMPLE), **others}


def with_need(**others: Any) -> dict[str, Any]:
    file = changed()
    file["needs"][0] |= others
    return file


def answer(file: dict[str, Any]) -> dict[str, Any]:
    return json.loads(json.dumps(buy_as_json(buy_of_file(json.dumps(file).encode()))))


def test_the_words_name_shelf_shops_and_doubt():
    told = buy_in_words(buy_of_file(json.dumps(EXAMPLE).encode()), UnitSystem.INCH)
    assert told.splitlines() == [
        "Invented canvas: 1 of 3 of part 1 cut before, so not bought again.",
        "From your shelf: canvas remnant.",
        "Invented mill: $20.40, delivery $4.90",
        "  1 yd of Invented canvas, 44 in wide: $14.00",
        "  2 packs of Invented ring, 4 in a pack: $6.40",
        "Paid $25.30: $22.41 is used, $2.89 is left over.",
        "No cheaper way to buy it exists among these offers and layouts.",
        "One more small tote costs $0.05 more. "
        "Buy on top: 1/8 yd of Invented canvas, 44 in wide; 1 pack of Invented ring, 4 in a pack.",
        told.splitlines()[-1],
    ]
    assert told.splitlines()[-1].startswith('offers[3].dated: "2021-03-01" is too long ago')


def test_the_next_bag_takes_the_difference_of_both_runs():
    # By hand: 1/8 yd at 14.00 a yard is 1.75, a pack 3.20; goods of 20.40 become 25.35, so delivery of 4.90 falls away.
    (told,) = answer(EXAMPLE)["next"]
    assert told["extra"] == "0.05"
    assert [(one["offer_id"], one["quantity"]) for one in told["more"]] == [("bolt", 114.3), ("rings", 1.0)]
    both = answer(changed(needs=EXAMPLE["next"][0]["needs"], next=[]))
    assert float(both["paid"]) == pytest.approx(25.30 + 0.05)
    (same,) = answer(changed(next=[{"name": "tote", "needs": EXAMPLE["needs"]}]))["next"]
    assert (same["extra"], same["more"], same["less"]) == ("0.00", [], [])
    assert same["says"] == "One more tote costs nothing more: what is paid for covers it."


def test_all_sums_are_those_of_the_lines():
    told = answer(EXAMPLE)
    paid = sum(float(one["paid"]) for one in told["purchases"])
    assert float(told["paid"]) == pytest.approx(paid + float(told["delivery"]))
    assert float(told["used"]) + float(told["left"]) == pytest.approx(float(told["paid"]))


@pytest.mark.parametrize(
    ("file", "places"),
    [
        (with_need(length_mm=50, count=2, laid=[], parts=[1], ready=[], stash=[]), ["needs[0]"]),
        (with_need(laid=[]), ["needs[0]"]),
        (with_need(stash=[{"id": "r", "holds": [1]}]), ["needs[0].stash[0].holds"]),
        (with_need(part_areas_mm2=[1]), ["needs[0].part_areas_mm2"]),
        (with_need(ready_made_from_mm=200), ["needs[0].ready_made_from_mm"]),
        (with_need(goes_on=True), ["needs[0].goes_on"]),
        (with_need(material_id="silk"), ["needs[0]"]),
        (
            changed(next=[{"name": "tote", "needs": [{"material_id": "silk", "name": "silk", "count": 1}]}]),
            ["next[0].needs[0]"],
        ),
        (changed(next=[{"name": "tote", "needs": [{"material_id": "ring", "name": "ring"}]}]), ["next[0].needs[0]"]),
        (changed(sellers=[{"seller": "a"}, {"seller": "a"}]), ["sellers[1].seller"]),
        (changed(offers=[*EXAMPLE["offers"], EXAMPLE["offers"][0]]), ["offers[4].id"]),
        (changed(offers=EXAMPLE["offers"][:2]), ["needs[1]"]),
        (changed(oldest="2026-11-02"), ["offers[0].dated", "offers[1].dated", "offers[2].dated", "offers[3].dated"]),
        (changed(left_worth=2), ["left_worth"]),
        (changed(oldest="soon"), ["oldest"]),
    ],
)
def test_faults_name_their_fields(file, places):
    with pytest.raises(FaultyInput) as caught:
        answer(file)
    assert [problem.place for problem in caught.value.problems] == places


def test_a_least_order_out_of_reach_is_no_answer():
    gift = {**EXAMPLE["offers"][2], "price": "0"}
    file = changed(
        needs=EXAMPLE["needs"][1:], offers=[gift], sellers=[{"seller": gift["seller"], "least_order": "5.00"}]
    )
    with pytest.raises(NoAnswer):
        answer(file)


def test_told_shares_add_up_to_what_is_paid_where_both_end_in_half_a_cent():
    # 9 of 12 rings in 3 packs at 7.18: 16.155 used, 5.385 left (arithmetic by hand).
    told = answer(
        {
            "needs": [{"material_id": "ring", "name": "Invented ring", "count": 9}],
            "offers": [
                {
                    "id": "rings",
                    "material_id": "ring",
                    "seller": "Invented mill",
                    "price": "7.18",
                    "dated": "2026-11-01",
                    "sold": "by count",
                    "pack_count": 4,
                }
            ],
        }
    )
    for one in (told, *told["purchases"]):
        assert (one["paid"], one["used"], one["left"]) == ("21.54", "16.16", "5.38")


def test_what_was_cut_before_is_not_bought_and_that_is_said():
    told = answer(with_need(ready=[3, 1]))
    assert [one["material_id"] for one in told["purchases"]] == ["ring"]
    assert not [one for one in told["taken"] if one["need"] == 0]
    assert [(one["need"], one["holds"]) for one in told["ready"]] == [(0, [3, 1])]
    assert float(answer(with_need(ready=[]))["paid"]) >= float(answer(EXAMPLE)["paid"]) > float(told["paid"])
    tape = {"material_id": "canvas", "name": "Tape", "length_mm": 900, "parts": [2], "ready": [2]}
    assert [one["material_id"] for one in answer(changed(needs=[tape, EXAMPLE["needs"][1]]))["purchases"]] == ["ring"]
    with pytest.raises(FaultyInput) as caught:
        answer(with_need(ready=[1]))
    assert [problem.place for problem in caught.value.problems] == ["needs[0].ready"]
