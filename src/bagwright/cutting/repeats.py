"""Printed cloth: anchors on the motif, and pieces across whose seams the print goes on, in step.

The first answer lays boxes padded to whole repeats, so that all of them keep step with the print; then outlines are
placed one by one, stepped to the repeat, and the room between them is used.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from random import Random

from bagwright.cutting._budget import Budget
from bagwright.cutting.best import Best
from bagwright.cutting.filling import RULES, Box, Filling
from bagwright.cutting.ordering import OrderSearch
from bagwright.cutting.placing import (
    AT_ONCE_COPIES,
    PLACED_AT_MOST,
    Kind,
    Laying,
    Motifs,
    Strip,
    search_orders,
    tidied,
)
from bagwright.cutting.plain import Wishes
from bagwright.cutting.print_groups import PrintSpot, print_spots
from bagwright.cutting.requests import no_room, with_half_gap
from bagwright.cutting.shapes import Shape, different, shape_of
from bagwright.cutting.steps import Steps
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.geometry.curves import Affine, Point
from bagwright.model.layout import Layout, LayPiece, LayRequest
from bagwright.model.piece import Mirror
from bagwright.model.prints import Repeat

_TOUCH = 1e-9


def lay_on_repeat(request: LayRequest, wishes: Wishes) -> Layout:
    """The shortest layout found on printed cloth. Raises `FaultyInput` if an anchor can't fall on the print."""
    repeat = request.repeat
    if repeat is None:
        raise BrokenPromise("no repeat was given")
    return _OnRepeat(request, repeat, wishes).run()


@dataclass(frozen=True, slots=True)
class _Padded:
    """A shape in a box of whole repeats: which shape, the box, and how far in it begins."""

    shape: int
    box: Box
    pad: Point


class _OnRepeat:
    """One call of `lay_on_repeat`. Strip coordinates: the cloth with half the gap on every side, from (0, 0)."""

    def __init__(self, request: LayRequest, repeat: Repeat, wishes: Wishes) -> None:
        self.request, self.repeat, self.wishes = request, repeat, wishes
        self.half = request.gap_mm / 2
        self.high = request.width_mm + request.gap_mm
        self.best = Best(request, wishes.settings, wishes.on_better)
        self.budget = Budget(wishes.settings)
        self.shapes: list[Shape] = []
        self.kinds: list[Kind] = []
        self.padded: list[list[_Padded]] = []
        spots = print_spots(request)
        for number, piece in enumerate(request.pieces):
            for mirrors, count in _mirrors(piece):
                spot = spots.get((piece.id, mirrors[0])) if len(mirrors) == 1 else None
                self._add(number, piece, mirrors, count, spot)

    def run(self) -> Layout:
        """First answer, search, best answer."""
        boxes = [[padded.box for padded in ways] for ways in self.padded]
        counts = [kind.count for kind in self.kinds]
        runs = [OrderSearch(boxes, counts, width_mm=self._fill_high(), rule=rule) for rule in RULES]
        first = min(runs, key=lambda run: run.best.length_mm)
        self._offer_filling(first.best)
        if self.best.layout is None:
            raise BrokenPromise("the first fill did not pass the check")
        if sum(counts) <= AT_ONCE_COPIES or (sum(counts) <= PLACED_AT_MOST and not self._over()):
            self._place_outlines()
        elif not self._over():
            self._try_orders(first)
        return self.best.layout

    def _over(self) -> bool:
        return self.budget.share_used() >= 1 or self.wishes.should_stop()

    def _place_outlines(self) -> None:
        most = 2 * self.best.length_mm + sum(
            kind.count * max(self.shapes[way].size[0] for way in kind.ways) for kind in self.kinds
        )
        strip = Strip(self.high, self.shapes, self.kinds, most_mm=most)
        seed = self.wishes.settings.seed
        search_orders(strip, self.budget, seed=seed, stop=self.wishes.should_stop, offer=self._offer_laying)

    def _try_orders(self, run: OrderSearch) -> None:
        rng = Random(self.wishes.settings.seed)
        while not self._over():
            if run.advance(rng, max(0.0, 1 - self.budget.share_used())):
                self._offer_filling(run.best)
            self.budget.trials += 1

    def _offer_filling(self, filling: Filling) -> None:
        spots = []
        for kind, way, x, y in filling.spots:
            padded = self.padded[kind][way]
            member = self.shapes[padded.shape].member
            spots.append(member.laid_at(x + padded.pad[0] - self.half, y + padded.pad[1] - self.half))
        self.best.offer(spots, found_by="first fill" if self.best.layout is None else "order search")

    def _offer_laying(self, laying: Laying) -> None:
        spots = [self.shapes[way].member.laid_at(x - self.half, y - self.half) for way, (x, y) in laying.spots]
        any(self.best.offer(tidy, found_by="placing outlines") for tidy in tidied(spots))

    def _add(self, number: int, asked: LayPiece, mirrors: tuple[bool, ...], count: int, spot: PrintSpot | None) -> None:
        piece = replace(asked, turns_deg=(spot.turn_deg,), anchor=spot.anchor) if spot else asked
        group = spot.group if spot else ""
        grown = with_half_gap(piece.region, self.request.gap_mm)
        turns = (0.0, 90.0) if piece.turns_deg is None else piece.turns_deg
        moves = [Affine(turn, mirrors=mirrored) for mirrored in mirrors for turn in turns]
        shapes = different(shape_of(grown, piece.id, move, anchor=piece.anchor) for move in moves)
        if all(shape.size[1] > self.high * (1 + _TOUCH) for shape in shapes):
            least = min(shape.size[1] for shape in shapes) - self.request.gap_mm
            raise no_room(piece, least_mm=least, width_mm=self.request.width_mm)
        ways, padded = [], []
        for shape in shapes:
            boxes = list(self._padded(len(self.shapes), shape))
            if boxes:
                ways.append(len(self.shapes))
                padded += boxes
                self.shapes.append(shape)
        if not ways:
            raise FaultyInput([_off_the_cloth(number, piece, is_matched=spot is not None)])
        steps = partial(_steps, self.repeat, group, self.half) if piece.anchor else None
        area = piece.region.area_mm2
        self.kinds.append(Kind(count=count, ways=tuple(ways), area_mm2=area, group=group, steps=steps))
        self.padded.append(padded)

    def _rows(self) -> int:
        """After how many rows the print stands again as in the first."""
        return 2 if self.repeat.drop_share else 1

    def _fill_high(self) -> float:
        """The height of the cloth in whole repeats; all of it if that is none."""
        step = self._rows() * self.repeat.across_mm
        return step * math.floor(self.high / step + _TOUCH) if 0 < step <= self.high else self.high

    def _padded(self, number: int, shape: Shape) -> Iterator[_Padded]:
        """The shape in boxes of whole repeats that fit the cloth; none if its anchor would have to lie off it."""
        repeat, anchor, high = self.repeat, shape.anchor, self._fill_high()
        rows = range(self._rows()) if anchor and repeat.across_mm else range(1)
        first_x, first_y = _first_motif(repeat, self.half)
        for row in rows:
            pad_x = pad_y = 0.0
            if anchor and repeat.across_mm:
                row += math.ceil((anchor[1] - first_y) / repeat.across_mm - _TOUCH)
                pad_y = max(0.0, first_y - anchor[1] + row * repeat.across_mm)
            if anchor and repeat.along_mm:
                pad_x = (first_x - anchor[0] + row * repeat.drop_share * repeat.along_mm) % repeat.along_mm
            if pad_y + shape.size[1] <= self.high * (1 + _TOUCH):
                length = _whole(pad_x + shape.size[0], repeat.along_mm)
                height = _whole(pad_y + shape.size[1], self._rows() * repeat.across_mm)
                yield _Padded(number, (length, min(height, high)), (pad_x, pad_y))


def _whole(size_mm: float, step_mm: float) -> float:
    return step_mm * math.ceil(size_mm / step_mm - _TOUCH) if step_mm else size_mm


def _mirrors(piece: LayPiece) -> list[tuple[tuple[bool, ...], int]]:
    if piece.mirror is Mirror.PAIRS:
        return [((False,), piece.count // 2), ((True,), piece.count // 2)]
    return [((False, True) if piece.mirror is Mirror.EITHER else (False,), piece.count)]


def _first_motif(repeat: Repeat, half: float) -> Point:
    """In strip coordinates."""
    return half + repeat.first_along_mm, half + repeat.first_across_mm


def _steps(repeat: Repeat, group: str, half: float, shape: Shape, motifs: Motifs) -> tuple[Steps | None, Steps | None]:
    """Where the lowest corner of a shape with an anchor may lie, in strip coordinates."""
    motif = motifs.get(group) if group else _first_motif(repeat, half)
    if motif is None or shape.anchor is None:
        return None, None
    x, y = motif[0] - shape.anchor[0], motif[1] - shape.anchor[1]
    drop = repeat.drop_share * repeat.along_mm
    along = Steps(x, repeat.along_mm, drop) if repeat.along_mm else None
    return along, Steps(y, repeat.across_mm) if repeat.across_mm else None


def _off_the_cloth(number: int, piece: LayPiece, *, is_matched: bool) -> Problem:
    if is_matched:
        return Problem(
            place=f"pieces[{number}].goes_on",
            value=piece.id,
            what="leaves the cloth wherever its print goes on in the pieces it is joined with",
            allowed="pieces that all find room across the cloth on one print",
            remedy="Take a wider cloth, or leave one of its seams unmatched.",
        )
    return Problem(
        place=f"pieces[{number}].anchor",
        value=piece.id,
        what="leaves the cloth wherever its anchor falls on a motif",
        allowed="an anchor that some motif can reach",
        remedy="Move the anchor, take a wider cloth, or match the piece with another instead of the motif.",
    )
