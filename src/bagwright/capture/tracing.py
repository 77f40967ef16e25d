"""The edges of what lies on the ground: traced on a small copy of the picture, then found to a part of a pixel."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np

from bagwright.capture.ground import Ground, Mask, hue_of, likeness
from bagwright.capture.half_way import LUMA, SOFT_REACH, Profiles, blurred, half_way, middle_of
from bagwright.capture.light import (
    Floats,
    as_opponent,
    crossings,
    from_opponent,
    light_of,
    linear,
    stored_at,
    stored_of,
)
from bagwright.capture.picture import Pixels
from bagwright.capture.shading import NO_SHADOW, Shadow, darkened, darkness, shadow_told

_STEP_PX: Final = 2.5
_NEAR_PX: Final = 3.5
_SMOOTHED: Final = 2.0
"""How many steps along an edge its points are smoothed over, about."""
_OFF_PX: Final = 0.5
"""An edge farther off the line is looked at again about where it was found: hue finds black scraps too small."""
_ROUNDS: Final = 2
_FURTHEST_PX: Final = 9.0
LEAST_CONTRAST: Final = 0.3


@dataclass(frozen=True, slots=True)
class Traced:
    """One closed edge in pixels of the picture.

    `noise_px`: how far single points scatter; `contrast`: of colour, 1 for white or black on the ground; `faintest`:
    that which nine in ten points exceed; `seen`: share of points at which an edge was seen; `width_px`: over how much
    its colour changes from a fifth to four fifths; `bend_px`: how far it would move if it were smoothed as much again.
    """

    at_px: Floats
    noise_px: float
    contrast: float
    faintest: float
    seen: float
    width_px: float
    bend_px: float


def rings_of(mask: Mask, low: tuple[int, int], shrink: float, least_px2: float) -> list[tuple[Floats, list[Floats]]]:
    """Outer edge and holes of each part of a mask that begins at `low`, in pixels of the picture.

    Holes of less than `least_px2` are left out.
    """
    found, tree = cv2.findContours(mask.astype(np.uint8), cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE, offset=low)
    rings = [(np.asarray(one, dtype=np.float64).reshape(-1, 2) + 0.5) * shrink - 0.5 for one in found]
    parts = []
    for index, (_, _, child, parent) in enumerate(np.asarray(tree).reshape(-1, 4)):
        if parent >= 0 or len(rings[index]) < 8:
            continue
        holes, at = [], child
        while at >= 0:
            if len(rings[at]) >= 8 and cv2.contourArea(rings[at].astype(np.float32)) > least_px2:
                holes.append(rings[at])
            at = np.asarray(tree).reshape(-1, 4)[at][0]
        parts.append((rings[index], holes))
    return parts


@dataclass(frozen=True, slots=True)
class Edge:
    """A line near an edge, as points and normals, and what is stored at `offsets` beyond each (points, offsets, 3).

    `within`, `beyond`: what is stored on either side, (points, 3); `told`: of the shadow beside it.
    """

    near: Floats
    normal: Floats
    stored: Pixels
    offsets: Floats
    within: Floats
    beyond: Floats
    told: Shadow

    def seen(self) -> Profiles:
        """What lies across it, for reckoning: it takes too much room to be kept for all edges."""
        stored = self.stored.astype(np.float64)
        usual = _usual_step(stored, (self.within, self.beyond), self.offsets)
        return Profiles(stored, light_of(self.stored), stored @ LUMA, self.offsets, *usual)


def edge_near(pixels: Pixels, ground: Ground, ring: Floats, *, is_hole: bool) -> Edge:
    """An edge, from a ring that lies within about a pixel of the small copy.

    Twice: from afar to find it, then from near, so that prints and shadows farther off have no say.
    """
    even = _evened(ring, sigma_px=1.5 * ground.shrink)
    normal = _outward(even, is_hole=is_hole)
    found = _by_hue(pixels, ground, (even, normal), 2.0 * ground.shrink + 3.0)
    reach = _NEAR_PX
    for rounds_left in range(_ROUNDS, -1, -1):
        even = _evened(even + _settled(found)[0][:, None] * normal, sigma_px=1.5)
        normal = _outward(even, is_hole=is_hole)
        edge = _across(pixels, ground, (even, normal), reach)
        seen = edge.seen()
        if not rounds_left or not (seen.is_soft or abs(seen.middle_px) > _OFF_PX):
            break
        found = _half_way(edge, seen, edge.beyond)
        reach = min(SOFT_REACH * seen.width_px, _FURTHEST_PX) if seen.is_soft else _NEAR_PX
    if np.median(_contrast(edge.within, edge.beyond)) < LEAST_CONTRAST:
        return edge
    return replace(edge, told=shadow_told(seen, (edge.within, edge.beyond), normal))


def traced(edge: Edge, shadow: Shadow) -> Traced:
    """The edge to a part of a pixel, with the shadow beside it as it was agreed on."""
    seen = edge.seen()
    found = _half_way(edge, seen, darkened(edge.beyond, darkness(shadow, edge.normal)))
    settled, noise = _settled(found)
    faintest, contrast = np.quantile(_contrast(edge.within, edge.beyond), (0.1, 0.5))
    at_px = edge.near + settled[:, None] * edge.normal
    bend = float(np.sqrt(np.square(at_px - blurred(at_px, _SMOOTHED)).sum(axis=1).mean()))
    seen_share = float(np.isfinite(found).mean())
    return Traced(at_px, noise, float(contrast), float(faintest), seen_share, seen.width_px, bend)


def _by_hue(pixels: Pixels, ground: Ground, line: tuple[Floats, Floats], reach: float) -> Floats:
    """About how far beyond each point the hue is half way to that of the ground: no shadow changes that."""
    even, normal = line
    offsets = np.arange(-reach, reach + 0.01, 0.5)
    stored = stored_at(pixels, even[:, None, :] + offsets[None, :, None] * normal[:, None, :])
    own = np.asarray(hue_of(ground.local_at(even + reach * normal)), dtype=np.float64)[:, :, None]
    off = hue_of(as_opponent(light_of(stored))) - own
    like = 1 - np.hypot(*off) / np.maximum(np.hypot(*own), 1e-3)
    like[:, 1:-1] = (like[:, :-2] + 2 * like[:, 1:-1] + like[:, 2:]) / 4
    half = (1 + like[:, :4].mean(axis=1)) / 2  # of prints that hold the ground's colour nearer to 1
    return crossings(like - np.clip(half, 0.5, 0.95)[:, None], offsets)


def _across(pixels: Pixels, ground: Ground, line: tuple[Floats, Floats], reach: float) -> Edge:
    """What is stored across a line (points, normals) and on either side of it."""
    even, normal = line
    offsets = np.arange(-reach - 2, reach + 2.01, 0.5)
    stored = stored_at(pixels, even[:, None, :] + offsets[None, :, None] * normal[:, None, :])
    within = stored[:, :5].mean(axis=1)
    beyond = _ground_beyond(stored[:, -5:].mean(axis=1), ground.local_at(even + reach * normal))
    return Edge(even, normal, stored, offsets, within, beyond, NO_SHADOW)


def _half_way(edge: Edge, seen: Profiles, beyond: Floats) -> Floats:
    """How far beyond each point of the line the edge lies; NaN where it is too faint."""
    is_faint = _contrast(edge.within, edge.beyond) < LEAST_CONTRAST / 2
    return np.where(is_faint, np.nan, half_way(seen, edge.within, beyond))


def _usual_step(stored: Floats, sides: tuple[Floats, Floats], offsets: Floats) -> tuple[float, float]:
    """Where what is stored is half way, and over how many pixels it changes from a fifth to four fifths: usually."""
    span = sides[1] - sides[0]
    share = ((stored - sides[0][:, None, :]) @ span[:, :, None])[..., 0]
    usual = np.maximum.accumulate(np.median(share / np.maximum((span * span).sum(axis=1), 1e-9)[:, None], axis=0))
    first, middle, last = np.interp((0.2, 0.5, 0.8), usual, offsets)
    return float(middle), float(last - first)


def _contrast(within: Floats, beyond: Floats) -> Floats:
    """How far the colours on either side lie apart, 1 for white or black on the ground."""
    one, other = as_opponent(linear(within)), as_opponent(linear(beyond))
    return np.asarray(np.hypot(*(one - other)[:, :2].T) / np.maximum(np.hypot(other[:, 0], other[:, 1]), 1e-3))


def _ground_beyond(seen: Floats, local: Floats) -> Floats:
    """What lies beyond the edge: as seen if that is ground, else the ground round about."""
    along, across = likeness(hue_of(as_opponent(linear(seen))), hue_of(local))
    return np.where(((along > 0.6) & (across < 0.4))[:, None], seen, stored_of(from_opponent(local)))


def _evened(ring: Floats, sigma_px: float) -> Floats:
    """Points at even steps on a ring whose stairs are smoothed away."""
    step = float(np.hypot(*(np.roll(ring, -1, axis=0) - ring).T).mean())
    smooth = blurred(ring, max(sigma_px / max(step, 1e-6), 0.3))
    closed = np.concatenate([smooth, smooth[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.linspace(0, along[-1], max(12, round(along[-1] / _STEP_PX)), endpoint=False)
    return np.stack([np.interp(at, along, closed[:, 0]), np.interp(at, along, closed[:, 1])], axis=1)


def _outward(ring: Floats, *, is_hole: bool) -> Floats:
    """Unit normals that point from the scrap to the ground."""
    along = np.roll(ring, -2, axis=0) - np.roll(ring, 2, axis=0)
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1)
    normal /= np.maximum(np.hypot(normal[:, 0], normal[:, 1]), 1e-9)[:, None]
    x, y = ring.T
    turn = np.sign((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    return np.asarray(normal * turn * (-1 if is_hole else 1))


def _settled(found: Floats) -> tuple[Floats, float]:
    """Offsets without strays and gaps, and how far the raw ones scatter about them."""
    good = np.isfinite(found)
    if good.sum() < 4:
        return np.zeros_like(found), np.inf
    index = np.arange(len(found))
    filled = np.interp(index, index[good], found[good], period=len(found))
    settled = blurred(middle_of(filled), 1.0)
    return settled, float(1.4826 * np.median(np.abs(found[good] - settled[good])))
