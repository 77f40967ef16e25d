"""A flat rectangular sheet pressed from above or by its own weight: at how much it bows, and how."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from bagwright.body.limits import refuse_unless_positive
from bagwright.errors import FaultyInput, Problem
from bagwright.model.held_panel import EdgeHold, Hold

_Numbers = NDArray[np.float64]
_DRAWN = 3
_SHAPES = 4
_MOST_TURNS = 300
_STILL = 1e-12


class Load(Enum):
    """What presses the sheet: a weight spread evenly over it, or an even pressure on its top edge."""

    OWN_WEIGHT = "own weight"
    TOP_EDGE = "top edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A sheet that is as stiff everywhere. Rigidities are those of a plate, per unit width, up and across; in any unit:
    loads come out in it, divided by mm2.

    `poisson` couples the two: bent one way, the sheet wants to curl the other way. Twist is taken as for a sheet that
    is alike in all directions, with the geometric mean of the two rigidities.
    """

    width_mm: float
    height_mm: float
    rigidity_up: float
    rigidity_across: float
    hold: Hold
    poisson: float = 0.0


@dataclass(frozen=True, slots=True)
class Bowing:
    """`load`: pressure per length of edge at the foot at which the sheet bows, in units of its rigidity / mm2.

    `shape`: rows from the foot up, the furthest point at 1.
    """

    load: float
    shape: _Numbers


def bowing(plate: Plate, load: Load = Load.OWN_WEIGHT, *, parts: int = 8) -> Bowing:
    r"""The least load at which a flat sheet, held along its edges, bows out of its plane.

    .. math:: \delta \int \frac{1}{2} (D_x w_{xx}^2 + 2 D_1 w_{xx} w_{yy} + D_y w_{yy}^2 + 4 D_{xy} w_{xy}^2)
              + \frac{1}{2} k D_x w_x^2|_{sides} + \frac{1}{2} k D_y w_y^2|_{foot} - \frac{\lambda}{2} n(y) w_y^2 = 0

    n(y): what presses at height y, 1 at the foot; k: the springs; D1 = poisson (Dx Dy)^(1/2) and
    Dxy = (1 - poisson)/2 (Dx Dy)^(1/2). Solved with elements of cubic Hermite polynomials (bicubic, 4 values a node,
    slopes without a break) as a symmetric eigenvalue problem; the load is never too low and converges with the fourth
    power of an element's size. `parts`: elements upright, more in a slender sheet, and half as many across. Only the
    left half is solved: as load and hold are the same on both sides, the sheet bows first with its two halves alike.

    Assumes: small deflections, so it says when a sheet bows and how, not how far; upright pressure only, so that no
    share of the weight goes into the sides; elastic, flat, without crease or curl.
    Raises `FaultyInput` unless sizes and rigidities are above zero, poisson is from 0 to below 1 and the edges keep the
    sheet from falling over.

    >>> strip = Hold(foot=EdgeHold.CLAMPED, sides=EdgeHold.FREE)
    >>> plate = Plate(width_mm=50, height_mm=100, rigidity_up=1, rigidity_across=1, hold=strip)
    >>> round(bowing(plate).load * 100**2, 3)
    7.837

    Timoshenko and Gere, Theory of Elastic Stability (from memory), chapters 2 and 9, has the equations and the cases
    that the tests compare with; the element is that of Bogner, Fox and Schmit (1965, from memory).
    """
    _refuse_faults(plate)
    across, up = _axes(plate, parts)
    both = math.sqrt(plate.rigidity_up * plate.rigidity_across)
    x, y = across.integrals(), up.integrals()
    mixed = np.kron(x.value_bend, y.value_bend.T)
    stiffness = (
        plate.rigidity_across * np.kron(x.bends, y.values)
        + plate.rigidity_up * np.kron(x.values, y.bends)
        + plate.poisson * both * (mixed + mixed.T)
        + 2 * (1 - plate.poisson) * both * np.kron(x.slopes, y.slopes)
        + plate.hold.side_spring * plate.rigidity_across * np.kron(across.turn_of_start(), y.values)
        + plate.hold.foot_spring * plate.rigidity_up * np.kron(x.values, up.turn_of_start())
    )
    weight = y.slopes if load is Load.TOP_EDGE else up.integrals(lambda at: 1 - at / plate.height_mm).slopes
    pressed = np.kron(x.values, weight).astype(np.float64)
    least, bowed = _least_mode(stiffness, pressed)
    left = up.samples(_DRAWN) @ bowed.reshape(across.count, up.count).T @ across.samples(_DRAWN).T
    shape = np.hstack([left, left[:, -2::-1]])
    return Bowing(load=least, shape=shape / shape.flat[np.abs(shape).argmax()])


def _least_mode(stiffness: _Numbers, pressed: _Numbers) -> tuple[float, _Numbers]:
    """Smallest load of stiffness v = load pressed v, and its v.

    A few shapes at once are bent by the load again and again, the best mixtures of them kept: what yields most stays.
    """
    answer = np.linalg.solve(stiffness, pressed)
    shapes = np.random.default_rng(0).normal(size=(len(stiffness), min(_SHAPES, len(stiffness))))
    most = 0.0
    for _ in range(_MOST_TURNS):
        shapes = answer @ shapes
        root = np.linalg.cholesky(shapes.T @ stiffness @ shapes)
        shapes = np.linalg.solve(root, shapes.T).T
        yields, mixtures = np.linalg.eigh(shapes.T @ pressed @ shapes)
        shapes = shapes @ mixtures
        before, most = most, float(yields[-1])
        if abs(most - before) <= _STILL * most:
            break
    return 1 / most, shapes[:, -1]


@dataclass(frozen=True, slots=True)
class _Integrals:
    """Integrals of products of the polynomials of one axis, or of their slopes and bends."""

    values: _Numbers
    slopes: _Numbers
    bends: _Numbers
    value_bend: _Numbers


@dataclass(frozen=True, slots=True)
class _Axis:
    """One direction cut into elements; each node has a value and a slope, of which `kept` ones are free to move."""

    nodes: _Numbers
    kept: NDArray[np.intp]

    @property
    def count(self) -> int:
        return len(self.kept)

    def integrals(self, weight: Callable[[_Numbers], _Numbers] | None = None) -> _Integrals:
        """Exact for polynomials of degree 9: four points in each element are enough for all weights used here."""
        points, shares = np.polynomial.legendre.leggauss(5)
        size = np.diff(self.nodes)
        at = self.nodes[:-1, None] + (points + 1) / 2 * size[:, None]
        by = shares / 2 * size[:, None] * (weight(at) if weight else 1.0)
        value, slope, bend = self._polynomials((points + 1) / 2, size)
        return _Integrals(
            self._summed(value, value, by),
            self._summed(slope, slope, by),
            self._summed(bend, bend, by),
            self._summed(value, bend, by),
        )

    @staticmethod
    def _polynomials(t: _Numbers, size: _Numbers) -> tuple[_Numbers, _Numbers, _Numbers]:
        """Value, slope and bend of the four cubic Hermite polynomials: (elements, polynomials, points)."""
        h = size[:, None]
        one = np.ones_like(h)
        value = [
            one * (1 - 3 * t**2 + 2 * t**3),
            h * (t - 2 * t**2 + t**3),
            one * (3 * t**2 - 2 * t**3),
            h * (t**3 - t**2),
        ]
        slope = [(6 * t**2 - 6 * t) / h, one * (1 - 4 * t + 3 * t**2), (6 * t - 6 * t**2) / h, one * (3 * t**2 - 2 * t)]
        bend = [(12 * t - 6) / h**2, (6 * t - 4) / h, (6 - 12 * t) / h**2, (6 * t - 2) / h]
        return np.stack(value, axis=1), np.stack(slope, axis=1), np.stack(bend, axis=1)

    def _summed(self, one: _Numbers, other: _Numbers, by: _Numbers) -> _Numbers:
        of_elements = np.einsum("eip,ejp,ep->eij", one, other, by)
        whole = np.zeros((2 * len(self.nodes), 2 * len(self.nodes)))
        for element, block in enumerate(of_elements):
            whole[2 * element : 2 * element + 4, 2 * element : 2 * element + 4] += block
        return whole[np.ix_(self.kept, self.kept)]

    def turn_of_start(self) -> _Numbers:
        """1 where the slope at the start meets itself."""
        return np.diag((self.kept == 1).astype(np.float64))

    def samples(self, per_element: int) -> _Numbers:
        """Values at evenly spaced points along the axis, both ends among them, of each free number set to one."""
        elements = len(self.nodes) - 1
        t = np.linspace(0, 1, per_element + 1)
        values, _, _ = self._polynomials(t, np.diff(self.nodes))
        whole = np.zeros((elements * per_element + 1, 2 * len(self.nodes)))
        for element in range(elements):
            rows = slice(element * per_element, (element + 1) * per_element + 1)
            whole[rows, 2 * element : 2 * element + 4] = values[element].T
        return whole[:, self.kept]


def _axes(plate: Plate, parts: int) -> tuple[_Axis, _Axis]:
    """Across to the middle, where it bows in half a wave, and up, where a slender sheet bows in short waves."""
    slender = max(1.0, math.sqrt(plate.height_mm / plate.width_mm))
    hold = plate.hold
    return (
        _axis(plate.width_mm / 2, max(1, parts // 4), (_FIRST_HELD[hold.sides], _MIRRORED)),
        _axis(plate.height_mm, min(round(parts * slender), 3 * parts), (_FIRST_HELD[hold.foot], _FIRST_HELD[hold.top])),
    )


def _axis(length_mm: float, parts: int, ends: tuple[tuple[int, ...], tuple[int, ...]]) -> _Axis:
    nodes = np.linspace(0, length_mm, parts + 1)
    held = [*ends[0], *(2 * parts + number for number in ends[1])]
    return _Axis(nodes, np.setdiff1d(np.arange(2 * len(nodes)), held))


_FIRST_HELD = {EdgeHold.FREE: (), EdgeHold.HINGED: (0,), EdgeHold.CLAMPED: (0, 1)}
_MIRRORED = (1,)
"""Which of the two numbers of an end's node are held at zero: its value, its slope."""


def _refuse_faults(plate: Plate) -> None:
    names = ("width_mm", "height_mm", "rigidity_up", "rigidity_across")
    refuse_unless_positive({name: getattr(plate, name) for name in names})
    problems = []
    if not 0 <= plate.poisson < 1:
        problems.append(_fault("poisson", f"{plate.poisson:g}", "is out of range", "0 to below 1"))
    for name in ("side_spring", "foot_spring"):
        spring = getattr(plate.hold, name)
        if not 0 <= spring < math.inf:
            problems.append(_fault(name, f"{spring:g}", "is out of range", "0 or more"))
    hold = plate.hold
    lets_fall = EdgeHold.CLAMPED not in (hold.foot, hold.top) and EdgeHold.FREE in (hold.foot, hold.top)
    if hold.sides is EdgeHold.FREE and lets_fall:
        held = f"foot {hold.foot}, sides {hold.sides}, top {hold.top}"
        problems.append(
            _fault("hold", held, "lets the panel fall over", "sides in line, or the foot in line and square")
        )
    if problems:
        raise FaultyInput(problems)


def _fault(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Say how the edges are really held.")
