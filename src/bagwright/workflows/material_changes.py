"""Changing the shelf: materials and the ways they are sold, added, copied, edited, put away, undone."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.material import Material, MaterialKind, Offer
from bagwright.store.connection import Connection
from bagwright.store.history import Kept
from bagwright.store.materials import (
    can_redo_material,
    can_undo_material,
    load_material,
    load_offers,
    redo_material,
    retire_offer,
    save_material,
    save_offer,
    undo_material,
    undo_offer,
)
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, new_id
from bagwright.workflows.material_fields import read_readings
from bagwright.workflows.offer_fields import read_offer
from bagwright.workflows.usual_ranges import usual_readings

Texts = Mapping[str, str]
LONGEST_NAME = 120
LONGEST_NOTE = 2000
_HOLES_STAY = frozenset({MaterialKind.COATED, MaterialKind.CORK, MaterialKind.LEATHER})
"""Holes stay in leather, vinyl and cork: clips, no pins (a sewing page on leather, vinyl and cork: sewshare.com)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialOnShelf:
    """A material as its page shows it, with its offers and what can be undone."""

    material: Material
    version: int
    offers: tuple[Kept[Offer], ...]
    can_undo: bool
    can_redo: bool


def material_on_shelf(desk: Desk, material_id: str) -> MaterialOnShelf:
    """The material of that id, put away or not. Raises `NotKept`."""
    with desk.store() as store:
        kept = load_material(store, material_id)
        return MaterialOnShelf(
            material=kept.value,
            version=kept.version,
            offers=tuple(offer for offer in load_offers(store) if offer.value.material_id == material_id),
            can_undo=can_undo_material(store, material_id),
            can_redo=can_redo_material(store, material_id),
        )


def add_material(desk: Desk, texts: Texts) -> Material:
    """A new material by name and kind, with what is usual for its kind. Raises `FaultyInput`."""
    material = read_new_material(texts)
    with desk.store() as store:
        return save_material(store, material, expected_version=0).value


def read_new_material(texts: Texts, kinds: Sequence[MaterialKind] = tuple(MaterialKind)) -> Material:
    """The material that was typed, one of those kinds, not saved yet. Raises `FaultyInput` with every fault."""
    faults = Faults()
    name, kind = "", kinds[0]
    with faults:
        name = _read_name(texts)
    with faults:
        kind = MaterialKind(_one_of(texts, "kind", [*kinds]))
    faults.raise_if_any()
    usual: dict[str, Any] = dict(usual_readings(kind))
    return Material(id=new_id(name), name=name, kind=kind, holes_stay=kind in _HOLES_STAY, **usual)


def change_material(desk: Desk, material_id: str, version: int, texts: Texts) -> Material:
    """Take over what was typed; a field that is missing stays. Raises `FaultyInput` with every fault, `StaleSave`."""
    with desk.store() as store:
        kept = load_material(store, material_id)
        if kept.version != version:
            raise StaleSave(f"material {material_id!r}", expected_version=version, kept_version=kept.version)
        changed = _read_material(kept.value, texts, store)
        if changed == kept.value:
            return changed  # nothing moved: no new version, or undo would seem to do nothing
        return save_material(store, changed, expected_version=version).value


def _read_material(material: Material, texts: Texts, store: Connection) -> Material:
    workroom, faults = load_workroom(store), Faults()
    with faults:
        material = replace(material, name=_read_name(texts))
    with faults:
        material = replace(material, fusible_sides=_read_sides(texts))
    material = replace(
        material,
        fibres=" ".join(texts.get("fibres", "").split())[:200],
        note=texts.get("note", "").replace("\r\n", "\n").strip()[:LONGEST_NOTE],
        directional="directional" in texts,
        holes_stay="holes_stay" in texts,
        half_drop="half_drop" in texts,
        laid_double="laid_double" in texts,
    )
    with faults:
        readings: dict[str, Any] = read_readings(material, texts, workroom)
        material = replace(material, **readings)
    faults.raise_if_any()
    return material


def _read_name(texts: Texts) -> str:
    name = " ".join(texts.get("name", "").split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        what = "is empty" if not name else "is too long a name, or has signs that cannot be shown"
        allowed = f"1 to {LONGEST_NAME} letters, digits and other visible signs"
        problem = Problem(place="name", value=name[:40], what=what, allowed=allowed, remedy="Type a name.")
        raise FaultyInput([problem])
    return name


def _read_sides(texts: Texts) -> int:
    return int(_one_of({"fusible_sides": "0", **texts}, "fusible_sides", ["0", "1", "2"]))


def _one_of(texts: Texts, place: str, allowed: list[str]) -> str:
    text = texts.get(place, "")
    if text not in allowed:
        what, told = "is not one of the choices", ", ".join(allowed)
        problem = Problem(place=place, value=text[:40], what=what, allowed=told, remedy="Choose one.")
        raise FaultyInput([problem])
    return text


def copy_material(desk: Desk, material_id: str) -> Material:
    """The same material and its offers again, under a name of its own. Raises `NotKept`."""
    with desk.store() as store, transaction(store):
        kept = load_material(store, material_id).value
        name = f"{kept.name[: LONGEST_NAME - 7]} (copy)"
        copied = replace(kept, id=new_id(name), name=name, retired=False)
        save_material(store, copied, expected_version=0)
        for offer in load_offers(store):
            if offer.value.material_id == material_id:
                own = replace(offer.value, id=new_id(offer.value.seller), material_id=copied.id)
                save_offer(store, own, expected_version=0)
        return copied


def put_material_away(desk: Desk, material_id: str, version: int, *, away: bool = True) -> Material:
    """Take a material off the shelf, or put it back. Bags made of it keep it. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        kept = load_material(store, material_id).value
        return save_material(store, replace(kept, retired=away), expected_version=version).value


def undo_material_change(desk: Desk, material_id: str, version: int) -> Material:
    """The material before its last change. Raises `StaleSave`, `NotKept`; with none to undo it stays as it is."""
    return _step(desk, material_id, version, (can_undo_material, undo_material))


def redo_material_change(desk: Desk, material_id: str, version: int) -> Material:
    """What the last undo took back. Raises `StaleSave`, `NotKept`; with nothing to redo it stays as it is."""
    return _step(desk, material_id, version, (can_redo_material, redo_material))


_Way = tuple[Callable[[Connection, str], bool], Callable[[Connection, str], Kept[Material]]]


def _step(desk: Desk, material_id: str, version: int, way: _Way) -> Material:
    can, step = way
    with desk.store() as store, transaction(store):
        kept = load_material(store, material_id)
        if kept.version != version:
            raise StaleSave(f"material {material_id!r}", expected_version=version, kept_version=kept.version)
        return step(store, material_id).value if can(store, material_id) else kept.value


def keep_offer(desk: Desk, material_id: str, version: int, texts: Texts, *, offer_id: str = "") -> Offer:
    """Add an offer of the material, or change the one of that id. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    with desk.store() as store:
        material = load_material(store, material_id).value
        offer = read_offer(material, texts, load_workroom(store))
        offer = replace(offer, id=offer_id or new_id(offer.seller))
        return save_offer(store, offer, expected_version=version if offer_id else 0).value


def drop_offer(desk: Desk, offer_id: str, version: int) -> None:
    """Take an offer off the shelf; `bring_offer_back` undoes it. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        retire_offer(store, offer_id, expected_version=version)


def bring_offer_back(desk: Desk, offer_id: str) -> None:
    """Undo the last change of an offer. Raises `NoAnswer` at its first version, `NotKept`."""
    with desk.store() as store:
        undo_offer(store, offer_id)
