"""Sheets that bow: other methods, limits, laws, refusals."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from numpy.polynomial import Legendre, Polynomial
from scipy.linalg import eigh

from bagwright.body.plate import Load, Plate, bowing
from bagwright.errors import FaultyInput
from bagwright.model.held_panel import EdgeHold, Hold

FREE, LINE, SQUARE = EdgeHold.FREE, EdgeHold.HINGED, EdgeHold.CLAMPED
HOLDS = st.builds(
    Hold,
    foot=st.sampled_from([LINE, SQUARE]),
    sides=st.sampled_from([LINE, SQUARE]),
    top=st.sampled_from(list(EdgeHold)),
)
PLATES = st.builds(
    Plate,
    width_mm=st.floats(50, 400),
    height_mm=st.floats(50, 400),
    rigidity_up=st.floats(0.5, 5),
    rigidity_across=st.floats(0.5, 5),
    hold=HOLDS,
)
HERE = settings(max_examples=15, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])


def load(plate: Plate, parts: int = 4) -> float:
    return bowing(plate, parts=parts).load


def by_waves_and_polynomials(width: float, height: float, hold: Hold, *, poisson: float, count: int = 10) -> float:
    """Second method for sides in line: w = f(y) sin(pi x / width), f a polynomial (Ritz); load at the foot."""
    q = (np.pi / width) ** 2
    y, by = np.polynomial.legendre.leggauss(40)
    y, by = (y + 1) / 2, by / 2
    holds = {FREE: 0, LINE: 1, SQUARE: 2}
    ends = Polynomial([0, 1]) ** holds[hold.foot] * Polynomial([1, -1]) ** holds[hold.top]
    waves = (Legendre.basis(i, domain=[0, 1]).convert(kind=Polynomial) for i in range(count))
    powers = [wave.convert(domain=[-1, 1]) * ends for wave in waves]
    value, slope, bend = (np.array([p.deriv(n)(y) / height**n for p in powers]) for n in range(3))

    def summed(a: np.ndarray, b: np.ndarray, weight: np.ndarray | float = 1.0) -> np.ndarray:
        return np.einsum("ip,jp,p->ij", a, b, by * weight)

    mixed = summed(value, bend)
    stiff = (
        q * q * summed(value, value)
        + summed(bend, bend)
        - poisson * q * (mixed + mixed.T)
        + 2 * (1 - poisson) * q * summed(slope, slope)
    )
    return 1 / float(eigh(summed(slope, slope, 1 - y), stiff, eigvals_only=True)[-1])


@pytest.mark.parametrize("top", list(EdgeHold))
@pytest.mark.parametrize("foot", [LINE, SQUARE])
@pytest.mark.parametrize(("width", "poisson"), [(60, 0.0), (100, 0.3), (300, 0.0)])
def test_sides_in_line_agree_with_waves_and_polynomials(foot, top, width, poisson):
    hold = Hold(foot=foot, sides=LINE, top=top)
    plate = Plate(width_mm=width, height_mm=100, rigidity_up=1, rigidity_across=1, hold=hold, poisson=poisson)
    assert load(plate, 9) == pytest.approx(by_waves_and_polynomials(width, 100, hold, poisson=poisson), rel=1e-3)


def test_limit_of_a_stiff_spring_is_a_clamped_side():
    hold = Hold(foot=LINE, sides=LINE)
    plate = Plate(width_mm=100, height_mm=80, rigidity_up=1, rigidity_across=1, hold=hold)
    springs = [load(replace(plate, hold=replace(hold, side_spring=spring))) for spring in (0, 0.01, 0.1, 1e6)]
    assert springs == sorted(springs)
    assert springs[0] == pytest.approx(load(plate))
    assert springs[-1] == pytest.approx(load(replace(plate, hold=replace(hold, sides=SQUARE))), rel=1e-4)


def test_limit_of_a_stiff_foot_spring_is_a_clamped_foot():
    hold = Hold(foot=LINE, sides=LINE)
    plate = Plate(width_mm=100, height_mm=80, rigidity_up=1, rigidity_across=1, hold=hold)
    springs = [load(replace(plate, hold=replace(hold, foot_spring=spring))) for spring in (0, 0.01, 0.1, 1e6)]
    assert springs == sorted(springs)
    assert springs[0] == pytest.approx(load(plate))
    assert springs[-1] == pytest.approx(load(replace(plate, hold=replace(hold, foot=SQUARE))), rel=1e-4)


def test_limit_of_far_sides_is_the_free_strip():
    held = Plate(width_mm=3000, height_mm=100, rigidity_up=1, rigidity_across=1, hold=Hold(foot=SQUARE, sides=LINE))
    free = replace(held, hold=Hold(foot=SQUARE, sides=FREE))
    assert load(held, 6) == pytest.approx(load(free, 6), rel=0.02)
    assert load(held, 6) > load(free, 6)


def test_limit_of_a_tall_narrow_panel_is_set_near_its_foot():
    # There the pressure is all but even, so the load nears that of a long plate, 4 pi^2 D / b^2, from above.
    hold = Hold(foot=LINE, sides=LINE)
    loads = [
        load(Plate(width_mm=100, height_mm=tall, rigidity_up=1, rigidity_across=1, hold=hold), 12)
        for tall in (200, 400, 1200)
    ]
    ratios = [pressure * 100**2 / (4 * np.pi**2) for pressure in loads]
    assert ratios == sorted(ratios, reverse=True)
    assert 1 < ratios[-1] < 1.11


@HERE
@given(PLATES, st.floats(0.2, 5))
def test_property_load_scales_with_rigidity_and_size(plate, scale):
    stiffer = replace(plate, rigidity_up=plate.rigidity_up * scale, rigidity_across=plate.rigidity_across * scale)
    larger = replace(plate, width_mm=plate.width_mm * scale, height_mm=plate.height_mm * scale)
    assert load(stiffer) == pytest.approx(scale * load(plate))
    assert load(larger) == pytest.approx(load(plate) / scale**2)


@HERE
@given(PLATES, st.floats(1, 4), st.floats(0, 1))
def test_property_stiffer_or_better_held_never_bows_sooner(plate, more, spring):
    before = load(plate) / (1 + 1e-9)
    assert load(replace(plate, rigidity_up=plate.rigidity_up * more)) >= before
    assert load(replace(plate, rigidity_across=plate.rigidity_across * more)) >= before
    assert load(replace(plate, hold=replace(plate.hold, foot=SQUARE))) >= before
    assert load(replace(plate, hold=replace(plate.hold, sides=SQUARE))) >= before
    assert load(replace(plate, hold=replace(plate.hold, side_spring=spring))) >= before


@HERE
@given(PLATES)
def test_property_finer_parts_never_raise_the_load_of_nested_meshes(plate):
    square = replace(plate, height_mm=plate.width_mm)
    assert load(square, 6) <= load(square, 3) * (1 + 1e-9)


@HERE
@given(PLATES)
def test_property_shape_keeps_to_its_edges(plate):
    shape = bowing(plate, parts=4).shape
    assert np.abs(shape).max() == pytest.approx(1)
    assert shape.flat[np.abs(shape).argmax()] == pytest.approx(1)
    assert np.allclose(shape[0], 0) and np.allclose(shape[:, 0], 0) and np.allclose(shape[:, -1], 0)
    if plate.hold.top is not FREE:
        assert np.allclose(shape[-1], 0)


def test_own_weight_bears_more_than_pressure_from_the_top():
    plate = Plate(width_mm=100, height_mm=100, rigidity_up=1, rigidity_across=1, hold=Hold(foot=LINE, sides=LINE))
    assert bowing(plate).load > bowing(plate, Load.TOP_EDGE).load


def test_rejects_every_fault_at_once():
    hold = Hold(foot=LINE, sides=FREE, side_spring=-1)
    with pytest.raises(FaultyInput) as refused:
        bowing(Plate(width_mm=100, height_mm=100, rigidity_up=1, rigidity_across=1, hold=hold, poisson=1))
    assert [problem.place for problem in refused.value.problems] == ["poisson", "side_spring", "hold"]
    with pytest.raises(FaultyInput) as refused:
        bowing(Plate(width_mm=0, height_mm=100, rigidity_up=-1, rigidity_across=1, hold=Hold(foot=SQUARE, sides=FREE)))
    assert [problem.place for problem in refused.value.problems] == ["width_mm", "rigidity_up"]


@pytest.mark.parametrize("foot", [LINE, FREE])
def test_rejects_what_falls_over(foot):
    hold = Hold(foot=foot, sides=FREE)
    with pytest.raises(FaultyInput) as refused:
        bowing(Plate(width_mm=100, height_mm=100, rigidity_up=1, rigidity_across=1, hold=hold))
    assert [problem.place for problem in refused.value.problems] == ["hold"]
