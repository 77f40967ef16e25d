"""Prints of nearly the ground's hue: told from it by the mean hue of patches, which wavers less than that of pixels.

Worked out at half the size. `aside` is by how much a patch is off the ground's hue, along it
and across it, as a share of what may still be ground.
"""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.capture.light import Floats32

Mask = npt.NDArray[np.bool_]
_LEAST_OFF: Final = (0.035, 0.02)
_MOST_OFF: Final = 0.3
_SPREADS: Final = 5.0
"""How far the mean of a patch may be off the ground's hue: so many times its spread, within these bounds."""
_IN_SHADOW: Final = (0.12, 0.06)
"""By so much more for each halving of the light: shadows have less colour, or some of the sky's."""
_LEAST_SEEN: Final = 0.3
_PATCH_PX: Final = 3
_LEVELS: Final = ((1.0, 3), (0.6, 7))
"""How far off patches of a print are at least, and how broad in pixels: what is less off must be broader."""
_CLEAR: Final = 0.6
_SHARP_SHARE: Final = 0.6
"""So much of what lies just round a patch must be less off by this factor, or its colour fades: a shadow, a lamp."""
DARK: Final = 0.012
"""Added to brightness, so that the noise of black does not pass for a colour."""


def patches_aside(colours: Floats32, local: Floats32, is_ground: Mask, is_surely: Mask) -> Floats32:
    """How far off the ground's hue patches are, signed, (2, rows, columns); 0 where it is not seen.

    `colours`, `local`: opponent ones, of each pixel and of the ground round about.
    """
    size = colours.shape[1] // 2, colours.shape[0] // 2
    among = cv2.erode(is_ground.astype(np.uint8), np.ones((5, 5), np.uint8))
    held = cv2.blur(cv2.resize(cv2.copyTo(colours, among), size, interpolation=cv2.INTER_AREA), (_PATCH_PX,) * 2)
    share = cv2.blur(cv2.resize(among.astype(np.float32), size, interpolation=cv2.INTER_AREA), (_PATCH_PX,) * 2)
    one, other, own = (cv2.resize(each, size) for each in _field(local, is_surely))
    own = np.maximum(own, 1e-6)
    bright = np.maximum(held[..., 2], 0) / np.maximum(share, 1e-3)
    shaded = np.minimum(bright, own)
    fades = np.maximum(shaded / own * (own + DARK) / (shaded + DARK), 0.05) * (one * one + other * other)
    below = np.maximum(held[..., 2], 0) + DARK * share
    first, second = held[..., 0] / np.maximum(below, 1e-6), held[..., 1] / np.maximum(below, 1e-6)
    off = np.stack([(first * one + second * other) / fades - 1, (first * other - second * one) / fades])
    off[:, share < _LEAST_SEEN] = 0
    sure = cv2.resize(is_surely.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST)[::3, ::3] > 0
    spread = [1.48 * float(np.median(np.abs(each[::3, ::3][sure]))) if sure.any() else 0.0 for each in off]
    along, across = (float(np.clip(_SPREADS * s, low, _MOST_OFF)) for s, low in zip(spread, _LEAST_OFF, strict=True))
    dim = -np.log2(np.maximum(shaded / own, 0.2))
    off[0] /= along + _IN_SHADOW[0] * dim
    off[1] /= across + _IN_SHADOW[1] * dim
    return np.stack([cv2.resize(each, colours.shape[1::-1]) for each in off])


def _field(local: Floats32, is_surely: Mask) -> Floats32:
    """Smooth fields (of the second degree) through hue and brightness of what is surely ground, strays left out."""
    rows, columns = local.shape[:2]
    sure = cv2.resize(is_surely.astype(np.float32), (columns, rows), interpolation=cv2.INTER_AREA) > 0.9
    y, x = (each.ravel() for each in np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j])
    terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y])
    bright = np.maximum(local[..., 2], 0) + DARK
    fields = []
    for values in (local[..., 0] / bright, local[..., 1] / bright, local[..., 2]):
        near = sure.ravel().copy()
        for _ in range(4):
            known = terms * near
            fitted = np.linalg.solve(known @ terms.T + 1e-6 * np.eye(6), known @ values.ravel()) @ terms
            off = np.abs(values.ravel() - fitted)
            near = sure.ravel() & (off < 3 * np.median(off[sure.ravel()]) + 0.004) if near.any() else near
        fields.append(fitted.reshape(rows, columns))
    return np.asarray(fields, dtype=np.float32)


def patches_of_print(aside: Floats32, is_ground: Mask) -> tuple[Mask, Mask]:
    """What passes for ground though it is part of a print: patches with a sharp edge; and patches that may be."""
    off = np.abs(aside[:, ::2, ::2]).max(axis=0)
    sharp, weak = np.zeros(off.shape, np.uint8), np.zeros(off.shape, np.uint8)
    for least, size in _LEVELS:
        patches = _broad(off > least, size)
        weak |= patches
        sharp |= _sharp(patches, off, least)
    full = is_ground.shape[1], is_ground.shape[0]
    known = cv2.resize(sharp, full, interpolation=cv2.INTER_NEAREST)
    rim = cv2.dilate(known, np.ones((9, 9), np.uint8)) > 0
    unseen = cv2.erode(is_ground.astype(np.uint8), np.ones((5, 5), np.uint8)) == 0
    is_print = is_ground & ((known > 0) | (rim & unseen))
    return is_print, is_ground & ~is_print & (cv2.resize(weak, full, interpolation=cv2.INTER_NEAREST) > 0)


def _broad(where: Mask, size: int) -> npt.NDArray[np.uint8]:
    return np.asarray(
        cv2.morphologyEx(where.astype(np.uint8), cv2.MORPH_OPEN, np.ones((size, size), np.uint8)), np.uint8
    )


def _sharp(patches: npt.NDArray[np.uint8], off: Floats32, least: float) -> npt.NDArray[np.uint8]:
    """Those patches round which the ground that is in sight is clearly less off, if there is any."""
    count, labels, boxes, _ = cv2.connectedComponentsWithStats(patches, connectivity=8)
    sharp = np.zeros_like(patches)
    for label in range(1, count):
        x, y, width, height = (int(n) for n in boxes[label][:4])
        window = slice(max(0, y - 4), y + height + 4), slice(max(0, x - 4), x + width + 4)
        own = (labels[window] == label).astype(np.uint8)
        near = cv2.dilate(own, np.ones((5, 5), np.uint8))
        about = off[window][(cv2.dilate(own, np.ones((7, 7), np.uint8)) > near) & (off[window] > 0)]
        ground = about[about < least]
        if len(ground) == 0 or (ground < _CLEAR * least).mean() > _SHARP_SHARE:
            sharp[window] |= own
    return sharp
