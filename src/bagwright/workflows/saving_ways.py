"""Changes to a bag that may save: other stacks, other cloths, simpler making, larger runs, other offers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from bagwright.costing.overhead import overhead_an_hour
from bagwright.drafting.form_spec import AddOn, FormSpec, RoleSpec
from bagwright.drafting.forms import accept_measurements
from bagwright.drafting.measurements import MeasurementSpec
from bagwright.drafting.own_pieces import OWN_PIECES
from bagwright.errors import FaultyInput
from bagwright.model.bag import Bag
from bagwright.model.body import Stance
from bagwright.model.cost import Purchase
from bagwright.model.material import Held, Layer, Material, Offer, OfferByLength, OfferByPiece
from bagwright.model.stash import Cutting
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.bag_changes import MOST_IN_A_RUN, first_stacks
from bagwright.workflows.desk import BagView
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.swap_search import STIFFENERS, Keep, SwapLine, price_per_mm2, roles_with_swaps, swaps_of_role

MOST_STACKS = 3
MOST_CLOTHS = 3
MOST_OPTIONS = 12
RUN_SIZES = (2, 5, 10, 20, 50, 100, MOST_IN_A_RUN)
MOST_RUNS = 2
MOST_PIECES_LAID = 60
HELD = {Held.FUSED: "fused", Held.BASTED: "basted", Held.QUILTED: "quilted", Held.LOOSE: "loose"}


@dataclass(frozen=True, slots=True, kw_only=True)
class BagChange:
    """One change: what to do in words, a few words for the name of a copy, and what becomes of the bag.

    Of one `group` only one can be made. `offer_id`: the only offer that its material is bought by; `cutting`: what is
    cut from the stash. Such changes are made at the shop or the table, so that no copy of the bag can hold them.
    """

    key: str
    group: str
    does: str
    short: str
    stacks: Mapping[str, tuple[Layer, ...]] = field(default_factory=dict)
    measurements_mm: Mapping[str, float] = field(default_factory=dict)
    run_count: int | None = None
    offer_id: str = ""
    cutting: Cutting | None = None

    @property
    def is_of_bag(self) -> bool:
        """Whether a copy of the bag can be made so."""
        return not self.offer_id and self.cutting is None


def changes_of_bag(view: BagView, keep: Keep | None, other_bags: Sequence[Bag] = ()) -> tuple[BagChange, ...]:
    """Every change that is worth working out, a bounded number. `keep`: None keeps what each panel does now.

    `other_bags`: bags whose cloths are at hand as well.
    """
    found = [
        *_stacks(view, keep),
        *_cloths(view, other_bags),
        *_parts(view),
        *_options(view),
        *_runs(view),
        *_offers(view),
    ]
    return tuple({change.key: change for change in found}.values())


def changed_bag(bag: Bag, changes: Iterable[BagChange], form: FormSpec, shelf: Shelf) -> Bag:
    """The bag with these changes; parts that it needs then and has not are made of the first material that suits."""
    for change in changes:
        stacks = {**bag.stacks, **change.stacks}
        if change.measurements_mm:
            stacks = {**first_stacks(form.roles, shelf), **stacks}
        bag = replace(
            bag,
            stacks=stacks,
            measurements_mm={**bag.measurements_mm, **change.measurements_mm},
            run_count=change.run_count or bag.run_count,
        )
    return bag


def changed_shelf(shelf: Shelf, changes: Iterable[BagChange]) -> Shelf:
    """The shelf where what these changes buy in one way is sold in no other."""
    only = {offer.material_id: offer.id for offer in shelf.offers for one in changes if offer.id == one.offer_id}
    if not only:
        return shelf
    kept = (offer for offer in shelf.offers if only.get(offer.material_id, offer.id) == offer.id)
    return replace(shelf, offers=tuple(kept))


def keep_of_panel(stance: Stance, keep: Keep | None) -> Keep:
    """What is asked of a panel: as she says, or what it does now. One that slumps stays as firm as it is."""
    if keep:
        return keep
    return {Stance.STANDS: Keep.STANDS, Stance.LEANS: Keep.MAY_STAND, Stance.SLUMPS: Keep.AS_FIRM}[stance]


def _stacks(view: BagView, keep: Keep | None) -> Iterator[BagChange]:
    """For each part that makes a panel, the stacks that save most by area; what they save is worked out later."""
    stances = {panel.panel_key: panel.stance for panel in view.answer.panels}
    hourly = view.workroom.hourly_pay.amount + overhead_an_hour(view.workroom).amount
    for role in (role for role in view.form.roles if role.key in roles_with_swaps(view)):
        try:
            wanted = keep_of_panel(min(stances.values(), key=list(Stance).index, default=Stance.SLUMPS), keep)
            found = swaps_of_role(view, role.key, wanted)
        except FaultyInput:
            continue  # a reading is missing; the page of swaps tells which

        def price(line: SwapLine) -> float:
            return line.money_more + line.minutes_more / 60 * float(hourly)

        lines = sorted((line for line in found.lines if not line.is_now), key=price)
        for line in [line for line in lines if price(line) < 0][:MOST_STACKS]:
            yield _stack_change(view, role, (*line.layers, *found.zoned))


def _stack_change(view: BagView, role: RoleSpec, layers: tuple[Layer, ...], *, because: str = "") -> BagChange:
    told = stack_said(layers, view.shelf)
    now = stack_said(view.answer.bag.stacks.get(role.key, ()), view.shelf)
    key = "+".join(f"{one.material_id}.{one.extent}.{one.held}.{one.zone}".replace(" ", "-") for one in layers)
    instead = f" instead of {now}" if now else ""
    return BagChange(
        key=f"{role.key}:{key}",
        group=f"stack of {role.key}",
        does=f"Use {told}{because} for the {role.name.lower()}{instead}",
        short=f"{view.shelf.materials[layers[0].material_id].name} {role.name.lower()}",
        stacks={role.key: layers},
    )


def stack_said(layers: Sequence[Layer], shelf: Shelf) -> str:
    """A stack in words, from the outside in."""
    if not layers:
        return ""
    outer, *inner = (
        (shelf.materials[one.material_id].name, one) for one in layers if one.material_id in shelf.materials
    )
    behind = [f"{name} ({HELD[layer.held]})" for name, layer in inner]
    return f"{outer[0]} with {' and '.join(behind)}" if behind else outer[0]


def _cloths(view: BagView, other_bags: Sequence[Bag]) -> Iterator[BagChange]:
    """For each part of one layer: cheaper cloths, and those that the bag or another one uses anyway."""
    bag, shelf = view.answer.bag, view.shelf
    used = {cut.material_id for cut in view.answer.cuts}
    for role in _cut_roles(view):
        (now,) = bag.stacks[role.key]
        price_now = price_per_mm2(shelf.materials[now.material_id], shelf)
        suiting = [one for one in _suiting(role, shelf) if one.id != now.material_id]
        prices = {one.id: price_per_mm2(one, shelf) for one in suiting}
        cheaper = sorted((one for one in suiting if 0 < prices[one.id] < price_now), key=lambda one: prices[one.id])
        shared = [one for one in suiting if one.id in used and one not in cheaper]
        for material in [*cheaper, *shared][:MOST_CLOTHS]:
            because = _shared_with(material, bag, used, other_bags)
            yield _stack_change(view, role, (replace(now, material_id=material.id),), because=because)


def _shared_with(material: Material, bag: Bag, used: set[str], other_bags: Sequence[Bag]) -> str:
    if material.id in used:
        return ", which this bag uses already,"
    names = [one.name for one in other_bags if one.id != bag.id and _uses(one, material)]
    return f", which {names[0]} uses too," if names else ""


def _uses(bag: Bag, material: Material) -> bool:
    return any(layer.material_id == material.id for stack in bag.stacks.values() for layer in stack)


def _cut_roles(view: BagView) -> Iterator[RoleSpec]:
    """Parts that are cut of one whole layer of a known material."""
    cut = {piece.role for piece in view.answer.pattern.pieces if not piece.is_bought}
    for role in view.form.roles:
        stack = view.answer.bag.stacks.get(role.key, ())
        if role.key in cut and len(stack) == 1 and stack[0].material_id in view.shelf.materials:
            yield role


def _suiting(role: RoleSpec, shelf: Shelf) -> Iterator[Material]:
    for material in shelf.materials.values():
        if material.kind in role.kinds and _is_named(material, role) and not material.retired:
            yield from [material] if shelf.offers_for(material.id) else []


def _is_named(material: Material, role: RoleSpec) -> bool:
    return not role.is_notion or role.word in material.name.lower()


def without_price(view: BagView) -> Iterator[str]:
    """Names of materials that suit a part of the bag that it needs, and that nobody is known to sell."""
    pattern = view.answer.pattern
    needed = {piece.role for piece in pattern.pieces if not piece.is_bought} | {one.role for one in pattern.notions}
    roles = [role for role in view.form.roles if role.key in needed]
    backing = STIFFENERS if roles_with_swaps(view) else ()
    for material in view.shelf.materials.values():
        suits = any(material.kind in role.kinds and _is_named(material, role) for role in roles)
        suits = suits or material.kind in backing
        if suits and not material.retired and not view.shelf.offers_for(material.id):
            yield material.name


def _parts(view: BagView) -> Iterator[BagChange]:
    """Other bought parts of the same kind."""
    needed = {notion.role for notion in view.answer.pattern.notions}
    for role in (role for role in view.form.roles if role.is_notion and role.key in needed):
        now = [layer.material_id for layer in view.answer.bag.stacks.get(role.key, ())]
        others = [one for one in _suiting(role, view.shelf) if one.id not in now]
        for material in others[:MOST_CLOTHS]:
            yield _stack_change(view, role, (Layer(material.id),))


def _options(view: BagView) -> Iterator[BagChange]:
    """What could be left out, or made another way."""
    form, bag = view.form, view.answer.bag
    if bag.form == OWN_PIECES:
        return
    sizes = accept_measurements(form, bag.measurements_mm)
    adding = {add_on.chosen.key: add_on for add_on in form.add_ons}
    found: list[BagChange] = []
    for spec in form.measurements_used(sizes):
        if spec.is_count and sizes[spec.key] and spec.key in adding:
            found += _simpler(spec, sizes, adding[spec.key], form)
        elif spec.is_count and not spec.choices and sizes[spec.key] and spec.needs and not spec.low_mm:
            found.append(_option(spec, 0, sizes, f"Leave out the {spec.label.lower()}", f"no {spec.label.lower()}"))
        elif spec.is_count:
            found += _other_choices(spec, sizes)
    yield from found[:MOST_OPTIONS]


def _simpler(spec: MeasurementSpec, sizes: Mapping[str, float], add_on: AddOn, form: FormSpec) -> Iterator[BagChange]:
    name = add_on.name[:1].lower() + add_on.name[1:]
    yield _option(spec, 0, sizes, f"Leave out the {name}", f"no {name}")
    yield from _other_choices(spec, sizes)
    slip = next((one for one in form.add_ons if one.key == add_on.key.replace("zip", "slip")), None)
    if slip and slip is not add_on and not sizes[slip.chosen.key]:
        slip_name = slip.name[:1].lower() + slip.name[1:]
        change = _option(spec, 0, sizes, f"Make a {slip_name} instead of the {name}", slip_name)
        measurements = {**change.measurements_mm, slip.chosen.key: 1.0}
        yield replace(change, key=f"{change.key},{slip.chosen.key}=1", measurements_mm=measurements)


def _other_choices(spec: MeasurementSpec, sizes: Mapping[str, float]) -> Iterator[BagChange]:
    """Other ways to make what is made one way now; a number of zips is no way, and nothing is added."""
    now = round(sizes[spec.key])
    if not spec.choices or spec.choices[0].startswith("#"):
        return
    said = dict(enumerate(spec.choices, start=int(spec.low_mm)))
    if said[now] == "none":
        return
    for number, words in said.items():
        if number != now and words != "none":
            label = spec.label.lower()
            does = f"{spec.label}: “{words}” instead of “{said[now]}”"
            yield _option(spec, number, sizes, does, f"{label} {words}")


def _option(spec: MeasurementSpec, value: int, sizes: Mapping[str, float], does: str, short: str) -> BagChange:
    return BagChange(
        key=f"{spec.key}={value}",
        group=f"way of {spec.key}",
        does=does,
        short=short,
        measurements_mm={spec.key: float(value)},
    )


def _runs(view: BagView) -> Iterator[BagChange]:
    """Larger runs, as far as they are laid in no time."""
    now = view.answer.bag.run_count
    pieces = max((sum(cut.count for cut in view.answer.cuts if cut.material_id == m) for m in _laid(view)), default=1)
    larger = [run for run in RUN_SIZES if run > now and run * pieces <= MOST_PIECES_LAID]
    for run in larger[:MOST_RUNS]:
        does = f"Make {run} at a time instead of {now}"
        yield BagChange(key=f"run={run}", group="run", does=does, short=f"{run} at a time", run_count=run)


def _laid(view: BagView) -> set[str]:
    return {cut.material_id for cut in view.answer.cuts}


def _offers(view: BagView) -> Iterator[BagChange]:
    """Each cloth bought another way: what is cheapest at the till may use more money a bag."""
    for purchase in view.answer.plan.purchases if view.answer.plan else ():
        material = view.shelf.materials[purchase.material_id]
        if material.kind.is_sheet and purchase.needed:
            for offer in view.shelf.offers_for(material.id):
                if offer.id != purchase.offer_id:
                    yield _offer(material, offer, purchase, view.workroom.units)


def _offer(material: Material, offer: Offer, purchase: Purchase, units: UnitSystem) -> BagChange:
    wide = ""
    if isinstance(offer, OfferByLength | OfferByPiece) and offer.width_mm != purchase.width_mm:
        now = print_length(purchase.width_mm, units).text
        wide = f" {print_length(offer.width_mm, units).text} wide instead of {now},"
    pieces = " in cut pieces" if isinstance(offer, OfferByPiece) else ""
    return BagChange(
        key=f"offer={offer.id}",
        group=f"offer for {material.id}",
        does=f"Buy {material.name}{pieces}{wide} from {offer.seller}",
        short=f"{material.name} from {offer.seller}",
        offer_id=offer.id,
    )
