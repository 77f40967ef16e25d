"""Whether a line of stitching runs over a zone of a piece."""

from __future__ import annotations

import math
from itertools import pairwise

from bagwright.model.pattern import SeamSide
from bagwright.model.piece import Piece

_ON_MM = 0.5
"""A line this near to the rim of a zone runs along it."""
_STEP_MM = 5.0


def meets_zone(piece: Piece, zone_name: str, side: SeamSide) -> bool:
    """Whether the stretch of an edge or line of the piece lies for more than a stitch on that zone; False without one.

    A line that only ends at the rim of the zone does not meet it; one that runs along the rim does.

    >>> from bagwright.drafting.forms import draft_bag
    >>> tote = draft_bag("boxed_tote", {"width_mm": 300, "depth_mm": 100}).piece("outer")
    >>> [meets_zone(tote, "base", SeamSide("outer", 1, edge, 0.0, 40.0)) for edge in ("bottom", "top")]
    [True, False]
    """
    zone = piece.zone(zone_name)
    if zone is None:
        return False
    edge, steps = piece.edge(side.edge), max(1, math.ceil(side.edge_length_mm / _STEP_MM))
    places = [side.from_mm + (side.to_mm - side.from_mm) * step / steps for step in range(steps + 1)]
    near = zone.region.grown(_ON_MM)
    inside = (near.stretch_inside(edge.at(a), edge.at(b)) for a, b in pairwise(places))
    return math.fsum(math.dist(*stretch) for stretch in inside if stretch) > 4 * _ON_MM
