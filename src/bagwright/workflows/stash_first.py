"""A bag's pieces on the stash first: what that saves at the shop."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from bagwright.cutting.stock_first import lay_stock_first
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.layout import LaySettings
from bagwright.model.material import Material, OfferByLength
from bagwright.model.stash import SideUp, StashPiece
from bagwright.model.stock import ClothPrice, StockPiece, StockPlan, StockRequest
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.desk import FIRST_ANSWER
from bagwright.workflows.shelf import Shelf

StashByMaterial = Mapping[str, Sequence[StashPiece]]
"""Pieces of the stash by the id of what they are of."""


@dataclass(frozen=True, slots=True)
class OnStash:
    """What of one material lies on the stash, the pieces used, and what it costs with and without."""

    material: Material
    used: tuple[StashPiece, ...]
    plan: StockPlan


def by_material(stash: Iterable[StashPiece]) -> StashByMaterial:
    """The pieces of each material in the order in which they come."""
    held = dict[str, list[StashPiece]]()
    for piece in stash:
        held.setdefault(piece.material_id, []).append(piece)
    return held


@lru_cache(4_000)
def told_piece(piece: StashPiece) -> str:
    """All that is known of a piece, in one short text for names of what follows from it."""
    return hashlib.sha256(repr(piece).encode()).hexdigest()


@lru_cache(4_000)
def stock_piece(piece: StashPiece, *, has_grain: bool) -> StockPiece | None:
    """A piece of the stash as stock, right side up, smaller all round by what its outline may be wrong.

    None if nothing is left of it then. A piece whose material has no grain bears none.
    """
    region = piece.region.grown(-piece.error_mm) if piece.error_mm else piece.region
    grain, motif = piece.grain_deg if has_grain else None, piece.motif
    flaws, lesser = ([Region.from_ring(ring) for ring in rings] for rings in (piece.flaws, piece.lesser))
    if piece.side_up is SideUp.WRONG:
        over = Affine(mirrors=True)
        region, flaws = region.moved(over), [one.moved(over) for one in flaws]
        lesser = [one.moved(over) for one in lesser]
        motif = over.apply(motif) if motif else None
        grain = None if grain is None else (180.0 - grain) % 360
    largest = max(region.parts(), key=lambda part: part.area_mm2, default=None)
    if largest is None:
        return None
    return StockPiece(
        id=piece.id,
        region=largest,
        flaws=tuple(flaws),
        lesser=tuple(lesser),
        grain_deg=grain,
        motif=motif,
        worth=piece.value,
    )


def cloth_price(shelf: Shelf, material: Material, shop_width_mm: float, usable_mm: float) -> ClothPrice | None:
    """The cheapest offer off the bolt at that width, told for washed cloth; None if there is none.

    A length after the wash costs 1 / (1 - shrinkage) times its price, and comes in steps as much shorter.
    """
    kept = 1 - (material.shrinkage_share.value if material.shrinkage_share else 0.0)
    prices = [
        ClothPrice(
            width_mm=usable_mm,
            price_per_m=offer.price.times(1000 / offer.priced_per_mm / kept),
            step_mm=offer.step_mm * kept,
        )
        for offer in shelf.offers
        if isinstance(offer, OfferByLength)
        and offer.material_id == material.id
        and abs(offer.width_mm - shop_width_mm) < 1e-6
    ]
    return min(prices, key=lambda price: price.price_per_m.amount, default=None)


def lay_sheet_on_stash(
    sheet: SheetLayout, stash: Iterable[StashPiece], shelf: Shelf, *, settings: LaySettings = FIRST_ANSWER
) -> OnStash | None:
    """The pieces of one cloth on the stash first, where that saves money; None if it does not, or can't be said."""
    material, request = sheet.material, sheet.asked
    own = [piece for piece in stash if piece.material_id == material.id]
    price = cloth_price(shelf, material, sheet.shop_width_mm, request.width_mm)
    if not own or price is None:
        return None
    found = (stock_piece(piece, has_grain=material.kind.has_grain) for piece in own)
    stock = tuple(one for one in found if one and _is_paid_in(one, price))
    asked = StockRequest(stock=stock, pieces=request.pieces, gap_mm=request.gap_mm, repeat=request.repeat)
    plan = lay_stock_first(asked, price, settings=settings)
    used = {laid.stock_id for laid in plan.stock.laid}
    return OnStash(material, tuple(piece for piece in own if piece.id in used), plan) if used else None


def _is_paid_in(one: StockPiece, price: ClothPrice) -> bool:
    """Whether its worth can be weighed against the price of cloth."""
    return one.worth is None or one.worth.currency == price.price_per_m.currency
