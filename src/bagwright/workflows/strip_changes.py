"""How strips are cut, kept with the bag: for all strips of a cloth, or for one piece."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from bagwright.errors import FaultyInput, NotKept, Problem
from bagwright.model.bag import Bag
from bagwright.model.bands import StripWay, StripWish
from bagwright.model.piece import CutPiece
from bagwright.store.bags import save_bag
from bagwright.workflows.bag_changes import load_for_change
from bagwright.workflows.desk import BagView, Desk, view_bag
from bagwright.workflows.strip_shapes import grain_off_deg, lies_on_bias, strip_sides_mm
from bagwright.workflows.strip_ways import BIAS_WAYS, STRAIGHT_WAYS


def set_strip_wishes(
    desk: Desk, bag_id: str, version: int, *, material_id: str, ways: Sequence[tuple[str, str]]
) -> Bag:
    """Keep how the strips of one cloth are cut; what was kept for that cloth before is replaced.

    `ways`: the id of a piece, or nothing for all strips of the cloth, and a way; an empty way keeps no wish. Raises
    `FaultyInput` with every fault, `StaleSave`, `NotKept`.
    """
    view = view_bag(desk, bag_id)
    if not any(cut.material_id == material_id for cut in view.answer.cuts):
        raise NotKept(f"cuts of {material_id!r}")
    allowed = {cut.id: ways for cut, ways in strip_cuts(view, material_id)}
    problems = list(_choice_problems(ways, allowed))
    if problems:
        raise FaultyInput(problems)
    own = [
        StripWish(material_id=material_id, piece_id=piece, way=StripWay(way))
        for piece, way in ways
        if way and (piece or way != StripWay.LAID)
    ]
    with desk.store() as store:
        bag = load_for_change(store, bag_id, version)
        others = [wish for wish in bag.strip_wishes if wish.material_id != material_id]
        changed = replace(bag, strip_wishes=(*others, *own))
        return bag if changed == bag else save_bag(store, changed)


def strip_cuts(view: BagView, material_id: str) -> tuple[tuple[CutPiece, tuple[StripWay, ...]], ...]:
    """The strips of one cloth, laid or not, and the ways in which each can be cut."""
    return tuple(
        (cut, BIAS_WAYS if lies_on_bias(grain_off_deg(cut.region, cut.grain_deg)) else STRAIGHT_WAYS)
        for cut in view.answer.cuts
        if cut.material_id == material_id and strip_sides_mm(cut.region)
    )


def _choice_problems(ways: Iterable[tuple[str, str]], allowed: Mapping[str, tuple[StripWay, ...]]) -> Iterator[Problem]:
    for piece, way in ways:
        if piece and piece not in allowed:
            yield _problem("strips", piece, "is no strip of this cloth", ", ".join(sorted(allowed)))
        elif way and way not in (allowed[piece] if piece else tuple(StripWay)):
            told = ", ".join(allowed[piece] if piece else StripWay)
            yield _problem("strips", way, "is no way to cut that strip", told)


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    remedy = "Choose one of them, or leave it out."
    return Problem(place=place, value=value[:80], what=what, allowed=allowed[:300], remedy=remedy)
