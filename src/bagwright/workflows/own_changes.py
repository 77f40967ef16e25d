"""Changing a bag of her own pieces: what was typed is read, the pieces are checked, and only then is the bag saved."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, replace

from bagwright.drafting.form_spec import RoleSpec
from bagwright.drafting.own_pieces import OWN_FORM, OWN_PIECES
from bagwright.drafting.own_start import StartSettings, add_found
from bagwright.errors import FaultyInput, NotKept, Problem
from bagwright.model.bag import Bag, Workroom
from bagwright.model.found_piece import FoundDrawing
from bagwright.model.own_pattern import OwnPattern
from bagwright.store.bags import save_bag
from bagwright.store.workroom import load_workroom
from bagwright.workflows.bag_changes import first_stacks, load_for_change, read_name
from bagwright.workflows.desk import BroughtFile, Desk, load_shelf, new_id
from bagwright.workflows.own_drawing import Answers, read_brought, start_settings
from bagwright.workflows.usual_allowances import usual_seam_mm
from bagwright.workflows.workroom_changes import the_workroom

Change = Callable[[OwnPattern, Workroom], OwnPattern]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A drawing that was brought but not taken yet: what is in it, and the pieces it would make by her answers."""

    token: str
    file_name: str
    drawing: FoundDrawing
    own: OwnPattern
    settings: StartSettings
    workroom: Workroom
    is_demo: bool


def keep_drawing(desk: Desk, name: str, data: bytes, scale: str) -> str:
    """Hold a drawing for a while, by the token that is returned. Raises `FaultyInput` if it cannot be read.

    `scale`: what one unit of it is, if she says so.
    """
    read_brought(data, scale, units=the_workroom(desk).units)
    token = secrets.token_hex(8)
    plain = "".join(sign for sign in name.rpartition("/")[2].rpartition("\\")[2] if sign.isprintable())
    desk.drawings.put(token, BroughtFile(plain[:80], data))
    return token


def look_at_drawing(desk: Desk, token: str, answers: Answers) -> Look:
    """What the drawing holds, at her answers. Raises `NotKept` once it is forgotten, `FaultyInput` for the answers."""
    brought, workroom = _brought(desk, token), the_workroom(desk)
    settings = start_settings(answers, units=workroom.units, usual_mm=usual_seam_mm(workroom))
    drawing = read_brought(brought.data, answers.scale, units=workroom.units)
    return Look(
        token=token,
        file_name=brought.name,
        drawing=drawing,
        own=add_found(None, drawing.pieces, settings),
        settings=settings,
        workroom=workroom,
        is_demo=desk.is_demo,
    )


def _brought(desk: Desk, token: str) -> BroughtFile:
    brought = desk.drawings.get(token)
    if brought is None:
        raise NotKept(f"drawing {token!r}")
    return brought


def start_own_bag(desk: Desk, token: str, name: str, answers: Answers) -> Bag:
    """A new bag of the pieces in a drawing, each role made of the first material that suits.

    Raises `NotKept`, `FaultyInput`.
    """
    look = look_at_drawing(desk, token, answers)
    name = read_name(name) or look.file_name.rpartition(".")[0] or OWN_FORM.name
    with desk.store() as store:
        bag = Bag(id=new_id(name), name=name, form=OWN_PIECES, measurements_mm={}, stacks={}, own=look.own)
        return save_bag(store, replace(bag, stacks=first_stacks(_roles_of(look.own), load_shelf(store))))


def add_to_own_bag(desk: Desk, bag_id: str, version: int, token: str, answers: Answers) -> Bag:
    """The pieces of another drawing put to a bag. Raises `NotKept`, `FaultyInput`, `StaleSave`."""
    look = look_at_drawing(desk, token, answers)
    return change_own(desk, bag_id, version, lambda own, _: add_found(own, look.drawing.pieces, look.settings))


def change_own(desk: Desk, bag_id: str, version: int, change: Change) -> Bag:
    """Change the pieces of a bag; a role that is new takes the first material that suits.

    A change that changes nothing makes no version. Raises `FaultyInput`, `StaleSave`, `NotKept`.
    """
    with desk.store() as store:
        bag, workroom = load_for_change(store, bag_id, version), load_workroom(store)
        if bag.own is None:
            what, allowed = "is not made of pieces of your own", "a bag of your own pieces"
            raise FaultyInput(
                [Problem(place="bag", value=bag.name, what=what, allowed=allowed, remedy="Bring your pieces first.")]
            )
        own = change(bag.own, workroom)
        if own == bag.own:
            return bag
        fresh = first_stacks([role for role in _roles_of(own) if role.key not in bag.stacks], load_shelf(store))
        return save_bag(store, replace(bag, own=own, stacks={**bag.stacks, **fresh}))


def _roles_of(own: OwnPattern) -> list[RoleSpec]:
    used = {piece.role for piece in own.pieces}
    return [role for role in OWN_FORM.roles if role.key in used]
