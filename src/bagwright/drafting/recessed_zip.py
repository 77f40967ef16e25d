"""A recessed zip: the lining is cut in two, and the zip with its bands is sewn in where facing and lining meet.

Facings go round the top like the lining; zip, bands and tabs make a panel as wide and deep as the bag, sewn in all
round. Round the bag is walked as seen from above, against the clock from the front: along the front from left to
right, along the back from right to left.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.making import Making, listed
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.drafting.zip_bands import BandedZip
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece

_ROUND = ("front", "right", "back", "left")
_COPY = {"front": 1, "back": 2, "left": 1, "right": 2}
_WITHIN = "pocket"
"""Role of what hangs from the top of the lining: with a recess, from where the lining now ends."""


@dataclass(frozen=True, slots=True)
class _Part:
    """What of the ring of facings lies along one top: the facing, its copy, the lining's edge below it.

    `hung` is what hangs from that edge of the lining.
    """

    where: str
    facing: Piece
    copy: int
    lining: SeamSide
    hung: tuple[Caught, ...]

    def line(self, rim: Sequence[Caught]) -> StitchLine:
        """Lining and facing sewn to one another, the zip panel and what hangs there caught between them."""
        return StitchLine((self.lining, against(self.facing, self.copy, "bottom")), (*rim, *self.hung))

    def held(self, rim: Sequence[Caught]) -> StitchLine:
        """The zip panel held on the facing alone."""
        return StitchLine((against(self.facing, self.copy, "bottom"),), tuple(rim))


def with_recessed_zip(making: Making, sizes: Sizes, banded: BandedZip) -> Making:
    """The bag whose lining, drafted lower by the recess, is brought up to the top by facings, the zip between."""
    ring = [_part(making, where, sizes) for where in _ROUND if where in making.tops]
    making, hung = _without_hung(making, ring)
    for one in ring:
        top = making.tops[one.where]
        top = replace(top, through=(top.through[0], against(one.facing, one.copy, "top")))
        making = replace(making, tops={**making.tops, one.where: top})
    making = _with_lower_lining(making, {one.lining.piece_id for one in ring}, sizes)
    banded = _turned_inwards(banded)
    facings = {one.facing.id: one.facing for one in ring}.values()
    return making.having(
        pieces=(*facings, *banded.pieces),
        steps=(*banded.steps(), *_ring_steps(ring, banded, hung)),
        assembled=(AssembledMeasure(key="recess_mm", asked_mm=sizes["recess_mm"], spans=(Span("facing", "right"),)),),
    )


def _part(making: Making, where: str, sizes: Sizes) -> _Part:
    top = making.tops[where]
    # The top is walked as the outer's, which is against the way round the bag from above.
    lining = replace(top.through[1], from_mm=top.through[1].to_mm, to_mm=top.through[1].from_mm)
    hung = tuple(
        replace(c, start_mm=top.length_mm - c.end_mm, end_mm=top.length_mm - c.start_mm, turned=not c.turned)
        for c in top.caught
        if making.piece(c.side.piece_id).role == _WITHIN
    )
    if where not in ("front", "back"):
        return _Part(where, _facing("facing_side", "Facing, side", top.length_mm, sizes), _COPY[where], lining, hung)
    facing, half = _facing("facing", "Facing", top.length_mm, sizes), (top.length_mm - sizes["width_mm"]) / 2
    return _Part(where, _round_corners(facing, half) if half > 0 else facing, _COPY[where], lining, hung)


def _without_hung(making: Making, ring: Sequence[_Part]) -> tuple[Making, tuple[str, ...]]:
    """The bag with what hangs inside taken out of its top seam, and the words for that."""
    if not any(one.hung for one in ring):
        return making, ()
    tops = {
        where: replace(top, caught=tuple(c for c in top.caught if making.piece(c.side.piece_id).role != _WITHIN))
        for where, top in making.tops.items()
    }
    words = tuple(word for word in making.between if _WITHIN in word)
    return replace(making, tops=tops, between=tuple(word for word in making.between if word not in words)), words


def _facing(key: str, name: str, length: float, sizes: Sizes) -> Piece:
    """The facing along one top, cut twice; it stands right side inwards like the lining."""
    net = rectangle_outline(length, sizes["recess_mm"])
    names = [edge.name for edge in net.edges]
    return Piece(
        id=key,
        name=name,
        role="facing",
        net=net,
        allowance_mm={name: sizes["top_allowance_mm" if name == "top" else "seam_allowance_mm"] for name in names},
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
        notches=(Notch("top", length / 2), Notch("bottom", length / 2)),
    )


def _round_corners(facing: Piece, half: float) -> Piece:
    """A facing that reaches round two corners, half a side beyond each: clipped and bent there."""
    length, high = facing.edge("bottom").length_mm, facing.edge("right").length_mm
    corners = (half, length - half)
    return replace(
        facing,
        notches=(*facing.notches, *(Notch("bottom", at) for at in corners)),
        bends=tuple(Bend((x, 0.0), (x, high), -90.0) for x in corners),
        note="Clip the lower edge up to the stitch line at the outer notches, where the corners are.",
    )


def _with_lower_lining(making: Making, ids: set[str], sizes: Sizes) -> Making:
    """The lining's top is no longer the top of the bag, so it takes the allowance of a seam."""
    for piece_id in sorted(ids):
        piece = making.piece(piece_id)
        tops = {name: sizes["seam_allowance_mm"] for name in piece.allowance_mm if name.startswith("top")}
        making = making.with_changed(replace(piece, allowance_mm={**piece.allowance_mm, **tops}))
    return making


def _turned_inwards(banded: BandedZip) -> BandedZip:
    """The panel turns into the bag from where facing and lining go on: both of its layers, along every edge."""
    rims = itertools.chain(_rim(banded, "top_outside"), _rim(banded, "top_inside"))
    bends: dict[str, dict[Bend, None]] = {}
    for side in rims:
        edge = (banded.band if side.piece_id == banded.band.id else banded.tab).edge(side.edge)
        low, high = sorted((side.from_mm, side.to_mm))
        bends.setdefault(side.piece_id, {})[Bend(edge.at(low), edge.at(high), -90.0)] = None
    band, tab = (replace(piece, bends=(*piece.bends, *bends[piece.id])) for piece in (banded.band, banded.tab))
    return replace(banded, band=band, tab=tab)


def _rims(banded: BandedZip, ring: Sequence[_Part]) -> Iterator[list[Caught]]:
    """Both layers of the zip panel's rim, by the tops they lie along."""
    layers = [list(_rim(banded, edge)) for edge in ("top_outside", "top_inside")]
    if len(ring) < len(_ROUND):
        layers = [_from_middle(rim) for rim in layers]
    upper, lower = layers
    number = 0
    for one in ring:
        at, caught = 0.0, []
        while at < one.lining.sewn_length_mm - 0.01:
            end = at + upper[number].sewn_length_mm
            caught += [Caught(at, end, upper[number]), Caught(at, end, lower[number])]
            at, number = end, number + 1
        yield caught


def _from_middle(rim: list[SeamSide]) -> list[SeamSide]:
    """A rim started in the middle of the left side of the bag, tabs parted where front and back meet.

    It starts at the front left corner: band, its end, tab, the end of the other band, and so round.
    """
    front, front_right, tab_right, back_right, back, back_left, tab_left, front_left = rim
    right, left = (
        (part(tab, 0.0, tab.sewn_length_mm / 2), part(tab, tab.sewn_length_mm / 2, tab.sewn_length_mm))
        for tab in (tab_right, tab_left)
    )
    return [left[1], front_left, front, front_right, *right, back_right, back, back_left, left[0]]


def _rim(banded: BandedZip, long_edge: str) -> Iterator[SeamSide]:
    """One layer: a band, its end, a tab's end, the end of the other band, and so round; the lower one walked back."""
    band, is_upper = banded.band, long_edge == "top_outside"
    wide, walk = band.edge("end_left").length_mm / 2, along if is_upper else against
    tab_end = "end_over" if is_upper else "end_under"
    for copy, other in ((1, 2), (2, 1)):
        yield walk(band, copy, long_edge)
        yield part(walk(band, copy, "end_right"), 0.0, wide)
        yield walk(banded.tab, other, tab_end)
        yield part(walk(band, other, "end_left"), wide, 2 * wide)


def _ring_steps(ring: Sequence[_Part], banded: BandedZip, hung: tuple[str, ...]) -> tuple[Step, ...]:
    joins = tuple(
        StitchLine((along(after.facing, after.copy, "right"), against(one.facing, one.copy, "left")))
        for one, after in itertools.pairwise((*ring, ring[0]))
    )
    rims = list(_rims(banded, ring))
    held = tuple(one.held(rim) for one, rim in zip(ring, rims, strict=True))
    sewn = tuple(one.line(rim) for one, rim in zip(ring, rims, strict=True))
    baste = "Clip the corners; baste the zip panel round the lower edge of the facing, right sides together, zip open"
    sew = f"Sew the lining to the lower edge of the facing all round, {listed(('the zip panel', *hung))} between them"
    lockstitch, stage = SeamKind.LOCKSTITCH, Stage.LINING
    return (
        Step("facing", "Sew the facings together into a ring", lockstitch, joins, stage=stage),
        Step("recess-held", baste, SeamKind.BASTE, held, stage=stage),
        Step("recess", sew, lockstitch, sewn, stage=stage),
    )
