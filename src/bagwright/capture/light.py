"""Light itself from the numbers in a picture, and sampling it between pixels."""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.picture import Pixels

Floats = npt.NDArray[np.float64]
Floats32 = npt.NDArray[np.float32]
_MOST_ROWS: Final = 20_000


def _linear_table() -> Floats32:
    """IEC 61966-2-1 (sRGB): from the number stored to the share of full light."""
    stored = np.arange(256) / 255.0
    return np.where(stored <= 0.04045, stored / 12.92, ((stored + 0.055) / 1.055) ** 2.4).astype(np.float32)


LINEAR: Final = _linear_table()
# Two directions of colour at right angles to grey, and grey: of blue, green, red.
_OPPONENT: Final = np.array(
    [[0.0, -(0.5**0.5), 0.5**0.5], [2 / 6**0.5, -1 / 6**0.5, -1 / 6**0.5], [1 / 3, 1 / 3, 1 / 3]], dtype=np.float32
)


def opponent(pixels: Pixels) -> Floats32:
    """For each pixel two colour values, 0 for grey, and its brightness; all linear in light."""
    linear = cv2.LUT(pixels, LINEAR)
    return np.asarray(cv2.transform(linear, _OPPONENT), dtype=np.float32)


def as_opponent(light: Floats) -> Floats:
    """The same of any values of blue, green, red, stacked last."""
    return np.asarray(light @ _OPPONENT.T.astype(np.float64))


def from_opponent(values: Floats) -> Floats:
    """Blue, green, red again."""
    return np.asarray(values @ np.linalg.inv(_OPPONENT.astype(np.float64)).T)


def linear(stored: Floats) -> Floats:
    """Light of stored numbers, 0 to 255, in between too."""
    return np.interp(stored, np.arange(256), LINEAR)


def stored_of(light: Floats) -> Floats:
    """Stored numbers of light."""
    return np.interp(light, LINEAR, np.arange(256))


def light_of(stored: Pixels) -> Floats:
    """The same of whole numbers."""
    return np.asarray(LINEAR[stored], dtype=np.float64)


def stored_at(pixels: Pixels, at_px: Floats) -> Pixels:
    """What is stored at places between the pixels; `at_px` has shape (rows, columns, 2)."""
    parts = [
        cv2.remap(
            pixels,
            np.ascontiguousarray(part[..., 0], dtype=np.float32),
            np.ascontiguousarray(part[..., 1], dtype=np.float32),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for part in (at_px[i : i + _MOST_ROWS] for i in range(0, len(at_px), _MOST_ROWS))
    ]
    return np.asarray(np.concatenate(parts), dtype=np.uint8)


def median_of(pixels: Pixels, mask: npt.NDArray[np.bool_]) -> Floats:
    """The median of each channel of those pixels, counted by its 256 values; NaN if there are none."""
    held = mask.astype(np.uint8)
    many = int(np.count_nonzero(held))
    if not many:
        return np.full(pixels.shape[2], np.nan)
    counts = (cv2.calcHist([pixels], [i], held, [256], [0, 256]) for i in range(pixels.shape[2]))
    sums = (np.cumsum(np.asarray(one, dtype=np.float64)) for one in counts)
    return np.array([np.searchsorted(one, ((many - 1) // 2, many // 2), side="right").mean() for one in sums])


def crossings(profiles: Floats, offsets: Floats) -> Floats:
    """Where each profile rises through 0, nearest to offset 0; NaN where it does not. In the unit of `offsets`.

    >>> crossings(np.array([[-1.0, -1.0, 1.0], [1.0, 1.0, 1.0]]), np.array([-1.0, 0.0, 1.0]))
    array([0.5, nan])
    """
    below, above = profiles[:, :-1], profiles[:, 1:]
    rises = (below < 0) & (above >= 0)
    share = np.where(rises, below / np.where(rises, below - above, 1.0), 0.0)
    places = offsets[:-1] + share * np.diff(offsets)
    distance = np.where(rises, np.abs(places), np.inf)
    best = distance.argmin(axis=1)
    rows = np.arange(len(profiles))
    return np.where(np.isfinite(distance[rows, best]), places[rows, best], np.nan)
