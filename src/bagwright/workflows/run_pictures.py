"""Pictures of the cloths of a run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bagwright.model.bag import Workroom
from bagwright.output.layouts import draw_layout
from bagwright.output.svg import inline_svg
from bagwright.units import UnitSystem
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.cut_list import washed_length_mm
from bagwright.workflows.desk import Remembered
from bagwright.workflows.recutting import names_laid
from bagwright.workflows.run_answer import RunAnswer, planned_sheets


@dataclass(frozen=True, slots=True, kw_only=True)
class RunClothPicture:
    """One cloth of the plan with all its pieces."""

    name: str
    width_mm: float
    length_mm: float
    share: float
    svg: str


def run_cloths(answer: RunAnswer, workroom: Workroom) -> Iterator[RunClothPicture]:
    """Those layouts as pictures."""
    names = {cut.id: cut.name for bag in answer.bags for cut in bag.cuts}
    names |= {f"{bag.bag.id}: {cut.id}": f"{cut.name}, {bag.bag.name}" for bag in answer.bags for cut in bag.cuts}
    for number, sheet in enumerate(planned_sheets(answer)):
        bought = [one for one in answer.plan.purchases if one.material_id == sheet.material.id] if answer.plan else []
        length = max((one.quantity for one in bought if one.quantity_unit == "mm"), default=sheet.bought_mm)
        laid = names_laid(names, sheet.request)
        yield RunClothPicture(
            name=sheet.material.name,
            width_mm=sheet.shop_width_mm,
            length_mm=sheet.layout.length_mm,
            share=sheet.layout.share_used,
            svg=_picture(sheet, laid, length, workroom.units, number=number),
        )


_drawn: Remembered[tuple[object, ...], str] = Remembered(100)


def _picture(sheet: SheetLayout, names: Mapping[str, str], bought_mm: float, units: UnitSystem, *, number: int) -> str:
    washed = washed_length_mm(sheet.material, bought_mm)
    # The layout's hash of its request stands for the outlines of the pieces.
    key = (sheet.layout, tuple(names.items()), sheet.material.id, sheet.material.kind, bought_mm, washed, units, number)
    kept = _drawn.get(key)
    if kept:
        return kept
    drawing = draw_layout(
        sheet.layout,
        sheet.request.pieces,
        names,
        kind=sheet.material.kind,
        bought_length_mm=bought_mm,
        washed_length_mm=washed,
        units=units,
    )
    return _drawn.put(key, inline_svg(drawing, id_prefix=f"run-cloth-{number}"))
