"""The desk: the store of one workroom, and the answers worked out from it lately."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from threading import Lock
from typing import Generic, TypeVar

from bagwright.cutting.check import check_layout
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.requests import request_hash
from bagwright.cutting.straight_rows import can_be_in_rows, lay_in_rows, rows_hash
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import FORMS
from bagwright.errors import StaleSave
from bagwright.model.bag import Bag, Workroom
from bagwright.model.layout import Layout, LayRequest, LaySettings
from bagwright.model.stash import Cutting, StashPiece
from bagwright.store.bags import BagLine as BagLine
from bagwright.store.bags import can_redo_bag, can_undo_bag, list_bags, load_bag, redo_bag, undo_bag
from bagwright.store.bonds import load_bonds
from bagwright.store.connection import Connection, open_store
from bagwright.store.history import Kept
from bagwright.store.layouts import kept_lengths_mm, load_layout
from bagwright.store.materials import load_materials, load_offers
from bagwright.store.own_layouts import load_own_layout
from bagwright.store.runs import load_seller_terms
from bagwright.store.stamp import AnswerStamp, Stamp, stamp_of_answers
from bagwright.store.stash import load_cuttings
from bagwright.store.timings import load_timings
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.workflows.answer import BagAnswer, FindLayout, answer_bag
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.shelf import Shelf

Key = TypeVar("Key")
Value = TypeVar("Value")
FIRST_ANSWER = LaySettings(seconds=0)


class Remembered(Generic[Key, Value]):
    """The last few values, oldest forgotten first; safe to use from several threads."""

    def __init__(self, most: int) -> None:
        self._most, self._values, self._lock = most, OrderedDict[Key, Value](), Lock()
        self._under_way = dict[Key, Lock]()

    def get(self, key: Key) -> Value | None:
        """The value, if it is still remembered."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: Key, value: Value) -> Value:
        """Remember a value and give it back."""
        with self._lock:
            self._values[key] = value
            self._values.move_to_end(key)
            while len(self._values) > self._most:
                self._values.popitem(last=False)
        return value

    def once(self, key: Key, work: Callable[[], Value], *, holds: Callable[[Value], bool] = lambda _: True) -> Value:
        """The value; worked out if none that `holds` is remembered, and once however many ask for it meanwhile."""
        known = self.get(key)
        if known is not None and holds(known):
            return known
        with self._lock:
            mine = self._under_way.setdefault(key, Lock())
        with mine:
            known = self.get(key)
            try:
                return known if known is not None and holds(known) else self.put(key, work())
            finally:
                with self._lock:
                    self._under_way.pop(key, None)

    def forget(self) -> None:
        """Everything."""
        with self._lock:
            self._values.clear()


@dataclass(frozen=True, slots=True)
class BroughtFile:
    """A drawing that was brought and is being looked at."""

    name: str
    data: bytes


@dataclass(frozen=True, slots=True)
class KnownAnswer:
    """An answer and the layouts that it asked for: how long each one was that was kept then; infinite for none."""

    answer: BagAnswer
    kept_mm: Mapping[str, float]

    def holds(self, store: Connection) -> bool:
        """Whether none of those layouts was found, or became shorter, since."""
        return kept_lengths_mm(store, self.kept_mm) == self.kept_mm


@dataclass(frozen=True, slots=True)
class Desk:
    """Where one workroom keeps its things. First layouts, answers and what was brought are remembered as it lives."""

    home: Path
    is_demo: bool = False
    first_layouts: Remembered[str, Layout] = field(default_factory=lambda: Remembered(400))
    answers: Remembered[tuple[str, int], BagAnswer] = field(default_factory=lambda: Remembered(50))
    known: Remembered[tuple[str, int, AnswerStamp], KnownAnswer] = field(default_factory=lambda: Remembered(400))
    in_runs: Remembered[tuple[str, int, int, AnswerStamp], KnownAnswer] = field(default_factory=lambda: Remembered(100))
    runs: Remembered[tuple[object, ...], object] = field(default_factory=lambda: Remembered(20))
    savings: Remembered[tuple[object, ...], object] = field(default_factory=lambda: Remembered(20))
    weighed: Remembered[tuple[str, int, Stamp], object] = field(default_factory=lambda: Remembered(400))
    stash: Remembered[Stamp, tuple[tuple[Kept[StashPiece], bool], ...]] = field(default_factory=lambda: Remembered(2))
    ready: Remembered[tuple[tuple[int, int], Stamp], bool] = field(default_factory=lambda: Remembered(1))
    drawings: Remembered[str, BroughtFile] = field(default_factory=lambda: Remembered(8))

    @contextmanager
    def store(self) -> Iterator[Connection]:
        """A connection to the store, for one task."""
        with closing(open_store(self.home)) as connection:
            yield connection


@dataclass(frozen=True, slots=True)
class Room:
    """What answers follow from besides the bag.

    `stamp`: from before the rest was read, so that an answer is never remembered as newer than what it follows from.
    """

    shelf: Shelf
    workroom: Workroom
    stamp: AnswerStamp


@dataclass(frozen=True, slots=True, kw_only=True)
class BagView:
    """A bag's answer with all that is needed to show it. `before`: the answer before the last change, if asked for."""

    answer: BagAnswer
    form: FormSpec
    shelf: Shelf
    workroom: Workroom
    before: BagAnswer | None
    can_undo: bool
    is_demo: bool
    can_redo: bool = False


def load_shelf(store: Connection) -> Shelf:
    """Every material, retired ones too, every offer, the bonds that she has tested, and what sellers ask for."""
    materials = [kept.value for kept in load_materials(store, with_retired=True)]
    offers = [kept.value for kept in load_offers(store)]
    shelf = Shelf.of(materials, offers, [kept.value for kept in load_bonds(store)])
    terms = tuple(kept.value for kept in load_seller_terms(store))
    return replace(shelf, terms=terms, timings=load_timings(store))


def load_room(store: Connection) -> Room:
    """The shelf and the workroom as they are kept."""
    stamp = stamp_of_answers(store)
    return Room(load_shelf(store), load_workroom(store), stamp)


def the_shelf(desk: Desk) -> Shelf:
    """The shelf as it is kept."""
    with desk.store() as store:
        return load_shelf(store)


def all_forms() -> tuple[FormSpec, ...]:
    """Every form a bag can take."""
    return tuple(FORMS.values())


def view_bag(desk: Desk, bag_id: str, *, since: int | None = None) -> BagView:
    """The bag with its answer. `since`: the version to compare with. Raises `NotKept`."""
    with desk.store() as store:
        bag, room = load_bag(store, bag_id), load_room(store)
        can_undo, can_redo = can_undo_bag(store, bag_id), can_redo_bag(store, bag_id)
        answer = answered(desk, store, bag, room)
    desk.answers.put((bag.id, bag.version), answer)
    return BagView(
        answer=answer,
        form=form_of_key(bag.form),
        shelf=room.shelf,
        workroom=room.workroom,
        before=desk.answers.get((bag.id, since)) if since is not None and since != bag.version else None,
        can_undo=can_undo,
        can_redo=can_redo,
        is_demo=desk.is_demo,
    )


def bag_lines(desk: Desk) -> tuple[BagLine, ...]:
    """Every bag by name, not worked out."""
    with desk.store() as store:
        return list_bags(store)


def answers_of(desk: Desk, bag_ids: Sequence[str]) -> tuple[BagAnswer, ...]:
    """These bags with their answers. Raises `NotKept`."""
    with desk.store() as store:
        room = load_room(store)
        return tuple(answered(desk, store, load_bag(store, bag_id), room) for bag_id in bag_ids)


def unanswered(desk: Desk) -> tuple[str, ...]:
    """The ids of the bags by name whose answers are not known."""
    with desk.store() as store:
        stamp, lines = stamp_of_answers(store), list_bags(store)
        return tuple(line.id for line in lines if not _is_known(desk, store, (line.id, line.version, stamp)))


def _is_known(desk: Desk, store: Connection, key: tuple[str, int, AnswerStamp]) -> bool:
    known = desk.known.get(key)
    return known is not None and known.holds(store)


def answers_at_once(desk: Desk, bag_ids: Sequence[str], *, most_new: int) -> dict[str, BagAnswer]:
    """Of these bags, by id, those whose answers are known and the first `most_new` of the others. Raises `NotKept`."""
    found = dict[str, BagAnswer]()
    with desk.store() as store:
        room = load_room(store)
        for bag_id in bag_ids:
            bag = load_bag(store, bag_id)
            is_known = _is_known(desk, store, (bag.id, bag.version, room.stamp))
            if is_known or most_new > 0:
                found[bag_id] = answered(desk, store, bag, room)
                most_new -= not is_known
    return found


def answered(desk: Desk, store: Connection, bag: Bag, room: Room) -> BagAnswer:
    """The bag's answer with the best layouts known, without what was cut from the stash.

    What was worked out lately, and could not come out otherwise now, is not worked out again.
    """
    key, work = (bag.id, bag.version, room.stamp), partial(_noting_layouts, desk, store, bag, room)
    return desk.known.once(key, work, holds=lambda known: known.holds(store)).answer


def answered_in_run(desk: Desk, store: Connection, bag: Bag, room: Room) -> BagAnswer:
    """The same for a bag with another number of copies than it is kept with."""
    key, work = (bag.id, bag.version, bag.run_count, room.stamp), partial(_noting_layouts, desk, store, bag, room)
    return desk.in_runs.once(key, work, holds=lambda known: known.holds(store)).answer


def _noting_layouts(desk: Desk, store: Connection, bag: Bag, room: Room) -> KnownAnswer:
    kept_mm = dict[str, float]()

    def find(request: LayRequest) -> Layout:
        kept_mm.update(kept_lengths_mm(store, [layout_key(request, in_rows=bag.in_rows)]))
        return find_layout(desk, store, request, in_rows=bag.in_rows)

    cut = cut_already(store, bag.id)
    return KnownAnswer(answer_bag(bag, room.shelf, room.workroom, find_layout=find, from_stash=cut), kept_mm)


def answered_as_if(
    desk: Desk, store: Connection, bag: Bag, room: tuple[Shelf, Workroom], *, also: tuple[Cutting, ...]
) -> BagAnswer:
    """A bag's answer as if `also` were cut from the stash, too; not remembered."""
    shelf, workroom = room
    cut = cut_already(store, bag.id)
    finder = layout_finder(desk, store, bag)
    return answer_bag(bag, shelf, workroom, find_layout=finder, from_stash=(*cut, *also))


def cut_already(store: Connection, bag_id: str) -> tuple[Cutting, ...]:
    """What was cut from the stash for the bag, and is not sewn yet."""
    return tuple(kept.value for kept in load_cuttings(store, bag_id) if kept.value.ready and not kept.value.is_sewn)


def bag_put_away(desk: Desk, bag_id: str) -> Bag | None:
    """The bag of that id if it is off the list."""
    with desk.store() as store:
        is_away = any(line.id == bag_id and line.retired for line in list_bags(store, with_retired=True))
        return load_bag(store, bag_id) if is_away else None


def layout_finder(desk: Desk, store: Connection, bag: Bag) -> FindLayout:
    """Finds layouts as that bag wants them."""
    return lambda request: find_layout(desk, store, request, in_rows=bag.in_rows)


def layout_key(request: LayRequest, *, in_rows: bool) -> str:
    """The name under which layouts for the request are kept; those in rows have one of their own."""
    return rows_hash(request) if in_rows and can_be_in_rows(request) else request_hash(request)


def find_layout(desk: Desk, store: Connection, request: LayRequest, *, in_rows: bool = False) -> Layout:
    """The layout that she laid herself, or the best kept for the request, or a first answer, worked out now.

    `in_rows`: in straight rows, where that can be.
    """
    key = layout_key(request, in_rows=in_rows)
    own = load_own_layout(store, key)
    # It may have come back from a file of anywhere, so it is judged whenever it is used.
    is_sound = own is not None and check_layout(request, own.placements).passed
    return own if own and is_sound else found_layout(desk, store, request, in_rows=in_rows)


def found_layout(desk: Desk, store: Connection, request: LayRequest, *, in_rows: bool = False) -> Layout:
    """As `find_layout`, leaving out what she laid herself; first answers are remembered."""
    key = layout_key(request, in_rows=in_rows)
    kept = load_layout(store, key) or desk.first_layouts.get(key)
    if kept:
        return kept
    is_in_rows = in_rows and can_be_in_rows(request)
    first = lay_in_rows(request) if is_in_rows else lay_pieces(request, settings=FIRST_ANSWER)
    return desk.first_layouts.put(key, first)


def undo_change(desk: Desk, bag_id: str, version: int) -> Bag:
    """The bag as it was before its last change. Raises `NotKept`, `StaleSave`; with none to undo it stays as it is."""
    return _stepped(desk, bag_id, version, (can_undo_bag, undo_bag))


def redo_change(desk: Desk, bag_id: str, version: int) -> Bag:
    """What the last undo took back. Raises `NotKept`, `StaleSave`; with nothing to redo the bag stays as it is."""
    return _stepped(desk, bag_id, version, (can_redo_bag, redo_bag))


_Step = tuple[Callable[[Connection, str], bool], Callable[[Connection, str], Bag]]


def _stepped(desk: Desk, bag_id: str, version: int, step: _Step) -> Bag:
    can, go = step
    with desk.store() as store, transaction(store):
        bag = load_bag(store, bag_id)
        if bag.version != version:
            raise StaleSave(f"bag {bag_id!r}", expected_version=version, kept_version=bag.version)
        return go(store, bag_id) if can(store, bag_id) else bag


def new_id(name: str) -> str:
    """An id for something new: letters of its name, so that addresses can be read, and a few random signs.

    >>> new_id("Market tote!")[:12]
    'market-tote-'
    """
    letters = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.lower())
    words = "-".join(filter(None, letters.split("-")))[:40].strip("-") or "bag"
    return f"{words}-{secrets.token_hex(3)}"
