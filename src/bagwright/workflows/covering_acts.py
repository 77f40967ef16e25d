""" "I used these": scraps leave the stash, what is left of them goes back in, the pieces need not be bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.geometry.curves import Affine
from bagwright.model.cover import ScrapPlacement
from bagwright.model.money import total
from bagwright.model.stash import Cutting, ReadyPiece, StashPiece
from bagwright.store.history import Kept
from bagwright.store.stash import keep_cutting, load_cuttings
from bagwright.workflows.covering import CoverWishes, ScrapCovers, covers_for_bag
from bagwright.workflows.cutting_from_stash import rest_of_piece
from bagwright.workflows.desk import Desk, view_bag
from bagwright.workflows.from_stash import StashLaid, left_of, worth_missed
from bagwright.workflows.ready_pieces import shape_name


def use_scraps(
    desk: Desk, bag_id: str, material_id: str, wishes: CoverWishes, *, cutting_id: str, seen: str, today: date
) -> Kept[Cutting]:
    """Keep that these scraps were used: one act, undone as a cutting from the stash is.

    `seen` is the `name` of what was shown. A button pressed twice keeps one. Raises `StaleSave` if the stash or the bag
    has changed since, `NotKept`, `FaultyInput` without an id.
    """
    view = view_bag(desk, bag_id)
    with desk.store() as store:
        before = [kept for kept in load_cuttings(store, bag_id) if kept.value.id == cutting_id]
    if before:
        return before[0]
    found = next((one for one in covers_for_bag(desk, view, wishes) if one.material.id == material_id), None)
    if found is None or found.name != seen or not found.done:
        raise StaleSave("what the stash holds", expected_version=0, kept_version=0)
    if not cutting_id:
        remedy = "Open the page anew."
        raise FaultyInput([Problem(place="cutting_id", value="", what="is missing", allowed="a name", remedy=remedy)])
    used, bag = tuple(_used(found)), view.answer.bag
    cutting = Cutting(
        id=cutting_id,
        bag_id=bag.id,
        bag_name=bag.name,
        count=bag.run_count,
        material_id=material_id,
        layout_hash=found.name,
        length_mm=0.0,
        dated=today,
        used_ids=tuple(one.piece.id for one in used),
        ready=_ready(found),
        worth=total((worth_missed(one, view.workroom.currency) for one in used), view.workroom.currency),
    )
    rest = [rest_of_piece(found.material, one, region, today) for one in used for region in one.left]
    with desk.store() as store:
        return keep_cutting(store, cutting, rest)[0]


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
