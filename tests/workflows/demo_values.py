"""The demo studio and small changes of it, for tests of whole answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.requests import request_hash
from bagwright.model.bag import Bag, Workroom
from bagwright.model.layout import Layout, LayRequest, LaySettings
from bagwright.model.material import Layer
from bagwright.model.source import Reading
from bagwright.store.stash import load_stash, retire_stash_piece
from bagwright.workflows.answer import BagAnswer, answer_bag
from bagwright.workflows.demo_studio import demo_bags, demo_shelf
from bagwright.workflows.desk import Desk, answers_of, bag_lines
from bagwright.workflows.shelf import Shelf

TOTE, POUCH, WALLET = "harbour-market-tote", "reed-pencil-pouch", "lantern-card-wallet"
BAGS = {bag.id: bag for bag in demo_bags()}
SHELF: Any = demo_shelf()
_laid: dict[str, Layout] = {}


def first_layout(request: LayRequest) -> Layout:
    """The first fill, worked out once for each request."""
    key = request_hash(request)
    if key not in _laid:
        _laid[key] = lay_pieces(request, settings=LaySettings(seconds=0))
    return _laid[key]


def answer_of(bag: Bag, *, shelf: Shelf = SHELF, workroom: Workroom | None = None) -> Any:
    """Of no fixed type, so that tests need not ask at every step whether a part of the answer is there."""
    return answer_bag(bag, shelf, workroom or Workroom(), find_layout=first_layout)


@cache
def demo_answer(bag_id: str) -> Any:
    return answer_of(BAGS[bag_id])


def with_material(material_id: str, **changes: object) -> Shelf:
    """The demo's shelf with one material changed; plain numbers stand for exact readings."""
    values = {k: Reading.exact(v) if isinstance(v, float) else v for k, v in changes.items()}
    changed = replace(SHELF.materials[material_id], **values)
    return Shelf({**SHELF.materials, material_id: changed}, SHELF.offers)


def without_offers(material_id: str) -> Shelf:
    return Shelf(SHELF.materials, tuple(offer for offer in SHELF.offers if offer.material_id != material_id))


def clear_stash(desk: Desk) -> None:
    """Take the demo's scraps out, for tests that put their own there."""
    with desk.store() as store:
        for kept in load_stash(store):
            retire_stash_piece(store, kept.value.id, expected_version=kept.version)


def with_stacks(bag: Bag, stacks: Mapping[str, tuple[Layer, ...]]) -> Bag:
    """The bag with some roles made of other layers; an empty stack takes a role's layers away."""
    return replace(bag, stacks={role: layers for role, layers in {**bag.stacks, **stacks}.items() if layers})


def all_bags(desk: Desk) -> tuple[BagAnswer, ...]:
    """Every bag with its answer, by name."""
    return answers_of(desk, [line.id for line in bag_lines(desk)])
