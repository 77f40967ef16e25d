"""The files that `bagwright draft` writes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bagwright.model.pattern import Pattern
from bagwright.output.dxf import pattern_dxf
from bagwright.output.one_sheet import ROLL_MM, projector_file
from bagwright.output.pdf import one_sheet_pdf, pattern_pdf
from bagwright.output.pieces import draw_pieces
from bagwright.output.rulers import Measuring
from bagwright.output.svg import svg_file
from bagwright.units import UnitSystem
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.files import NewFile, write_files
from bagwright.workflows.fold_up import Viewpoint, folded_file, usual_viewpoint


@dataclass(frozen=True, slots=True, kw_only=True)
class FileWishes:
    """How files are to be: `paper` for the PDF ("A4", "Letter" or a roll of `ROLL_MM`), the view of the bag folded up.

    What is not said is usual: Letter with inches and A4 with metric units, and a view from the right and above.
    """

    units: UnitSystem
    paper: str | None = None
    turn_deg: float | None = None
    tilt_deg: float | None = None


def write_pattern(pattern: Pattern, paths: Mapping[str, str], wishes: FileWishes) -> None:
    """Write the pattern in each format ("svg", "pdf", "dxf", "projector", "folded") for which `paths` has a path.

    Raises `FaultyInput` for every path that cannot be written; then nothing is.
    """
    writers = {"svg": _svg, "pdf": _pdf, "dxf": _dxf, "projector": _projector, "folded": _folded}
    write_files(NewFile(path, writers[kind](pattern, wishes), f"--{kind}") for kind, path in paths.items())


def _svg(pattern: Pattern, wishes: FileWishes) -> bytes:
    return svg_file(draw_pieces(pattern, units=wishes.units, true_scale=True))


def _pdf(pattern: Pattern, wishes: FileWishes) -> bytes:
    paper = wishes.paper or ("Letter" if wishes.units is UnitSystem.INCH else "A4")
    title = form_of_key(pattern.form).name
    if paper in ROLL_MM:
        return one_sheet_pdf(pattern, roll=paper, units=wishes.units, title=title)
    return pattern_pdf(pattern, paper=paper, units=wishes.units, title=title)


def _dxf(pattern: Pattern, _wishes: FileWishes) -> bytes:
    return pattern_dxf(pattern)


def _projector(pattern: Pattern, wishes: FileWishes) -> bytes:
    return projector_file(pattern, Measuring(wishes.units), title=form_of_key(pattern.form).name)


def _folded(pattern: Pattern, wishes: FileWishes) -> bytes:
    usual = usual_viewpoint(pattern)
    turn, tilt = wishes.turn_deg, wishes.tilt_deg
    view = Viewpoint(usual.turn_deg if turn is None else turn, usual.tilt_deg if tilt is None else tilt)
    return folded_file(pattern, view.moved(), units=wishes.units)
