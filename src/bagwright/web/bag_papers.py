"""What the page of a bag hands out: papers to print, and files."""

from __future__ import annotations

from bagwright.web.pages import Paper, PaperRow

_TEMPLATES = (
    "Every piece at true scale, over pages to be joined. Its lines and names are layers that a PDF reader can switch "
    "off. Letters print in Latin, Greek and Cyrillic; others as a question mark."
)
_TABLES = (
    "Pieces, cut list, layouts, what to buy, price, times, steps, thread and body as tables, in mm, grams and minutes. "
    "CSV comes as one ZIP file with a table in each."
)


def paper_rows(bag_id: str) -> tuple[PaperRow, ...]:
    """What is printed, and the bag itself."""
    return (
        PaperRow("Templates", _TEMPLATES, _printed(bag_id, "templates")),
        PaperRow(
            "On one sheet",
            "For a print shop, on a roll 36 in or 841 mm wide; or for a projector over your table.",
            _named(
                bag_id,
                ("36 in", "one-sheet-36in.pdf"),
                ("841 mm", "one-sheet-841mm.pdf"),
                ("Projector", "projector.svg"),
            ),
        ),
        PaperRow(
            "Work sheet", "What to cut, fuse and sew, to tick off; words for the label.", _printed(bag_id, "making")
        ),
        PaperRow("Cost sheet", "The price part by part, dated, with what was assumed.", _printed(bag_id, "cost")),
        PaperRow(
            "The whole bag",
            "One file to keep, or to hand on; without your times.",
            _named(bag_id, ("File", "bag.json")),
        ),
    )


def file_rows(bag_id: str) -> tuple[PaperRow, ...]:
    """The same for other programs."""
    return (
        PaperRow("Pieces", "At true scale.", _named(bag_id, ("SVG", "pieces.svg"), ("DXF", "pieces.dxf"))),
        PaperRow(
            "Cut list", "The cut list of the work sheet, for a spreadsheet.", _named(bag_id, ("CSV", "cut-list.csv"))
        ),
        PaperRow("All in numbers", _TABLES, _named(bag_id, ("CSV", "tables-csv.zip"), ("JSON", "tables.json"))),
    )


def _printed(bag_id: str, stem: str) -> tuple[Paper, ...]:
    return _named(bag_id, ("A4", f"{stem}-a4.pdf"), ("Letter", f"{stem}-letter.pdf"))


def _named(bag_id: str, *files: tuple[str, str]) -> tuple[Paper, ...]:
    return tuple(Paper(label, f"/bags/{bag_id}/{file}") for label, file in files)
