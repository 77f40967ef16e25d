"""Scraps as savings: what of a bag can be cut from the stash instead of bought."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from bagwright.model.bag import Bag
from bagwright.model.stash import Cutting
from bagwright.workflows.desk import BagView, Desk
from bagwright.workflows.from_stash import StashOffer, ready_pieces, stash_for_bag
from bagwright.workflows.saving_ways import BagChange


def scrap_changes(desk: Desk, view: BagView) -> Iterator[BagChange]:
    """One change for each material of which the stash saves money at the shop.

    Together with other changes the stash counts as losing all that worth, even where fewer of its pieces are needed
    then: never too little.
    """
    for offer in stash_for_bag(desk, view).offers:
        name, count = offer.material.name, offer.count
        yield BagChange(
            key=f"stash={offer.material.id}",
            group=f"stash of {offer.material.id}",
            does=f"Cut {count} {'piece' if count == 1 else 'pieces'} of {name} from your stash",
            short=f"{name} from the stash",
            cutting=_as_if_cut(offer, view.answer.bag),
        )


def _as_if_cut(offer: StashOffer, bag: Bag) -> Cutting:
    return Cutting(
        id="",
        bag_id=bag.id,
        bag_name=bag.name,
        count=bag.run_count,
        material_id=offer.material.id,
        layout_hash="",
        length_mm=0.0,
        dated=date.min,
        ready=ready_pieces(offer.pieces, offer.laid),
        worth=offer.cost,
    )
