"""A cut line walked corner by corner: what strips laid along every side would give, where that is certain.

Claim. Take a simple counter-clockwise ring; lay outside each of its sides a strip of the side's own width, and into
each convex corner a wedge between the feet of its two strips. Where two strips meet in a hollow corner, trim both
along the line from the corner to the point where their outer sides meet. If

1. what is trimmed off one strip lies in what is left of the other, and
2. the outer ends of what is left, walked in order, make a simple counter-clockwise ring,

then that walk encloses the ring, its strips and its wedges, and nothing else.

Proof. By 1 nothing is lost by trimming. What is left fills the outside of every side and corner once, and nothing is
turned over; so with the inside of the ring it is a disc laid into the plane without folds, and its rim is the walk. A
disc laid without folds covers a point as often as its rim runs round it. A simple counter-clockwise rim runs round
each point inside once and round none outside, so the disc covers just what it encloses.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

MITRE_LIMIT = 3.0
"""A corner reaches at most this many times the wider allowance; sharper corners are cut off square there."""
STRAIGHT_RAD = 1e-9
"""Sides that turn by less run straight on; sides that are shorter, in mm, are none."""
_ROUNDING = 1e-12
_LEVEL_MM = 1e-9
_DIGITS = 8
"""Corners lie on the grid of the set operations."""


def walked_ring(corners: Floats, widths_mm: Floats) -> Floats | None:
    """Corners of the cut line round a simple counter-clockwise ring; `widths_mm[i]` lies outside the i-th side.

    None where condition 1 fails (narrow notches, sharp hollow corners, very unequal widths there), so that strips must
    be laid one by one. Condition 2 is for the caller to ask. Shapes: (n, 2) and (n,), n > 2.

    >>> walked_ring(np.array([[0.0, 0], [9, 0], [9, 4], [0, 4]]), np.array([1.0, 2, 0, 0])).tolist()
    [[0.0, -1.0], [11.0, -1.0], [11.0, 4.0], [0.0, 4.0]]
    """
    joints = _Joints.of(corners, widths_mm)
    if not joints.are_tidy():
        return None
    meetings, stepped = joints.meetings()
    walk = joints.at + meetings
    if stepped.any():
        walk = np.concatenate(
            [joints.step(i, meetings[i]) if stepped[i] else walk[i : i + 1] for i in range(len(walk))]
        )
    walk = np.round(walk, _DIGITS) + 0.0
    kept: Floats = walk[(walk != np.roll(walk, 1, axis=0)).any(axis=1)]
    return kept


@dataclass(frozen=True, slots=True)
class _Joints:
    """The corners of a ring: each with the side that starts there, the one `before` it, and the turn between them."""

    at: Floats
    length: Floats
    normal: Floats
    normal_before: Floats
    width: Floats
    width_before: Floats
    sin: Floats
    cos: Floats

    @classmethod
    def of(cls, corners: Floats, widths: Floats) -> _Joints:
        """Corners of the ring, sides of no length left out."""
        runs = np.roll(corners, -1, axis=0) - corners
        lengths = np.hypot(runs[:, 0], runs[:, 1])
        is_side = lengths > STRAIGHT_RAD
        if not is_side.all():
            return cls.of(corners[is_side], widths[is_side])
        normals = np.column_stack((runs[:, 1], -runs[:, 0])) / lengths[:, None]
        before = np.roll(normals, 1, axis=0)
        sin, cos = _cross(before, normals), (before * normals).sum(axis=1)
        return cls(corners, lengths, normals, before, widths, np.roll(widths, 1), sin, cos)

    def are_tidy(self) -> bool:
        """Whether condition 1 holds, and no side turns straight back."""
        if (self.cos < _ROUNDING - 1).any():
            return False
        is_hollow = self.sin < -STRAIGHT_RAD
        if not is_hollow.any():
            return True
        before, after, cos = self.width_before[is_hollow], self.width[is_hollow], self.cos[is_hollow]
        if (
            (cos < -_ROUNDING).any()
            or (before * cos > after + _LEVEL_MM).any()
            or (after * cos > before + _LEVEL_MM).any()
        ):
            return False
        return self._trims_fit(is_hollow)

    def _trims_fit(self, is_hollow: Flags) -> bool:
        """Whether what is trimmed off at hollow corners, foot and all, has room on the strips beside them."""
        before, after, cos = self.width_before, self.width, self.cos
        sin = np.where(is_hollow, -self.sin, 1.0)
        start = is_hollow * (before - after * cos) / sin
        end = np.roll(is_hollow * (after - before * cos) / sin, -1)
        # The far end of a strip is trimmed aslant: less of it where a foot stands lower.
        foot, share = is_hollow * before * sin, _share(before * cos, after)
        last_foot, last_share = np.roll(is_hollow * after * sin, -1), np.roll(_share(after * cos, before), -1)
        taken = np.stack((start + end, foot + end * share, last_foot + start * last_share))
        return bool((taken <= self.length).all())

    def meetings(self) -> tuple[Floats, Flags]:
        """Where outer sides of neighbouring strips meet, seen from their corner; and where the walk can't go there.

        It can't where they meet behind their wedge (very unequal widths at a blunt corner), too far out, or nowhere.
        """
        before, after, n1, n2 = self.width_before, self.width, self.normal_before, self.normal
        is_even, is_straight = before == after, np.abs(self.sin) <= STRAIGHT_RAD
        met = (n1 + n2) * (after / (1 + self.cos))[:, None]
        if not is_even.all():
            across = after[:, None] * n1 - before[:, None] * n2
            crossed = np.column_stack((-across[:, 1], across[:, 0])) / np.where(is_straight, 1.0, self.sin)[:, None]
            met = np.where(is_even[:, None], met, crossed)
        is_behind = ~is_even & (is_straight | (_cross(n1, met) < 0) | (_cross(n2, met) > 0))
        is_far = np.hypot(met[:, 0], met[:, 1]) > MITRE_LIMIT * np.maximum(before, after)
        return met, (self.sin >= -STRAIGHT_RAD) & (is_behind | is_far)

    def step(self, index: int, meeting: Floats) -> Floats:
        """The walk round a corner where it can't go to the meeting point: from foot to foot, or cut off square."""
        before, after = self.width_before[index], self.width[index]
        first, second = before * self.normal_before[index], after * self.normal[index]
        reach = np.hypot(*meeting)
        limit = MITRE_LIMIT * max(before, after)
        lies_between = _cross(self.normal_before[index], meeting) >= 0 >= _cross(self.normal[index], meeting)
        ends = np.stack((first, second))
        if self.sin[index] > STRAIGHT_RAD and lies_between:
            out = ends @ meeting / reach
            ends += ((limit - out) / (reach - out))[:, None] * (meeting - ends)
        moved: Floats = self.at[index] + ends
        return moved


def _cross(one: Floats, other: Floats) -> Floats:
    product: Floats = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return product


def _share(part: Floats, whole: Floats) -> Floats:
    """`part / whole`, from 0 to 1; 0 of nothing."""
    return np.clip(part / np.where(whole > 0, whole, np.inf), 0.0, 1.0)
