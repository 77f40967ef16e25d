"""Pieces out of drawn lines: outer outlines are pieces; what lies on or in them is told by its meaning and place."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.neighbours import Neighbours
from bagwright.geometry.region import Region
from bagwright.model.found_piece import FoundPiece
from bagwright.output.drawn_lines import DrawnLine, DrawnPoint, Meaning, is_straight, refuse_floods
from bagwright.output.found_lines import Gathered, piece_of
from bagwright.output.loops import Loop, sort_lines, still_open

MOST_LOOPS = 400
MOST_PIECES = 100
_ON_MM = 0.3
"""Lines that leave a piece by less belong to it."""
_SAME_MM = 0.2


@dataclass(frozen=True, slots=True)
class Heap:
    """Lines that lie together: a whole drawing, or one block of it, which is one piece by the name of the block.

    `page` is the sheet of paper, `smooth_at` are points at which an outline has no corner.
    """

    lines: Sequence[DrawnLine]
    points: Sequence[DrawnPoint] = ()
    block: str = ""
    page: Region | None = None
    smooth_at: Sequence[Point] = ()


@dataclass(frozen=True, slots=True)
class Reach:
    """A piece and the region in which lines are taken to lie on it."""

    piece: Gathered
    region: Region


@dataclass(slots=True)
class Finds:
    """What came of a drawing."""

    pieces: list[FoundPiece] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def find_pieces(heaps: Sequence[Heap]) -> tuple[tuple[FoundPiece, ...], tuple[str, ...]]:
    """Every piece, and what was left out. Raises `FaultyInput` with every line that cannot be what it ought to be."""
    refuse_floods([line for heap in heaps for line in heap.lines])
    finds = Finds()
    for heap in heaps:
        _find_in(heap, finds)
    if not finds.pieces and not finds.problems:
        finds.problems.append(_nothing())
    if len(finds.pieces) > MOST_PIECES:
        finds.problems.append(_too_many(len(finds.pieces), "outlines of pieces", MOST_PIECES))
    if finds.problems:
        raise FaultyInput(finds.problems)
    return tuple(_with_own_names(finds.pieces)), tuple(finds.notes)


def _nothing() -> Problem:
    return Problem(
        place="file",
        value="",
        what="holds no closed outline",
        allowed="closed paths or shapes, one for each piece",
        remedy="Draw each piece as one closed line.",
    )


def _too_many(count: int, what: str, most: int) -> Problem:
    remedy = "Take out what is no piece, or split the file."
    return Problem(
        place="file",
        value=str(count),
        what=f"{what} are too many",
        allowed=f"at most {most} {what}",
        remedy=remedy,
    )


def _find_in(heap: Heap, finds: Finds) -> None:
    found = sort_lines(heap.lines)
    finds.problems += found.problems
    finds.notes += found.notes
    if len(found.loops) > MOST_LOOPS:
        finds.problems.append(_too_many(len(found.loops), "closed lines", MOST_LOOPS))
        return
    loops = [loop for loop in found.loops if not _is_page(loop, heap.page, finds)]
    pieces = _gathered(loops, finds)
    reaches = [Reach(piece, piece.outer.region.grown(_ON_MM)) for piece in pieces]
    for line in found.open_lines:
        _give(line, reaches, finds, must_close=bool(heap.block) and line.meaning is Meaning.UNTOLD)
    for point in heap.points:
        owner = _owner([point.at], reaches)
        if owner:
            owner.points.append(point)
    for number, gathered in enumerate(pieces, start=1):
        gathered.smooth_at += heap.smooth_at
        piece = piece_of(gathered)
        name = heap.block and (heap.block if len(pieces) == 1 else f"{heap.block} {number}")
        finds.pieces.append(replace(piece, name=name or piece.name))


def _is_page(loop: Loop, page: Region | None, finds: Finds) -> bool:
    """Whether the loop is the sheet of paper that the drawing lies on."""
    if page is None or loop.region.area_mm2 < 0.98 * page.area_mm2 or not page.holds(loop.region, slack_mm=5.0):
        return False
    finds.notes.append(f"{loop.line.place}: left out, it is as large as the page.")
    return True


def _gathered(loops: Sequence[Loop], finds: Finds) -> list[Gathered]:
    """Outermost loops, largest first, each with the loops that lie in it."""
    order = sorted(range(len(loops)), key=lambda n: (-loops[n].region.area_mm2, n))
    near = Neighbours.of([loop.region for loop in loops])
    pieces: dict[int, Gathered] = {}
    for number in order:
        loop = loops[number]
        owner = next(
            (
                pieces[other]
                for other in near.near(loop.region)
                if other in pieces and pieces[other].outer.region.holds(loop.region, slack_mm=_SAME_MM)
            ),
            None,
        )
        if owner is None:
            pieces[number] = Gathered(loop)
        elif abs(owner.outer.region.area_mm2 - loop.region.area_mm2) < _SAME_MM * loop.region.perimeter_mm:
            finds.notes.append(f"{loop.line.place}: left out, it is drawn over {owner.outer.line.place}.")
        else:
            owner.inner.append(loop)
    return [pieces[number] for number in sorted(pieces)]


def _owner(points: Sequence[Point], pieces: Sequence[Reach]) -> Gathered | None:
    """The first piece that holds all these points, give or take a little."""
    return next((reach.piece for reach in pieces if all(reach.region.holds_lines([(p, p) for p in points]))), None)


def _give(line: DrawnLine, pieces: Sequence[Reach], finds: Finds, *, must_close: bool) -> None:
    """Give an open line to the piece that it lies on; a bent line beside all of them ought to be one."""
    owner = _owner(
        [line.run[0].start, *(curve.at(curve.length_mm / 2) for curve in line.run), line.run[-1].end], pieces
    )
    if owner and not must_close:
        owner.lines.append(line)
    elif must_close or (line.meaning.may_bound and not is_straight(line.run)):
        finds.problems.append(still_open(line))
    elif line.meaning is Meaning.UNTOLD:
        finds.notes.append(f"{line.place}: left out, a straight line beside the pieces.")


def _with_own_names(pieces: Sequence[FoundPiece]) -> Iterator[FoundPiece]:
    """Each piece by a name of its own: the one in the file, or a number."""
    taken: set[str] = set()
    for number, piece in enumerate(pieces, start=1):
        wanted = piece.name or f"Piece {number}"
        numbered = (f"{wanted} ({again})" for again in itertools.count(2))
        name = next(one for one in itertools.chain((wanted,), numbered) if one not in taken)
        taken.add(name)
        yield replace(piece, name=name)
