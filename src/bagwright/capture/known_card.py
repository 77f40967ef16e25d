"""A check of the scale that no printer had a hand in: a plastic card of a published size, lying among the scraps.

ISO/IEC 7810, size ID-1: 85.60 x 53.98 mm, 0.76 mm thick, corners rounded to a radius of 3.18 mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.camera import brought_down
from bagwright.capture.picture import refused_picture
from bagwright.model.found_outline import FoundOutline, FoundOutlines, ScaleCheck

LENGTH_MM: Final = 85.60
HEIGHT_MM: Final = 53.98
RADIUS_MM: Final = 3.18
THICKNESS_MM: Final = 0.76
_AREA_MM2: Final = LENGTH_MM * HEIGHT_MM - (4 - np.pi) * RADIUS_MM**2
_SIZES: Final = (0.7, 1.4)
"""What is larger or smaller than this, by the cards, is something else."""
_OFF_MM: Final = (0.3, 0.8)
"""So far may an edge lie from that of such a card: half of all points, and nineteen in twenty."""
_CORNER_GAP: Final = (0.45, 1.7)
"""How far the edge stays from the corners of a sharp rectangle, in what a radius of 3.18 mm makes of it."""
_LEAST_DOUBT: Final = 0.002
Floats = npt.NDArray[np.float64]


def checked_scale(found: FoundOutlines, *, are_sharpened: bool = False) -> FoundOutlines:
    """With the plastic card among the outlines taken out and told as `check`; `are_sharpened`: as of paper templates.

    Raises `FaultyInput` if none of them, or more than one, has its shape.
    """
    down = {
        one.number: brought_down(one, found.camera, THICKNESS_MM, place="photo")
        for one in found.outlines
        if _SIZES[0] < _size(one) < _SIZES[1]
    }
    sizes = {n: size for n, one in down.items() if (size := size_as_card(one, is_sharpened=are_sharpened))}
    if len(sizes) != 1:
        raise _none_or_many(len(sizes))
    ((number, size),) = sizes.items()
    others = [one for one in found.outlines if one.number != number]
    check = ScaleCheck(
        length_mm=round(LENGTH_MM * size, 2),
        height_mm=round(HEIGHT_MM * size, 2),
        size_share=size,
        doubt_share=max(_LEAST_DOUBT, float(np.hypot(found.scale_error_share, down[number].error_mm / HEIGHT_MM))),
        card_side_mm=round(found.card_side_mm / size, 2),
    )
    numbered = tuple(replace(one, number=i) for i, one in enumerate(others, start=1))
    return replace(found, outlines=numbered, check=check)


def _none_or_many(count: int) -> Exception:
    what = "shows no plastic card of that size" if not count else f"shows {count} plastic cards of that size"
    remedy = "Lay one flat among the scraps, clear of them and of the printed cards, or do without this check."
    allowed = f"one card of {LENGTH_MM:.2f} x {HEIGHT_MM:.2f} mm with round corners, of another colour than the ground"
    return refused_picture("The picture", what, remedy, allowed=allowed)


def size_as_card(one: FoundOutline, *, is_sharpened: bool = False) -> float | None:
    """How large an outline is, as a share of such a card; None if it has another shape.

    `is_sharpened`: the rounding of its corners was taken away.

    >>> size_as_card(FoundOutline(number=1, outer=((0, 0), (85.6, 0), (85.6, 53.98), (0, 53.98)), error_mm=0.1))
    """
    size = _size(one)
    if one.holes or not _SIZES[0] < size < _SIZES[1]:
        return None
    local = _along_its_sides(one.outer) / size
    half = np.array([LENGTH_MM, HEIGHT_MM]) / 2
    off = np.abs(_beyond(local, half))
    corners = half * [[1, 1], [1, -1], [-1, -1], [-1, 1]]
    gaps = np.hypot(*(local[:, None] - corners[None]).transpose(2, 0, 1)).min(axis=0) / (RADIUS_MM * (2**0.5 - 1))
    is_round = is_sharpened or bool((gaps > _CORNER_GAP[0]).all() and (gaps < _CORNER_GAP[1]).all())
    return size if np.quantile(off, 0.5) < _OFF_MM[0] and np.quantile(off, 0.95) < _OFF_MM[1] and is_round else None


def _size(one: FoundOutline) -> float:
    return float(np.sqrt(one.region.area_mm2 / _AREA_MM2))


def _along_its_sides(ring: Sequence[tuple[float, float]]) -> Floats:
    """Places every half mm along the ring, seen from the smallest rectangle round it, its long side along x."""
    points = np.array([*ring, ring[0]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.arange(0, along[-1], 0.5)
    even = np.stack([np.interp(at, along, points[:, 0]), np.interp(at, along, points[:, 1])], axis=1)
    middle, (width, height), deg = cv2.minAreaRect(even.astype(np.float32))
    turn = np.radians(deg if width >= height else deg + 90)
    cos, sin = np.cos(turn), np.sin(turn)
    return np.asarray((even - np.array(middle)) @ np.array([[cos, -sin], [sin, cos]]))


def _beyond(at: Floats, half: Floats) -> Floats:
    """How far places lie beyond the edge of the rounded rectangle; less than 0 within it."""
    past = np.abs(at) - (half - RADIUS_MM)
    outside = np.hypot(*np.maximum(past, 0.0).T)
    return np.asarray(outside + np.minimum(past.max(axis=1), 0.0) - RADIUS_MM)
