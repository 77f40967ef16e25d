"""Cards that could not be read, half covered by a scrap or a shadow, must not pass for scraps."""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np

from bagwright.capture.light import Floats
from bagwright.capture.picture import Pixels
from bagwright.capture.plane import Plane

_PX_PER_MM: Final = 2.0
_LEAST_CONTRAST: Final = 80.0
_SIDE_OFF: Final = 0.06
"""A side of the square may be read this much too long or short."""
_LEAST_OTHER_SIDE: Final = 0.25
_WHITE_AT_MM: Final = 4.0


def holds_a_card(pixels: Pixels, plane: Plane, outline_mm: Floats, side_mm: float) -> bool:
    """Whether within this outline lies the side of a card's black square, with white along it and a corner at it."""
    low = outline_mm.min(axis=0) - 2.0
    size = np.ceil((outline_mm.max(axis=0) + 2.0 - low) * _PX_PER_MM).astype(int)
    if min(size) < side_mm * _LEAST_OTHER_SIDE * _PX_PER_MM or max(size) < side_mm * _PX_PER_MM or max(size) > 4000:
        return False
    at = plane.to_px_all_over(low + 0.5 / _PX_PER_MM, (int(size[0]), int(size[1])), 1 / _PX_PER_MM)
    grey = np.asarray(cv2.cvtColor(cv2.remap(pixels, at[..., 0], at[..., 1], cv2.INTER_LINEAR), cv2.COLOR_BGR2GRAY))
    inside = np.zeros(grey.shape, np.uint8)
    cv2.fillPoly(inside, [((outline_mm - low) * _PX_PER_MM).round().astype(np.int32)], 255)
    within = grey[inside > 0]
    if not within.size or np.ptp(np.percentile(within, [5, 95])) < _LEAST_CONTRAST:
        return False
    threshold, _ = cv2.threshold(within.reshape(1, -1), 0, 255, cv2.THRESH_OTSU)
    black = ((grey < threshold) & (inside > 0)).astype(np.uint8)
    white = ((grey >= threshold) & (inside > 0)).astype(np.uint8)
    contours, _ = cv2.findContours(black, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return any(_has_side(np.asarray(contour), np.asarray(white), side_mm) for contour in contours)


def _has_side(contour: np.ndarray[tuple[int, ...], np.dtype[np.integer]], white: np.ndarray, side_mm: float) -> bool:
    """Whether a black shape has a straight side of that length with a right corner at it and white beyond it."""
    corners = np.asarray(cv2.approxPolyDP(contour, 1.2 * _PX_PER_MM, True), dtype=np.float64).reshape(-1, 2)
    if len(corners) < 3:
        return False
    ahead = np.roll(corners, -1, axis=0) - corners
    length = np.hypot(ahead[:, 0], ahead[:, 1]) / _PX_PER_MM
    turn = np.sign((corners[:, 0] * np.roll(corners[:, 1], -1) - np.roll(corners[:, 0], -1) * corners[:, 1]).sum())
    for i in np.nonzero(np.abs(length + 0.5 / _PX_PER_MM - side_mm) < _SIDE_OFF * side_mm)[0]:
        along = ahead[i] / np.hypot(*ahead[i])
        outward = turn * np.array([along[1], -along[0]])
        beside = [j for j in (i - 1, (i + 1) % len(corners)) if length[j] > _LEAST_OTHER_SIDE * side_mm]
        is_square = any(abs(float(ahead[j] @ along)) < 0.1 * length[j] * _PX_PER_MM for j in beside)
        share = np.linspace(0.05, 0.95, 19)[:, None]
        spots = (corners[i] + share * ahead[i] + outward * _WHITE_AT_MM * _PX_PER_MM).round().astype(int)
        x, y = spots[:, 0].clip(0, white.shape[1] - 1), spots[:, 1].clip(0, white.shape[0] - 1)
        if is_square and float(white[y, x].mean()) > 0.8:
            return True
    return False
