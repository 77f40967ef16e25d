""" "I used these": scraps leave the stash, what is left of them goes back in, the pieces need not be bought."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from datetime import date

from bagwright.geometry.curves import Affine
from bagwright.model.cover import ScrapPlacement
from bagwright.model.money import total
from bagwright.model.stash import Cutting, PiecedCopies, ReadyPiece, StashPiece
from bagwright.store.history import Kept
from bagwright.workflows.covering import ScrapCovers, covers_for_bag
from bagwright.workflows.cutting_from_stash import TakenFromStash, keep_taken
from bagwright.workflows.desk import BagView, Desk
from bagwright.workflows.from_stash import StashLaid, left_of, worth_missed
from bagwright.workflows.ready_pieces import shape_name


def use_scraps(desk: Desk, bag_id: str, material_id: str, *, cutting_id: str, seen: str, today: date) -> Kept[Cutting]:
    """Keep that these scraps were used: one act, undone as a cutting from the stash is.

    `seen` is the `name` of what was shown. A button pressed twice keeps one. Raises `StaleSave` if the stash or the bag
    has changed since, `NotKept`, `FaultyInput` without an id.
    """

    def offered(view: BagView) -> TakenFromStash | None:
        found = next((one for one in covers_for_bag(desk, view) if one.material.id == material_id), None)
        if found is None or found.name != seen or not found.done:
            return None
        return taken_of(found, view.workroom.currency)

    return keep_taken(desk, bag_id, cutting_id, offered, today=today)


def taken_of(found: ScrapCovers, currency: str) -> TakenFromStash:
    """What leaves the stash if these covers are made."""
    used = tuple(_used(found))
    worth = total((worth_missed(one, currency) for one in used), currency)
    return TakenFromStash(found.material, found.name, used, _ready(found), worth, tuple(_pieced(found)))


def _used(found: ScrapCovers) -> Iterator[StashLaid]:
    for done in found.done:
        for place in done.covered.cover.placements:
            yield _laid(found, found.pieces[place.id], place)


def _laid(found: ScrapCovers, piece: StashPiece, place: ScrapPlacement) -> StashLaid:
    """The scrap and what is worth keeping of it once the kept parts are cut out."""
    stock = found.stock[piece.id]
    taken = [part.shifted(-place.x_mm, -place.y_mm).moved(Affine(-place.turn_deg)) for part in place.kept]
    return StashLaid(piece, stock, (), left_of(stock, [*taken, *stock.flaws]))


def _ready(found: ScrapCovers) -> tuple[ReadyPiece, ...]:
    cuts = {done.cut.id: done.cut for done in found.done}
    counts = Counter(done.cut.id for done in found.done)
    return tuple(
        ReadyPiece(id=name, shape=shape_name(cuts[name].region), count=count) for name, count in counts.items()
    )


def _pieced(found: ScrapCovers) -> Iterator[PiecedCopies]:
    """What the work of piecing is, for each piece: copies that lie on one scrap are only cut."""
    for cut in {done.cut.id: done.cut for done in found.done}.values():
        covers = [done.covered.cover for done in found.done if done.cut.id == cut.id]
        covers = [cover for cover in covers if len(cover.placements) > 1]
        if covers:
            yield PiecedCopies(
                id=cut.id,
                name=f"{cut.name}, {found.material.name}",
                copies=len(covers),
                scraps=sum(len(cover.placements) for cover in covers),
                join_mm=math.fsum(cover.measures.join_mm for cover in covers),
            )
