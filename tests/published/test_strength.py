"""Seam strength, strap pull and needle numbers against published figures."""

from __future__ import annotations

import pytest

from bagwright.body.needle import american_needle, metric_needle
from bagwright.body.strength import (
    NEWTONS_PER_POUND,
    seam_strength_n_per_mm,
    strap_angle_deg,
    strap_pull_n,
    thread_strength_n,
)
from bagwright.model.sewing import StitchType
from bagwright.units import MM_PER_INCH


def pounds_per_inch(stitches_per_inch: float, pounds: float, stitch: StitchType = StitchType.LOCKSTITCH) -> float:
    strength = seam_strength_n_per_mm(MM_PER_INCH / stitches_per_inch, pounds * NEWTONS_PER_POUND, stitch=stitch)
    return strength * MM_PER_INCH / NEWTONS_PER_POUND


@pytest.mark.parametrize(("stitch", "pounds"), [(StitchType.LOCKSTITCH, 60), (StitchType.CHAINSTITCH, 68)])
def test_k7_seam_strength_matches_thread_maker_bulletin(stitch, pounds):
    # Found: 10 stitches per inch x 4.0 lb x 1.5 = 60 lb; chainstitch x 1.7 = 68 lb.
    assert pounds_per_inch(10, 4.0, stitch) == pytest.approx(pounds, rel=1e-9)


@pytest.mark.parametrize(("stitches", "pounds"), [(6, 23.4), (8, 31.2), (10, 39.0), (12, 46.8)])
def test_k8_seam_strength_matches_thread_maker_bulletin(stitches, pounds):
    # Found: 24 tex thread of 2.6 lb at 6, 8, 10, 12 stitches per inch.
    assert pounds_per_inch(stitches, 2.6) == pytest.approx(pounds, rel=1e-9)


@pytest.mark.parametrize(("stitches", "pounds"), [(10, 4.0), (6, 2.6), (8, 2.6), (12, 2.6)])
def test_k7_and_k8_agree_with_a_count_of_stitches(stitches, pounds):
    # Second way, in newtons: a decimetre of seam, stitch by stitch, each bearing one and a half ends of thread.
    count = stitches * 100 / MM_PER_INCH
    decimetre = count * 1.5 * pounds * NEWTONS_PER_POUND
    assert 100 * seam_strength_n_per_mm(MM_PER_INCH / stitches, pounds * NEWTONS_PER_POUND) == pytest.approx(decimetre)


@pytest.mark.parametrize(("stitches", "printed"), [(6, 20), (8, 26), (10, 33), (12, 40)])
def test_seam_strength_of_spun_thread_matches_printed_whole_pounds(stitches, printed):
    # Found: 27 tex spun thread of 2.2 lb; the source rounds.
    assert pounds_per_inch(stitches, 2.2) == pytest.approx(printed, abs=0.5)


def test_chainstitch_example_matches_thread_maker_bulletin():
    # Found: 5 stitches per inch x 35 lb x 1.7 = 297.5 lb.
    assert pounds_per_inch(5, 35, StitchType.CHAINSTITCH) == pytest.approx(297.5, rel=1e-9)


def test_seam_strength_matches_si():
    # Derived: 60 lb/in is 10.51 N/mm (1 lbf/in = 0.17513 N/mm).
    assert seam_strength_n_per_mm(MM_PER_INCH / 10, 4 * NEWTONS_PER_POUND) == pytest.approx(10.51, abs=0.005)
    pound_per_inch = NEWTONS_PER_POUND / MM_PER_INCH
    assert pound_per_inch == pytest.approx(0.17513, abs=0.000005)


def test_thread_prior_holds_both_threads_of_the_bulletin():
    # Found: 24 tex 2.6 lb, 27 tex spun 2.2 lb.
    for tex, pounds in ((24, 2.6), (27, 2.2)):
        reading = thread_strength_n(tex)
        assert reading.low - 1e-9 <= pounds * NEWTONS_PER_POUND <= reading.high + 1e-9


def test_strap_pull_matches_derived_case():
    # Derived: F = W / (2 cos angle): 100 N at 30 degrees gives 57.735 N at each end.
    assert strap_pull_n(100, angle_deg=30) == pytest.approx(57.735, abs=0.0005)


def test_strap_angle_agrees_with_strap_length():
    # Derived: a drop of 10 in and a spread of 8 in take a strap of 21.54 in; each half leans atan(4/10).
    half = 21.54 / 2
    angle = strap_angle_deg(10 * MM_PER_INCH, 8 * MM_PER_INCH)
    assert strap_pull_n(1, angle_deg=angle) == pytest.approx(half / (2 * 10), rel=5e-4)


@pytest.mark.parametrize(
    ("american", "metric"),
    [(8, 60), (9, 65), (10, 70), (11, 75), (12, 80), (14, 90), (16, 100), (18, 110), (19, 120), (21, 130), (22, 140)],
)
def test_k18_needle_numbers_match_published_table(american, metric):
    # Found: apparelscience.com (rule below 19) and shoemaking.wiki (table; 18 and 19 by rule or from memory).
    assert metric_needle(american) == metric
    assert american_needle(metric) == str(american)
