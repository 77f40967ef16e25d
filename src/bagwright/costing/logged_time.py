"""What the maker's own readings make of a standard time."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence

from bagwright.errors import BrokenPromise
from bagwright.model.timing import LoggedTime

Z_90 = 1.6448536269514722
"""Half of a normal distribution's middle 90 %, in standard deviations."""
_FAR = 2.0
_FEW = 3


def credibility_weight(count: int, standard_weight: float) -> float:
    r"""Weight of the mean of n readings against a standard time: :math:`Z = n / (n + k)`

    k is `standard_weight`: the readings that the standard time counts as. Valid for n from 0 and k from 0, not both 0.

    >>> credibility_weight(3, 1.0)
    0.75

    References
    ----------
    .. [1] Credibility theory as it goes by the name of Buehlmann; from memory.
    """
    if not (count >= 0 and standard_weight >= 0 and count + standard_weight > 0):
        raise BrokenPromise(f"cannot weigh {count} readings against {standard_weight}")
    return count / (count + standard_weight)


def logged_time(
    standard: float, readings: Sequence[float], *, doubt: float, standard_weight: float = 1.0
) -> LoggedTime:
    r"""A time from a standard time and a few readings, with its range. Minutes in, minutes out.

    .. math:: \hat t = Z \bar x + (1 - Z) s, \quad Z = \frac{n}{n + k}, \quad
              \Delta = z \frac{\max(\sqrt{k} \tau, s_x)}{\sqrt{n + k}}

    s `standard`; n readings with mean x and sample deviation s_x; :math:`\tau` `doubt`, the standard deviation of her
    true time about the standard one; k `standard_weight` = (scatter of one reading / :math:`\tau`) squared; z = 1.645,
    so that :math:`\Delta` spans 90 %. It is the mean of a normal distribution whose variance is known, seen after a
    normal guess. The scatter is taken from k, and from the readings where they scatter more: our own caution.

    k = 1 and a doubt of 0.3 s (common practice, no source): a standard time says no more of her than one reading does.
    No reading is dropped, however far off. Valid for times from 0, `doubt` from 0, k above 0; else `BrokenPromise`.

    >>> once = logged_time(20, [30], doubt=6)
    >>> once.minutes, once.weight, round(once.doubt, 2), round(logged_time(20, [], doubt=6).doubt, 2)
    (25.0, 0.5, 6.98, 9.87)

    References
    ----------
    .. [1] A. Gelman and others, Bayesian Data Analysis, section on a normal mean with known variance; from memory.
    """
    if not (standard >= 0 and doubt >= 0 and standard_weight > 0 and all(x >= 0 for x in readings)):
        raise BrokenPromise(f"cannot weigh {list(readings)} against {standard} within {doubt}")
    n = len(readings)
    weight = credibility_weight(n, standard_weight)
    mean = statistics.fmean(readings) if n else None
    scatter = max(math.sqrt(standard_weight) * doubt, statistics.stdev(readings) if n > 1 else 0.0)
    return LoggedTime(
        standard=standard,
        readings=tuple(readings),
        mean=mean,
        weight=weight,
        minutes=weight * (mean or 0.0) + (1 - weight) * standard,
        doubt=Z_90 * scatter / math.sqrt(n + standard_weight),
    )


def far_from_the_others(readings: Sequence[float]) -> tuple[bool, ...]:
    """Which of three or more readings is over twice, or under half, the middle one: to be looked at, not dropped.

    Common practice, no source.

    >>> far_from_the_others([10, 11, 30]), far_from_the_others([10, 30])
    ((False, False, True), (False, False))
    """
    if len(readings) < _FEW:
        return (False,) * len(readings)
    middle = statistics.median(readings)
    return tuple(not middle / _FAR <= one <= middle * _FAR for one in readings)
