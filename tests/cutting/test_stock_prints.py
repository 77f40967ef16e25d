"""Prints on hides, remnants and scraps: pieces step with a motif that is told; else none that minds it lies there."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.cutting.check_stock import check_stock
from bagwright.cutting.stock import lay_on_stock
from bagwright.cutting.stock_first import lay_stock_first
from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LaySettings, Placement
from bagwright.model.money import Money
from bagwright.model.piece import Mirror
from bagwright.model.prints import PrintPoint, Repeat
from bagwright.model.stock import ClothPrice, StockLaid, StockPiece, StockRequest

FIRST = LaySettings(seconds=0)
PRINT = Repeat(along_mm=100, across_mm=60)
PANEL = LayPiece(id="panel", region=Region.rectangle((0, 0), (80, 50)), count=1, anchor=(40.0, 25.0))
SIDE = LayPiece(
    id="side", region=Region.rectangle((0, 0), (50, 50)), count=1, goes_on=(PrintPoint("s", (0.0, 25.0), 90.0),)
)
FRONT = replace(PANEL, id="front", anchor=None, goes_on=(PrintPoint("s", (80.0, 25.0), 90.0),))


def _scrap(name: str, length: float, width: float, motif: Point | None, *, grain_deg: float = 0.0) -> StockPiece:
    """A rectangle along a grain that runs `grain_deg`, and a motif told along and across that grain."""
    turn = Affine(grain_deg)
    region = Region.rectangle((0, 0), (length, width)).moved(turn)
    return StockPiece(id=name, region=region, grain_deg=grain_deg, motif=turn.apply(motif) if motif else None)


def _in_print(stock: StockPiece, at: Point) -> Point:
    """Along and across the grain from the motif, by sine and cosine alone."""
    assert stock.motif and stock.grain_deg is not None
    cos, sin = math.cos(math.radians(stock.grain_deg)), math.sin(math.radians(stock.grain_deg))
    x, y = at[0] - stock.motif[0], at[1] - stock.motif[1]
    return cos * x + sin * y, cos * y - sin * x


def _off(one: Point, other: Point, repeat: Repeat = PRINT) -> float:
    """How far two places of a print are apart in it, by remainders alone."""
    x, y = one[0] - other[0], one[1] - other[1]
    along, across = repeat.along_mm, repeat.across_mm
    off_x = abs((x + along / 2) % along - along / 2) if along else 0.0
    return max(off_x, abs((y + across / 2) % across - across / 2) if across else 0.0)


@given(
    st.floats(0, 359),
    st.tuples(st.floats(-50, 300), st.floats(-50, 200)),
    st.sampled_from([PRINT, Repeat(along_mm=100), Repeat(across_mm=60)]),
)
@settings(deadline=None, max_examples=12)
def test_property_a_piece_lies_on_the_motif_of_a_scrap_however_that_lies(grain_deg, motif, repeat):
    scrap = _scrap("scrap", 260, 180, motif, grain_deg=grain_deg)
    request = StockRequest(stock=(scrap,), pieces=(PANEL,), repeat=repeat)
    found = lay_on_stock(request, settings=FIRST)
    assert not found.left and "repeat" in found.verdict.checks
    ((laid,),) = (one.placements for one in found.laid)
    assert _off(_in_print(scrap, laid.move.apply((40.0, 25.0))), (0.0, 0.0), repeat) < 1e-3


def test_what_minds_the_print_is_not_cut_from_scraps_whose_motif_is_not_told():
    unknown = _scrap("unknown", 400, 300, None)
    plain = replace(PANEL, id="plain", anchor=None)
    request = StockRequest(stock=(unknown,), pieces=(PANEL, SIDE, FRONT, plain), repeat=PRINT)
    assert lay_on_stock(request, settings=FIRST).left == (("panel", 1), ("side", 1), ("front", 1))
    # Without a repeat the print does not matter.
    assert lay_on_stock(replace(request, repeat=None), settings=FIRST).left == ()


def test_a_piece_that_fits_a_scrap_but_not_its_print_is_left():
    """By hand: a scrap of 90 x 55 mm holds the panel of 80 x 50 with its middle 40 to 50 mm along and 25 to 30 up."""
    for motif, left in (((45.0, 27.0), ()), ((145.0, -33.0), ()), ((30.0, 27.0), (("panel", 1),))):
        request = StockRequest(stock=(_scrap("s", 90, 55, motif),), pieces=(PANEL,), repeat=PRINT)
        assert lay_on_stock(request, settings=FIRST).left == left


def _chain_off(request: StockRequest, laid: tuple[StockLaid, ...]) -> float:
    stock, pieces = {one.id: one for one in request.stock}, {piece.id: piece for piece in request.pieces}
    spots = [
        _in_print(stock[one.stock_id], place.move.apply(pieces[place.id].goes_on[0].at))
        for one in laid
        for place in one.placements
    ]
    return max(_off(spot, spots[0]) for spot in spots)


def test_a_print_goes_on_from_one_scrap_to_the_next():
    """The front fits the one only, the side the other: their grains and motifs lie quite differently."""
    scraps = _scrap("a", 100, 120, (7.0, 11.0), grain_deg=25.0), _scrap("b", 152, 115, (31.0, -5.0), grain_deg=250.0)
    request = StockRequest(stock=scraps, pieces=(replace(FRONT, count=2), SIDE), gap_mm=1, repeat=PRINT)
    found = lay_on_stock(request, settings=LaySettings(iterations=30))
    assert not found.left and len(found.laid) == 2
    assert _chain_off(request, found.laid) < 1e-3
    # A place 2 mm off in its print, a piece without its partner: both are found.
    (first, other) = found.laid
    spot = other.placements[0]
    off = StockLaid(other.stock_id, (replace(spot, x_mm=spot.x_mm + 2.0), *other.placements[1:]))
    assert any("off the print" in fault for fault in check_stock(request, [first, off], ()).faults)
    unknown = replace(request, stock=tuple(replace(one, motif=None) for one in scraps))
    assert any("is not known" in fault for fault in check_stock(unknown, found.laid, ()).faults)
    alone = [StockLaid("a", (Placement("side", 25.0, False, 40.0, 60.0),))]
    assert any("some does not" in fault for fault in check_stock(request, alone, (("front", 2),)).faults)
    beside = replace(PANEL, id="panel")
    shifted = StockRequest(stock=(_scrap("s", 400, 300, (0.0, 0.0)),), pieces=(beside,), repeat=PRINT)
    faults = check_stock(shifted, [StockLaid("s", (Placement("panel", 0.0, False, 61.0, 35.0),))], ()).faults
    assert faults == ("s: panel lies 1 mm beside the motif",)


def test_of_pieces_that_a_seam_joins_all_or_none_lie_on_stock():
    small = _scrap("small", 60, 60, (25.0, 25.0))
    other = replace(SIDE, id="tab", goes_on=(), count=1)
    request = StockRequest(stock=(small,), pieces=(FRONT, SIDE, other), repeat=PRINT)
    found = lay_on_stock(request, settings=FIRST)
    assert [place.id for one in found.laid for place in one.placements] == ["tab"]
    pairs = replace(SIDE, mirror=Mirror.PAIRS, count=2, goes_on=(*SIDE.goes_on, PrintPoint("t", (0, 25), 90, True)))
    front = replace(FRONT, goes_on=(*FRONT.goes_on, PrintPoint("t", (0.0, 25.0), 90.0)))
    wide = StockRequest(stock=(_scrap("wide", 500, 300, (3.0, 4.0)),), pieces=(front, pairs), repeat=PRINT)
    assert lay_on_stock(wide, settings=FIRST).left == ()


@pytest.mark.parametrize("motif", [(45.0, 25.0), None])
def test_stock_first_saves_new_printed_cloth_only_where_the_motif_is_known(motif):
    price = ClothPrice(width_mm=500, price_per_m=Money(Decimal(10), "EUR"))
    scrap = _scrap("scrap", 250, 60, motif)
    request = StockRequest(stock=(scrap,), pieces=(FRONT, SIDE), repeat=PRINT)
    plan = lay_stock_first(request, price, settings=FIRST)
    assert (plan.cloth is None) == (motif is not None)
    assert plan.costs_without and plan.costs_without > Money(Decimal(0), "EUR")
