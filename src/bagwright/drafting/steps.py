"""The order of work: steps made of lines of stitching, turned into numbered seams."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import KW_ONLY, dataclass, replace

from bagwright.errors import BrokenPromise
from bagwright.model.pattern import Handwork, Seam, SeamKind, SeamSide, Stage
from bagwright.model.piece import Piece

SHORTEST_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Caught:
    """A side that is caught in a line of stitching between `start_mm` and `end_mm` of it, `layers` times over.

    `turned`: that stretch is walked against the line, so that a folded edge starts where its fold pattern starts.
    """

    start_mm: float
    end_mm: float
    side: SeamSide
    layers: int = 1
    turned: bool = False

    def between(self, start_mm: float, end_mm: float, *, stays_folded: bool) -> tuple[SeamSide, ...]:
        """What of it lies between two places of the line, walked as the line is.

        Part of a folded side is told layer by layer, as is a whole one that does not stay folded.
        """
        if self.turned:
            start, end = self.end_mm - end_mm, self.end_mm - start_mm
            sides = tuple(_backwards(side) for side in _slices(self.side, start, end, stays_folded=stays_folded))
        else:
            start, end = start_mm - self.start_mm, end_mm - self.start_mm
            sides = _slices(self.side, start, end, stays_folded=stays_folded)
        return sides * self.layers


@dataclass(frozen=True, slots=True)
class StitchLine:
    """One line of stitching: the sides that run all along it, and what is caught in parts of it."""

    through: tuple[SeamSide, ...]
    caught: tuple[Caught, ...] = ()

    @property
    def length_mm(self) -> float:
        """Finished length."""
        return self.through[0].sewn_length_mm

    def part(self, start_mm: float, end_mm: float) -> StitchLine:
        """What of it lies between two distances from its start, with what is caught there."""
        caught = [c for c in self.caught if c.start_mm < end_mm - SHORTEST_MM and c.end_mm > start_mm + SHORTEST_MM]
        if any(c.start_mm < start_mm - SHORTEST_MM or c.end_mm > end_mm + SHORTEST_MM for c in caught):
            raise BrokenPromise(
                f"a line of stitching would be parted at {start_mm:.2f} or {end_mm:.2f} mm, in what it catches"
            )
        return StitchLine(
            tuple(_slice(side, start_mm, end_mm) for side in self.through),
            tuple(replace(c, start_mm=c.start_mm - start_mm, end_mm=c.end_mm - start_mm) for c in caught),
        )

    def stretches(self) -> Iterator[tuple[SeamSide, ...]]:
        """The sides of each stretch in which the same layers lie together."""
        if not self.caught:
            yield self.through
            return
        cuts = sorted({0.0, self.length_mm, *(at for c in self.caught for at in (c.start_mm, c.end_mm))})
        for start, end in itertools.pairwise(cuts):
            if end - start > SHORTEST_MM:
                yield self._stretch(start, end)

    def _stretch(self, start_mm: float, end_mm: float) -> tuple[SeamSide, ...]:
        """Walked against the line if a folded side starts at its end; folded sides that do not are told by layers."""
        middle = (start_mm + end_mm) / 2
        met = [caught for caught in self.caught if caught.start_mm < middle < caught.end_mm]
        turned = any(caught.turned for caught in met)
        sides = [_slice(side, start_mm, end_mm) for side in self.through]
        for caught in met:
            sides += caught.between(start_mm, end_mm, stays_folded=caught.turned == turned)
        return tuple(_backwards(side) for side in sides) if turned else tuple(sides)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of sewing: all its lines are sewn in one go and share a place in the order of work."""

    key: str
    name: str
    kind: SeamKind
    lines: tuple[StitchLine, ...]
    rows: int = 1
    _: KW_ONLY
    stage: Stage

    def seams(self, order: int) -> Iterator[Seam]:
        """One seam for each stretch; they share name, kind, order and stage."""
        stretches = [sides for line in self.lines for sides in line.stretches()]
        for number, sides in enumerate(stretches, start=1):
            yield Seam(
                id=self.key if len(stretches) == 1 else f"{self.key}-{number}",
                name=self.name,
                kind=self.kind,
                order=order,
                sides=sides,
                rows=self.rows,
                stage=self.stage,
            )


@dataclass(frozen=True, slots=True)
class Handling:
    """One step without stitching, with the cautions that belong to it."""

    key: str
    name: str
    _: KW_ONLY
    stage: Stage
    cautions: tuple[str, ...] = ()


def number_steps(steps: Iterable[Step | Handling]) -> tuple[tuple[Seam, ...], tuple[Handwork, ...]]:
    """Seams and handwork in the order of work, counted from 1; steps without a line of stitching are left out."""
    seams: list[Seam] = []
    handwork: list[Handwork] = []
    wanted = (step for step in steps if isinstance(step, Handling) or step.lines)
    for order, step in enumerate(wanted, start=1):
        if isinstance(step, Step):
            seams += step.seams(order)
        else:
            handwork.append(
                Handwork(id=step.key, name=step.name, order=order, stage=step.stage, cautions=step.cautions)
            )
    return tuple(seams), tuple(handwork)


def along(piece: Piece, copy: int, edge: str, *, folds: int = 1) -> SeamSide:
    """A whole edge or placement line, walked as drawn."""
    return SeamSide(piece.id, copy, edge, 0.0, piece.edge(edge).length_mm, folds)


def against(piece: Piece, copy: int, edge: str) -> SeamSide:
    """A whole edge or placement line, walked backwards."""
    return _backwards(along(piece, copy, edge))


def part(side: SeamSide, start_mm: float, end_mm: float) -> SeamSide:
    """What of a side lies between two distances from where its walk starts."""
    return _slice(side, start_mm, end_mm)


def _backwards(side: SeamSide) -> SeamSide:
    return _walked(side, side.to_mm, side.from_mm)


def _is_whole(side: SeamSide, start_mm: float, end_mm: float) -> bool:
    return start_mm <= SHORTEST_MM and end_mm >= side.sewn_length_mm - SHORTEST_MM


def _slices(side: SeamSide, start_mm: float, end_mm: float, *, stays_folded: bool) -> tuple[SeamSide, ...]:
    """Part of a side; of a folded one each layer by itself, every other walked back."""
    if side.folds == 1 or (stays_folded and _is_whole(side, start_mm, end_mm)):
        return (_slice(side, start_mm, end_mm),)
    flat, width = replace(side, folds=1), side.sewn_length_mm
    layers = []
    for layer in range(side.folds):
        near = layer * width
        there, back = (near + start_mm, near + end_mm), (near + width - end_mm, near + width - start_mm)
        layers.append(_slice(flat, *there) if layer % 2 == 0 else _backwards(_slice(flat, *back)))
    return tuple(layers)


def _slice(side: SeamSide, start_mm: float, end_mm: float) -> SeamSide:
    if _is_whole(side, start_mm, end_mm):
        return side
    if side.folds > 1 or side.ease_mm:
        raise BrokenPromise(f"{side.piece_id} {side.edge} is folded or eased, so it cannot be sewn in parts")
    step = 1.0 if side.to_mm >= side.from_mm else -1.0
    return _walked(side, side.from_mm + step * start_mm, side.from_mm + step * end_mm)


def _walked(side: SeamSide, from_mm: float, to_mm: float) -> SeamSide:
    """The side with another walk. A pattern has hundreds; written out, as `replace` takes three times as long."""
    return SeamSide(side.piece_id, side.copy, side.edge, from_mm, to_mm, side.folds, side.ease_mm)
