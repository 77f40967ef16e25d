"""Which measurement pays: what it promises is what a shelf with hidden true values gets."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.body.home_tests import mass_of_piece, thickness_of_stack
from bagwright.body.paying import (
    RULER_ACCURACY_MM,
    THICKNESS_ACCURACY_MM,
    WEIGHT_ACCURACY_SHARE,
    paying_tests,
)
from bagwright.body.ruler_readings import ruler_finding
from bagwright.body.stack import bending_length_band_mm
from bagwright.model.body import Bond, BondedSwatch, Sheet
from bagwright.model.home_tests import FaceReadings
from bagwright.model.material import Held
from bagwright.model.paying import DoubtfulPanel, HomeTest
from bagwright.model.source import Reading
from tests.body.sheets import GUESS, reading, sheet, sheets

CANVAS = sheet("canvas", overhang=reading(50, 0.2))
FELT = sheet("felt", mass=reading(300, 0.3), thickness=reading(2, 0.3), overhang=reading(60, 0.1))


def panel(*stack: Sheet, need: float | None = None) -> DoubtfulPanel:
    return DoubtfulPanel(sheets=stack, needed_bending_length_mm=need)


def by(tests, test: HomeTest, *names: str):
    return next(one for one in tests if one.test is test and one.names == names)


def width(stack: list[Sheet]) -> float:
    band = bending_length_band_mm(stack)
    return band.high - band.low


def test_promise_agrees_with_hidden_true_values():
    # Monte Carlo: the canvas hides its overhang, the test finds it to its accuracy; how much of the band goes?
    stack = [CANVAS, FELT]
    promised = by(paying_tests([panel(*stack)]), HomeTest.OVERHANG, "canvas").narrows
    rng = np.random.default_rng(2)
    left = []
    for truth in rng.uniform(CANVAS.overhang_mm.low, CANVAS.overhang_mm.high, 150):
        low = max(truth - RULER_ACCURACY_MM, CANVAS.overhang_mm.low)
        high = min(truth + RULER_ACCURACY_MM, CANVAS.overhang_mm.high)
        left.append(width([replace(CANVAS, overhang_mm=Reading(truth, low, high, GUESS)), FELT]))
    assert promised == pytest.approx(1 - np.mean(left) / width(stack), abs=0.02)


def test_pair_whose_scrap_was_tested_is_not_asked_for_again():
    fused = replace(FELT, held=Held.FUSED)
    tested = replace(fused, bond=Bond(swatch=BondedSwatch(overhang_mm=reading(80, 0.2))))
    asked = [{test.test for test in paying_tests([panel(CANVAS, inner)])} for inner in (fused, tested)]
    assert HomeTest.SCRAP in asked[0] and HomeTest.SCRAP not in asked[1]


def test_settling_agrees_with_hidden_true_values():
    need = 25.0
    promised = paying_tests([panel(CANVAS, need=need)])[0].settles
    rng = np.random.default_rng(3)
    truths = rng.uniform(CANVAS.overhang_mm.low, CANVAS.overhang_mm.high, 4000)
    settled = np.abs(truths - need / 0.49991) > RULER_ACCURACY_MM
    # Five results stand for all, so to a fifth.
    assert promised == pytest.approx(settled.mean(), abs=0.2)


def test_accuracies_agree_with_the_home_tests():
    exact = FaceReadings(face_up_mm=(60, 61, 60, 61), face_down_mm=(60, 61, 60, 61))
    found = ruler_finding(exact, FaceReadings()).lengthwise
    assert found is not None
    assert (found.overhang_mm.high - found.overhang_mm.low) / 2 == pytest.approx(RULER_ACCURACY_MM, abs=0.3)
    stacked = thickness_of_stack(6, 10)
    assert (stacked.high - stacked.low) / 2 == pytest.approx(THICKNESS_ACCURACY_MM)
    weighed = mass_of_piece(34, (500, 200))
    assert (weighed.high - weighed.low) / 2 / weighed.value == pytest.approx(WEIGHT_ACCURACY_SHARE, abs=0.006)


def test_what_settles_the_decision_comes_before_what_narrows_more():
    # The wide band of the first panel decides nothing: it has nothing to reach.
    wide = sheet("leather", overhang=reading(120, 0.3))
    tests = paying_tests([panel(wide), panel(CANVAS, need=25.0)])
    assert (tests[0].names, tests[1].names) == (("canvas",), ("leather",))
    assert tests[1].narrows > tests[0].narrows


def test_a_material_counts_in_every_panel_it_lies_in():
    other = sheet("duck", overhang=reading(50, 0.22))
    alone = paying_tests([panel(CANVAS), panel(other)])
    both = paying_tests([panel(CANVAS), panel(CANVAS), panel(other)])
    assert alone[0].names == ("duck",)
    assert both[0].names == ("canvas",)


@pytest.mark.parametrize(("held", "verb"), [(Held.FUSED, "Fuse"), (Held.QUILTED, "Quilt")])
def test_scrap_of_a_bonded_run_is_offered_and_narrows_most_of_the_bond(held, verb):
    web = sheet("web", mass=90, thickness=0.3, overhang=40, held=held)
    (best,) = paying_tests([panel(sheet("canvas"), web)])
    assert (best.test, best.names) == (HomeTest.SCRAP, ("canvas", "web"))
    assert best.says.startswith(f"{verb} scraps of canvas and web")
    assert best.narrows > 0.8


def test_test_that_is_no_better_than_what_is_known_is_left_out():
    close = sheet("canvas", overhang=Reading(50, 49, 51, GUESS))
    assert paying_tests([panel(close)]) == ()
    assert paying_tests([panel(sheet())]) == ()


@settings(max_examples=25, deadline=None)
@given(st.lists(sheets(most_spread=0.3), min_size=1, max_size=3), st.floats(5, 80))
def test_property_shares_are_shares_and_best_comes_first(stack, need):
    tests = paying_tests([panel(*stack, need=need)])
    assert all(0 <= test.narrows <= 1 and 0 <= test.settles <= 1 for test in tests)
    assert [(-t.settles, -t.narrows) for t in tests] == sorted((-t.settles, -t.narrows) for t in tests)
