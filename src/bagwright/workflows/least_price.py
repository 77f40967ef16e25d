"""What a bag costs at least with a set of changes, told without laying anything: it rules sets of changes out."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property

from bagwright.costing.least_price import (
    PriceLine,
    least_bought,
    least_price_of_mm,
    least_price_of_mm2,
    least_price_of_one,
    minutes_for_more,
)
from bagwright.costing.least_prices import NO_LEAST
from bagwright.costing.savings import SearchLimits
from bagwright.costing.step_minutes import SETUP, RawStep, Task, raw_steps
from bagwright.costing.supplies import thread_need
from bagwright.costing.used_up import Wear, supplies_used_up
from bagwright.costing.working_time import working_steps
from bagwright.drafting.order_of_work import order_of_work
from bagwright.errors import FaultyInput
from bagwright.model.bag import Bag
from bagwright.model.cost import ThreadUse
from bagwright.model.material import Layer, Material
from bagwright.model.pattern import NotionNeed, Pattern, SeamKind, Stage
from bagwright.model.piece import CutPiece
from bagwright.model.stash import Cutting
from bagwright.model.work_step import WorkStep
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.cut_list import cut_list
from bagwright.workflows.desk import BagView
from bagwright.workflows.reckoning import is_ready_made, roles_not_needed, thread_on
from bagwright.workflows.saving_ways import BagChange, changed_bag
from bagwright.workflows.work_steps import backing_steps

MOST_PATTERNS = 512
"""More ways to make a bag than these are not drafted for the least price of any set."""
_CANNOT = Decimal("Infinity")
_LEAST_THREADS = 2.0
"""Threads run along a lockstitch twice, however thin the cloth."""
_CUT = WorkStep(number=0, stage=Stage.PREPARE, name="", id="cut")
_FINISH = WorkStep(number=0, stage=Stage.CLOSE, name="", id="finish")


@dataclass(frozen=True, slots=True)
class _Choice:
    """What a role made of one stack takes at least for one bag: money, steps of work, and areas of what is cut."""

    cost: float
    raws: tuple[RawStep, ...]
    cuts: tuple[CutPiece, ...]


@dataclass(slots=True)
class _Made:
    """The bag made in one way: its pattern, and for each role its first stack (under "") and those that are changes.

    `cost`: of its thread; `areas_mm2`: by the id of what is cut, the largest it has in any stack.
    """

    bag: Bag
    pattern: Pattern
    cost: float
    choices: dict[str, dict[str, _Choice]]
    areas_mm2: dict[str, float]
    core: dict[int, tuple[float, float]] = field(default_factory=dict)
    more: dict[tuple[int, str, str], float] = field(default_factory=dict)


class BagLeast:
    """Least prices of a bag with sets of its changes, as `SavingsSearch` asks for them.

    Every material counts at its cheapest offer for the bare area (or length, or number) of what is cut of it, thread as
    if the cloth had no thickness, small supplies as far as they do not depend on stacks; the stash gives its pieces for
    nothing; sellers ask for no delivery. Minutes are those of the standard times and her readings, without piecing.
    `PriceLine` only grows in both. So no answer for the whole bag is below it; and where all of a set is worked out,
    roles add up, so that the least of any set is found role by role. `limits`: no more patterns are drafted for that
    than ways may be tried.
    """

    def __init__(self, view: BagView, changes: Mapping[str, BagChange], limits: SearchLimits | None = None) -> None:
        self._view, self._changes, self._limits = view, changes, limits or SearchLimits()
        self._line = PriceLine.of(view.workroom)
        self._readings = view.shelf.readings_of(view.answer.bag.id)
        self._made_of = view.shelf.made_of(view.answer.bag.id)
        self._made_so: dict[tuple[str, ...], _Made | None] = {}
        self._any: dict[int, Decimal] = {}

    def of(self, changes: Sequence[str]) -> Decimal:
        """The price that these changes, taken together, surely do not go below; infinite if it cannot be drafted."""
        made = self._made(tuple(key for key in changes if self._changes[key].measurements_mm))
        if made is None:
            return _CANNOT
        run = next((self._changes[key].run_count or 0 for key in changes if self._changes[key].run_count), 0)
        run = run or made.bag.run_count
        cost, minutes = self._core(made, run)
        taken = {role: key for key in changes for role in self._changes[key].stacks}
        for role in made.choices:
            key = taken.get(role, "")
            cost += made.choices[role][key].cost
            minutes += self._more(made, run, role, key)
        cost -= math.fsum(self._worth(made, one) for key in changes if (one := self._changes[key].cutting)) / run
        return self._line.price(cost, minutes)

    def of_any(self, most_changes: int) -> Decimal:
        """The price that no set of at most so many changes goes below; minus infinity if there was no time to tell."""
        if most_changes not in self._any:
            least = _CANNOT
            for options, run in self._ways(most_changes):
                if self._limits.should_stop():
                    return NO_LEAST
                least = min(least, self._least(options, run, most_changes))
            self._any[most_changes] = least
        return self._any[most_changes]

    def _ways(self, most_changes: int) -> Iterator[tuple[tuple[str, ...], int | None]]:
        """Every set of ways to make it that fits in, and with each every size of run."""
        groups: dict[str, list[str]] = {}
        for key, change in self._changes.items():
            if change.measurements_mm:
                groups.setdefault(change.group, []).append(key)
        if math.prod(len(keys) + 1 for keys in groups.values()) > min(MOST_PATTERNS, self._limits.most_tried):
            yield (), None
            return
        runs = [change.run_count for change in self._changes.values() if change.run_count]
        for picked in itertools.product(*(("", *keys) for keys in groups.values())):
            options = tuple(key for key in picked if key)
            for run in (0, *runs):
                if len(options) + bool(run) <= most_changes:
                    yield options, run

    def _least(self, options: tuple[str, ...], run: int | None, most_changes: int) -> Decimal:
        if run is None:
            return NO_LEAST
        made = self._made(options)
        if made is None:
            return _CANNOT
        left = most_changes - len(options) - bool(run)
        run = run or made.bag.run_count
        cost, minutes = self._core(made, run)
        falls = [self._worth(made, one.cutting) / run for one in self._changes.values() if one.cutting]
        for role, choices in made.choices.items():
            now = self._money(made, run, role, "")
            cost += choices[""].cost
            minutes += self._more(made, run, role, "")
            falls.append(now - min(self._money(made, run, role, key) for key in choices))
        falls.sort(reverse=True)
        return self._line.price(cost - math.fsum(falls[:left]), minutes)

    def _money(self, made: _Made, run: int, role: str, key: str) -> float:
        return made.choices[role][key].cost + self._line.a_minute * self._more(made, run, role, key)

    def _more(self, made: _Made, run: int, role: str, key: str) -> float:
        """Minutes that the role adds to a bag of the run."""
        known = made.more.get((run, role, key))
        if known is None:
            raws = made.choices[role][key].raws
            known = minutes_for_more(raws, self._view.workroom, self._readings, run_count=run, made=self._made_of)
            made.more[run, role, key] = known
        return known

    def _core(self, made: _Made, run: int) -> tuple[float, float]:
        """Money and minutes of all that does not depend on what it is made of."""
        if run not in made.core:
            task = Task(work=(_CUT, *order_of_work(made.pattern), _FINISH), pattern=made.pattern, cuts=())
            steps = working_steps(
                task, workroom=self._view.workroom, readings=self._readings, run_count=run, made=self._made_of
            )
            cost = made.cost + self._used_up(made, run)
            cost -= math.fsum(self._worth(made, one) for one in self._view.answer.from_stash) / run
            made.core[run] = cost, math.fsum(step.minutes for step in steps)
        return made.core[run]

    def _used_up(self, made: _Made, run: int) -> float:
        """Small supplies, without those that hang on minutes, cut lines or what a seam meets."""
        sewn_mm = math.fsum(seam.length_mm * seam.rows for seam in made.pattern.seams)
        wear = Wear(sewn_mm=sewn_mm, sewn_minutes=0.0, cut_mm=0.0, run_count=run)
        return math.fsum(float(part.amount.amount) for part in supplies_used_up(self._view.workroom, wear))

    def _worth(self, made: _Made, cutting: Cutting) -> float:
        """What a run saves at most by what is cut from the stash."""
        area_mm2 = math.fsum(ready.count * made.areas_mm2.get(ready.id, 0.0) for ready in cutting.ready)
        return area_mm2 * self._prices.mm2(cutting.material_id)

    def _made(self, options: tuple[str, ...]) -> _Made | None:
        if options not in self._made_so:
            view = self._view
            bag = changed_bag(view.answer.bag, [self._changes[key] for key in options], view.form, view.shelf)
            try:
                pattern = pattern_of_bag(bag) if options else view.answer.pattern
                self._made_so[options] = self._all_choices(bag, pattern)
            except FaultyInput:
                self._made_so[options] = None
        return self._made_so[options]

    def _all_choices(self, bag: Bag, pattern: Pattern) -> _Made:
        roles = dict.fromkeys(
            [*(p.role for p in pattern.pieces if not p.is_bought), *(n.role for n in pattern.notions)]
        )
        found: dict[str, dict[str, _Choice]] = {}
        for role in roles:
            stacks = {"": bag.stacks.get(role, ())}
            stacks |= {key: one.stacks[role] for key, one in self._changes.items() if role in one.stacks}
            found[role] = {key: self._choice(pattern, role, stack) for key, stack in stacks.items()}
        areas: dict[str, float] = {}
        for cut in (cut for choices in found.values() for one in choices.values() for cut in one.cuts):
            areas[cut.id] = max(areas.get(cut.id, 0.0), cut.region.area_mm2)
        return _Made(bag, pattern, self._thread(pattern), found, areas)

    def _thread(self, pattern: Pattern) -> float:
        room, thread = self._view.workroom, thread_on(self._view.shelf)
        whole = _LEAST_THREADS * (1 + room.thread_waste_share)
        uses = [
            ThreadUse(seam_id=s.id, name="", seam_length_mm=0, thickness_mm=0, thread_mm=s.length_mm * s.rows * whole)
            for s in pattern.seams
        ]
        need = thread_need(thread, uses, run_count=1)
        return sum(least_bought([(need.length_mm or 0.0, self._prices.mm(thread.id))]))

    def _choice(self, pattern: Pattern, role: str, stack: tuple[Layer, ...]) -> _Choice:
        """Nothing, if it cannot be made of that: then no set with it is worked out either."""
        own = role_alone(pattern, role)
        try:
            cuts = cut_list(own, {role: stack})
            steps = tuple(backing_steps(own, {role: stack}, self._view.shelf))
            sheets = [(cut.count * cut.region.area_mm2, self._prices.mm2(cut.material_id)) for cut in cuts]
            bought = list(self._notions([n for n in pattern.notions if n.role == role], stack))
        except FaultyInput:
            return _Choice(0.0, (), ())
        raws = raw_steps(Task(work=(_CUT, *steps), pattern=own, cuts=cuts), self._view.workroom)
        cost = math.fsum(least_bought([*sheets, *bought]))
        return _Choice(cost, tuple(raw for raw in raws if raw.id != SETUP), cuts)

    def _notions(self, notions: Iterable[NotionNeed], stack: tuple[Layer, ...]) -> Iterator[tuple[float, float]]:
        """Quantity and least price; none of what ready-made zips may bring with them."""
        shelf = self._view.shelf
        for notion in notions:
            if notion.role in self._prices.may_come_along:
                continue
            material = shelf.material(stack[0].material_id if stack else "", place=f"stacks.{notion.role}")
            if notion.length_mm is None or is_ready_made(material, shelf):
                yield notion.count, least_price_of_one(material, shelf.offers)
            else:
                yield notion.count * notion.length_mm, self._prices.mm(material.id)

    @cached_property
    def _prices(self) -> _LeastPrices:
        stacks = [self._view.answer.bag.stacks, *(change.stacks for change in self._changes.values())]
        shelf = self._view.shelf
        along = frozenset(role for one in stacks for role in roles_not_needed(one, shelf))
        return _LeastPrices(self._view, along)


class _LeastPrices:
    """Least prices of materials, each worked out once; `may_come_along`: roles that some change makes needless."""

    def __init__(self, view: BagView, may_come_along: frozenset[str]) -> None:
        self._view, self.may_come_along = view, may_come_along
        self._mm2: dict[str, float] = {}

    def mm2(self, material_id: str) -> float:
        """Of a square mm of a sheet."""
        if material_id not in self._mm2:
            shelf = self._view.shelf
            self._mm2[material_id] = least_price_of_mm2(self._material(material_id), shelf.offers, self._view.workroom)
        return self._mm2[material_id]

    def mm(self, material_id: str) -> float:
        """Of a mm of what is bought by its length."""
        return least_price_of_mm(self._material(material_id), self._view.shelf.offers)

    def _material(self, material_id: str) -> Material:
        return self._view.shelf.material(material_id, place="stacks")


def role_alone(pattern: Pattern, role: str) -> Pattern:
    """The pieces of one role, with the quilting lines that lie on them."""
    pieces = tuple(piece for piece in pattern.pieces if piece.role == role and not piece.is_bought)
    ids = {piece.id for piece in pieces}
    quilting = [s for s in pattern.seams if s.kind is SeamKind.QUILT and all(side.piece_id in ids for side in s.sides)]
    return replace(pattern, pieces=pieces, seams=tuple(quilting), notions=(), handwork=())
