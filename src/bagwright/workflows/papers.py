"""Papers of a bag, as bytes with their kind and file name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from bagwright.errors import NotKept
from bagwright.model.pattern import Pattern
from bagwright.output.dxf import pattern_dxf
from bagwright.output.one_sheet import projector_file
from bagwright.output.pdf import drawings_pdf, one_sheet_pdf, pattern_pdf
from bagwright.output.pieces import draw_pieces
from bagwright.output.rulers import Measuring
from bagwright.output.slope_card import draw_slope_card
from bagwright.output.svg import svg_file
from bagwright.workflows.answer_tables import answer_tables, cut_list_rows
from bagwright.workflows.desk import BagView, Desk, view_bag
from bagwright.workflows.making_papers import cost_sheet, making_sheet
from bagwright.workflows.measured_fields import USUAL_ANGLE_DEG
from bagwright.workflows.tables import CSV_KIND, JSON_KIND, ZIP_KIND, table_as_csv, tables_as_csv, tables_as_json
from bagwright.workflows.typed_readings import read_angle_deg
from bagwright.workflows.zone_templates import with_zone_templates


@dataclass(frozen=True, slots=True)
class PaperFile:
    """A file to hand over."""

    name: str
    kind: str
    data: bytes


def _to_cut(view: BagView) -> Pattern:
    """The pieces and the zones that layers of their own cover."""
    return with_zone_templates(view.answer.pattern, view.answer.bag.stacks, view.shelf)


def _templates(view: BagView, paper: str) -> bytes:
    room, bag = view.workroom, view.answer.bag
    return pattern_pdf(_to_cut(view), paper=paper, units=room.units, fraction=room.fraction, title=bag.name)


def _one_sheet(view: BagView, roll: str) -> bytes:
    room, bag = view.workroom, view.answer.bag
    return one_sheet_pdf(_to_cut(view), roll=roll, units=room.units, fraction=room.fraction, title=bag.name)


def _projected(view: BagView) -> bytes:
    room = view.workroom
    return projector_file(_to_cut(view), Measuring(room.units, room.fraction), title=view.answer.bag.name)


def _pieces_svg(view: BagView) -> bytes:
    room = view.workroom
    drawing = draw_pieces(_to_cut(view), units=room.units, fraction=room.fraction, true_scale=True)
    return svg_file(drawing)


_PAPERS: Mapping[str, tuple[str, Callable[[BagView], bytes]]] = {
    "templates-a4.pdf": ("application/pdf", lambda view: _templates(view, "A4")),
    "templates-letter.pdf": ("application/pdf", lambda view: _templates(view, "Letter")),
    "one-sheet-36in.pdf": ("application/pdf", lambda view: _one_sheet(view, "36in")),
    "one-sheet-841mm.pdf": ("application/pdf", lambda view: _one_sheet(view, "841mm")),
    "projector.svg": ("image/svg+xml", _projected),
    "pieces.svg": ("image/svg+xml", _pieces_svg),
    "pieces.dxf": ("image/vnd.dxf", lambda view: pattern_dxf(_to_cut(view))),
    "making-a4.pdf": ("application/pdf", lambda view: making_sheet(view, paper="A4")),
    "making-letter.pdf": ("application/pdf", lambda view: making_sheet(view, paper="Letter")),
    "cost-a4.pdf": ("application/pdf", lambda view: cost_sheet(view, paper="A4", today=date.today())),
    "cost-letter.pdf": ("application/pdf", lambda view: cost_sheet(view, paper="Letter", today=date.today())),
    "cut-list.csv": (CSV_KIND, lambda view: table_as_csv(list(cut_list_rows(view.answer, view.shelf)))),
    "tables.json": (JSON_KIND, lambda view: tables_as_json(view.answer.bag.name, answer_tables(view))),
    "tables-csv.zip": (ZIP_KIND, lambda view: tables_as_csv(answer_tables(view))),
}
PAPER_NAMES = tuple(_PAPERS)
SLOPE_CARDS: Mapping[str, str] = {"slope-card-a4.pdf": "A4", "slope-card-letter.pdf": "Letter"}


def slope_card(name: str, angle: str = "") -> PaperFile:
    """The card of the ruler test, one of `SLOPE_CARDS`, at the angle typed, or else that of the standards.

    Raises `NotKept`, `FaultyInput`.
    """
    if name not in SLOPE_CARDS:
        raise NotKept(f"paper {name!r}")
    paper, title = SLOPE_CARDS[name], "Slope card for the ruler test"
    angle_deg = read_angle_deg(angle, place="angle_deg") if angle.strip() else USUAL_ANGLE_DEG
    data = drawings_pdf([draw_slope_card(angle_deg, paper=paper)], paper=paper, title=title)
    return PaperFile(name, "application/pdf", data)


def paper_of_bag(desk: Desk, bag_id: str, paper: str) -> PaperFile:
    """The paper of that name, one of `PAPER_NAMES`. Raises `NotKept` for an unknown bag or paper."""
    if paper not in _PAPERS:
        raise NotKept(f"paper {paper!r}")
    kind, write = _PAPERS[paper]
    return PaperFile(f"{bag_id}-{paper}", kind, write(view_bag(desk, bag_id)))
