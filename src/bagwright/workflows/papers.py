"""Papers of a bag, as bytes with their kind and file name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bagwright.errors import NotKept
from bagwright.model.bag import Workroom
from bagwright.model.pattern import Pattern
from bagwright.output.dxf import pattern_dxf
from bagwright.output.pdf import pattern_pdf
from bagwright.output.pieces import draw_pieces
from bagwright.output.svg import svg_file
from bagwright.workflows.desk import Desk, view_bag


@dataclass(frozen=True, slots=True)
class PaperFile:
    """A file to hand over."""

    name: str
    kind: str
    data: bytes


def _svg(pattern: Pattern, workroom: Workroom) -> bytes:
    return svg_file(draw_pieces(pattern, units=workroom.units, fraction=workroom.fraction))


_PAPERS: Mapping[str, tuple[str, Callable[[Pattern, Workroom], bytes]]] = {
    "templates-a4.pdf": ("application/pdf", lambda p, w: pattern_pdf(p, paper="A4", units=w.units)),
    "templates-letter.pdf": ("application/pdf", lambda p, w: pattern_pdf(p, paper="Letter", units=w.units)),
    "pieces.svg": ("image/svg+xml", _svg),
    "pieces.dxf": ("image/vnd.dxf", lambda p, _: pattern_dxf(p)),
}


def paper_of_bag(desk: Desk, bag_id: str, paper: str) -> PaperFile:
    """The paper of that name. Raises `NotKept` for an unknown bag or paper."""
    if paper not in _PAPERS:
        raise NotKept(f"paper {paper!r}")
    kind, write = _PAPERS[paper]
    view = view_bag(desk, bag_id)
    return PaperFile(f"{bag_id}-{paper}", kind, write(view.answer.pattern, view.workroom))
