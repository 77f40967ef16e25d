"""Other ways to cut the strips of a bag: bands right across the cloth, a continuous bias strip out of one square."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.cutting.bands import plan_bands
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.bands import BandPlan, BandRequest, BandStrip
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.money import Money
from bagwright.model.piece import CutPiece, Mirror
from bagwright.workflows.cutting_table import sheet_of
from bagwright.workflows.desk import BagView, Desk, find_layout
from bagwright.workflows.stash_first import cloth_price
from bagwright.workflows.tell_bias import ToldBias, told_bias

_STRIP_RATIO = 4.0
"""A rectangle at least so many times as long as it is wide is a strip."""
_RECTANGLE_SHARE = 0.999
_BIAS_SLACK_DEG = 1.0
_JOIN_MM = 6.35
_SQUARE = "square for the bias strip"


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
        return abs(self.grain_off_deg - 45) <= _BIAS_SLACK_DEG


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherWay:
    """Cloth that a way takes with everything else that is cut from it, beside the layout now; `costs_more` at the
    price of the bolt, below zero if it costs less, None without such a price."""

    strips: tuple[CutStrip, ...]
    takes_mm: float
    now_mm: float
    costs_more: Money | None

    @property
    def more_mm(self) -> float:
        """Cloth beyond the layout now; below zero if it is less."""
        return self.takes_mm - self.now_mm


@dataclass(frozen=True, slots=True)
class BandsWay:
    """Strips cut as bands across the cloth."""

    way: OtherWay
    plan: BandPlan


@dataclass(frozen=True, slots=True)
class BiasWay:
    """Bias strips of one width cut as one continuous strip; `needed_mm` of it in all. `way` is None if the square is
    wider than the cloth."""

    strips: tuple[CutStrip, ...]
    needed_mm: float
    told: ToldBias
    way: OtherWay | None


@dataclass(frozen=True, slots=True)
class StripWays:
    """What there is beside cutting each strip out of the layout."""

    bands: BandsWay | None
    bias: tuple[BiasWay, ...]


def strips_of(pieces: Sequence[LayPiece], cuts: Sequence[CutPiece]) -> tuple[CutStrip, ...]:
    """The long rectangles among the pieces of one cloth."""
    grains = {cut.id: cut.grain_deg for cut in cuts}
    found = []
    for piece in pieces:
        wide, high = piece.region.width_mm, piece.region.height_mm
        is_rectangle = piece.region.area_mm2 >= _RECTANGLE_SHARE * wide * high
        if is_rectangle and max(wide, high) >= _STRIP_RATIO * min(wide, high) and piece.id in grains:
            along = 0.0 if wide > high else 90.0
            off = abs((grains[piece.id] - along + 90) % 180 - 90)
            found.append(CutStrip(piece, max(wide, high), min(wide, high), off))
    return tuple(found)


def strip_ways(desk: Desk, view: BagView, material_id: str) -> StripWays:
    """What bands and a continuous bias strip take on one cloth.

    Nothing for prints and cloth laid double, no bands of one-way cloth. Raises `NotKept` if there is no layout of it.
    """
    sheet = sheet_of(view, material_id)
    request = sheet.request
    if request.repeat or request.is_doubled or not sheet.material.kind.has_grain:
        return StripWays(None, ())
    strips = strips_of(request.pieces, [cut for cut in view.answer.cuts if cut.material_id == material_id])
    ways = _Ways(desk, view, material_id)
    straight = [one for one in strips if not one.is_bias and one.length_mm <= request.width_mm]
    slanted = [one for one in strips if one.is_bias]
    widths = dict.fromkeys(one.width_mm for one in slanted)
    bias = tuple(ways.bias(tuple(one for one in slanted if one.width_mm == width)) for width in widths)
    return StripWays(ways.bands(tuple(straight)) if straight and not sheet.material.directional else None, bias)


@dataclass(frozen=True, slots=True)
class _Ways:
    """One call of `strip_ways`."""

    desk: Desk
    view: BagView
    material_id: str

    @property
    def _request(self) -> LayRequest:
        return sheet_of(self.view, self.material_id).request

    def bands(self, strips: tuple[CutStrip, ...]) -> BandsWay:
        wanted = tuple(
            BandStrip(id=one.piece.id, length_mm=one.length_mm, width_mm=one.width_mm, count=one.piece.count)
            for one in strips
        )
        plan = plan_bands(BandRequest(band_mm=self._request.width_mm, strips=wanted))
        return BandsWay(self._other(strips, plan.taken_mm + self._rest_mm(strips, ())), plan)

    def bias(self, strips: tuple[CutStrip, ...]) -> BiasWay:
        width_mm = strips[0].width_mm
        joins = sum(one.piece.count for one in strips) - 1
        needed = math.fsum(one.length_mm * one.piece.count for one in strips) + joins * width_mm
        told = told_bias(needed, width_mm, cloth_mm=self._request.width_mm, allowance_mm=_JOIN_MM)
        square = LayPiece(
            id=_SQUARE, region=Region.rectangle((0, 0), (told.square_mm, told.square_mm)), count=1, mirror=Mirror.NO
        )
        try:
            takes = self._rest_mm(strips, (square,))
        except FaultyInput:  # wider than the cloth
            return BiasWay(strips, needed, told, None)
        return BiasWay(strips, needed, told, self._other(strips, takes))

    def _rest_mm(self, without: Sequence[CutStrip], more: tuple[LayPiece, ...]) -> float:
        """Length that everything else takes, with `more`. Raises `FaultyInput` if that does not fit the cloth."""
        gone = {one.piece.id for one in without}
        pieces = (*(piece for piece in self._request.pieces if piece.id not in gone), *more)
        if not pieces:
            return 0.0
        rest = replace(self._request, pieces=pieces)
        with self.desk.store() as store:
            return find_layout(self.desk, store, rest, in_rows=self.view.answer.bag.in_rows).length_mm

    def _other(self, strips: tuple[CutStrip, ...], takes_mm: float) -> OtherWay:
        sheet = sheet_of(self.view, self.material_id)
        now = sheet.layout.length_mm
        price = cloth_price(self.view.shelf, sheet.material, sheet.shop_width_mm, sheet.request.width_mm)
        costs = price.price_per_m.times((takes_mm - now) / 1000) if price else None
        return OtherWay(strips=strips, takes_mm=takes_mm, now_mm=now, costs_more=costs)
