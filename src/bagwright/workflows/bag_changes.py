"""Changing a bag: what was typed is read, the changed bag is drafted, and only then is it saved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.forms import FORMS, draft_bag, find_form
from bagwright.drafting.measurements import FormSpec, MeasurementSpec, RoleSpec
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Bag, Workroom
from bagwright.model.material import Extent, Held, Layer
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.workroom import load_workroom
from bagwright.units import UnitSystem, print_length, read_length_mm, read_number
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, load_shelf, new_id
from bagwright.workflows.shelf import Shelf

MOST_IN_A_RUN = 200
MOST_LAYERS = 12
LONGEST_NAME = 120


def start_bag(desk: Desk, form_key: str, name: str) -> Bag:
    """A new bag of that form at its usual sizes, made of the first materials on the shelf that suit.

    Raises `FaultyInput` for an unknown form or a name that is too long.
    """
    form = find_form(form_key)
    name = " ".join(name.split()) or form.name
    if len(name) > LONGEST_NAME:
        allowed = f"at most {LONGEST_NAME} characters"
        problem = Problem(
            place="name", value=name[:40], what="is too long a name", allowed=allowed, remedy="Shorten it."
        )
        raise FaultyInput([problem])
    with desk.store() as store:
        shelf = load_shelf(store)
        stacks = {role.key: _first_stack(role, shelf) for role in form.roles}
        bag = Bag(
            id=new_id(name),
            name=name,
            form=form.key,
            measurements_mm=form.defaults(),
            stacks={key: stack for key, stack in stacks.items() if stack},
        )
        return save_bag(store, bag)


def _first_stack(role: RoleSpec, shelf: Shelf) -> tuple[Layer, ...]:
    for kind in role.kinds:
        for material in shelf.materials.values():
            if material.kind is kind and not material.retired and shelf.offers_for(material.id):
                return (Layer(material.id),)
    return ()


def copy_bag(desk: Desk, bag_id: str) -> Bag:
    """The same bag again under a name of its own."""
    with desk.store() as store:
        bag = load_bag(store, bag_id)
        name = f"{bag.name[: LONGEST_NAME - 7]} (copy)"
        return save_bag(store, replace(bag, id=new_id(name), name=name, version=0))


def resize_bag(desk: Desk, bag_id: str, version: int, texts: Mapping[str, str]) -> Bag:
    """Take over what was typed for the measurements; a field left as it was printed keeps its exact size.

    Raises `FaultyInput` with every fault (nothing is saved then), `StaleSave`, `NotKept`.
    """
    with desk.store() as store:
        bag, workroom = load_bag(store, bag_id), load_workroom(store)
        sizes = read_sizes(FORMS[bag.form], texts, bag.measurements_mm, workroom)
        draft_bag(bag.form, sizes)
        return save_bag(store, replace(bag, measurements_mm=sizes, version=version))


def read_sizes(
    form: FormSpec, texts: Mapping[str, str], kept_mm: Mapping[str, float], workroom: Workroom
) -> dict[str, float]:
    """Typed measurements in mm. Raises `FaultyInput` with a problem for each that cannot be read."""
    sizes = {**form.defaults(), **kept_mm}
    faults = Faults()
    for spec in form.measurements:
        text = texts.get(spec.key)
        if text is not None and text.strip() != print_size(spec, sizes[spec.key], workroom):
            with faults:
                sizes[spec.key] = read_size(spec, text, workroom.units)
    faults.raise_if_any()
    return sizes


def print_size(spec: MeasurementSpec, size: float, workroom: Workroom) -> str:
    """A measurement as it stands in its field."""
    return f"{size:.0f}" if spec.is_count else print_length(size, workroom.units, fraction=workroom.fraction).text


def read_size(spec: MeasurementSpec, text: str, units: UnitSystem) -> float:
    """One typed measurement; counts may be zero. Raises `FaultyInput`."""
    if not spec.is_count:
        return read_length_mm(text, place=spec.key, units=units)
    return 0.0 if text.strip() == "0" else read_number(text, place=spec.key, what="a whole number")


def set_run(desk: Desk, bag_id: str, version: int, text: str) -> Bag:
    """How many bags are made together. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    allowed = f"a whole number from 1 to {MOST_IN_A_RUN}"
    if not text.strip().isascii() or not text.strip().isdigit() or not 1 <= int(text.strip()[:9]) <= MOST_IN_A_RUN:
        what = "is no number of bags for one run"
        raise FaultyInput(
            [Problem(place="run_count", value=text[:40], what=what, allowed=allowed, remedy="Type how many you make.")]
        )
    with desk.store() as store:
        return save_bag(store, replace(load_bag(store, bag_id), run_count=int(text), version=version))


@dataclass(frozen=True, slots=True)
class LayerChoice:
    """What the form says of one layer."""

    material_id: str
    extent: str
    held: str


def restack_bag(desk: Desk, bag_id: str, version: int, role: str, choices: Sequence[LayerChoice]) -> Bag:
    """Make a role of other layers. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    with desk.store() as store:
        bag, shelf = load_bag(store, bag_id), load_shelf(store)
        layers = _read_layers(role, choices, FORMS[bag.form], shelf)
        stacks = {**bag.stacks, role: layers}
        return save_bag(store, replace(bag, stacks=stacks, version=version))


def _read_layers(role: str, choices: Sequence[LayerChoice], form: FormSpec, shelf: Shelf) -> tuple[Layer, ...]:
    place = f"stacks.{role}"
    roles = {spec.key for spec in form.roles}
    if role not in roles or not 1 <= len(choices) <= MOST_LAYERS:
        allowed = f"1 to {MOST_LAYERS} layers for one of: {', '.join(sorted(roles))}"
        what = "cannot be made of these layers"
        raise FaultyInput([Problem(place=place, value=role, what=what, allowed=allowed, remedy="Choose again.")])
    layers: list[Layer] = []
    faults = Faults()
    for number, choice in enumerate(choices):
        with faults:
            layers.append(_read_layer(choice, f"{place}[{number}]", shelf))
    faults.raise_if_any()
    return tuple(layers)


def _read_layer(choice: LayerChoice, place: str, shelf: Shelf) -> Layer:
    material = shelf.material(choice.material_id, place=f"{place}.material_id")
    if choice.extent not in set(Extent) or choice.held not in set(Held):
        allowed = ", ".join([*Extent, *Held])
        what = "is not a way to hold a layer"
        raise FaultyInput(
            [
                Problem(
                    place=place, value=f"{choice.extent}, {choice.held}", what=what, allowed=allowed, remedy="Choose."
                )
            ]
        )
    return Layer(material.id, Extent(choice.extent), Held(choice.held))
