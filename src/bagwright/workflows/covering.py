"""What of a bag's inner layers can be covered from the scraps in the stash today, and whether it is worth it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from bagwright.costing.scrap_worth import ScrapWorth, price_of_m2, worth_of_scraps
from bagwright.errors import FaultyInput, Problem
from bagwright.model.cover import (
    Covers,
    CoverScrap,
    CoverSettings,
    CoversRequest,
    LeftTemplate,
    TemplateCover,
)
from bagwright.model.material import Material
from bagwright.model.piece import CutPiece
from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.model.stash import StashPiece
from bagwright.model.stock import StockPiece
from bagwright.piecing.several import cover_templates
from bagwright.store.stash import load_stash
from bagwright.workflows.cover_templates import MIRRORED, AskedTemplate, asked_templates, pieceable
from bagwright.workflows.desk import BagView, Desk, Remembered
from bagwright.workflows.stash_first import StashByMaterial, by_material, stock_piece, told_piece

_MOST_SCRAPS = 60
_SMOOTHED_MM = 0.4
"""Outlines read from a photo wander by so much; cut inside of that, edges meet edges."""
_FOUND = Remembered[str, "ScrapCovers"](300)
FIRST_COVERS = CoverSettings()


@dataclass(frozen=True, slots=True)
class CoveredTemplate:
    """One copy that can be covered: from which scraps, and what that is worth, if new material has a price."""

    name: str
    cut: CutPiece
    covered: TemplateCover
    worth: ScrapWorth | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrapCovers:
    """All that the stash does for one material of a bag; `stock` and `pieces` by id of the piece in the stash."""

    material: Material
    request: CoversRequest
    covers: Covers
    done: tuple[CoveredTemplate, ...]
    names: dict[str, str]
    stock: dict[str, StockPiece]
    pieces: dict[str, StashPiece]
    problems: tuple[Problem, ...]

    @property
    def left(self) -> tuple[LeftTemplate, ...]:
        """Copies for which new material is needed."""
        return self.covers.left

    @property
    def name(self) -> str:
        """Names what is shown, so that nothing else is used unseen."""
        told = [(one.name, one.covered.cover.placements) for one in self.done]
        return hashlib.sha256(repr(told).encode()).hexdigest()[:24]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrapTask:
    """What is asked of the scraps of one material, and the name under which the best answer is remembered."""

    view: BagView
    material: Material
    asked: tuple[AskedTemplate, ...]
    request: CoversRequest
    stock: dict[str, StockPiece]
    pieces: dict[str, StashPiece]
    key: str

    @property
    def known(self) -> ScrapCovers | None:
        """The best answer found so far, if any was looked for."""
        return _FOUND.get(self.key)


def scrap_tasks(desk: Desk, view: BagView, stash: StashByMaterial | None = None) -> tuple[ScrapTask, ...]:
    """For each inner material of which the stash holds something, what it could be used for.

    `stash`: all of it by id, where it is at hand; else it is read.
    """
    if stash is None:
        with desk.store() as store:
            stash = by_material([kept.value for kept in load_stash(store)])
    wishes, found = view.answer.bag.scraps, list[ScrapTask]()
    for material in pieceable(view):
        own = stash.get(material.id, ())
        asked = asked_templates(view, material, wishes) if own else ()
        if asked:
            request, stock = covers_request(material, asked, own, wishes)
            key = told_by(view, request, material, own)
            pieces = {piece.id: piece for piece in own}
            task = ScrapTask(
                view=view, material=material, asked=asked, request=request, stock=stock, pieces=pieces, key=key
            )
            found += [task] if request.scraps else []
    return tuple(found)


def told_by(view: BagView, request: CoversRequest, material: Material, own: Sequence[StashPiece]) -> str:
    """Names all that an answer follows from; scraps follow from the pieces. Regions hide corners, so those are told."""
    pieces = [told_piece(piece) for piece in own]
    needs = [one.need.shape.wkb_hex for one in request.templates]
    told = (replace(request, scraps=()), material, pieces, needs, view.shelf.offers, view.workroom)
    return hashlib.sha256(repr(told).encode()).hexdigest()


def covers_for_bag(
    desk: Desk, view: BagView, *, settings: CoverSettings = FIRST_COVERS, should_stop: Callable[[], bool] | None = None
) -> tuple[ScrapCovers, ...]:
    """What of each inner material can be covered, checked: the best that is known, or a first answer."""
    return covers_of(scrap_tasks(desk, view), settings=settings, should_stop=should_stop)


def covers_of(
    tasks: Sequence[ScrapTask],
    *,
    settings: CoverSettings = FIRST_COVERS,
    should_stop: Callable[[], bool] | None = None,
) -> tuple[ScrapCovers, ...]:
    """The best that is known of each task, or a first answer."""
    return tuple(task.known or search_covers(task, settings, should_stop=should_stop) for task in tasks)


def search_covers(
    task: ScrapTask,
    settings: CoverSettings,
    *,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[ScrapCovers], object] | None = None,
) -> ScrapCovers:
    """Look for covers, and remember what is better than what was known. The best of all so far."""

    def keep(covers: Covers) -> ScrapCovers:
        known, found = task.known, _told(task, covers)
        if known and _rank(known) >= _rank(found):
            return known
        if on_better:
            on_better(found)
        return _FOUND.put(task.key, found)

    return keep(cover_templates(task.request, settings=settings, should_stop=should_stop, on_better=keep))


def _rank(found: ScrapCovers) -> tuple[int, float, int]:
    """Whole copies first, then the area that is covered, then few scraps."""
    counts = [len(one.covered.cover.placements) for one in found.done]
    needs = {one.id: one.need.area_mm2 for one in found.request.templates}
    area = sum(needs[one.covered.template_id] * one.covered.cover.measures.covered_share for one in found.done)
    return counts.count(1), round(area, 1), -sum(counts)


def covers_request(
    material: Material, asked: Sequence[AskedTemplate], own: Sequence[StashPiece], wishes: ScrapWishes
) -> tuple[CoversRequest, dict[str, StockPiece]]:
    """What is asked of the scraps, and each as it can be used: sound, right side up, inside of its uncertain edge."""
    stock, scraps = {}, []
    keeps_grain = material.kind.has_grain and not wishes.turns_freely
    for piece in own:
        one = stock_piece(piece, has_grain=material.kind.has_grain)
        scrap = _scrap(piece, has_grain=material.kind.has_grain)
        if one and scrap and (scrap.grain_deg is not None or not keeps_grain):
            stock[piece.id] = one
            scraps.append(scrap)
    scraps.sort(key=lambda scrap: -scrap.region.area_mm2)
    request = CoversRequest(
        templates=tuple(one.template for one in asked),
        scraps=tuple(scraps[:_MOST_SCRAPS]),
        keeps_grain=keeps_grain,
        max_scraps=wishes.max_scraps,
        keep_off_mm=wishes.keep_off_mm,
        enough_share=wishes.enough_share,
        widest_gap_mm=wishes.widest_gap_mm,
    )
    return request, stock


@lru_cache(4_000)
def _scrap(piece: StashPiece, *, has_grain: bool) -> CoverScrap | None:
    stock = stock_piece(piece, has_grain=has_grain)
    if stock is None:
        return None
    sound = stock.region.minus_all(stock.flaws)
    if piece.error_mm:
        sound = sound.smoothed_inwards(_SMOOTHED_MM)
    largest = max(sound.parts(), key=lambda part: part.area_mm2, default=None)
    return CoverScrap(id=piece.id, region=largest, grain_deg=stock.grain_deg) if largest else None


def _told(task: ScrapTask, covers: Covers) -> ScrapCovers:
    done, problems = _with_worth(task.view, task.material, task.asked, covers)
    return ScrapCovers(
        material=task.material,
        request=task.request,
        covers=covers,
        done=done,
        names={one.template.id: _name(one) for one in task.asked},
        stock=task.stock,
        pieces=task.pieces,
        problems=problems,
    )


def _name(asked: AskedTemplate) -> str:
    name = asked.cut.name + (MIRRORED if asked.template.id.endswith(MIRRORED) else "")
    return f"{asked.bag_name}: {name}" if asked.bag_name else name


def _with_worth(
    view: BagView, material: Material, asked: Sequence[AskedTemplate], covers: Covers
) -> tuple[tuple[CoveredTemplate, ...], tuple[Problem, ...]]:
    by_id, room = {one.template.id: one for one in asked}, view.workroom
    try:
        price, problems = price_of_m2(material, view.shelf.offers), tuple[Problem, ...]()
    except FaultyInput as fault:
        price, problems = None, fault.problems
    done = []
    for one in covers.covers:
        template = by_id[one.template_id]
        worth = worth_of_scraps(one.cover, template.cut.region.area_mm2, price, room) if price else None
        if worth and worth.saved.currency != worth.pay.currency:
            worth = None
        done.append(CoveredTemplate(_name(template), template.cut, one, worth))
    return tuple(done), problems


def told_minutes(worth: ScrapWorth) -> str:
    """ "9 minutes" in words."""
    whole = max(round(worth.minutes), 1)
    return "1 minute" if whole == 1 else f"{whole} minutes"
