"""Where along profiles across an edge scrap and ground are half way: by colour, by brightness, in its own shadow."""

from __future__ import annotations

from dataclasses import dataclass
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
_FAR_APART: Final = 1.5
_USUAL_PX: Final = 2.4
"""The width of a usual edge; of wider ones colour and brightness may lie farther apart."""
SOFT_REACH: Final = 1.3
"""How many widths off the middle of an edge its blur ends, about."""
_CLEAR_RISE: Final = 50.0
"""A step in brightness by so much tells its place as well as colour does: weave and shadow move it by less the higher
it is. From rendered pictures."""


@dataclass(frozen=True, slots=True)
class Profiles:
    """What is stored, its light and its brightness at `offsets` beyond each point of a line; where most is half way.

    (points, offsets, 3), but brightness, (points, offsets).
    """

    stored: Floats
    light: Floats
    bright: Floats
    offsets: Floats
    middle_px: float
    width_px: float

    def at(self, points: slice) -> Profiles:
        """Those of some of the points."""
        lines = self.stored[points], self.light[points], self.bright[points]
        return Profiles(*lines, self.offsets, self.middle_px, self.width_px)

    @property
    def is_soft(self) -> bool:
        """Whether the edge is wider than lens and sensor make it."""
        return self.width_px > SOFT_PX

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
    """Where colour is half way, and brightness, which counts by how clear its step is."""
    colour, bright = by_colour(seen, (within, beyond)), by_brightness(seen, (within, beyond))
    rise2 = np.square((beyond - within) @ LUMA)
    both = colour + rise2 / (rise2 + _CLEAR_RISE**2) * (bright - colour)
    return np.where(np.abs(bright - colour) < far_apart_px(seen), both, colour)


def far_apart_px(seen: Profiles) -> float:
    """Colour and brightness that are half way farther apart than this do not tell of one edge."""
    return _FAR_APART * max(1.0, seen.width_px / _USUAL_PX)


def by_colour(seen: Profiles, sides: tuple[Floats, Floats]) -> Floats:
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


def by_brightness(seen: Profiles, sides: tuple[Floats, Floats]) -> Floats:
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
