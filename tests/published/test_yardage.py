"""Yardage and price against printed charts: how much is bought of cloth, of hides, of cloth for bias strips."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from bagwright.costing.buying_together import buy_together
from bagwright.costing.offers import USED_SHARE_OF_HIDE
from bagwright.cutting.lay import lay_pieces
from bagwright.drafting.bias import square_for_bias_mm
from bagwright.geometry.region import Region
from bagwright.model.cost import Need
from bagwright.model.layout import LayPiece, LayRequest, LaySettings
from bagwright.model.material import Offer, OfferByArea, OfferByLength
from bagwright.model.money import Money
from bagwright.model.run_buying import RunNeed, RunPlan
from bagwright.units import MM_PER_INCH, MM_PER_YARD

SQUARES_A_YARD = {2.5: 238, 3: 154, 3.5: 120, 4: 80, 4.5: 63, 5: 56, 5.5: 42, 6: 35, 6.5: 30, 8: 20, 10: 12}
"""Side in inches and squares from a yard of washed 44 in cloth. Source: a quilt cutting chart (K19), as printed.

How the chart reckons is not printed: 43 in by 35.9 in, floor(43/s) floor(35.9/s), gives back these 11 rows.
"""
SQUARES_A_FULL_YARD = {9: 16, 12: 9}
"""The other two rows of the same chart (K19): they come out only of 36 in, a yard that lost nothing in the wash."""
WASHED_WIDTH_MM, WASHED_YARD_MM = 43 * MM_PER_INCH, 35.9 * MM_PER_INCH
SQUARE_FOOT_M2 = (12 * MM_PER_INCH / 1000) ** 2


def by_the_yard(price: str) -> Offer:
    return OfferByLength(
        id="bolt",
        material_id="m",
        seller="Invented mill",
        price=Money(Decimal(price), "USD"),
        dated=date(2026, 3, 1),
        width_mm=44 * MM_PER_INCH,
        priced_per_mm=MM_PER_YARD,
        step_mm=MM_PER_YARD,
    )


def buy(need: Need, offer: Offer) -> RunPlan:
    return buy_together([RunNeed(need=need)], [offer], currency="USD")


def laid_length_mm(side_in: float, count: int) -> float:
    side = side_in * MM_PER_INCH
    piece = LayPiece(id="square", region=Region.rectangle((0, 0), (side, side)), count=count)
    request = LayRequest(width_mm=WASHED_WIDTH_MM, pieces=(piece,))
    return lay_pieces(request, settings=LaySettings(seconds=0)).length_mm


@pytest.mark.parametrize("side_in", SQUARES_A_YARD)
def test_squares_of_a_yard_match_k19_quilt_cutting_chart(side_in):
    """As many squares as the chart says come out of one yard bought; one more takes a second yard."""
    for extra, yards in ((0, 1), (1, 2)):
        length = laid_length_mm(side_in, SQUARES_A_YARD[side_in] + extra)
        bought_mm = length / WASHED_YARD_MM * MM_PER_YARD
        need = Need(material_id="m", name="cloth", lengths_mm_by_width=((44 * MM_PER_INCH, bought_mm),))
        plan = buy(need, by_the_yard("10.00"))
        assert plan.purchases[0].quantity == pytest.approx(yards * MM_PER_YARD)
        assert plan.paid == Money(Decimal(f"{10 * yards}.00"), "USD")


@pytest.mark.parametrize("side_in", SQUARES_A_FULL_YARD)
def test_squares_of_a_full_yard_match_k19_quilt_cutting_chart(side_in):
    """The printed count takes no more than 36 in, and one more square takes more."""
    assert laid_length_mm(side_in, SQUARES_A_FULL_YARD[side_in]) <= MM_PER_YARD + 1e-3
    assert laid_length_mm(side_in, SQUARES_A_FULL_YARD[side_in] + 1) > MM_PER_YARD + 1e-3


@pytest.mark.parametrize("yards", [1, 3])
def test_hide_for_yards_of_cloth_matches_k16_leather_charts(yards):
    """K16 (two leather suppliers' charts): a yard of 54 in cloth, 13.5 sq ft, takes 18 sq ft of hide; 3 yd take 54."""
    cloth_m2 = yards * 13.5 * SQUARE_FOOT_M2
    assert float(1 / USED_SHARE_OF_HIDE) == pytest.approx(18 / 13.5)
    hide = OfferByArea(
        id="hide",
        material_id="m",
        seller="Invented tannery",
        price=Money(Decimal("9.00"), "USD"),
        dated=date(2026, 3, 1),
        usual_area_m2=round(18 * SQUARE_FOOT_M2, 8),
        usual_width_mm=1200,
    )
    plan = buy(Need(material_id="m", name="leather", area_mm2=cloth_m2 * 1e6), hide)
    assert plan.purchases[0].needed == pytest.approx(18 * yards * SQUARE_FOOT_M2)
    assert plan.purchases[0].quantity == pytest.approx(18 * yards * SQUARE_FOOT_M2)


@pytest.mark.parametrize(("square_in", "strip_in", "printed_yd"), [(12, 2, 2), (36, 2, 18)])
def test_cloth_for_bias_strips_matches_k14_square_yields(square_in, strip_in, printed_yd):
    """K14 (a bias binding chart): a 12 in square gives 72 in of 2 in strip, 36 in give 648 in = 18 yd.

    The square that we ask for is the printed one. One yard of 44 in cloth holds it; 1 mm over a yard takes a second.
    """
    side_mm = square_for_bias_mm(printed_yd * MM_PER_YARD, strip_in * MM_PER_INCH)
    assert side_mm == pytest.approx(square_in * MM_PER_INCH)
    for length_mm, yards in ((side_mm, 1), (side_mm + MM_PER_YARD - square_in * MM_PER_INCH + 1, 2)):
        need = Need(material_id="m", name="cloth", lengths_mm_by_width=((44 * MM_PER_INCH, length_mm),))
        assert buy(need, by_the_yard("10.00")).purchases[0].quantity == pytest.approx(yards * MM_PER_YARD)
