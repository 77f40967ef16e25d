"""Scraps whose print holds the colour of the ground: what is said of them, and how far off they may be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.model.found_outline import FoundOutline

LIKE_GROUND: Final = (
    "Its colours come near to those of the ground: parts of it may be missing, or holes in it filled. Look at its "
    "outline in the picture; if that is wrong, lay the scrap on a ground of another colour."
)
_BESIDE_LIKE_GROUND: Final = (
    "A scrap close by has colours near to those of the ground: this may be a part of it. Look at its outline in the "
    "picture; if that is wrong, lay the scrap on a ground of another colour."
)
_CLOSE_MM: Final = 12.0
"""Nearer than the finger's breadth that scraps are to lie apart."""
_MAY_BE_ONE_MM: Final = 25.0
"""What is missing between two doubtful outlines may be as broad."""
_MOST_ERROR_MM: Final = 100.0
_PLACES_A_SIDE: Final = 9


def told_round(found: Sequence[FoundOutline]) -> tuple[FoundOutline, ...]:
    """What lies close to an outline that may miss parts may be one of them: all these are as far off as that may be."""
    doubtful = [one.region for one in found if one.notes]
    noted = [
        replace(one, notes=(_BESIDE_LIKE_GROUND,))
        if not one.notes and any(one.region.distance_mm(other) < _CLOSE_MM for other in doubtful)
        else one
        for one in found
    ]
    group = [one for one in noted if one.notes]
    return tuple(replace(one, error_mm=_error_mm(one, group)) if one.notes else one for one in noted)


def _error_mm(one: FoundOutline, group: Sequence[FoundOutline]) -> float:
    """How far off it may be if it, the doubtful ones close by and what they enclose are one scrap, and holes are none.

    That is how far their hull is; as much again may be missing beyond that. From rendered pictures.
    """
    joined, rest = [one], [other for other in group if other is not one]
    for known in joined:  # grows as it is gone through
        near = [other for other in rest if known.region.distance_mm(other.region) < _MAY_BE_ONE_MM]
        joined += near
        rest = [other for other in rest if other not in near]
    corners = np.concatenate([np.array(each.outer, dtype=np.float32) for each in joined])
    hull = cv2.convexHull(corners).reshape(-1, 2)
    share = np.linspace(0, 1, _PLACES_A_SIDE, endpoint=False)[:, None, None]
    places = (hull + share * (np.roll(hull, -1, axis=0) - hull)).reshape(-1, 2)
    furthest = max(2 * -_depth_mm(one, place) for place in places)
    deepest = max((_depth_mm(one, place) for hole in one.holes for place in hole), default=0.0)
    return round(min(max(one.error_mm, furthest, deepest), _MOST_ERROR_MM), 3)


def _depth_mm(one: FoundOutline, place: Sequence[float] | npt.NDArray[np.floating | np.integer]) -> float:
    """How far a place lies within the outer edge, below 0 outside."""
    return cv2.pointPolygonTest(np.array(one.outer, np.float32), (float(place[0]), float(place[1])), True)
