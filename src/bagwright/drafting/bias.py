"""Strips cut on the bias: what cloth they take, and how many are joined to a long one."""

from __future__ import annotations

import math

from bagwright.errors import BrokenPromise

BIAS_DEG = 45.0
SOLD_CLOTH_MM = (1117.6, 1473.2)
"""Two widths that cloth is sold in, 44 and 58 in (found in conversion charts)."""


def bias_strip_length_mm(cloth_mm2: float, strip_mm: float) -> float:
    """Length of bias strip of that width out of cloth of that area: area / width.

    All of the cloth becomes strip, as where its edges are sewn to a tube that is cut round and round; allowances of
    those two seams are left out, so it is an upper bound. Range: both above 0, else `BrokenPromise`.
    K14 of the reference facts (found in quilting tables):

    >>> bias_strip_length_mm(12 * 12, 2), bias_strip_length_mm(36 * 36, 2)
    (72.0, 648.0)
    """
    if not (cloth_mm2 > 0 and strip_mm > 0):
        raise BrokenPromise(f"no strip {strip_mm} mm wide can be cut out of {cloth_mm2} mm2")
    return cloth_mm2 / strip_mm


def square_for_bias_mm(length_mm: float, strip_mm: float) -> float:
    """Side of the square that such a length of strip takes: sqrt(length x width), the above turned round.

    >>> round(square_for_bias_mm(100, 3.5), 2)
    18.71
    """
    if not (length_mm >= 0 and strip_mm > 0):
        raise BrokenPromise(f"no square gives {length_mm} mm of strip {strip_mm} mm wide")
    return math.sqrt(length_mm * strip_mm)


def bias_joins(length_mm: float, strip_mm: float, cloth_mm: float, *, allowance_mm: float = 6.35) -> int:
    """Joins in a bias strip of that length, cut from edge to edge of cloth `cloth_mm` wide at 45 degrees.

    A strip's long edges run from one edge of the cloth to the other, sqrt(2) times its width, and its ends are slanted
    along the cloth's. Strips are joined on the slant: each join takes two allowances, sqrt(2) times as long along the
    strip. Squaring off the last end takes one width more. Derived; range: cloth wider than what a join takes, else
    `BrokenPromise`.

    >>> bias_joins(1000, 32, 1117.6), bias_joins(2000, 32, 1117.6), bias_joins(5000, 32, 1117.6)
    (0, 1, 3)
    """
    whole, lost = cloth_mm * math.sqrt(2), 2 * allowance_mm * math.sqrt(2)
    if not (length_mm >= 0 and strip_mm > 0 and whole - lost > 0):
        raise BrokenPromise(f"no bias strip {strip_mm} mm wide can be joined from cloth {cloth_mm} mm wide")
    # n strips give n whole - (n - 1) lost.
    return max(math.ceil((length_mm + strip_mm - lost) / (whole - lost)), 1) - 1
