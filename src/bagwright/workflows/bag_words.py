"""A bag and what its pieces are made of as JSON: words in, a pattern and its stacks out."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from pydantic import Field

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.own_pieces import OWN_FORM, OWN_PIECES
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Bag
from bagwright.model.material import Extent, Held, Layer
from bagwright.model.pattern import Pattern
from bagwright.workflows.contracts import Contract, Faults
from bagwright.workflows.cut_list import Stacks, stack_of
from bagwright.workflows.json_text import shown
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.shelf_words import MaterialWords, OfferWords, shelf_from
from bagwright.workflows.zone_layers import zone_problems


class LayerOfStackWords(Contract):
    """One layer of a stack."""

    material_id: str = Field(
        min_length=1, max_length=80, description="the id of a material in this file, 1 to 80 characters"
    )
    extent: Extent = Field(default=Extent.WHOLE, description="one of: " + ", ".join(Extent))
    held: Held = Field(default=Held.LOOSE, description="how it is held to the layer before: " + ", ".join(Held))
    zone: str = Field(
        default="", max_length=80, description="the zone that it covers if its extent is a zone, up to 80 characters"
    )


StackWords = dict[str, Annotated[list[LayerOfStackWords], Field(min_length=1, max_length=40)]]


class BagWords(Contract):
    """A form, its measurements, its stacks and the materials in them."""

    form: str = Field(description="a form of bag: " + ", ".join(FORMS))
    measurements_mm: dict[str, float] = Field(
        default={}, description="measurements of the form in mm; what is left out takes its usual size"
    )
    stacks: StackWords = Field(description="for each role, a list of 1 to 40 layers from the outside in")
    materials: list[MaterialWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 materials")


@dataclass(frozen=True, slots=True)
class DraftedBag:
    """What a file about a bag comes to: its pattern, what each role is made of, and the materials."""

    pattern: Pattern
    stacks: Stacks
    shelf: Shelf


def drafted_bag(words: BagWords) -> DraftedBag:
    """The bag behind the words, drafted. Raises `FaultyInput` with every fault."""
    bag = bag_from(words.form, words.measurements_mm, words.stacks, run_count=1)
    faults = Faults()
    with faults:
        shelf = shelf_from(words.materials, [], "USD")
    faults.problems += bag_problems(bag, words)
    faults.raise_if_any()
    return DraftedBag(draft_bag(bag.form, bag.measurements_mm), bag.stacks, shelf)


def bag_from(
    form: str,
    measurements_mm: Mapping[str, float],
    stacks: StackWords,
    *,
    run_count: int,
    name: str = "",
    bag_id: str = "bag",
) -> Bag:
    """The bag behind the words."""
    layers = {
        role: tuple(Layer(layer.material_id, layer.extent, layer.held, layer.zone) for layer in stack)
        for role, stack in stacks.items()
    }
    return Bag(
        id=bag_id,
        name=name or form,
        form=form,
        measurements_mm=dict(measurements_mm),
        stacks=layers,
        run_count=run_count,
    )


def bag_problems(bag: Bag, words: BagWords) -> list[Problem]:
    """What cannot be made: sizes, roles without layers, roles and materials that are not known."""
    return [*_faults_of_bag(bag), *unknown_in_stacks(words)]


def unknown_in_stacks(words: BagWords) -> list[Problem]:
    """Roles that the form does not have, and materials that the file does not."""
    return [*_unknown_roles(words), *_unknown_materials(words)]


def _faults_of_bag(bag: Bag) -> Iterator[Problem]:
    """Measurements that are refused; or else the roles of the pattern without layers, and zones that are not there."""
    form = FORMS.get(bag.form)
    try:
        pattern = draft_bag(bag.form, bag.measurements_mm)
    except FaultyInput as fault:
        of_form = {spec.key for spec in form.measurements} | set(bag.measurements_mm) if form else set()
        for problem in fault.problems:
            yield replace(problem, place=f"measurements_mm.{problem.place}") if problem.place in of_form else problem
        return
    faults = Faults()
    used = [
        *((p.role, p.name) for p in pattern.pieces if not p.is_bought),
        *((n.role, n.name) for n in pattern.notions),
    ]
    for role, name in dict(used).items():
        with faults:
            stack_of(role, name, bag.stacks)
    yield from faults.problems
    yield from zone_problems(pattern, bag.stacks)


def place_in_file(place: str, words: BagWords, *, offers: Sequence[OfferWords] = ()) -> str:
    """The path in the file of a place that names a material or an offer by its id."""
    for name, entries in (("materials", words.materials), ("offers", offers)):
        for number, entry in sorted(enumerate(entries), key=lambda pair: -len(pair[1].id)):  # no id hides a longer one
            for stem in (f"{name}.{entry.id}", f"{name}[{entry.id}]"):
                if place == stem or place.startswith((f"{stem}.", f"{stem}[")):
                    return f"{name}[{number}]{place[len(stem) :]}"
    return place


def _unknown_materials(words: BagWords) -> Iterator[Problem]:
    known_ids = [material.id for material in words.materials]
    for role, stack in words.stacks.items():
        for number, layer in enumerate(stack):
            if layer.material_id not in known_ids:
                close = difflib.get_close_matches(layer.material_id, known_ids, n=1)
                yield Problem(
                    place=f"stacks.{shown(role)}[{number}].material_id",
                    value=layer.material_id,
                    what="names no material",
                    allowed="the id of a material in this file",
                    remedy=f'Did you mean "{close[0]}"?' if close else "Add the material, or correct its id.",
                )


def _unknown_roles(words: BagWords) -> Iterator[Problem]:
    form = OWN_FORM if words.form == OWN_PIECES else FORMS.get(words.form)
    if form is None:
        return
    roles = [role.key for role in form.roles]
    for role in words.stacks:
        if role not in roles:
            yield Problem(
                place=f"stacks.{shown(role)}",
                value="",
                what=f"is no part of a {form.name.lower()}",
                allowed=", ".join(roles),
                remedy="Remove it, or correct its spelling.",
            )
