"""What can be asked of the pieces of one cloth, and keeping it with the bag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.errors import FaultyInput
from bagwright.model.bag import Bag
from bagwright.model.piece import CutPiece
from bagwright.store.bags import save_bag
from bagwright.workflows.bag_changes import load_for_change
from bagwright.workflows.cut_list import cut_list, repeat_of
from bagwright.workflows.desk import BagView, Desk, view_bag
from bagwright.workflows.piece_wishes import (
    Matchable,
    matchable_seams,
    settled_prints,
    wish_problems,
    with_wishes,
)


@dataclass(frozen=True, slots=True)
class WishChoices:
    """What can be wished for on one cloth: pieces cut from it, seams between them, and what is chosen."""

    pieces: tuple[CutPiece, ...]
    seams: tuple[Matchable, ...]
    best_only: frozenset[str]
    matched: frozenset[str]


def wish_choices(view: BagView, material_id: str) -> WishChoices:
    """Pieces of a hide that may ask for its best part; seams of a print."""
    bag, material = view.answer.bag, view.shelf.materials[material_id]
    own = [cut for cut in view.answer.cuts if cut.material_id == material_id]
    ids = {cut.piece_id for cut in own}
    pieces = tuple({cut.piece_id: cut for cut in own}.values()) if material.kind.is_hide else ()
    seams = tuple(one for one in matchable_seams(view.answer.pattern) if set(one.piece_ids) <= ids)
    has_print = repeat_of(material) is not None
    return WishChoices(pieces, seams if has_print else (), frozenset(bag.best_only), frozenset(bag.matched_seams))


def set_wishes(
    desk: Desk, bag_id: str, version: int, *, material_id: str, best_only: Sequence[str], matched: Sequence[str]
) -> Bag:
    """Keep what is chosen of one cloth's choices; those of other cloths stay.

    Raises `FaultyInput` with every fault, `StaleSave`, `NotKept`.
    """
    view = view_bag(desk, bag_id)
    choices = wish_choices(view, material_id)
    pieces, seams = {cut.piece_id for cut in choices.pieces}, {one.seam.id for one in choices.seams}
    best = (*(name for name in view.answer.bag.best_only if name not in pieces), *sorted(set(best_only)))
    match = (*(name for name in view.answer.bag.matched_seams if name not in seams), *sorted(set(matched)))
    pattern, wished = view.answer.pattern, replace(view.answer.bag, best_only=best, matched_seams=match)
    problems = list(wish_problems(pattern, best_only, matched))
    cuts = with_wishes(cut_list(pattern, wished.stacks), pattern, wished)
    own = tuple(cut for cut in cuts if cut.material_id == material_id)
    problems += settled_prints(own, view.shelf.materials, pattern.seams)[1]
    if problems:
        raise FaultyInput(problems)
    with desk.store() as store:
        bag = load_for_change(store, bag_id, version)
        changed = replace(bag, best_only=best, matched_seams=match)
        return bag if changed == bag else save_bag(store, changed)
