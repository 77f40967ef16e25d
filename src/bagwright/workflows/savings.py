"""Savings for one bag: every change worked out by the whole answer, the best together, and the way to a price."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from time import monotonic

from bagwright.costing.savings import SavingsNews, SavingsSearch, SearchLimits
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Bag
from bagwright.model.body import PanelBody, Stance
from bagwright.model.cost import Purchase
from bagwright.model.money import Money
from bagwright.model.saving import ChangeGroup, Outcome, Reached, Saving, Savings
from bagwright.store.bags import load_bag
from bagwright.store.stamp import stamp_of_bags, stamp_of_the_rest
from bagwright.workflows.answer import BagAnswer, FindLayout, answer_bag
from bagwright.workflows.desk import BagView, Desk, bag_lines, layout_finder, view_bag
from bagwright.workflows.least_price import BagLeast
from bagwright.workflows.saving_scraps import scrap_changes
from bagwright.workflows.saving_ways import (
    BagChange,
    changed_bag,
    changed_shelf,
    changes_of_bag,
    keep_of_panel,
    without_price,
)
from bagwright.workflows.shared_buying import SharedBuying
from bagwright.workflows.stale_prices import purchases_of, stale_purchases
from bagwright.workflows.swap_search import Keep

_QUICK_TRIED, _THOROUGH_TRIED = 60, 1500
_THOROUGH_SECONDS = 25.0
_HARDLY_LESS = 1 - 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class BagSavings:
    """What saves on a bag. `changes`: by their keys, all that were tried. `reached`: if a price was asked for.

    `stale_prices`: prices of the bag as it is that are too old to count on; `stale_of`: likewise of
    sets of changes that were worked out, those that only they are reckoned with. `lacks`: why a refused change cannot
    be made or priced; `without_price`: names of materials that might do and were not tried, for they have no price.
    `shared`: what buying for other bags in the same go saves, where that was asked.
    """

    view: BagView
    keep: Keep | None
    changes: dict[str, BagChange]
    savings: Savings
    reached: Reached | None = None
    stale_prices: tuple[Problem, ...] = ()
    stale_of: Mapping[tuple[str, ...], tuple[Problem, ...]] = field(default_factory=dict)
    lacks: Mapping[str, tuple[Problem, ...]] = field(default_factory=dict)
    without_price: tuple[str, ...] = ()
    shared: tuple[SharedBuying, ...] = ()

    @property
    def is_proven(self) -> bool:
        """Whether nothing better is left to find."""
        return self.savings.is_proven and (self.reached is None or self.reached.is_proven)

    @property
    def untried(self) -> int:
        """How many changes were not tried, for the search was stopped."""
        savings = self.savings
        return len(self.changes) - len(savings.ranked) - len(savings.dear) - len(savings.refused)

    def of(self, keys: Sequence[str]) -> tuple[BagChange, ...]:
        """The changes of these keys."""
        return tuple(self.changes[key] for key in keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class SavingsAsked:
    """What is asked: the stance to keep (None: what each panel does now), a price to reach, how far to search.

    `today`: the day from which the age of prices counts; None: it is not looked at. `tell` is told after each way that
    was tried how far it is, and what to do for the best so far.
    """

    keep: Keep | None = None
    target: Money | None = None
    today: date | None = None
    limits: SearchLimits = field(default_factory=SearchLimits)
    tell: Callable[[SavingsNews, tuple[str, ...]], object] = lambda news, does: None


def page_limits(*, is_thorough: bool) -> SearchLimits:
    """How far a search for a page goes from now on: a first answer, or all that half a minute allows."""
    if not is_thorough:
        return SearchLimits(most_tried=_QUICK_TRIED)
    end = monotonic() + _THOROUGH_SECONDS
    return SearchLimits(most_tried=_THOROUGH_TRIED, should_stop=lambda: monotonic() > end)


def find_savings(
    view: BagView,
    find_layout: FindLayout,
    asked: SavingsAsked,
    *,
    other_bags: Sequence[Bag] = (),
    scraps: Sequence[BagChange] = (),
) -> BagSavings:
    """The savings of the bag in view, those by `scraps` too. Raises `FaultyInput` with what its price lacks.

    Once `asked.limits` stop it, what was found by then is given.
    """
    needs_price(view)
    changes = {change.key: change for change in (*changes_of_bag(view, asked.keep, other_bags), *scraps)}
    groups: dict[str, list[str]] = {}
    for change in changes.values():
        groups.setdefault(change.group, []).append(change.key)
    answers = WholeAnswers(view, changes, find_layout, asked.keep)

    def tell(news: SavingsNews) -> None:
        asked.tell(news, tuple(changes[key].does for key in news.best.changes) if news.best else ())

    search = SavingsSearch(
        [ChangeGroup(name, tuple(keys)) for name, keys in groups.items()],
        answers,
        replace(asked.limits, least=BagLeast(view, changes, asked.limits), tell=tell),
    )
    savings = search.savings()
    reached = search.reach(asked.target) if asked.target else None
    return BagSavings(
        view=view,
        keep=asked.keep,
        changes=changes,
        savings=savings,
        reached=reached,
        stale_of=_stale_of(answers, asked.today),
        lacks={key: answers.lacks[key,] for key in savings.refused if answers.lacks.get((key,))},
        without_price=tuple(without_price(view)),
    )


def _stale_of(answers: WholeAnswers, today: date | None) -> dict[tuple[str, ...], tuple[Problem, ...]]:
    if today is None:
        return {}
    found = {keys: answers.stale_prices(keys, today) for keys in answers.bought}
    return {keys: problems for keys, problems in found.items() if problems}


def savings_of_bag(desk: Desk, bag_id: str, asked: SavingsAsked) -> BagSavings:
    """The same for a bag that is kept, with the cloths of the others in mind. Raises `NotKept`, `FaultyInput`.

    What was found lately, and could not come out otherwise now, is not looked for again.
    """
    return known_savings(desk, bag_id, asked) or look_for_savings(desk, bag_id, asked)


def known_savings(desk: Desk, bag_id: str, asked: SavingsAsked) -> BagSavings | None:
    """What was found of it lately, by a search that was stopped, too; None if it could come out otherwise now."""
    known = desk.savings.get(_key(desk, bag_id, asked))
    return known if isinstance(known, BagSavings) else None


def _key(desk: Desk, bag_id: str, asked: SavingsAsked) -> tuple[object, ...]:
    with desk.store() as store:
        stamps = stamp_of_bags(store), stamp_of_the_rest(store)
    return bag_id, stamps, asked.keep, asked.target, asked.today, asked.limits.most_tried


def needs_price(view: BagView) -> None:
    """Raises `FaultyInput` with what the price of the bag lacks."""
    if view.answer.price is None or view.answer.besides_weight:
        raise FaultyInput(view.answer.problems)


def look_for_savings(desk: Desk, bag_id: str, asked: SavingsAsked) -> BagSavings:
    """The savings of a kept bag, looked for anew and remembered. Raises `NotKept`, `FaultyInput`."""
    key, view = _key(desk, bag_id, asked), view_bag(desk, bag_id)
    needs_price(view)
    scraps = tuple(scrap_changes(desk, view))
    with desk.store() as store:
        others = [load_bag(store, line.id) for line in bag_lines(desk) if line.id != bag_id]
        finder = layout_finder(desk, store, view.answer.bag)
        found = find_savings(view, finder, asked, other_bags=others, scraps=scraps)
    desk.savings.put(key, found)
    return found


class WholeAnswers:
    """What the bag comes to with some changes, by the whole answer; and what each of those answers is priced with."""

    def __init__(
        self, view: BagView, changes: Mapping[str, BagChange], find_layout: FindLayout, keep: Keep | None
    ) -> None:
        self._view, self._changes, self._find_layout, self._keep = view, changes, find_layout, keep
        self.bought: dict[tuple[str, ...], list[Purchase]] = {}
        self.lacks: dict[tuple[str, ...], tuple[Problem, ...]] = {}

    def __call__(self, keys: tuple[str, ...]) -> Outcome | None:
        """None if it cannot be made or priced so."""
        view = self._view
        if not keys:
            return outcome_of(view.answer, view.answer, self._keep)
        try:
            answer = self._answer([self._changes[key] for key in keys])
        except FaultyInput as fault:
            self.lacks[keys] = fault.problems
            return None
        lacks = answer.besides_weight if view.answer.mass_g is None else answer.problems
        if lacks or answer.price is None:
            self.lacks[keys] = lacks
            return None
        self.bought[keys] = purchases_of(answer)
        return outcome_of(answer, view.answer, self._keep)

    def _answer(self, made: Sequence[BagChange]) -> BagAnswer:
        view = self._view
        bag, shelf = changed_bag(view.answer.bag, made, view.form, view.shelf), changed_shelf(view.shelf, made)
        used = {layer.material_id for stack in bag.stacks.values() for layer in stack}
        cut = (*view.answer.from_stash, *(change.cutting for change in made if change.cutting))
        ready = [one for one in cut if one.material_id in used]
        find = self._find_layout
        return answer_bag(bag, shelf, view.workroom, find_layout=find, from_stash=ready, tells_doubt=False)

    def stale_prices(self, keys: tuple[str, ...], today: date) -> tuple[Problem, ...]:
        """Of the prices that only the bag with these changes is reckoned with, those that are too old to count on."""
        now = {one.offer_id for one in purchases_of(self._view.answer)}
        new = [one for one in self.bought.get(keys, ()) if one.offer_id not in now]
        return stale_purchases(new, self._view.shelf, self._view.workroom, today=today)


def outcome_of(answer: BagAnswer, before: BagAnswer, keep: Keep | None) -> Outcome:
    """The outcome of an answer that has a price, judged against the bag before."""
    price = answer.price
    if price is None:
        raise FaultyInput(answer.problems)
    panels = {panel.panel_key: panel for panel in before.panels}
    return Outcome(
        price=price.paid_price,
        cost=price.floor,
        minutes=price.minutes,
        mass_g=answer.mass_g or 0.0 if before.mass_g is not None else 0.0,  # unknown before: nothing to compare
        keeps=all(_keeps(panel, panels.get(panel.panel_key), keep) for panel in answer.panels),
        stands_mm={panel.panel_key: panel.body.standing_height_mm for panel in answer.panels},
    )


def _keeps(panel: PanelBody, before: PanelBody | None, keep: Keep | None) -> bool:
    """Whether the panel does what is asked; of a panel that was not there before nothing is."""
    if before is None:
        return True
    match keep_of_panel(before.stance, keep):
        case Keep.STANDS:
            return panel.stance is Stance.STANDS
        case Keep.MAY_STAND:
            return panel.stance is not Stance.SLUMPS
        case Keep.AS_FIRM:
            reached, now = panel.body.bending_length_mm.low, before.body.bending_length_mm.low
            return reached >= now * _HARDLY_LESS


def worth_telling(found: BagSavings) -> tuple[Saving, ...]:
    """Of the changes by themselves those that save a cent or more."""
    savings = found.savings
    return tuple(one for one in savings.ranked if one.saves(savings.now).for_display() > 0)
