"""The files that `bagwright draft` writes."""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.model.pattern import Pattern
from bagwright.output.dxf import pattern_dxf
from bagwright.output.pdf import pattern_pdf
from bagwright.output.pieces import draw_pieces
from bagwright.output.svg import svg_file
from bagwright.units import UnitSystem
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.files import NewFile, write_files


def write_pattern(pattern: Pattern, paths: Mapping[str, str], *, units: UnitSystem, paper: str | None = None) -> None:
    """Write the pattern in each format ("svg", "pdf", "dxf") for which `paths` has a path.

    `paper` for the PDF is "A4" or "Letter"; if not said, Letter with inches and A4 with metric units.
    Raises `FaultyInput` for every path that cannot be written; then nothing is.
    """
    writers = {"svg": _svg, "pdf": _pdf, "dxf": _dxf}
    usual = "Letter" if units is UnitSystem.INCH else "A4"
    write_files(
        NewFile(path, writers[kind](pattern, units, paper or usual), f"--{kind}") for kind, path in paths.items()
    )


def _svg(pattern: Pattern, units: UnitSystem, _paper: str) -> bytes:
    return svg_file(draw_pieces(pattern, units=units, true_scale=True))


def _pdf(pattern: Pattern, units: UnitSystem, paper: str) -> bytes:
    return pattern_pdf(pattern, paper=paper, units=units, title=form_of_key(pattern.form).name)


def _dxf(pattern: Pattern, _units: UnitSystem, _paper: str) -> bytes:
    return pattern_dxf(pattern)
