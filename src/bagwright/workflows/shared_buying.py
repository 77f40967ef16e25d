"""Savings from buying for other bags in the same go: one bolt, one pack, one delivery for all of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bagwright.costing.shared_buying import price_falls_by
from bagwright.drafting.making import listed
from bagwright.errors import FaultyInput
from bagwright.model.bag import Bag
from bagwright.model.material import MaterialKind
from bagwright.model.money import Money, total
from bagwright.model.run import Run, RunBag
from bagwright.model.run_buying import RunPlan
from bagwright.store.bags import load_bag
from bagwright.store.connection import Connection
from bagwright.store.runs import save_run
from bagwright.store.stamp import stamp_of_answers, stamp_of_bags, stamp_of_layouts
from bagwright.workflows.answer import BagAnswer, FindLayout
from bagwright.workflows.bag_changes import LONGEST_NAME
from bagwright.workflows.desk import BagView, Desk, answered, bag_lines, find_layout, load_room, new_id, view_bag
from bagwright.workflows.run_answer import Shop, answer_run
from bagwright.workflows.shelf import Shelf

MOST_OTHERS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedBuying:
    """What comes of buying for the bag and for `others` in one go.

    `saves`: what the price of one bag falls by, to `price`. `paid_less`: at the till, for all these bags together.
    `materials`: names of what is bought for more than one of them; `deliveries_less`: how many fewer are paid for.
    """

    others: tuple[Bag, ...]
    saves: Money
    price: Money
    paid_less: Money
    materials: tuple[str, ...]
    deliveries_less: int
    plan: RunPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedNews:
    """How far the search is: `seen` of `bags` worked out, then `tried` of `ways` to buy; `best` of those, if any saves.

    `ways` is 0 until all bags are worked out.
    """

    seen: int
    bags: int
    tried: int = 0
    ways: int = 0
    best: SharedBuying | None = None


@dataclass(frozen=True, slots=True)
class Watch:
    """Who looks on: `should_stop` is asked before each bag and each way after the first, `tell` is told after each."""

    should_stop: Callable[[], bool] = lambda: False
    tell: Callable[[SharedNews], object] = lambda news: None


_ALONE = Watch()


def shared_buying(
    view: BagView, others: Sequence[BagAnswer], find_layout: FindLayout, *, watch: Watch = _ALONE
) -> tuple[SharedBuying, ...]:
    """Each of the others that shares most with the bag, and all of those at once, as far as that saves a cent.

    Laid and bought for all at once by the plan of a run, without the stash, against each bought by itself as its own
    page has it. What saves the price most comes first, then what saves most at the till. Bags that lack something are
    left out. Once it should stop, the ways tried by then are given: the closest of the others always is tried.
    """
    close = sorted((one for one in others if one.price and _shares(view, one)), key=lambda one: -_shares(view, one))
    close = close[:MOST_OTHERS]
    sets = [(one,) for one in close] + ([tuple(close)] if len(close) > 1 else [])
    found: list[SharedBuying] = []
    for number, one in enumerate(sets):
        if number and watch.should_stop():
            break
        bought = _bought_with(view, one, find_layout)
        found = sorted([*found, *([bought] if bought else [])], key=_rank)
        best, seen = (found[0] if found else None), len(others)
        watch.tell(SharedNews(seen=seen, bags=seen, tried=number + 1, ways=len(sets), best=best))
    return tuple(found)


def _rank(one: SharedBuying) -> tuple[Decimal, Decimal]:
    return -one.saves.amount, -one.paid_less.amount


def _shares(view: BagView, other: BagAnswer) -> int:
    """How many materials besides thread both take, and how many sellers who charge for delivery."""
    mine, theirs = (_materials(answer, view.shelf) for answer in (view.answer, other))
    return len(mine & theirs) + len(_charged(view.answer) & _charged(other))


def _materials(answer: BagAnswer, shelf: Shelf) -> frozenset[str]:
    ids = {cut.material_id for cut in answer.cuts} | {material.id for _, material in answer.notions}
    return frozenset(one for one in ids if shelf.materials[one].kind is not MaterialKind.THREAD)


def _charged(answer: BagAnswer) -> frozenset[str]:
    return frozenset(seller for seller, _ in answer.plan.deliveries) if answer.plan else frozenset()


def _bought_with(view: BagView, others: tuple[BagAnswer, ...], find_layout: FindLayout) -> SharedBuying | None:
    bags, room = (view.answer, *others), view.workroom
    run = Run(id="", name="", bags=tuple(RunBag(bag_id=one.bag.id, count=one.bag.run_count) for one in bags))
    plan = answer_run(run, bags, Shop(shelf=view.shelf, workroom=room), find_layout=find_layout).plan
    if plan is None or view.answer.price is None:
        return None
    money = [one.money_in_all() for one in bags]
    paid, used = total((one[0] for one in money), room.currency), [one[1] for one in money]
    if not used[0].amount:
        return None
    saves = price_falls_by(used, plan.used, 0, run_count=view.answer.bag.run_count, workroom=room)
    paid_less = paid - plan.paid
    if saves.for_display() < 0 or max(saves.for_display(), paid_less.for_display()) <= Decimal(0):
        return None
    deliveries = sum(len(one.plan.deliveries) for one in bags if one.plan)
    return SharedBuying(
        others=tuple(one.bag for one in others),
        saves=saves,
        price=view.answer.price.paid_price - saves,
        paid_less=paid_less,
        materials=tuple(_bought_for_several(bags, view.shelf)),
        deliveries_less=deliveries - sum(1 for order in plan.orders if order.delivery.amount),
        plan=plan,
    )


def _bought_for_several(bags: Sequence[BagAnswer], shelf: Shelf) -> Iterator[str]:
    takes = [_materials(one, shelf) for one in bags]
    for material in shelf.materials.values():
        if sum(material.id in own for own in takes) > 1:
            yield material.name


def shared_buying_of_bag(desk: Desk, bag_id: str) -> tuple[BagView, tuple[SharedBuying, ...]]:
    """What buying for other kept bags in the same go saves. Raises `NotKept`, `FaultyInput` with what it lacks.

    What was found lately, and could not come out otherwise now, is not worked out again.
    """
    found = known_shared(desk, bag_id) or look_for_shared(desk, bag_id)
    return view_bag(desk, bag_id), found.ways


@dataclass(frozen=True, slots=True)
class SharedFound:
    """What was found, as it is remembered; `is_whole`: not stopped before its end."""

    ways: tuple[SharedBuying, ...]
    is_whole: bool


def known_shared(desk: Desk, bag_id: str) -> SharedFound | None:
    """What was found lately, by a search that was stopped, too; None if it could come out otherwise now."""
    known = desk.savings.get(_key(desk, bag_id))
    return known if isinstance(known, SharedFound) else None


def _key(desk: Desk, bag_id: str) -> tuple[object, ...]:
    with desk.store() as store:
        return "shared", bag_id, stamp_of_bags(store), stamp_of_answers(store), stamp_of_layouts(store)


def look_for_shared(desk: Desk, bag_id: str, *, watch: Watch = _ALONE) -> SharedFound:
    """The same, worked out anew and remembered. Raises `NotKept`, `FaultyInput` with what the bag lacks."""
    key, view = _key(desk, bag_id), view_bag(desk, bag_id)
    if view.answer.price is None or view.answer.besides_weight:
        raise FaultyInput(view.answer.problems)
    with desk.store() as store:
        bags = [load_bag(store, one.id) for one in bag_lines(desk) if one.id != bag_id]
        others = _answers(desk, store, without_copies(view.answer.bag, bags), view, watch)
        ways = shared_buying(view, others, lambda request: find_layout(desk, store, request), watch=watch)
    found = SharedFound(ways, not watch.should_stop())
    desk.savings.put(key, found)
    return found


def _answers(desk: Desk, store: Connection, bags: Sequence[Bag], view: BagView, watch: Watch) -> list[BagAnswer]:
    """Of these bags as they come; those made of most that the bag is made of are worked out first."""
    mine, found, room = _made_of(view.answer.bag), dict[str, BagAnswer](), load_room(store)
    for bag in sorted(bags, key=lambda one: -len(mine & _made_of(one))):
        if watch.should_stop():
            break
        found[bag.id] = answered(desk, store, bag, room)
        watch.tell(SharedNews(seen=len(found), bags=len(bags)))
    return [found[bag.id] for bag in bags if bag.id in found]


def _made_of(bag: Bag) -> frozenset[str]:
    return frozenset(layer.material_id for stack in bag.stacks.values() for layer in stack)


def start_shared_run(desk: Desk, bag_id: str, other_ids: Sequence[str]) -> Run:
    """A new run of the bag and the others, each as often as it is made at a time now. Raises `NotKept`."""
    with desk.store() as store:
        bags = [load_bag(store, one) for one in dict.fromkeys((bag_id, *other_ids[:MOST_OTHERS]))]
        name = " and ".join(one.name for one in bags)[:LONGEST_NAME]
        own = tuple(RunBag(bag_id=one.id, count=one.run_count) for one in bags)
        return save_run(store, Run(id=new_id(name), name=name, bags=own))


def shared_said(one: SharedBuying) -> tuple[str, str, str]:
    """What to do, what that saves, and what is behind it, in words."""
    names = listed([other.name for other in one.others])
    does = f"Buy for {names} in the same go"
    till = f"You pay {one.paid_less.said()} less at the till for all of them" if one.paid_less.amount > 0 else ""
    if till and one.saves.for_display() <= 0:
        effect = f"{till}; the rest stays on the shelf, so the price does not change."
    else:
        falls = f"The price that pays you falls by {one.saves.said()}, to {one.price.said()}."
        effect = f"{falls} {till}." if till else falls
    shared = f"Bought for more than one of them: {listed(one.materials)}." if one.materials else ""
    fewer = one.deliveries_less
    parcels = f"{fewer} {'delivery' if fewer == 1 else 'deliveries'} less to pay." if fewer > 0 else ""
    return does, effect, " ".join(filter(None, (shared, parcels)))


def without_copies(bag: Bag, others: Sequence[Bag]) -> tuple[Bag, ...]:
    """The others that are no tries of the same bag: copies are named after it."""
    stems = (f"{bag.name} (copy", f"{bag.name} with ")
    return tuple(one for one in others if not one.name.startswith(stems))
