"""Where a panel is not made of all its layers: what is left there, and how it is held."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bagwright.model.body import Bond, Sheet
from bagwright.model.material import Held


def sheets_left(sheets: Sequence[Sheet], reaches: Sequence[bool]) -> list[Sheet]:
    """The sheets that reach into a zone, from the outside in; `reaches` says of each whether it does.

    What was held to a sheet that ends before lies loose on the next one there.

    >>> from bagwright.model.source import Reading
    >>> canvas, felt, lining = (
    ...     Sheet(name=name, mass_gsm=Reading.exact(300), thickness_mm=Reading.exact(1), overhang_mm=Reading.exact(80),
    ...           held=Held.FUSED)
    ...     for name in ("canvas", "felt", "lining")
    ... )
    >>> [(sheet.name, sheet.held.value) for sheet in sheets_left([canvas, felt, lining], [True, False, True])]
    [('canvas', 'fused'), ('lining', 'loose')]

    Raises `ValueError` unless there is one answer for each sheet.
    """
    left: list[Sheet] = []
    before = True
    for sheet, does in zip(sheets, reaches, strict=True):
        if does:
            left.append(sheet if before else replace(sheet, held=Held.LOOSE, bond=Bond()))
        before = does
    return left
