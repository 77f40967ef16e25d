"""A layer that lies double, against a section through the layers and against samples of what the readings allow."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bagwright.body.laminate import Ply, held_rigidity_unm
from bagwright.body.lap import lap_of
from bagwright.errors import FaultyInput
from bagwright.model.body import Bond, BondedSwatch, Sheet
from bagwright.model.material import Held
from bagwright.model.source import Reading

CANVAS = Sheet(
    name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6), overhang_mm=Reading.exact(50)
)
FUSE = Sheet(
    name="interfacing",
    mass_gsm=Reading.exact(90),
    thickness_mm=Reading.exact(0.3),
    overhang_mm=Reading.exact(45),
    held=Held.FUSED,
    bond=Bond(share=Reading.exact(1)),
)
G = 9.80665e-6  # uN.m of 1 g/m2 at a bending length of 1 mm


def rigidity(sheet):
    """W g c^3 with c half the overhang at 41.5 degrees (memory: ISO 9073-7), within 0.01 %."""
    return G * sheet.mass_gsm.value * (sheet.overhang_mm.value / 2) ** 3


def of_section(*sheets):
    """Bending rigidity of a solid section cut into 20,000 strips: sum of E a^2 about the axis where sum of E a is 0."""
    tops = np.cumsum([sheet.thickness_mm.value for sheet in sheets])
    high = (np.arange(20_000) + 0.5) * tops[-1] / 20_000
    moduli = np.array([12 * rigidity(sheet) / sheet.thickness_mm.value**3 for sheet in sheets])
    stiff = moduli[np.searchsorted(tops, high)]
    axis = (stiff * high).sum() / stiff.sum()
    return float((stiff * (high - axis) ** 2).sum() * tops[-1] / 20_000)


def test_a_solid_lap_agrees_with_a_section_through_its_layers():
    lap = lap_of([CANVAS, FUSE], 1)
    assert lap.step_mm == 0.3
    assert lap.stiffer.high == pytest.approx(of_section(CANVAS, FUSE, FUSE) / of_section(CANVAS, FUSE), rel=1e-3)
    sliding = 1 + rigidity(FUSE) / of_section(CANVAS, FUSE)
    assert lap.stiffer.low == pytest.approx(sliding, rel=1e-3)


def test_what_slides_adds_its_own_and_no_more():
    basted = replace(FUSE, held=Held.BASTED, bond=Bond())
    stiffer = lap_of([CANVAS, basted], 1).stiffer
    assert stiffer.low == stiffer.high == pytest.approx(1 + rigidity(FUSE) / (rigidity(CANVAS) + rigidity(FUSE)), 1e-3)
    assert lap_of([CANVAS], 0).stiffer.low == lap_of([CANVAS], 0).stiffer.high == pytest.approx(2)


def test_the_band_holds_what_the_readings_allow_and_reaches_its_ends():
    wide = replace(
        FUSE,
        mass_gsm=replace(FUSE.mass_gsm, low=80, high=100),
        thickness_mm=replace(FUSE.thickness_mm, low=0.2, high=0.4),
        overhang_mm=replace(FUSE.overhang_mm, low=38, high=52),
        bond=Bond(),
    )
    rng, seen = np.random.default_rng(1), list[float]()
    band = lap_of([CANVAS, wide, replace(CANVAS, held=Held.FUSED)], 1).stiffer
    outer = Ply(lap_rigidity(340, 50), 0.6)
    for number in range(1500):
        share = rng.random(6)
        share = (share if number % 2 else share.round()).tolist()
        inner = Ply(lap_rigidity(80 + 20 * share[0], 38 + 14 * share[1]), 0.2 + 0.2 * share[2])
        beside = held_rigidity_unm([outer, inner, outer], share[3:5])
        seen.append(held_rigidity_unm([outer, inner, inner, outer], [share[3], share[5], share[4]]) / beside)
    assert band.low * (1 - 1e-4) <= min(seen) <= band.low * 1.01
    assert band.high * 0.99 <= max(seen) <= band.high * (1 + 1e-4)


def lap_rigidity(mass_gsm, overhang_mm):
    return G * mass_gsm * (overhang_mm / 2) ** 3


def test_a_swatch_narrows_the_band():
    unknown, known = Bond(), Bond(swatch=BondedSwatch(overhang_mm=Reading.exact(60)))
    wide, narrow = (lap_of([CANVAS, replace(FUSE, bond=bond)], 1).stiffer for bond in (unknown, known))
    assert wide.low <= narrow.low < narrow.high < wide.high


def test_a_place_and_a_reading_that_are_none_are_refused():
    with pytest.raises(FaultyInput, match="no layer of the stack"):
        lap_of([CANVAS], 1)
    with pytest.raises(FaultyInput, match="thickness_mm"):
        lap_of([replace(CANVAS, thickness_mm=Reading.exact(0))], 0)
