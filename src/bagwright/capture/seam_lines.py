"""Straight lines across a scrap along which the ground may show between two of them."""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.light import Floats
from bagwright.capture.seam_evidence import Flat

_ANGLE_DEG: Final = 2.0
_MOST_PLACES: Final = 4_000
_LEAST_ALONG_PX: Final = 30.0
_MOST_LINES_OF_GROUND: Final = 5


def lines_of_ground(flat: Flat) -> list[tuple[Floats, Floats]]:
    """Straight lines along which the scrap looks more like the ground than about them: a place in mm and a direction.

    By the transform of Hough (1962, from memory), weighted.
    """
    likeness = _more_like_ground(flat)
    y, x = np.nonzero(likeness > 0)
    strongest = np.argsort(-likeness[y, x])[:_MOST_PLACES]
    y, x = y[strongest], x[strongest]
    angles = np.radians(np.arange(0, 180, _ANGLE_DEG))
    reach = int(np.hypot(*likeness.shape)) + 2
    found = _votes(angles, (x, y), np.asarray(likeness[y, x], dtype=np.float64), reach)
    rows, columns = np.nonzero(flat.inside[::3, ::3])
    along = _votes(angles, (3 * columns, 3 * rows), None, reach)
    along *= 9.0  # every third pixel either way stands for nine
    found = np.where(along > _LEAST_ALONG_PX, found / np.sqrt(np.maximum(along, 1.0)), 0.0)
    lines = []
    for _ in range(_MOST_LINES_OF_GROUND):
        angle, far = (int(i) for i in np.unravel_index(int(found.argmax()), found.shape))
        if found[angle, far] <= 0:
            break
        across = np.array([np.cos(angles[angle]), np.sin(angles[angle])])
        lines.append((flat.mm_of((far - reach) * across), np.array([-across[1], across[0]])))
        _cleared(found, angle, far, round(3.0 * flat.px_per_mm))
    return lines


def _more_like_ground(flat: Flat) -> npt.NDArray[np.float32]:
    """By how much each pixel is nearer to the ground's colour than those within 2 mm; 0 for most of them."""
    size = (2 * round(2.0 * flat.px_per_mm) + 1,) * 2
    weight = flat.inside.astype(np.float32)
    count = np.maximum(np.asarray(cv2.boxFilter(weight, -1, size), dtype=np.float32), 1e-3)
    along, far2 = np.zeros_like(count), np.zeros_like(count)
    for colour, ground in zip(cv2.split(flat.colours), flat.ground.astype(np.float32), strict=True):
        mean = np.asarray(cv2.boxFilter(colour * weight, -1, size), dtype=np.float32) / count
        way = ground - mean
        along += (colour - mean) * way
        far2 += way * way
    likeness = along / np.maximum(np.sqrt(far2), 10.0) * weight
    usual = float(np.quantile(likeness[flat.inside > 0], 0.8)) if flat.inside.any() else 0.0
    return np.asarray((likeness - max(usual, 1.0)).clip(0, 40), dtype=np.float32)


def _votes(angles: Floats, at: tuple[npt.NDArray[np.intp], ...], weights: Floats | None, reach: int) -> Floats:
    """What lies on each line, by angle, then by distance from the first pixel plus `reach`; weighs 1 if not told."""
    x, y = (one.astype(np.float32) for one in at)
    votes = np.zeros((len(angles), 2 * reach + 1))
    for row, angle in zip(votes, angles.astype(np.float32), strict=True):
        far = np.rint(x * np.cos(angle) + y * np.sin(angle)).astype(np.intp) + reach
        row += np.bincount(far, weights, minlength=2 * reach + 1)
    return np.asarray((np.roll(votes, 1, axis=1) + votes + np.roll(votes, -1, axis=1)) / 3)


def _cleared(found: Floats, angle: int, far: int, width: int) -> None:
    """Take away a line and those that nearly are it."""
    turns = round(8 / _ANGLE_DEG)
    for i in range(angle - turns, angle + turns + 1):
        middle = far if 0 <= i < len(found) else found.shape[1] - 1 - far
        found[i % len(found), max(0, middle - 2 * width) : middle + 2 * width + 1] = 0.0
