"""The curve of a strip that bends under its own weight, followed step by step from its free tip.

theta'' = -s cos(theta), all lengths in units of the bending length; s runs from the tip, theta is the slope below the
level.
"""

from __future__ import annotations

import math

State = tuple[float, float, float, float]
"""Slope, curvature, way across, way down."""


def elastica_step(s: float, state: State, h: float) -> State:
    """One classical Runge-Kutta step `h` along the strip from `s`; the last two numbers need only Simpson's rule.

    >>> round(elastica_step(0.0, (1.0, 0.0, 0.0, 0.0), 0.5)[0], 3)
    0.989
    """
    t, q, across, down = state
    middle, half = s + h / 2, h / 2
    q1, k1 = q, -s * math.cos(t)
    q2, k2 = q + half * k1, -middle * math.cos(t + half * q1)
    q3, k3 = q + half * k2, -middle * math.cos(t + half * q2)
    q4, k4 = q + h * k3, -(s + h) * math.cos(t + h * q3)
    t2, t3, t4 = t + half * q1, t + half * q2, t + h * q3
    return (
        t + h / 6 * (q1 + 2 * q2 + 2 * q3 + q4),
        q + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4),
        across + h / 6 * (math.cos(t) + 2 * math.cos(t2) + 2 * math.cos(t3) + math.cos(t4)),
        down + h / 6 * (math.sin(t) + 2 * math.sin(t2) + 2 * math.sin(t3) + math.sin(t4)),
    )
