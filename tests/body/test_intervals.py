"""Bands are honest: they hold every truth that the ranges allow, and reach no further."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.optimize import minimize

from bagwright.body.laminate import Ply
from bagwright.body.ruler_test import RIGIDITY_UNM_PER_GSM_MM3, bending_length_mm
from bagwright.body.search import highest
from bagwright.body.stack import HOLDS_FLAT, bending_length_band_mm, stack_body
from bagwright.model.body import Bond, BondedSwatch, Sheet
from bagwright.model.material import Held
from bagwright.model.source import Band, Reading
from tests.body.sheets import GUESS, random_stack, reading, sheet
from tests.body.test_laminate import least_energy_rigidity_unm

TRIALS = 1000
# The search for an end of the band may fall short by this where several peaks compete.
SEARCHED = 1 + 1e-3
# Nearer to 1 the least energy of the springs loses digits.
_SOLID = 1 - 1e-6


def cube(overhang: float, angle_deg: float = 41.5) -> float:
    return bending_length_mm(overhang, angle_deg=angle_deg) ** 3


@dataclass(frozen=True)
class Nature:
    """Chooses what is true within a range: so often one of its ends, else anywhere in between."""

    rng: np.random.Generator
    at_ends: float

    def hides(self, one: Reading) -> float:
        if self.rng.random() < self.at_ends:
            return one.high if self.rng.random() < 0.5 else one.low
        return float(self.rng.uniform(one.low, one.high))


def true_rigidity_and_mass(stack: list[Sheet], nature: Nature) -> tuple[float, float]:
    """How a stack bends whose true numbers hide within its readings; its bonds come true by least energy."""
    masses = [nature.hides(s.mass_gsm) for s in stack]
    thicknesses = [nature.hides(s.thickness_mm) for s in stack]
    cubes = [cube(nature.hides(s.overhang_mm), s.angle_deg) for s in stack]
    plies = [Ply(RIGIDITY_UNM_PER_GSM_MM3 * m * c, t) for m, c, t in zip(masses, cubes, thicknesses, strict=True)]
    shares = [true_share(stack[j : j + 2], plies[j : j + 2], masses[j : j + 2], nature) for j in range(len(stack) - 1)]
    return least_energy_rigidity_unm(plies, [min(share, 1 - 1e-9) for share in shares]), sum(masses)


def true_share(two: list[Sheet], plies: list[Ply], masses: list[float], nature: Nature) -> float:
    inner = two[1]
    if inner.held not in HOLDS_FLAT:
        return 0.0
    if inner.bond.swatch is None:
        return nature.hides(inner.bond.share or Reading(0.5, 0, 1, GUESS))
    loose = sum(ply.rigidity_unm for ply in plies)
    solid = least_energy_rigidity_unm(plies, [1 - 1e-9])
    fused = RIGIDITY_UNM_PER_GSM_MM3 * sum(masses) * cube(nature.hides(inner.bond.swatch.overhang_mm))
    return min(max((fused - loose) / (solid - loose), 0.0), 1.0)


def within(band: Band, number: float) -> bool:
    return band.low / SEARCHED <= number <= band.high * SEARCHED


def test_hidden_truth_lies_in_the_band_in_a_thousand_trials():
    rng = np.random.default_rng(20261125)
    hits = 0
    for _ in range(TRIALS):
        stack = random_stack(rng, int(rng.integers(1, 4)))
        rigidity, mass = true_rigidity_and_mass(stack, Nature(rng, 0.2))
        body = stack_body(stack)
        bends = math.cbrt(rigidity / (RIGIDITY_UNM_PER_GSM_MM3 * mass))
        # A swatch that its own layers contradict (softer than sliding, stiffer than solid) is taken at its word where
        # it stands alone; the truth made up here cannot.
        hits += within(body.rigidity_unm, rigidity) and within(body.bending_length_mm, bends)
    assert hits >= 0.95 * TRIALS


@pytest.mark.parametrize("seed", range(10))
def test_band_is_no_wider_than_monte_carlo_finds(seed):
    # 3,000 truths, mostly at the ends of their ranges: what they span is all but the whole band.
    rng = np.random.default_rng(seed)
    stack = [s for s in random_stack(rng, int(rng.integers(1, 4))) if s.bond.swatch is None] or [sheet()]
    nature = Nature(rng, 0.8)
    spread = [true_rigidity_and_mass(stack, nature) for _ in range(3000)]
    bends = [math.cbrt(rigidity / (RIGIDITY_UNM_PER_GSM_MM3 * mass)) for rigidity, mass in spread]
    body = stack_body(stack)
    for band, found in ((body.rigidity_unm, [r for r, _ in spread]), (body.bending_length_mm, bends)):
        assert all(within(band, number) for number in found)
        assert max(found) - min(found) >= 0.95 * (band.high - band.low) - 1e-9 * band.high


@pytest.mark.parametrize("seed", range(3))
def test_ends_of_the_band_agree_with_scipy_minimize(seed):
    # Second method: gradient search from 20 starts over the parallel-axis laminate written out here.
    rng = np.random.default_rng(100 + seed)
    stack = [
        sheet(
            f"m{i}",
            mass=reading(float(rng.uniform(50, 500)), 0.25),
            thickness=reading(float(rng.uniform(0.2, 3)), 0.25),
            overhang=reading(float(rng.uniform(30, 90)), 0.2),
            held=Held.FUSED,
        )
        for i in range(3)
    ]
    per_overhang = cube(1)
    readings = [r for s in stack for r in (s.mass_gsm, s.thickness_mm, s.overhang_mm)]

    def miss(at: np.ndarray) -> float:
        numbers = [r.low + share * (r.high - r.low) for r, share in zip(readings, at, strict=True)]
        mass, thickness, overhang = (np.array(numbers[i::3]) for i in range(3))
        rigidity = RIGIDITY_UNM_PER_GSM_MM3 * mass * per_overhang * overhang**3
        middle, stretch = np.cumsum(thickness) - thickness / 2, 12 * rigidity / thickness**2
        axis = (stretch * middle).sum() / stretch.sum()
        return -math.log((rigidity + stretch * (middle - axis) ** 2).sum() / mass.sum())

    starts = rng.integers(0, 2, (20, 9)) * 0.98 + 0.01
    best = -min(minimize(miss, start, bounds=[(0, 1)] * 9, method="L-BFGS-B").fun for start in starts)
    by_scipy = math.cbrt(math.exp(best) / RIGIDITY_UNM_PER_GSM_MM3)
    assert bending_length_band_mm(stack).high == pytest.approx(by_scipy, rel=1e-5)


def test_layers_of_one_material_share_its_doubt():
    # Two felts of one bolt under a canvas: either both are heavy or both light.
    felt = sheet("felt", mass=Reading(200, 100, 400, GUESS), overhang=20)
    canvas = sheet("canvas", overhang=80)
    other = sheet("other felt", mass=Reading(200, 100, 400, GUESS), overhang=20)
    same, apart = bending_length_band_mm([canvas, felt, felt]), bending_length_band_mm([canvas, felt, other])
    stiff, limp = cube(80), cube(20)
    assert same.low**3 == pytest.approx((340 * stiff + 800 * limp) / 1140)
    assert same == apart  # both ends lie where the two are alike
    solid = [sheet("canvas", overhang=80), *[sheet("felt", thickness=reading(1, 0.5), held=Held.FUSED)] * 2]
    loosened = [solid[0], solid[1], sheet("other", thickness=reading(1, 0.5), held=Held.FUSED)]
    assert stack_body(solid).rigidity_unm.high <= stack_body(loosened).rigidity_unm.high


def test_swatch_of_a_pair_is_the_answer_for_that_pair():
    # What was measured on the bonded scrap is what the pair does, whatever is in doubt about its layers.
    cloth = sheet("canvas", mass=reading(340, 0.2), thickness=reading(0.6, 0.4), overhang=reading(50, 0.2))
    fused = sheet("web", mass=reading(90, 0.2), thickness=reading(0.3, 0.4), overhang=reading(40, 0.2), held=Held.FUSED)
    known = BondedSwatch(overhang_mm=Reading(72, 70, 74, GUESS), angle_deg=45.0)
    sure = bending_length_band_mm([cloth, _with(fused, known)])
    assert sure.low == pytest.approx(bending_length_mm(70, angle_deg=45))
    assert sure.high == pytest.approx(bending_length_mm(74, angle_deg=45))
    unsure = bending_length_band_mm([cloth, fused])
    assert unsure.low < sure.low < sure.high < unsure.high


def test_swatch_narrows_a_longer_run_too():
    stack = [sheet("canvas"), sheet("web", mass=90, thickness=0.3, overhang=40, held=Held.FUSED)]
    longer = [*stack, sheet("lawn", mass=110, thickness=0.2, overhang=30, held=Held.FUSED)]
    solid = bending_length_band_mm(stack).high / bending_length_mm(1, angle_deg=41.5)
    known = BondedSwatch(overhang_mm=Reading.exact(solid))
    by_swatch = bending_length_band_mm([longer[0], _with(longer[1], known), longer[2]])
    # The swatch says that canvas and web cannot slide, so only the lawn is open.
    assert by_swatch.high == pytest.approx(bending_length_band_mm(longer).high)
    certain = [longer[0], _share(longer[1], 1), longer[2]]
    assert by_swatch.low == pytest.approx(bending_length_band_mm(certain).low)


def test_known_share_of_bond_sets_both_ends():
    pair = [sheet("canvas"), sheet("web", mass=90, thickness=0.3, overhang=40, held=Held.FUSED)]
    open_band = stack_body(pair).rigidity_unm
    known = stack_body([pair[0], _share(pair[1], 0.25)]).rigidity_unm
    quarter = open_band.low + 0.25 * (open_band.high - open_band.low)
    assert (known.low, known.high) == pytest.approx((quarter, quarter))


def test_bond_of_a_layer_that_slides_says_nothing():
    pair = [sheet("canvas"), sheet("lining", mass=90, held=Held.LOOSE)]
    known = [
        pair[0],
        replace(pair[1], bond=Bond(share=Reading.exact(1), swatch=BondedSwatch(overhang_mm=Reading.exact(100)))),
    ]
    assert stack_body(known) == stack_body(pair)


@pytest.mark.parametrize("peak", [(0.0, 0.0, 0.0), (0.31, 0.77, 0.5), (1.0, 0.2, 0.9)])
def test_search_finds_a_known_peak(peak):
    found = highest(lambda rows: -((rows - np.array(peak)) ** 2).sum(axis=-1), np.zeros((1, 3)), np.ones((1, 3)))
    assert found[0] == pytest.approx(0, abs=1e-5)


def test_search_finds_the_higher_of_two_peaks():
    def measure(rows: np.ndarray) -> np.ndarray:
        near, far = (np.exp(-60 * ((rows - at) ** 2).sum(axis=-1)) for at in (0.15, 0.85))
        return near + 1.2 * far

    # Two boxes at once: the second holds only the lower peak.
    found = highest(measure, np.zeros((2, 2)), np.array([[1, 1], [0.3, 0.3]]))
    assert found == pytest.approx([1.2, 1.0], abs=1e-4)


def _with(one: Sheet, known: BondedSwatch) -> Sheet:
    return replace(one, bond=Bond(swatch=known))


def _share(one: Sheet, share: float) -> Sheet:
    return replace(one, bond=Bond(share=Reading.exact(share)))


def test_band_holds_the_truth_on_the_ridge_where_a_pair_is_just_solid():
    """Three fused layers of wide ranges, two swatches. The point was found by scipy's differential_evolution over all
    that is open (population 120, 400 rounds); how stiff it is comes by least energy."""
    fused = Bond(swatch=BondedSwatch(overhang_mm=Reading(100, 94.3, 104.2, GUESS)))
    firm = Bond(swatch=BondedSwatch(overhang_mm=reading(138.4), angle_deg=45))
    stack = [
        sheet(mass=Reading(438, 334, 502, GUESS), thickness=reading(2.59), overhang=Reading(101.4, 81.9, 108.7, GUESS)),
        sheet(mass=Reading(341, 319, 349, GUESS), thickness=reading(1.68), overhang=reading(43.1), held=Held.FUSED),
        sheet(mass=reading(185), thickness=reading(1.01), overhang=reading(97.8), held=Held.FUSED),
    ]
    stack = [replace(s, name=str(i), bond=b) for i, (s, b) in enumerate(zip(stack, (Bond(), fused, firm), strict=True))]

    first, overhang, second, of_scrap = 502, 97.51125623, 319, 104.2
    masses, cubes, thicknesses = (first, second, 185), (cube(overhang), cube(43.1), cube(97.8)), (2.59, 1.68, 1.01)
    plies = [Ply(RIGIDITY_UNM_PER_GSM_MM3 * m * c, t) for m, c, t in zip(masses, cubes, thicknesses, strict=True)]
    shares = []
    for j, scrap in enumerate((cube(of_scrap), cube(138.4, 45))):
        two = plies[j : j + 2]
        loose, solid = sum(ply.rigidity_unm for ply in two), least_energy_rigidity_unm(two, [_SOLID])
        share = (RIGIDITY_UNM_PER_GSM_MM3 * (masses[j] + masses[j + 1]) * scrap - loose) / (solid - loose)
        shares.append(min(max(share, 0.0), _SOLID))
    truth = least_energy_rigidity_unm(plies, shares)
    assert truth == pytest.approx(9595.9, rel=1e-4)
    assert truth / SEARCHED <= stack_body(stack).rigidity_unm.high <= truth * SEARCHED
