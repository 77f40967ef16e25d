"""Cover several templates from one heap of scraps: which scraps go where.

A pool of covers is gathered: the smallest scraps that hold a whole template, and covers pieced from what is left,
template after template in changing order; among them those that come of covering one by one, in the order given, with
half of the budget: sharing out never comes to less than these. Which of them to take is a small mixed-integer program,
solved exactly: each scrap at most once, no template more often than asked; most whole templates first, then most area,
then least cloth wasted.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from bagwright.errors import NoAnswer
from bagwright.model.cover import (
    Cover,
    Covers,
    CoverScrap,
    CoverSettings,
    CoversRequest,
    CoverTemplate,
    LeftTemplate,
    TemplateCover,
)
from bagwright.piecing._budget import Budget
from bagwright.piecing.check_several import check_covers
from bagwright.piecing.cover import cover_template
from bagwright.piecing.whole import whole_cover

_WHOLE = CoverSettings(iterations=4)
_ROUNDS = 40
_INNER = CoverSettings(iterations=_ROUNDS)
_WHOLE_COUNTS = 10.0
"""So many times as much as a pieced one counts a whole template: nobody pieces what a scrap holds whole."""
_SCRAP_COSTS = 0.01
"""Toll for each scrap, as a share of the need."""
_WASTE_COSTS = 0.02
"""Toll for cloth cut off: small scraps go before a large one is cut."""
_IDLE_ROUNDS = 12
_LEAVES_OUT = 0.35
_SPARE_WHOLES, _MOST_TRIED = 4, 8
"""How many scraps more than are wanted are looked for that hold a template; how many the search tries to lay it on."""
_DONE_SHARE = 0.9995


@dataclass(slots=True)
class _Pool:
    """Covers found so far, the best share of each template, and the best choice among them."""

    request: CoversRequest
    found: list[TemplateCover]
    best_share: dict[str, float]
    chosen: tuple[TemplateCover, ...] = ()

    def add(self, template: CoverTemplate, cover: Cover) -> bool:
        """Note a cover; keep it if it does its work."""
        share = self.best_share.get(template.id, 0.0)
        self.best_share[template.id] = max(share, cover.measures.covered_share)
        if cover.is_enough:
            self.found.append(TemplateCover(template.id, cover))
        return cover.is_enough

    def worth(self, one: TemplateCover) -> float:
        """What a cover counts, in mm2; above 0, however large the scrap that it is cut from."""
        need_mm2 = self._template(one.template_id).need.area_mm2
        count = len(one.cover.placements)
        saved = need_mm2 * one.cover.measures.covered_share * (_WHOLE_COUNTS if count == 1 else 1.0)
        waste = _WASTE_COSTS * one.cover.measures.wasted_mm2
        return saved - _SCRAP_COSTS * count * need_mm2 - waste / (1 + 2 * waste / saved)

    def _template(self, name: str) -> CoverTemplate:
        return next(one for one in self.request.templates if one.id == name)

    def choose(self) -> bool:
        """Take the best covers of the pool; whether that is better than before."""
        if not self.found:
            return False
        worths = np.array([self.worth(one) for one in self.found])
        rows = [[float(scrap.id in one.scrap_ids) for one in self.found] for scrap in self.request.scraps]
        rows += [[float(one.template_id == t.id) for one in self.found] for t in self.request.templates]
        most = [1.0] * len(self.request.scraps) + [float(one.count) for one in self.request.templates]
        solved = milp(
            -worths,
            integrality=np.ones(len(worths), dtype=np.int64),
            bounds=Bounds(0, 1),
            constraints=LinearConstraint(np.array(rows), -np.inf, np.array(most)),
        )
        if solved.x is None:
            return False
        taken = tuple(one for one, share in zip(self.found, solved.x, strict=True) if share > 0.5)
        is_better = sum(map(self.worth, taken)) > sum(map(self.worth, self.chosen)) + 1e-6
        if is_better:
            self.chosen = taken
        return is_better

    @property
    def is_done(self) -> bool:
        """Whether all copies are covered, each whole or all but wholly: more search would change little."""
        return not self.wanted(self.chosen) and all(
            len(one.cover.placements) == 1 or one.cover.measures.covered_share > _DONE_SHARE for one in self.chosen
        )

    def wanted(self, taken: tuple[TemplateCover, ...]) -> list[CoverTemplate]:
        """The copies that these covers leave, one entry for each."""
        counts = {one.id: one.count for one in self.request.templates}
        for one in taken:
            counts[one.template_id] -= 1
        return [one for one in self.request.templates for _ in range(counts[one.id])]


def cover_templates(
    request: CoversRequest,
    *,
    settings: CoverSettings | None = None,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[Covers], object] | None = None,
) -> Covers:
    """The best choice of covers found within the budget, judged by `check_covers`; perhaps none.

    `iterations` counts rounds over all templates.

    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.cover import CoverScrap
    >>> small, large = (Region.rectangle((0, 0), size) for size in ((100, 40), (100, 80)))
    >>> heap = {"a": small, "b": small, "c": large}
    >>> scraps = tuple(CoverScrap(id=name, region=region) for name, region in heap.items())
    >>> asked = CoversRequest(templates=(CoverTemplate(id="side", need=large, count=2),), scraps=scraps)
    >>> [sorted(one.scrap_ids) for one in cover_templates(asked).covers]
    [['c'], ['a', 'b']]
    """
    settings = settings or CoverSettings()
    budget = Budget(settings, should_stop)
    # The first round is gone through whatever rounds are allowed, so that there is an answer.
    stop = budget.is_spent if settings.seconds > 0 else should_stop
    pool, chance = _Pool(request, [], {}), Random(settings.seed)
    is_first_only = settings.seconds <= 0 and settings.iterations is None
    for template in request.templates:
        _find_whole(pool, template, stop)
    pool.choose()
    _piece_the_rest(pool, chance, CoverSettings() if is_first_only else _INNER, stop, is_first=True)
    budget.count()
    _tell_if_better(pool, settings, on_better)
    if not is_first_only and not pool.is_done:
        _one_by_one(pool, settings, stop)
        _tell_if_better(pool, settings, on_better)
    idle = 0
    while not budget.is_spent() and not pool.is_done and idle < _IDLE_ROUNDS:
        _piece_the_rest(pool, chance, _INNER, budget.is_spent, is_first=False)
        budget.count()
        idle = 0 if _tell_if_better(pool, settings, on_better) else idle + 1
    return _answer(pool, settings)


def _tell_if_better(pool: _Pool, settings: CoverSettings, on_better: Callable[[Covers], object] | None) -> bool:
    """Choose anew; whether that is better than before."""
    if not pool.choose():
        return False
    answer = _answer(pool, settings)
    if on_better and answer.verdict.passed:
        on_better(answer)
    return True


def _one_by_one(pool: _Pool, settings: CoverSettings, should_stop: Callable[[], bool] | None) -> None:
    """Each copy in the order given, from what those before it leave; half of the budget, in equal shares."""
    wanted = pool.wanted(())
    if settings.seconds > 0:
        each = CoverSettings(seconds=settings.seconds / 2 / len(wanted), seed=settings.seed)
    else:
        each = CoverSettings(iterations=_ROUNDS * max(1, (settings.iterations or 0) // 2), seed=settings.seed)
    free = {scrap.id for scrap in pool.request.scraps}
    for template in wanted:
        if should_stop and should_stop():
            return
        found = _try(pool, template, free, each, should_stop)
        free -= found.scrap_ids if found else frozenset()


def _find_whole(pool: _Pool, template: CoverTemplate, should_stop: Callable[[], bool] | None) -> None:
    """Scraps that hold a whole template by themselves: the smallest that do, some more than are wanted."""
    request = pool.request.of(template, pool.request.scraps)
    least_mm2, most = request.enough_share * template.need.area_mm2, template.count + _SPARE_WHOLES
    others: list[CoverScrap] = []
    for scrap in sorted(request.scraps, key=lambda one: one.region.area_mm2):
        if most <= 0 or (should_stop and should_stop()):
            return
        held = whole_cover(request, scrap, _WHOLE)
        if held:
            most -= pool.add(template, held)
        elif scrap.region.area_mm2 >= least_mm2:
            others.append(scrap)
    spread = np.unique(np.linspace(0, len(others) - 1, min(_MOST_TRIED, len(others))).round().astype(int))
    for number in spread.tolist():
        if most <= 0 or (should_stop and should_stop()):
            return
        most -= _try(pool, template, {others[number].id}, _WHOLE, should_stop) is not None


def _piece_the_rest(
    pool: _Pool,
    chance: Random,
    settings: CoverSettings,
    should_stop: Callable[[], bool] | None,
    *,
    is_first: bool,
) -> None:
    """One after another the templates that no scrap holds whole, large ones first or in any order."""
    whole = tuple(one for one in pool.chosen if len(one.cover.placements) == 1)
    free = {scrap.id for scrap in pool.request.scraps} - {name for one in whole for name in one.scrap_ids}
    wanted = sorted(pool.wanted(whole), key=lambda one: -one.need.area_mm2)
    if not is_first:
        chance.shuffle(wanted)
    short = set[str]()
    for template in wanted:
        if should_stop and should_stop():
            return
        if template.id in short:
            continue
        at_hand = free if is_first else {name for name in sorted(free) if chance.random() > _LEAVES_OUT}
        found = _try(pool, template, at_hand, settings, should_stop)
        if found:
            free -= found.scrap_ids
        else:
            short.add(template.id)


def _try(
    pool: _Pool,
    template: CoverTemplate,
    at_hand: set[str],
    settings: CoverSettings,
    should_stop: Callable[[], bool] | None,
) -> TemplateCover | None:
    """A cover of that template from these scraps, if it does its work."""
    scraps = tuple(scrap for scrap in pool.request.scraps if scrap.id in at_hand)
    if sum(scrap.region.area_mm2 for scrap in scraps) < 0.5 * pool.request.enough_share * template.need.area_mm2:
        return None
    try:
        cover = cover_template(pool.request.of(template, scraps), settings=settings, should_stop=should_stop)
    except NoAnswer:
        return None
    return pool.found[-1] if pool.add(template, cover) else None


def _answer(pool: _Pool, settings: CoverSettings) -> Covers:
    """What is chosen, most area first within each template, with its verdict; nothing of it if that finds a fault."""
    order = {one.id: number for number, one in enumerate(pool.request.templates)}
    covers = tuple(sorted(pool.chosen, key=lambda one: (order[one.template_id], len(one.cover.placements))))
    wanted = [one.id for one in pool.wanted(covers)]
    left = tuple(
        LeftTemplate(name, wanted.count(name), pool.best_share.get(name, 0.0)) for name in dict.fromkeys(wanted)
    )
    verdict = check_covers(pool.request, covers, left)
    if not verdict.passed:
        every = tuple(LeftTemplate(one.id, one.count, 0.0) for one in pool.request.templates)
        return Covers(covers=(), left=every, verdict=check_covers(pool.request, (), every), settings=settings)
    return Covers(covers=covers, left=left, verdict=verdict, settings=settings)
