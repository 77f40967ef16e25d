"""The stiffness of layers laid on one another: free to slide, glued, and the honest band in between."""

from __future__ import annotations

import functools
import itertools
import math
import operator
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bagwright.body.limits import angle_problems, number_problems, refuse_unless_positive
from bagwright.body.ruler_test import RIGIDITY_UNM_PER_GSM_MM3, bending_length_mm
from bagwright.body.standing import standing_height_mm
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Body, Sheet
from bagwright.model.material import Held
from bagwright.model.source import Band

HOLDS_FLAT = frozenset({Held.FUSED, Held.QUILTED})
"""Ways of holding that may keep a layer from sliding; see `stack_body`."""

_Numbers = NDArray[np.float64]
_Measure = Callable[[_Numbers], _Numbers]
_TRIES = 17
_MOST_SWEEPS = 12


@dataclass(frozen=True, slots=True)
class Ply:
    """One layer of a laminate: what it resists alone, and how thick it is."""

    rigidity_unm: float
    thickness_mm: float


def loose_rigidity_unm(rigidities_unm: Sequence[float]) -> float:
    """Bending rigidity of layers that slide freely on one another: the sum of theirs. [uN.m]

    Assumes no friction, so it is the least a stack can have. Raises `FaultyInput` if there is no layer or one is not
    above zero.

    >>> loose_rigidity_unm([10, 4])
    14.0
    """
    _refuse_empty(rigidities_unm)
    refuse_unless_positive({f"layers[{i}].rigidity_unm": b for i, b in enumerate(rigidities_unm)})
    return math.fsum(rigidities_unm)


def bonded_rigidity_unm(plies: Sequence[Ply]) -> float:
    r"""Bending rigidity of layers that cannot slide on one another, any number of them. [uN.m]

    .. math:: B = \sum_i E_i t_i \left(\frac{t_i^2}{12} + (z_i - \bar z)^2\right), \quad
              \bar z = \frac{\sum_i E_i t_i z_i}{\sum_i E_i t_i}, \quad E_i = \frac{12 B_i}{t_i^3}

    z is the height of a layer's middle, t its thickness, B its rigidity alone.

    Assumes each layer is an even solid, as stiff in stretch as in squeeze, and passes on all shear. Cloth is none of
    these: a soft core shears, so read it as a ceiling. The model's bias is known: Kim, Inui and Takatera (Text. Res.
    J. 2012; abstracts seen) found neutral axes of fused cloth away from this centroid, and better agreement with
    separate tensile and compressive moduli. A ruler test on a fused scrap beats it.

    Raises `FaultyInput` if there is no layer, or a rigidity or thickness is not above zero.

    >>> round(bonded_rigidity_unm([Ply(10, 0.3), Ply(10, 0.3)]), 9)
    80.0

    Follows from the parallel-axis theorem.
    """
    _refuse_empty(plies)
    refuse_unless_positive(
        {f"layers[{i}].rigidity_unm": ply.rigidity_unm for i, ply in enumerate(plies)}
        | {f"layers[{i}].thickness_mm": ply.thickness_mm for i, ply in enumerate(plies)}
    )
    rigidities, thicknesses = np.array([(ply.rigidity_unm, ply.thickness_mm) for ply in plies], dtype=float).T
    return float(_bonded(rigidities, thicknesses))


def stack_body(sheets: Sequence[Sheet]) -> Body:
    """How a stack bends, from the outside of the bag inwards; each sheet's `held` says how it is held to the last.

    Low: every layer slides freely. High: FUSED and QUILTED layers cannot slide on the layer outside them; runs of
    such layers add loosely to one another. Both at the ends of the readings that give least and most, which for
    thickness can lie inside its range (a fused pair is stiffest where thicknesses stand as rigidities do), so the
    high ends are searched for. Mass and thickness are the sums of the readings' values.

    Why so: a bond of dots gives way to shear somewhat, so fused is anywhere between. Rows of quilting stop layers
    sliding at each row, yet let the cloth between rows shear and buckle: anywhere between, too. Basting holds the
    edges only; an inner layer that would have to shorten bubbles away at once and passes on next to no shear, so
    BASTED slides, as LOOSE does.

    Bending length is (B / W g)^(1/3) of one and the same stack: a heavier reading of the mass makes a layer stiffer
    (the ruler test multiplies by it) and heavier at once, and leaves the bending length of a single layer alone.

    Raises `FaultyInput` with a `Problem` for every reading or angle that is out of range.

    >>> import dataclasses
    >>> from bagwright.model.source import Reading
    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> band = stack_body([cloth, dataclasses.replace(cloth, held=Held.FUSED)]).standing_height_mm
    >>> round(band.low, 1), round(band.high, 1)
    (49.7, 78.8)
    """
    stack = _measured(sheets)
    low = float(stack.sliding(stack.mass_low, stack.cube_low))
    high = _highest(
        lambda thickness: stack.holding(stack.mass_high, stack.cube_high, thickness),
        stack.thickness_low,
        stack.thickness_high,
    )
    bends = _bending_length_band_mm(stack)
    return Body(
        mass_gsm=math.fsum(sheet.mass_gsm.value for sheet in sheets),
        thickness_mm=math.fsum(sheet.thickness_mm.value for sheet in sheets),
        rigidity_unm=Band(low, max(low, high)),
        bending_length_mm=bends,
        standing_height_mm=Band(standing_height_mm(bends.low), standing_height_mm(bends.high)),
    )


def bending_length_band_mm(sheets: Sequence[Sheet]) -> Band:
    """Only the bending length of `stack_body`. [mm]

    >>> from bagwright.model.source import Reading
    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> round(bending_length_band_mm([cloth]).low, 3)
    24.996
    """
    return _bending_length_band_mm(_measured(sheets))


def bonded_runs(sheets: Sequence[Sheet]) -> list[slice]:
    """Where in the stack two or more layers in a row are held flat to one another.

    >>> from bagwright.model.source import Reading
    >>> cloth = Sheet(name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6),
    ...               overhang_mm=Reading.exact(50))
    >>> bonded_runs([cloth, cloth])
    []
    """
    return [run for run in _runs(sheets) if run.stop - run.start > 1]


@dataclass(frozen=True, slots=True)
class _Measured:
    """The readings of a stack as rows, one number a layer; `cube` is bending length cubed, `runs` hold flat."""

    mass_low: _Numbers
    mass_high: _Numbers
    cube_low: _Numbers
    cube_high: _Numbers
    thickness_low: _Numbers
    thickness_high: _Numbers
    runs: tuple[slice, ...]

    def sliding(self, mass: _Numbers, cube: _Numbers) -> _Numbers:
        """Rigidity if nothing is held, for one stack or one a row."""
        rigidity = RIGIDITY_UNM_PER_GSM_MM3 * mass * cube
        return _added(rigidity[..., i] for i in range(rigidity.shape[-1]))

    def holding(self, mass: _Numbers, cube: _Numbers, thickness: _Numbers) -> _Numbers:
        """Rigidity if every run is one solid, for one stack or one a row."""
        rigidity, thickness = np.broadcast_arrays(RIGIDITY_UNM_PER_GSM_MM3 * mass * cube, thickness)
        return _added(_bonded(rigidity[..., run], thickness[..., run]) for run in self.runs)


def _added(parts: Iterable[_Numbers]) -> _Numbers:
    total: _Numbers = functools.reduce(operator.add, parts)
    return total


def _bonded(rigidity: _Numbers, thickness: _Numbers) -> _Numbers:
    """The laminate of `bonded_rigidity_unm`; layers along the last axis."""
    if rigidity.shape[-1] == 1:
        alone: _Numbers = rigidity[..., 0]
        return alone
    middle = np.cumsum(thickness, axis=-1) - thickness / 2
    stretch = 12 * rigidity / thickness**2
    centroid = (stretch * middle).sum(axis=-1, keepdims=True) / stretch.sum(axis=-1, keepdims=True)
    bonded: _Numbers = (rigidity + stretch * (middle - centroid) ** 2).sum(axis=-1)
    return bonded


def _bending_length_band_mm(stack: _Measured) -> Band:
    """Ends of (B / W g)^(1/3), with the same W in both."""
    count = len(stack.mass_low)

    def sliding(mass: _Numbers) -> _Numbers:
        return -_cube(stack.sliding(mass, stack.cube_low), mass)

    def holding(both: _Numbers) -> _Numbers:
        mass, thickness = both[..., :count], both[..., count:]
        return _cube(stack.holding(mass, stack.cube_high, thickness), mass)

    low = math.cbrt(-_highest(sliding, stack.mass_low, stack.mass_high))
    lows = np.concatenate([stack.mass_low, stack.thickness_low])
    highs = np.concatenate([stack.mass_high, stack.thickness_high])
    high = math.cbrt(_highest(holding, lows, highs))
    return Band(low, max(low, high))


def _cube(rigidity: _Numbers, mass: _Numbers) -> _Numbers:
    """Bending length of the stack, cubed."""
    cube: _Numbers = rigidity / (RIGIDITY_UNM_PER_GSM_MM3 * mass.sum(axis=-1))
    return cube


def _highest(measure: _Measure, low: _Numbers, high: _Numbers) -> float:
    """Largest `measure` of a row of numbers that lie between `low` and `high`.

    Number by number, coarsely then finely, until none helps; from the low ends, the middles and the high ends.
    """
    rows = np.array([low, (low + high) / 2, high])
    best = measure(rows)
    for _ in range(_MOST_SWEEPS):
        before = best.max()
        for i in np.flatnonzero(high > low):
            for reach in (1.0, 1 / 8):
                rows, best = _better(measure, rows, int(i), _around(rows[:, i], reach, (low[i], high[i])))
        if best.max() <= before * (1 + 1e-9 * np.sign(before)):
            break
    return float(best.max())


def _around(at: _Numbers, reach: float, ends: tuple[float, float]) -> _Numbers:
    """For each of `at`, evenly spaced numbers that reach that share of the range to both sides, kept to its ends."""
    span = reach * (ends[1] - ends[0])
    return np.clip(at[:, None] + np.linspace(-span, span, _TRIES), *ends)


def _better(measure: _Measure, rows: _Numbers, column: int, tries: _Numbers) -> tuple[_Numbers, _Numbers]:
    """Each row with the best of its `tries` in that column (what it has is among them), and what it measures."""
    many = np.repeat(rows[:, None, :], tries.shape[1], axis=1)
    many[:, :, column] = tries
    measured = measure(many)
    chosen = measured.argmax(axis=1)
    each = np.arange(len(rows))
    return many[each, chosen], measured[each, chosen]


def _measured(sheets: Sequence[Sheet]) -> _Measured:
    _refuse_empty(sheets)
    problems = [problem for i, sheet in enumerate(sheets) for problem in _sheet_problems(sheet, f"layers[{i}]")]
    if problems:
        raise FaultyInput(problems)
    row = functools.partial(np.array, dtype=np.float64)
    held = {i for run in bonded_runs(sheets) for i in range(run.start, run.stop)}
    # Where a layer slides its thickness changes nothing, so its range need not be searched.
    thickest = [sheet.thickness_mm.high if i in held else sheet.thickness_mm.low for i, sheet in enumerate(sheets)]
    return _Measured(
        mass_low=row([sheet.mass_gsm.low for sheet in sheets]),
        mass_high=row([sheet.mass_gsm.high for sheet in sheets]),
        cube_low=row([bending_length_mm(s.overhang_mm.low, angle_deg=s.angle_deg) ** 3 for s in sheets]),
        cube_high=row([bending_length_mm(s.overhang_mm.high, angle_deg=s.angle_deg) ** 3 for s in sheets]),
        thickness_low=row([sheet.thickness_mm.low for sheet in sheets]),
        thickness_high=row(thickest),
        runs=_runs(sheets),
    )


def _runs(sheets: Sequence[Sheet]) -> tuple[slice, ...]:
    """The stack split before every layer that slides."""
    slides = [i for i, sheet in enumerate(sheets) if i == 0 or sheet.held not in HOLDS_FLAT]
    return tuple(slice(a, b) for a, b in itertools.pairwise([*slides, len(sheets)]))


def _sheet_problems(sheet: Sheet, place: str) -> list[Problem]:
    """Faults in the ends of the readings (a range is as good as its worse end) and in the angle."""
    readings = {"mass_gsm": sheet.mass_gsm, "thickness_mm": sheet.thickness_mm, "overhang_mm": sheet.overhang_mm}
    worse = {f"{place}.{key}": min(r.low, r.high, key=_fits) for key, r in readings.items()}
    return number_problems(worse) + angle_problems(sheet.angle_deg, place=f"{place}.angle_deg")


def _fits(number: float) -> bool:
    return not number_problems({"": number})


def _refuse_empty(layers: Sequence[object]) -> None:
    if not layers:
        raise FaultyInput(
            [
                Problem(
                    place="layers",
                    value="",
                    what="there is none",
                    allowed="one layer or more",
                    remedy="Say what the panel is made of.",
                )
            ]
        )
