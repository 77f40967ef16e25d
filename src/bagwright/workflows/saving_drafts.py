"""Trying a saving: a copy of the bag with the changes made, kept beside the original."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.forms import accept_measurements
from bagwright.drafting.measurements import MeasurementSpec, Sizes
from bagwright.drafting.own_pieces import OWN_PIECES
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Bag
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.transaction import transaction
from bagwright.workflows.answer import answer_bag
from bagwright.workflows.bag_changes import LONGEST_NAME, load_for_change, print_size
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.desk import BagView, Desk, bag_lines, layout_finder, new_id, view_bag
from bagwright.workflows.saving_ways import BagChange, changed_bag, changes_of_bag, stack_said
from bagwright.workflows.swap_search import Keep
from bagwright.workflows.timing import step_scales, take_over_times


@dataclass(frozen=True, slots=True)
class SideBySide:
    """A bag and a copy of it that was changed."""

    before: BagView
    after: BagView


def try_saving(desk: Desk, bag_id: str, version: int, keys: Sequence[str], keep: Keep | None) -> Bag:
    """A copy of the bag with the changes of these keys, named after them; the bag itself stays as it is.

    Ways of buying are no part of a bag and are left out. Her times of steps that both take go along, longer or shorter
    as their standard times are. Raises `StaleSave` if the bag is no longer what the page
    showed, `FaultyInput` for keys that name no change of it, `NotKept`.
    """
    with desk.store() as store:
        load_for_change(store, bag_id, version)
    view = view_bag(desk, bag_id)
    with desk.store() as store:
        others = [load_bag(store, line.id) for line in bag_lines(desk) if line.id != bag_id]
        changes = _named({change.key: change for change in changes_of_bag(view, keep, others)}, keys)
        name = _name(view.answer.bag, changes)
        changed = changed_bag(view.answer.bag, changes, view.form, view.shelf)
        pattern_of_bag(changed)  # what cannot be drafted is not kept
        shelf, workroom = view.shelf, view.workroom
        after = answer_bag(changed, shelf, workroom, find_layout=layout_finder(desk, store, changed), tells_doubt=False)
        with transaction(store):
            copy = save_bag(store, replace(changed, id=new_id(name), name=name, version=0))
            take_over_times(store, view.answer.bag, copy, step_scales(view.answer.steps, after.steps))
        return copy


def side_by_side(desk: Desk, bag_id: str, copy_id: str) -> SideBySide:
    """Both bags with their answers. Raises `NotKept`."""
    return SideBySide(before=view_bag(desk, bag_id), after=view_bag(desk, copy_id))


def _named(changes: dict[str, BagChange], keys: Sequence[str]) -> list[BagChange]:
    found = [changes[key] for key in dict.fromkeys(keys) if key in changes]
    groups = [change.group for change in found]
    made = [change for change in found if change.is_of_bag]
    if len(found) < len(set(keys)) or len(set(groups)) < len(groups) or not made:
        allowed = "changes that the page of savings shows, one of a kind"
        what, remedy = "are no changes that can be tried together", "Open the page of savings again."
        problem = Problem(place="change", value=", ".join(keys)[:80], what=what, allowed=allowed, remedy=remedy)
        raise FaultyInput([problem])
    return made


def _name(bag: Bag, changes: Sequence[BagChange]) -> str:
    """The bag's name with what is different, as far as that goes into a name."""
    name = f"{bag.name} with {', '.join(change.short for change in changes)}"
    if len(name) <= LONGEST_NAME:
        return name
    short = f" with {len(changes)} changes"
    return f"{bag.name[: LONGEST_NAME - len(short)]}{short}"


def differences(both: SideBySide) -> tuple[tuple[str, str, str], ...]:
    """What the two are made of differently: the part or the measurement, before and after in words."""
    before, after = both.before, both.after
    rows: list[tuple[str, str, str]] = []
    needed = [_roles_needed(before), _roles_needed(after)]
    for role in after.form.roles:
        told = [
            stack_said(view.answer.bag.stacks.get(role.key, ()), view.shelf) if role.key in roles else "none"
            for view, roles in zip((before, after), needed, strict=True)
        ]
        rows += [(role.name, told[0], told[1])] if told[0] != told[1] else []
    rows += _other_sizes(before, after)
    runs = [str(view.answer.bag.run_count) for view in (before, after)]
    return (*rows, *([("Made at a time", runs[0], runs[1])] if runs[0] != runs[1] else []))


def _roles_needed(view: BagView) -> set[str]:
    pattern = view.answer.pattern
    pieces = {piece.role for piece in pattern.pieces if not piece.is_bought}
    return pieces | {notion.role for notion in pattern.notions}


def _other_sizes(before: BagView, after: BagView) -> list[tuple[str, str, str]]:
    if before.form is not after.form or before.answer.bag.form == OWN_PIECES:
        return []
    sizes = [accept_measurements(view.form, view.answer.bag.measurements_mm) for view in (before, after)]
    rows: list[tuple[str, str, str]] = []
    for spec in after.form.measurements:
        told = [_size_said(spec, one, after) for one in sizes]
        rows += [(spec.label, told[0], told[1])] if told[0] != told[1] else []
    return rows


def _size_said(spec: MeasurementSpec, sizes: Sizes, view: BagView) -> str:
    is_used = spec in tuple(view.form.measurements_used(sizes))
    if not is_used or (spec.is_count and not sizes[spec.key] and not spec.choices):
        return spec.choices[0] if spec.choices and not sizes[spec.key] else "none"
    if spec.choices:
        return spec.choices[round(sizes[spec.key]) - int(spec.low_mm)]
    return print_size(spec, sizes[spec.key], view.workroom)
