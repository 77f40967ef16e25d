"""What can be cut or covered from the stash today, over all bags: what may be at once, what is once it was looked at.

At once every piece is weighed by areas and reaches alone: what they rule out is out, the rest is "perhaps". Looking
closely lays pieces on the stash and covers inner layers, bag after bag; what was found is remembered until the stash,
the bag or a price changes.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from bagwright.model.cover import CoverSettings
from bagwright.model.material import Material
from bagwright.model.piece import CutPiece
from bagwright.model.stash import StashPiece
from bagwright.store.stamp import Stamp, stamp_of_the_rest
from bagwright.workflows.answer import ready_of
from bagwright.workflows.cover_searches import Place, look_at_one, until_done
from bagwright.workflows.covering import CoveredTemplate, ScrapCovers, ScrapTask, scrap_tasks
from bagwright.workflows.desk import BagLine, BagView, Desk, bag_lines, view_bag
from bagwright.workflows.from_stash import StashOffer, offer_keys, offers_under, stash_for_bag
from bagwright.workflows.searches import Progress, Search, Searches, SearchOf
from bagwright.workflows.stash_changes import the_stash
from bagwright.workflows.stash_first import StashByMaterial, by_material

LONGEST_SECONDS = 5.0
"""One material of one bag gets no more than this, however long its bag's own page may search."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayPiece:
    """One shape that is cut: `wanted` copies of it are still to be cut for the run.

    `whole`: which pieces of the stash hold how many copies, as far as that saves money. `covered`: copies that scraps
    are pieced under. `may_hold`: no more copies than this can come out of the stash whole; `may_be_covered`: whether
    its scraps have enough area together.
    """

    cut: CutPiece
    material: Material
    wanted: int
    whole: tuple[tuple[StashPiece, int], ...] = ()
    covered: tuple[CoveredTemplate, ...] = ()
    may_hold: int = 0
    may_be_covered: bool = False

    @property
    def is_served(self) -> bool:
        """Whether any copy comes out of the stash."""
        return bool(self.whole or self.covered)


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayBag:
    """One bag: its pieces of materials that the stash holds, and the materials that it holds nothing of.

    `is_looked`: all of it was looked at closely; else what is known so far. `offers` and `covers` are what was found.
    """

    view: BagView
    pieces: tuple[TodayPiece, ...]
    lacking: tuple[Material, ...]
    offers: tuple[StashOffer, ...]
    covers: tuple[ScrapCovers, ...]
    is_looked: bool

    @property
    def is_served(self) -> bool:
        """Whether anything of it comes out of the stash."""
        return any(piece.is_served for piece in self.pieces)

    @property
    def may_be_served(self) -> bool:
        """Whether anything of it could come out of the stash, by areas and reaches."""
        return any(piece.is_served or piece.may_hold or piece.may_be_covered for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class _Weighed:
    """A bag, with the names under which more may become known of it than was known when it was weighed."""

    bag: TodayBag
    tasks: tuple[ScrapTask, ...]
    known: tuple[ScrapCovers | None, ...]
    offer_keys: tuple[str, ...]
    is_laid: bool

    @property
    def is_so_still(self) -> bool:
        """Whether nothing better became known since; what was forgotten since still holds."""
        covers = zip((task.known for task in self.tasks), self.known, strict=True)
        is_same = all(now is None or now is then for now, then in covers)
        return is_same and (self.is_laid or offers_under(self.offer_keys) is None)


def stash_today(desk: Desk, *, start: int = 0, most: int | None = None) -> tuple[TodayBag, ...]:
    """Every bag by name with what is known at once: bounds, and what was looked at before.

    `most`: no more of them than that, from the bag of that number (`start`, from 0) on.
    """
    with desk.store() as store:
        stamp = stamp_of_the_rest(store)
    stash = by_material(sorted((item.piece for item in the_stash(desk)), key=lambda piece: piece.id))
    lines = bag_lines(desk)[start:]
    return tuple(_remembered(desk, line, stash, stamp) for line in lines[:most])


def _remembered(desk: Desk, line: BagLine, stash: StashByMaterial, stamp: Stamp) -> TodayBag:
    known = _known(desk, line, stamp)
    if known:
        return known.bag
    weighed = _bag(desk, view_bag(desk, line.id), stash)
    desk.weighed.put((line.id, line.version, stamp), weighed)
    return weighed.bag


def _known(desk: Desk, line: BagLine, stamp: Stamp) -> _Weighed | None:
    known = desk.weighed.get((line.id, line.version, stamp))
    return known if isinstance(known, _Weighed) and known.is_so_still else None


def is_today_known(desk: Desk, *, start: int = 0, most: int | None = None) -> bool:
    """Whether `stash_today` of the same bags has nothing to work out."""
    with desk.store() as store:
        stamp = stamp_of_the_rest(store)
    return all(_known(desk, line, stamp) for line in bag_lines(desk)[start:][:most])


def _bag(desk: Desk, view: BagView, stash: StashByMaterial) -> _Weighed:
    tasks, keys = scrap_tasks(desk, view, stash), offer_keys(view, stash)
    known, offers = tuple(task.known for task in tasks), offers_under(keys)
    covers = tuple(one for one in known if one)
    used = dict.fromkeys(cut.material_id for cut in view.answer.cuts)
    bag = TodayBag(
        view=view,
        pieces=tuple(_pieces(view, stash, offers or (), tasks)),
        lacking=tuple(view.shelf.materials[one] for one in used if one not in stash),
        offers=offers or (),
        covers=covers,
        is_looked=offers is not None and len(covers) == len(tasks),
    )
    return _Weighed(bag, tasks, known, keys, offers is not None)


def _pieces(
    view: BagView, stash: StashByMaterial, offers: Sequence[StashOffer], tasks: Sequence[ScrapTask]
) -> Iterator[TodayPiece]:
    for material_id in dict.fromkeys(cut.material_id for cut in view.answer.cuts):
        own = stash.get(material_id, ())
        if not own:
            continue
        material, extents = view.shelf.materials[material_id], [_extent(piece) for piece in own]
        ready = dict(ready_of(view.answer, material))
        offer = next((one for one in offers if one.material.id == material_id), None)
        task = next((one for one in tasks if one.material.id == material_id), None)
        for cut in _each_once(cut for cut in view.answer.cuts if cut.material_id == material_id):
            wanted = cut.count * view.answer.bag.run_count - ready.get(cut.id, 0)
            if wanted > 0:
                whole = _whole(offer, cut) if offer else ()
                yield TodayPiece(
                    cut=cut,
                    material=material,
                    wanted=wanted,
                    whole=whole,
                    covered=_covered(task, cut) if task and not whole else (),
                    may_hold=min(_may_hold(cut, extents), wanted),
                    may_be_covered=task is not None and may_be_covered(task, cut),
                )


def _each_once(cuts: Iterable[CutPiece]) -> Iterator[CutPiece]:
    seen = set[str]()
    for cut in cuts:
        if cut.id not in seen:
            seen.add(cut.id)
            yield cut


def _whole(offer: StashOffer, cut: CutPiece) -> tuple[tuple[StashPiece, int], ...]:
    counts = ((laid.piece, Counter(place.id for place in laid.placements)[cut.id]) for laid in offer.laid)
    return tuple((piece, count) for piece, count in counts if count)


def _covered(task: ScrapTask, cut: CutPiece) -> tuple[CoveredTemplate, ...]:
    known = task.known
    return tuple(one for one in known.done if one.cut.id == cut.id) if known else ()


def may_hold(cut: CutPiece, own: Sequence[StashPiece]) -> int:
    """No more copies of a shape than this can come whole out of these pieces: by area, and by how far each reaches.

    A shape with two points further apart than the corners of a piece's box can never lie on it.
    """
    return _may_hold(cut, [_extent(piece) for piece in own])


def _may_hold(cut: CutPiece, extents: Sequence[_Extent]) -> int:
    area, reach = cut.region.area_mm2, _least_reach_mm(cut)
    return sum(int(area_mm2 / area + 1e-9) for reach_mm, area_mm2 in extents if reach_mm >= reach)


_Extent = tuple[float, float]
"""How far a piece of the stash reaches at most, in mm, and the area of it that can be cut from, in mm2."""


@lru_cache(4_000)
def _extent(piece: StashPiece) -> _Extent:
    return _reach_mm(piece.region.bounds), piece.sound.area_mm2


def _reach_mm(bounds: tuple[float, float, float, float]) -> float:
    return math.hypot(bounds[2] - bounds[0], bounds[3] - bounds[1])


def _least_reach_mm(cut: CutPiece) -> float:
    """The longer side of its box: two of its points lie at least so far apart."""
    low_x, low_y, high_x, high_y = cut.region.bounds
    return max(high_x - low_x, high_y - low_y)


def may_be_covered(task: ScrapTask, cut: CutPiece) -> bool:
    """Whether the largest scraps that may lie under one piece have the area together that is enough of it."""
    areas = [scrap.region.area_mm2 for scrap in task.request.scraps[: task.request.max_scraps]]
    needs = (one.template.need.area_mm2 for one in task.asked if one.cut.id == cut.id)
    return any(math.fsum(areas) >= task.request.enough_share * need_mm2 for need_mm2 in needs)


def start_today(searches: Searches, *, settings: CoverSettings | None = None) -> Search:
    """Look closely at every bag, one after another, with news and a stop; what was found is remembered."""

    def work(search: Search) -> None:
        until_done(search, lambda: _look(searches.desk, search, settings))

    return searches.start_work(work, "", SearchOf.TODAY)


def _is_stopped(search: Search) -> bool:
    return search.is_stopped  # another thread says so at any moment


def _look(desk: Desk, search: Search, settings: CoverSettings | None) -> int:
    lines, covered = bag_lines(desk), 0
    for number, line in enumerate(lines):
        if _is_stopped(search):
            break
        view = view_bag(desk, line.id)
        search.tell(Progress(line.name, number / len(lines), 0.0, is_done=False, covered=covered))
        stash_for_bag(desk, view)
        for task in scrap_tasks(desk, view):
            if _is_stopped(search):
                break
            budget = settings or CoverSettings(seconds=min(view.answer.bag.scraps.seconds, LONGEST_SECONDS))
            covered += look_at_one(search, task, Place(number, len(lines), covered), budget)
        stash_today(desk, start=number, most=1)  # so that it is known, however much is found after it
    return covered
