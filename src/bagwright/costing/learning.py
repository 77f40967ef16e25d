"""How practice shortens work: the two learning curves, and what they make of a run."""

from __future__ import annotations

import math

from bagwright.errors import BrokenPromise
from bagwright.model.timing import LearningModel

LEAST_RATE = 0.7
"""Steepest curve that is taken: 0.7 to 1. Below it hand work does not learn (common practice, no source)."""


def learning_exponent(rate: float) -> float:
    r"""Exponent of a learning curve: what falls to the share r at every doubling falls as :math:`n^b, b = \log_2 r`

    Valid for a rate above 0 up to 1 (no learning); else `BrokenPromise`.

    >>> round(learning_exponent(0.8), 6)
    -0.321928
    """
    if not 0 < rate <= 1:
        raise BrokenPromise(f"a learning rate is above 0 and at most 1, got {rate}")
    return math.log2(rate)


def unit_minutes_crawford(first: float, number: int, *, rate: float) -> float:
    r"""Time of the n-th one made, unit model: :math:`t_n = t_1 n^{\log_2 r}`

    `first` in any unit of time from 0; the answer is in the same. Assumes work without long breaks in between.

    >>> round(unit_minutes_crawford(100, 3, rate=0.8), 2)
    70.21

    References
    ----------
    .. [1] The unit model that goes by the name of Crawford; form from memory, checked on a published example (a 75 %
       curve, first 812 h, unit 250 takes 82.1 h).
    """
    _refuse(number)
    return first * math.pow(number, learning_exponent(rate))


def total_minutes_wright(first: float, count: int, *, rate: float) -> float:
    r"""Time of the first n together, cumulative-average model: :math:`T_n = t_1 n^{1 + \log_2 r}`

    The average of all made so far is :math:`t_1 n^{\log_2 r}`. Valid for a count from 0.

    >>> round(total_minutes_wright(100, 16, rate=0.8), 2)
    655.36

    References
    ----------
    .. [1] T. P. Wright, Factors affecting the cost of airplanes, Journal of the Aeronautical Sciences 3, 1936.
    """
    if count < 0:
        raise BrokenPromise(f"cannot count {count} bags")
    return first * math.pow(count, 1 + learning_exponent(rate)) if count else 0.0


def unit_minutes_wright(first: float, number: int, *, rate: float) -> float:
    """Time of the n-th one made, cumulative-average model: the first n together less the first n - 1.

    >>> round(unit_minutes_wright(100, 2, rate=0.8), 9)
    60.0
    """
    _refuse(number)
    return total_minutes_wright(first, number, rate=rate) - total_minutes_wright(first, number - 1, rate=rate)


_UNIT_MINUTES = {LearningModel.UNIT: unit_minutes_crawford, LearningModel.AVERAGE: unit_minutes_wright}


def practice_shares(count: int, *, made_before: int, rate: float, model: LearningModel) -> tuple[float, ...]:
    """Time of each of the next `count`, as shares of the time of the next one: the first share is 1.

    What is known of the time is taken to hold for the next one; after `made_before` of them the curve is flatter.

    >>> practice_shares(2, made_before=0, rate=0.8, model=LearningModel.UNIT)
    (1.0, 0.8)
    """
    if count < 1 or made_before < 0:
        raise BrokenPromise(f"cannot make {count} bags after {made_before}")
    unit = _UNIT_MINUTES[model]
    next_one = unit(1.0, made_before + 1, rate=rate)
    return tuple(unit(1.0, made_before + number, rate=rate) / next_one for number in range(1, count + 1))


def _refuse(number: int) -> None:
    if number < 1:
        raise BrokenPromise(f"units are counted from 1, got {number}")
