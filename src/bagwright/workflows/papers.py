"""Papers of a bag, as bytes with their kind and file name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bagwright.errors import NotKept
from bagwright.output.dxf import pattern_dxf
from bagwright.output.pdf import pattern_pdf
from bagwright.output.pieces import draw_pieces
from bagwright.output.svg import svg_file
from bagwright.workflows.desk import BagView, Desk, view_bag


@dataclass(frozen=True, slots=True)
class PaperFile:
    """A file to hand over."""

    name: str
    kind: str
    data: bytes


def _templates(view: BagView, paper: str) -> bytes:
    room, bag = view.workroom, view.answer.bag
    return pattern_pdf(view.answer.pattern, paper=paper, units=room.units, fraction=room.fraction, title=bag.name)


def _pieces_svg(view: BagView) -> bytes:
    room = view.workroom
    drawing = draw_pieces(view.answer.pattern, units=room.units, fraction=room.fraction, true_scale=True)
    return svg_file(drawing)


_PAPERS: Mapping[str, tuple[str, Callable[[BagView], bytes]]] = {
    "templates-a4.pdf": ("application/pdf", lambda view: _templates(view, "A4")),
    "templates-letter.pdf": ("application/pdf", lambda view: _templates(view, "Letter")),
    "pieces.svg": ("image/svg+xml", _pieces_svg),
    "pieces.dxf": ("image/vnd.dxf", lambda view: pattern_dxf(view.answer.pattern)),
}
PAPER_NAMES = tuple(_PAPERS)


def paper_of_bag(desk: Desk, bag_id: str, paper: str) -> PaperFile:
    """The paper of that name, one of `PAPER_NAMES`. Raises `NotKept` for an unknown bag or paper."""
    if paper not in _PAPERS:
        raise NotKept(f"paper {paper!r}")
    kind, write = _PAPERS[paper]
    return PaperFile(f"{bag_id}-{paper}", kind, write(view_bag(desk, bag_id)))
