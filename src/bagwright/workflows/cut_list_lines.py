"""The cut list of one bag: for each material what is cut from it, with sizes and seam allowances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from bagwright.model.material import Extent
from bagwright.model.pattern import Pattern
from bagwright.model.piece import EdgeUse, Piece
from bagwright.output.piece_lines import told_count
from bagwright.output.rulers import Measuring
from bagwright.workflows.cut_list import Stacks, cut_piece, layers_on
from bagwright.workflows.shelf import Shelf


@dataclass(frozen=True, slots=True, kw_only=True)
class CutListLine:
    """One shape cut from one material, `piece.count` times for one bag; of no material if none is chosen yet.

    Sizes are those of the cut shape, unfolded, in mm; `allowances_mm` the least and the greatest within it, none where
    it is cut along the stitch line.
    """

    material_id: str
    material: str
    piece: Piece
    name: str
    extent: Extent
    width_mm: float
    height_mm: float
    allowances_mm: tuple[float, float] | None

    def words(self, measuring: Measuring) -> str:
        """The line as it stands on a list."""
        size = measuring.told_size(self.width_mm, self.height_mm)
        opened = ", opened out" if self.piece.fold_edge else ""
        return f"{self.name}: {told_count(self.piece)}, {size}{opened}; {self.told_allowance(measuring)}"

    def told_allowance(self, measuring: Measuring) -> str:
        """How wide its seam allowances are."""
        if self.allowances_mm is None:
            return "up to the stitch line, no seam allowance" if self.extent is Extent.NET else "no seam allowance"
        low, high = self.allowances_mm
        least, most = measuring.told(low), measuring.told(high)
        return f"seam allowance {most}" if least == most else f"seam allowances {least} to {most}"


def cut_list_lines(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[CutListLine, ...]:
    """All lines, in the order of the pieces; a shape cut twice from one material is one line with a larger count."""
    lines: dict[tuple[str, ...], CutListLine] = {}
    for line in _lines(pattern, stacks, shelf):
        key = (line.material_id, line.piece.id, line.name, line.extent)
        before = lines.get(key)
        count = line.piece.count + (before.piece.count if before else 0)
        lines[key] = replace(line, piece=replace(line.piece, count=count))
    return tuple(lines.values())


def _lines(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Iterator[CutListLine]:
    for piece in pattern.pieces:
        if piece.is_bought:
            continue
        for layer in layers_on(piece, stacks) if stacks.get(piece.role) else (None,):
            cut = cut_piece(piece, layer) if layer else None
            region = cut.region if cut else piece.region()
            extent = cut.extent if cut else Extent.WHOLE
            found = shelf.materials.get(layer.material_id) if layer else None
            yield CutListLine(
                material_id=found.id if found else "",
                material=found.name if found else "",
                piece=piece,
                name=cut.name if cut else piece.name,
                extent=extent,
                width_mm=region.width_mm,
                height_mm=region.height_mm,
                allowances_mm=_allowances_mm(piece) if extent is Extent.WHOLE else None,
            )


def _allowances_mm(piece: Piece) -> tuple[float, float] | None:
    """The least and the greatest of those that are cut; None if it has none."""
    widths = [piece.allowance_mm.get(e.name, 0.0) for e in piece.net.edges if piece.edge_use[e.name] != EdgeUse.FOLD]
    kept = [width for width in widths if width > 0]
    return (min(kept), max(kept)) if kept else None
