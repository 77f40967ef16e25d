"""Layers held to one another by a share: limits, monotony, and the same from least energy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.body.laminate import (
    Ply,
    bonded_rigidity_unm,
    gain_of_bonded_pairs,
    held_rigidity_unm,
    loose_rigidity_unm,
    rigidity_of_layers,
)
from bagwright.errors import FaultyInput

PLIES = st.builds(Ply, st.floats(0.01, 5000), st.floats(0.05, 6))
SHARES = st.floats(0, 1)
A_LITTLE = 1 + 1e-9


def least_energy_rigidity_unm(plies: list[Ply], shares: list[float]) -> float:
    """Twice the least strain energy under unit curvature, over the strains of all layers' middles.

    A joint is a spring against the slip that the strains leave: as strong as gives two layers alone their share.
    """
    stretch = np.array([12 * ply.rigidity_unm / ply.thickness_mm**2 for ply in plies])
    count = len(plies)
    matrix, pull, rest = np.diag(stretch), np.zeros(count), sum(ply.rigidity_unm for ply in plies)
    for j, share in enumerate(shares):
        apart = (plies[j].thickness_mm + plies[j + 1].thickness_mm) / 2
        pair = stretch[j] * stretch[j + 1] / (stretch[j] + stretch[j + 1])
        spring = pair * share / (1 - share)
        slip = np.zeros(count)
        slip[j], slip[j + 1] = -1, 1
        matrix, pull, rest = (
            matrix + spring * np.outer(slip, slip),
            pull + spring * apart * slip,
            rest + spring * apart**2,
        )
    return float(rest - pull @ np.linalg.solve(matrix, pull))


@given(st.lists(st.tuples(PLIES, st.floats(0, 0.98)), min_size=1, max_size=6))
def test_held_agrees_with_least_energy(stack):
    plies, shares = [ply for ply, _ in stack], [share for _, share in stack[1:]]
    assert held_rigidity_unm(plies, shares) == pytest.approx(least_energy_rigidity_unm(plies, shares), rel=1e-6)


@given(PLIES, PLIES, SHARES)
def test_property_share_of_two_layers_is_what_it_says(one, other, share):
    loose, bonded = loose_rigidity_unm([one.rigidity_unm, other.rigidity_unm]), bonded_rigidity_unm([one, other])
    assert held_rigidity_unm([one, other], [share]) == pytest.approx(loose + share * (bonded - loose))


@given(st.lists(st.tuples(PLIES, SHARES), min_size=2, max_size=6), st.integers(0, 4), SHARES)
def test_property_more_bond_never_makes_it_limper(stack, at, share):
    plies, shares = [ply for ply, _ in stack], [share for _, share in stack[1:]]
    more = list(shares)
    more[at % len(more)] = max(share, more[at % len(more)])
    assert held_rigidity_unm(plies, more) >= held_rigidity_unm(plies, shares) / A_LITTLE
    assert held_rigidity_unm(plies, shares) >= loose_rigidity_unm([p.rigidity_unm for p in plies]) / A_LITTLE


@given(st.lists(PLIES, min_size=1, max_size=4), st.lists(PLIES, min_size=1, max_size=4))
def test_limit_of_a_joint_that_holds_nothing(outer, inner):
    shares = [1.0] * (len(outer) - 1) + [0.0] + [1.0] * (len(inner) - 1)
    apart = bonded_rigidity_unm(outer) + bonded_rigidity_unm(inner)
    assert held_rigidity_unm([*outer, *inner], shares) == pytest.approx(apart)


@given(st.lists(st.tuples(PLIES, SHARES), min_size=1, max_size=6))
def test_property_held_is_the_same_from_either_side(stack):
    plies, shares = [ply for ply, _ in stack], [share for _, share in stack[1:]]
    assert held_rigidity_unm(plies[::-1], shares[::-1]) == pytest.approx(held_rigidity_unm(plies, shares))


@given(st.lists(st.lists(st.tuples(PLIES, SHARES), min_size=3, max_size=3), min_size=1, max_size=5))
def test_many_stacks_at_once_agree_with_one_by_one(stacks):
    rigidity = np.array([[ply.rigidity_unm for ply, _ in stack] for stack in stacks])
    thickness = np.array([[ply.thickness_mm for ply, _ in stack] for stack in stacks])
    share = np.array([[share for _, share in stack[1:]] for stack in stacks])
    each = [held_rigidity_unm([ply for ply, _ in stack], [s for _, s in stack[1:]]) for stack in stacks]
    assert rigidity_of_layers(rigidity, thickness, share) == pytest.approx(each)


@given(PLIES, PLIES)
def test_gain_of_a_pair_agrees_with_the_laminate(one, other):
    rigidity, thickness = np.array([[p.rigidity_unm, p.thickness_mm] for p in (one, other)]).T
    loose = loose_rigidity_unm([one.rigidity_unm, other.rigidity_unm])
    assert gain_of_bonded_pairs(rigidity, thickness)[0] == pytest.approx(bonded_rigidity_unm([one, other]) - loose)


@pytest.mark.parametrize("shares", [[], [0.5, 0.5], [-0.1], [1.1], [float("nan")]])
def test_rejects_what_are_no_shares_of_these_layers(shares):
    with pytest.raises(FaultyInput) as refused:
        held_rigidity_unm([Ply(10, 0.3), Ply(10, 0.3)], shares)
    assert [problem.place for problem in refused.value.problems] == ["shares"]
