"""Drawings from outside, told apart by what they hold, never by their names."""

from __future__ import annotations

import re

from bagwright.errors import FaultyInput, Problem
from bagwright.model.found_piece import FoundDrawing
from bagwright.output.dxf_reading import read_dxf
from bagwright.output.svg_reading import read_svg

_BOM = b"\xef\xbb\xbf"
_DXF_START = re.compile(rb"\s*(?:999[ \t]*\r?\n[^\n]*\n\s*)*0[ \t]*\r?\n[ \t]*(?:SECTION|EOF)\b|AutoCAD Binary DXF")
_PACKED = {b"PK\x03\x04": "a zip archive", b"\x1f\x8b": "compressed", b"%PDF": "a PDF", b"\x89PNG": "a picture"}


def read_drawing(data: bytes, *, mm_per_unit: float | None = None) -> FoundDrawing:
    """Every piece of an SVG or DXF drawing, in mm. Raises `FaultyInput` for anything else, and with every fault.

    `mm_per_unit`: how many mm one unit of the file is, if that is known better than the file says.

    >>> square = b'<svg width="9cm" height="9cm" viewBox="0 0 90 90"><path d="M5 5h60v60h-60z"/></svg>'
    >>> [round(edge.length_mm, 9) for edge in read_drawing(square).pieces[0].outline.edges]
    [60.0, 60.0, 60.0, 60.0]
    """
    text = data.removeprefix(_BOM)
    if text[:2] in (b"\xff\xfe", b"\xfe\xff") or text.lstrip()[:1] == b"<":
        return read_svg(data, mm_per_unit=mm_per_unit)
    if _DXF_START.match(text[:5000]):
        return read_dxf(data, mm_per_unit=mm_per_unit)
    what = next((f"is {kind}" for sign, kind in _PACKED.items() if text.startswith(sign)), "is neither SVG nor DXF")
    problem = Problem(
        place="file",
        value="",
        what="is empty" if not text.strip() else what,
        allowed="a plain SVG or a text DXF drawing, up to 5 MB",
        remedy="Save your drawing as one of the two.",
    )
    raise FaultyInput([problem])
