"""A zip between two bands: strips folded in half along their length, the fold along the teeth.

Seen from above, the front of the bag below, band 1 lies below the zip and band 2, turned half round, above it. A
band's `top_outside` is the edge of its upper layer, `top_inside` that of its lower one.
"""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.drafting.steps import Step, against
from bagwright.drafting.zip_seams import capped_step, tab_step, tape_line
from bagwright.drafting.zips import chain_piece, tab_piece
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import SeamKind, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine
from bagwright.model.sewn_zip import SewnZip

LEAST_BAND_MM = 10.0
"""A narrower band cannot be turned and stitched beside the foot (common practice, no source)."""
EDGES = {"bottom": "top_outside", "top": "top_inside", "left": "end_left", "right": "end_right"}


@dataclass(frozen=True, slots=True)
class BandedZip:
    """The pieces of a zip between bands. `caps`: its tabs cap free ends, else they lie in a seam."""

    band: Piece
    chain: Piece
    tab: Piece
    caps: bool

    @property
    def pieces(self) -> tuple[Piece, Piece, Piece]:
        """What there is to cut and to buy."""
        return self.band, self.tab, self.chain

    def steps(self) -> tuple[Step, Step]:
        """Tabs on the zip, then bands along both of its sides."""
        lines = tuple(
            tape_line([against(self.band, copy, "fold")] * 2, self.chain, tape, self.tab, caps=self.caps)
            for copy, tape in ((1, "tape_front"), (2, "tape_back"))
        )
        name = "Lay the fold of a band along either side of the zip and its tabs; stitch close to the fold"
        tabs = capped_step(self.tab, self.chain) if self.caps else tab_step(self.tab, self.chain)
        return tabs, Step("zip-bands", name, SeamKind.ZIP, lines, stage=Stage.ZIPS)


def banded_zip(one: SewnZip, role: str, top_allowance_mm: float, *, caps: bool) -> BandedZip:
    """Bands as wide as the zip's `facing_mm` says and as long as zip and tabs together."""
    length, wide = one.line_mm + 2 * one.tab_mm, one.facing_mm
    longs, ends = ("top_outside", "top_inside"), ("end_left", "end_right")
    band = Piece(
        id="zip_band",
        name="Zip band",
        role=role,
        net=rectangle_outline(length, 2 * wide, EDGES),
        allowance_mm={**dict.fromkeys(longs, top_allowance_mm), **dict.fromkeys(ends, one.under_mm)},
        edge_use=dict.fromkeys(EDGES.values(), EdgeUse.SEAM),
        count=2,
        grain_deg=0.0,
        notches=tuple(Notch(edge, length / 2) for edge in longs),
        lines=(PlacementLine("fold", (0.0, wide), (length, wide)),),
        bends=(Bend((0.0, wide), (length, wide), 180.0),),
        note="Fold in half along its length; the fold goes along the teeth.",
    )
    chain = chain_piece(one, note="Closed, right side up, front of the bag below. Put the slider on before the tabs.")
    return BandedZip(band, chain, tab_piece(one, key="zip_tab", caps=caps), caps)
