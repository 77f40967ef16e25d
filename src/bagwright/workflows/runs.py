"""Runs on the desk: kept, changed, looked at."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from bagwright.costing.next_bag import OnTop, on_top
from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.model.bag import Bag
from bagwright.model.cost import BagTime
from bagwright.model.money import Money, total
from bagwright.model.run import Run, RunBag
from bagwright.model.run_buying import RunPlan, SellerTerms
from bagwright.store.bags import list_bags, load_bag
from bagwright.store.connection import Connection
from bagwright.store.history import Kept
from bagwright.store.runs import (
    can_redo_run,
    can_undo_run,
    can_undo_seller_terms,
    load_run,
    load_runs,
    load_seller_terms,
    redo_run,
    retire_run,
    save_run,
    save_seller_terms,
    undo_run,
    undo_seller_terms,
)
from bagwright.store.stamp import AnswerStamp, Stamp, stamp_of_answers, stamp_of_the_rest
from bagwright.store.stash import load_stash
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.bag_changes import MOST_IN_A_RUN, read_name
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, Room, answered_in_run, find_layout, load_shelf, new_id
from bagwright.workflows.run_answer import RunAnswer, Shop, answer_run, plan_alone
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.stale_prices import stale_purchases
from bagwright.workflows.timing import time_of_bag

LEFT_WORTHS = {"0": 0.0, "half": 0.5, "all": 1.0}
MOST_BAGS = 40


@dataclass(frozen=True, slots=True)
class RunStamps:
    """Whether anything was changed since: of `whole` that a run follows from, and of what its `bags` alone do."""

    whole: Stamp
    bags: AnswerStamp


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """A run with all that is needed to show it.

    `times`: of its bags, in their order. `others`: bags that could be in it, by name.
    `changed_terms`: sellers of whom a change of what they ask for can be taken back. `stamps`: from before it was read.
    """

    answer: RunAnswer
    times: tuple[BagTime | None, ...]
    shop: Shop
    others: tuple[Bag, ...]
    terms: tuple[Kept[SellerTerms], ...]
    changed_terms: frozenset[str]
    can_undo: bool
    can_redo: bool
    is_demo: bool
    stamps: RunStamps


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Each bag bought by itself, at the same shops. `paid` together; None for a bag of which it cannot be told."""

    alone: tuple[RunPlan | None, ...]
    paid: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OneMore:
    """What one more of a bag takes on top of the plan; `problems`: why that cannot be told."""

    bag: Bag
    top: OnTop
    problems: tuple[Problem, ...] = ()


def the_shop(store: Connection) -> Shop:
    """Everything that is on the shelf, and what sellers ask for."""
    return Shop(
        shelf=load_shelf(store),
        workroom=load_workroom(store),
        stash=tuple(kept.value for kept in load_stash(store)),
    )


def all_runs(desk: Desk) -> tuple[Run, ...]:
    """Every run that is not put away, by name."""
    with desk.store() as store:
        return load_runs(store)


def view_run(desk: Desk, run_id: str) -> RunView:
    """The run with its answer. Raises `NotKept`."""
    with desk.store() as store:
        stamps, run = RunStamps(stamp_of_the_rest(store), stamp_of_answers(store)), load_run(store, run_id)
        shop = the_shop(store)
        there = [load_bag(store, line.id) for line in list_bags(store)]
        answer, terms = _answered(desk, store, run, (shop, stamps)), load_seller_terms(store)
        sellers = (kept.value.seller for kept in terms)
        return RunView(
            answer=answer,
            times=tuple(time_of_bag(one, shop.shelf, shop.workroom) for one in answer.bags),
            shop=shop,
            others=tuple(bag for bag in there if bag.id not in {one.bag_id for one in run.bags}),
            terms=terms,
            changed_terms=frozenset(seller for seller in sellers if can_undo_seller_terms(store, seller)),
            can_undo=can_undo_run(store, run_id),
            can_redo=can_redo_run(store, run_id),
            is_demo=desk.is_demo,
            stamps=stamps,
        )


def _answered(desk: Desk, store: Connection, run: Run, there: tuple[Shop, RunStamps]) -> RunAnswer:
    """What was worked out lately, and could not come out otherwise now, is not worked out again."""
    bags = tuple(replace(load_bag(store, one.bag_id), run_count=one.count) for one in run.bags)
    shop, stamps = there
    room = Room(shop.shelf, shop.workroom, stamps.bags)
    key = (run, stamps.whole, *((bag.id, bag.version) for bag in bags))
    answer = desk.runs.once(key, lambda: _worked_out(desk, store, run, bags, there=(room, shop)))
    assert isinstance(answer, RunAnswer)
    return answer


def _worked_out(
    desk: Desk, store: Connection, run: Run, counted: Sequence[Bag], *, there: tuple[Room, Shop]
) -> RunAnswer:
    room, shop = there
    bags: list[BagAnswer] = []
    faults = Faults()
    for bag in counted:
        with faults:
            bags.append(answered_in_run(desk, store, bag, room))
    answer = answer_run(run, bags, shop, find_layout=lambda request: find_layout(desk, store, request))
    return replace(answer, problems=(*faults.problems, *answer.problems), plan=None if faults.problems else answer.plan)


def compare_run(desk: Desk, view: RunView) -> Comparison:
    """What the run costs if each bag is bought by itself, one after the other: what one takes of the stash is gone."""
    plans: list[RunPlan | None] = []
    shop = view.shop
    with desk.store() as store:
        for at in range(len(view.answer.bags)):
            plan = plan_alone(view.answer, at, shop, find_layout=lambda request: find_layout(desk, store, request))
            gone = {one.stash_id for one in plan.taken} if plan else set()
            shop = replace(shop, stash=tuple(piece for piece in shop.stash if piece.id not in gone))
            plans.append(plan)
    told = [plan.paid for plan in plans if plan]
    paid = total(told, view.shop.workroom.currency) if told and len(told) == len(plans) else None
    return Comparison(alone=tuple(plans), paid=paid)


def saved_together(view: RunView, compared: Comparison) -> Money | None:
    """What buying all bags together saves against buying each by itself; never less than nothing."""
    plan = view.answer.plan
    if plan is None or compared.paid is None:
        return None
    return max(compared.paid - plan.paid, Money(Decimal(0), plan.paid.currency), key=lambda money: money.amount)


def old_prices(view: RunView, *, today: date) -> tuple[Problem, ...]:
    """Of the prices that the plan counts on, those that are older than the workroom allows."""
    plan = view.answer.plan
    return stale_purchases(list(plan.purchases) if plan else [], view.shop.shelf, view.shop.workroom, today=today)


def bag_names(desk: Desk) -> dict[str, str]:
    """Names of all bags, by id."""
    with desk.store() as store:
        return {line.id: line.name for line in list_bags(store, with_retired=True)}


def run_put_away(desk: Desk, run_id: str) -> Run | None:
    """The run of that id if it is off the list."""
    with desk.store() as store:
        there = {run.id for run in load_runs(store)}
        found = [run for run in load_runs(store, with_retired=True) if run.id == run_id and run.id not in there]
        return found[0] if found else None


def one_more(desk: Desk, view: RunView) -> tuple[OneMore, ...]:
    """For each bag of the run: the least money that makes one more of it, everything laid and bought anew."""
    plan = view.answer.plan
    if plan is None:
        return ()
    found: list[OneMore] = []
    with desk.store() as store:
        for at, one in enumerate(view.answer.run.bags):
            bags = tuple(
                replace(other, count=other.count + int(number == at))
                for number, other in enumerate(view.answer.run.bags)
            )
            answer = _answered(desk, store, replace(view.answer.run, bags=bags), (view.shop, view.stamps))
            top = on_top(plan, answer.plan) if answer.plan else OnTop(extra=Money(Decimal(0), plan.paid.currency))
            found.append(OneMore(bag=load_bag(store, one.bag_id), top=top, problems=answer.problems))
    return tuple(found)


def start_run(desk: Desk, name: str) -> Run:
    """A new run without bags. Raises `FaultyInput`."""
    name = read_name(name) or "Run"
    with desk.store() as store:
        return save_run(store, Run(id=new_id(name), name=name))


def change_run(desk: Desk, run_id: str, version: int, texts: Mapping[str, str]) -> Run:
    """New name, numbers, another bag, what leftovers are worth: what `texts` names.

    ``count_<bag id>`` holds a number; 0 takes the bag out. ``add`` holds the id of a bag to put in. Raises
    `FaultyInput` with every fault, `StaleSave`, `NotKept`; nothing is changed then.
    """
    with desk.store() as store, transaction(store):
        run = _load_for_change(store, run_id, version)
        faults = Faults()
        name, bags = run.name, list(run.bags)
        with faults:
            name = read_name(texts.get("name", "")) or run.name
        counts: list[RunBag] = []
        for one in bags:
            with faults:
                count = _count(texts.get(f"count_{one.bag_id}", str(one.count)), f"count_{one.bag_id}")
                counts += [replace(one, count=count)] if count else []
        with faults:
            counts += _added(store, texts.get("add", ""), counts)
        worth = LEFT_WORTHS.get(texts.get("left_worth", ""), run.left_worth)
        faults.raise_if_any()
        changed = replace(run, name=name, bags=tuple(counts), left_worth=worth)
        return run if changed == run else save_run(store, changed)


def _added(store: Connection, bag_id: str, there: list[RunBag]) -> list[RunBag]:
    if not bag_id or any(one.bag_id == bag_id for one in there):
        return []
    try:
        load_bag(store, bag_id)
    except NotKept:
        what, remedy = "is not a bag that is kept", "Choose one of the list."
        raise FaultyInput([_problem("add", bag_id, what, "a bag that is kept", remedy)]) from None
    if len(there) >= MOST_BAGS:
        raise FaultyInput([_problem("add", "", "is one bag too many", f"up to {MOST_BAGS} bags", "Make two runs.")])
    return [RunBag(bag_id=bag_id, count=1)]


def _count(text: str, place: str) -> int:
    text = text.strip()
    if not text.isascii() or not text.isdigit() or int(text[:9]) > MOST_IN_A_RUN:
        allowed = f"a whole number from 0 to {MOST_IN_A_RUN}"
        raise FaultyInput([_problem(place, text[:40], "is no number of bags", allowed, "Type how many you make.")])
    return int(text)


def put_run_away(desk: Desk, run_id: str, version: int) -> Run:
    """Off the list. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        return retire_run(store, run_id, expected_version=version)


def undo_run_change(desk: Desk, run_id: str, version: int) -> Run:
    """Back to before the last change; with none it stays as it is. Raises `StaleSave`, `NotKept`."""
    return _stepped(desk, run_id, version, (can_undo_run, undo_run))


def redo_run_change(desk: Desk, run_id: str, version: int) -> Run:
    """What the last undo took back; with nothing to redo it stays as it is. Raises `StaleSave`, `NotKept`."""
    return _stepped(desk, run_id, version, (can_redo_run, redo_run))


_Step = tuple[Callable[[Connection, str], bool], Callable[[Connection, str], Run]]


def _stepped(desk: Desk, run_id: str, version: int, step: _Step) -> Run:
    can, go = step
    with desk.store() as store, transaction(store):
        run = _load_for_change(store, run_id, version)
        return go(store, run_id) if can(store, run_id) else run


def _load_for_change(store: Connection, run_id: str, version: int) -> Run:
    run = load_run(store, run_id)
    if run.version != version:
        raise StaleSave(f"run {run_id!r}", expected_version=version, kept_version=run.version)
    return run


def change_terms(desk: Desk, version: int, texts: Mapping[str, str]) -> SellerTerms:
    """What a seller asks for: `delivery`, `free_from`, `least_order`; empty is nothing.

    Raises `FaultyInput` with every fault, `StaleSave`.
    """
    seller = " ".join(texts.get("seller", "").split())
    with desk.store() as store:
        currency = load_workroom(store).currency
        faults = Faults()
        if seller not in {offer.seller for offer in load_shelf(store).offers}:
            allowed = "a seller of an offer on the shelf"
            faults.problems.append(_problem("seller", seller[:40], "sells nothing here", allowed, "Choose one."))
        amounts: dict[str, Money | None] = {}
        for name in ("delivery", "free_from", "least_order"):
            text = texts.get(name, "").strip()
            with faults:
                amounts[name] = money_from(text, currency, place=name) if text else None
        faults.raise_if_any()
        terms = SellerTerms(
            seller=seller,
            delivery=amounts["delivery"] or Money(Decimal(0), currency),
            free_from=amounts["free_from"],
            least_order=amounts["least_order"],
        )
        return save_seller_terms(store, terms, expected_version=version)


def undo_terms_change(desk: Desk, seller: str, version: int) -> None:
    """What a seller asked for before the last change; with none it stays as it is. Raises `StaleSave`."""
    with desk.store() as store, transaction(store):
        kept = next((kept for kept in load_seller_terms(store) if kept.value.seller == seller), None)
        if kept is None or not can_undo_seller_terms(store, seller):
            return
        if kept.version != version:
            raise StaleSave(f"terms of {seller!r}", expected_version=version, kept_version=kept.version)
        undo_seller_terms(store, seller)


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)
