"""The heart loop against the closed formula of the standards, against collocation, and at its limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_bvp
from scipy.optimize import brentq

from bagwright.body.heart_loop import heart_loop_bending_length_mm, loop_share, overhang_of_heart_loop
from bagwright.body.ruler_test import bending_length_mm
from bagwright.errors import FaultyInput


def by_peirce(strip: float, loop: float) -> float:
    """From memory (Peirce 1930; ASTM D1388 option B): l0 = 0.1337 L, angle = 32.85 deg d/l0, c = l0 (cos/tan)^(1/3)."""
    at_rest = 0.1337 * strip
    angle = math.radians(32.85 * (loop - at_rest) / at_rest)
    return at_rest * math.cbrt(math.cos(angle) / math.tan(angle))


@pytest.mark.parametrize("share", [0.16, 0.2, 0.25, 0.3, 0.35])
def test_bending_length_matches_closed_formula(share):
    # The formula is a fit; against the full curve it is right to 5 %.
    assert heart_loop_bending_length_mm(200, 200 * share) == pytest.approx(by_peirce(200, 200 * share), rel=0.05)


def test_loop_without_weight_matches_published_constant():
    # From memory: 0.1337 of the strip. Our limit is 0.13386, as an elliptic integral gives it too.
    assert loop_share(0.01) == pytest.approx(0.1337, abs=0.0002)


def test_loop_without_weight_agrees_with_elliptic_integral():
    # Second method: theta'^2 = 2 P (cos(a) + cos(theta)) up to a turn, P a sideways pull; the ends lie on one line.
    # Half a loop turns from 90 to -180 degrees, with a pull m along x: theta' = -sqrt(2 (e + m cos(theta))).
    def along(m: float, part) -> float:
        return quad(lambda t: part(t) / math.sqrt(2 * (1 + m * math.cos(t))), -math.pi, math.pi / 2)[0]

    pull = brentq(lambda m: along(m, math.cos), -0.999, 0.999)
    length, down = along(pull, lambda t: 1.0), -along(pull, math.sin)
    assert down / (2 * length) == pytest.approx(loop_share(0.01), abs=1e-5)


@pytest.mark.parametrize("lengths", [1.0, 3.0, 5.0, 7.0])
def test_loop_agrees_with_solve_bvp(lengths):
    # Second method: collocation of the half loop, theta'' = pull sin + weight cos, the sideways pull unknown.
    half = lengths / 2

    def change(s, state, p):
        theta = state[0]
        bend = (half - s) * np.cos(theta) - p[0] * np.sin(theta)
        return np.vstack([state[1], bend, np.cos(theta), np.sin(theta)])

    def ends(clamp, low, p):
        return np.array([clamp[0] - math.pi / 2, clamp[2], clamp[3], low[0] + math.pi, low[2]])

    s = np.linspace(0, half, 60)
    theta = math.pi / 2 - 1.5 * math.pi * s / half
    guess = np.vstack([theta, np.full(60, -1.5 * math.pi / half), np.zeros(60), -0.25 * s])
    solved = solve_bvp(change, ends, s, guess, p=[1.0], tol=1e-7, max_nodes=20000)
    assert solved.success
    assert -float(solved.sol(half)[3]) / lengths == pytest.approx(loop_share(lengths), abs=2e-5)


def test_property_heavier_loops_hang_longer_and_scale():
    shares = [loop_share(lengths) for lengths in (0.5, 2, 4, 6, 8, 11)]
    assert shares == sorted(shares) and shares[-1] < 0.5
    assert heart_loop_bending_length_mm(300, 90) == pytest.approx(1.5 * heart_loop_bending_length_mm(200, 60))
    lengths = heart_loop_bending_length_mm(200, 60)
    assert loop_share(200 / lengths) == pytest.approx(0.3, abs=1e-8)


@pytest.mark.parametrize(
    ("strip", "loop", "place", "word"),
    [(200, 29, "loop_mm", "longer strip"), (200, 77, "loop_mm", "shorter strip"), (0, 20, "strip_mm", "Measure")],
)
def test_rejects_loops_that_tell_nothing(strip, loop, place, word):
    with pytest.raises(FaultyInput) as refused:
        heart_loop_bending_length_mm(strip, loop)
    (problem,) = refused.value.problems
    assert problem.place == place and word in problem.remedy


def test_loop_and_ruler_test_agree_on_one_cloth():
    # A cloth of bending length 24.6 mm: both tests, simulated, give the same overhang; the range has both ends right.
    reading = overhang_of_heart_loop(200, 60, reading_error_mm=2)
    assert bending_length_mm(reading.value, angle_deg=41.5) == pytest.approx(heart_loop_bending_length_mm(200, 60))
    assert bending_length_mm(reading.low, angle_deg=41.5) == pytest.approx(heart_loop_bending_length_mm(200, 62))
    assert bending_length_mm(reading.high, angle_deg=41.5) == pytest.approx(heart_loop_bending_length_mm(200, 58))
    edge = overhang_of_heart_loop(200, 31, reading_error_mm=2)
    assert bending_length_mm(edge.high, angle_deg=41.5) == pytest.approx(heart_loop_bending_length_mm(200, 30))
