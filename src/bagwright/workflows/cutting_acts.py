"""What the maker does at the cutting table: "I cut this", taking that back, and choosing straight rows for a bag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from bagwright.cutting.straight_rows import can_be_in_rows
from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.geometry.curves import Point
from bagwright.model.bag import Bag
from bagwright.model.cuts import count_runs, count_straight
from bagwright.model.layout import Layout, LayRequest
from bagwright.model.remnant import Remnant
from bagwright.model.stash import Cutting, SideUp, StashPiece
from bagwright.store.bags import save_bag
from bagwright.store.history import Kept
from bagwright.store.stash import bring_cutting_back, keep_cutting, load_cutting, load_cuttings, take_back_cutting
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.bag_changes import load_for_change
from bagwright.workflows.cutting_table import TablePlan, ValuedRemnant, sheet_of, view_table
from bagwright.workflows.desk import BagView, Desk, find_layout, new_id
from bagwright.workflows.leftovers import cuts_of
from bagwright.workflows.print_steps import counts_from_motif

LONGEST_BIN = 120
KeptCutting = Kept[Cutting]
_ALIKE_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CutWishes:
    """What she says when she has cut: `keep` holds the places of remnants for the stash, `layout_name` what she saw.

    `cutting_id` comes from the page, so that a button pressed twice keeps one cutting.
    """

    cutting_id: str
    layout_name: str
    keep: Sequence[int]
    bin: str = ""


def new_cutting_id(bag_name: str) -> str:
    """An id for the next cutting of a bag."""
    return new_id(f"cut {bag_name}")


def layout_name(plan: TablePlan) -> str:
    """Names what the page shows, so that a layout that has changed meanwhile is not taken for it."""
    layout = plan.layout
    return f"{layout.request_hash[:40]}-{len(layout.placements)}-{layout.length_mm:.6f}-{plan.table_mm:.3f}"


def cut_this(desk: Desk, bag_id: str, material_id: str, wishes: CutWishes, *, today: date) -> Cutting:
    """Keep that the layout was cut, and the chosen remnants in the stash: one act, or nothing of it.

    Raises `StaleSave` if the layout is no longer the one she saw, `FaultyInput` for a remnant that is none, `NotKept`.
    """
    view, plan = view_table(desk, bag_id, material_id)
    with desk.store() as store:
        before = [kept.value for kept in load_cuttings(store, bag_id) if kept.value.id == wishes.cutting_id]
    if before:
        return before[0]
    if wishes.layout_name != layout_name(plan):
        raise StaleSave("the layout", expected_version=0, kept_version=0)
    unknown = [place for place in wishes.keep if not 0 <= place < len(plan.remnants)]
    if unknown or len(wishes.bin) > LONGEST_BIN:
        raise FaultyInput([_refused(wishes)])
    bag = view.answer.bag
    cutting = Cutting(
        id=wishes.cutting_id,
        bag_id=bag.id,
        bag_name=bag.name,
        count=bag.run_count,
        material_id=material_id,
        layout_hash=plan.layout.request_hash,
        length_mm=plan.table_mm,
        dated=today,
    )
    pieces = [_stash_piece(plan, plan.remnants[place], cutting, wishes) for place in sorted(set(wishes.keep))]
    with desk.store() as store:
        return keep_cutting(store, cutting, pieces)[0].value


def _refused(wishes: CutWishes) -> Problem:
    if len(wishes.bin) > LONGEST_BIN:
        allowed = f"up to {LONGEST_BIN} letters"
        what = "is too long for the place where it lies"
        return Problem(place="bin", value=wishes.bin[:40], what=what, allowed=allowed, remedy="Shorten it.")
    given = ", ".join(map(str, wishes.keep))
    return Problem(place="keep", value=given, what="is none of what is left", allowed="a ticked shape", remedy="Tick.")


def _stash_piece(plan: TablePlan, left: ValuedRemnant, cutting: Cutting, wishes: CutWishes) -> StashPiece:
    """A remnant as it goes into the stash: its corner at 0, 0, its grain along x."""
    corner_x, corner_y = left.remnant.region.bounds[:2]
    region = left.remnant.region.shifted(-corner_x, -corner_y)
    material, motif = plan.material, motif_on(plan.sheet, left.remnant)
    return StashPiece(
        id=new_id(f"{material.name[:24]} {cutting.bag_name[:14]}"),
        material_id=material.id,
        outer=tuple(region.outer_ring()),
        holes=tuple(map(tuple, region.hole_rings())),
        grain_deg=0.0 if material.kind.has_grain else None,
        side_up=SideUp.RIGHT,
        bin=" ".join(wishes.bin.split()),
        came_from=cutting.bag_name,
        dated=cutting.dated,
        value=left.value,
        motif=(motif[0] - corner_x, motif[1] - corner_y) if motif else None,
    )


def motif_on(sheet: SheetLayout, remnant: Remnant) -> Point | None:
    """A motif near the middle of the remnant, where it lies on the cloth; None where nothing says where the print lies.

    Along the cloth the table says it, if pieces count from a cut through a row of motifs; across, the material.
    """
    repeat = sheet.request.repeat
    if repeat is None or (repeat.across_mm and sheet.material.motif_in_mm is None):
        return None
    if repeat.along_mm and not counts_from_motif(sheet.request):
        return None
    low_x, low_y, high_x, high_y = remnant.largest_mm
    return repeat.motif_near(((low_x + high_x) / 2, (low_y + high_y) / 2))


def cuttings_of(desk: Desk, bag_id: str, material_id: str) -> tuple[KeptCutting, ...]:
    """Cuttings of that cloth for that bag that stand, latest first; those from the stash have a page of their own."""
    with desk.store() as store:
        kept = [one for one in load_cuttings(store, bag_id) if one.value.material_id == material_id]
        kept = [one for one in kept if not one.value.ready]
    return tuple(reversed(kept))


def undo_cutting(desk: Desk, cutting_id: str, version: int) -> int:
    """Take a cutting back with everything it left in the stash; how many pieces. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        return len(take_back_cutting(store, cutting_id, expected_version=version))


def cutting_taken_back(desk: Desk, cutting_id: str) -> KeptCutting | None:
    """The cutting of that id, if it was taken back. Raises `NotKept`."""
    with desk.store() as store:
        kept = load_cutting(store, cutting_id)
        return kept if kept.retired else None


def redo_cutting(desk: Desk, cutting_id: str) -> None:
    """Bring a cutting back that was taken back, with what it left. Raises `StaleSave` if it stands, `NotKept`."""
    with desk.store() as store:
        bring_cutting_back(store, cutting_id)


def set_in_rows(desk: Desk, bag_id: str, version: int, *, in_rows: bool) -> Bag:
    """Lay all cloths of a bag in straight rows, or as short as they go. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        bag = load_for_change(store, bag_id, version)
        return bag if bag.in_rows == in_rows else save_bag(store, replace(bag, in_rows=in_rows))


@dataclass(frozen=True, slots=True)
class WaysToLay:
    """The free layout beside that in straight rows: length, straight cuts, and how often the blade starts in all."""

    free: tuple[float, int, int]
    rows: tuple[float, int, int]

    @property
    def more_cloth_mm(self) -> float:
        """Cloth that rows take beyond the free layout; below zero if they take less."""
        return self.rows[0] - self.free[0]

    @property
    def takes_other_cloth(self) -> bool:
        """Whether that can be seen on a bolt."""
        return abs(self.more_cloth_mm) >= _ALIKE_MM


def compare_ways(desk: Desk, view: BagView, material_id: str) -> WaysToLay | None:
    """What straight rows take and save on one cloth; None for cloth that is laid double or matched to its print."""
    request = sheet_of(view, material_id).request
    if not can_be_in_rows(request):
        return None
    with desk.store() as store:
        ways = [find_layout(desk, store, request, in_rows=in_rows) for in_rows in (False, True)]
    free, rows = (_told(request, layout) for layout in ways)
    return WaysToLay(free, rows)


def _told(request: LayRequest, layout: Layout) -> tuple[float, int, int]:
    cuts = cuts_of(request, layout)
    return layout.length_mm, count_straight(cuts), count_runs(cuts)
