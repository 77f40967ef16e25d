"""A whole bag as a file: what is written comes back, what cannot be is told with its place, nothing half is kept."""

from __future__ import annotations

import base64
import io
import json
from dataclasses import fields, replace
from decimal import Decimal

import pytest
from PIL import Image

from bagwright.drafting.own_pieces import accept_own
from bagwright.errors import FaultyInput
from bagwright.model.bag import Bag, Workroom
from bagwright.model.money import Money
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.piece import DrillMark, EdgeUse, Notch, Piece, PlacementLine
from bagwright.store.materials import load_materials, load_offers
from bagwright.store.workroom import save_workroom
from bagwright.workflows.bag_changes import start_bag
from bagwright.workflows.bag_file import BagFileWords, bag_file, read_bag_file, whole_bag
from bagwright.workflows.bag_handing import file_of_bag, take_bag_in
from bagwright.workflows.desk import Desk, the_shelf
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.swatches import keep_swatch
from tests.drafting.own_samples import ROUND_FOOT, leaf, pouch
from tests.workflows.demo_values import all_bags


def picture() -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (60, 40), "teal").save(written, "PNG")
    return written.getvalue()


@pytest.fixture
def empty(tmp_path) -> Desk:
    return Desk(tmp_path / "other")


def test_every_field_of_a_bag_has_a_place_in_the_file():
    kept = {one.name for one in fields(Bag)} - {"id", "version"}
    assert kept <= set(BagFileWords.model_fields)


def test_every_bag_of_the_demo_comes_back_on_an_empty_shelf(desk, empty):
    for answer in all_bags(desk):
        taken = take_bag_in(empty, file_of_bag(desk, answer.bag.id).data)
        names = {one.id: one.name for one in the_shelf(desk).materials.values()}
        new = {one.id: one.name for one in the_shelf(empty).materials.values()}
        assert taken.bag.name == answer.bag.name
        assert {role: [names[x.material_id] for x in stack] for role, stack in answer.bag.stacks.items() if stack} == {
            role: [new[x.material_id] for x in stack] for role, stack in taken.bag.stacks.items()
        }
    told = {bag.bag.name: bag.price and bag.price.paid_price for bag in all_bags(desk)}
    priced = {bag.bag.name: bag.price and bag.price.paid_price for bag in all_bags(empty)}
    assert priced == told  # sizes, layers, numbers and prices all came along: the price follows from them


def test_what_is_on_the_shelf_already_is_used_as_it_is(desk):
    before = the_shelf(desk)
    bag = all_bags(desk)[0].bag
    taken = take_bag_in(desk, file_of_bag(desk, bag.id).data)
    assert not taken.added and taken.found
    assert the_shelf(desk) == before
    assert taken.bag.id != bag.id


def test_a_picture_goes_along(desk, empty):
    material = next(iter(the_shelf(desk).materials.values()))
    with desk.store() as store:
        version = next(one.version for one in load_materials(store) if one.value.id == material.id)
    keep_swatch(desk, material.id, version, picture())
    bag = next(
        a.bag for a in all_bags(desk) if any(x.material_id == material.id for s in a.bag.stacks.values() for x in s)
    )
    take_bag_in(empty, file_of_bag(desk, bag.id).data)
    assert [one.name for one in the_shelf(empty).materials.values() if one.swatch] == [material.name]


def test_prices_in_other_money_are_left_out_and_told(desk, empty):
    euros = Money(Decimal(2), "EUR")
    with empty.store() as store:
        room = Workroom(currency="EUR", hourly_pay=euros, overhead_per_hour=euros, selling_fee_fixed=euros)
        save_workroom(store, room)
    taken = take_bag_in(empty, file_of_bag(desk, all_bags(desk)[0].bag.id).data)
    assert taken.other_currency == "USD"
    with empty.store() as store:
        assert load_offers(store) == ()


def test_an_unfinished_bag_comes_back_too(empty):
    bag = start_bag(empty, "zip_pouch", "Nothing chosen yet")
    taken = take_bag_in(empty, file_of_bag(empty, bag.id).data)
    assert taken.bag.stacks == {}


def round_footed() -> Piece:
    """A piece with arcs, named lines and marks, half done."""
    names = [edge.name for edge in ROUND_FOOT.edges]
    return leaf(
        net=ROUND_FOOT,
        allowance_mm=dict.fromkeys(names, 10.0),
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        notches=(Notch(names[0], 30.0),),
        lines=(PlacementLine("pocket", (50.0, 60.0), (150.0, 60.0)),),
        drill_marks=(DrillMark("snap", (100.0, 90.0)),),
    )


def faults(words: dict[str, object]) -> set[str]:
    with pytest.raises(FaultyInput) as caught:
        read_bag_file(json.dumps(words).encode())
    return {problem.place for problem in caught.value.problems}


GOOD: dict[str, object] = {"bagwright_bag": 1, "name": "Pouch", "form": "zip_pouch", "stacks": {}}


def test_every_fault_is_told_at_once_with_its_place():
    assert faults({**GOOD, "bagwright_bag": 2, "run_count": 0, "colour": "red"}) == {
        "bagwright_bag",
        "run_count",
        "colour",
    }
    layer = [{"material_id": "cloth"}]
    picture_of_none = {"material_id": "nobody", "base64": "////"}
    assert faults(
        {
            **GOOD,
            "measurements_mm": {"width_mm": 1, "brim_mm": 3},
            "stacks": {"outer": layer, "sail": layer},
            "pictures": [picture_of_none],
            "own": {"pieces": []},
        }
    ) >= {"own.pieces"}
    assert faults(
        {
            **GOOD,
            "measurements_mm": {"width_mm": 1, "brim_mm": 3},
            "stacks": {"outer": layer, "sail": layer},
            "pictures": [picture_of_none],
        }
    ) == {
        "measurements_mm.width_mm",
        "measurements_mm.brim_mm",
        "stacks.sail",
        "stacks.outer[0].material_id",
        "stacks.sail[0].material_id",
        "pictures[0].material_id",
    }


@pytest.mark.parametrize("data", [b"?", b"aGVsbG8=", base64.b64encode(b"\xff\xd8\xff" + bytes(99))])
def test_a_picture_that_is_none_is_refused(data):
    cloth = {"id": "cloth", "name": "Cloth", "kind": "plain-weave cloth"}
    words = {**GOOD, "materials": [cloth], "pictures": [{"material_id": "cloth", "base64": data.decode()}]}
    assert faults(words) == {"pictures[0].base64"}


def test_own_pieces_without_pieces_are_refused():
    assert faults({**GOOD, "form": "own_pieces"}) == {"own"}


@pytest.mark.parametrize("own", [pouch(), OwnPattern(pieces=(round_footed(),), faces=("leaf",))])
def test_own_pieces_come_back_as_they_are(own):
    bag = Bag(id="mine", name="Mine", form="own_pieces", measurements_mm={}, stacks={}, own=accept_own(own))
    back = read_bag_file(bag_file(whole_bag(bag, Shelf.of([], []), {}, "USD"))).bag
    assert replace(back, id="mine") == bag
