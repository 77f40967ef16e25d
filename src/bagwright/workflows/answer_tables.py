"""All that a bag's answer holds, as tables: from its pieces to its price."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from bagwright.model.piece import Piece
from bagwright.workflows.answer import BagAnswer, SheetLayout
from bagwright.workflows.cut_list_lines import cut_list_lines
from bagwright.workflows.desk import BagView
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.tables import Row, Tables, plain_row

_TABLES: Mapping[str, Callable[[BagView], Iterable[Row]]] = {
    "bag": lambda view: [_bag(view.answer)],
    "pieces": lambda view: map(_piece, view.answer.pattern.pieces),
    "cut-list": lambda view: cut_list_rows(view.answer, view.shelf),
    "layouts": lambda view: (_layout(view.answer, sheet) for sheet in view.answer.layouts),
    "placements": lambda view: (row for sheet in view.answer.chosen_layouts() for row in placement_rows(sheet)),
    "buying": lambda view: (
        plain_row(one) for plan in (view.answer.plan, view.answer.supplies) if plan for one in plan.purchases
    ),
    "small-supplies": lambda view: map(plain_row, view.answer.small_supplies()),
    "price": lambda view: map(plain_row, view.answer.price.parts if view.answer.price else ()),
    "time": lambda view: map(plain_row, view.answer.steps),
    "steps": lambda view: map(plain_row, view.answer.work),
    "thread": lambda view: map(plain_row, view.answer.threads),
    "body": lambda view: map(plain_row, view.answer.panels),
    "bought-parts": lambda view: (
        {"need": plain_row(notion), "material_id": material.id, "material": material.name}
        for notion, material in view.answer.notions
    ),
    "cut-from-stash": lambda view: map(plain_row, view.answer.from_stash),
    "problems": lambda view: map(plain_row, view.answer.problems),
}

_PLACES = 4
"""Of a millimetre: what lies beyond is rounding of the machine."""


def answer_tables(view: BagView) -> Tables:
    """Every table of the bag, by its name; empty where nothing is known yet."""
    return {name: list(rows(view)) for name, rows in _TABLES.items()}


def _bag(answer: BagAnswer) -> Row:
    bag, price = answer.bag, answer.price
    row: dict[str, object] = {"id": bag.id, "name": bag.name, "form": bag.form, "run_count": bag.run_count}
    row |= {"version": bag.version, "mass_g": answer.mass_g, "minutes": price.minutes if price else None}
    row |= {"floor": plain_row(price.floor) if price else None}
    row |= {"price_that_pays": plain_row(price.paid_price) if price else None}
    return {**row, "measurements_mm": dict(answer.pattern.measurements_mm)}


def _piece(piece: Piece) -> Row:
    region = piece.region()
    return {
        "id": piece.id,
        "name": piece.name,
        "role": piece.role,
        "count": piece.count,
        "mirror": piece.mirror.value,
        "is_bought": piece.is_bought,
        "on_fold": piece.fold_edge is not None,
        "width_mm": round(region.width_mm, _PLACES),
        "height_mm": round(region.height_mm, _PLACES),
        "area_mm2": round(region.area_mm2, _PLACES),
        "grain_deg": piece.grain_deg,
        "allowance_mm": dict(piece.allowance_mm),
        "note": piece.note,
    }


def cut_list_rows(answer: BagAnswer, shelf: Shelf) -> Iterator[Row]:
    """The cut list of one bag, line by line."""
    for line in cut_list_lines(answer.pattern, answer.bag.stacks, shelf):
        low, high = line.allowances_mm or (0.0, 0.0)
        yield {
            "material_id": line.material_id,
            "material": line.material,
            "piece_id": line.piece.id,
            "name": line.name,
            "count": line.piece.count,
            "mirror": line.piece.mirror.value,
            "on_fold": line.piece.fold_edge is not None,
            "extent": line.extent.value,
            "width_mm": round(line.width_mm, _PLACES),
            "height_mm": round(line.height_mm, _PLACES),
            "least_allowance_mm": low,
            "greatest_allowance_mm": high,
            "grain_deg": line.piece.grain_deg,
        }


def _layout(answer: BagAnswer, sheet: SheetLayout) -> Row:
    return {
        **layout_row(sheet),
        "usable_width_mm": sheet.request.width_mm,
        "is_bought": sheet in answer.chosen_layouts(),
        "gap_mm": sheet.request.gap_mm,
        "found_by": sheet.layout.found_by,
        "checked": sheet.layout.verdict.passed,
    }


def layout_row(sheet: SheetLayout) -> Row:
    """One layout: of what, how wide and long, and what of it is used."""
    return {
        "material_id": sheet.material.id,
        "material": sheet.material.name,
        "shop_width_mm": sheet.shop_width_mm,
        "length_mm": sheet.layout.length_mm,
        "bought_mm": sheet.bought_mm,
        "share_used": sheet.layout.share_used,
    }


def placement_rows(sheet: SheetLayout) -> Iterator[Row]:
    """Where each piece of one layout lies."""
    for one in sheet.layout.placements:
        yield {"material_id": sheet.material.id, "shop_width_mm": sheet.shop_width_mm, **plain_row(one)}
