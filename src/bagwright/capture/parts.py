"""What lies on the ground, part by part: scraps, and what cannot be one - too near a card, over the edge, a speck."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeVar

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.ground import Ground, Mask
from bagwright.capture.light import Floats32
from bagwright.capture.plane import Floats, Plane
from bagwright.capture.trusting import Trusted
from bagwright.model.found_outline import RefusedOutline

LEAST_AREA_MM2: Final = 150.0
_LEAST_PX: Final = 40
_LEAST_WITHIN_MM2: Final = 60.0
"""What reaches no further in between the cards is the world round the mat."""
_CLEAR_OF_CARD: Final = 1.5
"""In sides of a card's black square: the paper of a card, cut out along its line, and a little ground."""
_BAY_PX: Final = 21
_LEAST_SURE: Final = 0.35
"""A gap of which a smaller share is surely ground is none."""
_LEAST_ASIDE: Final = (0.33, 1.5)
"""So far off the ground's hue, in the mean, a gap is none; the second if it only has less colour, as in shadow."""
_LEAST_SEEN: Final = 0.3
_WIDE_BAY_PX: Final = 30
_MOST_RECKONED: Final = 0.01
_LEAST_DOT_PX: Final = 40
_SEVERAL: Final = 5
_FAR_LARGER: Final = 4.0
_BESIDE_MM: Final = 4.0
_MOST_DOUBTFUL: Final = 0.02
"""If more of what lies so near a scrap is doubtful ground, it may be part of its print. From rendered pictures."""
_MOST_SPOTS: Final = 0.005
"""So much of a scrap may look like ground, but for one hole, before its print is thought to. From rendered pictures."""
AnyNumber = TypeVar("AnyNumber", bound=np.generic)


@dataclass(frozen=True, slots=True)
class Part:
    """One part that is not ground: its mask, cut out of the small copy at `x`, `y` with a pixel's rim of ground.

    `middle_mm`: its middle on the ground; `scale`: pixels of the copy for a mm there;
    `is_reckoned`: whether a good part of it was taken for a part of its print though that has the ground's colour.
    """

    mask: Mask
    x: int
    y: int
    middle_mm: Floats
    scale: float
    is_reckoned: bool = False

    def window(self, of: npt.NDArray[AnyNumber]) -> npt.NDArray[AnyNumber]:
        """The same cut out of another picture of the size of the copy."""
        return of[self.y : self.y + self.mask.shape[0], self.x : self.x + self.mask.shape[1]]


@dataclass(frozen=True, slots=True)
class Parts:
    """Whole scraps, and what was refused."""

    scraps: tuple[Part, ...]
    refused: tuple[RefusedOutline, ...]


@dataclass(frozen=True, slots=True)
class _Zones:
    """On the small copy: where cards lie, what the cards enclose with some room round them."""

    cards: npt.NDArray[np.uint8]
    enclosed: Mask
    reach: Mask


def find_parts(ground: Ground, trusted: Trusted, side_mm: float) -> Parts:
    """Every part of the picture that is not ground, judged."""
    zones = _zones(ground, trusted, side_mm)
    above = cv2.morphologyEx((~ground.is_ground).astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    above[zones.cards > 0] = 0
    above[[0, -1], :] = above[:, [0, -1]] = 0  # so that every part has a rim of ground
    count, labels, boxes, middles = cv2.connectedComponentsWithStats(above, connectivity=4)
    scraps: list[Part] = []
    refused: list[RefusedOutline] = []
    for label in range(1, count):
        if boxes[label][4] < _LEAST_PX:
            continue
        part = _part(np.asarray(labels), label, boxes[label], ground, trusted.fit.plane, np.asarray(middles)[label])
        if part.mask.sum() < LEAST_AREA_MM2 * part.scale**2:
            continue
        why = _fault(part, zones, trusted)
        if why is None:
            scraps.append(part)
        elif why[0]:
            refused.append(refusal_at(part.middle_mm, trusted, why))
    return Parts(tuple(scraps), tuple(refused))


def _part(
    labels: npt.NDArray[np.integer], label: int, box: npt.NDArray[np.integer], ground: Ground, plane: Plane, at: Floats
) -> Part:
    x, y, width, height = (int(n) for n in box[:4])
    own = np.asarray(labels[y - 1 : y + height + 1, x - 1 : x + width + 1] == label, dtype=np.uint8)
    # A thread's breadth of print that passes for ground would make a slit.
    mask = cv2.morphologyEx(own, cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8)) > 0
    mask = _without_false_gaps(mask, ground.is_surely[y - 1 : y + height + 1, x - 1 : x + width + 1])
    seen = np.count_nonzero(mask)
    mask = _without_gaps_of_print(mask, ground.aside[:, y - 1 : y + height + 1, x - 1 : x + width + 1])
    mask = _without_dots(mask)
    is_reckoned = bool(np.count_nonzero(mask) - seen > _MOST_RECKONED * seen)
    middle = plane.to_mm((at + 0.5) * ground.shrink - 0.5)
    return Part(mask, x - 1, y - 1, middle, plane.px_per_mm(middle) / ground.shrink, is_reckoned)


def _without_false_gaps(mask: Mask, surely: Mask) -> Mask:
    """With its holes and narrow bays filled where they show no ground: prints hold spots of the ground's hue."""
    wide = np.pad(mask.astype(np.uint8), _BAY_PX)
    closed = cv2.morphologyEx(wide, cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (_BAY_PX,) * 2))
    filled = _filled(np.asarray(closed, dtype=np.uint8))[_BAY_PX:-_BAY_PX, _BAY_PX:-_BAY_PX]
    count, labels = cv2.connectedComponents((filled > 0).astype(np.uint8) * ~mask, connectivity=4)
    sizes = np.bincount(labels.ravel(), minlength=count)
    is_false = np.bincount(labels[surely], minlength=count) < _LEAST_SURE * sizes
    is_false[0] = False
    return np.asarray(mask | is_false[labels])


def _without_gaps_of_print(mask: Mask, aside: Floats32) -> Mask:
    """With its holes and bays filled that are a little off the ground's hue in the mean: that is no ground."""
    if not (np.abs(aside) > _LEAST_ASIDE[0]).any():
        return mask
    gaps = (_filled(_closed(mask, _WIDE_BAY_PX)) > 0) & ~mask
    count, labels = cv2.connectedComponents(gaps.astype(np.uint8), connectivity=4)
    seen = np.bincount(labels[np.abs(aside).sum(axis=0) > 0], minlength=count)
    along, across = (np.bincount(labels.ravel(), each.ravel(), minlength=count) / np.maximum(seen, 1) for each in aside)
    is_print = (along > _LEAST_ASIDE[0]) | (along < -_LEAST_ASIDE[1]) | (np.abs(across) > _LEAST_ASIDE[0])
    is_print &= seen > _LEAST_SEEN * np.bincount(labels.ravel(), minlength=count)
    is_print[0] = False
    filled = is_print[labels]
    if not filled.any():
        return mask
    near = cv2.dilate(filled.astype(np.uint8), np.ones((7, 7), np.uint8)) > 0
    return np.asarray(mask | filled | (near & (_closed(mask | filled, 4 * _WIDE_BAY_PX) > 0)))


def _without_dots(mask: Mask) -> Mask:
    """With its holes filled if there are several of about one size: dots of a print; one far larger is left."""
    holes = (_filled(mask.astype(np.uint8)) > 0) & ~mask
    _, labels, boxes, _ = cv2.connectedComponentsWithStats(holes.astype(np.uint8), connectivity=4)
    sizes = boxes[:, 4]
    are_dots = sizes > _LEAST_DOT_PX
    are_dots[0] = False
    if np.count_nonzero(are_dots) < _SEVERAL:
        return mask
    are_dots &= sizes < _FAR_LARGER * np.median(sizes[are_dots])
    return np.asarray(mask | are_dots[labels], dtype=np.bool_)


def _closed(mask: Mask, radius: int) -> npt.NDArray[np.uint8]:
    """Closed by a disc, by way of distances: that takes as long whatever the radius."""
    wide = np.pad(mask.astype(np.uint8), radius + 2)
    near = (cv2.distanceTransform(1 - wide, cv2.DIST_L2, 5) <= radius).astype(np.uint8)
    kept = cv2.distanceTransform(near, cv2.DIST_L2, 5) > radius
    return np.asarray(kept[radius + 2 : -radius - 2, radius + 2 : -radius - 2], dtype=np.uint8)


def is_like_ground(ground: Ground, part: Part) -> bool:
    """Whether parts of it may be missing, as its print seems to hold the colour of the ground.

    Told by patches in it and beside it that may be ground without surely being it, and by spots of ground within it.
    """
    within = part.window(ground.is_doubtful)[part.mask].sum()
    if part.is_reckoned or within > _MOST_DOUBTFUL * np.count_nonzero(part.mask):
        return True
    mask, half = part.mask.astype(np.uint8), max(3, round(_BESIDE_MM * part.scale))
    beside = cv2.dilate(mask, np.ones((2 * half + 1,) * 2, np.uint8)) > cv2.dilate(mask, np.ones((5, 5), np.uint8))
    if part.window(ground.is_doubtful)[beside].sum() > _MOST_DOUBTFUL * np.count_nonzero(beside):
        return True
    inner = cv2.erode(_filled(mask), np.ones((7, 7), np.uint8), borderValue=0) > 0
    spots = (part.window(ground.is_ground) & inner).astype(np.uint8)
    _, _, boxes, _ = cv2.connectedComponentsWithStats(spots, connectivity=4)
    sizes = np.sort(boxes[1:, 4])[:-1]  # the largest is a hole, for all that is known
    return bool(sizes.sum() > _MOST_SPOTS * np.count_nonzero(inner))


def _filled(mask: npt.NDArray[np.uint8]) -> npt.NDArray[np.uint8]:
    """Without its holes."""
    outer, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return np.asarray(cv2.drawContours(np.zeros_like(mask), outer, -1, 1, cv2.FILLED), dtype=np.uint8)


def _zones(ground: Ground, trusted: Trusted, side_mm: float) -> _Zones:
    plane, shape = trusted.fit.plane, ground.is_ground.shape

    def drawn(squares: Floats, *, as_hull: bool) -> npt.NDArray[np.uint8]:
        at = ((plane.to_px(squares) + 0.5) / ground.shrink - 0.5).round().astype(np.int32)
        canvas = np.zeros(shape, np.uint8)
        if as_hull:
            cv2.fillConvexPoly(canvas, cv2.convexHull(at.reshape(-1, 2)), 255)
            return canvas
        for index, square in enumerate(at):
            cv2.fillConvexPoly(canvas, square, index + 1)
        return canvas

    cards = drawn(trusted.squares_mm(_CLEAR_OF_CARD * side_mm), as_hull=False)
    enclosed = drawn(trusted.squares_mm(side_mm), as_hull=True)
    reach = drawn(trusted.squares_mm(2 * side_mm), as_hull=True)
    return _Zones(cards, enclosed > 0, reach > 0)


def _fault(part: Part, zones: _Zones, trusted: Trusted) -> tuple[str, str] | None:
    """Why a part is no scrap and what to do: None if it is one, empty words if it is no concern of hers."""
    mask, enclosed, cards = part.mask, part.window(zones.enclosed), part.window(zones.cards)
    is_within = float((mask & enclosed).sum()) > _LEAST_WITHIN_MM2 * part.scale**2
    height, width = zones.cards.shape
    if part.x < 2 or part.y < 2 or part.x + mask.shape[1] > width - 2 or part.y + mask.shape[0] > height - 2:
        edge = "reaches over the edge of the mat or of the picture", "Move it in, wholly within the cards."
        return edge if is_within else ("", "")
    rim = cv2.dilate(mask.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    touched = np.unique(cards[rim & (cards > 0)])
    if touched.size:
        number = trusted.cards[int(touched[0]) - 1].number
        return f"lies on or against card {number}", "Move the card or the scrap: leave a finger's breadth."
    if (mask & ~part.window(zones.reach)).any():
        beyond = "reaches beyond the cards, where lengths are not sure", "Lay cards round it, or move it in."
        return beyond if is_within else ("", "")
    return None


def refusal_at(at_mm: Floats, trusted: Trusted, why: tuple[str, str]) -> RefusedOutline:
    """What is refused at that place, told by the card nearest to it."""
    middles = trusted.fit.poses[:, :2]
    nearest = trusted.cards[int(np.hypot(*(middles - at_mm).T).argmin())].number
    return RefusedOutline(float(at_mm[0]), float(at_mm[1]), f"near card {nearest}", *why)
