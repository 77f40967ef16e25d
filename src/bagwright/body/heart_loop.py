"""The heart loop: a test for cloth too limp for the ruler test. A strip hangs in a loop from its two ends."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bagwright.body.limits import number_problems
from bagwright.body.ruler_test import bending_length_mm
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.source import Reading, Source, SourceKind

STIFF_SHARE, LIMP_SHARE = 0.15, 0.38
"""Loops, as shares of the strip, that tell: without weight it is 0.1339; a limp one hangs as two lines, at 0.5."""

_LINKS = 80
_TURNS = 60
_MOST_TRIALS = 40
_CLOSE_ENOUGH = 1e-9
_LEAST_LENGTHS, _MOST_LENGTHS = 2.5, 12.5
_Numbers = NDArray[np.float64]


def heart_loop_bending_length_mm(strip_mm: float, loop_mm: float) -> float:
    r"""Bending length from a heart loop. [mm]

    `strip_mm`: free length of the strip between the clamp's faces, both ends going up into the clamp side by side;
    `loop_mm`: how far the lowest point of the loop lies below the place where the ends leave the clamp.

    .. math:: \min \int_0^{L/2} \left(\frac{1}{2} c^3 \theta'^2 + y\right) ds, \quad
              \theta(0) = 90°, \quad \theta(L/2) = -180°, \quad x(L/2) = 0

    for one half of the loop, theta the direction along it from the level. The more it weighs against its stiffness, the
    longer it hangs; the weight that gives the measured length is sought. Solved as a chain of 80 links, whose error
    falls with the square of a link: with 40 and 80 links it is taken out (Richardson), and less than 1e-5 is left.

    Assumes what the ruler test does, and that the two ends lie on each other. Range: loops of 0.15 to 0.38 of the
    strip: a shorter one is too stiff, a longer one too limp to tell. Raises `FaultyInput` beyond.

    >>> round(heart_loop_bending_length_mm(200, 60), 1)
    24.6

    The test: Peirce 1930; ASTM D1388 option B (title seen). Their closed formula, from memory, fits the same curve.
    """
    problems = number_problems({"strip_mm": strip_mm, "loop_mm": loop_mm})
    if not problems and not STIFF_SHARE <= loop_mm / strip_mm <= LIMP_SHARE:
        problems = [_too_far(strip_mm, loop_mm)]
    if problems:
        raise FaultyInput(problems)
    return strip_mm / _strip_lengths(round(loop_mm / strip_mm, 9))


@lru_cache(maxsize=256)
def _strip_lengths(share: float) -> float:
    """How many bending lengths long the strip is whose loop is this share of it: false position, held to both ends."""
    low, high = _LEAST_LENGTHS, _MOST_LENGTHS
    miss_low, miss_high = loop_share(low) - share, loop_share(high) - share
    for _ in range(_MOST_TRIALS):
        middle = high - miss_high * (high - low) / (miss_high - miss_low)
        miss = loop_share(middle) - share
        if abs(miss) < _CLOSE_ENOUGH:
            return middle
        if (miss < 0) == (miss_high < 0):
            high, miss_high, miss_low = middle, miss, miss_low / 2
        else:
            low, miss_low, miss_high = middle, miss, miss_high / 2
    raise BrokenPromise(f"the heart loop's equation was not solved for a loop of {share} of the strip")


def loop_share(strip_lengths: float) -> float:
    """Length of the loop as a share of a strip that is so many bending lengths long.

    >>> round(loop_share(0.01), 4)
    0.1339
    """
    coarse, fine = (_share_of_chain(strip_lengths, links) for links in (_LINKS // 2, _LINKS))
    return fine + (fine - coarse) / 3


def _share_of_chain(strip_lengths: float, links: int) -> float:
    half = strip_lengths / 2
    slopes = np.linspace(math.pi / 2, -math.pi, links + 1)
    slopes = (slopes[:-1] + slopes[1:]) / 2
    for weight in np.linspace(0, 1, max(2, math.ceil(half**2)))[1:]:
        slopes = _settled(slopes, half, float(weight))
    return float(-np.sin(slopes).mean()) / 2


def _settled(slopes: _Numbers, half: float, weight: float) -> _Numbers:
    """Newton's steps to the least energy of a chain whose end lies below its start, from a nearby one."""
    links = len(slopes)
    springs = 2 * np.eye(links) - np.eye(links, k=1) - np.eye(links, k=-1)
    springs[0, 0] = springs[-1, -1] = 3.0  # half a link to the clamp, half a link to the lowest point
    held = np.zeros(links)
    held[0], held[-1] = math.pi, -2 * math.pi
    # Height of all that lies after a link and half of itself, times a link's weight against its bending.
    load = weight * half**3 / links**3 * (np.arange(links, 0, -1) - 0.5)
    pull = 0.0
    for _ in range(_TURNS):
        force = springs @ slopes - held + load * np.cos(slopes) - pull * np.sin(slopes)
        away = np.cos(slopes).sum()
        stiffness = springs + np.diag(-load * np.sin(slopes) - pull * np.cos(slopes))
        edge = -np.sin(slopes)
        system = np.block([[stiffness, edge[:, None]], [edge[None, :], np.zeros((1, 1))]])
        step = np.linalg.solve(system, -np.append(force, away))
        size = float(np.abs(step[:-1]).max())
        slopes, pull = slopes + step[:-1] * min(1.0, 0.5 / max(size, 1e-12)), pull + step[-1]
        if size < 1e-10:
            return slopes
    raise BrokenPromise(f"the heart loop did not settle at {half} bending lengths")


def _too_far(strip_mm: float, loop_mm: float) -> Problem:
    allowed = f"{STIFF_SHARE * strip_mm:.0f} to {LIMP_SHARE * strip_mm:.0f} mm for this strip"
    stiff = loop_mm / strip_mm < STIFF_SHARE
    remedy = "Take a longer strip, or do the ruler test." if stiff else "Take a shorter strip."
    what = "is too short to tell" if stiff else "is too long to tell"
    return Problem(place="loop_mm", value=f"{loop_mm:g}", what=what, allowed=allowed, remedy=remedy)


def overhang_of_heart_loop(strip_mm: float, loop_mm: float, *, reading_error_mm: float = 1.0) -> Reading:
    """The overhang that the ruler test would show at 41.5 degrees, from a heart loop read off so far at most. [mm]

    A longer loop means limper cloth, so the ends of the range change places; where one leaves the range of the test, it
    stands at the end of that. Raises `FaultyInput` as `heart_loop_bending_length_mm` does.

    >>> reading = overhang_of_heart_loop(200, 60)
    >>> round(reading.low, 1), round(reading.value, 1), round(reading.high, 1)
    (48.2, 49.2, 50.2)
    """
    loop = heart_loop_bending_length_mm(strip_mm, loop_mm)
    ends = [
        heart_loop_bending_length_mm(strip_mm, min(max(at, STIFF_SHARE * strip_mm), LIMP_SHARE * strip_mm))
        for at in (loop_mm + reading_error_mm, loop_mm - reading_error_mm)
    ]
    per_overhang = bending_length_mm(1.0, angle_deg=41.5)
    source = Source(SourceKind.MEASURED, f"heart loop of a strip of {strip_mm:g} mm")
    return Reading(loop / per_overhang, ends[0] / per_overhang, ends[1] / per_overhang, source)
