"""The supply list of a run: hers, by shop, or one for a group, without shops, in both systems of units."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from bagwright.errors import BagwrightError
from bagwright.model.material import Material, MaterialKind, OfferByCount
from bagwright.model.run_buying import RunNeed, RunPlan
from bagwright.workflows.desk import Desk, view_bag
from bagwright.workflows.purchase_words import bought_in_words
from bagwright.workflows.reckoning import is_ready_made
from bagwright.workflows.run_answer import RunAnswer
from bagwright.workflows.runs import RunView
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.supply_words import group_words, zips_instead
from bagwright.workflows.swap_search import Keep, roles_with_swaps, swaps_of_role

_MOST_SWAPS = 2


class ListFor(StrEnum):
    """Who goes shopping with the list."""

    HER = "you"
    GROUP = "group"


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyLine:
    """One thing to have: what, how much in words, and for her list what is paid; `material_id` for machines."""

    material_id: str
    name: str
    kind: str
    amount: str
    paid: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyGroup:
    """Lines under one heading: a shop, the shelf, or a kind of thing."""

    heading: str
    lines: tuple[SupplyLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyList:
    """Everything on the list. `swaps`: what may be taken instead; `cautions`: what to mind."""

    run_name: str
    made: str
    list_for: ListFor
    groups: tuple[SupplyGroup, ...]
    swaps: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    total: str = ""


def supply_list(desk: Desk, view: RunView, list_for: ListFor) -> SupplyList | None:
    """The list of the run's plan; None as long as there is no plan."""
    answer, plan = view.answer, view.answer.plan
    if plan is None:
        return None
    is_hers = list_for is ListFor.HER
    return SupplyList(
        run_name=answer.run.name,
        made=", ".join(f"{bag.bag.run_count} × {bag.bag.name}" for bag in answer.bags),
        list_for=list_for,
        groups=(*_cut_before(answer), *(_by_shop(view, plan) if is_hers else _by_kind(view, plan))),
        swaps=() if is_hers else (*_zips(answer, view.shop.shelf), *_swaps(desk, answer)),
        cautions=tuple(dict.fromkeys(line for bag in answer.bags for line in bag.pattern.cautions)),
        total=_total(plan) if is_hers else "",
    )


def _cut_before(answer: RunAnswer) -> Iterator[SupplyGroup]:
    """What is not on the list, and why."""
    lines = tuple(_line(one.material, one.said()) for one in answer.cut_before)
    if lines:
        yield SupplyGroup(heading="Cut from the stash before, so not on this list", lines=lines)


def _total(plan: RunPlan) -> str:
    delivery = f", {plan.delivery.said()} of that for delivery" if plan.delivery.amount else ""
    return f"Together {plan.paid.said()}{delivery}."


def _by_shop(view: RunView, plan: RunPlan) -> Iterator[SupplyGroup]:
    shelf, units = view.shop.shelf, view.shop.workroom.units
    held = [
        (view.answer.needs[taken.need], one)
        for taken in plan.taken
        for one in view.answer.needs[taken.need].stash
        if taken.stash_id == one.stash_id and taken.holds == one.holds
    ]
    if held:
        lines = tuple(_line(shelf.materials[need.need.material_id], one.name) for need, one in held)
        yield SupplyGroup(heading="On your shelf already", lines=lines)
    for order in plan.orders:
        own = [one for one in plan.purchases if one.seller == order.seller]
        delivery = f", delivery {order.delivery.said()}" if order.delivery.amount else ""
        yield SupplyGroup(
            heading=f"At {order.seller}: {order.goods.said()}{delivery}",
            lines=tuple(
                _line(shelf.materials[one.material_id], bought_in_words(one, units), paid=one.paid.said())
                for one in own
            ),
        )


def _line(material: Material, amount: str, *, paid: str = "") -> SupplyLine:
    return SupplyLine(material_id=material.id, name=material.name, kind=material.kind.value, amount=amount, paid=paid)


_KINDS = (
    ("Outer cloth and lining", (MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT)),
    ("Leather, cork and coated cloth", (MaterialKind.LEATHER, MaterialKind.CORK, MaterialKind.COATED)),
    (
        "Interfacing and padding",
        (
            MaterialKind.WOVEN_INTERFACING,
            MaterialKind.NONWOVEN_INTERFACING,
            MaterialKind.FLEECE,
            MaterialKind.FELT,
            MaterialKind.FOAM,
        ),
    ),
    ("Zips, webbing, hardware and thread", tuple(kind for kind in MaterialKind if not kind.is_sheet)),
)


def _by_kind(view: RunView, plan: RunPlan) -> Iterator[SupplyGroup]:
    """What is needed, not what one shop's steps make of it; of cloth, at the width of the plan."""
    shelf = view.shop.shelf
    for heading, kinds in _KINDS:
        lines = tuple(
            _line(shelf.materials[need.need.material_id], _needed(need, plan, shelf))
            for need in view.answer.needs
            if shelf.materials[need.need.material_id].kind in kinds
        )
        if lines:
            yield SupplyGroup(heading=heading, lines=lines)


def _needed(need: RunNeed, plan: RunPlan, shelf: Shelf) -> str:
    """What is planned with comes first: its width, its spools."""
    own = [one for one in plan.purchases if one.material_id == need.need.material_id]
    lengths = dict(need.need.lengths_mm_by_width)
    width_mm = next((one.width_mm for one in own if one.width_mm in lengths), None)
    planned = [one.offer_id for one in own]
    offers = sorted(shelf.offers_for(need.need.material_id), key=lambda one: one.id not in planned)
    spools = (one.length_each_m for one in offers if isinstance(one, OfferByCount) and one.length_each_m)
    return group_words(need, shelf.materials[need.need.material_id].kind, width_mm=width_mm, spools_m=spools)


def _zips(answer: RunAnswer, shelf: Shelf) -> Iterator[str]:
    for bag in answer.bags:
        chains = {role: shelf.materials.get(layers[0].material_id) for role, layers in bag.bag.stacks.items() if layers}
        from_roll = {role for role, chain in chains.items() if chain and not is_ready_made(chain, shelf)}
        yield from zips_instead(bag.bag.name, (one for one in bag.pattern.notions if one.role in from_roll))


def _swaps(desk: Desk, answer: RunAnswer) -> Iterator[str]:
    """For each panel of each bag, other stacks from the shelf that are at least as firm; cheapest first."""
    for bag in answer.bags:
        view = view_bag(desk, bag.bag.id)
        for role_key in sorted(roles_with_swaps(view)):
            try:
                found = swaps_of_role(view, role_key, Keep.AS_FIRM)
            except BagwrightError:  # a reading is missing: nothing can be said of this panel
                continue
            others = [_stack_words(line.names) for line in found.lines if not line.is_now][:_MOST_SWAPS]
            if others:
                told = ", or of ".join(others)
                yield f"{bag.bag.name}: its {found.role.name.lower()} may be of {told}; reckoned to be as firm."


def _stack_words(names: tuple[str, ...]) -> str:
    """A stack from the outside in.

    >>> _stack_words(("canvas", "fleece", "felt"))
    'canvas backed with fleece and felt'
    """
    outer, *inner = names
    return f"{outer} backed with {' and '.join(inner)}" if inner else outer
