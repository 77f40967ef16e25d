"""One cloth of a bag at the cutting table: the order of its cuts, what is left and what that is worth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from bagwright.errors import NotKept
from bagwright.model.cost import Purchase
from bagwright.model.cuts import Cut
from bagwright.model.layout import Layout
from bagwright.model.material import Material, MaterialKind, OfferByPiece
from bagwright.model.money import Money
from bagwright.model.remnant import Remnant
from bagwright.output.rulers import Measuring
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.cut_sides import CutSides
from bagwright.workflows.cut_words import CAUTIONS, CutLine, cut_lines, told_total
from bagwright.workflows.desk import BagView, Desk, Remembered, view_bag
from bagwright.workflows.leftovers import is_cut_double, keep_and_cut_layout
from bagwright.workflows.print_steps import print_before
from bagwright.workflows.recutting import names_laid
from bagwright.workflows.strip_steps import one_way_in_words, strips_before

WITH_SELVEDGE = frozenset(
    {MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT, MaterialKind.COATED, MaterialKind.WOVEN_INTERFACING}
)


@dataclass(frozen=True, slots=True)
class ValuedRemnant:
    """A remnant with its share of what was paid; no value where nothing was bought."""

    remnant: Remnant
    value: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TablePlan:
    """`table_mm`: length of cloth on the table after the wash. `is_doubled`: every cut goes through two layers."""

    sheet: SheetLayout
    names: dict[str, str]
    table_mm: float
    cuts: tuple[Cut, ...]
    remnants: tuple[ValuedRemnant, ...]
    is_doubled: bool
    measuring: Measuring

    @property
    def material(self) -> Material:
        """What is cut."""
        return self.sheet.material

    @property
    def layout(self) -> Layout:
        """How it is laid."""
        return self.sheet.layout

    @property
    def has_selvedge(self) -> bool:
        """Whether positions across are told from a selvedge, else from an edge."""
        return self.material.kind in WITH_SELVEDGE

    @property
    def edge(self) -> str:
        """What its long sides are called."""
        return "selvedge" if self.has_selvedge else "edge"

    def lines(self) -> list[CutLine]:
        """The cuts in words."""
        edge, width_mm = self.edge, self.layout.width_mm
        sides = CutSides(self.cuts, f"the {edge}", f"the other {edge}" if self.has_selvedge else "", width_mm)
        if self.is_doubled:
            sides = replace(sides, far="the fold", far_mm=width_mm / 2)
        return cut_lines(sides, self.layout, self.names, self.measuring)

    def before(self) -> tuple[str, ...]:
        """What to do before the first cut."""
        return tuple(_before(self))

    @property
    def total(self) -> str:
        """How much there is to cut."""
        return told_total(self.cuts, self.measuring)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind."""
        return CAUTIONS


def _before(plan: TablePlan) -> list[str]:
    width, length = plan.measuring.told(plan.layout.width_mm), plan.measuring.told(plan.table_mm)
    said = []
    if plan.material.shrinkage_share and plan.material.shrinkage_share.value > 0:
        said.append(f"Wash or steam the cloth first, as you will the bag; then {length} should be left.")
    if plan.has_selvedge:
        said.append(
            f"Square the cut end. Cut both selvedges off so that {width} are left; leave them on only if their inner "
            "edges lie just that far apart."
        )
    else:
        said.append("Square two edges that meet in the corner with the dot.")
    if plan.is_doubled:
        said.append(
            "Lay the cloth double, right side inside, selvedge on selvedge. Every cut goes through both layers. "
            "Slit the fold where two pieces meet on it."
        )
    else:
        said += _single(plan)
    said += strips_before(plan.sheet.request, plan.measuring)
    if plan.sheet.request.bands and plan.material.directional:
        banded = {strip.id for strip in plan.sheet.request.bands.asked.strips}
        said += one_way_in_words((piece for piece in plan.sheet.asked.pieces if piece.id in banded), plan.names)
    if plan.material.fusible_sides == 1:
        said.append("Glue side down, so that pieces come out as they are drawn.")
    said += print_before(plan.sheet.request, plan.material, plan.measuring, edge=plan.edge)
    if any(piece.goes_on for piece in plan.sheet.request.pieces):
        said.append(
            "Small letters mark where the print goes on: at the same letter the same spot of it shows. Look at each "
            "before you cut."
        )
    if plan.material.directional:
        said.append("The print's foot lies at the cut end, so that all pieces stand the right way up.")
    return said


def _single(plan: TablePlan) -> Iterator[str]:
    if plan.sheet.request.is_doubled:
        yield "Not all of it can be cut from two layers, so lay it open: every piece is drawn where it is cut."
    if plan.material.fusible_sides != 1:
        yield "One layer, right side up, unless it has no right side."


def view_table(desk: Desk, bag_id: str, material_id: str) -> tuple[BagView, TablePlan]:
    """The bag and the plan of that cloth. Raises `NotKept` if the bag has no layout of it."""
    view = view_bag(desk, bag_id)
    return view, table_plan(view, sheet_of(view, material_id))


def sheet_of(view: BagView, material_id: str) -> SheetLayout:
    """The layout that is bought for, of that material. Raises `NotKept`."""
    sheets = view.answer.chosen_layouts() or view.answer.layouts
    found = next((sheet for sheet in sheets if sheet.material.id == material_id), None)
    if found is None:
        raise NotKept(f"a layout of {material_id!r}")
    return found


def table_plan(view: BagView, sheet: SheetLayout) -> TablePlan:
    """Cuts and remnants of one cloth, each checked. What was worked out lately is remembered."""
    purchase = purchase_of(view, sheet)
    table_mm = table_length_mm(view, sheet, purchase)
    key = f"{sheet.layout.placements!r} {sheet.request.width_mm} {table_mm}"
    worked = _worked.get(key) or _worked.put(key, _work_out(sheet, table_mm))
    return TablePlan(
        sheet=sheet,
        names=names_laid({cut.id: cut.name for cut in view.answer.cuts}, sheet.request),
        table_mm=table_mm,
        cuts=worked.cuts,
        remnants=tuple(ValuedRemnant(one, _value(one, purchase)) for one in worked.remnants),
        is_doubled=worked.is_doubled,
        measuring=Measuring(view.workroom.units, view.workroom.fraction),
    )


@dataclass(frozen=True, slots=True)
class _Worked:
    cuts: tuple[Cut, ...]
    remnants: tuple[Remnant, ...]
    is_doubled: bool


_worked: Remembered[str, _Worked] = Remembered(60)


def _work_out(sheet: SheetLayout, table_mm: float) -> _Worked:
    request, layout = sheet.request, sheet.layout
    remnants, cuts = keep_and_cut_layout(request, layout, table_mm)
    return _Worked(cuts, remnants, is_cut_double(request, layout))


def purchase_of(view: BagView, sheet: SheetLayout) -> Purchase | None:
    """What is bought for that cloth, if the plan buys anything."""
    bought = view.answer.plan.purchases if view.answer.plan else ()
    return next((one for one in bought if one.material_id == sheet.material.id), None)


def table_length_mm(view: BagView, sheet: SheetLayout, purchase: Purchase | None) -> float:
    """How much cloth lies on the table: what is bought, less what the wash takes."""
    bought = sheet.bought_mm
    if purchase and purchase.quantity_unit == "mm":
        bought = purchase.quantity
    elif purchase and purchase.quantity_unit == "pieces":
        offer = next((one for one in view.shelf.offers if one.id == purchase.offer_id), None)
        bought = offer.length_mm if isinstance(offer, OfferByPiece) else bought
    lost = sheet.material.shrinkage_share.value if sheet.material.shrinkage_share else 0.0
    return max(bought * (1 - lost), sheet.layout.length_mm)


def _value(remnant: Remnant, purchase: Purchase | None) -> Money | None:
    return purchase.paid.times(remnant.share_of_cloth) if purchase else None
