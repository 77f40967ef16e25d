"""The supply list as files: PDF, CSV, JSON."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator

from bagwright.errors import NotKept
from bagwright.output.pdf import drawings_pdf
from bagwright.output.word_sheet import SheetPart, draw_word_sheet
from bagwright.workflows.desk import Desk
from bagwright.workflows.papers import PaperFile
from bagwright.workflows.run_tables import run_tables
from bagwright.workflows.runs import view_run
from bagwright.workflows.supply_list import ListFor, SupplyLine, SupplyList, supply_list
from bagwright.workflows.tables import TABLE_FILES, harmless, tables_as

SUPPLY_PAPERS = ("supplies-a4.pdf", "supplies-letter.pdf", "supplies.csv", "supplies.json")


def supply_paper(desk: Desk, run_id: str, paper: str, list_for: ListFor) -> PaperFile:
    """The list as one of `SUPPLY_PAPERS`, or the run as one of `tables.TABLE_FILES`.

    Raises `NotKept` for an unknown run or paper, and for a list without a plan.
    """
    view = view_run(desk, run_id)
    if paper in TABLE_FILES:
        return PaperFile(f"{run_id}-{paper}", *tables_as(paper, view.answer.run.name, run_tables(view)))
    found = supply_list(desk, view, list_for)
    if found is None or paper not in SUPPLY_PAPERS:
        raise NotKept(f"paper {paper!r}")
    name = f"{run_id}-{list_for.value}-{paper}"
    if paper == "supplies.csv":
        return PaperFile(name, "text/csv; charset=utf-8", supplies_as_csv(found))
    if paper == "supplies.json":
        return PaperFile(name, "application/json", json.dumps(supplies_as_json(found), indent=1).encode())
    size = "A4" if paper == "supplies-a4.pdf" else "Letter"
    pages = draw_word_sheet(title_of(found), found.made, list(_parts(found)), paper=size)
    return PaperFile(name, "application/pdf", drawings_pdf(pages, paper=size, title=title_of(found)))


def title_of(found: SupplyList) -> str:
    """Its heading."""
    return f"Supplies for {found.run_name}"


def _parts(found: SupplyList) -> Iterator[SheetPart]:
    for group in found.groups:
        yield SheetPart(group.heading, tuple(line_words(line) for line in group.lines), has_boxes=True)
    if found.total:
        yield SheetPart("Paid today", (found.total,))
    yield SheetPart("What may be swapped", found.swaps)
    yield SheetPart("Take care", found.cautions)


def line_words(line: SupplyLine) -> str:
    """One line in words."""
    return f"{line.amount}: {line.paid}" if line.paid else line.amount


def supplies_as_csv(found: SupplyList) -> bytes:
    """One row for each line, under a row of names; cells that a spreadsheet might reckon with are made harmless."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["where", "name", "kind", "amount", "paid"])
    for group in found.groups:
        for line in group.lines:
            writer.writerow(map(harmless, (group.heading, line.name, line.kind, line.amount, line.paid)))
    return text.getvalue().encode("utf-8-sig")


def supplies_as_json(found: SupplyList) -> dict[str, object]:
    """The list for machines."""
    return {
        "run": found.run_name,
        "made": found.made,
        "for": found.list_for.value,
        "groups": [
            {
                "heading": group.heading,
                "lines": [
                    {
                        "material_id": line.material_id,
                        "name": line.name,
                        "kind": line.kind,
                        "amount": line.amount,
                        "paid": line.paid or None,
                    }
                    for line in group.lines
                ],
            }
            for group in found.groups
        ],
        "swaps": list(found.swaps),
        "cautions": list(found.cautions),
        "total": found.total or None,
    }
