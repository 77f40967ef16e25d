"""The coloured ground, told from what lies on it by colour alone: shadow and falling light change brightness, not that.

All colours are those of `light.opponent`; `hue` is colour by brightness, two numbers, (0, 0) for white, grey and black.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.light import Floats, Floats32, as_opponent, light_of, opponent, stored_at
from bagwright.capture.near_hues import DARK, patches_aside, patches_of_print
from bagwright.capture.picture import Pixels, refused_picture, smaller
from bagwright.capture.plane import Plane

Mask = npt.NDArray[np.bool_]
_WORKED_AT_PX: Final = 1500
_DARKEST_SHADOW: Final = 0.2
"""What is darker yet than the ground round about is no shadow on it."""
_SPREADS: Final = 5.0
_LEAST_OFF: Final = (0.13, 0.10)
_MOST_OFF: Final = (0.5, 0.5)
"""How far ground may be off its own hue, along it and to the side: so many times its spread, within these bounds."""
_LEAST_PATCH_PX: Final = 5
"""What is off by little is part of a print if it is broader than this, else a blurred edge."""
LEAST_HUE: Final = 0.45
"""A ground with less colour is refused: white and grey drown in the noise of its shadow."""
_COLOURS: Final = "a cloth, board or paper of one strong colour: magenta, bright green or bright blue"


@dataclass(frozen=True, slots=True)
class Ground:
    """A small copy of the picture and what of it is ground.

    `shrink`: pixels of the picture for one of the copy, `pixels`; `is_ground`: by pixel of the copy; `is_surely`: as
    bright as the ground round about too; `is_doubtful`: whole patches that are neither surely ground nor in shadow,
    taken for ground or not; `aside`: how far patches are off its hue, see `near_hues`, (2, rows, columns); `local`:
    opponent colour of the ground round about, for every eighth pixel of the copy; `hue` that of the ground as a whole.
    """

    shrink: float
    pixels: Pixels
    colours: Floats32
    is_ground: Mask
    is_surely: Mask
    is_doubtful: Mask
    aside: Floats32
    local: Floats32
    hue: Floats

    def local_at(self, at_px: Floats) -> Floats:
        """Opponent colours of the ground near pixels of the picture, (n, 2) to (n, 3)."""
        rows, columns = self.local.shape[:2]
        x = ((at_px[:, 0] + 0.5) / self.shrink / 8).astype(np.intp).clip(0, columns - 1)
        y = ((at_px[:, 1] + 0.5) / self.shrink / 8).astype(np.intp).clip(0, rows - 1)
        return np.asarray(self.local[y, x], dtype=np.float64)


def hue_of(colours: npt.NDArray[np.floating]) -> Floats32:
    """Colour by brightness, of (..., 3) in two planes, (2, ...): a last axis of two is slow to run along."""
    bright = np.maximum(colours[..., 2], 0) + DARK
    hue = np.empty((2, *colours.shape[:-1]), np.float32)
    for i in (0, 1):
        np.divide(colours[..., i], bright, out=hue[i], casting="same_kind")
    return hue


def likeness(hue: npt.NDArray[np.floating], ground: npt.NDArray[np.floating]) -> tuple[Floats32, Floats32]:
    """How far a hue goes along that of the ground (1: as far), and how far off to the side, as shares of it.

    Both as `hue_of` gives them, that of the ground for each place or one for all, (2,).
    """
    (one, other), (own, second) = hue, ground
    size2 = np.maximum(own**2 + second**2, 1e-6)
    along = (one * own + other * second) / size2
    across = (one * second - other * own) / size2
    return np.asarray(along, dtype=np.float32), np.asarray(np.abs(across), dtype=np.float32)


def find_ground(pixels: Pixels, plane: Plane, hull_mm: Floats, rings_mm: Floats) -> Ground:
    """The ground among the cards. `rings_mm` (n, 2): places just round the cards; `hull_mm`: what they enclose.

    Raises `FaultyInput` if there is no strong colour there.
    """
    inside = np.array([cv2.pointPolygonTest(hull_mm.astype(np.float32), (x, y), False) > 0 for x, y in rings_mm])
    near = stored_at(pixels, plane.to_px(rings_mm[inside])[None])[0] if inside.any() else np.zeros((1, 3), np.uint8)
    rim = hue_of(as_opponent(light_of(near)))
    hue = _usual_hue(rim)
    small = smaller(pixels, _WORKED_AT_PX)
    shrink = pixels.shape[1] / small.shape[1]
    colours = opponent(np.asarray(cv2.GaussianBlur(small, (3, 3), 0), dtype=np.uint8))
    hues = hue_of(colours)
    along, across = likeness(hues, hue.astype(np.float32))
    off_along, off_across = _off_by(*likeness(rim, hue))
    is_near = (np.abs(along - 1) < off_along) & (across < off_across)
    local = _local(colours, is_near)
    is_ground, surely, doubtful = _told_apart(colours, hues, local)
    aside = patches_aside(colours, local, is_ground, surely)
    is_print, may_be = patches_of_print(aside, is_ground)
    if is_print.any():
        local = _local(colours, is_near & ~is_print)
    masks = is_ground & ~is_print, surely & ~is_print, doubtful | may_be | is_print
    return Ground(shrink, small, colours, *masks, aside, local, hue)


def _off_by(along: Floats32, across: Floats32) -> tuple[float, float]:
    """How far ground of such likenesses to its usual hue may be off it, from the spread of those that come near."""
    near = (along > 0.6) & (along < 1.5) & (across < 0.35)
    if not near.any():
        return _LEAST_OFF
    spreads = np.median(np.abs(along[near] - 1)), np.median(across[near])
    one, other = (
        float(np.clip(_SPREADS * 1.5 * spread, least, most))
        for spread, least, most in zip(spreads, _LEAST_OFF, _MOST_OFF, strict=True)
    )
    return one, other


def _told_apart(colours: Floats32, hues: Floats32, local: Floats32) -> tuple[Mask, Mask, Mask]:
    """What is ground, without whole patches that are off by little; what is so surely; what of it is doubtful."""
    size = colours.shape[1], colours.shape[0]
    own = np.asarray(cv2.resize(local, size, interpolation=cv2.INTER_LINEAR), dtype=np.float32)
    along, across = likeness(hues, hue_of(own))
    loose = (along > 0.5) & (across < 0.5) & (colours[..., 2] > _DARKEST_SHADOW * own[..., 2])
    off_along, off_across = _off_by(along[loose][::7], across[loose][::7])
    weak = loose & ((np.abs(along - 1) > off_along) | (across > off_across))
    patches = cv2.morphologyEx(
        weak.astype(np.uint8), cv2.MORPH_OPEN, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (_LEAST_PATCH_PX,) * 2)
    )
    share = colours[..., 2] / np.maximum(own[..., 2], 1e-6)
    narrow = _of_prints(colours, loose, own, 1.5 * off_across)
    surely = (np.abs(along - 1) < 0.7 * off_along) & (across < 0.7 * off_across) & (share > 0.45) & (share < 1.3)
    is_ground = np.asarray(loose & (patches == 0) & ~narrow)
    doubtful = (is_ground & ~surely & (share > 0.45)).astype(np.uint8)
    broad = cv2.morphologyEx(doubtful, cv2.MORPH_OPEN, np.ones((_LEAST_PATCH_PX,) * 2, np.uint8))
    return is_ground, np.asarray(surely), np.asarray(broad > 0)


def _of_prints(colours: Floats32, loose: Mask, own: Floats32, off_across: float) -> Mask:
    """Narrow stretches between what is no ground that are off in hue: lines of a print, no gaps between scraps."""
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (_LEAST_PATCH_PX,) * 2)
    closed = np.asarray(cv2.morphologyEx((~loose).astype(np.uint8), cv2.MORPH_CLOSE, kernel), dtype=np.bool_)
    narrow = closed & loose
    narrow[narrow] = likeness(hue_of(_evened(colours, loose, narrow)), hue_of(own[narrow]))[1] > off_across
    return narrow


def _evened(colours: Floats32, among: Mask, at: Mask) -> Floats32:
    """The colours there and those about them, in the mean: noise in the dark hides what patches differ by."""
    y, x = np.nonzero(at)
    near = np.arange(_LEAST_PATCH_PX) - _LEAST_PATCH_PX // 2
    rows = (y[:, None] + np.repeat(near, _LEAST_PATCH_PX)).clip(0, at.shape[0] - 1)
    columns = (x[:, None] + np.tile(near, _LEAST_PATCH_PX)).clip(0, at.shape[1] - 1)
    weight = among[rows, columns]
    held = (colours[rows, columns] * weight[..., None]).sum(axis=1)
    return np.asarray(held / np.maximum(weight.sum(axis=1), 1)[:, None], dtype=np.float32)


def _only(colours: Floats32, among: Mask) -> Floats32:
    """The colours of those places, 0 elsewhere."""
    return np.asarray(cv2.copyTo(colours, among.astype(np.uint8)), dtype=np.float32)


def _usual_hue(hues: Floats32) -> Floats:
    """The hue that most of the coloured places share."""
    coloured = hues[:, np.hypot(*hues) > LEAST_HUE / 2]
    if coloured.shape[1] < max(0.2 * hues.shape[1], 20):
        raise weak_ground("has too little colour to tell scraps from it")
    some = coloured[:, ::7]
    apart = np.hypot(*(coloured[:, :, None] - some[:, None, :]))
    hue = np.asarray(some[:, (apart < 0.25).sum(axis=0).argmax()], dtype=np.float64)
    for _ in range(5):
        close = np.hypot(*(coloured - hue[:, None])) < 0.35 * np.hypot(*hue) + 0.05
        hue = np.asarray(coloured[:, close].mean(axis=1), dtype=np.float64)
    if np.hypot(*hue) < LEAST_HUE:
        raise weak_ground("has too little colour to tell scraps from it")
    return hue


def weak_ground(what: str) -> Exception:
    """The refusal of a ground."""
    remedy = "Lay scraps and cards on the colour that differs most from your scraps; grey, beige and pastel do not do."
    return refused_picture("The ground", what, remedy, allowed=_COLOURS)


def _local(colours: Floats32, sure: Mask) -> Floats32:
    """The ground's colour round about, from the pixels that are surely ground, for every eighth pixel."""
    size = max(1, colours.shape[1] // 8), max(1, colours.shape[0] // 8)
    colours, sure = colours[: 8 * size[1], : 8 * size[0]], sure[: 8 * size[1], : 8 * size[0]]
    held = np.asarray(cv2.resize(_only(colours, sure), size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    share = np.asarray(cv2.resize(sure.astype(np.float32), size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    total, count = np.zeros_like(held), np.zeros_like(share)
    for sigma, trust in ((2.0, 1.0), (8.0, 1e-2), (40.0, 1e-4)):  # from near, and from farther where nothing is near
        total += trust * np.asarray(cv2.GaussianBlur(held, (0, 0), sigma), dtype=np.float32)
        count += trust * np.asarray(cv2.GaussianBlur(share, (0, 0), sigma), dtype=np.float32)
    return np.asarray(total / np.maximum(count, 1e-9)[..., None], dtype=np.float32)
