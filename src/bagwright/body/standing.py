"""How high a strip stands by itself."""

from __future__ import annotations

from bagwright.body.limits import refuse_unless_positive

STANDING_HEIGHT_PER_BENDING_LENGTH = 1.986352707
"""Cube root of 7.837347439, which is 9/4 of the square of the first zero of the Bessel function J(-1/3)."""


def standing_height_mm(bending_length_mm: float) -> float:
    """Height at which a strip clamped upright at its foot buckles under its own weight. [mm]

    H = (7.837347 B / w)^(1/3) = 1.986353 c, with B the bending rigidity, w the weight per area, c the bending length.

    Assumes: an even, elastic, straight strip, free at the top and the sides. A real bag is held by its side seams,
    corners and base and stands higher, and cloth with a crease or a curl falls sooner; so it ranks choices and does
    not foretell a bag. Raises `FaultyInput` unless the bending length is above zero.

    >>> round(standing_height_mm(25), 2)
    49.66

    Greenhill 1881, as the encyclopaedia article on self-buckling cites him.
    """
    refuse_unless_positive({"bending_length_mm": bending_length_mm})
    return STANDING_HEIGHT_PER_BENDING_LENGTH * bending_length_mm
