"""A strip that hangs over: against two other methods, and its limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from scipy.optimize import minimize

from bagwright.body.slump import slumped_strip
from bagwright.body.standing import standing_height_mm
from bagwright.errors import FaultyInput


def tip_of(length: float) -> tuple[float, float]:
    return slumped_strip(length, 1.0)[-1]


@pytest.mark.parametrize("length", [2.1, 2.5, 3.2])
def test_curve_agrees_with_solve_bvp(length):
    # Second method: collocation along the strip from the foot, phi'' = -(L - s) sin(phi).
    def change(s, state):
        return np.vstack([state[1], -(length - s) * np.sin(state[0]), np.sin(state[0]), np.cos(state[0])])

    def ends(foot, tip):
        return np.array([foot[0], tip[1], foot[2], foot[3]])

    s = np.linspace(0, length, 80)
    bent = 2.5 * np.sin(np.pi / 2 * s / length)
    guess = np.vstack([bent, np.gradient(bent, s), s / 2, s / 2])
    solved = solve_bvp(change, ends, s, guess, tol=1e-8, max_nodes=20000)
    assert solved.success and solved.sol(length)[0] > 0.1
    assert tip_of(length) == pytest.approx((float(solved.sol(length)[2]), float(solved.sol(length)[3])), abs=2e-4)


@pytest.mark.parametrize("length", [2.3, 3.0])
def test_curve_agrees_with_least_energy(length):
    # Third method: a chain of 120 stiff links with springs between them, at least bending energy plus height.
    count = 120
    link = length / count

    def energy(slopes: np.ndarray) -> float:
        turns = np.diff(np.concatenate([[0.0], slopes]))
        up = np.cumsum(np.cos(slopes)) * link - np.cos(slopes) * link / 2
        spring = 0.5 * turns[1:] @ turns[1:] / link + turns[0] ** 2 / link  # the first one is half as long
        return float(spring + link * up.sum())

    slopes = minimize(energy, np.linspace(0, 1.5, count), method="BFGS", options={"gtol": 1e-6}).x
    tip = (math.fsum(np.sin(slopes)) * link, math.fsum(np.cos(slopes)) * link)
    assert tip_of(length) == pytest.approx(tip, abs=0.01)


def test_limit_just_above_the_standing_height_is_nearly_straight():
    height = standing_height_mm(1)
    assert slumped_strip(height, 1.0) == ((0.0, 0.0), (0.0, height))
    sideways, up = tip_of(height * 1.0001)
    assert 0 < sideways < 0.1 and up == pytest.approx(height, rel=0.003)


def test_limit_of_a_very_limp_strip_hangs_down_beside_its_foot():
    # All but a bow of few bending lengths hangs straight: one length more hangs one length lower.
    (x8, y8), (x9, y9) = tip_of(8.0), tip_of(9.0)
    assert x9 == pytest.approx(x8, abs=0.05)
    assert y8 - y9 == pytest.approx(1, abs=0.05)


def test_property_longer_strips_hang_lower_and_keep_their_length():
    tips = [tip_of(length)[1] for length in (2.0, 2.2, 2.6, 3.2, 4.0, 6.0, 11.0)]
    assert tips == sorted(tips, reverse=True)
    points = np.array(slumped_strip(120, 40))
    assert np.hypot(*np.diff(points, axis=0).T).sum() == pytest.approx(120, rel=1e-4)
    assert np.array(slumped_strip(240, 80)) == pytest.approx(2 * points)


@pytest.mark.parametrize(
    ("height", "bending", "place"), [(0, 10, "height_mm"), (10, -1, "bending_length_mm"), (130, 10, "height_mm")]
)
def test_rejects_what_it_cannot_hang(height, bending, place):
    with pytest.raises(FaultyInput) as refused:
        slumped_strip(height, bending)
    assert [problem.place for problem in refused.value.problems] == [place]
