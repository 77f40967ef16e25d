"""Where along profiles across an edge scrap and ground are half way: by colour, by brightness, in its own shadow."""

from __future__ import annotations

from dataclasses import dataclass
from math import erf
from typing import Final

import numpy as np

from bagwright.capture.light import Floats, as_opponent, crossings, linear, stored_of

_WEIGHTS: Final = np.array([1.0, 1.0, 0.1])
# ITU-R BT.601, as JPEG has it: brightness of blue, green, red.
LUMA: Final = np.array([0.114, 0.587, 0.299])
_COLOUR: Final = np.square(_WEIGHTS) * as_opponent(np.eye(3)) @ as_opponent(np.eye(3)).T
"""The measure of colour by which brightness is nearly left out."""
_SAMPLED_BLEND_PX2: Final = 1 / 6
"""Variance of the blur of sampling between pixels, f (1 - f) at a share f of the way, in the mean."""
_COLOUR_BLEND_PX2: Final = 1 / 3 + 2 / 3 + _SAMPLED_BLEND_PX2
"""The same of colour: the mean of two pixels (2^2 / 12), spread over them again by a triangle (2^2 / 6), sampled."""
_SHARPEST_PX2: Final = 0.8
"""No lens and sensor of one colour to the pixel is sharper; from rendered pictures."""
_RISE_SIGMAS: Final = 1.683
"""From a fifth to four fifths of the way in a blurred step, in standard deviations of the blur."""
SOFT_PX: Final = 3.4
"""A wider edge is looked at again about where it was found, from farther off: both its sides are blurred till there."""
SOFT_REACH: Final = 1.3
"""How many widths off the middle of an edge its blur ends, about."""
_FOOT_PX: Final = 1.8
_FOOT_STEP: Final = 0.83
"""Ground is looked at for the scrap's shadow beyond the blur of its edge, and so much farther off."""
_FOOT_SMOOTHED: Final = 3.0
"""Steps along the edge over which its shadow is evened, about: the weave of the ground has no say then."""
_DARKEST_FOOT: Final = 0.3


@dataclass(frozen=True, slots=True)
class Profiles:
    """What is stored, its light and its brightness at `offsets` beyond each point of a line; the width of the edge.

    (points, offsets, 3), but brightness, (points, offsets).
    """

    stored: Floats
    light: Floats
    bright: Floats
    offsets: Floats
    width_px: float

    @property
    def variance_px2(self) -> float:
        """Of the whole blur of the edge."""
        return max((self.width_px / _RISE_SIGMAS) ** 2, 1e-3)

    @property
    def lens_px2(self) -> float:
        """That of the lens, and of brightness, which files keep as it was."""
        return max(self.variance_px2 - _COLOUR_BLEND_PX2, _SHARPEST_PX2)

    @property
    def lens_width_px(self) -> float:
        """The width of the edge in brightness."""
        return float(_RISE_SIGMAS * self.lens_px2**0.5)


def half_way(seen: Profiles, within: Floats, beyond: Floats) -> Floats:
    """Where colour is half way, or brightness where that tells more sharply."""
    found, sharper = _by_colour(seen, (within, beyond)), _by_brightness(seen, (within, beyond))
    return np.where(np.abs(sharper - found) < 1.5, sharper, found)


def in_own_shadow(seen: Profiles, sides: tuple[Floats, Floats], edge: Floats) -> Floats:
    """What is stored of the ground at the foot of an edge, where a thick scrap shades it, from that a little off.

    A scrap darkens the ground along its edges, most at their foot. Half way to the brighter ground farther off lies
    out in that shadow: a dark scrap would grow by up to a pixel on its shaded sides. How much darker it is at the foot
    follows from two places on the ground, as shadow falls off by a like share with each step.
    """
    near = max(_FOOT_PX, seen.lens_width_px)
    own, far = (linear(side @ LUMA) for side in sides)
    # What the lens adds of the scrap there: of a soft edge it is taken off, of others cameras sharpen it away.
    lens = (1 - erf(near / np.sqrt(2 * seen.lens_px2))) / 2 if seen.width_px > SOFT_PX else 0.0
    one = (_about(seen, edge + near) - lens * own) / ((1 - lens) * np.maximum(far, 1e-4))
    two = _about(seen, edge + near * (1 + _FOOT_STEP)) / np.maximum(far, 1e-4)
    one, two = (blurred(middle_of(side.clip(0.2, 1.2)), _FOOT_SMOOTHED) for side in (one, two))
    share = (one * (one / two) ** (1 / _FOOT_STEP)).clip(_DARKEST_FOOT, 1.0)
    return stored_of(linear(sides[1]) * share[:, None])


def _about(seen: Profiles, at: Floats) -> Floats:
    """The mean of the light of three brightnesses about a place on each profile."""
    first, step = seen.offsets[0], seen.offsets[1] - seen.offsets[0]
    index = np.rint((at - first) / step).astype(np.intp).clip(1, len(seen.offsets) - 2)
    around = index[:, None] + np.arange(-1, 2)
    return np.asarray(linear(np.take_along_axis(seen.bright, around, axis=1)).mean(axis=1))


def _by_colour(seen: Profiles, sides: tuple[Floats, Floats]) -> Floats:
    """Where colour is half way, brightness nearly left out, for shadows lie along edges.

    The lens blends light, the file blends the colours stored (JPEG keeps one colour for four pixels). Half way in light
    lies to one side by the file's share in the blur, half way in what is stored lies to the other by the lens's, as
    variances of blurs add up: so each counts by the other's share, that of the file by half at most.
    """
    by_file = min(0.5, _COLOUR_BLEND_PX2 / seen.variance_px2)
    found = []
    for look, lines in ((linear, seen.light), (np.asarray, seen.stored)):
        within, beyond = (look(one) for one in sides)
        span = beyond - within
        way = span @ _COLOUR
        size2 = np.maximum((span * way).sum(axis=1), 1e-9)
        share = ((lines - within[:, None, :]) @ way[:, :, None])[..., 0] / size2[:, None]
        share[:, 1:-1] = (share[:, :-2] + 2 * share[:, 1:-1] + share[:, 2:]) / 4
        found.append(crossings(share - 0.5, seen.offsets))
    return np.asarray((1 - by_file) * found[0] + by_file * found[1])


def _by_brightness(seen: Profiles, sides: tuple[Floats, Floats]) -> Floats:
    """Where brightness is half way, which files keep sharper than colour; NaN where it does not tell.

    Half way in light, but for what sampling between pixels blends of what is stored.
    """
    bright = seen.bright
    by_file = _SAMPLED_BLEND_PX2 / seen.lens_px2
    within, beyond, half = (one @ LUMA for one in (*sides, stored_of((linear(sides[0]) + linear(sides[1])) / 2)))
    half = (1 - by_file) * half + by_file * (within + beyond) / 2
    rise = beyond - within
    clear = bright.shape[1] // 2 - max(5, round(SOFT_REACH * seen.lens_width_px / 0.5))
    uneven = bright[:, : max(clear, 3)].std(axis=1)
    found = crossings((bright - half[:, None]) * np.sign(rise)[:, None], seen.offsets)
    return np.where((np.abs(rise) > 25.0) & (uneven < 0.15 * np.abs(rise)), found, np.nan)


def blurred(values: Floats, sigma: float) -> Floats:
    """Smoothed round the ring, `sigma` in points; `values` is (n,) or (n, k)."""
    half = min(int(3 * sigma) + 1, (len(values) - 1) // 2)
    kernel = np.exp(-0.5 * (np.arange(-half, half + 1) / sigma) ** 2)
    kernel /= kernel.sum()
    wide = np.concatenate([values[-half:], values, values[:half]]) if half else values
    if values.ndim == 1:
        return np.convolve(wide, kernel, mode="valid")
    return np.stack([np.convolve(column, kernel, mode="valid") for column in wide.T], axis=1)


def middle_of(values: Floats) -> Floats:
    """The median of each value and the two on either side of it round the ring."""
    wide = np.concatenate([values[-2:], values, values[:2]])
    return np.asarray(np.median(np.stack([wide[i : len(wide) - 4 + i] for i in range(5)]), axis=0))
