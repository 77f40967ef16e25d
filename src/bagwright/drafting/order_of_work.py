"""The order of work that follows from a pattern's seams and handwork."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from bagwright.drafting import cautions
from bagwright.model.pattern import Handwork, Pattern, Seam, SeamKind
from bagwright.model.work_step import WorkStep

THICK_LAYERS = 6
"""From so many layers on, a step is told to be thick (common practice, no source): the machine's own limit is hers."""

LayersOf = Callable[[Seam], int]


def pieces_met(seam: Seam) -> int:
    """Layers of pieces under the needle, each fold counted, one layer of cloth to a piece."""
    return sum(seam.layers_of(side) for side in seam.sides)


def order_of_work(pattern: Pattern, *, layers_of: LayersOf = pieces_met) -> tuple[WorkStep, ...]:
    """Every step of sewing and of handwork, in order. Lengths in mm.

    `layers_of` counts the layers that the needle meets in one seam; where the stacks of the pieces are known, it can
    count those. Zips, straps that bear load and thick places carry their cautions.

    >>> from bagwright.drafting.forms import draft_bag
    >>> order_of_work(draft_bag("zip_pouch", {}))[0].name
    'Put the slider on; stitch a folded tab over each end of the zip'
    """
    by_order: dict[int, list[Seam]] = {}
    for seam in pattern.seams:
        by_order.setdefault(seam.order, []).append(seam)
    bought = {piece.id for piece in pattern.pieces if piece.role == "zip_chain"}
    steps = [_sewn(seams, bought, layers_of) for seams in by_order.values()]
    return tuple(sorted((*steps, *map(_by_hand, pattern.handwork)), key=lambda step: step.number))


def _sewn(seams: Sequence[Seam], zips: set[str], layers_of: LayersOf) -> WorkStep:
    first, layers = seams[0], max(map(layers_of, seams))
    pieces = tuple(dict.fromkeys(side.piece_id for seam in seams for side in seam.sides))
    told = []
    if first.kind is SeamKind.ZIP or zips & set(pieces):
        told.append(cautions.TEETH)
    if layers >= THICK_LAYERS:
        told.append(cautions.NEEDLE)
    return WorkStep(
        number=first.order,
        stage=first.stage,
        name=first.name,
        kind=first.kind,
        length_mm=math.fsum(seam.length_mm for seam in seams),
        rows=first.rows,
        layers=layers,
        piece_ids=pieces,
        cautions=tuple(told),
        id=f"sew:{first.id}",
        seam_ids=tuple(seam.id for seam in seams),
    )


def _by_hand(work: Handwork) -> WorkStep:
    return WorkStep(number=work.order, stage=work.stage, name=work.name, cautions=work.cautions, id=f"hand:{work.id}")
