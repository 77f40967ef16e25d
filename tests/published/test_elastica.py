"""The ruler test's factor against the table derived for this project, two solvers and the published short form."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp, solve_ivp
from scipy.optimize import brentq

from bagwright.body.ruler_test import bending_length_mm

TABLE = [
    # angle, w L^3 / B, c / L, Peirce's c / L, error of Peirce's B in percent
    (10, 1.4205, 0.8896, 0.8905, 0.3),
    (20, 2.9944, 0.6938, 0.6967, 1.3),
    (30, 4.9209, 0.5879, 0.5936, 2.9),
    (40, 7.5233, 0.5103, 0.5192, 5.3),
    (41.5, 8.0042, 0.4999, 0.5093, 5.8),
    (43, 8.5163, 0.4897, 0.4996, 6.2),
    (45, 9.2538, 0.4763, 0.4870, 6.9),
    (60, 18.2169, 0.3801, 0.3969, 13.9),
]


def _factor(angle_deg: float) -> float:
    return bending_length_mm(1, angle_deg=angle_deg)


def _peirce(angle_deg: float) -> float:
    angle = math.radians(angle_deg)
    return math.cbrt(math.cos(angle / 2) / (8 * math.tan(angle)))


@pytest.mark.parametrize(("angle", "load", "exact", "peirce", "error"), TABLE)
def test_k4_factor_matches_elastica_table(angle, load, exact, peirce, error):
    # Derived with scipy for docs/sources.md; the Peirce column is Peirce's formula (found: quoted in two places).
    assert _factor(angle) == pytest.approx(exact, abs=0.00005)
    assert 1 / _factor(angle) ** 3 == pytest.approx(load, abs=0.00005)
    assert _peirce(angle) == pytest.approx(peirce, abs=0.00005)
    assert 100 * ((_peirce(angle) / _factor(angle)) ** 3 - 1) == pytest.approx(error, abs=0.06)


def test_k4_half_the_overhang_matches_standard_slope():
    # ASTM D1388, BS 3356, IS 6490 (found: titles and summaries): c = O / 2 at 41.5 degrees; right within 0.02 %.
    assert _factor(41.5) == pytest.approx(0.49991, abs=0.000005)
    assert _factor(41.5) == pytest.approx(0.5, rel=0.0002)


def test_peirce_43_degrees_matches_szablewski_kobza():
    # Found: Szablewski & Kobza: at 43 degrees cos(angle/2)/tan(angle) is about 0.998, so that c = L/2 by his formula.
    assert 8 * _peirce(43) ** 3 == pytest.approx(0.998, abs=0.0005)


@pytest.mark.parametrize("angle", [5, 12.5, 41.5, 45, 70, 80])
def test_factor_agrees_with_solve_ivp(angle):
    # Second method: from the clamp, length 1, shoot on the curvature there so that the tip is free of moment.
    def strip(load: float, clamp_curvature: float):
        def change(s, state):
            slope, curvature = state[:2]
            return [curvature, -load * (1 - s) * math.cos(slope), math.cos(slope), math.sin(slope)]

        return solve_ivp(change, (0, 1), [0, clamp_curvature, 0, 0], rtol=1e-10, atol=1e-12).y[:, -1]

    def chord(load: float) -> float:
        # Above by the whole moment (cos = 1), and for long strips by the bend of a tight rope of the same pull.
        most = min(load / 2, math.sqrt(2 * load))
        least = next(most * share for share in np.arange(0.95, 0, -0.05) if strip(load, most * share)[1] < 0)
        curvature = brentq(lambda k: strip(load, k)[1], least, most, xtol=1e-12)
        _, _, across, down = strip(load, curvature)
        return math.degrees(math.atan2(down, across))

    load = 1 / _factor(angle) ** 3
    assert chord(load) == pytest.approx(angle, abs=1e-4)


@pytest.mark.parametrize("angle", [10, 30, 41.5, 60])
def test_factor_agrees_with_solve_bvp(angle):
    # Second method: collocation, with the load as unknown parameter and the chord as condition.
    def change(s, state, parameters):
        slope, curvature = state[:2]
        return np.vstack([curvature, -parameters[0] * s * np.cos(slope), np.cos(slope), np.sin(slope)])

    def ends(tip, clamp, parameters):
        chord = clamp[3] * math.cos(math.radians(angle)) - clamp[2] * math.sin(math.radians(angle))
        return np.array([tip[1], tip[2], tip[3], clamp[0], chord])

    s = np.linspace(0, 1, 50)
    slope = math.radians(angle) * 4 / 3
    guess = np.vstack([slope * (1 - s**3), -3 * slope * s**2, s * math.cos(slope / 2), s * math.sin(slope / 2)])
    solved = solve_bvp(change, ends, s, guess, p=[8 * math.tan(math.radians(angle))], tol=1e-8, max_nodes=20000)
    assert solved.success and solved.p is not None
    assert _factor(angle) == pytest.approx(float(solved.p[0]) ** (-1 / 3), rel=1e-6)


def test_small_deflection_limit():
    # Linear beam: tip drop / L = w L^3 / 8 B, so c / L -> (8 tan(angle))^(-1/3) as the angle shrinks.
    linear = math.cbrt(1 / (8 * math.tan(math.radians(5))))
    assert _factor(5) == pytest.approx(linear, rel=0.003)
    errors = [_factor(a) * math.cbrt(8 * math.tan(math.radians(a))) - 1 for a in (5, 10, 20)]
    # What is left out is of second order: twice the angle, about four times the error.
    assert errors[1] / errors[0] == pytest.approx(4, rel=0.05)
    assert errors[2] / errors[1] == pytest.approx(4, rel=0.15)
