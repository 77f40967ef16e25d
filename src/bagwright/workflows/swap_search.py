"""What else a role of a bag could be made of: every stack of the shelf that keeps the stance, the best trade-offs told.

Money goes by area at each material's cheapest price, with the share of cloth wasted that the bag's layouts have now;
what must be bought in whole steps is told by the bag itself once a stack is tried.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from bagwright.body.stack import stack_body
from bagwright.body.standing import STANDING_HEIGHT_PER_BENDING_LENGTH
from bagwright.body.swaps import best_among, best_swaps
from bagwright.costing.step_minutes import held_parts
from bagwright.drafting.form_spec import RoleSpec
from bagwright.errors import NotKept
from bagwright.model.body import Body, Bond, Sheet, Stance
from bagwright.model.material import (
    Extent,
    Held,
    Layer,
    Material,
    MaterialKind,
    Offer,
    OfferByArea,
    OfferByCount,
    OfferByLength,
    OfferByPiece,
)
from bagwright.model.pattern import Panel
from bagwright.model.swaps import Choice, Swap, SwapQuestion
from bagwright.workflows.desk import BagView
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import layer_sheets, panel_sheets, sheet_of
from bagwright.workflows.zone_layers import main_layers

MOST_LINES = 12
MOST_INNER = 2
STIFFENERS = (
    MaterialKind.NONWOVEN_INTERFACING,
    MaterialKind.WOVEN_INTERFACING,
    MaterialKind.FLEECE,
    MaterialKind.FELT,
    MaterialKind.FOAM,
)


class Keep(StrEnum):
    """What is asked of the panel: the low end of its band is not below what it is now, or reaches its height; or the
    high end does."""

    AS_FIRM = "as firm as now"
    STANDS = "surely stands"
    MAY_STAND = "may stand"


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapLine:
    """One stack that would do, against what there is now: differences are new less old."""

    layers: tuple[Layer, ...]
    names: tuple[str, ...]
    body: Body
    stance: Stance
    money_more: float
    minutes_more: float
    mass_more_g: float
    is_now: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleSwaps:
    """The best trade-offs for one role. `tried`: how many stacks were looked at; `waste_share` as reckoned with.

    `zoned`: the role's layers that cover a zone only; they stay as they are, behind whatever is chosen.
    `untried`: names of materials that would suit, but lack a reading or a price.
    """

    role: RoleSpec
    panel: Panel
    keep: Keep
    now: Body
    lines: tuple[SwapLine, ...]
    more: int
    tried: int
    waste_share: float
    zoned: tuple[Layer, ...] = ()
    untried: tuple[str, ...] = ()


def swaps_of_role(view: BagView, role_key: str, keep: Keep = Keep.AS_FIRM) -> RoleSwaps:
    """What else the role could be made of so that its panel keeps what is asked, cheapest first.

    Raises `NotKept` for a role that makes no panel of this bag, `FaultyInput` for readings or prices that are missing.
    """
    panel, role = _panel_of(view, role_key), role_of(view, role_key)
    search = _Search(view, role, panel)
    found, tried = search.best(keep)
    return RoleSwaps(
        role=role,
        panel=panel,
        keep=keep,
        now=search.body_now(),
        lines=tuple(search.line(layers) for layers in found[:MOST_LINES]),
        more=max(len(found) - MOST_LINES, 0),
        tried=tried,
        waste_share=search.waste_share,
        zoned=search.zoned,
        untried=search.untried(),
    )


def role_of(view: BagView, role_key: str) -> RoleSpec:
    """The role of that key. Raises `NotKept` for one that makes no panel of this bag."""
    _panel_of(view, role_key)
    return next(role for role in view.form.roles if role.key == role_key)


def roles_with_swaps(view: BagView) -> frozenset[str]:
    """Roles that make a panel, so that something else could be tried for them."""
    pattern = view.answer.pattern
    return frozenset(pattern.piece(piece_id).role for panel in pattern.panels for piece_id in panel.piece_ids)


def _panel_of(view: BagView, role_key: str) -> Panel:
    pattern = view.answer.pattern
    own = [p for p in pattern.panels if any(pattern.piece(i).role == role_key for i in p.piece_ids)]
    if not own:
        raise NotKept(f"panel made of {role_key!r}")
    return max(own, key=lambda panel: panel.height_mm)


class _Search:
    """One search: what there is to choose from, and what each choice adds to one bag."""

    def __init__(self, view: BagView, role: RoleSpec, panel: Panel) -> None:
        self.view, self.role, self.panel = view, role, panel
        pattern = view.answer.pattern
        self.pieces = [piece for piece in pattern.pieces if piece.role == role.key]
        self.area_mm2 = math.fsum(piece.count * piece.region().area_mm2 for piece in self.pieces)
        laid = view.answer.chosen_layouts()
        shares = [sheet.layout.share_used for sheet in laid]
        self.waste_share = 1 - (sum(shares) / len(shares) if shares else 0.8)
        stack = view.answer.bag.stacks.get(role.key, ())
        self.now, self.zoned = (
            tuple(layer for layer in stack if (layer.extent is Extent.ZONE) == is_zoned) for is_zoned in (False, True)
        )
        self.now_added = self._added(self.now)

    def best(self, keep: Keep) -> tuple[list[tuple[Layer, ...]], int]:
        """Stacks of this role, cheapest first, that no other beats; one question for each outermost material."""
        stance = Stance.LEANS if keep is Keep.MAY_STAND else Stance.STANDS
        need = self.panel.height_mm / STANDING_HEIGHT_PER_BENDING_LENGTH
        if keep is Keep.AS_FIRM:
            need = self.body_now().bending_length_mm.low
        found: list[tuple[tuple[Layer, ...], Swap]] = []
        tried = 0
        for outer in self._outers():
            places, layers = self._places(outer)
            question = SwapQuestion(
                places=places, needed_bending_length_mm=need, stance=stance, bonds=_fused_bonds(self.view.shelf)
            )
            answer = best_swaps(question)
            tried += answer.tried
            found += [(_chosen(layers, swap), swap) for swap in answer.swaps]
        return _best_of_all(found), tried

    def _outers(self) -> Iterator[Layer]:
        for material in self._suiting(self.role.kinds):
            yield Layer(material.id)

    def _suiting(self, kinds: tuple[MaterialKind, ...]) -> Iterator[Material]:
        """Materials of these kinds that have all readings and a price."""
        for material in self.view.shelf.materials.values():
            if material.kind in kinds and not material.retired and self._can_be_tried(material):
                yield material

    def _can_be_tried(self, material: Material) -> bool:
        readings = (material.mass_gsm, material.thickness_mm, material.overhang_mm)
        return all(readings) and bool(price_per_mm2(material, self.view.shelf))

    def untried(self) -> tuple[str, ...]:
        """Materials on the shelf that would suit if all readings and a price were known."""
        suiting = {*self.role.kinds, *STIFFENERS}
        own = [one for one in self.view.shelf.materials.values() if one.kind in suiting and not one.retired]
        return tuple(sorted(one.name for one in own if not self._can_be_tried(one)))

    def _places(self, outer: Layer) -> tuple[tuple[tuple[Choice, ...], ...], list[list[Layer | None]]]:
        """Choices for every place of the panel, and the layers of this role behind those of its own places."""
        inner: list[Layer | None] = [None, *self._inner_layers(outer)]
        own: list[list[Layer | None]] = [[outer], *([inner] * MOST_INNER)]
        places: list[tuple[Choice, ...]] = []
        layers: list[list[Layer | None]] = []
        for piece in (self.view.answer.pattern.piece(piece_id) for piece_id in self.panel.piece_ids):
            if piece.role == self.role.key:
                places += [tuple(self._choice(layer) for layer in place) for place in own]
                layers += own
                fixed = self._fixed(main_layers(piece, {self.role.key: (outer, *self.zoned)}, self.panel.zone)[1:])
            else:
                first, *others = main_layers(piece, self.view.answer.bag.stacks, self.panel.zone)
                fixed = self._fixed([replace(first, held=Held.LOOSE), *others])
            places += [(choice,) for choice in fixed]
            layers += [[None] for _ in fixed]
        return tuple(places), layers

    def _inner_layers(self, outer: Layer) -> Iterator[Layer]:
        """Stiffeners behind that outermost material: fused where iron and cloth allow it, else basted."""
        bears = self.view.shelf.materials[outer.material_id].highest_iron_c
        for material in self._suiting(STIFFENERS):
            needs = material.glue_needs_c
            can_fuse = material.fusible_sides > 0 and not (bears and needs and needs.high > bears.low)
            if can_fuse:
                yield Layer(material.id, held=Held.FUSED)
            elif not material.fusible_sides:
                yield Layer(material.id, held=Held.BASTED)

    def _choice(self, layer: Layer | None) -> Choice:
        if layer is None:
            return Choice(name="", sheet=None)
        money, minutes, mass_g, bulk_mm = self._adds(layer)
        sheet = sheet_of(layer, self.view.shelf)
        return Choice(name=sheet.name, sheet=sheet, cost=money, minutes=minutes, mass_g=mass_g, bulk_mm=bulk_mm)

    def _fixed(self, layers: Sequence[Layer]) -> list[Choice]:
        """Layers of the panel that are of another role or of a zone: they count for the body and stay as they are."""
        sheets = layer_sheets(layers, self.view.shelf)
        return [Choice(name=layer.material_id, sheet=sheet) for layer, sheet in zip(layers, sheets, strict=True)]

    def _adds(self, layer: Layer) -> tuple[float, float, float, float]:
        """Money, minutes, grams and thickness that one layer adds to one bag."""
        material = self.view.shelf.material(layer.material_id, place=f"stacks.{self.role.key}")
        price = price_per_mm2(material, self.view.shelf)
        money = price * self.area_mm2 / (1 - self.waste_share)
        mass = material.mass_gsm.value if material.mass_gsm else 0.0
        bulk = material.thickness_mm.value if material.thickness_mm else 0.0
        return money, self._minutes(layer), self.area_mm2 * 1e-6 * mass, bulk

    def _minutes(self, layer: Layer) -> float:
        """Cutting each piece once more, and fusing, basting or quilting it."""
        given, room = self.view.workroom.standards, self.view.workroom
        minutes = 0.0
        for piece in self.pieces:
            region = piece.region()
            minutes += piece.count * (region.perimeter_mm / given.cutting_mm_per_minute + given.piece_handling_minutes)
            if layer.held is Held.FUSED:
                presses = math.ceil(region.area_mm2 / given.iron_face_mm2)
                minutes += piece.count * presses * (given.press_hold_seconds + given.press_move_seconds) / 60
            minutes += math.fsum(part.minutes for part in held_parts(layer.held, [(piece.count, region)], room))
        return minutes * (1 + given.allowance_share)

    def _added(self, layers: tuple[Layer, ...]) -> tuple[float, float, float]:
        sums = [math.fsum(column) for column in zip(*(self._adds(layer)[:3] for layer in layers), strict=True)]
        return (sums[0], sums[1], sums[2]) if sums else (0.0, 0.0, 0.0)

    def body_now(self) -> Body:
        """How the panel bends with what the role is made of now."""
        view = self.view
        return stack_body(panel_sheets(self.panel, view.answer.pattern, view.answer.bag.stacks, view.shelf))

    def body(self, layers: tuple[Layer, ...]) -> Body:
        """How the panel bends with these layers of the role."""
        return stack_body(self._sheets(layers))

    def _sheets(self, layers: tuple[Layer, ...]) -> list[Sheet]:
        bag = self.view.answer.bag
        stacks: Mapping[str, tuple[Layer, ...]] = {**bag.stacks, self.role.key: (*layers, *self.zoned)}
        return panel_sheets(self.panel, self.view.answer.pattern, stacks, self.view.shelf)

    def line(self, layers: tuple[Layer, ...]) -> SwapLine:
        """A stack told against what there is now."""
        body, added = self.body(layers), self._added(layers)
        money, minutes, mass_g = (new - old for new, old in zip(added, self.now_added, strict=True))
        return SwapLine(
            layers=layers,
            names=tuple(self.view.shelf.materials[layer.material_id].name for layer in layers),
            body=body,
            stance=Stance.of(body.standing_height_mm, self.panel.height_mm),
            money_more=money,
            minutes_more=minutes,
            mass_more_g=mass_g,
            is_now=[(x.material_id, x.held) for x in layers] == [(x.material_id, x.held) for x in self.now],
        )


def _fused_bonds(shelf: Shelf) -> dict[tuple[str, str], Bond]:
    """Fused bonds that she has tested, by the names of the two, either way round; not of names that several share."""
    names = [material.name for material in shelf.materials.values()]
    bonds: dict[tuple[str, str], Bond] = {}
    for kept in shelf.bonds:
        outer, inner = (shelf.materials[one].name for one in (kept.outer_id, kept.inner_id))
        if kept.held is Held.FUSED and names.count(outer) == names.count(inner) == 1:
            bonds[outer, inner] = bonds[inner, outer] = kept.bond
    return bonds


def _chosen(layers: list[list[Layer | None]], swap: Swap) -> tuple[Layer, ...]:
    picked = (place[number] for place, number in zip(layers, swap.choices, strict=True))
    return tuple(layer for layer in picked if layer is not None)


def _best_of_all(found: list[tuple[tuple[Layer, ...], Swap]]) -> list[tuple[Layer, ...]]:
    """The best trade-offs over all outermost materials, each stack once, cheapest first."""
    once = dict(found)
    stacks = list(once)
    best = [stacks[number] for number in best_among(list(once.values()))]
    return sorted(best, key=lambda stack: (once[stack].cost, once[stack].minutes))


def price_per_mm2(material: Material, shelf: Shelf) -> float:
    """The cheapest price of a square millimetre; 0 if there is none."""
    prices = [price for offer in shelf.offers_for(material.id) if (price := _offer_per_mm2(offer))]
    return min(prices, default=0.0)


def _offer_per_mm2(offer: Offer) -> float:
    price = float(offer.price.amount)
    match offer:
        case OfferByLength():
            return price / (offer.priced_per_mm * offer.width_mm) if offer.width_mm else 0.0
        case OfferByPiece():
            return price / (offer.width_mm * offer.length_mm)
        case OfferByArea():
            return price / 1e6
        case OfferByCount():
            return 0.0
