"""What the stash saves a bag at the shop: which pieces lie on which of its pieces, and what is left of those."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from bagwright.costing.scraps_counted import scrap_counts
from bagwright.cutting.remnants import find_remnants
from bagwright.cutting.stock import lay_on_stock
from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, Placement
from bagwright.model.material import Material
from bagwright.model.money import Money, total
from bagwright.model.stash import Cutting, ReadyPiece, StashPiece
from bagwright.model.stock import StockLayout, StockPiece, StockRequest
from bagwright.store.bags import load_bag
from bagwright.store.history import Kept
from bagwright.store.stash import load_cuttings, load_stash
from bagwright.workflows.answer import BagAnswer, SheetLayout, ready_of
from bagwright.workflows.desk import FIRST_ANSWER, BagView, Desk, Remembered, answered_as_if
from bagwright.workflows.ready_pieces import shape_name
from bagwright.workflows.stash_counted import counted_piece
from bagwright.workflows.stash_first import StashByMaterial, cloth_price, lay_sheet_on_stash, stock_piece, told_piece

_A_CENT = 0.005


@dataclass(frozen=True, slots=True)
class StashLaid:
    """What is cut from one piece of the stash; `left`: what is worth keeping of it then, in the frame of `stock`."""

    piece: StashPiece
    stock: StockPiece
    placements: tuple[Placement, ...]
    left: tuple[Region, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StashOffer:
    """Pieces of one material that the stash holds; what the whole bag costs at the shop now and then.

    `cost`: what the stash loses by it, at what its pieces cost. `worth`: what that counts for as she has scraps
    counted, never more than is saved.
    """

    material: Material
    pieces: tuple[LayPiece, ...]
    laid: tuple[StashLaid, ...]
    pays_now: Money
    pays_then: Money
    cost: Money
    worth: Money

    @property
    def count(self) -> int:
        """How many copies are cut from the stash."""
        return sum(len(one.placements) for one in self.laid)

    @property
    def name(self) -> str:
        """Names what the page shows, so that nothing else is cut unseen."""
        told = repr([(one.piece.id, one.placements, [r.bounds for r in one.left]) for one in self.laid])
        return hashlib.sha256((told + self.worth.said()).encode()).hexdigest()[:24]


@dataclass(frozen=True, slots=True)
class CutFromStash:
    """A cutting that stands; how many copies came of it, and how many still fit the bag."""

    kept: Kept[Cutting]
    material: Material
    count: int
    fits: int


@dataclass(frozen=True, slots=True)
class BagStash:
    """All that the stash has for a bag.

    `idle`: materials of which it holds something that saves nothing. `untold`: printed ones of which some pieces don't
    say where a motif lies, with how many.
    """

    offers: tuple[StashOffer, ...]
    idle: tuple[Material, ...]
    done: tuple[CutFromStash, ...]
    untold: tuple[tuple[Material, int], ...] = ()


def stash_for_bag(desk: Desk, view: BagView) -> BagStash:
    """What of each cloth of the bag lies on the stash first, as far as that saves money at the shop."""
    with desk.store() as store:
        stash = [kept.value for kept in load_stash(store)]
        cut = [kept for kept in load_cuttings(store, view.answer.bag.id) if kept.value.ready]
    offers, idle, untold = [], [], []
    for sheet in view.answer.chosen_layouts():
        own = [piece for piece in stash if piece.material_id == sheet.material.id]
        if own:
            missing = sum(piece.motif is None for piece in own)
            if missing and any(piece.anchor or piece.goes_on for piece in sheet.asked.pieces):
                untold.append((sheet.material, missing))
            found = _offer(desk, view, sheet, own)
            if found:
                offers.append(found)
            else:
                idle.append(sheet.material)
    done = tuple(_done(view, kept) for kept in cut if not kept.value.is_sewn)
    return BagStash(tuple(offers), tuple(idle), done, tuple(untold))


def _done(view: BagView, kept: Kept[Cutting]) -> CutFromStash:
    cutting, material = kept.value, view.shelf.materials[kept.value.material_id]
    alone = replace(view.answer, from_stash=(cutting,))
    fits = sum(ready_of(alone, material).values())
    return CutFromStash(kept, material, sum(ready.count for ready in cutting.ready), fits)


def offer_keys(view: BagView, stash: StashByMaterial) -> tuple[str, ...]:
    """The names under which the offers of `stash_for_bag` are remembered, one for each cloth that the stash holds."""
    owned = ((sheet, stash.get(sheet.material.id, ())) for sheet in view.answer.chosen_layouts())
    return tuple(_key(view, sheet, own) for sheet, own in owned if own)


def offers_under(keys: Sequence[str]) -> tuple[StashOffer, ...] | None:
    """The offers of those names if all of them were worked out lately, without working; None if not."""
    kept = [_offers.get(key) for key in keys]
    if any(one is None for one in kept):
        return None
    return tuple(one[0] for one in kept if one and one[0])


def _key(view: BagView, sheet: SheetLayout, own: Sequence[StashPiece]) -> str:
    """All that an offer follows from. Regions hide their corners, so those are told."""
    counting = view.workroom.scraps_count, view.workroom.scraps_share
    pieces = [told_piece(piece) for piece in own]
    wanted = [(piece, piece.region.shape.wkb_hex) for piece in sheet.asked.pieces]
    told = repr((pieces, sheet.layout, wanted, view.answer.money_in_all(), view.shelf.offers, counting))
    return hashlib.sha256(told.encode()).hexdigest()


def _offer(desk: Desk, view: BagView, sheet: SheetLayout, own: Sequence[StashPiece]) -> StashOffer | None:
    key = _key(view, sheet, own)
    if (kept := _offers.get(key)) is None:
        kept = _offers.put(key, (_worked_out(desk, view, sheet, own),))
    return kept[0]


_offers: Remembered[str, tuple[StashOffer | None]] = Remembered(300)


def _worked_out(desk: Desk, view: BagView, sheet: SheetLayout, own: Sequence[StashPiece]) -> StashOffer | None:
    layout = _laid_on_stash(view, sheet, [counted_piece(piece, view.shelf, view.workroom) for piece in own])
    if layout is None or not layout.laid:
        return None
    if not layout.verdict.passed:
        raise BrokenPromise(f"pieces on the stash failed their check: {layout.verdict.faults}")
    laid = tuple(_laid_on_one(sheet, own, one.stock_id, one.placements) for one in layout.laid)
    cost = total((worth_missed(one, view.workroom.currency) for one in laid), view.workroom.currency)
    worth = _counts(view, sheet, cost, laid)
    now, then = view.answer.money_in_all()[0], _pays_then(desk, view, sheet, laid)
    if then is None or float((now - then - worth).amount) < _A_CENT:
        return None
    pieces = sheet.asked.pieces
    return StashOffer(
        material=sheet.material, pieces=pieces, laid=laid, pays_now=now, pays_then=then, cost=cost, worth=worth
    )


def _counts(view: BagView, sheet: SheetLayout, cost: Money, laid: Sequence[StashLaid]) -> Money:
    areas = {one.id: one.region.area_mm2 for one in sheet.asked.pieces}
    area_mm2 = math.fsum(areas[place.id] for one in laid for place in one.placements)
    return scrap_counts(cost, area_mm2, sheet.material, view.shelf.offers, view.workroom)


def _laid_on_stash(view: BagView, sheet: SheetLayout, own: Sequence[StashPiece]) -> StockLayout | None:
    """Chosen by the price of cloth where it is sold by length; else all that fits."""
    if cloth_price(view.shelf, sheet.material, sheet.shop_width_mm, sheet.request.width_mm):
        found = lay_sheet_on_stash(sheet, own, view.shelf)
        return found.plan.stock if found else None
    stock = filter(None, (stock_piece(piece, has_grain=sheet.material.kind.has_grain) for piece in own))
    asked = sheet.asked
    request = StockRequest(stock=tuple(stock), pieces=asked.pieces, gap_mm=asked.gap_mm, repeat=asked.repeat)
    return lay_on_stock(request, settings=FIRST_ANSWER)


def _laid_on_one(
    sheet: SheetLayout, own: Sequence[StashPiece], stock_id: str, placements: tuple[Placement, ...]
) -> StashLaid:
    piece = next(one for one in own if one.id == stock_id)
    stock = stock_piece(piece, has_grain=sheet.material.kind.has_grain)
    assert stock is not None  # something lies on it
    regions = {one.id: one.region for one in sheet.asked.pieces}
    taken = [*(regions[place.id].moved(place.move) for place in placements), *stock.flaws]
    return StashLaid(piece, stock, placements, left_of(stock, taken))


def left_of(stock: StockPiece, taken: Iterable[Region]) -> tuple[Region, ...]:
    """What is worth keeping, cut along the grain; nothing if it fails its check: the cutting stands all the same."""
    grain = stock.grain_deg or 0.0
    upright = [region.moved(Affine(-grain)) for region in (stock.region, *taken)]
    try:
        found = find_remnants(upright[0], upright[1:])
    except BrokenPromise:
        return ()
    return tuple(one.region.moved(Affine(grain)) for one in found)


def share_of_stock(stock: StockPiece, region: Region) -> float:
    """How much of a piece of the stash a part of it is."""
    return region.area_mm2 / stock.region.area_mm2


def worth_missed(laid: StashLaid, currency: str) -> Money:
    """What the stash loses in worth: that of the piece, less the share of what is kept of it."""
    value = laid.piece.value
    if value is None or value.currency != currency:
        return total((), currency)
    return value.times(max(1 - sum(share_of_stock(laid.stock, region) for region in laid.left), 0.0))


def ready_pieces(sheet_pieces: Sequence[LayPiece], laid: Sequence[StashLaid]) -> tuple[ReadyPiece, ...]:
    """What comes of the cutting, each piece with the shape it has now."""
    shapes = {piece.id: shape_name(piece.region) for piece in sheet_pieces}
    counts: dict[str, int] = {}
    for place in (place for one in laid for place in one.placements):
        counts[place.id] = counts.get(place.id, 0) + 1
    return tuple(ReadyPiece(id=name, shape=shapes[name], count=count) for name, count in counts.items())


def _pays_then(desk: Desk, view: BagView, sheet: SheetLayout, laid: Sequence[StashLaid]) -> Money | None:
    """What the bag costs at the shop if these pieces are not bought for; None if it could not be made then."""
    as_if = Cutting(
        id="",
        bag_id=view.answer.bag.id,
        bag_name=view.answer.bag.name,
        count=view.answer.bag.run_count,
        material_id=sheet.material.id,
        layout_hash="",
        length_mm=0.0,
        dated=date.min,
        ready=ready_pieces(sheet.asked.pieces, laid),
    )
    with desk.store() as store:
        bag = load_bag(store, view.answer.bag.id)
        then: BagAnswer = answered_as_if(desk, store, bag, (view.shelf, view.workroom), also=(as_if,))
    return then.money_in_all()[0] if then.plan and not then.problems else None
