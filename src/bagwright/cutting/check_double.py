"""Judge cloth laid double: what lies in the one layer must lie in the other, mirrored at the fold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Affine
from bagwright.geometry.neighbours import Neighbours
from bagwright.geometry.region import Region
from bagwright.model.layout import LayRequest, Placement

ALIKE_SHARE = 1e-5
"""Two layers are cut by one blade: outlines that differ by less than this share of their area are one outline."""


def double_faults(request: LayRequest, placements: Sequence[Placement], laid: Sequence[Region]) -> Iterator[str]:
    """What could not be cut from the folded cloth. `laid`: each piece where it lies on the opened cloth."""
    on_fold = {piece.id for piece in request.pieces if piece.on_fold}
    twins = twins_in(request, placements, laid)
    singles = [region.bounds[0] for region, twin in zip(laid, twins, strict=True) if twin is None]
    opened_from = min(singles, default=float("inf"))
    slack = 1e-3
    for i, (placement, region) in enumerate(zip(placements, laid, strict=True)):
        low, _, high, _ = region.bounds
        if placement.id in on_fold and twins[i] != i:
            yield f"{placement.id}: its middle does not lie on the fold"
        elif placement.id in on_fold and high > opened_from + slack:
            yield f"{placement.id}: lies where the cloth is opened"
        elif twins[i] is not None and low < opened_from - slack and high > opened_from + slack:
            yield f"{placement.id}: reaches from {low:.6g} to {high:.6g} mm; the cloth opens at {opened_from:.6g}"


def twins_in(request: LayRequest, placements: Sequence[Placement], laid: Sequence[Region]) -> list[int | None]:
    """For each placement the one that lies on its image in the other layer: itself on the fold, none where single."""
    near = Neighbours.of(laid)
    over = Affine(180.0, (0.0, request.width_mm), mirrors=True)
    found: list[int | None] = []
    for placement, region in zip(placements, laid, strict=True):
        image = region.moved(over)
        likely = (j for j in near.near(image) if placements[j].id == placement.id)
        found.append(next((j for j in likely if image.is_alike(laid[j], share=ALIKE_SHARE)), None))
    return found
