"""Ways to cut the strips of a bag: each by itself, as bands right across the cloth, on the bias in one go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.errors import FaultyInput
from bagwright.model.bands import BandsInLayout, StripWay
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.money import Money
from bagwright.model.piece import CutPiece
from bagwright.workflows.cutting_table import sheet_of
from bagwright.workflows.desk import BagView, Desk, find_layout
from bagwright.workflows.piece_wishes import seam_allowance_mm
from bagwright.workflows.recutting import BiasBlock, bias_strips, can_be_cut, recut
from bagwright.workflows.stash_first import cloth_price
from bagwright.workflows.strip_shapes import grain_off_deg, lies_on_bias, strip_sides_mm

_SEEN_MM = 1.0
STRAIGHT_WAYS = (StripWay.LAID, StripWay.BANDS)
BIAS_WAYS = (StripWay.LAID, StripWay.BIAS_SQUARE, StripWay.BIAS_STRIPS)


@dataclass(frozen=True, slots=True)
class CutStrip:
    """A strip as it is cut: its sides, how many, and the angle from its long edge to the grain, 0 to 90."""

    piece: LayPiece
    length_mm: float
    width_mm: float
    grain_off_deg: float

    @property
    def is_bias(self) -> bool:
        """Whether it lies slantwise on the cloth."""
        return lies_on_bias(self.grain_off_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripGroup:
    """Strips that are cut alike, and what the cloth takes with everything else for each way that is possible.

    `now_mm`: as they are cut now, each maybe in its own way. `price_per_m`: of cloth, None without an offer off the
    bolt. `bands`: what bands of them are cut into; `blocks`: what bias strips come out of.
    """

    strips: tuple[CutStrip, ...]
    takes_mm: Mapping[StripWay, float]
    now: Mapping[str, StripWay]
    now_mm: float
    price_per_m: Money | None
    bands: BandsInLayout | None = None
    blocks: tuple[tuple[StripWay, BiasBlock], ...] = ()

    @property
    def is_bias(self) -> bool:
        """Whether they lie slantwise."""
        return self.strips[0].is_bias

    @property
    def least(self) -> StripWay:
        """The way that takes least cloth; of equal ones the first."""
        lengths = {way: round(length / _SEEN_MM) for way, length in self.takes_mm.items()}
        return min(lengths, key=lambda way: lengths[way])

    def more_mm(self, way: StripWay) -> float:
        """Cloth that a way takes beyond the way that takes least."""
        return max(self.takes_mm[way] - self.takes_mm[self.least], 0.0)

    def costs_more(self, way: StripWay) -> Money | None:
        """What that is at the price of the bolt."""
        return self.price_per_m.times(self.more_mm(way) / 1000) if self.price_per_m else None


def strips_of(pieces: Sequence[LayPiece], cuts: Sequence[CutPiece]) -> tuple[CutStrip, ...]:
    """The long rectangles among the pieces of one cloth."""
    grains = {cut.id: cut.grain_deg for cut in cuts}
    found = []
    for piece in pieces:
        sides = strip_sides_mm(piece.region)
        if sides and piece.id in grains:
            found.append(CutStrip(piece, *sides, grain_off_deg(piece.region, grains[piece.id])))
    return tuple(found)


def strip_ways(desk: Desk, view: BagView, material_id: str) -> tuple[StripGroup, ...]:
    """The strips of one cloth in groups that are cut alike, straight ones first; none without a grain.

    Raises `NotKept` if there is no layout of it.
    """
    sheet = sheet_of(view, material_id)
    cuts = [cut for cut in view.answer.cuts if cut.material_id == material_id]
    grains = {cut.id: cut.grain_deg for cut in cuts}
    strips = [
        one
        for one in strips_of(sheet.asked.pieces, cuts)
        if any(
            can_be_cut(way, one.piece, grains[one.piece.id], sheet.material)
            for way in (StripWay.BANDS, StripWay.BIAS_SQUARE)
        )
    ]
    ways = _Ways(desk, view, material_id, tuple(cuts))
    straight = tuple(one for one in strips if not one.is_bias)
    slanted = tuple(one for one in strips if one.is_bias)
    groups = [(own, kinds) for own, kinds in ((straight, STRAIGHT_WAYS), (slanted, BIAS_WAYS)) if own]
    return tuple(ways.group(own, kinds) for own, kinds in groups)


@dataclass(frozen=True, slots=True)
class _Ways:
    """One call of `strip_ways`."""

    desk: Desk
    view: BagView
    material_id: str
    cuts: tuple[CutPiece, ...]

    def group(self, strips: tuple[CutStrip, ...], kinds: Sequence[StripWay]) -> StripGroup:
        sheet = sheet_of(self.view, self.material_id)
        ids = {one.piece.id for one in strips}
        requests = dict(self._requests(ids, kinds))
        price = cloth_price(self.view.shelf, sheet.material, sheet.shop_width_mm, sheet.request.width_mm)
        banded = requests.get(StripWay.BANDS)
        return StripGroup(
            strips=strips,
            takes_mm=dict(self._lengths(requests)),
            now={cut.id: cut.cut_as for cut in self.cuts if cut.id in ids},
            now_mm=sheet.layout.length_mm,
            price_per_m=price.price_per_m if price else None,
            bands=banded.bands if banded else None,
            blocks=tuple(self._blocks(strips, requests)),
        )

    def _requests(self, ids: set[str], kinds: Sequence[StripWay]) -> Iterator[tuple[StripWay, LayRequest]]:
        """The cloth with these strips cut in each way, all others as they are now."""
        sheet = sheet_of(self.view, self.material_id)
        join_mm = 2 * seam_allowance_mm(self.view.answer.bag)
        for way in kinds:
            cuts = [replace(cut, cut_as=way, join_mm=join_mm) if cut.id in ids else cut for cut in self.cuts]
            try:
                yield way, recut(sheet.asked, cuts, sheet.material)
            except FaultyInput:  # too narrow for that
                continue

    def _lengths(self, requests: Mapping[StripWay, LayRequest]) -> Iterator[tuple[StripWay, float]]:
        in_rows = self.view.answer.bag.in_rows
        with self.desk.store() as store:
            for way, request in requests.items():
                try:
                    yield way, find_layout(self.desk, store, request, in_rows=in_rows).length_mm
                except FaultyInput:  # wider than the cloth
                    continue

    def _blocks(
        self, strips: Sequence[CutStrip], requests: Mapping[StripWay, LayRequest]
    ) -> Iterator[tuple[StripWay, BiasBlock]]:
        for way, request in requests.items():
            if way.is_bias:
                for own in bias_strips(one.piece for one in strips):
                    yield way, own.block(way, request.width_mm)
