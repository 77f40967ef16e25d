"""What she asks of single pieces: the best part of a hide only, and a print that goes on across a seam."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from bagwright.errors import Problem
from bagwright.geometry.curves import Point
from bagwright.model.bag import Bag
from bagwright.model.bands import StripWay
from bagwright.model.pattern import Pattern, Seam, SeamSide
from bagwright.model.piece import CutPiece
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.strip_shapes import way_of

_JOIN_ALLOWANCE_MM = 10.0
"""Seam allowance of a join where a bag has none of its own: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Matchable:
    """A seam across which a print can go on: its name, and the two pieces."""

    seam: Seam
    piece_ids: tuple[str, str]


def matchable_seams(pattern: Pattern) -> tuple[Matchable, ...]:
    """Seams that join two different pieces; of several stretches of one seam the longest."""
    found: dict[tuple[str, str], Seam] = {}
    for seam in pattern.seams:
        if not seam.kind.joins or len(seam.sides) != 2 or any(side.folds > 1 for side in seam.sides):
            continue
        one, other = (side.piece_id for side in seam.sides)
        pair = (min(one, other), max(one, other))
        if one != other and seam.length_mm > (found[pair].length_mm if pair in found else 0.0):
            found[pair] = seam
    return tuple(Matchable(seam, pair) for pair, seam in found.items())


def with_wishes(cuts: tuple[CutPiece, ...], pattern: Pattern, bag: Bag) -> tuple[CutPiece, ...]:
    """The cut list with what the bag asks of its pieces. Wishes about what is no longer there are passed over."""
    if not bag.best_only and not bag.matched_seams and not bag.strip_wishes:
        return cuts
    anchors, join_mm = dict(_anchors(pattern, bag.matched_seams)), 2 * seam_allowance_mm(bag)
    told = []
    for cut in cuts:
        match, anchor = anchors.get(cut.piece_id, ("", None))
        wished = replace(cut, best_only=cut.piece_id in bag.best_only, match=match, anchor=anchor)
        way = way_of(cut, bag)
        told.append(replace(wished, cut_as=way, join_mm=join_mm) if way is not StripWay.LAID else wished)
    return tuple(told)


def seam_allowance_mm(bag: Bag) -> float:
    """The seam allowance that its form sews with: a join of a strip takes one on each side."""
    sizes = {**form_of_key(bag.form).defaults(), **bag.measurements_mm}
    return sizes.get("seam_allowance_mm", _JOIN_ALLOWANCE_MM)


def _anchors(pattern: Pattern, wanted: Iterable[str]) -> Iterator[tuple[str, tuple[str, Point]]]:
    """For each piece of a matched seam: the seam, and the middle of its stretch on the net line or a placement line."""
    chosen = set(wanted)
    for one in matchable_seams(pattern):
        if one.seam.id in chosen:
            for side in one.seam.sides:
                yield side.piece_id, (one.seam.id, _middle(pattern, side))


def _middle(pattern: Pattern, side: SeamSide) -> Point:
    piece = next(piece for piece in pattern.pieces if piece.id == side.piece_id)
    lines = {line.name: line.as_edge() for line in piece.lines}
    edge = lines.get(side.edge) or piece.net.edge(side.edge)
    return edge.at((side.from_mm + side.to_mm) / 2)


def wish_problems(pattern: Pattern, best_only: Iterable[str], matched: Iterable[str]) -> Iterator[Problem]:
    """What is wrong with wishes: no such piece or seam, or a piece that would be matched at two seams.

    The places are `best_only` and `matched_seams`.
    """
    pieces = {piece.id for piece in pattern.pieces}
    for name in best_only:
        if name not in pieces:
            yield _problem("best_only", name, "is no piece of this bag", ", ".join(sorted(pieces)))
    seams = {one.seam.id: one for one in matchable_seams(pattern)}
    chosen = list(dict.fromkeys(matched))
    for name in chosen:
        if name not in seams:
            yield _problem("matched_seams", name, "is no seam that can be matched", ", ".join(sorted(seams)))
    times = Counter(piece for name in chosen if name in seams for piece in seams[name].piece_ids)
    for piece, count in times.items():
        if count > 1:
            allowed = "one matched seam for each piece"
            yield _problem("matched_seams", piece, f"would be matched at {count} seams", allowed)


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    remedy = "Take it away, or choose another."
    return Problem(place=place, value=value[:80], what=what, allowed=allowed[:300], remedy=remedy)
