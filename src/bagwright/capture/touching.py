"""Where one outline may be two scraps that touch: a neck far narrower than what hangs on either side of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np

from bagwright.capture.ground import Mask
from bagwright.capture.light import Floats32

_NECK_HALF_MM: Final = (1.0, 2.0, 3.5, 5.5, 8.0)
_WIDER: Final = 2.4
_LEAST_PART_MM2: Final = 250.0


@dataclass(frozen=True, slots=True)
class Neck:
    """Its middle on the mask, its width and the way it runs (a unit vector), in pixels of the mask."""

    x: float
    y: float
    width: float
    way: tuple[float, float]


def find_necks(mask: Mask, px_per_mm: float) -> tuple[list[Neck], list[Mask]]:
    """The necks of a part, and the parts that cutting through them all would leave; none and itself if it has none."""
    inside = cv2.copyMakeBorder(mask.astype(np.uint8), 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=0)
    depth = np.asarray(cv2.distanceTransform(inside, cv2.DIST_L2, 5), dtype=np.float32)[1:-1, 1:-1]
    best: list[Mask] = [mask]
    for half_mm in _NECK_HALF_MM:
        parts = _apart(mask, depth, half_mm * px_per_mm, _LEAST_PART_MM2 * px_per_mm**2)
        if len(parts) > len(best):
            best = parts
    return _borders(best), best


def _apart(mask: Mask, depth: Floats32, half: float, least: float) -> list[Mask]:
    """The parts about what is left when everything nearer to an edge than `half` is taken away."""
    count, seeds = cv2.connectedComponents((depth > half).astype(np.uint8))
    good = [label for label in range(1, count) if depth[seeds == label].max() > _WIDER * half]
    if len(good) < 2:
        return [mask]
    ground = np.where(np.isin(seeds, good), 0, 255).astype(np.uint8)
    _, owner = cv2.distanceTransformWithLabels(ground, cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_CCOMP)
    owner = np.asarray(owner)
    parts = [mask & (owner == owner[seeds == label][0]) for label in good]
    return parts if all(part.sum() > least for part in parts) else [mask]


def _borders(parts: list[Mask]) -> list[Neck]:
    necks = []
    for i, one in enumerate(parts):
        near = cv2.dilate(one.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
        for other in parts[i + 1 :]:
            y, x = np.nonzero(near & other)
            if len(x):
                width = float(np.hypot(np.ptp(x) + 1, np.ptp(y) + 1))
                _, axes = np.linalg.eigh(np.atleast_2d(np.cov(np.stack([x, y]))) if len(x) > 1 else np.eye(2))
                necks.append(Neck(float(x.mean()), float(y.mean()), width, (float(axes[0, 1]), float(axes[1, 1]))))
    return necks
