"""How a strip hangs over when it is too limp to stand."""

from __future__ import annotations

import math

from bagwright.body.elastica import State, elastica_step
from bagwright.body.limits import refuse_unless_positive
from bagwright.body.standing import STANDING_HEIGHT_PER_BENDING_LENGTH
from bagwright.errors import FaultyInput, Problem

MOST_BENDING_LENGTHS = 12.0
_STEP = 0.02
_HALVINGS = 60
_LIMPEST = 60.0


def slumped_strip(height_mm: float, bending_length_mm: float) -> tuple[tuple[float, float], ...]:
    r"""The curve of a strip of length `height_mm` held upright at its foot: points (sideways, up) from there. [mm]

    .. math:: B \varphi'' = -w s \sin\varphi, \quad \varphi(L) = 0, \quad \varphi'(0) = 0

    s runs from the tip, phi is the slope from the upright. A strip up to 1.986353 bending lengths stands straight; a
    longer one also could, like a pencil on its tip, but hangs over to one side.

    Assumes what `standing_height_mm` does, of any bend; the tip may hang lower than the foot, as over an edge. Range:
    up to 12 bending lengths; of a longer strip only more hangs straight down. Raises `FaultyInput` beyond, and unless
    both are above zero.

    >>> points = slumped_strip(100, 40)
    >>> round(max(up for _, up in points), 1), round(points[-1][0], 1)
    (18.7, 79.9)
    """
    refuse_unless_positive({"height_mm": height_mm, "bending_length_mm": bending_length_mm})
    length = height_mm / bending_length_mm
    if length > MOST_BENDING_LENGTHS:
        raise FaultyInput([_too_limp(height_mm, bending_length_mm)])
    if length <= STANDING_HEIGHT_PER_BENDING_LENGTH:
        return ((0.0, 0.0), (0.0, height_mm))
    # The nearer the tip's slope comes to straight down, the longer the strip: halve the logarithm of what is missing.
    stiff, limp = -math.log(math.pi), _LIMPEST
    for _ in range(_HALVINGS):
        middle = (stiff + limp) / 2
        stiff, limp = (middle, limp) if _from_tip(middle)[-1][0] < length else (stiff, middle)
    curve = _from_tip((stiff + limp) / 2)
    _, (_, _, across, down) = curve[-1]
    return tuple(
        ((across - x) * bending_length_mm, (y - down) * bending_length_mm) for _, (_, _, x, y) in reversed(curve)
    )


def _from_tip(missing: float) -> list[tuple[float, State]]:
    """Places along the strip from its tip, of slope pi - exp(-missing) off the upright, to where it stands upright."""
    s, state = 0.0, (math.pi / 2 - math.exp(-missing), 0.0, 0.0, 0.0)
    curve = [(s, state)]
    while state[0] > -math.pi / 2:
        state = elastica_step(s, state, _STEP)
        s += _STEP
        curve.append((s, state))
    for _ in range(3):
        back = (-math.pi / 2 - state[0]) / state[1]
        state = elastica_step(s, state, back)
        s += back
    curve[-1] = (s, state)
    return curve


def _too_limp(height_mm: float, bending_length_mm: float) -> Problem:
    return Problem(
        place="height_mm",
        value=f"{height_mm:g}",
        what=f"is too long for a strip of bending length {bending_length_mm:g} mm",
        allowed=f"up to {MOST_BENDING_LENGTHS * bending_length_mm:g} mm",
        remedy="It hangs straight down; use a stiffer stack.",
    )
