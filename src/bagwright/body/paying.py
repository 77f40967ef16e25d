"""Which one measurement would narrow most what is known of the panels at hand."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from bagwright.body.laminate import Numbers
from bagwright.body.ruler_test import bending_length_mm
from bagwright.body.stack import bending_length_band_mm, bending_length_ends_mm, bonded_runs
from bagwright.body.unknowns import End
from bagwright.model.body import Bond, Sheet, Stance
from bagwright.model.material import Held
from bagwright.model.paying import DoubtfulPanel, HomeTest, PayingTest
from bagwright.model.source import Band, Reading

RULER_ACCURACY_MM = 1.5
"""Of an overhang, from eight readings that are each a millimetre off at most."""
THICKNESS_ACCURACY_MM = 0.05
"""Of one layer, from ten layers under a ruler that is half a millimetre off."""
WEIGHT_ACCURACY_SHARE = 0.025
"""Of a weight per area, from a piece of 50 by 20 cm on a scale with steps of a gram."""
NOTICED_SHARE = 0.01
_NOTICED_MM = 1e-3

_RESULTS = (0.1, 0.3, 0.5, 0.7, 0.9)
_Stack = tuple[Sheet, ...]


def paying_tests(panels: Sequence[DoubtfulPanel]) -> tuple[PayingTest, ...]:
    """Every test worth doing for these panels, the one that pays best first.

    The ranking quantity is the bending length of each panel. For each test: of what it may find (five results, evenly
    spread over what is held possible now) each shrinks that reading to the test's accuracy about it; the bands that
    then follow are averaged. First comes what settles most panels that may stand or not, then what narrows the bands
    most. Tests: overhang, thickness and weight of each material, wherever in the panels it lies, and for each run of
    bonded layers the ruler test on a bonded scrap, unless such scraps were tested. Tests that bring less than a
    hundredth are left out.

    Raises `FaultyInput` as `stack_body` does.

    >>> felt = Sheet(name="felt", mass_gsm=Reading.exact(300), thickness_mm=Reading.exact(2),
    ...              overhang_mm=replace(Reading.exact(60), low=50, high=70))
    >>> best = paying_tests([DoubtfulPanel(sheets=(felt,), needed_bending_length_mm=28)])[0]
    >>> best.says, round(best.narrows, 2), best.settles
    ('Measure how far the felt hangs over', 0.85, 0.8)
    """
    return _paying_tests(tuple(panels))


@lru_cache(maxsize=256)
def _paying_tests(panels: tuple[DoubtfulPanel, ...]) -> tuple[PayingTest, ...]:
    bands = [bending_length_band_mm(panel.sheets) for panel in panels]
    trials = list(_trials(panels))
    flat = [stack for trial in trials for stacks in trial.results for stack in stacks]
    low, high = (np.array(bending_length_ends_mm(flat, end)) for end in (End.LOW, End.HIGH))
    shape = (len(trials), len(_RESULTS), len(panels))
    found = [
        _found(trial, (low.reshape(shape)[i], high.reshape(shape)[i]), panels, bands) for i, trial in enumerate(trials)
    ]
    worth = [test for test in found if test.narrows >= NOTICED_SHARE or test.settles > 0]
    return tuple(sorted(worth, key=lambda test: (-test.settles, -test.narrows)))


@dataclass(frozen=True, slots=True)
class _Trial:
    """A test, and for each result of it all panels as they would then be known."""

    test: HomeTest
    names: tuple[str, ...]
    says: str
    results: tuple[tuple[_Stack, ...], ...]


def _found(
    trial: _Trial, ends: tuple[Numbers, Numbers], panels: Sequence[DoubtfulPanel], bands: Sequence[Band]
) -> PayingTest:
    low, high = ends
    before = math.fsum(band.high - band.low for band in bands)
    after = float(np.maximum(high - low, 0).mean(axis=0).sum())
    opened = [
        i
        for i, (panel, band) in enumerate(zip(panels, bands, strict=True))
        if panel.needed_bending_length_mm is not None
        and Stance.of(band, panel.needed_bending_length_mm) is Stance.LEANS
    ]
    needs = np.array([panels[i].needed_bending_length_mm for i in opened])
    settled = (low[:, opened] >= needs) | (high[:, opened] < needs)
    return PayingTest(
        test=trial.test,
        names=trial.names,
        narrows=max(0.0, 1 - after / before) if before > _NOTICED_MM else 0.0,
        settles=float(settled.mean()) if opened else 0.0,
        says=trial.says,
    )


def _trials(panels: Sequence[DoubtfulPanel]) -> Iterator[_Trial]:
    stacks = [panel.sheets for panel in panels]
    for name in dict.fromkeys(sheet.name for stack in stacks for sheet in stack):
        for test, says, known in _OF_A_MATERIAL:
            results = tuple(
                tuple(tuple(known(s, share) if s.name == name else s for s in stack) for stack in stacks)
                for share in _RESULTS
            )
            if any(result != tuple(stacks) for result in results):
                yield _Trial(test, (name,), says.replace("{name}", name), results)
    runs = dict.fromkeys(stack[run] for stack in stacks for run in bonded_runs(stack))
    yield from (_scrap_trial(run, stacks) for run in runs if not all(sheet.bond.swatch for sheet in run[1:]))


def _scrap_trial(run: _Stack, stacks: Sequence[_Stack]) -> _Trial:
    """The scrap goes in as one material, wherever these layers lie bonded in this way."""
    names = tuple(sheet.name for sheet in run)
    verb = "Quilt" if all(sheet.held is Held.QUILTED for sheet in run[1:]) else "Fuse"
    together = f"{', '.join(names[:-1])} and {names[-1]}"
    says = f"{verb} scraps of {together} and measure how far they hang over together"
    scraps = [_scrap(run, share) for share in _RESULTS]
    results = tuple(tuple(_with_scrap(stack, run, scrap) for stack in stacks) for scrap in scraps)
    return _Trial(HomeTest.SCRAP, names, says, results)


def _scrap(run: _Stack, share: float) -> Sheet:
    band, per_overhang = bending_length_band_mm(run), bending_length_mm(1.0, angle_deg=run[0].angle_deg)
    now = Reading.exact(band.high / per_overhang)
    return Sheet(
        name=" + ".join(sheet.name for sheet in run),
        mass_gsm=_added([sheet.mass_gsm for sheet in run]),
        thickness_mm=_added([sheet.thickness_mm for sheet in run]),
        overhang_mm=_shrunk(replace(now, value=now.low, low=band.low / per_overhang), share, RULER_ACCURACY_MM),
        angle_deg=run[0].angle_deg,
        held=run[0].held,
        bond=Bond(),
    )


def _with_scrap(stack: _Stack, run: _Stack, scrap: Sheet) -> _Stack:
    for found in bonded_runs(stack):
        if stack[found] == run:
            return (*stack[: found.start], replace(scrap, held=Held.LOOSE), *stack[found.stop :])
    return stack


def _added(readings: Sequence[Reading]) -> Reading:
    value, low, high = (math.fsum(getattr(r, end) for r in readings) for end in ("value", "low", "high"))
    return Reading(value, low, high, readings[0].source)


def _shrunk(reading: Reading, share: float, accuracy: float) -> Reading:
    """The reading as a test would leave it that finds that share of its range, if the test is the better of the two."""
    if 2 * accuracy >= reading.high - reading.low:
        return reading
    found = reading.low + share * (reading.high - reading.low)
    low, high = max(reading.low, found - accuracy), min(reading.high, found + accuracy)
    return replace(reading, value=min(max(found, low), high), low=low, high=high)


def _hung_over(sheet: Sheet, share: float) -> Sheet:
    return replace(sheet, overhang_mm=_shrunk(sheet.overhang_mm, share, RULER_ACCURACY_MM))


def _stacked(sheet: Sheet, share: float) -> Sheet:
    return replace(sheet, thickness_mm=_shrunk(sheet.thickness_mm, share, THICKNESS_ACCURACY_MM))


def _weighed(sheet: Sheet, share: float) -> Sheet:
    mass = sheet.mass_gsm
    return replace(sheet, mass_gsm=_shrunk(mass, share, WEIGHT_ACCURACY_SHARE * mass.value))


_OF_A_MATERIAL: tuple[tuple[HomeTest, str, Callable[[Sheet, float], Sheet]], ...] = (
    (HomeTest.OVERHANG, "Measure how far the {name} hangs over", _hung_over),
    (HomeTest.THICKNESS, "Measure how thick the {name} is", _stacked),
    (HomeTest.WEIGHT, "Weigh a measured piece of the {name}", _weighed),
)
