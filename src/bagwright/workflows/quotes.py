"""Quotes of a bag: the price of today kept as it is, and two of them compared."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from bagwright.costing.overhead import overhead_said
from bagwright.costing.quotes import compare_quotes
from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.model.quote import Quote, QuoteChange, QuotePart
from bagwright.store.history import Kept
from bagwright.store.quotes import load_quotes, retire_quote, save_quote, undo_quote
from bagwright.store.transaction import transaction
from bagwright.workflows.desk import BagView, Desk, new_id, view_bag
from bagwright.workflows.making_papers import prices_dated
from bagwright.workflows.scraps_said import scraps_said

LONGEST_NOTE = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotesOfBag:
    """A bag, its price as it is now (None: it has none yet), and the quotes that were kept, latest first."""

    view: BagView
    now: Quote | None
    kept: tuple[Kept[Quote], ...]


def quotes_of_bag(desk: Desk, bag_id: str, *, today: date) -> QuotesOfBag:
    """Raises `NotKept`."""
    view = view_bag(desk, bag_id)
    with desk.store() as store:
        kept = load_quotes(store, bag_id, with_retired=True)
    there = tuple(one for one in reversed(kept) if not one.retired)
    return QuotesOfBag(view=view, now=_quote(view, today, len(kept) + 1, ""), kept=there)


def keep_quote(desk: Desk, bag_id: str, version: int, note: str, *, today: date) -> Quote:
    """Keep the price as it is now. Raises `FaultyInput`, `NotKept`, `StaleSave` if the bag has changed since."""
    view = view_bag(desk, bag_id)
    if view.answer.bag.version != version:
        raise StaleSave(f"bag {bag_id!r}", expected_version=version, kept_version=view.answer.bag.version)
    note = " ".join(note.split())
    if len(note) > LONGEST_NOTE:
        allowed = f"up to {LONGEST_NOTE} characters"
        raise FaultyInput([_problem("note", note[:40], "is too long", allowed)])
    with desk.store() as store, transaction(store):
        quote = _quote(view, today, len(load_quotes(store, bag_id, with_retired=True)) + 1, note)
        if quote is None:
            raise FaultyInput([_problem("price", "", "is not reckoned yet", "a bag with a price")])
        return save_quote(store, quote).value


def put_quote_away(desk: Desk, quote_id: str, version: int, *, away: bool = True) -> None:
    """Put it out of sight, or bring it back. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        if away:
            retire_quote(store, quote_id, expected_version=version)
        else:
            undo_quote(store, quote_id)


def compared(quotes: QuotesOfBag, before: str, after: str) -> tuple[Quote, Quote, QuoteChange]:
    """Two quotes by their ids (empty: the price as it is now) and what changed. Raises `NotKept`, `FaultyInput`."""
    one, other = (_found(quotes, name) for name in (before, after))
    return one, other, compare_quotes(one, other)


def _found(quotes: QuotesOfBag, name: str) -> Quote:
    if not name and quotes.now:
        return quotes.now
    found = [kept.value for kept in quotes.kept if kept.value.id == name]
    if not found:
        raise NotKept(f"quote {name[:40]!r}")
    return found[0]


def _quote(view: BagView, today: date, number: int, note: str) -> Quote | None:
    bag, price = view.answer.bag, view.answer.price
    if price is None:
        return None
    return Quote(
        id=new_id(f"{bag.name} {number}"),
        bag_id=bag.id,
        bag_name=bag.name,
        bag_version=bag.version,
        number=number,
        dated=today,
        run_count=bag.run_count,
        parts=tuple(QuotePart(part.name, part.amount, part.reckoned) for part in price.parts),
        floor=price.floor,
        paid_price=price.paid_price,
        minutes=price.minutes,
        assumed=tuple(_assumed(view)),
        note=note,
    )


def _assumed(view: BagView) -> Iterator[tuple[str, str]]:
    room, names = view.workroom, {role.key: role.name for role in view.form.roles}
    yield "Made at a time", str(view.answer.bag.run_count)
    yield "Your pay for an hour", room.hourly_pay.said()
    yield "Overhead", overhead_said(room)
    if said := scraps_said(room):
        yield "Scraps", said
    if view.answer.price and view.answer.price.not_counted:
        yield "Not counted", ", ".join(view.answer.price.not_counted)
    yield "Selling fees", f"{(room.selling_fee_share * 100).normalize():f} % and {room.selling_fee_fixed.said()}"
    yield "Prices of", prices_dated(view)
    for role, stack in view.answer.bag.stacks.items():
        materials = (view.shelf.materials.get(layer.material_id) for layer in stack)
        if told := ", ".join(one.name for one in materials if one):
            yield names.get(role, role), told


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Correct it.")
