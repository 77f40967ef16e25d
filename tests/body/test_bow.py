"""How far a panel bows: against the exact curve of a strip, and what must follow."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from bagwright.body.bow import BowingPanel, bow_of
from bagwright.body.held_panel import held_panel_body, holds_in_a_bag
from bagwright.body.plate import Plate, bowing
from bagwright.body.slump import slumped_strip
from bagwright.model.held_panel import EdgeHold, HeldPanel, Hold
from tests.body.sheets import sheet

STRIP = Hold(foot=EdgeHold.CLAMPED, sides=EdgeHold.FREE)
CRITICAL_MM = 198.6353


def strip(height_mm: float) -> BowingPanel:
    bowed = bowing(Plate(width_mm=20, height_mm=height_mm, rigidity_up=1e6, rigidity_across=1e6, hold=STRIP))
    times = bowed.load / height_mm
    return BowingPanel(
        width_mm=20, height_mm=height_mm, upright_mm=100, across_mm=100, multiplier=times, shape=bowed.shape
    )


@pytest.mark.parametrize(("beyond", "within"), [(1.003, 0.03), (1.01, 0.06), (1.03, 0.12)])
def test_bow_of_a_strip_agrees_with_the_exact_curve(beyond: float, within: float):
    # Second method: the elastica of a strip too tall to stand, by steps along it. One shape is exact at the threshold.
    height = CRITICAL_MM * beyond
    bow = bow_of(strip(height))
    sideways, up = slumped_strip(height, 100)[-1]
    assert bow.bow_mm == pytest.approx(sideways, rel=within)
    assert bow.sink_mm == pytest.approx(height - up, rel=2 * within)
    assert (bow.at_share, bow.folds) == (1.0, False)


def test_limit_flat_below_the_threshold_and_folding_far_beyond():
    assert bow_of(strip(0.99 * CRITICAL_MM)).bow_mm == 0
    assert bow_of(strip(2 * CRITICAL_MM)).folds


def test_property_section_keeps_the_length_of_its_thread():
    bow = bow_of(strip(1.01 * CRITICAL_MM))
    length = sum(((x - a) ** 2 + (y - b) ** 2) ** 0.5 for (a, b), (x, y) in pairwise(bow.section))
    assert length == pytest.approx(1.01 * CRITICAL_MM, rel=2e-3)


def test_property_more_body_bows_less():
    least, most = holds_in_a_bag(100)
    panel = HeldPanel(name="", width_mm=300, height_mm=250, sheets=(sheet(overhang=99),), least=least, most=most)
    bows = [held_panel_body(replace(panel, sheets=(sheet(overhang=overhang),))) for overhang in (90, 95, 98, 300)]
    assert all(limp.bow_mm.high >= firm.bow_mm.high - 1e-6 for limp, firm in pairwise(bows))
    assert bows[-1].bow_mm.high == 0
    assert all(one.bow_mm.low <= one.bow_mm.high for one in bows)
