"""Cut from the stash with one press, taken back with another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.bag import Bag
from bagwright.model.material import Material
from bagwright.model.money import Money
from bagwright.model.stash import Cutting, PiecedCopies, ReadyPiece, SideUp, StashPiece
from bagwright.store.history import Kept
from bagwright.store.stash import (
    bring_cutting_back,
    change_cutting,
    keep_cutting,
    load_cutting,
    load_cuttings,
    take_back_cutting,
)
from bagwright.workflows.desk import BagView, Desk, new_id, view_bag
from bagwright.workflows.from_stash import StashLaid, ready_pieces, share_of_stock, stash_for_bag
from bagwright.workflows.scrap_pictures import picture_as_laid


def cut_from_stash(
    desk: Desk, bag_id: str, material_id: str, *, cutting_id: str, seen: str, today: date
) -> Kept[Cutting]:
    """Keep that these pieces were cut: out of the stash goes what was cut into, in comes what is left of it.

    `seen` is the `name` of the offer. A button pressed twice keeps one cutting. Raises `StaleSave` if the stash or the
    bag has changed since, `NotKept`, `FaultyInput` for an id that is taken.
    """

    def offered(view: BagView) -> TakenFromStash | None:
        found = next((one for one in stash_for_bag(desk, view).offers if one.material.id == material_id), None)
        if found is None or found.name != seen:
            return None
        ready = ready_pieces(found.pieces, found.laid)
        return TakenFromStash(found.material, found.name, found.laid, ready, found.cost)

    return keep_taken(desk, bag_id, cutting_id, offered, today=today)


@dataclass(frozen=True, slots=True)
class TakenFromStash:
    """What is taken out of the stash in one act: cut into what is laid, with these pieces ready after it.

    `name` is that of the offer that was shown; `worth` what the stash loses by it, at what its pieces cost.
    """

    material: Material
    name: str
    laid: tuple[StashLaid, ...]
    ready: tuple[ReadyPiece, ...]
    worth: Money
    pieced: tuple[PiecedCopies, ...] = ()


def keep_taken(
    desk: Desk, bag_id: str, cutting_id: str, offered: Callable[[BagView], TakenFromStash | None], *, today: date
) -> Kept[Cutting]:
    """Keep one act under its id, once however often it is asked for.

    `offered` finds it as it is now, None if it is no longer what was shown. Raises `StaleSave` then, `NotKept`,
    `FaultyInput` without an id.
    """
    view = view_bag(desk, bag_id)
    with desk.store() as store:
        before = [kept for kept in load_cuttings(store, bag_id) if kept.value.id == cutting_id]
    if before:
        return before[0]
    taken, bag = offered(view), view.answer.bag
    if taken is None:
        raise StaleSave("what the stash holds", expected_version=0, kept_version=0)
    refuse_without_id(cutting_id)
    cutting, rest = cutting_of(bag, cutting_id, taken, today)
    with desk.store() as store:
        return keep_cutting(store, cutting, rest)[0]


def refuse_without_id(cutting_id: str) -> None:
    """An act without an id could be kept twice. Raises `FaultyInput`."""
    if not cutting_id:
        remedy = "Open the page anew."
        raise FaultyInput([Problem(place="cutting_id", value="", what="is missing", allowed="a name", remedy=remedy)])


def cutting_of(bag: Bag, cutting_id: str, taken: TakenFromStash, today: date) -> tuple[Cutting, list[StashPiece]]:
    """The act as it is kept, and what goes back into the stash."""
    cutting = Cutting(
        id=cutting_id,
        bag_id=bag.id,
        bag_name=bag.name,
        count=bag.run_count,
        material_id=taken.material.id,
        layout_hash=taken.name,
        length_mm=0.0,
        dated=today,
        used_ids=tuple(one.piece.id for one in taken.laid),
        ready=taken.ready,
        worth=taken.worth,
        pieced=taken.pieced,
    )
    return cutting, [rest_of_piece(taken.material, one, region, today) for one in taken.laid for region in one.left]


def rest_of_piece(material: Material, laid: StashLaid, region: Region, today: date) -> StashPiece:
    """What is left of a piece of the stash as a piece of its own: corner at 0, 0, grain along x."""
    piece = laid.piece
    turn = Affine(-(laid.stock.grain_deg or 0.0))
    upright = region.moved(turn)
    corner = upright.bounds[:2]
    upright = upright.shifted(-corner[0], -corner[1])
    lesser = [
        part.moved(turn).shifted(-corner[0], -corner[1])
        for one in laid.stock.lesser
        for part in one.shared_with(region).parts()
    ]
    over = Affine(turn.turn_deg, (-corner[0], -corner[1]))
    left, right, below = map(over.apply, picture_as_laid(piece))
    return StashPiece(
        id=new_id(material.name),
        material_id=material.id,
        outer=tuple(upright.outer_ring()),
        holes=tuple(map(tuple, upright.hole_rings())),
        grain_deg=0.0 if laid.stock.grain_deg is not None else None,
        side_up=SideUp.EITHER if piece.side_up is SideUp.EITHER else SideUp.RIGHT,
        bin=piece.bin,
        came_from=piece.came_from,
        dated=today,
        value=piece.value.times(share_of_stock(laid.stock, region)) if piece.value else None,
        lesser=tuple(tuple(part.outer_ring()) for part in lesser),
        picture=piece.picture,
        picture_at=(left, right, below) if piece.picture else None,
        motif=over.apply(laid.stock.motif) if laid.stock.motif else None,
    )


def take_back(desk: Desk, cutting_id: str, version: int) -> None:
    """Undo it: what was cut into lies in the stash again, and everything is bought. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        take_back_cutting(store, cutting_id, expected_version=version)


def cut_after_all(desk: Desk, cutting_id: str) -> None:
    """Take the taking back back. Raises `StaleSave` if what it takes is no longer in the stash, `NotKept`."""
    with desk.store() as store:
        bring_cutting_back(store, cutting_id)


def mark_sewn(desk: Desk, cutting_id: str, version: int, *, is_sewn: bool) -> None:
    """Whether its bags are made, so that the next ones need all pieces again. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        kept = load_cutting(store, cutting_id)
        if kept.retired:
            raise NotKept(f"cutting {cutting_id!r}")
        change_cutting(store, replace(kept.value, is_sewn=is_sewn), expected_version=version)


def cutting_from_stash(desk: Desk, bag_id: str, cutting_id: str) -> Kept[Cutting]:
    """That cutting of that bag, whether it stands or not. Raises `NotKept`."""
    with desk.store() as store:
        kept = load_cutting(store, cutting_id)
    if kept.value.bag_id != bag_id or not kept.value.ready:
        raise NotKept(f"cutting {cutting_id!r}")
    return kept
