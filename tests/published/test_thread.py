"""Thread a lockstitch seam takes, against published figures."""

from __future__ import annotations

import itertools
import math

import pytest

from bagwright.body.thread import thread_length_mm, thread_ratio_lockstitch, thread_ratio_pulled
from bagwright.units import MM_PER_INCH


def _ratio_by_inches(thickness_in: float, stitches_per_in: float) -> float:
    return thread_ratio_lockstitch(thickness_in * MM_PER_INCH, MM_PER_INCH / stitches_per_in)


def test_k5_lockstitch_matches_textilecalculations_com():
    # Found: C = 2 + 2TS; T = 0.01 in, S = 10 per in: 2.2 in of thread per in of seam.
    assert _ratio_by_inches(0.01, 10) == pytest.approx(2.2, abs=1e-9)


@pytest.mark.parametrize(("thickness_in", "stitches_per_in"), [(0.02, 7), (0.1, 8), (0.15, 6)])
def test_k5_inches_form_agrees_with_metric(thickness_in, stitches_per_in):
    assert _ratio_by_inches(thickness_in, stitches_per_in) == pytest.approx(2 + 2 * thickness_in * stitches_per_in)


@pytest.mark.parametrize(("thickness_mm", "stitch_mm"), [(0.254, 2.54), (1.0, 2.5), (3.0, 3.0)])
def test_k5_agrees_with_walking_the_thread(thickness_mm, stitch_mm):
    # Second method: both threads walked corner by corner over 50 stitches, meeting in the middle of the cloth.
    needle, bobbin = [], []
    for stitch in range(50):
        x, half = stitch * stitch_mm, thickness_mm / 2
        needle += [(x, half), (x, 2 * half), (x + stitch_mm, 2 * half), (x + stitch_mm, half)]
        bobbin += [(x, half), (x, 0.0), (x + stitch_mm, 0.0), (x + stitch_mm, half)]
    walked = sum(math.dist(a, b) for path in (needle, bobbin) for a, b in itertools.pairwise(path))
    assert thread_ratio_lockstitch(thickness_mm, stitch_mm) == pytest.approx(walked / (50 * stitch_mm))


@pytest.mark.parametrize(("stitch_mm", "thickness_mm", "ratio"), [(2.5, 1.0, 2.8), (3.0, 3.0, 4.0)])
def test_metric_form_matches_derived_rows(stitch_mm, thickness_mm, ratio):
    # Derived: 2 (1 + t/p).
    assert thread_ratio_lockstitch(thickness_mm, stitch_mm) == pytest.approx(ratio, abs=1e-12)


def test_flat_ratio_matches_thin_cloth():
    # Found: a flat 2.5 is in use (220 cm of seam, 550 cm of thread); it stands for 0.63 mm of cloth at 2.5 mm stitches.
    assert thread_ratio_lockstitch(0.625, 2.5) == pytest.approx(550 / 220)


def test_bag_seams_need_more_than_the_flat_ratio():
    # Derived: 12 % and 60 % more than a flat 2.5.
    assert thread_ratio_lockstitch(1.0, 2.5) / 2.5 - 1 == pytest.approx(0.12)
    assert thread_ratio_lockstitch(3.0, 3.0) / 2.5 - 1 == pytest.approx(0.60)


def test_thin_cloth_limit():
    # No thickness: one thread above, one below.
    assert thread_ratio_lockstitch(1e-6, 2.5) == pytest.approx(2, abs=1e-6)


def test_k6_pulled_chainstitch_matches_apparelscience_com():
    # Found: 15 cm of seam hold 19.5 cm of needle thread and 62.0 cm of looper thread, told as ratios 1.3 and 4.1;
    # 100 cm of seam then take 540 cm, with 15 % waste 621 cm. The looper's ratio is 4.13 unrounded.
    needle, looper = (thread_ratio_pulled(15, [pulled]) for pulled in (19.5, 62.0))
    assert (round(needle, 1), round(looper, 1)) == (1.3, 4.1)
    rounded = round(needle, 1) + round(looper, 1)
    assert thread_length_mm(100, rounded, waste_share=0) == pytest.approx(540)
    assert thread_length_mm(100, rounded, waste_share=0.15) == pytest.approx(621)
    # Second way: both threads at once, unrounded, is within what the rounding hides.
    assert thread_length_mm(100, thread_ratio_pulled(15, [19.5, 62.0]), waste_share=0) == pytest.approx(540, abs=5)


def test_pulled_lockstitch_example_matches_apparelscience_com():
    # Found: second example: 3.51 + 3.12 = 6.63 yd of thread, x 1.15 = 7.62 yd.
    assert thread_length_mm(1, 3.51 + 3.12, waste_share=0.15) == pytest.approx(7.62, abs=0.005)
