"""What making one bag asks of small supplies: metres sewn, cut and stuck, minutes at the machine."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bagwright.costing.step_minutes import AT_MACHINE
from bagwright.costing.used_up import Wear
from bagwright.model.cost import TimeStep
from bagwright.model.pattern import Pattern, Seam, SeamKind
from bagwright.model.piece import CutPiece
from bagwright.model.running_costs import StuckAt
from bagwright.workflows.cut_list import Stacks
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.thread_use import layers_met

_BY_KIND = {SeamKind.ZIP: StuckAt.ZIPS, SeamKind.BASTE: StuckAt.BASTED, SeamKind.HEM: StuckAt.HEMS}


def wear_of_bag(
    pattern: Pattern, stacks: Stacks, shelf: Shelf, *, cuts: Sequence[CutPiece], steps: Sequence[TimeStep]
) -> Wear:
    """The wear of one bag, as if made alone. Raises `FaultyInput` for a role that is made of nothing yet."""
    return Wear(
        sewn_mm=math.fsum(seam.length_mm * seam.rows for seam in pattern.seams),
        sewn_minutes=math.fsum(step.minutes for step in steps if step.kind in AT_MACHINE),
        cut_mm=math.fsum(cut.count * cut.region.perimeter_mm for cut in cuts),
        seams_mm=tuple(
            (seam.length_mm, frozenset(_stuck_at(seam, pattern, stacks, shelf)))
            for seam in pattern.seams
            if seam.kind is not SeamKind.QUILT
        ),
    )


def _stuck_at(seam: Seam, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Iterator[StuckAt]:
    if seam.kind in _BY_KIND:
        yield _BY_KIND[seam.kind]
    met = (layer.material_id for side in seam.sides for layer in layers_met(side, pattern, stacks))
    if seam.kind.joins and any(one in shelf.materials and shelf.materials[one].holes_stay for one in met):
        yield StuckAt.HOLES_STAY
