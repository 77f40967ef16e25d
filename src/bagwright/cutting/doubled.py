"""Cloth folded selvedge to selvedge: both layers cut at once, some pieces on the fold, odd copies where it is opened.

One layer is laid like a cloth of half the width; the other is its mirror image. The fold is the low side of the layer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from bagwright.cutting._budget import Budget
from bagwright.cutting.best import Best
from bagwright.cutting.boxes import Member
from bagwright.cutting.check import used_length_mm
from bagwright.cutting.placing import AT_ONCE_COPIES, PLACED_AT_MOST, Kind, Laying, Strip, search_orders, tidied
from bagwright.cutting.plain import Wishes, lay_plain
from bagwright.cutting.requests import no_room, with_half_gap
from bagwright.cutting.shapes import Shape, different, shape_of
from bagwright.cutting.steps import Steps
from bagwright.cutting.twins import Shares, Twin, for_one_layer, share_out, turns_on_fold, twin_of
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings, Placement
from bagwright.model.piece import Mirror

_SINGLE_SHARE = 0.25
_MOVED_AT_MOST = 3
_AT_ONCE = LaySettings(seconds=0)


def lay_doubled(request: LayRequest, wishes: Wishes) -> Layout:
    """The shortest layout found on cloth laid double. Raises `FaultyInput` if a piece has no place on it."""
    return _Doubled(request, wishes).run()


@dataclass(frozen=True, slots=True)
class _Half:
    """What is laid on one layer: the row on the fold in its ways, and what lies anywhere."""

    on_fold: tuple[tuple[LayPiece, tuple[Shape, ...]], ...]
    paired: tuple[LayPiece, ...]
    single: tuple[LayPiece, ...]


class _Doubled:
    """One call of `lay_doubled`. Placements "in the layer" have the fold at y = 0."""

    def __init__(self, request: LayRequest, wishes: Wishes) -> None:
        self.request, self.wishes = request, wishes
        self.fold_mm = request.width_mm / 2
        self.layer_mm = self.fold_mm - request.gap_mm / 2
        self.pieces = {piece.id: piece for piece in request.pieces}
        self.best = Best(request, wishes.settings, wishes.on_better)
        self.budget = Budget(wishes.settings)
        self.twins: dict[tuple[str, float, bool], Twin | None] = {}
        self.half = self._shared_out()
        self.singles: tuple[Placement, ...] = ()

    def run(self) -> Layout:
        """First answer, search, best answer."""
        self._lay_at_once()
        if self.best.layout is None:
            raise BrokenPromise("the first fill did not pass the check")
        self._improve()
        return self.best.layout

    def _lay_at_once(self) -> None:
        """The first answer; then kinds that come in twos are cut single as well, one by one, as far as that pays."""
        self._lay_single(Wishes(settings=_AT_ONCE))
        self._offer(self._row_and_rest(_AT_ONCE), "first fill")
        copies = sum(piece.count for piece in self.request.pieces)
        if not self.half.single or (copies > AT_ONCE_COPIES and self._is_over()):
            return
        kinds = sorted(self.half.paired, key=lambda piece: -piece.region.area_mm2 * piece.count)
        for piece in kinds[:_MOVED_AT_MOST]:
            if self.wishes.should_stop():
                return
            before, half, singles = self.best.length_mm, self.half, self.singles
            self.half = _moved_to_single(half, self.pieces[piece.id], piece)
            self._lay_single(Wishes(settings=_AT_ONCE))
            self._offer(self._row_and_rest(_AT_ONCE), "first fill")
            if self.best.length_mm >= before:
                self.half, self.singles = half, singles

    def _is_over(self) -> bool:
        return self.budget.share_used() >= 1 or self.wishes.should_stop()

    def _lay_single(self, wishes: Wishes) -> None:
        self.singles = lay_plain(self._opened(), wishes).placements if self.half.single else ()

    def _improve(self) -> None:
        """More time for what lies single; then outlines are placed beside the fold, or one layer is searched."""
        settings, is_over = self.wishes.settings, self._is_over()
        if self.half.single and not is_over:
            share = replace(settings, seconds=settings.seconds * _SINGLE_SHARE)
            self._lay_single(replace(self.wishes, settings=share, on_better=None))
            self._offer(self._row_and_rest(_AT_ONCE), "search")
        copies = sum(piece.count for piece in (*(piece for piece, _ in self.half.on_fold), *self.half.paired))
        if self.half.on_fold and (copies <= AT_ONCE_COPIES or (copies <= PLACED_AT_MOST and not is_over)):
            self._place_outlines()
        elif self.half.paired and not is_over:
            left = replace(settings, seconds=max(0.0, settings.seconds - self.budget.seconds()))
            self._offer(self._row_and_rest(left), "search in one layer")

    def _shared_out(self) -> _Half:
        on_fold, paired, single, problems = [], [], [], []
        for number, piece in enumerate(self.request.pieces):
            shares: Shares = share_out(piece, self.layer_mm)
            if piece.on_fold:
                shapes = self._on_fold(piece)
                problems += [] if shapes else [_no_middle(number, piece)]
                problems += [_no_pairs(number, piece)] if piece.mirror is Mirror.PAIRS else []
                on_fold.append((piece, shapes))
            if shares.pairs:
                paired.append(for_one_layer(piece, shares))
            if shares.single:
                single.append(replace(piece, count=shares.single))
        if problems:
            raise FaultyInput(problems)
        return _Half(tuple(on_fold), tuple(paired), tuple(single))

    def _on_fold(self, piece: LayPiece) -> tuple[Shape, ...]:
        """The upper halves of a piece whose middle lies on the fold, lowest first; those that fit."""
        shapes: list[Shape] = []
        highs: list[float] = []
        for turn in turns_on_fold(piece):
            whole = with_half_gap(piece.region, self.request.gap_mm).moved(Affine(turn))
            low_x, low_y, high_x, high_y = whole.bounds
            middle = (low_y + high_y) / 2
            half = whole.shared_with(Region.rectangle((low_x, middle), (high_x, high_y + 1)))
            shape = shape_of(half, piece.id, Affine())
            highs.append(shape.size[1])
            shapes.append(replace(shape, member=Member(piece.id, turn, False, (-low_x, -middle))))
        room = self.fold_mm + self.request.gap_mm / 2
        fitting = [shape for shape in shapes if shape.size[1] <= room * (1 + 1e-9)]
        if shapes and not fitting:
            raise no_room(piece, least_mm=2 * min(highs) - self.request.gap_mm, width_mm=self.request.width_mm)
        return tuple(different(fitting))

    def _opened(self) -> LayRequest:
        """What is cut where the cloth is opened."""
        return replace(self.request, pieces=self.half.single, is_doubled=False)

    def _row_and_rest(self, settings: LaySettings) -> list[Placement]:
        """Pieces on the fold in a row, then all others; in the layer."""
        row, end = [], 0.0
        for piece, shapes in self.half.on_fold:
            shape = min(shapes, key=lambda shape: shape.size[0])
            for _ in range(piece.count):
                row.append(shape.member.laid_at(end - self.request.gap_mm / 2, 0.0))
                end += shape.size[0]
        if not self.half.paired:
            return row
        layer = LayRequest(width_mm=self.layer_mm, gap_mm=self.request.gap_mm, pieces=self.half.paired)

        def shown(found: Layout) -> list[Placement]:
            up = self.request.gap_mm / 2
            return row + [replace(p, x_mm=p.x_mm + end, y_mm=p.y_mm + up) for p in found.placements]

        def on_better(found: Layout) -> None:
            self._offer(shown(found), "search in one layer")

        heard = on_better if settings.seconds > 0 or settings.iterations else None
        return shown(lay_plain(layer, replace(self.wishes, settings=settings, on_better=heard)))

    def _place_outlines(self) -> None:
        gap = self.request.gap_mm
        shapes: list[Shape] = []
        kinds: list[Kind] = []
        for piece, halves in self.half.on_fold:
            area = piece.region.area_mm2 / 2
            kinds.append(_kind(shapes, halves, piece.count, area, is_on_fold=True))
        for piece in self.half.paired:
            grown = with_half_gap(piece.region, gap)
            mirrors = (False,) if piece.mirror is Mirror.NO else (False, True)
            turns = (0.0, 90.0) if piece.turns_deg is None else piece.turns_deg
            ways = different(shape_of(grown, piece.id, Affine(t, mirrors=m)) for m in mirrors for t in turns)
            fitting = [way for way in ways if way.size[1] <= self.fold_mm + gap / 2 + 1e-6]
            if not fitting:
                return
            kinds.append(_kind(shapes, fitting, piece.count, piece.region.area_mm2, is_on_fold=False))
        most = sum(kind.count * max(shapes[way].size[0] for way in kind.ways) for kind in kinds) + 1
        strip = Strip(self.fold_mm + gap / 2, shapes, kinds, most_mm=most)
        offer = partial(self._offer_laying, shapes)
        search_orders(strip, self.budget, seed=self.wishes.settings.seed, stop=self.wishes.should_stop, offer=offer)

    def _twin(self, piece: LayPiece, place: Placement) -> Twin | None:
        key = (place.id, place.turn_deg, place.mirrored)
        if key not in self.twins:
            self.twins[key] = twin_of(piece, place.turn_deg, mirrored=place.mirrored)
        return self.twins[key]

    def _offer_laying(self, shapes: Sequence[Shape], laying: Laying) -> None:
        half = self.request.gap_mm / 2
        spots = [shapes[way].member.laid_at(x - half, y) for way, (x, y) in laying.spots]
        any(self._offer(tidy, "placing outlines") for tidy in tidied(spots))

    def _offer(self, layer: Sequence[Placement], found_by: str) -> bool:
        """Offer what lies in one layer, with its image in the other and the single copies behind."""
        opened: list[Placement] = []
        for place in layer:
            upper, piece = replace(place, y_mm=place.y_mm + self.fold_mm), self.pieces[place.id]
            opened.append(upper)
            if piece.on_fold:
                continue
            twin = self._twin(piece, place)
            if twin is None:
                return False
            opened.append(twin.of(upper, self.fold_mm))
        end = used_length_mm(self.request, opened)
        behind = end + self.request.gap_mm if opened else 0.0
        both = [*opened, *(replace(p, x_mm=p.x_mm + behind) for p in self.singles)]
        return self.best.offer(both, found_by=found_by, doubled_to_mm=end)


def _moved_to_single(half: _Half, asked: LayPiece, paired: LayPiece) -> _Half:
    """With all copies of one piece cut where the cloth is opened."""
    single = [piece for piece in half.single if piece.id != asked.id]
    paired_left = tuple(piece for piece in half.paired if piece is not paired)
    return replace(half, paired=paired_left, single=(*single, asked))


def _kind(shapes: list[Shape], ways: Sequence[Shape], count: int, area_mm2: float, *, is_on_fold: bool) -> Kind:
    numbers = tuple(range(len(shapes), len(shapes) + len(ways)))
    shapes.extend(ways)
    steps = (lambda shape, motifs: (None, Steps(0.0))) if is_on_fold else None
    return Kind(count=count, ways=numbers, area_mm2=area_mm2, steps=steps)


def _no_pairs(number: int, piece: LayPiece) -> Problem:
    return Problem(
        place=f"pieces[{number}].mirror",
        value="pairs",
        what="makes no sense on the fold, where a piece is its own mirror image",
        allowed='"no" or "either"',
        remedy='Use "no".',
    )


def _no_middle(number: int, piece: LayPiece) -> Problem:
    return Problem(
        place=f"pieces[{number}].on_fold",
        value=piece.id,
        what="has no middle line along the cloth that could lie on the fold",
        allowed="an outline whose halves are mirror images across the lengthwise grain",
        remedy="Give the whole, unfolded outline with the fold along the grain, or lay the piece off the fold.",
    )
