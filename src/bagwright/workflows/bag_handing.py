"""Keeping a bag as a file, and taking one in: materials that are on the shelf already are used as they are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from bagwright.model.bag import Bag
from bagwright.model.bands import StripWish
from bagwright.model.material import Layer, Material, MaterialKind, Offer
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.connection import Connection
from bagwright.store.materials import load_materials, save_material, save_offer
from bagwright.store.pictures import Picture, load_picture, save_picture
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.workflows.bag_changes import read_name
from bagwright.workflows.bag_file import WholeBag, bag_file, read_bag_file, whole_bag
from bagwright.workflows.desk import Desk, load_shelf, new_id
from bagwright.workflows.files import LARGEST_FILE_BYTES
from bagwright.workflows.papers import PaperFile

BAG_FILE_NAME = "bag.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """A bag from a file as it is kept now: which of its materials are new on the shelf and which were there.

    `other_currency`: the money its prices are in, if that is not hers; then they were left out.
    """

    bag: Bag
    added: tuple[Material, ...]
    found: tuple[Material, ...]
    other_currency: str = ""


def file_of_bag(desk: Desk, bag_id: str) -> PaperFile:
    """The whole bag as one file. Raises `NotKept`."""
    with desk.store() as store:
        bag, shelf = load_bag(store, bag_id), load_shelf(store)
        pictures = {one.id: load_picture(store, one.swatch).data for one in shelf.materials.values() if one.swatch}
        currency = load_workroom(store).currency
    data = bag_file(whole_bag(bag, shelf, pictures, currency))
    if len(data) > LARGEST_FILE_BYTES:  # what cannot be taken in again is no use: pictures are what is large
        data = bag_file(whole_bag(bag, shelf, {}, currency))
    return PaperFile(f"{bag_id}-{BAG_FILE_NAME}", "application/json", data)


def take_bag_in(desk: Desk, data: bytes) -> TakenIn:
    """Keep the bag of a file as a new one, with what of its materials is not on the shelf yet, all or nothing.

    A material is the same if all that is said of it is; only of new ones are prices taken over. Thread is taken only
    where there is none: no bag asks for a thread of its own. Raises `FaultyInput` with every fault of the file; then
    nothing was kept.
    """
    whole = read_bag_file(data)
    name = read_name(whole.bag.name)
    with desk.store() as store, transaction(store):
        there = [kept.value for kept in load_materials(store)]
        has_thread = any(_is_thread(one) for one in there)
        used = {layer.material_id for stack in whole.bag.stacks.values() for layer in stack}
        wanted = [one for one in whole.materials if one.id in used or not (has_thread and _is_thread(one))]
        now = {one.id: _same(one, there) or _fresh(one) for one in wanted}
        added = [one for one in now.values() if one not in there]
        _keep_new(store, whole, {old: one for old, one in now.items() if one in added})
        is_hers = whole.currency == load_workroom(store).currency
        if is_hers:
            _keep_prices(store, whole.offers, {old: one.id for old, one in now.items() if one in added})
        fresh = replace(whole.bag, id=new_id(name), name=name, stacks=_restacked(whole.bag, now))
        bag = save_bag(store, replace(fresh, strip_wishes=_wishes(whole.bag, now)))
    found = tuple(one for one in now.values() if one in there)
    left_out = whole.currency if whole.offers and not is_hers else ""
    return TakenIn(bag=bag, added=tuple(added), found=found, other_currency=left_out)


def _is_thread(material: Material) -> bool:
    return material.kind is MaterialKind.THREAD


def _same(material: Material, there: Iterable[Material]) -> Material | None:
    return next((one for one in there if _said(one) == _said(material)), None)


def _said(material: Material) -> Material:
    return replace(material, id="", swatch="", retired=False)


def _fresh(material: Material) -> Material:
    return replace(material, id=new_id(material.name))


def _keep_new(store: Connection, whole: WholeBag, new: Mapping[str, Material]) -> None:
    for old, material in new.items():
        picture = whole.pictures.get(old)
        swatch = save_picture(store, Picture("image/jpeg", picture)) if picture else ""
        save_material(store, replace(material, swatch=swatch), expected_version=0)


def _keep_prices(store: Connection, offers: Iterable[Offer], ids: Mapping[str, str]) -> None:
    for offer in offers:
        if offer.material_id in ids:
            fresh = replace(offer, id=new_id(offer.seller), material_id=ids[offer.material_id])
            save_offer(store, fresh, expected_version=0)


def _wishes(bag: Bag, now: Mapping[str, Material]) -> tuple[StripWish, ...]:
    """How strips are cut, by the materials as they are called on her shelf."""
    return tuple(
        replace(wish, material_id=now[wish.material_id].id) for wish in bag.strip_wishes if wish.material_id in now
    )


def _restacked(bag: Bag, now: Mapping[str, Material]) -> dict[str, tuple[Layer, ...]]:
    return {
        role: tuple(replace(layer, material_id=now[layer.material_id].id) for layer in stack)
        for role, stack in bag.stacks.items()
    }
