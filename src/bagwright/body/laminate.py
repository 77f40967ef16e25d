"""The stiffness of layers laid on one another: free to slide, held so that none can, and anything in between."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bagwright.body.limits import refuse_empty, refuse_unless_positive
from bagwright.errors import FaultyInput, Problem

Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ply:
    """One layer of a laminate: what it resists alone, and how thick it is."""

    rigidity_unm: float
    thickness_mm: float


def loose_rigidity_unm(rigidities_unm: Sequence[float]) -> float:
    """Bending rigidity of layers that slide freely on one another: the sum of theirs. [uN.m]

    Assumes no friction, so it is the least a stack can have. Raises `FaultyInput` if there is no layer or one is not
    above zero.

    >>> loose_rigidity_unm([10, 4])
    14.0
    """
    refuse_empty(rigidities_unm)
    refuse_unless_positive({f"layers[{i}].rigidity_unm": b for i, b in enumerate(rigidities_unm)})
    return math.fsum(rigidities_unm)


def bonded_rigidity_unm(plies: Sequence[Ply]) -> float:
    r"""Bending rigidity of layers that cannot slide on one another, any number of them. [uN.m]

    .. math:: B = \sum_i E_i t_i \left(\frac{t_i^2}{12} + (z_i - \bar z)^2\right), \quad
              \bar z = \frac{\sum_i E_i t_i z_i}{\sum_i E_i t_i}, \quad E_i = \frac{12 B_i}{t_i^3}

    z is the height of a layer's middle, t its thickness, B its rigidity alone.

    Assumes each layer is an even solid, as stiff in stretch as in squeeze, and passes on all shear. Cloth is none of
    these: a soft core shears, so read it as a ceiling. The model's bias is known: Kim, Inui and Takatera (Text. Res.
    J. 2012; abstracts seen) found neutral axes of fused cloth away from this centroid, and better agreement with
    separate tensile and compressive moduli. A ruler test on a fused scrap beats it.

    Raises `FaultyInput` if there is no layer, or a rigidity or thickness is not above zero.

    >>> round(bonded_rigidity_unm([Ply(10, 0.3), Ply(10, 0.3)]), 9)
    80.0

    Follows from the parallel-axis theorem.
    """
    return held_rigidity_unm(plies, [1.0] * (len(plies) - 1))


def held_rigidity_unm(plies: Sequence[Ply], shares: Sequence[float]) -> float:
    r"""Bending rigidity of layers of which each is held to the one before by a share of bond, 0 to 1. [uN.m]

    0: the two slide freely; 1: they cannot slide. For two layers the share is what it says: B = loose + share (bonded -
    loose). For more, every joint is a spring against sliding whose strength gives that share to its two layers alone:

    .. math:: B = \sum_i B_i + h^T M^{-1} h, \quad h_j = \frac{t_j + t_{j+1}}{2}, \quad
              M_{jj} = \frac{a_j + a_{j+1}}{s_j}, \quad M_{j,j+1} = -a_{j+1}, \quad a_i = \frac{t_i^2}{12 B_i}

    (from least strain energy of the layers and joints, all under the same curvature). Shares of 0 and 1 give the sum
    and `bonded_rigidity_unm`; a larger share never makes the stack limper.

    Assumes what `bonded_rigidity_unm` does, and that a joint gives way alike all along the strip; near cut ends a real
    joint gives way more. Raises `FaultyInput` as that does, and for shares that are not one fewer than the layers.

    >>> round(held_rigidity_unm([Ply(10, 0.3), Ply(10, 0.3)], [0.25]), 9)
    35.0
    """
    refuse_empty(plies)
    refuse_unless_positive(
        {f"layers[{i}].rigidity_unm": ply.rigidity_unm for i, ply in enumerate(plies)}
        | {f"layers[{i}].thickness_mm": ply.thickness_mm for i, ply in enumerate(plies)}
    )
    if len(shares) != len(plies) - 1 or not all(0 <= share <= 1 for share in shares):
        raise FaultyInput([_share_problem(shares)])
    rigidities, thicknesses = np.array([(ply.rigidity_unm, ply.thickness_mm) for ply in plies], dtype=float).T
    return float(rigidity_of_layers(rigidities, thicknesses, np.array(shares, dtype=float)))


def rigidity_of_layers(rigidity: Numbers, thickness: Numbers, share: Numbers) -> Numbers:
    """The formula of `held_rigidity_unm` for many stacks at once: layers along the last axis, joints one fewer there.

    Nothing is checked. Solved joint by joint in the order of the stack (the matrix has three diagonals).
    """
    give = thickness**2 / (12 * rigidity)
    apart = (thickness[..., 1:] + thickness[..., :-1]) / 2
    total: Numbers = rigidity.sum(axis=-1)
    passed: Numbers | float = 0.0
    pull: Numbers | float = 0.0
    for j in range(apart.shape[-1]):
        pull = apart[..., j] + give[..., j] * passed * pull
        passed = share[..., j] / (give[..., j] * (1 - share[..., j] * give[..., j] * passed) + give[..., j + 1])
        total = total + passed * pull**2
    return total


def gain_of_bonded_pairs(rigidity: Numbers, thickness: Numbers) -> Numbers:
    """What each two neighbours would gain over sliding if they alone were bonded; layers along the last axis."""
    give = thickness**2 / (12 * rigidity)
    gain: Numbers = ((thickness[..., 1:] + thickness[..., :-1]) / 2) ** 2 / (give[..., 1:] + give[..., :-1])
    return gain


def _share_problem(shares: Sequence[float]) -> Problem:
    return Problem(
        place="shares",
        value=", ".join(f"{share:g}" for share in shares),
        what="cannot be the shares of bond of these layers",
        allowed="one number from 0 to 1 for each layer after the first",
        remedy="Give 0 where layers slide and 1 where they cannot.",
    )
