"""What can be asked of the pieces of one cloth, and keeping it with the bag."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from bagwright.errors import FaultyInput
from bagwright.model.bag import Bag
from bagwright.model.piece import CutPiece
from bagwright.store.bags import save_bag
from bagwright.workflows.bag_changes import load_for_change
from bagwright.workflows.cut_list import cut_list, motif_place, repeat_of
from bagwright.workflows.desk import BagView, Desk, view_bag
from bagwright.workflows.piece_wishes import (
    Matchable,
    PieceWishes,
    matchable_seams,
    settled_prints,
    wish_problems,
    with_wishes,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WishChoices:
    """What can be wished for on one cloth: pieces of a hide, pieces and seams of a print, and what is chosen."""

    hide_pieces: tuple[CutPiece, ...] = ()
    motif_pieces: tuple[CutPiece, ...] = ()
    seams: tuple[Matchable, ...] = ()
    best_only: frozenset[str]
    matched: frozenset[str]
    any_print: frozenset[str]


def wish_choices(view: BagView, material_id: str) -> WishChoices:
    """Pieces of a hide that may ask for its best part; of a print its seams, and pieces large enough for a motif."""
    bag, material = view.answer.bag, view.shelf.materials[material_id]
    own = {cut.piece_id: cut for cut in view.answer.cuts if cut.material_id == material_id}
    repeat = repeat_of(material)
    seams = (one for one in matchable_seams(view.answer.pattern) if set(one.piece_ids) <= set(own))
    return WishChoices(
        hide_pieces=tuple(own.values()) if material.kind.is_hide else (),
        motif_pieces=tuple(cut for cut in own.values() if motif_place(cut, repeat)) if repeat else (),
        seams=tuple(seams) if repeat else (),
        best_only=frozenset(bag.best_only),
        matched=frozenset(bag.matched_seams),
        any_print=frozenset(bag.any_print),
    )


def set_wishes(desk: Desk, bag_id: str, version: int, *, material_id: str, wishes: PieceWishes) -> Bag:
    """Keep what is chosen of one cloth's choices; those of other cloths stay.

    Raises `FaultyInput` with every fault, `StaleSave`, `NotKept`.
    """
    view = view_bag(desk, bag_id)
    choices, bag = wish_choices(view, material_id), view.answer.bag
    offered = {cut.piece_id for cut in choices.hide_pieces}, {one.seam.id for one in choices.seams}
    best_only = _kept(bag.best_only, offered[0], wishes.best_only)
    matched_seams = _kept(bag.matched_seams, offered[1], wishes.matched_seams)
    any_print = _kept(bag.any_print, {cut.piece_id for cut in choices.motif_pieces}, wishes.any_print)
    told = PieceWishes(best_only=best_only, matched_seams=matched_seams, any_print=any_print)
    pattern, wished = view.answer.pattern, _with(bag, told)
    problems = list(wish_problems(pattern, wishes))
    cuts = with_wishes(cut_list(pattern, wished.stacks), pattern, wished)
    own = tuple(cut for cut in cuts if cut.material_id == material_id)
    problems += settled_prints(own, view.shelf.materials, pattern.seams)[1]
    if problems:
        raise FaultyInput(problems)
    with desk.store() as store:
        bag = load_for_change(store, bag_id, version)
        changed = _with(bag, told)
        return bag if changed == bag else save_bag(store, changed)


def _kept(before: Sequence[str], offered: AbstractSet[str], chosen: Sequence[str]) -> tuple[str, ...]:
    """What is chosen now, and what was chosen before of other cloths."""
    return (*(name for name in before if name not in offered), *sorted(set(chosen)))


def _with(bag: Bag, wishes: PieceWishes) -> Bag:
    return replace(
        bag,
        best_only=tuple(wishes.best_only),
        matched_seams=tuple(wishes.matched_seams),
        any_print=tuple(wishes.any_print),
    )
