"""Layers in a stack: the closed formulas against integration, and against cases worked by hand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from bagwright.body.laminate import Ply, bonded_rigidity_unm, loose_rigidity_unm

CASES = {
    "two equal": [Ply(10, 0.30), Ply(10, 0.30)],
    "two unequal": [Ply(10, 0.30), Ply(4, 0.20)],
    "four": [Ply(12, 0.5), Ply(0.4, 2.0), Ply(3, 0.15), Ply(7, 0.3)],
}


def _by_integration(plies: list[Ply]) -> float:
    """Integral of E (z - axis)^2 over the thickness, E = 12 B / t^3, with the axis of no net pull."""
    tops = np.cumsum([ply.thickness_mm for ply in plies])
    feet = tops - [ply.thickness_mm for ply in plies]
    stiff = [12 * ply.rigidity_unm / ply.thickness_mm**3 for ply in plies]

    def moment(power: int, axis: float) -> float:
        return sum(
            e * quad(lambda z: (z - axis) ** power, low, high)[0]
            for e, low, high in zip(stiff, feet, tops, strict=True)
        )

    axis = moment(1, 0) / moment(0, 0)
    return moment(2, axis)


@pytest.mark.parametrize("plies", CASES.values(), ids=CASES.keys())
def test_bonded_rigidity_agrees_with_quad(plies):
    # Second method: scipy.integrate.quad.
    assert bonded_rigidity_unm(plies) == pytest.approx(_by_integration(plies), rel=1e-9)


def test_two_equal_layers_match_derived_case():
    # Derived: 10 uN.m and 0.30 mm twice: loose 20, bonded 80.
    assert loose_rigidity_unm([10, 10]) == 20
    assert bonded_rigidity_unm(CASES["two equal"]) == pytest.approx(80, rel=1e-12)


def test_two_unequal_layers_match_derived_case():
    # Derived: 10 uN.m / 0.30 mm and 4 uN.m / 0.20 mm: loose 14, bonded 53.474.
    assert loose_rigidity_unm([10, 4]) == 14
    assert bonded_rigidity_unm(CASES["two unequal"]) == pytest.approx(53.474, abs=0.0005)


def test_two_layers_match_parallel_axis_formula():
    # Derived: B1 + B2 + (E1 t1 E2 t2 / (E1 t1 + E2 t2)) ((t1 + t2) / 2)^2.
    one, two = Ply(6.2, 0.41), Ply(1.9, 0.73)
    a, b = (12 * ply.rigidity_unm / ply.thickness_mm**2 for ply in (one, two))
    apart = (one.thickness_mm + two.thickness_mm) / 2
    by_formula = one.rigidity_unm + two.rigidity_unm + a * b / (a + b) * apart**2
    assert bonded_rigidity_unm([one, two]) == pytest.approx(by_formula, rel=1e-12)


def test_faces_on_a_weak_core_match_derived_ceiling():
    # Derived: faces 10 uN.m / 0.30 mm on a 2.0 mm core of no stiffness: 3546.7 against 20 loose. A core must have
    # some, so a millionth of the faces'.
    plies = [Ply(10, 0.30), Ply(1e-5, 2.0), Ply(10, 0.30)]
    assert bonded_rigidity_unm(plies) == pytest.approx(3546.7, abs=0.05)
    assert loose_rigidity_unm([ply.rigidity_unm for ply in plies]) == pytest.approx(20, abs=0.0001)


@pytest.mark.parametrize("count", [1, 2, 3, 5, 8])
def test_k20_equal_layers_match_cube_law(count):
    # Derived: n bonded layers are n^3 times as stiff as one, n loose ones n times. Second method: integration.
    assert _by_integration([Ply(10, 0.3)] * count) == pytest.approx(10 * count**3, rel=1e-9)
    assert bonded_rigidity_unm([Ply(10, 0.3)] * count) == pytest.approx(10 * count**3, rel=1e-12)
    assert loose_rigidity_unm([10] * count) == pytest.approx(10 * count)
