"""Cover a template with scraps: a first answer at once, then better ones until the budget is spent.

Corners of scraps are put on corners of what is bare. Where angles and lengths of edges agree, chance is an unlikely
reason, and the more agree, the less: a beam of partial covers is ranked by that. What no exact fit covers is filled
with trimmed scraps, by one over all of it or by a second beam ranked by area. Then parts of the best cover, or of the
best with a scrap less, are taken out and filled again.
"""

from __future__ import annotations

from collections.abc import Callable
from math import radians
from random import Random

import numpy as np

from bagwright.errors import NoAnswer, Problem
from bagwright.model.cover import Cover, CoverRequest, CoverSettings
from bagwright.piecing._budget import Budget, FirstBudget
from bagwright.piecing.assembling import Search
from bagwright.piecing.best import Best
from bagwright.piecing.heap import Heap, ready_heap
from bagwright.piecing.partial import Laid, Partial, lay, nudged, relay, start
from bagwright.piecing.poses import EXACT, NEAR, Closeness
from bagwright.piecing.ranking import LITTLE_BARE, MORE, NEXT_TO_ALL, SCRAP_WEIGHS
from bagwright.piecing.snug import snug_levels
from bagwright.piecing.whole import whole_cover

_FIRST_WIDTHS = {EXACT: 3, NEAR: 1}
_WIDTHS = {EXACT: 32, NEAR: 16}
_SPARE_WIDTH = 3
_FILLED = 3
_FITTED = 0.5
"""Where exact fits cover less of the need, outlines are taken for ones that fit only nearly, as read from a photo."""
_LITTLE = 0.9
_FORESEEN = 4
_REORDERS, _FORESEES, _FEWER, _LEAN, _SPANS = 0.1, 0.25, 0.5, 0.6, 0.3
_NUDGES, _NUDGES_MM = 0.15, (0.25, 0.5, 1.0, 2.0)
_SPANS_LESS = 0.02
_LARGEST = 4
_DONE = 0.0015


def cover_template(
    request: CoverRequest,
    *,
    settings: CoverSettings | None = None,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[Cover], object] | None = None,
) -> Cover:
    """The best cover found within the budget, judged by `check_cover`.

    Raises `NoAnswer` if no scrap covers anything worth keeping.

    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.cover import CoverScrap
    >>> half = Region.rectangle((0, 0), (100, 40))
    >>> scraps = (CoverScrap(id="a", region=half), CoverScrap(id="b", region=half))
    >>> found = cover_template(CoverRequest(need=Region.rectangle((0, 0), (100, 80)), scraps=scraps))
    >>> round(found.measures.covered_share, 4), round(found.measures.join_mm)
    (1.0, 100)
    """
    settings = settings or CoverSettings()
    heap = ready_heap(request)
    best = Best(request, heap, settings, on_better)
    budget = Budget(settings, should_stop)
    first = FirstBudget(settings, should_stop, lambda: best.has_any)
    _dive(_search(request, heap, first, best), request, best)
    _improve(_search(request, heap, budget, best), request, best, Random(settings.seed))
    best.judge()
    if best.cover is None:
        raise NoAnswer(_nothing(has_refused=best.has_refused))
    return best.cover


def _nothing(*, has_refused: bool) -> Problem:
    if has_refused:
        allowed, remedy = "a cover that passes its check", "Draw the outlines plainer, with no teeth finer than 1 mm."
        return Problem(place="scraps", value="", what="were laid, but no cover passed", allowed=allowed, remedy=remedy)
    allowed, remedy = "scraps that cover some of it", "Add larger scraps, or allow more of them."
    return Problem(place="scraps", value="", what="cover nothing", allowed=allowed, remedy=remedy)


def _search(request: CoverRequest, heap: Heap, budget: Budget, best: Best) -> Search:
    return Search(heap, request.need.area_mm2, request.max_scraps, budget, best.note)


def _closeness(search: Search) -> Closeness:
    return NEAR if search.heap.wanders else EXACT


def _dive(search: Search, request: CoverRequest, best: Best) -> None:
    """A narrow search for the first answer; where exact fits come to little, one that trims from the start."""
    close = _closeness(search)
    for partial in search.assemble(start(request.need), width=_FIRST_WIDTHS[close], close=close)[:1]:
        filled = search.fill(partial, width=1)
        if filled.worth(search.need_mm2) < _LITTLE:
            search.fill(start(request.need), width=1)
    best.judge(1)
    if best.cover is None:
        _lay_whole(request, search, best)


def _lay_whole(request: CoverRequest, search: Search, best: Best) -> None:
    """Out of one scrap so large that points spread over it miss the template."""
    for number in np.argsort(-search.heap.areas, kind="stable")[:_LARGEST].tolist():
        found = whole_cover(request, request.scraps[number], CoverSettings())
        if found:
            place = found.placements[0]
            laid = Laid(number, radians(place.turn_deg), place.x_mm, place.y_mm)
            best.note(lay(start(request.need), search.heap, laid))
            best.judge(1)
            return


def _improve(search: Search, request: CoverRequest, best: Best, chance: Random) -> None:
    """The wide search, then repair until nothing can get better or the budget is spent."""
    if search.budget.is_spent() or _is_best_possible(search, best):
        return
    close = _closeness(search)
    fitted = _assemble_and_fill(search, request, best, search)
    is_drawn = close is EXACT and fitted >= _FITTED
    if close is EXACT and not is_drawn:
        _fit_nearly(search, request, best)
    if not _is_best_possible(search, best):
        search.foresee(start(request.need), most=_FORESEEN, width=1)
        _judge(search, best)
    _try_fewer(search, request, best)
    _lay_snugly(search, request, best)
    if is_drawn:
        _fit_nearly(search, request, best)
    _close_gap(search, best)
    _try_fewer(search, request, best)
    while not search.budget.is_spent() and not _is_best_possible(search, best) and best.partial:
        _simplify(search, request, best)
        search.most = _most_of_use(request, best, chance)
        way = chance.random()
        if way < _REORDERS:
            search.budget.count()
            search.tell(relay(request.need, search.heap, chance.sample(best.partial.laid, len(best.partial.laid))))
        elif way < _REORDERS + _NUDGES:
            _nudge(search, request, best.partial, chance)
        else:
            _refill(search, request, _to_refill(search, best, chance), chance)
        best.judge()
        search.most = request.max_scraps
        _close_gap(search, best)


def _fit_nearly(search: Search, request: CoverRequest, best: Best) -> None:
    """The wide search once more, for outlines that agree only nearly."""
    if not search.budget.is_spent() and not _is_best_possible(search, best):
        heap = ready_heap(request, length_mm=NEAR.length_mm)
        near = Search(heap, search.need_mm2, request.max_scraps, search.budget, best.note)
        _assemble_and_fill(near, request, best, search, close=NEAR)


def _judge(search: Search, best: Best) -> None:
    """Judge what was found; once little is bare, no more scraps than that takes are of use."""
    best.judge()
    if best.rank >= LITTLE_BARE and best.cover and not best.cover.measures.join_near_mm:
        search.most = min(search.most, len(best.scraps))


def _try_fewer(search: Search, request: CoverRequest, best: Best) -> None:
    """The wide search again with one scrap less than the best takes, as long as that finds a better one."""
    while best.rank >= LITTLE_BARE and best.partial is not best.lessened and not search.budget.is_spent():
        best.lessened, search.most = best.partial, len(best.scraps) - 1
        if search.most and not _is_best_possible(search, best):
            _assemble_and_fill(search, request, best, search)
    search.most = request.max_scraps
    _judge(search, best)


def _most_of_use(request: CoverRequest, best: Best, chance: Random) -> int:
    """How many scraps to allow: no more than the best takes once little is bare, often one less."""
    if best.rank < LITTLE_BARE:
        return request.max_scraps
    return max(1, len(best.scraps) - (chance.random() < _FEWER))


def _to_refill(search: Search, best: Best, chance: Random) -> Partial:
    """The best; where fewer scraps are allowed than that takes, often what covers most with so many."""
    assert best.partial
    lean = best.of_count.get(search.most)
    return lean if lean and search.most < len(best.scraps) and chance.random() < _LEAN else best.partial


def _lay_snugly(search: Search, request: CoverRequest, best: Best) -> None:
    """A beam over snug fits, whatever the cuts, unless nothing can be better."""
    if not _is_best_possible(search, best):
        for _ in snug_levels(search, start(request.need)):
            _judge(search, best)


def _simplify(search: Search, request: CoverRequest, best: Best) -> None:
    """Leave out each scrap that is not worth its place; lay each first and last, for other cuts. Once a cover."""
    if best.partial and best.partial is not best.simplified:
        best.simplified = best.partial
        for one in best.partial.laid:
            others = [other for other in best.partial.laid if other is not one]
            search.tell(relay(request.need, search.heap, others))
            search.tell(relay(request.need, search.heap, [one, *others]))
            search.tell(relay(request.need, search.heap, [*others, one]))
        best.judge()


def _close_gap(search: Search, best: Best) -> None:
    """Lay one scrap more where the best is not enough, or where something would be better then; each is tried once."""
    gaping = best.gaping or (None if best.is_enough else best.partial)
    best.gaping = None
    if gaping and gaping is not best.closed:
        best.closed = gaping
        search.add_small(gaping, width=4)
        best.judge()


def _assemble_and_fill(
    search: Search, request: CoverRequest, best: Best, filler: Search, close: Closeness | None = None
) -> float:
    """A wide search for fits; one scrap over what is left; the best, filled. Returns what share the best fits cover."""
    close = close or _closeness(search)
    width = _WIDTHS[close] if search is filler else _SPARE_WIDTH
    found = search.assemble(start(request.need), width=width, close=close)
    _judge(filler, best)
    if not _is_best_possible(filler, best):
        for partial in {len(one.laid): one for one in reversed(found)}.values():  # the best with one, with two ...
            filler.span(partial, bare_at_most=1 - NEXT_TO_ALL)
        _judge(filler, best)
    for partial in found[:_FILLED]:
        if search.budget.is_spent() or _is_best_possible(filler, best):
            break
        filler.fill(partial, width=3)
        _judge(filler, best)
    return max((1 - one.bare_mm2 / search.need_mm2 for one in found[:_FILLED]), default=0.0)


def _nudge(search: Search, request: CoverRequest, partial: Partial, chance: Random) -> None:
    """Shift one scrap a little to each side, and turn it if it turns freely."""
    search.budget.count()
    at = chance.randrange(len(partial.laid))
    step_mm = chance.choice(_NUDGES_MM)
    for moved in nudged(partial.laid[at], search.heap, step_mm):
        search.tell(relay(request.need, search.heap, [*partial.laid[:at], moved, *partial.laid[at + 1 :]]))


def _refill(search: Search, request: CoverRequest, partial: Partial, chance: Random) -> None:
    """Take one to three scraps out; lay one over all that is bare then, foresee, or fill with ranks shaken."""
    laid = list(partial.laid)
    gone = chance.sample(range(len(laid)), min(len(laid), chance.choice((1, 2, 2, 3))))
    kept: list[Laid] = [one for number, one in enumerate(laid) if number not in gone]
    shaken = np.random.default_rng(chance.getrandbits(32))
    first = relay(request.need, search.heap, kept)
    if chance.random() < 0.3:
        first = max(
            search.assemble(first, width=6, close=_closeness(search)), key=lambda one: one.worth(search.need_mm2)
        )
    if chance.random() < _SPANS:
        spanned = search.span(first, bare_at_most=_SPANS_LESS)
        if spanned and len(gone) > 1:
            search.fill(spanned, width=1)
    elif len(gone) > 1 and chance.random() < _FORESEES:
        search.foresee(first, most=2, width=1)
    else:
        search.fill(first, width=2, jitter=lambda count: shaken.uniform(0.75, 1.0, count))


def _is_best_possible(search: Search, best: Best) -> bool:
    """Whether no cover can be better: all is covered without a cut, or the largest scraps, whole, cover no more."""
    cover = best.cover
    if cover is None:
        return False
    areas = np.cumsum(np.sort(search.heap.areas)[::-1])[: search.most]
    shares = np.minimum(1.0, areas / search.need_mm2)
    highest = True, int(shares.max() >= NEXT_TO_ALL)
    if best.rank[:2] > highest:
        return True
    if best.rank[:2] < highest:
        return cover.measures.covered_share >= float(shares.max()) - MORE
    return best.rank[2] >= float((shares - SCRAP_WEIGHS * np.arange(1, len(areas) + 1)).max()) - _DONE
