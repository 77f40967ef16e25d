"""The cutting table on paper and as a picture."""

from __future__ import annotations

from bagwright.errors import NotKept
from bagwright.output.cut_columns import SheetWords
from bagwright.output.cut_plan import CutPlan, draw_cut_plan, draw_cut_sheet, remnant_letter
from bagwright.output.pdf import drawings_pdf
from bagwright.output.svg import inline_svg
from bagwright.workflows.cut_words import block_in_words, piece_lines
from bagwright.workflows.cutting_table import TablePlan, view_table
from bagwright.workflows.desk import BagView, Desk
from bagwright.workflows.papers import PaperFile

TABLE_PAPERS = {"cutting-a4.pdf": "A4", "cutting-letter.pdf": "Letter"}


def cut_picture(plan: TablePlan) -> str:
    """The cloth with its numbered cuts and what is left, as SVG."""
    drawing = draw_cut_plan(_drawn(plan), units=plan.measuring.units, fraction=plan.measuring.fraction)
    return inline_svg(drawing, id_prefix="cut-plan")


def cutting_paper(desk: Desk, bag_id: str, material_id: str, paper: str) -> PaperFile:
    """The page for the cutting table, one of `TABLE_PAPERS`. Raises `NotKept` for an unknown bag, cloth or paper."""
    if paper not in TABLE_PAPERS:
        raise NotKept(f"paper {paper!r}")
    view, plan = view_table(desk, bag_id, material_id)
    units, fraction = plan.measuring.units, plan.measuring.fraction
    size = TABLE_PAPERS[paper]
    pages = draw_cut_sheet(_drawn(plan), _words(view, plan), paper=size, units=units, fraction=fraction)
    title = f"{view.answer.bag.name}: {plan.material.name}"
    return PaperFile(f"{bag_id}-{material_id}-{paper}", "application/pdf", drawings_pdf(pages, paper=size, title=title))


def remnant_name(number: int) -> str:
    """What a remnant is called on the drawing."""
    return remnant_letter(number)


def _drawn(plan: TablePlan) -> CutPlan:
    return CutPlan(
        layout=plan.layout,
        pieces=plan.sheet.request.pieces,
        names=plan.names,
        kind=plan.material.kind,
        table_length_mm=plan.table_mm,
        cuts=plan.cuts,
        remnants=tuple(left.remnant for left in plan.remnants),
        is_doubled=plan.is_doubled,
    )


def _words(view: BagView, plan: TablePlan) -> SheetWords:
    bag = view.answer.bag
    bags = "1 bag" if bag.run_count == 1 else f"{bag.run_count} bags"
    copies = len(plan.layout.placements)
    cuts: list[tuple[str, str]] = []
    block = ""
    for line in plan.lines():
        if line.block != block:
            block = line.block
            cuts.append(("", block_in_words(block, plan.cuts, plan.layout, plan.names)))
        cuts.append((line.numbers, f"{line.words} {line.frees}".strip()))
    return SheetWords(
        title=f"{bag.name}: {plan.material.name}",
        under_title=f"{bags}, {copies} {'piece' if copies == 1 else 'pieces'}. {plan.total}",
        pieces=piece_lines(plan.layout, plan.sheet.request.pieces, plan.names, plan.measuring),
        before=plan.before(),
        cuts=cuts,
        left=[(remnant_letter(i), told) for i, told in enumerate(left_in_words(plan))],
        cautions=plan.cautions,
    )


def left_in_words(plan: TablePlan) -> list[str]:
    """Each remnant: its size along and across the grain, and its share of what was paid."""
    return [
        f"{'' if left.remnant.is_rectangle else 'odd shape, with '}"
        f"{plan.measuring.told_size(left.remnant.length_mm, left.remnant.width_mm)}"
        + (f", {left.value.said()}" if left.value else "")
        for left in plan.remnants
    ]
