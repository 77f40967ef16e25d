"""Pictures of the cloths of a run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bagwright.model.bag import Workroom
from bagwright.output.layouts import draw_layout
from bagwright.output.svg import inline_svg
from bagwright.workflows.cut_list import washed_length_mm
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
        drawing = draw_layout(
            sheet.layout,
            sheet.request.pieces,
            names_laid(names, sheet.request),
            kind=sheet.material.kind,
            bought_length_mm=length,
            washed_length_mm=washed_length_mm(sheet.material, length),
            units=workroom.units,
        )
        yield RunClothPicture(
            name=sheet.material.name,
            width_mm=sheet.shop_width_mm,
            length_mm=sheet.layout.length_mm,
            share=sheet.layout.share_used,
            svg=inline_svg(drawing, id_prefix=f"run-cloth-{number}"),
        )
