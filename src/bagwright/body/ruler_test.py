"""The ruler test: a strip slid off a table edge bends under its own weight and so tells how stiff it is."""

from __future__ import annotations

import math
from functools import lru_cache

from bagwright.body.elastica import elastica_step
from bagwright.body.limits import angle_problems, number_problems, refuse_unless_positive
from bagwright.errors import BrokenPromise, FaultyInput

RIGIDITY_UNM_PER_GSM_MM3 = 9.80665e-6
"""Standard gravity, with g/m2, mm3 and uN.m reckoned in."""

_STEP = 0.04
_CLOSE_ENOUGH = 1e-9
_MOST_TRIALS = 30


def bending_length_mm(overhang_mm: float, *, angle_deg: float) -> float:
    r"""Bending length c = (B/w)^(1/3) from the length that hangs over. [mm]

    A strip is slid over a table edge until its tip touches a slope of `angle_deg` that falls from that edge.

    .. math:: c = k L, \quad B \theta'' = -w s \cos\theta, \quad \theta(L) = 0, \quad \theta'(0) = 0

    `overhang_mm` is L, measured along the strip; s runs along it from the tip; theta is its slope; the line from
    edge to tip falls by `angle_deg`. k is solved from the equation, to 1e-6 of its value; k = 0.4999 at 41.5
    degrees, the slope the standards use, so that c is half the overhang.

    Assumes: the strip neither stretches nor curls and bends along one direction, in proportion to the moment.
    Range: 5 to 80 degrees. Flatter, the overhang hardly shows; steeper, the cloth hangs like a rope.

    Raises `FaultyInput` for an overhang that is not above zero or an angle out of range.

    >>> round(bending_length_mm(40, angle_deg=41.5), 2), round(bending_length_mm(40, angle_deg=45), 2)
    (20.0, 19.05)

    The test: Peirce, The handle of cloth as a measurable quantity, J. Text. Inst. 21 (1930) T377 (cited second hand).
    """
    problems = number_problems({"overhang_mm": overhang_mm}) + angle_problems(angle_deg)
    if problems:
        raise FaultyInput(problems)
    return _share_of_overhang(float(angle_deg)) * overhang_mm


def rigidity_unm(mass_gsm: float, bending_length_mm: float) -> float:
    """Bending rigidity of a unit width, B = W g c^3. [uN.m]

    Assumes g = 9.80665 m/s2. Raises `FaultyInput` unless both are above zero.

    >>> round(rigidity_unm(145, 20), 3)
    11.376

    Follows from the meaning of c; the standards for the test print it with g rounded and in other units.
    """
    refuse_unless_positive({"mass_gsm": mass_gsm, "bending_length_mm": bending_length_mm})
    return RIGIDITY_UNM_PER_GSM_MM3 * mass_gsm * bending_length_mm**3


def bending_length_of_rigidity_mm(rigidity_unm: float, mass_gsm: float) -> float:
    """Bending length of a sheet of known rigidity, c = (B / W g)^(1/3). [mm] The inverse of `rigidity_unm`.

    >>> round(bending_length_of_rigidity_mm(275, 250), 2)
    48.23
    """
    refuse_unless_positive({"rigidity_unm": rigidity_unm, "mass_gsm": mass_gsm})
    return math.cbrt(rigidity_unm / (RIGIDITY_UNM_PER_GSM_MM3 * mass_gsm))


def over_all(lengthwise: float, crosswise: float) -> float:
    """One figure for two directions, their geometric mean: of rigidities, or of bending lengths or overhangs.

    >>> over_all(8, 2)
    4.0

    Usual with this test [from memory: BS 3356, IS 6490]. Raises `FaultyInput` unless both are above zero.
    """
    refuse_unless_positive({"lengthwise": lengthwise, "crosswise": crosswise})
    return math.sqrt(lengthwise * crosswise)


@lru_cache(maxsize=256)
def _share_of_overhang(chord_deg: float) -> float:
    """Solve k for one slope of the chord.

    With lengths in units of c the equation is theta'' = -s cos(theta), and only the tip's slope is unknown: try one,
    follow the strip up to where it lies level, compare the chord. Secants on asinh(tan(slope)), which
    makes the relation nearly straight.
    """
    goal = math.asinh(math.tan(math.radians(chord_deg)))
    before, tip = 4 / 3 * goal, (1.4 + 0.3 * goal) * goal
    miss_before = _chord(before)[0] - goal
    for _ in range(_MOST_TRIALS):
        chord, length = _chord(tip)
        miss = chord - goal
        if abs(miss) < _CLOSE_ENOUGH:
            return 1 / length
        before, tip, miss_before = tip, tip - miss * (tip - before) / (miss - miss_before), miss
    raise BrokenPromise(f"the ruler test's equation was not solved for {chord_deg} degrees")


def _chord(tip: float) -> tuple[float, float]:
    """The chord's slope as asinh(tan) and the strip's length, both in units of c, for asinh(tan(tip slope)) `tip`."""
    s, state = 0.0, (math.atan(math.sinh(tip)), 0.0, 0.0, 0.0)
    while state[0] > 0:
        state = elastica_step(s, state, _STEP)
        s += _STEP
    for _ in range(3):
        back = -state[0] / state[1]
        state = elastica_step(s, state, back)
        s += back
    return math.asinh(state[3] / state[2]), s
