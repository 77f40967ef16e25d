"""`bagwright price`: a whole bag, its shelf and workroom, from measurements to a price."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Annotated

from pydantic import Field

from bagwright.cutting.lay import lay_pieces
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bag import Bag
from bagwright.model.cost import Purchase
from bagwright.model.layout import LaySettings
from bagwright.model.material import Extent, Held, Layer
from bagwright.model.money import Money
from bagwright.units import UnitSystem, print_cloth_length, print_length, print_mass, print_minutes
from bagwright.workflows.answer import BagAnswer, answer_bag
from bagwright.workflows.contracts import Contract, Faults, read_contract
from bagwright.workflows.cut_list import stack_of
from bagwright.workflows.json_text import shown
from bagwright.workflows.shelf_words import MaterialWords, OfferWords, WorkroomWords, shelf_from, workroom_from


class LayerOfStackWords(Contract):
    """One layer of a stack."""

    material_id: str = Field(
        min_length=1, max_length=80, description="the id of a material in this file, 1 to 80 characters"
    )
    extent: Extent = Field(default=Extent.WHOLE, description="one of: " + ", ".join(Extent))
    held: Held = Field(default=Held.LOOSE, description="how it is held to the layer before: " + ", ".join(Held))


StackWords = dict[str, Annotated[list[LayerOfStackWords], Field(min_length=1, max_length=40)]]


class PriceWords(Contract):
    """What `bagwright price` reads."""

    form: str = Field(description="a form of bag: " + ", ".join(FORMS))
    measurements_mm: dict[str, float] = Field(
        default={}, description="measurements of the form in mm; what is left out takes its usual size"
    )
    stacks: StackWords = Field(description="for each role, a list of 1 to 40 layers from the outside in")
    materials: list[MaterialWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 materials")
    offers: list[OfferWords] = Field(min_length=1, max_length=2000, description="list of 1 to 2000 offers")
    workroom: WorkroomWords = Field(default=WorkroomWords(), description="settings; what is left out is as usual")
    run_count: int = Field(default=1, ge=1, le=200, description="how many bags are made together, 1 to 200")
    seconds: float = Field(
        default=0, ge=0, le=600, description="seconds of search for each layout, 0 to 600; 0 takes the first answer"
    )
    seed: int = Field(
        default=1, ge=0, le=2**31 - 1, description="a whole number, 0 to 2147483647, from which the search starts"
    )


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
        role: tuple(Layer(layer.material_id, layer.extent, layer.held) for layer in stack)
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


def price_of_file(text: bytes) -> BagAnswer:
    """The whole answer for the bag that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, PriceWords)
    bag = bag_from(words.form, words.measurements_mm, words.stacks, run_count=words.run_count)
    faults = Faults()
    with faults:
        shelf = shelf_from(words.materials, words.offers, words.workroom.currency)
    workroom = workroom_from(words.workroom)
    faults.problems += [*_faults_of_bag(bag), *_unknown_roles(words), *_unknown_materials(words)]
    faults.raise_if_any()
    settings = LaySettings(seconds=words.seconds, seed=words.seed)
    answer = answer_bag(bag, shelf, workroom, find_layout=lambda request: lay_pieces(request, settings=settings))
    problems = [replace(problem, place=_place_in_file(problem.place, words)) for problem in answer.problems]
    if problems:
        raise FaultyInput(problems)
    return answer


def _faults_of_bag(bag: Bag) -> Iterator[Problem]:
    """Measurements that are refused; or else the roles of the pattern that have no layers."""
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


def _place_in_file(place: str, words: PriceWords) -> str:
    """The path in the file of a place that names a material or an offer by its id."""
    for name, entries in (("materials", words.materials), ("offers", words.offers)):
        for number, entry in sorted(enumerate(entries), key=lambda pair: -len(pair[1].id)):  # no id hides a longer one
            for stem in (f"{name}.{entry.id}", f"{name}[{entry.id}]"):
                if place == stem or place.startswith((f"{stem}.", f"{stem}[")):
                    return f"{name}[{number}]{place[len(stem) :]}"
    return place


def _unknown_materials(words: PriceWords) -> Iterator[Problem]:
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


def _unknown_roles(words: PriceWords) -> Iterator[Problem]:
    if words.form not in FORMS:
        return
    roles = [role.key for role in FORMS[words.form].roles]
    for role in words.stacks:
        if role not in roles:
            yield Problem(
                place=f"stacks.{shown(role)}",
                value="",
                what=f"is no part of a {FORMS[words.form].name.lower()}",
                allowed=", ".join(roles),
                remedy="Remove it, or correct its spelling.",
            )


def price_as_json(answer: BagAnswer) -> dict[str, object]:
    """The answer of `bagwright price`; money as text to the cent, in the currency of the workroom."""
    price, plan = answer.price, answer.plan
    if price is None or plan is None:
        raise BrokenPromise("an answer without problems has a plan and a price")
    return {
        "currency": price.paid_price.currency,
        "run_count": answer.bag.run_count,
        "minutes": price.minutes,
        "mass_g": answer.mass_g,
        "materials": _cents(price.materials),
        "supplies": _cents(price.supplies),
        "overhead": _cents(price.overhead),
        "pay": _cents(price.pay),
        "fees": _cents(price.fees),
        "floor": _cents(price.floor),
        "paid_price": _cents(price.paid_price),
        "paid": _cents(answer.money_in_all()[0]),
        "used": _cents(answer.money_in_all()[1]),
        "left": _cents(answer.money_in_all()[2]),
        "purchases": [
            {
                "material_id": p.material_id,
                "offer_id": p.offer_id,
                "quantity": p.quantity,
                "quantity_unit": p.quantity_unit,
                "needed": p.needed,
                "width_mm": p.width_mm,
                "paid": _cents(p.paid),
                "used": _cents(p.used),
                "left": _cents(p.left),
            }
            for bought in (plan, answer.supplies)
            if bought
            for p in bought.purchases
        ],
        "layouts": [
            {
                "material_id": sheet.material.id,
                "width_mm": sheet.shop_width_mm,
                "usable_width_mm": sheet.request.width_mm,
                "length_mm": sheet.layout.length_mm,
                "share_used": sheet.layout.share_used,
                "checked": sheet.layout.verdict.passed,
            }
            for sheet in answer.chosen_layouts()
        ],
        "panels": [
            {
                "key": panel.panel_key,
                "height_mm": panel.height_mm,
                "standing_height_mm": {
                    "low": panel.body.standing_height_mm.low,
                    "high": panel.body.standing_height_mm.high,
                },
                "stance": panel.stance,
            }
            for panel in answer.panels
        ],
    }


def _cents(money: Money) -> str:
    return str(money.for_display())


def price_in_words(answer: BagAnswer, units: UnitSystem) -> str:
    """The answer for the maker."""
    price, plan = answer.price, answer.plan
    if price is None or plan is None:
        raise BrokenPromise("an answer without problems has a plan and a price")
    bought = [f"  {_bought(purchase, units)}: {purchase.paid.said()}" for purchase in plan.purchases]
    paid, used, left = answer.money_in_all()
    run = "this bag" if answer.bag.run_count == 1 else f"these {answer.bag.run_count} bags"
    return "\n".join(
        [
            f"Buy for {run}:",
            *bought,
            f"Paid {paid.said()}, thread in it; {used.said()} of that goes into {run}, {left.said()} is left over.",
            f"One bag takes {print_minutes(price.minutes)} and weighs {print_mass(answer.mass_g or 0, units).text}.",
            f"Below {price.floor.said()} it costs you money. At {price.paid_price.said()} your hours are paid.",
        ]
    )


def _bought(purchase: Purchase, units: UnitSystem) -> str:
    if purchase.quantity_unit != "mm":
        return f"{purchase.quantity:g} {purchase.unit_said} of {purchase.name}"
    width = f", {print_length(purchase.width_mm, units).text} wide" if purchase.width_mm else ""
    return f"{print_cloth_length(purchase.quantity, units).text} of {purchase.name}{width}"
