"""Where the foot meets bulk along a zip: folds of its tabs, seams across its ends, its slider."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bagwright.drafting.order_of_work import pieces_met
from bagwright.model.pattern import Pattern, Seam, SeamKind
from bagwright.model.sewn_zip import SewnZip, ZipEnds
from bagwright.model.zip_plan import Advice, BulkPoint

_ENDS = frozenset({"end_left", "end_right"})
_ACROSS = {
    ZipEnds.TABS: "trim the raw ends of the tabs at a slant and turn the wheel by hand over them.",
    ZipEnds.STOPS: "no tooth and no stop may lie under it; turn the wheel by hand over the folded tape.",
    ZipEnds.SEAMS: "take metal teeth out of the allowance and turn the wheel by hand over others.",
}
_TEETH = Advice("Here the stitching crosses the teeth: turn the wheel by hand, and keep off metal ones.")
_FOLD = (
    "The foot climbs where a tab begins, {} from its end: turn the wheel by hand there, with a folded scrap under the "
    "back of the foot to keep it level."
)
_SLIDER = (
    "Use a zip foot. Short of the slider stop with the needle down, lift the foot, run the slider past it ({} of "
    "teeth) and go on."
)


def pieces_of_zip(pattern: Pattern, one: SewnZip) -> set[str]:
    """Ids of the chain and of the tabs that are sewn to it."""
    met = (seam.sides for seam in pattern.seams if any(side.piece_id == one.key for side in seam.sides))
    ids = {side.piece_id for sides in met for side in sides}
    return {one.key} | {piece.id for piece in pattern.pieces if piece.role == "tab" and piece.id in ids}


def slider_in_the_way(one: SewnZip) -> BulkPoint:
    """The slider, which no foot passes."""
    advice = Advice(_SLIDER, (one.parked_mm,))
    return BulkPoint(during=(), where="At the slider", layers=0, layers_beside=0, advice=advice)


def bulk_points(pattern: Pattern, one: SewnZip) -> tuple[BulkPoint, ...]:
    """Every place along or across the zip where the foot climbs, in the order of work, and the slider.

    Places that are alike in several steps are told once.
    """
    own = pieces_of_zip(pattern, one)
    steps: dict[int, list[Seam]] = {}
    for seam in pattern.seams:
        steps.setdefault(seam.order, []).append(seam)
    alike: dict[BulkPoint, list[str]] = {}
    for order in sorted(steps):
        for point in _in_step(steps[order], one, own):
            alike.setdefault(point, []).append(steps[order][0].name)
    return (*(replace(point, during=tuple(names)) for point, names in alike.items()), slider_in_the_way(one))


def _in_step(seams: Sequence[Seam], one: SewnZip, own: set[str]) -> Iterator[BulkPoint]:
    touched = [seam for seam in seams if any(side.piece_id in own for side in seam.sides)]
    if not touched or not seams[0].kind.joins:
        return
    counts = [pieces_met(seam) for seam in touched]
    most, least = max(counts), min(counts)
    if seams[0].kind is SeamKind.ZIP:
        if most > least:
            yield _point("Where a tab begins", most, least, Advice(_FOLD, (one.tab_mm,)))
    elif one.tab_mm and any(side.piece_id == one.key and side.edge in _ENDS for s in touched for side in s.sides):
        yield _point("Over the teeth, under the tab", most, most, _TEETH)
    else:
        beside = min((pieces_met(seam) for seam in seams if seam not in touched), default=most)
        yield _point("Across the ends", most, beside, Advice(f"The seam crosses the zip: {_ACROSS[one.ends]}"))


def _point(where: str, layers: int, beside: int, advice: Advice) -> BulkPoint:
    return BulkPoint(during=(), where=where, layers=layers, layers_beside=beside, advice=advice)
