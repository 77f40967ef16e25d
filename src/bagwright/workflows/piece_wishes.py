"""What she asks of single pieces: the best part of a hide, a print that goes on across a seam or lies anyhow."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from bagwright.cutting.print_groups import print_problems
from bagwright.errors import Problem
from bagwright.model.bag import Bag
from bagwright.model.bands import StripWay
from bagwright.model.material import Material
from bagwright.model.pattern import Pattern, Seam, SeamSide
from bagwright.model.piece import CutPiece, Mirror, Piece
from bagwright.model.prints import PrintPoint
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.cut_list import lay_request
from bagwright.workflows.strip_shapes import way_of

ASKEW_DEG = 10.0
"""So far the two sides of a seam may run askew where it is matched: by eye, no source."""
_ANY_WIDTH_MM = 1e6
_JOIN_ALLOWANCE_MM = 10.0
"""Seam allowance of a join where a bag has none of its own: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Matchable:
    """A seam across which a print can go on: its two pieces, their edges, and where it meets on each."""

    seam: Seam
    piece_ids: tuple[str, str]
    edges: tuple[str, str]
    points: tuple[PrintPoint, PrintPoint]

    @property
    def key(self) -> tuple[tuple[str, str, bool], ...]:
        """What stretches of one seam have in common."""
        sides = zip(self.piece_ids, self.edges, self.points, strict=True)
        return tuple(sorted((piece, edge, point.mirrored) for piece, edge, point in sides))


def matchable_seams(pattern: Pattern) -> tuple[Matchable, ...]:
    """Seams across which the grain runs the same way on both sides; of several stretches of one the longest.

    A piece sewn to another copy of itself is matched too: all its copies show the same print.
    """
    found: dict[tuple[tuple[str, str, bool], ...], Matchable] = {}
    for seam in pattern.seams:
        one = _matchable(pattern, seam)
        if one and (one.key not in found or seam.length_mm > found[one.key].seam.length_mm):
            found[one.key] = one
    return tuple(found.values())


def _matchable(pattern: Pattern, seam: Seam) -> Matchable | None:
    if not seam.kind.joins or len(seam.sides) != 2 or any(side.folds > 1 for side in seam.sides):
        return None
    one, other = seam.sides
    pieces = pattern.piece(one.piece_id), pattern.piece(other.piece_id)
    points = _print_point(pieces[0], seam, one), _print_point(pieces[1], seam, other)
    turn = _off_grain_deg(pieces[0], points[0]) - _off_grain_deg(pieces[1], points[1])
    askew = (turn + 90) % 180 - 90
    if abs(askew) > ASKEW_DEG:
        return None
    if pieces[0] is pieces[1] and (one.copy == other.copy or abs((turn + 90) % 360 - 90) > ASKEW_DEG):
        return None
    straight = points[0].along_deg - (-askew if points[0].mirrored else askew)
    met = replace(points[0], along_deg=straight % 360), points[1]
    return Matchable(seam, (one.piece_id, other.piece_id), (one.edge, other.edge), met)


def _print_point(piece: Piece, seam: Seam, side: SeamSide) -> PrintPoint:
    """The middle of its stretch, on the net line or a placement line, and which way the seam is walked there."""
    edge, middle = piece.edge(side.edge), (side.from_mm + side.to_mm) / 2
    x, y = edge.direction_at(middle)
    along = math.degrees(math.atan2(y, x)) + (180 if side.to_mm < side.from_mm else 0)
    is_mirrored = piece.mirror is Mirror.PAIRS and side.copy % 2 == 0
    return PrintPoint(seam.id, edge.at(middle), round(along, 6) % 360, is_mirrored)


def _cloth_deg(point: PrintPoint) -> float:
    """Which way the seam runs on a copy that is not turned."""
    return 180 - point.along_deg if point.mirrored else point.along_deg


def _off_grain_deg(piece: Piece, point: PrintPoint) -> float:
    """How far the seam runs off the grain on such a copy, which on a mirrored one is mirrored too."""
    return _cloth_deg(point) - (180 - piece.grain_deg if point.mirrored else piece.grain_deg)


def with_wishes(cuts: tuple[CutPiece, ...], pattern: Pattern, bag: Bag) -> tuple[CutPiece, ...]:
    """The cut list with what the bag asks of its pieces. Wishes about what is no longer there are passed over."""
    if not any((bag.best_only, bag.matched_seams, bag.any_print, bag.strip_wishes)):
        return cuts
    points, join_mm = _points(pattern, bag.matched_seams), 2 * seam_allowance_mm(bag)
    told = []
    for cut in cuts:
        wished = replace(
            cut,
            best_only=cut.piece_id in bag.best_only,
            goes_on=points.get(cut.piece_id, ()),
            any_print=cut.piece_id in bag.any_print,
        )
        way = way_of(cut, bag)
        told.append(replace(wished, cut_as=way, join_mm=join_mm) if way is not StripWay.LAID else wished)
    return tuple(told)


def seam_allowance_mm(bag: Bag) -> float:
    """The seam allowance that its form sews with: a join of a strip takes one on each side."""
    sizes = {**form_of_key(bag.form).defaults(), **bag.measurements_mm}
    return sizes.get("seam_allowance_mm", _JOIN_ALLOWANCE_MM)


def _points(pattern: Pattern, wanted: Iterable[str]) -> dict[str, tuple[PrintPoint, ...]]:
    """For each piece of a matched seam, where its print goes on."""
    chosen, points = set(wanted), dict[str, tuple[PrintPoint, ...]]()
    for one in matchable_seams(pattern):
        if one.seam.id in chosen:
            for piece_id, point in zip(one.piece_ids, one.points, strict=True):
                points[piece_id] = (*points.get(piece_id, ()), point)
    return points


def settled_prints(
    cuts: tuple[CutPiece, ...], materials: Mapping[str, Material], seams: Sequence[Seam]
) -> tuple[tuple[CutPiece, ...], list[Problem]]:
    """The cuts without the seams across which a print can't go on, and what is wrong with those.

    The place is `matched_seams`.
    """
    names, problems = {seam.id: seam.name for seam in seams}, list[Problem]()
    for material_id in dict.fromkeys(cut.material_id for cut in cuts if cut.goes_on):
        if material_id not in materials:
            continue
        request = lay_request(materials[material_id], cuts, _ANY_WIDTH_MM, run=1, gap_mm=0.0)
        found = print_problems(request, {cut.id: cut.name for cut in cuts})
        bad = {problem.value for problem in found}
        cuts = tuple(_without(cut, bad) if cut.material_id == material_id else cut for cut in cuts)
        problems += [replace(one, place="matched_seams", value=names.get(one.value, one.value)) for one in found]
    return cuts, problems


def _without(cut: CutPiece, seams: AbstractSet[str]) -> CutPiece:
    return replace(cut, goes_on=tuple(point for point in cut.goes_on if point.seam not in seams))


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceWishes:
    """Ids of pieces and seams, each as the field of a bag that is called the same."""

    best_only: Sequence[str] = ()
    matched_seams: Sequence[str] = ()
    any_print: Sequence[str] = ()


def wish_problems(pattern: Pattern, wishes: PieceWishes | Bag) -> Iterator[Problem]:
    """What is wrong with wishes, whatever the cloth: no such piece or seam.

    The places are `best_only`, `any_print` and `matched_seams`.
    """
    pieces = {piece.id for piece in pattern.pieces}
    for place, names in (("best_only", wishes.best_only), ("any_print", wishes.any_print)):
        for name in names:
            if name not in pieces:
                yield _problem(place, name, "is no piece of this bag", ", ".join(sorted(pieces)))
    seams = {one.seam.id for one in matchable_seams(pattern)}
    for name in dict.fromkeys(wishes.matched_seams):
        if name not in seams:
            yield _problem("matched_seams", name, "is no seam that can be matched", ", ".join(sorted(seams)))


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    remedy = "Take it away, or choose another."
    return Problem(place=place, value=value[:80], what=what, allowed=allowed[:300], remedy=remedy)
