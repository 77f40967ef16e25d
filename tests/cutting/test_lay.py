"""Whatever is asked, the answer is sound; more trials never hurt; known best layouts are found again."""

from __future__ import annotations

import itertools
import math
import sys
from collections import Counter
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.cutting.check import check_layout
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.requests import request_hash
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings
from bagwright.model.piece import Mirror
from tests.cutting.requests import lay_requests, rectangles

FIRST = LaySettings(seconds=0)


def trials(count: int, seed: int = 1) -> LaySettings:
    return LaySettings(iterations=count, seed=seed)


@given(lay_requests())
@settings(deadline=None, max_examples=60)
def test_property_the_first_answer_is_sound(request):
    layout = lay_pieces(request, settings=FIRST)
    assert check_layout(request, layout.placements).faults == ()
    area = sum(piece.region.area_mm2 * piece.count for piece in request.pieces)
    assert layout.share_used == pytest.approx(area / layout.length_mm / request.width_mm)
    assert layout.share_used <= 1 + 1e-6
    assert layout.request_hash == request_hash(request)


@given(lay_requests(), st.integers(1, 5))
@settings(deadline=None, max_examples=15)
def test_property_trials_never_lengthen_and_repeat_exactly(request, seed):
    heard: list[Layout] = []
    layout = lay_pieces(request, settings=trials(60, seed), on_better=heard.append)
    lengths = [found.length_mm for found in heard]
    assert lengths == sorted(lengths, reverse=True)
    assert heard[-1] == layout
    assert all(found.verdict.passed for found in heard)
    assert layout.length_mm <= lay_pieces(request, settings=FIRST).length_mm
    assert lay_pieces(request, settings=trials(60, seed)) == layout


def _shortest_by_every_order(width, sizes) -> float:
    """Independent: every order of the boxes, each box as far back and then as low as it can go. Finds the optimum,
    since some order of lower-left placements reaches every packing pushed back and down."""
    boxes = [(length, height) for length, height, count in sizes for _ in range(count)]
    best = float("inf")
    for order in set(itertools.permutations(boxes)):
        laid: list[tuple[float, float, float, float]] = []
        for length, height in order:
            backs = {0.0} | {x + a for x, _, a, _ in laid}
            floors = {0.0} | {y + b for _, y, _, b in laid}
            spots = sorted(itertools.product(backs, floors))
            x, y = next(
                (x, y)
                for x, y in spots
                if y + height <= width
                and all(x >= u + a or u >= x + length or y >= v + b or v >= y + height for u, v, a, b in laid)
            )
            laid.append((x, y, length, height))
        best = min(best, max(x + a for x, _, a, _ in laid))
    return best


@pytest.mark.parametrize("seed", range(12))
def test_small_cases_agrees_with_trying_every_order(seed):
    rng = Random(seed)
    sizes = [(float(rng.randint(2, 9)), float(rng.randint(2, 9)), rng.randint(1, 2)) for _ in range(4)]
    while sum(count for *_, count in sizes) > 6:
        sizes.pop()
    request = rectangles(12.0, sizes)
    assert lay_pieces(request, settings=trials(400)).length_mm == pytest.approx(_shortest_by_every_order(12.0, sizes))


def _guillotine(rng: Random, width: float, length: float, cuts: int) -> list[tuple[float, float]]:
    """A cloth cut edge to edge, again and again, on a grid of 5."""
    parts = [(length, width)]
    for _ in range(cuts):
        parts.sort(key=lambda part: part[0] * part[1])
        a, b = parts.pop()
        if a > b:
            at = 5.0 * rng.randint(1, int(a / 5) - 1)
            parts += [(at, b), (a - at, b)]
        else:
            at = 5.0 * rng.randint(1, int(b / 5) - 1)
            parts += [(a, at), (a, b - at)]
    return parts


@pytest.mark.parametrize("seed", range(6))
def test_a_cloth_cut_into_rectangles_is_nearly_refilled_limit_of_no_waste(seed):
    """The planted answer wastes nothing, so no layout can be shorter than it; ours may be 8 % longer."""
    parts = Counter(_guillotine(Random(seed), 200.0, 300.0, 14))
    request = rectangles(200.0, [(a, b, count) for (a, b), count in parts.items()])
    layout = lay_pieces(request, settings=trials(1500))
    assert 300.0 - 1e-6 <= layout.length_mm <= 324.0


@pytest.mark.parametrize(("across", "along"), [(2, 5), (3, 4)])
def test_equal_panels_in_rows_limit_of_no_waste(across, along):
    request = rectangles(across * 355.6, [(406.4, 355.6, across * along)])
    layout = lay_pieces(request, settings=FIRST)
    assert layout.length_mm == pytest.approx(along * 406.4)
    assert layout.share_used == pytest.approx(1.0)


def test_boxed_corners_lie_side_by_side():
    panel = Region.from_ring([(60, 0), (340, 0), (340, 60), (400, 60), (400, 350), (0, 350), (0, 60), (60, 60)])
    request = LayRequest(width_mm=1060, pieces=(LayPiece(id="panel", region=panel, count=6),))
    assert lay_pieces(request, settings=trials(100)).length_mm == pytest.approx(800.0)


@pytest.mark.parametrize("gap", [0.0, 4.0])
def test_small_pieces_lie_in_the_notches_of_panels_limit_of_the_panels_alone(gap):
    """Two rows of two panels fill the width, so that the tabs can only lie in the notches, two of which must meet."""
    panel = Region.from_ring([(60, 0), (340, 0), (340, 60), (400, 60), (400, 350), (0, 350), (0, 60), (60, 60)])
    pieces = (
        LayPiece(id="panel", region=panel, count=4),
        LayPiece(id="tab", region=Region.rectangle((0, 0), (100, 50)), count=2),
    )
    request = LayRequest(width_mm=700 + gap, gap_mm=gap, pieces=pieces)
    layout = lay_pieces(request, settings=trials(300))
    assert layout.length_mm == pytest.approx(800.0 + gap)
    assert layout.found_by == "nooks"


def test_a_piece_of_any_turn_is_turned_to_fit():
    strap = LayPiece(id="strap", region=Region.rectangle((0, 0), (50, 900)), count=3, turns_deg=None)
    layout = lay_pieces(LayRequest(width_mm=500, pieces=(strap,)), settings=FIRST)
    assert layout.length_mm == pytest.approx(900.0)


def test_small_pieces_lie_across_the_cloth_at_once_where_that_is_shorter():
    side = LayPiece(id="side", region=Region.rectangle((0, 0), (259, 176)), count=2, turns_deg=None)
    layout = lay_pieces(LayRequest(width_mm=900, pieces=(side,)), settings=FIRST)
    assert layout.length_mm == pytest.approx(176.0)


def test_a_piece_on_the_bias_lies_at_45_degrees_limit_of_its_diagonal():
    """By hand: a bar of 300 by 40 mm turned by 45 degrees reaches (300 + 40) / sqrt 2 mm along and across."""
    bar = LayPiece(id="bar", region=Region.rectangle((0, 0), (300, 40)), count=1, turns_deg=(45.0, 225.0))
    layout = lay_pieces(LayRequest(width_mm=241, pieces=(bar,)), settings=FIRST)
    assert layout.length_mm == pytest.approx(340 / math.sqrt(2))
    with pytest.raises(FaultyInput):
        lay_pieces(LayRequest(width_mm=240, pieces=(bar,)), settings=FIRST)


def test_pairs_are_half_mirrored():
    ell = Region.from_ring([(0, 0), (100, 0), (100, 40), (40, 40), (40, 150), (0, 150)])
    piece = LayPiece(id="ell", region=ell, count=6, mirror=Mirror.PAIRS)
    layout = lay_pieces(LayRequest(width_mm=300, pieces=(piece,)), settings=FIRST)
    assert [place.mirrored for place in layout.placements].count(True) == 3


def test_rejects_a_piece_wider_than_the_cloth():
    strap = LayPiece(id="strap", region=Region.rectangle((0, 0), (50, 900)), count=3)
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(LayRequest(width_mm=500, pieces=(strap,)), settings=FIRST)
    sentence = str(caught.value)
    assert all(part in sentence for part in ("strap", "900 mm", "500 mm", "wider cloth"))


def test_rejects_every_fault_at_once():
    tab = LayPiece(id="tab", region=Region.rectangle((0, 0), (5, 9)), count=3, mirror=Mirror.PAIRS)
    request = LayRequest(width_mm=-1, gap_mm=-2, pieces=(tab, replace(tab, count=0), replace(tab, turns_deg=())))
    with pytest.raises(FaultyInput) as caught:
        lay_pieces(request, settings=FIRST)
    places = [problem.place for problem in caught.value.problems]
    assert places == [
        "width_mm", "gap_mm", "pieces[0].count", "pieces[1].id", "pieces[1].count", "pieces[2].id", "pieces[2].count",
        "pieces[2].turns",
    ]  # fmt: skip
    with pytest.raises(FaultyInput):
        lay_pieces(LayRequest(width_mm=10, pieces=()), settings=FIRST)


def test_a_stop_leaves_the_first_answer():
    request = rectangles(100.0, [(30.0, 20.0, 7), (25.0, 35.0, 5)])
    layout = lay_pieces(request, settings=LaySettings(seconds=3600), should_stop=lambda: True)
    assert layout == replace(lay_pieces(request, settings=FIRST), settings=layout.settings)


@pytest.mark.parametrize(
    "program",
    [
        "raise SystemExit(3)",
        "import os; os.abort()",
        "print('{\"length\": 1'); raise SystemExit(0)",
        'print(\'{"length": 1.0, "laid": [[0, 0.0, 0.0, 0.0]]}\')',
        'print(\'{"length": 1.0, "laid": [[7, 0.0, 0.0, 0.0]]}\')',
        "import sys; sys.stdin.close(); print('x' * 100_000)",
        "import time; time.sleep(3600)",
    ],
)
def test_a_packing_library_gone_wrong_costs_only_what_it_might_have_found(program):
    ell = Region.from_ring([(0, 0), (100, 0), (100, 40), (40, 40), (40, 150), (0, 150)])
    request = LayRequest(width_mm=300, pieces=(LayPiece(id="ell", region=ell, count=5),))
    settings, faults = LaySettings(seconds=0.3), list[str]()
    command = [sys.executable, "-c", program]
    layout = lay_pieces(request, settings=settings, packer_command=command, on_fault=faults.append)
    assert check_layout(request, layout.placements).passed
    assert layout.found_by != "packing library"
    assert all("before its time" in fault for fault in faults)


def test_a_packing_library_that_is_killed_is_told_of():
    ell = Region.from_ring([(0, 0), (100, 0), (100, 40), (40, 40), (40, 150), (0, 150)])
    request = LayRequest(width_mm=300, pieces=(LayPiece(id="ell", region=ell, count=5),))
    faults: list[str] = []
    command = [sys.executable, "-c", "import os; os.kill(os.getpid(), 9)"]
    # The search ends when the fault is heard of, however slow the machine is.
    layout = lay_pieces(request, settings=LaySettings(seconds=60), packer_command=command, on_fault=faults.append)
    assert check_layout(request, layout.placements).passed
    assert faults == ["the packing library ended before its time with code -9"]


def test_the_packing_library_is_heard():
    """Nested L shapes: boxes can't reach what outlines do. The search is stopped by what it finds, not by the clock."""
    ell = Region.from_ring([(0, 0), (100, 0), (100, 30), (30, 30), (30, 150), (0, 150)])
    request = LayRequest(width_mm=310, gap_mm=2, pieces=(LayPiece(id="ell", region=ell, count=8),))
    found: list[Layout] = []
    layout = lay_pieces(
        request,
        settings=LaySettings(seconds=60),
        on_better=found.append,
        should_stop=lambda: bool(found) and found[-1].found_by == "packing library",
    )
    assert layout.found_by == "packing library"
    assert check_layout(request, layout.placements).passed


def test_nothing_is_searched_where_the_first_answer_cannot_be_beaten():
    strap = LayPiece(id="strap", region=Region.rectangle((0, 0), (900, 50)), count=3)
    endless = LaySettings(seconds=3600, iterations=10**9)
    layout = lay_pieces(LayRequest(width_mm=500, pieces=(strap,)), settings=endless)
    assert layout.length_mm == pytest.approx(900.0)
    assert layout.found_by == "first fill"
