"""From pieces and stacks to what is cut: one shape per piece, layer and extent."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Affine, Point
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.material import Extent, Layer, Material
from bagwright.model.pattern import Pattern
from bagwright.model.piece import CutPiece, Mirror, Piece
from bagwright.model.prints import PrintPoint, Repeat
from bagwright.model.zones import zone_title
from bagwright.workflows.contracts import Faults

Stacks = Mapping[str, tuple[Layer, ...]]
_SAME_DEG = 1e-6
_SHOWN_SHARE = 0.5


def stack_of(role: str, name: str, stacks: Stacks) -> tuple[Layer, ...]:
    """The layers of a role. Raises `FaultyInput` if none was chosen yet."""
    stack = stacks.get(role, ())
    if not stack:
        problem = Problem(
            place=f"stacks.{role}",
            value="",
            what=f"{name} has no material yet",
            allowed="at least one layer",
            remedy="Choose what it is made of.",
        )
        raise FaultyInput([problem])
    return stack


def layers_on(piece: Piece, stacks: Stacks) -> tuple[Layer, ...]:
    """The layers of its role that lie on a piece: not those of a zone that it does not have. Raises as `stack_of`."""
    layers = stack_of(piece.role, piece.name, stacks)
    return tuple(layer for layer in layers if layer.extent is not Extent.ZONE or piece.zone(layer.zone))


def cut_list(pattern: Pattern, stacks: Stacks) -> tuple[CutPiece, ...]:
    """Everything cut from sheets for one bag. Raises `FaultyInput` for every role without a stack."""
    cuts: list[CutPiece] = []
    faults = Faults()
    for piece in pattern.pieces:
        if not piece.is_bought:
            with faults:
                cuts += [cut_piece(piece, layer) for layer in layers_on(piece, stacks)]
    faults.raise_if_any()
    return tuple(cuts)


def cut_piece(piece: Piece, layer: Layer) -> CutPiece:
    """What of the piece is cut from one of its layers, as far as that reaches."""
    return CutPiece(
        piece_id=piece.id,
        name=zone_title(piece.name, layer.zone) if layer.zone else piece.name,
        material_id=layer.material_id,
        extent=layer.extent,
        region=piece.region(layer.extent, layer.zone),
        count=piece.count,
        mirror=piece.mirror,
        grain_deg=piece.grain_deg,
        on_fold=layer.extent is not Extent.ZONE and _folds_along_grain(piece),
        zone=layer.zone,
    )


def _folds_along_grain(piece: Piece) -> bool:
    """Whether one edge lies on a fold that runs along the grain, as the fold of cloth laid double does."""
    if piece.fold_edge is None:
        return False
    edge = piece.net.edge(piece.fold_edge)
    along = math.degrees(math.atan2(edge.end[1] - edge.start[1], edge.end[0] - edge.start[0]))
    return abs((along - piece.grain_deg + 90) % 180 - 90) < _SAME_DEG


def turns_deg(material: Material, grain_deg: float) -> tuple[float, ...] | None:
    """Turns that lay a piece's grain along the cloth: both ways, one way for directional cloth, any without grain.

    >>> from bagwright.model.material import MaterialKind
    >>> turns_deg(Material(id="c", name="c", kind=MaterialKind.PLAIN_CLOTH), 90.0)
    (-90.0, 90.0)
    """
    if material.directional:
        return (-grain_deg,)
    return (-grain_deg, 180.0 - grain_deg) if material.kind.has_grain else None


def usable_width_mm(material: Material, width_mm: float) -> float:
    """Width left after both selvedges and the wash."""
    selvedge = material.selvedge_mm.value if material.selvedge_mm else 0.0
    shrinkage = material.crosswise_shrinkage_share.value if material.crosswise_shrinkage_share else 0.0
    return (width_mm - 2 * selvedge) * (1 - shrinkage)


def bought_length_mm(material: Material, laid_length_mm: float) -> float:
    """Length to buy so that `laid_length_mm` is left after the wash."""
    return laid_length_mm / (1 - (material.shrinkage_share.value if material.shrinkage_share else 0.0))


def washed_length_mm(material: Material, bought_mm: float) -> float:
    """What the wash leaves of a length that was bought, the above turned round."""
    return bought_mm * (1 - (material.shrinkage_share.value if material.shrinkage_share else 0.0))


def lay_request(
    material: Material, cuts: tuple[CutPiece, ...], width_mm: float, *, run: int, gap_mm: float
) -> LayRequest:
    """What is to be laid on one cloth of shop width `width_mm` for `run` bags."""
    repeat = repeat_of(material)
    own = tuple(_with_grain_upright(cut) for cut in cuts if cut.material_id == material.id)
    met = _seams_met(own) if repeat else frozenset()
    pieces = tuple(
        LayPiece(
            id=cut.id,
            region=cut.region,
            count=cut.count * run,
            turns_deg=turns_deg(material, cut.grain_deg),
            mirror=_mirror(cut, met),
            on_fold=cut.on_fold,
            anchor=motif_place(cut, repeat) if repeat and not cut.any_print and not _points_met(cut, met) else None,
            goes_on=_points_met(cut, met),
            best_only=cut.best_only,
        )
        for cut in own
    )
    return LayRequest(
        width_mm=usable_width_mm(material, width_mm),
        pieces=_merged(pieces),
        gap_mm=gap_mm,
        is_doubled=material.laid_double and repeat is None,
        repeat=repeat,
    )


def _with_grain_upright(cut: CutPiece) -> CutPiece:
    """A piece of which mirrored copies are cut, turned so that its grain runs up: mirrored from side to side, it does
    so still, and print or nap stands the same way up on both copies."""
    if cut.mirror is Mirror.NO or abs(cut.grain_deg % 180 - 90) < _SAME_DEG:
        return cut
    turn_deg = 90 - cut.grain_deg
    move = Affine(turn_deg)
    goes_on = (replace(one, at=move.apply(one.at), along_deg=(one.along_deg + turn_deg) % 360) for one in cut.goes_on)
    return replace(cut, region=cut.region.moved(move), grain_deg=90.0, goes_on=tuple(goes_on))


def _seams_met(cuts: Sequence[CutPiece]) -> frozenset[str]:
    """Seams of which both sides are cut from this cloth."""
    ends = {(point.seam, cut.piece_id, point.at) for cut in cuts for point in cut.goes_on}
    sides = Counter(seam for seam, _, _ in ends)
    return frozenset(seam for seam, count in sides.items() if count > 1)


def _points_met(cut: CutPiece, met: frozenset[str]) -> tuple[PrintPoint, ...]:
    return tuple(point for point in cut.goes_on if point.seam in met)


def _mirror(cut: CutPiece, met: frozenset[str]) -> Mirror:
    if cut.on_fold or (cut.mirror is Mirror.EITHER and _points_met(cut, met)):
        return Mirror.NO
    return cut.mirror


def repeat_of(material: Material) -> Repeat | None:
    """The repeat of its print after the wash, if it has one.

    >>> from bagwright.model.material import MaterialKind
    >>> from bagwright.model.source import Reading
    >>> cloth = Material(id="c", name="c", kind=MaterialKind.PLAIN_CLOTH, repeat_along_mm=Reading.exact(320))
    >>> repeat_of(cloth)
    Repeat(along_mm=320.0, across_mm=0.0, drop_share=0.0, first_along_mm=0.0, first_across_mm=0.0)
    """
    along, across = (
        reading.value if reading else 0.0 for reading in (material.repeat_along_mm, material.repeat_across_mm)
    )
    if not along and not across:
        return None
    shrinks = (material.shrinkage_share, material.crosswise_shrinkage_share)
    left, left_across = (1 - (reading.value if reading else 0.0) for reading in shrinks)
    drop = 0.5 if material.half_drop and along and across else 0.0
    selvedge = material.selvedge_mm.value if material.selvedge_mm else 0.0
    first = (material.motif_in_mm.value - selvedge) * left_across if material.motif_in_mm and across else 0.0
    return Repeat(along_mm=along * left, across_mm=across * left_across, drop_share=drop, first_across_mm=first)


def motif_place(cut: CutPiece, repeat: Repeat) -> Point | None:
    """The middle of a piece that is large enough to show a motif: at least half a repeat long and wide."""
    laid = cut.region.moved(Affine(-cut.grain_deg))
    if laid.width_mm < repeat.along_mm * _SHOWN_SHARE or laid.height_mm < repeat.across_mm * _SHOWN_SHARE:
        return None
    low_x, low_y, high_x, high_y = cut.region.bounds
    return (low_x + high_x) / 2, (low_y + high_y) / 2


def _merged(pieces: tuple[LayPiece, ...]) -> tuple[LayPiece, ...]:
    """The same shape cut twice from one material (two layers of one interfacing) is one piece with a larger count."""
    by_id: dict[str, LayPiece] = {}
    for piece in pieces:
        count = piece.count + (by_id[piece.id].count if piece.id in by_id else 0)
        by_id[piece.id] = replace(piece, count=count)
    return tuple(by_id.values())
