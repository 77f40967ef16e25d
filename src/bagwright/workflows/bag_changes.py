"""Changing a bag: what was typed is read, the changed bag is drafted, and only then is it saved."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.form_spec import FormSpec, RoleSpec
from bagwright.drafting.forms import accept_measurements, find_form
from bagwright.drafting.measurements import MeasurementSpec
from bagwright.drafting.metric_start import in_whole_millimetres
from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.bag import Bag, Workroom
from bagwright.model.material import Extent, Held, Layer, MaterialKind
from bagwright.store.bags import load_bag, retire_bag, save_bag
from bagwright.store.connection import Connection
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.bag_pattern import form_of_key, pattern_of_bag
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, load_shelf, new_id
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.timing import take_over_times
from bagwright.workflows.typed_sizes import UNREADABLE, draft_typed, read_size
from bagwright.workflows.usual_allowances import allowances_taken
from bagwright.workflows.zone_layers import zone_problems

MOST_IN_A_RUN = 200
MOST_LAYERS = 12
LONGEST_NAME = 120


def start_bag(desk: Desk, form_key: str, name: str) -> Bag:
    """A new bag of that form at its usual sizes and her usual allowances, of the first suiting materials on the shelf.

    Raises `FaultyInput` for an unknown form or a name that is too long.
    """
    form = find_form(form_key)
    name = read_name(name) or form.name
    with desk.store() as store:
        shelf = load_shelf(store)
        bag = Bag(
            id=new_id(name),
            name=name,
            form=form.key,
            measurements_mm=_first_sizes(form, load_workroom(store)),
            stacks=first_stacks(form.roles, shelf),
        )
        return save_bag(store, bag)


def _first_sizes(form: FormSpec, workroom: Workroom) -> dict[str, float]:
    """The form's usual sizes and her allowances; those of a metric workroom as they are read off its ruler."""
    hers = allowances_taken(form.key, {}, workroom)
    sizes = dict(accept_measurements(form, hers))
    return in_whole_millimetres(form, sizes, hers) if workroom.units is UnitSystem.METRIC else sizes


def read_name(text: str) -> str:
    """A typed name, without needless blanks. Raises `FaultyInput` if it is too long or cannot be shown."""
    name = " ".join(text.split())
    if len(name) > LONGEST_NAME or any(unicodedata.category(sign) == "Cc" for sign in name):
        what = "is too long a name" if len(name) > LONGEST_NAME else "has signs in it that cannot be shown"
        allowed = f"at most {LONGEST_NAME} letters, digits and other visible signs"
        problem = Problem(place="name", value=name[:40], what=what, allowed=allowed, remedy="Type another name.")
        raise FaultyInput([problem])
    return name


def rename_bag(desk: Desk, bag_id: str, version: int, text: str) -> Bag:
    """Give the bag another name; an empty one keeps the old. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    name = read_name(text)
    with desk.store() as store:
        bag = load_bag(store, bag_id)
        return save_bag(store, replace(bag, name=name or bag.name, version=version))


def put_bag_away(desk: Desk, bag_id: str, version: int) -> Bag:
    """Take the bag off the list; undoing brings it back. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        return retire_bag(store, bag_id, expected_version=version)


def first_stacks(roles: Iterable[RoleSpec], shelf: Shelf) -> dict[str, tuple[Layer, ...]]:
    """Each role made of the first material that suits; those for which there is none are left out."""
    stacks = {role.key: _first_stack(role, shelf) for role in roles}
    return {key: stack for key, stack in stacks.items() if stack}


def _first_stack(role: RoleSpec, shelf: Shelf) -> tuple[Layer, ...]:
    for kind in role.kinds:
        suiting = [m for m in shelf.materials.values() if m.kind is kind and not m.retired and shelf.offers_for(m.id)]
        if suiting:
            named = [m for m in suiting if role.word in m.name.lower()]
            return (Layer((named or suiting)[0].id),)
    return ()


def copy_bag(desk: Desk, bag_id: str) -> Bag:
    """The same bag again under a name of its own, with the times of the first to start from."""
    with desk.store() as store, transaction(store):
        bag = load_bag(store, bag_id)
        name = f"{bag.name[: LONGEST_NAME - 7]} (copy)"
        copy = save_bag(store, replace(bag, id=new_id(name), name=name, version=0))
        take_over_times(store, bag, copy)
        return copy


def resize_bag(desk: Desk, bag_id: str, version: int, texts: Mapping[str, str]) -> Bag:
    """Take over what was typed for the measurements; a field left as it was printed keeps its exact size.

    Raises `FaultyInput` with every fault (nothing is saved then), `StaleSave`, `NotKept`.
    """
    with desk.store() as store:
        bag, workroom = load_for_change(store, bag_id, version), as_shown(load_workroom(store), texts)
        form = find_form(bag.form)
        sizes = read_sizes(form, texts, bag.measurements_mm, workroom)
        if sizes == _kept_sizes(form, bag.measurements_mm):
            return bag  # nothing moved: no new version, or undo would seem to do nothing
        return save_bag(store, replace(bag, measurements_mm=sizes))


def load_for_change(store: Connection, bag_id: str, version: int) -> Bag:
    """The bag at the version that her page shows. Raises `NotKept`, and `StaleSave` before any fault is looked for.

    A page with faults shows the bag as it is now, so what was typed on an older one must not get onto it.
    """
    bag = load_bag(store, bag_id)
    if bag.version != version:
        raise StaleSave(f"bag {bag_id!r}", expected_version=version, kept_version=bag.version)
    return bag


def as_shown(workroom: Workroom, texts: Mapping[str, str]) -> Workroom:
    """The workroom with the units of the page that was typed on, if it told them; they may have changed since.

    Only against those can a text that was left alone be told from one that was typed, and a bare number be read.
    """
    units, fraction = texts.get("shown_units", ""), texts.get("shown_fraction", "")
    if units not in set(UnitSystem) or not re.fullmatch("[1-9][0-9]?", fraction):
        return workroom
    return replace(workroom, units=UnitSystem(units), fraction=int(fraction))


def read_sizes(
    form: FormSpec, texts: Mapping[str, str], kept_mm: Mapping[str, float], workroom: Workroom
) -> dict[str, float]:
    """All measurements in mm with what was typed, of which a bag can be made. Raises `FaultyInput` with every fault."""
    sizes = _kept_sizes(form, kept_mm)
    faults = Faults()
    for spec in form.measurements:
        text = texts.get(spec.key)
        if text is not None and text.strip() != print_size(spec, sizes[spec.key], workroom):
            sizes[spec.key] = UNREADABLE
            with faults:
                sizes[spec.key] = read_size(text, spec, units=workroom.units)
    return dict(draft_typed(form, sizes, faults, texts).measurements_mm)


def _kept_sizes(form: FormSpec, kept_mm: Mapping[str, float]) -> dict[str, float]:
    """What was kept, and a size that fits it for whatever the form has learned to add since."""
    try:
        return dict(accept_measurements(form, kept_mm))
    except FaultyInput:
        return {**form.defaults(), **kept_mm}


def print_size(spec: MeasurementSpec, size: float, workroom: Workroom) -> str:
    """A measurement as it stands in its field."""
    return f"{size:.0f}" if spec.is_count else print_length(size, workroom.units, fraction=workroom.fraction).text


def set_run(desk: Desk, bag_id: str, version: int, text: str) -> Bag:
    """How many bags are made together. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    allowed = f"a whole number from 1 to {MOST_IN_A_RUN}"
    if not text.strip().isascii() or not text.strip().isdigit() or not 1 <= int(text.strip()[:9]) <= MOST_IN_A_RUN:
        what = "is no number of bags for one run"
        raise FaultyInput(
            [Problem(place="run_count", value=text[:40], what=what, allowed=allowed, remedy="Type how many you make.")]
        )
    with desk.store() as store:
        bag = load_for_change(store, bag_id, version)
        return bag if bag.run_count == int(text) else save_bag(store, replace(bag, run_count=int(text)))


@dataclass(frozen=True, slots=True)
class LayerChoice:
    """What the form says of one layer; `zone` names the part that it covers if its extent is a zone."""

    material_id: str
    extent: str
    held: str
    zone: str = ""


def restack_bag(desk: Desk, bag_id: str, version: int, role: str, choices: Sequence[LayerChoice]) -> Bag:
    """Make a role of other layers. Raises `FaultyInput`, `StaleSave`, `NotKept`.

    A zone must be there, but a layer whose zone is gone may stay as it is while others are changed.
    """
    with desk.store() as store:
        bag, shelf = load_for_change(store, bag_id, version), load_shelf(store)
        layers = _read_layers(role, choices, form_of_key(bag.form), shelf)
        _refuse_zones(bag, role, layers)
        return (
            bag
            if bag.stacks.get(role) == layers
            else save_bag(store, replace(bag, stacks={**bag.stacks, role: layers}))
        )


def _read_layers(role: str, choices: Sequence[LayerChoice], form: FormSpec, shelf: Shelf) -> tuple[Layer, ...]:
    place = f"stacks.{role}"
    roles = {spec.key: spec for spec in form.roles}
    most = 1 if role in roles and roles[role].is_notion else MOST_LAYERS
    if role not in roles or not 1 <= len(choices) <= most:
        allowed = f"1 to {most} layers for one of: {', '.join(sorted(roles))}"
        what = "cannot be made of these layers"
        raise FaultyInput([Problem(place=place, value=role, what=what, allowed=allowed, remedy="Choose again.")])
    layers: list[Layer] = []
    faults = Faults()
    for number, choice in enumerate(choices):
        with faults:
            layers.append(_read_layer(choice, f"{place}[{number}]", roles[role], shelf))
    faults.raise_if_any()
    return tuple(layers)


def _refuse_zones(bag: Bag, role: str, layers: tuple[Layer, ...]) -> None:
    """Raises `FaultyInput` for zones that are not there, unless they were asked for before."""
    kept = {layer.zone for layer in bag.stacks.get(role, ())}
    if any(layer.extent is Extent.ZONE for layer in layers):
        found = zone_problems(pattern_of_bag(bag), {role: layers})
        problems = [one for one in found if not (one.place.endswith(".zone") and one.value in kept)]
        if problems:
            raise FaultyInput(problems)


def _read_layer(choice: LayerChoice, place: str, role: RoleSpec, shelf: Shelf) -> Layer:
    material = shelf.material(choice.material_id, place=f"{place}.material_id")
    suits = material.kind in role.kinds if role.is_notion else material.kind.is_sheet
    if not suits:
        what = f"is {material.kind}, which is no {role.name.lower() if role.is_notion else 'sheet to cut from'}"
        allowed = ", ".join(role.kinds if role.is_notion else (kind for kind in MaterialKind if kind.is_sheet))
        raise _refused(f"{place}.material_id", material.name, what, allowed)
    if choice.extent not in set(Extent) or choice.held not in set(Held):
        allowed = ", ".join([*Extent, *Held])
        raise _refused(place, f"{choice.extent}, {choice.held}", "is not a way to hold a layer", allowed)
    extent = Extent(choice.extent)
    return Layer(material.id, extent, Held(choice.held), choice.zone if extent is Extent.ZONE else "")


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy="Choose another.")])
