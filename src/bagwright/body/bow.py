"""How far a held panel bows, once it no longer bears its own weight flat."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bagwright.body.limits import refuse_unless_positive
from bagwright.model.held_panel import Bow

_Numbers = NDArray[np.float64]
STEEPEST = 0.9
"""Sine of the steepest slope up to which one shape is a fair likeness: beyond, the panel folds."""
_TRIALS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class BowingPanel:
    """A panel of a given shape: bending lengths upright and across, times its own weight that it bears flat, and how it
    bows: rows from the foot up, the furthest point at 1."""

    width_mm: float
    height_mm: float
    upright_mm: float
    across_mm: float
    multiplier: float
    shape: _Numbers


def bow_of(panel: BowingPanel) -> Bow:
    r"""How deep the panel bows under its own weight and how far its top sinks: the depth a of least energy. [mm]

    .. math:: E(a) = \frac{m G}{2} a^2 + \frac{1}{2} \int \left(c_y^3 w_{yy}^2 \frac{w_y^2}{1 - w_y^2} +
              c_x^3 w_{xx}^2 \frac{w_x^2}{1 - w_x^2}\right) - \int (H - y) \left(1 - \sqrt{1 - w_y^2}\right)

    per weight of area, with w = a times the shape, m the multiplier and G = int (H - y) (shape_y)^2. The threads keep
    their length, so a bowed thread brings its top down; the exact bend and drop of each thread make the energy end
    somewhere. Flat if it bears its weight (m at least 1).

    Assumes: the shape at the threshold is kept however deep it bows; the cloth shears freely, and the sides come in and
    down with it. Felt, foam and fused layers do not shear freely and firm side seams stay up, so the real bow is less,
    down to a few thicknesses: this is the most to reckon with. Range: up to a slope of 64 degrees; a panel that would
    be steeper `folds`, and its bow and drop are told at that slope. Raises `FaultyInput` unless all are above zero.
    """
    sizes = ("width_mm", "height_mm", "upright_mm", "across_mm", "multiplier")
    refuse_unless_positive({name: getattr(panel, name) for name in sizes})
    rows = len(panel.shape)
    row = int(np.abs(panel.shape).max(axis=1).argmax())
    up = np.linspace(0, panel.height_mm, rows)
    if panel.multiplier >= 1:
        return Bow(bow_mm=0.0, sink_mm=0.0, at_share=row / (rows - 1), folds=False, section=((0.0, 0.0), (0.0, up[-1])))
    slopes = _Slopes.of(panel)
    steepest = STEEPEST / slopes.steepest
    depths = steepest * np.linspace(0, 1, _TRIALS + 1)
    energies = [slopes.energy(panel, depth) for depth in depths]
    least = int(np.argmin(energies))
    depth = _between(depths, energies, least) if 0 < least < _TRIALS else float(depths[least])
    section = slopes.section(panel, depth)
    return Bow(
        bow_mm=depth,
        sink_mm=panel.height_mm - section[-1][1],
        at_share=row / (rows - 1),
        folds=least == _TRIALS,
        section=section,
    )


@dataclass(frozen=True, slots=True)
class _Slopes:
    """Slopes and bends of the shape, and the share of the area that each point stands for."""

    up: _Numbers
    across: _Numbers
    bends_up: _Numbers
    bends_across: _Numbers
    shares: _Numbers
    hangs: _Numbers

    @classmethod
    def of(cls, panel: BowingPanel) -> _Slopes:
        rows, columns = panel.shape.shape
        dy, dx = panel.height_mm / (rows - 1), panel.width_mm / (columns - 1)
        up, across = (np.gradient(panel.shape, step, axis=a, edge_order=2) for a, step in ((0, dy), (1, dx)))
        shares = np.outer(_trapezes(rows) * dy, _trapezes(columns) * dx)
        hangs = (panel.height_mm - np.arange(rows) * dy)[:, None] * np.ones(columns)
        bends_up, bends_across = np.gradient(up, dy, axis=0), np.gradient(across, dx, axis=1)
        return cls(up, across, bends_up, bends_across, shares, hangs)

    @property
    def steepest(self) -> float:
        return float(max(np.abs(self.up).max(), np.abs(self.across).max()))

    def energy(self, panel: BowingPanel, depth: float) -> float:
        """Energy per weight of area; zero where it is flat."""
        up, across = (depth * self.up) ** 2, (depth * self.across) ** 2
        linear = panel.multiplier * self.hangs * up
        firmer = panel.upright_mm**3 * (depth * self.bends_up) ** 2 * up / (1 - up) + panel.across_mm**3 * (
            depth * self.bends_across
        ) ** 2 * across / (1 - across)
        drop = self.hangs * (1 - np.sqrt(1 - up))
        return float(((linear + firmer) / 2 - drop).ravel() @ self.shares.ravel())

    def section(self, panel: BowingPanel, depth: float) -> tuple[tuple[float, float], ...]:
        """The thread that bows furthest, as (outwards, up) from its foot."""
        rows, columns = panel.shape.shape
        column = int(np.abs(panel.shape).argmax()) % columns
        rises = np.sqrt(1 - (depth * self.up[:, column]) ** 2)
        step = panel.height_mm / (rows - 1)
        ups = np.concatenate([[0.0], np.cumsum((rises[1:] + rises[:-1]) / 2 * step)])
        return tuple((depth * float(out), float(high)) for out, high in zip(panel.shape[:, column], ups, strict=True))


def _trapezes(count: int) -> _Numbers:
    shares = np.ones(count)
    shares[[0, -1]] = 0.5
    return shares


def _between(depths: _Numbers, energies: list[float], least: int) -> float:
    """The lowest point of the parabola through the best of the tried depths and its neighbours."""
    before, here, after = energies[least - 1 : least + 2]
    bent = before - 2 * here + after
    shift = (before - after) / (2 * bent) if bent > 0 and math.isfinite(bent) else 0.0
    return float(depths[least] + shift * (depths[1] - depths[0]))
