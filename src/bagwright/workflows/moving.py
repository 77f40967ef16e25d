"""A layout that the maker changes herself: read from a form, judged by the check of layouts, kept only if it passes."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.cutting.best import Best
from bagwright.cutting.check import GAP_SHORT_MM, OVERLAP_SHARE, check_layout, used_length_mm
from bagwright.cutting.remnants import laid_regions
from bagwright.errors import BrokenPromise, FaultyInput, Problem, StaleSave
from bagwright.geometry.curves import Affine
from bagwright.geometry.neighbours import Neighbours
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LaySettings, Placement
from bagwright.model.source import Verdict
from bagwright.output.moving_board import MovingCopy, moving_board
from bagwright.store.own_layouts import (
    can_step_back,
    lay_aside_own_layout,
    load_own_layout,
    save_own_layout,
    step_back_own_layout,
)
from bagwright.units import print_length, read_length_mm
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cutting_table import sheet_of
from bagwright.workflows.desk import BagView, Desk, found_layout, layout_key, view_bag
from bagwright.workflows.recutting import names_laid

FOUND_BY_HER = "you"
Texts = Mapping[str, str]
_ZERO = re.compile(r"""0+(?:[.,]0*)?\s*(?:mm|cm|m|in|inch|inches|")?""")
_SPARE_SHARE = 0.12
_SPARE_MM = 150.0
_FREE_TURNS = (0.0, 90.0, 180.0, 270.0)
_OFF_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingTable:
    """One cloth to move pieces on. `name` tells this layout from a later one; `found_mm`: length of the one found."""

    view: BagView
    sheet: SheetLayout
    name: str
    found_mm: float
    is_hers: bool
    can_undo: bool

    @property
    def placements(self) -> tuple[Placement, ...]:
        """Where the pieces lie now."""
        return self.sheet.layout.placements

    def piece(self, place: int) -> LayPiece:
        """The piece of which a placement is a copy."""
        pieces = {piece.id: piece for piece in self.sheet.request.pieces}
        return pieces[self.placements[place].id]

    def called(self, piece_id: str) -> str:
        """What a piece is called."""
        names = {cut.id: cut.name for cut in self.view.answer.cuts}
        return names_laid(names, self.sheet.request).get(piece_id, piece_id)

    def turns(self, place: int) -> tuple[float, ...]:
        """Turns that a copy may take; the one it has among them."""
        allowed = self.piece(place).turns_deg or _FREE_TURNS
        now = self.placements[place].turn_deg
        return allowed if any(_same_turn(now, turn) for turn in allowed) else (now, *allowed)


def moving_table(desk: Desk, bag_id: str, material_id: str) -> MovingTable:
    """The cloth of that material as it is laid now. Raises `NotKept`."""
    view = view_bag(desk, bag_id)
    sheet = sheet_of(view, material_id)
    in_rows = view.answer.bag.in_rows
    key = layout_key(sheet.request, in_rows=in_rows)
    with desk.store() as store:
        return MovingTable(
            view=view,
            sheet=sheet,
            name=hashlib.sha256(repr((key, sheet.layout.placements)).encode()).hexdigest()[:24],
            found_mm=found_layout(desk, store, sheet.request, in_rows=in_rows).length_mm,
            is_hers=load_own_layout(store, key) is not None,
            can_undo=can_step_back(store, key),
        )


@dataclass(frozen=True, slots=True)
class CopyFields:
    """One copy as it stands in the form: texts of its place, its turn, the turns it may take."""

    name: str
    along: str
    across: str
    turn_deg: float
    turns: tuple[float, ...]
    mirrored: bool


def copy_fields(table: MovingTable, placements: Sequence[Placement]) -> tuple[CopyFields, ...]:
    """Every copy with the corner of its box nearest the corner of the cloth."""
    regions = laid_regions(table.sheet.request, placements)
    return tuple(
        CopyFields(
            table.called(place.id),
            print_place(region.bounds[0], table),
            print_place(region.bounds[1], table),
            place.turn_deg,
            table.turns(number),
            place.mirrored,
        )
        for number, (place, region) in enumerate(zip(placements, regions, strict=True))
    )


def print_place(length_mm: float, table: MovingTable) -> str:
    """A place as it stands in its field."""
    room = table.view.workroom
    return print_length(length_mm, room.units, fraction=room.fraction).text


def read_placements(table: MovingTable, texts: Texts) -> tuple[Placement, ...]:
    """The placements as typed; what was left as it was printed keeps its exact place. Raises `FaultyInput`.

    Fields of copy 3 are `along_3`, `across_3` and `turn_3`; a missing field keeps what was there.
    """
    faults, placements = Faults(), list(table.placements)
    regions = laid_regions(table.sheet.request, placements)
    for number, (place, region) in enumerate(zip(table.placements, regions, strict=True)):
        with faults:
            turn = _turn(table, number, texts.get(f"turn_{number}", ""))
            low = (
                _place(table, texts, f"along_{number}", region.bounds[0]),
                _place(table, texts, f"across_{number}", region.bounds[1]),
            )
            if turn != place.turn_deg or low != region.bounds[:2]:
                placements[number] = _at(table.piece(number), replace(place, turn_deg=turn), low)
    faults.raise_if_any()
    return tuple(placements)


def _at(piece: LayPiece, place: Placement, low: tuple[float, float]) -> Placement:
    """The copy with the corner of its box at `low`."""
    x, y, _, _ = piece.region.moved(Affine(place.turn_deg, mirrors=place.mirrored)).bounds
    return replace(place, x_mm=low[0] - x, y_mm=low[1] - y)


def _turn(table: MovingTable, number: int, text: str) -> float:
    now = table.placements[number].turn_deg
    if not text:
        return now
    turns = table.turns(number)
    found = next((turn for turn in turns if f"{turn:g}" == text), None)
    if found is None:
        allowed = ", ".join(f"{turn:g}" for turn in turns)
        raise FaultyInput([_problem(f"turn_{number}", text, "is not one of its turns", allowed)])
    return found


def _place(table: MovingTable, texts: Texts, name: str, now_mm: float) -> float:
    text = texts.get(name, "").strip()
    if not text or text == print_place(now_mm, table):
        return now_mm
    if _ZERO.fullmatch(text):
        return 0.0
    return read_length_mm(text, place=name, units=table.view.workroom.units)


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy="Choose again.")


def _same_turn(one: float, other: float) -> bool:
    return abs((one - other + 180) % 360 - 180) < 1e-6


@dataclass(frozen=True, slots=True)
class Judged:
    """What the check says: each fault in her words, the copies at fault, and the length taken up."""

    verdict: Verdict
    faults: tuple[str, ...]
    at_fault: frozenset[int]
    length_mm: float


def judge(table: MovingTable, placements: Sequence[Placement]) -> Judged:
    """Judge placements with `check.py`; its faults are told by the names of the pieces."""
    request = table.sheet.request
    verdict = check_layout(request, placements)
    if verdict.passed:
        return Judged(verdict, (), frozenset(), used_length_mm(request, placements))
    laid = laid_regions(request, placements)
    named = [table.called(place.id) for place in placements]
    at_fault: set[int] = set()
    told: list[str] = []
    near = Neighbours.of(laid)
    for i, region in enumerate(laid):
        off = _off_the_cloth(region, request.width_mm)
        if off:
            told.append(f"{named[i]} {off}.")
            at_fault.add(i)
        for j in near.near(region, within_mm=request.gap_mm):
            meeting = _meeting(region, laid[j], request.gap_mm, table) if j > i else ""
            if meeting:
                told.append(f"{named[i]} {meeting} {named[j]}.")
                at_fault |= {i, j}
    # What the check finds beyond that (turns, pairs, both layers, print) it tells in its own words.
    return Judged(verdict, tuple(told or verdict.faults), frozenset(at_fault), used_length_mm(request, placements))


def _off_the_cloth(region: Region, width_mm: float) -> str:
    low_x, low_y, _, high_y = region.bounds
    if low_x < -_OFF_MM:
        return "begins before the cut end"
    return "reaches over the side of the cloth" if low_y < -_OFF_MM or high_y > width_mm + _OFF_MM else ""


def _meeting(one: Region, other: Region, gap_mm: float, table: MovingTable) -> str:
    if one.overlap_mm2(other) > OVERLAP_SHARE * min(one.area_mm2, other.area_mm2):
        return "lies on"
    if gap_mm > 0 and one.distance_mm(other) < gap_mm - GAP_SHORT_MM:
        return f"lies closer than {print_place(gap_mm, table)} to"
    return ""


def board_picture(table: MovingTable, placements: Sequence[Placement], judged: Judged) -> str:
    """The cloth with its movable pieces, and room beyond the layout to move them to."""
    request = table.sheet.request
    copies = [
        MovingCopy(
            number,
            table.called(place.id),
            f"{table.called(place.id)}: {print_place(region.bounds[0], table)} from the cut end, "
            f"{print_place(region.bounds[1], table)} across" + (", at fault" if number in judged.at_fault else ""),
            region,
            number in judged.at_fault,
        )
        for number, (place, region) in enumerate(zip(placements, laid_regions(request, placements), strict=True))
    ]
    longest = max(table.sheet.layout.length_mm, judged.length_mm)
    spare = max(_SPARE_MM, _SPARE_SHARE * longest)
    return moving_board(copies, length_mm=longest + spare, width_mm=request.width_mm)


def keep_moved(desk: Desk, table: MovingTable, placements: Sequence[Placement], *, name: str) -> Layout:
    """Keep the layout as hers: it is used and priced from now on. Raises `FaultyInput` if it fails the check.

    Raises `StaleSave` if another layout lies there by now (`name` is the one she moved pieces on).
    """
    if name != table.name:
        raise StaleSave("the layout", expected_version=0, kept_version=0)
    judged = judge(table, placements)
    if not judged.verdict.passed:
        raise FaultyInput([_problem("layout", "", fault, "a layout that passes the check") for fault in judged.faults])
    request = table.sheet.request
    best = Best(request, LaySettings(), None)
    best.offer(placements, found_by=FOUND_BY_HER, doubled_to_mm=table.sheet.layout.doubled_to_mm)
    if best.layout is None:
        raise BrokenPromise("a layout passed the check and failed it")
    key = layout_key(request, in_rows=table.view.answer.bag.in_rows)
    with desk.store() as store:
        return save_own_layout(store, replace(best.layout, request_hash=key)).value


def use_found(desk: Desk, table: MovingTable) -> None:
    """Use the layout that was found again; `undo_moved` brings hers back."""
    with desk.store() as store:
        lay_aside_own_layout(store, layout_key(table.sheet.request, in_rows=table.view.answer.bag.in_rows))


def undo_moved(desk: Desk, table: MovingTable) -> None:
    """Undo the last time that a layout was kept or laid aside."""
    with desk.store() as store:
        step_back_own_layout(store, layout_key(table.sheet.request, in_rows=table.view.answer.bag.in_rows))
