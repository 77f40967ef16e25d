"""What a bag is made of, put on the shelf from its own page: a cloth, a zip, thread, each with a first price."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from bagwright.drafting.form_spec import RoleSpec
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Bag, Workroom
from bagwright.model.material import Layer, Material, MaterialKind, Offer
from bagwright.store.bags import save_bag
from bagwright.store.materials import save_material, save_offer
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.workflows.bag_changes import load_for_change
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import BagView, Desk, new_id
from bagwright.workflows.material_changes import read_new_material
from bagwright.workflows.material_fields import read_readings
from bagwright.workflows.offer_fields import read_offer, usual_offer, ways_sold
from bagwright.workflows.reckoning import roles_not_needed

Texts = Mapping[str, str]
PLACE = "first"
THREAD = "thread"
USUAL_SELLER = "my usual shop"
TAPES = frozenset({MaterialKind.ZIP, MaterialKind.WEBBING})


@dataclass(frozen=True, slots=True)
class Want:
    """What to put on the shelf: what it may be, the usual kind first, and the roles of the bag that it is for.

    The `key` is that of its first role, or `THREAD`.
    """

    key: str
    kinds: tuple[MaterialKind, ...]
    roles: tuple[RoleSpec, ...] = ()

    @property
    def sold(self) -> str:
        """How it is sold as a rule, one of `WAYS_SOLD`."""
        return ways_sold(self.kinds[0])[0]


def wants_of(view: BagView) -> tuple[Want, ...]:
    """What the bag still has to be made of: one cloth for all empty roles of one sort, each bought part, thread."""
    pattern, stacks = view.answer.pattern, view.answer.bag.stacks
    used = {piece.role for piece in pattern.pieces} | {notion.role for notion in pattern.notions}
    used -= roles_not_needed(stacks, view.shelf)
    empty = [role for role in view.form.roles if role.key in used and not stacks.get(role.key)]
    grouped: dict[object, list[RoleSpec]] = {}
    for role in empty:
        grouped.setdefault(role.key if role.is_notion else role.kinds[0], []).append(role)
    wants = [Want(roles[0].key, _kinds(roles), tuple(roles)) for roles in grouped.values()]
    threads = (one for one in view.shelf.materials.values() if one.kind is MaterialKind.THREAD and not one.retired)
    if not any(threads):
        wants.append(Want(THREAD, (MaterialKind.THREAD,)))
    return tuple(wants)


def _kinds(roles: list[RoleSpec]) -> tuple[MaterialKind, ...]:
    """What suits every one of them; a thread and a hide are no cloth by length."""
    shared = [kind for kind in roles[0].kinds if all(kind in role.kinds for role in roles)]
    return tuple(kind for kind in shared if ways_sold(kind)[0] == ways_sold(roles[0].kinds[0])[0])


def shelve_for_bag(desk: Desk, bag_id: str, version: int, texts: Texts, *, today: date) -> Bag:
    """Put a material with its price on the shelf, and make of it every role of the bag that waits for it.

    `texts`: `want`, its key; `roles`, their keys, comma between; the fields of a material and of its offer.
    Raises `FaultyInput` with every fault (nothing is saved then), `StaleSave`, `NotKept`.
    """
    with desk.store() as store, transaction(store):
        bag, workroom = load_for_change(store, bag_id, version), load_workroom(store)
        roles, kinds = _asked(bag, texts)
        sold = ways_sold(kinds[0])[0]
        usual = {"seller": USUAL_SELLER, **usual_offer(sold, workroom, today)}
        offered = {**usual, **texts, "sold": sold}
        material, offer = Material(id="", name="", kind=kinds[0]), None
        faults = Faults()
        with faults:
            material = read_new_material({"kind": kinds[0].value, **texts}, kinds)
        with faults:
            material = _as_thick(material, texts, workroom)
        with faults:
            offer = read_offer(material, offered, workroom)
        if offer is None or faults.problems:
            raise FaultyInput([replace(one, place=f"{PLACE}.{one.place}") for one in faults.problems])
        save_material(store, material, expected_version=0)
        save_offer(store, _named(offer, material), expected_version=0)
        if not roles:
            return bag
        stacks = {**bag.stacks, **{role: (Layer(material.id),) for role in roles}}
        return save_bag(store, replace(bag, stacks=stacks))


def _asked(bag: Bag, texts: Texts) -> tuple[tuple[str, ...], tuple[MaterialKind, ...]]:
    """The roles to fill and what may fill them all. Raises `FaultyInput`."""
    if texts.get("want") == THREAD:
        return (), (MaterialKind.THREAD,)
    known = {role.key: role for role in form_of_key(bag.form).roles}
    asked = [key for key in texts.get("roles", "").split(",") if key]
    if not asked or not set(asked) <= set(known) or len({known[key].is_notion for key in asked}) > 1:
        what, allowed = "is no part of this bag", ", ".join(sorted(known))
        raise FaultyInput([Problem(place=PLACE, value="", what=what, allowed=allowed, remedy="Load the page again.")])
    return tuple(asked), _kinds([known[key] for key in asked])


def _as_thick(material: Material, texts: Texts, workroom: Workroom) -> Material:
    """With the thickness that seams need of a tape, as nothing is usual for it. Raises `FaultyInput`."""
    if material.kind not in TAPES:
        return material
    readings: dict[str, Any] = read_readings(material, {"thickness_mm": "", **texts}, workroom)
    if readings["thickness_mm"] is None:
        what, allowed = "is missing", "such as 1/32 in or 1 mm"
        problem = Problem(place="thickness_mm", value="", what=what, allowed=allowed, remedy="Measure or guess it.")
        raise FaultyInput([problem])
    return replace(material, **readings)


def _named(offer: Offer, material: Material) -> Offer:
    return replace(offer, id=new_id(offer.seller), material_id=material.id)
