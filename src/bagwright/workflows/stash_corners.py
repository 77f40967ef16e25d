"""Corners of a piece of the stash, of its flaws and its lesser parts: moved, added, dropped one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.bag import Workroom
from bagwright.model.stash import Ring, StashPiece
from bagwright.store.stash import load_stash_piece, save_stash_piece
from bagwright.store.workroom import load_workroom
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk
from bagwright.workflows.typed_areas import print_signed, read_signed

MOST_CORNERS = 80
"""More are not typed one by one."""
OUTLINE = "outline"
Row = tuple[str, str]
"""One corner as it is typed: along from the left end, up from the lower edge."""


@dataclass(frozen=True, slots=True)
class PartOf:
    """A closed line of a piece: its key, what it is called, its corners."""

    key: str
    name: str
    ring: Ring


def parts_of(piece: StashPiece) -> tuple[PartOf, ...]:
    """Its outline, its flaws, its lesser parts.

    >>> hide = StashPiece(id="h", material_id="calf", outer=((0, 0), (9, 0), (0, 9)), flaws=(((1, 1), (2, 1), (1, 2)),))
    >>> [(part.key, part.name) for part in parts_of(hide)]
    [('outline', 'Its edge'), ('flaws-0', 'Flaw 1')]
    """
    flaws = (PartOf(f"flaws-{i}", f"Flaw {i + 1}", ring) for i, ring in enumerate(piece.flaws))
    lesser = (PartOf(f"lesser-{i}", f"Only good, {i + 1}", ring) for i, ring in enumerate(piece.lesser))
    return (PartOf(OUTLINE, "Its edge", piece.outer), *flaws, *lesser)


def part_of(piece: StashPiece, key: str) -> PartOf:
    """One of its parts. Raises `NotKept`."""
    found = next((part for part in parts_of(piece) if part.key == key), None)
    if found is None:
        raise NotKept(f"part {key!r} of stash piece {piece.id!r}")
    return found


def printed_rows(ring: Ring, workroom: Workroom) -> tuple[Row, ...]:
    """Corners as they stand in their fields."""
    return tuple((print_signed(x, workroom), print_signed(y, workroom)) for x, y in ring)


def with_one_more(rows: Sequence[Row], after: int, workroom: Workroom) -> tuple[Row, ...]:
    """The rows with one more half-way to the next; empty where the two cannot be read.

    >>> with_one_more([("0", "0"), ("4 in", "0"), ("4 in", "3 in")], 0, Workroom())[1]
    ('2 in', '0')
    """
    if not 0 <= after < len(rows) or len(rows) >= MOST_CORNERS:
        return tuple(rows)
    one, other = rows[after], rows[(after + 1) % len(rows)]
    between: list[str] = []
    for ends in zip(one, other, strict=True):
        faults, sides = Faults(), list[float]()
        for text in ends:
            with faults:
                sides.append(read_signed(text, place="", workroom=workroom))
        between.append("" if faults.problems else print_signed(sum(sides) / 2, workroom))
    return (*rows[: after + 1], (between[0], between[1]), *rows[after + 1 :])


def without_one(rows: Sequence[Row], at: int) -> tuple[Row, ...]:
    """The rows without one; three stay."""
    return (*rows[:at], *rows[at + 1 :]) if 0 <= at < len(rows) > 3 else tuple(rows)


def read_rows(rows: Sequence[Row], before: Ring, workroom: Workroom) -> Ring:
    """The closed line that is typed; a corner that stands as it was printed keeps its exact place.

    Raises `FaultyInput`: the places are `x-0`, `y-0` and so on, or `corners` for the whole line.
    """
    exact = dict(zip(printed_rows(before, workroom), before, strict=True))
    faults, ring = Faults(), list[tuple[float, float]]()
    for number, row in enumerate(rows):
        read = list[float]()
        for name, text in zip("xy", row, strict=True):
            with faults:
                read.append(read_signed(text, place=f"{name}-{number}", workroom=workroom))
        if len(read) == len(row):
            ring.append(exact.get(row, (read[0], read[1])))
    faults.raise_if_any()
    if fault := ring_fault(ring):
        raise _refused(f"{len(ring)} corners", fault, "a line around it that does not cross itself")
    return tuple(ring)


def keep_corners(desk: Desk, piece_id: str, version: int, key: str, rows: Sequence[Row]) -> StashPiece:
    """One part of a piece with the corners typed. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    with desk.store() as store:
        kept = load_stash_piece(store, piece_id)
        if kept.version != version:
            raise StaleSave(f"stash piece {piece_id!r}", expected_version=version, kept_version=kept.version)
        part = part_of(kept.value, key)
        changed = _with(kept.value, part, read_rows(rows, part.ring, load_workroom(store)))
        if changed == kept.value:
            return changed
        return save_stash_piece(store, changed, expected_version=version).value


def _with(piece: StashPiece, part: PartOf, ring: Ring) -> StashPiece:
    name, _, number = part.key.partition("-")
    if part.key == OUTLINE:
        piece = replace(piece, outer=ring)
        holes = Region.union([Region.from_ring(hole) for hole in piece.holes]) if piece.holes else None
        if holes and not Region.from_ring(ring).holds(holes, slack_mm=1e-6):
            raise _refused(part.name, "leaves a hole of it outside", "an edge around all its holes")
    elif name == "flaws":
        piece = replace(piece, flaws=_changed(piece.flaws, int(number), ring))
    else:
        piece = replace(piece, lesser=_changed(piece.lesser, int(number), ring))
    for one in parts_of(piece)[1:]:
        if Region.from_ring(one.ring).overlap_mm2(Region.from_ring(piece.outer)) <= 0:
            raise _refused(one.name, "lies outside the piece", "a part of which some lies on the piece")
    if piece.sound.is_empty:
        raise _refused(part.name, "leaves nothing to cut from", "flaws smaller than the piece")
    return piece


def _changed(rings: tuple[Ring, ...], at: int, ring: Ring) -> tuple[Ring, ...]:
    return (*rings[:at], ring, *rings[at + 1 :])


def _refused(value: str, what: str, allowed: str) -> FaultyInput:
    problem = Problem(place="corners", value=value, what=what, allowed=allowed, remedy="Move a corner, or undo.")
    return FaultyInput([problem])
