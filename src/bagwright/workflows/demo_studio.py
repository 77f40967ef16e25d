"""The demo: an invented studio with an invented shelf, three bags, a run of them, and scraps left over."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

from pydantic import Field

from bagwright.drafting.forms import draft_bag
from bagwright.model.bag import Bag, Workroom
from bagwright.model.run import Run, RunBag
from bagwright.model.stash import StashPiece
from bagwright.store.bags import list_bags, save_bag
from bagwright.store.materials import save_material, save_offer
from bagwright.store.pictures import Picture, save_picture
from bagwright.store.runs import save_run
from bagwright.store.stash import save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.workflows.bag_words import StackWords, bag_from
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.desk import Desk, load_shelf
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.shelf_words import MaterialWords, OfferWords, shelf_from
from bagwright.workflows.tell_stash import StashPieceWords, stash_piece_from


class _ShelfFile(Contract):
    marked: str = Field(description="a note that the data is invented")
    materials: list[MaterialWords] = Field(description="the materials")
    offers: list[OfferWords] = Field(description="the offers")


class _BagFile(Contract):
    id: str = Field(description="id of the bag")
    name: str = Field(description="name of the bag")
    form: str = Field(description="its form")
    measurements_mm: dict[str, float] = Field(description="its measurements in mm")
    stacks: StackWords = Field(description="its layers by role")
    run_count: int = Field(description="how many are made together")
    note: str = Field(description="a note")


class _BagsFile(Contract):
    marked: str = Field(description="a note that the data is invented")
    bags: list[_BagFile] = Field(description="the bags")


class _ScrapWords(StashPieceWords):
    picture: str = Field(default="", max_length=80, description="name of a packaged picture, or empty")


class _StashFile(Contract):
    marked: str = Field(description="a note that the data is invented")
    pieces: list[_ScrapWords] = Field(description="the scraps; `material` is the id of one")


def demo_shelf() -> Shelf:
    """The invented shelf."""
    words = read_contract(_packaged("shelf.json"), _ShelfFile)
    return shelf_from(words.materials, words.offers, Workroom().currency)


def demo_bags() -> tuple[Bag, ...]:
    """The three invented bags, each at version 0."""
    words = read_contract(_packaged("bags.json"), _BagsFile)
    return tuple(
        bag_from(bag.form, bag.measurements_mm, bag.stacks, run_count=bag.run_count, name=bag.name, bag_id=bag.id)
        for bag in words.bags
    )


def demo_run() -> Run:
    """Bags for an invented market."""
    bags = (RunBag(bag_id="harbour-market-tote", count=2), RunBag(bag_id="reed-pencil-pouch", count=4))
    return Run(id="autumn-market", name="Autumn market", bags=bags)


def demo_stash() -> tuple[tuple[StashPiece, bytes], ...]:
    """The invented scraps, each with its picture; no data where it has none. Pictures are drawn, not taken."""
    words = read_contract(_packaged("stash.json"), _StashFile)
    return tuple((stash_piece_from(one), _packaged(one.picture) if one.picture else b"") for one in words.pieces)


def fill_demo(desk: Desk) -> None:
    """Put the demo into an empty store; a store that holds anything is left as it is."""
    with desk.store() as store, transaction(store):
        if list_bags(store, with_retired=True) or load_shelf(store).materials:
            return
        shelf = demo_shelf()
        for material in shelf.materials.values():
            save_material(store, material, expected_version=0)
        for offer in shelf.offers:
            save_offer(store, offer, expected_version=0)
        for bag in demo_bags():
            draft_bag(bag.form, bag.measurements_mm)
            save_bag(store, bag)
        save_run(store, demo_run())
        for piece, data in demo_stash():
            picture = save_picture(store, Picture("image/jpeg", data)) if data else ""
            save_stash_piece(store, replace(piece, picture=picture), expected_version=0)


def _packaged(name: str) -> bytes:
    return files("bagwright.workflows").joinpath("demo", name).read_bytes()
