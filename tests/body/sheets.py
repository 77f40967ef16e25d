"""Readings and sheets for the tests of the body room, all invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from bagwright.model.body import Bond, BondedSwatch, Sheet
from bagwright.model.material import Held
from bagwright.model.source import Reading, Source, SourceKind

GUESS = Source(SourceKind.GUESS, "a test")
SLIDING = (Held.LOOSE, Held.BASTED)


def reading(value: float, spread: float = 0.0) -> Reading:
    """A value, give or take this share of it."""
    return Reading(value, value * (1 - spread), value * (1 + spread), GUESS)


def sheet(
    name: str = "cloth",
    *,
    mass: Reading | float = 340,
    thickness: Reading | float = 0.6,
    overhang: Reading | float = 50,
    held: Held = Held.LOOSE,
) -> Sheet:
    """A sheet; plain numbers are exact."""
    mass_gsm, thickness_mm, overhang_mm = (
        n if isinstance(n, Reading) else Reading.exact(n) for n in (mass, thickness, overhang)
    )
    return Sheet(name=name, mass_gsm=mass_gsm, thickness_mm=thickness_mm, overhang_mm=overhang_mm, held=held)


def readings(low: float, high: float, *, most_spread: float) -> st.SearchStrategy[Reading]:
    """Readings with a value between the two."""
    return st.builds(reading, st.floats(low, high), st.floats(0, most_spread))


def sheets(*, most_spread: float = 0.0, held: tuple[Held, ...] = tuple(Held)) -> st.SearchStrategy[Sheet]:
    """Sheets as they lie in bags, from voile to thick felt."""
    return st.builds(
        sheet,
        st.sampled_from(["canvas", "fleece", "felt", "lawn"]),
        mass=readings(20, 600, most_spread=most_spread),
        thickness=readings(0.1, 5, most_spread=most_spread),
        overhang=readings(15, 200, most_spread=most_spread),
        held=st.sampled_from(held),
    )


def random_stack(rng: np.random.Generator, count: int, *, most_spread: float = 0.3) -> list[Sheet]:
    """A stack of `count` layers as they lie in bags, some bonded, some of these known by swatch or share."""
    return [_random_sheet(rng, f"material {i}", most_spread) for i in range(count)]


def _random_sheet(rng: np.random.Generator, name: str, most_spread: float) -> Sheet:
    def around(value: float) -> Reading:
        return reading(value, float(rng.uniform(0, most_spread)))

    made = sheet(
        name,
        mass=around(float(np.exp(rng.uniform(np.log(30), np.log(600))))),
        thickness=around(float(np.exp(rng.uniform(np.log(0.15), np.log(4))))),
        overhang=around(float(np.exp(rng.uniform(np.log(20), np.log(150))))),
        held=list(Held)[int(rng.integers(0, 4))],
    )
    known = rng.random()
    if known < 0.15:
        return replace(made, bond=Bond(share=Reading(0.4, 0.2, 0.7, GUESS)))
    if known < 0.3:
        return replace(made, bond=Bond(swatch=BondedSwatch(overhang_mm=around(float(rng.uniform(50, 120))))))
    return made
