"""How much darker the ground is at the foot of edges, where what lies on it shades it: some scraps tell it for all.

A shadow no broader than the blur of an edge cannot be seen beside it. But it moves the places where colour and where
brightness are half way by unlike amounts (with a scrap brighter than the ground, to opposite sides), so the darkness by
which both agree is that of the shadow. Black scraps do not tell: both move alike there. One light shines on all of
them, though, so the shadow lies to the same side and is about as dark at every scrap.

Darkness beside an edge is taken for a + |d| + n d, with n the edge's normal: d points away from the light, none of it
is left on the lit side; a is that of shadow all round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import erf
from typing import Final

import numpy as np

from bagwright.capture.half_way import LUMA, Profiles, by_brightness, by_colour, far_apart_px, middle_of
from bagwright.capture.light import Floats, linear, stored_of

_EVERY: Final = 3
"""Neighbours tell the same: every so manieth point of an edge is looked at."""
_TRIED: Final = 0.35
"""By what happens at this darkness, that is reckoned at which colour and brightness agree."""
_MOST_MOVED_PX: Final = 6.0
_MOST_TURN: Final = 0.5
"""At corners, which turn by more over six points, no edge is seen by itself."""
_STRAY: Final = 1.5
_LIKE_NEIGHBOURS: Final = 2.0
_OWN_DOUBT_PX: Final = 0.25
"""How far prints hold colour and brightness apart on one side more than on the other. From rendered pictures."""
_APART: Final = 0.03
"""How far the darkness at single scraps differs from that of all, for they are not of one thickness."""
_USUAL: Final = 0.15
"""How dark shadows are where no scrap tells: 0, give or take so much."""
_DARKEST: Final = 0.6
_FOOT_PX: Final = 1.8
_FOOT_STEP: Final = 0.83
"""Ground is looked at for shadow beyond the blur of an edge, and so much farther off."""
_OF_BLUR: Final = 0.06
"""So much of that may be the blur of the edge itself."""
_ROUNDS: Final = 4


@dataclass(frozen=True, slots=True)
class Shadow:
    """What an edge tells of the shadow beside it: `weight` (2, 2) and `weight @ d`, `pull`; `all_round`, a."""

    weight: Floats
    pull: Floats
    all_round: float


NO_SHADOW: Final = Shadow(np.zeros((2, 2)), np.zeros(2), 0.0)


def shadow_told(seen: Profiles, sides: tuple[Floats, Floats], normal: Floats) -> Shadow:
    """What the profiles across an edge tell, with what is stored on either side of it and its normals."""
    turn = np.hypot(*(np.roll(normal, -3, axis=0) - np.roll(normal, 3, axis=0)).T)
    some = seen.at(slice(None, None, _EVERY))
    within, beyond, way, turn = (one[::_EVERY] for one in (*sides, normal, turn))
    colour = by_colour(some, (within, beyond))
    apart = by_brightness(some, (within, beyond)) - colour
    darker = within, darkened(beyond, np.full(len(beyond), _TRIED))
    then = by_brightness(some, darker) - by_colour(some, darker)
    moved = (then - apart) / _TRIED
    most = far_apart_px(seen)
    tells = (np.abs(apart) < most) & (np.abs(then) < 1.7 * most) & (np.abs(moved) < _MOST_MOVED_PX * most / 1.5)
    tells &= turn < _MOST_TURN
    weight, pull = _solved(way[tells] * 1.0, moved[tells], apart[tells], _OWN_DOUBT_PX * most / 1.5)
    return Shadow(weight, pull, _all_round(some, (within, beyond), (colour, way)))


def _solved(way: Floats, moved: Floats, apart: Floats, doubt_px: float) -> tuple[Floats, Floats]:
    """Weight and pull of d, from moved (a + n d) = -apart at each point, strays left out (Huber 1964, from memory)."""
    if len(apart) < 10:
        return np.zeros((2, 2)), np.zeros(2)
    slopes = moved[:, None] * np.column_stack([np.ones(len(way)), way])
    held, counts, scale = 1e-3 * np.eye(3), np.ones(len(way)), 1.0
    for _ in range(_ROUNDS):
        found = np.linalg.solve((slopes.T * counts) @ slopes + held, -(slopes.T * counts) @ apart)
        left = np.abs(apart + slopes @ found)
        scale = max(1.4826 * float(np.median(left)), 0.05)
        counts = np.minimum(1.0, _STRAY * scale / np.maximum(left, 1e-9))
    variance = _LIKE_NEIGHBOURS * scale**2 + doubt_px**2 * len(way)
    normal, right = (slopes.T * counts) @ slopes / variance, -(slopes.T * counts) @ apart / variance
    # What shadow all round would explain is no sign of a side.
    along = normal[1:, 0] / (normal[0, 0] + 1e-9)
    return np.asarray(normal[1:, 1:] - np.outer(along, normal[0, 1:])), np.asarray(right[1:] - along * right[0])


def _all_round(seen: Profiles, sides: tuple[Floats, Floats], edge: tuple[Floats, Floats]) -> float:
    """How much darker the ground is at the foot of an edge on its brightest side, from that a little farther off.

    Shadow falls off by a like share with each step, so two places on the ground tell it at the foot.
    """
    at, way = edge
    near = max(_FOOT_PX, seen.lens_width_px)
    own, far = (linear(side @ LUMA) for side in sides)
    # What the lens adds of the scrap there: of a soft edge it is taken off, of others cameras sharpen it away.
    lens = (1 - erf(near / np.sqrt(2 * seen.lens_px2))) / 2 if seen.is_soft else 0.0
    one = (_about(seen, at + near) - lens * own) / ((1 - lens) * np.maximum(far, 1e-4))
    two = _about(seen, at + near * (1 + _FOOT_STEP)) / np.maximum(far, 1e-4)
    one, two = (middle_of(side.clip(0.2, 1.2)) for side in (one, two))
    dark = 1 - one * (one / two) ** (1 / _FOOT_STEP)
    good = np.isfinite(dark)
    if good.sum() < 10:
        return 0.0
    mean, x, y = np.linalg.lstsq(np.column_stack([np.ones(good.sum()), way[good]]), dark[good], rcond=None)[0]
    return float(np.clip(mean - np.hypot(x, y) - _OF_BLUR, 0.0, _DARKEST))


def _about(seen: Profiles, at: Floats) -> Floats:
    """The mean of the light of three brightnesses about a place on each profile."""
    first, step = seen.offsets[0], seen.offsets[1] - seen.offsets[0]
    index = np.rint((np.nan_to_num(at) - first) / step).astype(np.intp).clip(1, len(seen.offsets) - 2)
    around = index[:, None] + np.arange(-1, 2)
    light = linear(np.take_along_axis(seen.bright, around, axis=1)).mean(axis=1)
    return np.where(np.isfinite(at), light, np.nan)


def agreed(told: Sequence[Shadow]) -> list[Shadow]:
    """What each edge tells, helped by what all of them together do: `pull` is then d itself, `weight` that of it."""
    held = np.eye(2) / _USUAL**2
    total, right = held.copy(), np.zeros(2)
    for one in told:
        # As a mean of scraps that differ by `_APART`: (weight^-1 + apart)^-1, written so that no weight is no harm.
        share = np.linalg.inv(np.eye(2) + _APART**2 * one.weight)
        total += share @ one.weight
        right += share @ one.pull
    usual, near = np.linalg.solve(total, right), np.eye(2) / _APART**2
    return [
        replace(
            one,
            weight=one.weight + near,
            pull=np.asarray(np.linalg.solve(one.weight + near, one.pull + near @ usual), dtype=np.float64),
        )
        for one in told
    ]


def darkness(shadow: Shadow, normal: Floats) -> Floats:
    """By how much of its light the ground at the foot of an edge is darker, of one that was agreed on."""
    beside = shadow.all_round + np.hypot(*shadow.pull) + normal @ shadow.pull
    return np.asarray(np.clip(beside, 0.0, _DARKEST))


def darkened(stored: Floats, dark: Floats) -> Floats:
    """What is stored of the same places, darker by a share of their light."""
    return stored_of(linear(stored) * (1 - dark)[:, None])
