"""Hides, remnants and scraps: nothing over an edge or a flaw, nothing lost, and stock only where it saves money."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from bagwright.cutting import stock, stock_first
from bagwright.cutting._budget import Budget
from bagwright.cutting.check_stock import check_stock
from bagwright.cutting.container import Bench
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.stock import lay_on_stock
from bagwright.cutting.stock_first import lay_stock_first
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LaySettings, Placement
from bagwright.model.money import Money
from bagwright.model.piece import Mirror
from bagwright.model.stock import ClothPrice, StockLaid, StockLayout, StockPiece, StockRequest
from tests.cutting.requests import lay_requests

FIRST = LaySettings(seconds=0)


def hide(size: float, *, at: tuple[float, float] = (0.0, 0.0), corners: int = 40) -> list[tuple[float, float]]:
    """A wavy outline with legs, as a hide has."""
    turns = [i * math.tau / corners for i in range(corners)]
    far = [size * (1 + 0.2 * math.cos(4 * t) + 0.05 * math.sin(7 * t)) for t in turns]
    return [(at[0] + r * math.cos(t), at[1] + 0.7 * r * math.sin(t)) for r, t in zip(far, turns, strict=True)]


def box(name: str, length: float, height: float, count: int = 1, **others) -> LayPiece:
    return LayPiece(id=name, region=Region.rectangle((0, 0), (length, height)), count=count, **others)


@st.composite
def stock_requests(draw) -> StockRequest:
    asked = draw(lay_requests())
    stock = []
    for number in range(draw(st.integers(1, 3))):
        size = draw(st.integers(150, 600))
        flaw = Region.from_ring(hide(size * 0.1, at=(size * 0.3, 0.0), corners=7))
        lesser = Region.rectangle((-2 * size, size * 0.3), (2 * size, size))
        stock.append(
            StockPiece(
                id=f"hide {number}",
                region=Region.from_ring(hide(size, corners=draw(st.sampled_from([12, 60])))),
                flaws=(flaw,) if draw(st.booleans()) else (),
                lesser=(lesser,),
                grain_deg=draw(st.sampled_from([None, 0.0, 90.0, 33.0])),
            )
        )
    wanted = draw(st.sampled_from([False, True]))
    pieces = (replace(asked.pieces[0], best_only=wanted), *asked.pieces[1:])
    return StockRequest(stock=tuple(stock), pieces=pieces, gap_mm=asked.gap_mm)


def laid_shapes(request: StockRequest, layout: StockLayout) -> dict[str, list[tuple[LayPiece, Polygon]]]:
    """By stock piece, each piece where it lies, by the stated mapping and shapely alone."""
    pieces = {piece.id: piece for piece in request.pieces}
    found: dict[str, list[tuple[LayPiece, Polygon]]] = {}
    for one in layout.laid:
        for spot in one.placements:
            shape = Polygon(pieces[spot.id].region.outer_ring())
            if spot.mirrored:
                shape = affinity.scale(shape, -1, 1, origin=(0, 0))
            shape = affinity.translate(affinity.rotate(shape, spot.turn_deg, origin=(0, 0)), spot.x_mm, spot.y_mm)
            found.setdefault(one.stock_id, []).append((pieces[spot.id], shape))
    return found


@given(stock_requests(), st.integers(1, 3))
@settings(deadline=None, max_examples=6)
def test_property_pieces_lie_inside_beside_flaws_and_apart_in_shapely(request, seed):
    layout = lay_on_stock(request, settings=LaySettings(iterations=2, seed=seed))
    stock = {one.id: one for one in request.stock}
    for name, laid in laid_shapes(request, layout).items():
        edge = Polygon(stock[name].region.outer_ring()).buffer(0.01)
        for number, (piece, shape) in enumerate(laid):
            assert edge.covers(shape)
            for flaw in stock[name].flaws:
                assert shape.intersection(Polygon(flaw.outer_ring())).area < 0.1
            if piece.best_only:
                assert all(shape.intersection(Polygon(p.outer_ring())).area < 0.1 for p in stock[name].lesser)
            for _, other in laid[:number]:
                assert shape.intersection(other).area < 0.1
                assert shape.distance(other) >= request.gap_mm - 0.02
    done = sum(len(one.placements) for one in layout.laid) + sum(count for _, count in layout.left)
    assert done == sum(piece.count for piece in request.pieces)
    assert lay_on_stock(request, settings=LaySettings(iterations=2, seed=seed)) == layout


def test_a_scrap_holds_what_fits_it_exactly_limit_of_no_waste():
    """An L of 100 mm squares: three squares fill it, the fourth finds no room."""
    ell = Region.from_ring([(0, 0), (200, 0), (200, 100), (100, 100), (100, 200), (0, 200)])
    request = StockRequest(stock=(StockPiece(id="ell", region=ell),), pieces=(box("square", 100, 100, 4),))
    layout = lay_on_stock(request, settings=FIRST)
    assert layout.left == (("square", 1),)
    assert check_stock(request, layout.laid, layout.left).passed


def test_a_triangle_piece_is_turned_along_the_slanted_edge_of_a_scrap():
    """Half a square, cut corner to corner: only turned by 45 degrees does a bar of 265 by 15 mm lie along its edge."""
    half = Region.from_ring([(0, 0), (200, 0), (0, 200)])
    bar = box("bar", 250, 15, turns_deg=None)
    request = StockRequest(stock=(StockPiece(id="half", region=half, grain_deg=None),), pieces=(bar,))
    assert lay_on_stock(request, settings=LaySettings(iterations=3)).left == ()


def test_small_pieces_go_onto_several_scraps_at_once():
    scraps = tuple(StockPiece(id=f"s{i}", region=Region.rectangle((0, 0), (100 + i, 60))) for i in range(3))
    layout = lay_on_stock(StockRequest(stock=scraps, pieces=(box("tab", 50, 60, 6),)), settings=FIRST)
    assert layout.left == ()
    assert [len(one.placements) for one in layout.laid] == [2, 2, 2]


def test_the_search_fits_more_than_the_first_filling():
    """Large first leaves no room for the second large one; the known answer holds both and the long one."""
    scrap = StockPiece(id="s", region=Region.rectangle((0, 0), (100, 100)))
    pieces = (box("a", 60, 50, 2, turns_deg=(0.0, 90.0)), box("b", 40, 100, 1, turns_deg=(0.0, 90.0)))
    request = StockRequest(stock=(scrap,), pieces=pieces)
    assert lay_on_stock(request, settings=LaySettings(iterations=60)).left == ()


def test_both_of_a_pair_lie_on_stock_or_none():
    ell = Region.from_ring([(0, 0), (100, 0), (100, 40), (40, 40), (40, 150), (0, 150)])
    pair = LayPiece(id="ell", region=ell, count=2, mirror=Mirror.PAIRS)
    small = StockPiece(id="small", region=Region.rectangle((0, 0), (101, 151)))
    request = StockRequest(stock=(small,), pieces=(pair,))
    assert lay_on_stock(request, settings=FIRST).left == (("ell", 2),)
    two = replace(request, stock=(small, replace(small, id="other")))
    layout = lay_on_stock(two, settings=FIRST)
    assert layout.left == ()
    assert sorted(spot.mirrored for one in layout.laid for spot in one.placements) == [False, True]


def test_pieces_with_a_grain_lie_along_that_of_the_stock_and_on_none_where_it_is_not_known():
    strip = box("strip", 100, 20, turns_deg=(0.0, 180.0))
    scrap = StockPiece(id="s", region=Region.rectangle((0, 0), (30, 120)), grain_deg=90.0)
    (laid,) = lay_on_stock(StockRequest(stock=(scrap,), pieces=(strip,)), settings=FIRST).laid
    assert laid.placements[0].turn_deg in (90.0, 270.0)
    for grain in (0.0, None):
        asked = StockRequest(stock=(replace(scrap, grain_deg=grain),), pieces=(strip,))
        assert lay_on_stock(asked, settings=FIRST).left == (("strip", 1),)


SCRAP = StockPiece(
    id="s",
    region=Region.from_ring([(0, 0), (100, 0), (100, 50), (50, 50), (50, 100), (0, 100)]),
    flaws=(Region.rectangle((40, 40), (45, 45)),),
    lesser=(Region.rectangle((0, 60), (50, 100)),),
)
JUDGED = StockRequest(stock=(SCRAP,), pieces=(box("tab", 40, 30, 2, best_only=True),), gap_mm=2.0)


@pytest.mark.parametrize(
    ("spots", "word"),
    [
        (((0, 0, 0), (42, 0, 0)), ""),
        (((0, 0, 0), (41, 0, 0)), "closer than 2 mm"),
        (((0, 0, 0), (30, 0, 0)), "overlap"),
        (((0, 0, 0), (61, 0, 0)), "over its edge"),
        (((0, 0, 0), (42, 18, 0)), "over a flaw"),
        (((0, 0, 0), (4, 68, 0)), "lesser grade"),
        (((0, 0, 0), (90, 0, 90)), "90 degrees from the grain"),
        (((0, 0, 0),), "laid 1 times, 0 left, asked for 2"),
        (((0, 0, 0), (math.nan, 0, 0)), "no piece with a place"),
    ],
)
def test_check_rejects_planted_faults(spots, word):
    laid = [StockLaid("s", tuple(Placement("tab", float(turn), False, x, y) for x, y, turn in spots))]
    faults = check_stock(JUDGED, laid, []).faults
    assert (faults == ()) if not word else any(word in fault for fault in faults), faults


def test_check_rejects_stock_that_is_not_there():
    laid = [StockLaid("t", (Placement("tab", 0.0, False, 0, 0),)), StockLaid("t", ())]
    faults = check_stock(JUDGED, laid, [("tab", 1)]).faults
    assert {"t: no such stock piece was given", "t: is told 2 times"} <= set(faults)


def euros(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")


CLOTH = ClothPrice(width_mm=1000, price_per_m=euros("10"), step_mm=100)


@pytest.mark.parametrize(
    ("worth", "costs", "bought_mm"),
    [(None, "5.00", 500.0), ("4.99", "9.99", 500.0), ("5.00", "10.00", 1000.0), ("20", "10.00", 1000.0)],
)
def test_stock_is_cut_where_it_saves_more_than_it_is_worth(worth, costs, bought_mm):
    """By hand: two panels of 500 by 950 mm take 1 m at 10 a metre; one of them on the scrap saves 5."""
    scrap = StockPiece(id="s", region=Region.rectangle((0, 0), (510, 990)), worth=euros(worth) if worth else None)
    request = StockRequest(stock=(scrap,), pieces=(box("panel", 500, 950, 2),))
    plan = lay_stock_first(request, CLOTH, settings=FIRST)
    assert str(plan.costs.for_display()) == costs
    assert plan.bought_mm == pytest.approx(bought_mm)
    assert plan.costs_without == euros("10.0")


def test_the_pieces_that_make_the_cloth_long_go_on_the_stock_first():
    """By hand: the larger panels on the scrap leave a strap that takes 700 mm of cloth; both straps leave 400 mm."""
    scrap = StockPiece(id="s", region=Region.rectangle((0, 0), (810, 590)))
    request = StockRequest(stock=(scrap,), pieces=(box("panel", 400, 450, 2), box("strap", 700, 100, 2)))
    plan = lay_stock_first(request, CLOTH, settings=FIRST)
    assert plan.stock.left == (("panel", 2),)
    assert plan.bought_mm == pytest.approx(400)
    assert plan.costs == euros("4.0")
    assert plan.stock.verdict.passed


def test_a_needle_reaches_over_no_edge():
    """By construction: a tip 120 mm long and 0.4 mm wide at its foot, on a hide with slanting edges all round."""
    tip = [(0, 0), (115, 0), (115, 93.4), (235, 93.6), (115, 93.8), (115, 187), (0, 187)]
    needle = LayPiece(id="n", region=Region.from_ring(tip), count=6, turns_deg=None)
    scrap = StockPiece(id="s", region=Region.from_ring(hide(380.0, corners=27)))
    found = lay_on_stock(StockRequest(stock=(scrap,), pieces=(needle,)), settings=FIRST)
    edge, outline = Polygon(scrap.region.outer_ring()).buffer(1e-3), Polygon(tip)
    assert found.laid
    for place in found.laid[0].placements:
        turned = affinity.rotate(outline, place.turn_deg, origin=(0, 0))
        assert edge.covers(affinity.translate(turned, place.x_mm, place.y_mm))


def test_what_does_not_pass_the_check_is_left_not_the_whole_answer_lost(monkeypatch):
    """By construction: a check that lets nothing lie on one of two scraps leaves the other to be cut."""
    really = check_stock

    def stern(request, laid, left):
        verdict = really(request, laid, left)
        bad = any(one.stock_id == "bad" for one in laid)
        return replace(verdict, faults=("not on this one",)) if bad else verdict

    monkeypatch.setattr(stock, "check_stock", stern)
    scraps = tuple(StockPiece(id=name, region=Region.rectangle((0, 0), (100, 50))) for name in ("bad", "good"))
    found = lay_on_stock(StockRequest(stock=scraps, pieces=(box("tab", 90, 40, 2),)), settings=FIRST)
    assert ([one.stock_id for one in found.laid], found.left) == (["good"], (("tab", 1),))


def test_all_choices_together_search_no_longer_than_was_asked(monkeypatch):
    """docs/json.md, outside the search: `seconds` is how long to search, however many choices of stock there are."""
    asked: list[float] = []
    for name, really in (("lay_pieces", lay_pieces), ("lay_on_stock", lay_on_stock)):

        def recorded(request, *, settings, really=really, **others):
            asked.append(settings.seconds)
            return really(request, settings=replace(settings, seconds=0), **others)

        monkeypatch.setattr(stock_first, name, recorded)
    scraps = tuple(StockPiece(id=f"s{i}", region=Region.rectangle((0, 0), (310, 200))) for i in range(3))
    request = StockRequest(stock=scraps, pieces=tuple(box(f"tab {i}", 300, 90 + i, 4) for i in range(4)))
    stock_first.lay_stock_first(request, CLOTH, settings=LaySettings(seconds=1000))
    assert 900 < sum(asked) <= 1000


def test_what_fits_the_stock_only_is_cut_from_it_whatever_it_is_worth():
    scrap = StockPiece(id="s", region=Region.rectangle((0, 0), (1100, 1100)), worth=euros("500"))
    request = StockRequest(stock=(scrap,), pieces=(box("wide", 1050, 1050),))
    plan = lay_stock_first(request, CLOTH, settings=FIRST)
    assert (plan.costs, plan.costs_without) == (euros("500"), None)
    with pytest.raises(FaultyInput):
        lay_stock_first(replace(request, stock=()), CLOTH, settings=FIRST)


def test_rejects_faults_of_stock_and_pieces_at_once():
    two = Region.union([Region.rectangle((0, 0), (1, 1)), Region.rectangle((5, 5), (6, 6))])
    request = StockRequest(stock=(SCRAP, replace(SCRAP, region=two)), pieces=(box("tab", 9, 9, 0),), gap_mm=-1)
    with pytest.raises(FaultyInput) as caught:
        lay_on_stock(request, settings=FIRST)
    places = [problem.place for problem in caught.value.problems]
    assert places == ["gap_mm", "pieces[0].count", "stock[0].id", "stock[1].id", "stock[1].outline"]


class Late(Budget):
    """A clock on which the time is over at once."""

    def seconds(self) -> float:
        return 1e6


def test_no_first_answer_outlasts_the_time_by_much(monkeypatch):
    """However much there is to choose from, only what was laid until then counts, and it passes the check."""
    request = StockRequest(stock=(SCRAP,), pieces=(box("tab", 40, 30, 9),))
    whole = lay_on_stock(request, settings=FIRST)
    monkeypatch.setattr(stock, "Budget", Late)
    for seconds in (0, 1, 5):
        found = lay_on_stock(request, settings=LaySettings(seconds=seconds))
        assert (found.laid, found.left, found.verdict.passed) == ((), (("tab", 9),), True)
    by_trials = lay_on_stock(request, settings=LaySettings(seconds=0, iterations=0))
    assert by_trials.laid == whole.laid != ()


def test_choices_of_stock_end_with_the_time(monkeypatch):
    tried: list[int] = []

    def counted(request, **others):
        tried.append(len(request.pieces))
        return lay_on_stock(request, **others)

    monkeypatch.setattr(stock_first, "lay_on_stock", counted)
    monkeypatch.setattr(stock_first, "Budget", Late)
    scrap = StockPiece(id="s", region=Region.rectangle((0, 0), (1100, 1100)), worth=euros("1"))
    request = StockRequest(stock=(scrap,), pieces=tuple(box(f"tab {i}", 300, 90 + i, 4) for i in range(6)))
    plan = lay_stock_first(request, CLOTH, settings=LaySettings(seconds=1))
    assert tried == [6, 6]
    assert plan.stock.verdict.passed
    assert plan.costs_without and plan.costs < plan.costs_without


def test_shapes_kept_between_choices_change_no_answer():
    """The same request with a bench that other choices have used."""
    scraps = tuple(StockPiece(id=f"s{i}", region=Region.from_ring(hide(150.0 + 40 * i))) for i in range(2))
    pieces = (box("a", 120, 90, 3), box("b", 60, 45, 4, turns_deg=None), box("c", 80, 30, 2, mirror=Mirror.PAIRS))
    request, bench = StockRequest(stock=scraps, pieces=pieces, gap_mm=3), Bench(3)
    lay_on_stock(replace(request, stock=scraps[1:], pieces=pieces[1:]), settings=FIRST, bench=bench)
    assert lay_on_stock(request, settings=FIRST, bench=bench) == lay_on_stock(request, settings=FIRST)


def test_a_stop_leaves_the_first_answer():
    request = StockRequest(stock=(SCRAP,), pieces=(box("tab", 40, 30, 9),))
    stopped = lay_on_stock(request, settings=LaySettings(seconds=3600), should_stop=lambda: True)
    assert stopped.laid == lay_on_stock(request, settings=FIRST).laid
