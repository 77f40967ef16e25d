"""What of a bag's inner layers can be covered from the scraps in the stash today, and whether it is worth it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from bagwright.costing.scrap_worth import ScrapWorth, price_of_m2, worth_of_scraps
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Affine, Point
from bagwright.model.bag import Workroom
from bagwright.model.cover import (
    Covers,
    CoverScrap,
    CoverSettings,
    CoversRequest,
    CoverTemplate,
    LeftTemplate,
    TemplateCover,
)
from bagwright.model.material import Extent, Material, MaterialKind
from bagwright.model.piece import CutPiece, Mirror, Piece
from bagwright.model.stash import StashPiece
from bagwright.model.stock import StockPiece
from bagwright.piecing.several import cover_templates
from bagwright.store.stash import load_stash
from bagwright.workflows.answer import ready_of
from bagwright.workflows.desk import BagView, Desk, Remembered
from bagwright.workflows.stash_first import stock_piece

_PIECED = frozenset(
    {
        MaterialKind.WOVEN_INTERFACING,
        MaterialKind.NONWOVEN_INTERFACING,
        MaterialKind.FLEECE,
        MaterialKind.FELT,
        MaterialKind.FOAM,
    }
)
_MOST_SCRAPS = 60
_SMOOTHED_MM = 0.4
"""Outlines read from a photo wander by so much; cut inside of that, edges meet edges."""
_MIRRORED = " (mirrored)"
_DOT_MM = 1.0
_FOUND = Remembered[str, "ScrapCovers"](30)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverWishes:
    """What is enough: share of a template, widest gap, how many scraps; whether the seam allowance is covered too."""

    enough_share: float = 0.97
    widest_gap_mm: float = 6.0
    max_scraps: int = 5
    with_allowance: bool = False
    settings: CoverSettings = field(default_factory=lambda: CoverSettings(seconds=3.0))


@dataclass(frozen=True, slots=True)
class AskedTemplate:
    """One piece of a layer as a template: the cut it stands for."""

    template: CoverTemplate
    cut: CutPiece


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


def pieceable(view: BagView) -> tuple[Material, ...]:
    """Materials of the bag that lie inside its layers and may be pieced: interfacing, fleece, felt, foam."""
    ids = dict.fromkeys(cut.material_id for cut in view.answer.cuts if _is_inner(view, cut))
    return tuple(material for one in ids if _may_be_pieced(material := view.shelf.materials[one]))


def _is_inner(view: BagView, cut: CutPiece) -> bool:
    """Whether the material is not what its role shows."""
    layers = view.answer.bag.stacks.get(view.answer.pattern.piece(cut.piece_id).role, ())
    return bool(layers) and layers[0].material_id != cut.material_id


def _may_be_pieced(material: Material) -> bool:
    return material.kind in _PIECED and not (material.directional or material.repeat_along_mm)


def asked_templates(view: BagView, material: Material, wishes: CoverWishes) -> tuple[AskedTemplate, ...]:
    """What is still to be cut of that material for the run, grain along x; of mirrored pairs, each side by itself."""
    ready, found = dict(ready_of(view.answer, material)), list[AskedTemplate]()
    for cut in view.answer.cuts:
        if cut.material_id == material.id and _is_inner(view, cut):
            wanted = cut.count * view.answer.bag.run_count
            taken = min(ready.get(cut.id, 0), wanted)
            ready[cut.id] = ready.get(cut.id, 0) - taken
            found += _templates(view, cut, wanted - taken, wishes)
    return tuple(_counted_once(found))


def _counted_once(found: Sequence[AskedTemplate]) -> Iterator[AskedTemplate]:
    """Two layers of one material on one piece are one template with twice the copies."""
    counts: dict[str, int] = {}
    for one in found:
        counts[one.template.id] = counts.get(one.template.id, 0) + one.template.count
    first = {one.template.id: one for one in reversed(found)}
    for name, count in counts.items():
        yield AskedTemplate(replace(first[name].template, count=count), first[name].cut)


def _templates(view: BagView, cut: CutPiece, count: int, wishes: CoverWishes) -> Iterator[AskedTemplate]:
    piece = view.answer.pattern.piece(cut.piece_id)
    is_net = cut.extent is Extent.WHOLE and not wishes.with_allowance
    upright = Affine(-cut.grain_deg)
    need = (piece.region(Extent.NET) if is_net else cut.region).moved(upright)
    lines = [tuple(map(upright.apply, line)) for line in keep_off_lines(piece)]
    paired = count // 2 if cut.mirror is Mirror.PAIRS else 0
    if count - paired:
        yield AskedTemplate(
            CoverTemplate(id=cut.id, need=need, count=count - paired, keep_off=tuple(lines)),
            cut,
        )
    if paired:
        over = Affine(mirrors=True)
        lines = [tuple(map(over.apply, line)) for line in lines]
        yield AskedTemplate(
            CoverTemplate(id=cut.id + _MIRRORED, need=need.moved(over), count=paired, keep_off=tuple(lines)), cut
        )


def keep_off_lines(piece: Piece) -> tuple[tuple[Point, ...], ...]:
    """Where no join should run: bends, lines for straps, pockets and the like, and drill marks; on both halves."""
    lines = [(bend.start, bend.end) for bend in piece.bends if bend.angle_deg]
    lines += [(line.start, line.end) for line in piece.lines]
    for mark in piece.drill_marks:
        x, y = mark.at
        lines.append(((x - _DOT_MM, y), (x + _DOT_MM, y)))
    if piece.fold_edge is None:
        return tuple(dict.fromkeys(lines))
    fold = piece.net.edge(piece.fold_edge)
    over = [(_over(a, fold.start, fold.end), _over(b, fold.start, fold.end)) for a, b in lines]
    return tuple(dict.fromkeys((*lines, *over)))


def _over(point: Point, start: Point, end: Point) -> Point:
    """The point on the other side of a fold."""
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    away_x, away_y = point[0] - start[0], point[1] - start[1]
    share = (away_x * along_x + away_y * along_y) / (along_x**2 + along_y**2)
    return 2 * (start[0] + share * along_x) - point[0], 2 * (start[1] + share * along_y) - point[1]


def covers_for_bag(
    desk: Desk, view: BagView, wishes: CoverWishes, *, should_stop: Callable[[], bool] | None = None
) -> tuple[ScrapCovers, ...]:
    """For each inner material of which the stash holds something, what of it can be covered; checked."""
    with desk.store() as store:
        stash = [kept.value for kept in load_stash(store)]
    found = []
    for material in pieceable(view):
        own = [piece for piece in stash if piece.material_id == material.id]
        asked = asked_templates(view, material, wishes) if own else ()
        if asked:
            found.append(_covered(view, material, asked, (own, wishes), should_stop))
    return tuple(one for one in found if one)


def covers_request(
    material: Material, asked: Sequence[AskedTemplate], own: Sequence[StashPiece], wishes: CoverWishes
) -> tuple[CoversRequest, dict[str, StockPiece]]:
    """What is asked of the scraps, and each as it can be used: sound, right side up, inside of its uncertain edge."""
    stock, scraps = {}, []
    for piece in own:
        one = stock_piece(piece, has_grain=material.kind.has_grain)
        scrap = _scrap(one, piece) if one else None
        if one and scrap and (scrap.grain_deg is not None or not material.kind.has_grain):
            stock[piece.id] = one
            scraps.append(scrap)
    scraps.sort(key=lambda scrap: -scrap.region.area_mm2)
    request = CoversRequest(
        templates=tuple(one.template for one in asked),
        scraps=tuple(scraps[:_MOST_SCRAPS]),
        keeps_grain=material.kind.has_grain,
        max_scraps=wishes.max_scraps,
        enough_share=wishes.enough_share,
        widest_gap_mm=wishes.widest_gap_mm,
    )
    return request, stock


def _scrap(stock: StockPiece, piece: StashPiece) -> CoverScrap | None:
    sound = stock.region.minus_all(stock.flaws)
    if piece.error_mm:
        sound = sound.smoothed_inwards(_SMOOTHED_MM)
    largest = max(sound.parts(), key=lambda part: part.area_mm2, default=None)
    return CoverScrap(id=piece.id, region=largest, grain_deg=stock.grain_deg) if largest else None


def _covered(
    view: BagView,
    material: Material,
    asked: Sequence[AskedTemplate],
    given: tuple[Sequence[StashPiece], CoverWishes],
    should_stop: Callable[[], bool] | None,
) -> ScrapCovers | None:
    own, wishes = given
    request, stock = covers_request(material, asked, own, wishes)
    if not request.scraps:
        return None
    key = repr((request, [one.region.shape.wkb_hex for one in request.scraps], wishes, view.shelf.offers, own))
    key += repr([one.need.shape.wkb_hex for one in request.templates]) + repr(view.workroom)
    key = hashlib.sha256(key.encode()).hexdigest()
    known = _FOUND.get(key)
    if known:
        return known
    covers = cover_templates(request, settings=wishes.settings, should_stop=should_stop)
    done, problems = _with_worth(view, material, asked, covers)
    names = {one.template.id: _name(one) for one in asked}
    pieces = {piece.id: piece for piece in own}
    found = ScrapCovers(
        material=material,
        request=request,
        covers=covers,
        done=done,
        names=names,
        stock=stock,
        pieces=pieces,
        problems=problems,
    )
    return _FOUND.put(key, found)


def _name(asked: AskedTemplate) -> str:
    return asked.cut.name + (_MIRRORED if asked.template.id.endswith(_MIRRORED) else "")


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


def ridge_words(view: BagView, covers: ScrapCovers) -> str:
    """How high a ridge is where two scraps overlap; empty if the thickness is not known."""
    thickness = covers.material.thickness_mm
    if thickness is None or all(len(one.covered.cover.placements) == 1 for one in covers.done):
        return ""
    one, two = f"{thickness.value:.2g} mm", f"{2 * thickness.value:.2g} mm"
    name = covers.material.name
    return (
        f"Butt the scraps, never lap them: where one lies on another, {name} is {two} thick instead of {one}, and that "
        "step shows through the cloth."
    )


def told_minutes(worth: ScrapWorth, workroom: Workroom) -> str:
    """ "9 minutes" in words."""
    whole = max(round(worth.minutes), 1)
    return "1 minute" if whole == 1 else f"{whole} minutes"
