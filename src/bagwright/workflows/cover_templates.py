"""Pieces of a bag's inner layers as templates that scraps may be laid under."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bagwright.geometry.curves import Affine, Point
from bagwright.model.cover import CoverTemplate
from bagwright.model.material import Extent, Material, MaterialKind
from bagwright.model.piece import CutPiece, Mirror, Piece
from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.workflows.answer import ready_of
from bagwright.workflows.desk import BagView

MIRRORED = " (mirrored)"
_DOT_MM = 1.0
_PIECED = frozenset(
    {
        MaterialKind.WOVEN_INTERFACING,
        MaterialKind.NONWOVEN_INTERFACING,
        MaterialKind.FLEECE,
        MaterialKind.FELT,
        MaterialKind.FOAM,
    }
)


@dataclass(frozen=True, slots=True)
class AskedTemplate:
    """One piece of a layer as a template: the cut it stands for. `bag_name`: whose it is, where that is to be told."""

    template: CoverTemplate
    cut: CutPiece
    bag_name: str = ""


def pieceable(view: BagView) -> tuple[Material, ...]:
    """Materials of the bag that lie inside its layers and may be pieced: interfacing, fleece, felt, foam."""
    ids = dict.fromkeys(cut.material_id for cut in view.answer.cuts if _is_inner(view, cut))
    return tuple(material for one in ids if _may_be_pieced(material := view.shelf.materials[one]))


def _is_inner(view: BagView, cut: CutPiece) -> bool:
    """Whether the material is not what its role shows."""
    layers = view.answer.bag.stacks.get(view.answer.pattern.piece(cut.piece_id).role, ())
    return bool(layers) and layers[0].material_id != cut.material_id


def _may_be_pieced(material: Material) -> bool:
    return material.kind in _PIECED and not (material.directional or material.repeat_along_mm)


def asked_templates(view: BagView, material: Material, wishes: ScrapWishes) -> tuple[AskedTemplate, ...]:
    """What is still to be cut of that material for the run, grain along x; of mirrored pairs, each side by itself."""
    ready, found = dict(ready_of(view.answer, material)), list[AskedTemplate]()
    for cut in view.answer.cuts:
        if cut.material_id == material.id and _is_inner(view, cut):
            wanted = cut.count * view.answer.bag.run_count
            taken = min(ready.get(cut.id, 0), wanted)
            ready[cut.id] = ready.get(cut.id, 0) - taken
            found += _templates(view, cut, wanted - taken, wishes)
    return tuple(_counted_once(found))


def _counted_once(found: Sequence[AskedTemplate]) -> Iterator[AskedTemplate]:
    """Two layers of one material on one piece are one template with twice the copies."""
    counts: dict[str, int] = {}
    for one in found:
        counts[one.template.id] = counts.get(one.template.id, 0) + one.template.count
    first = {one.template.id: one for one in reversed(found)}
    for name, count in counts.items():
        yield AskedTemplate(replace(first[name].template, count=count), first[name].cut)


def _templates(view: BagView, cut: CutPiece, count: int, wishes: ScrapWishes) -> Iterator[AskedTemplate]:
    piece = view.answer.pattern.piece(cut.piece_id)
    is_net = cut.extent is Extent.WHOLE and not wishes.with_allowance
    upright = Affine(-cut.grain_deg)
    need = (piece.region(Extent.NET) if is_net else cut.region).moved(upright)
    lines = [tuple(map(upright.apply, line)) for line in keep_off_lines(piece)]
    paired = count // 2 if cut.mirror is Mirror.PAIRS else 0
    if count - paired:
        yield AskedTemplate(
            CoverTemplate(id=cut.id, need=need, count=count - paired, keep_off=tuple(lines)),
            cut,
        )
    if paired:
        over = Affine(mirrors=True)
        lines = [tuple(map(over.apply, line)) for line in lines]
        yield AskedTemplate(
            CoverTemplate(id=cut.id + MIRRORED, need=need.moved(over), count=paired, keep_off=tuple(lines)), cut
        )


def keep_off_lines(piece: Piece) -> tuple[tuple[Point, ...], ...]:
    """Where no join should run: bends, lines for straps, pockets and the like, and drill marks; on both halves."""
    lines = [(bend.start, bend.end) for bend in piece.bends if bend.angle_deg]
    lines += [(line.start, line.end) for line in piece.lines]
    for mark in piece.drill_marks:
        x, y = mark.at
        lines.append(((x - _DOT_MM, y), (x + _DOT_MM, y)))
    if piece.fold_edge is None:
        return tuple(dict.fromkeys(lines))
    fold = piece.net.edge(piece.fold_edge)
    over = [(_over(a, fold.start, fold.end), _over(b, fold.start, fold.end)) for a, b in lines]
    return tuple(dict.fromkeys((*lines, *over)))


def _over(point: Point, start: Point, end: Point) -> Point:
    """The point on the other side of a fold."""
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    away_x, away_y = point[0] - start[0], point[1] - start[1]
    share = (away_x * along_x + away_y * along_y) / (along_x**2 + along_y**2)
    return 2 * (start[0] + share * along_x) - point[0], 2 * (start[1] + share * along_y) - point[1]
