"""How far a found outline lies from a true one: after the best shift and turn, never after a change of size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.spatial import cKDTree

from tests.capture.rendered_mat import Camera, Patch, Scene

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Comparison:
    """Distances from either outline to the other, and the area against the true one."""

    distances_mm: Floats
    area_share: float


def dense(ring: Sequence[tuple[float, float]] | Floats, step: float = 0.1) -> Floats:
    """Points along a closed ring."""
    points = np.asarray(ring, dtype=float)
    ends = np.roll(points, -1, axis=0)
    parts = []
    for a, b in zip(points, ends, strict=True):
        count = max(1, int(np.ceil(np.hypot(*(b - a)) / step)))
        parts.append(a + (b - a) * (np.arange(count) / count)[:, None])
    return np.concatenate(parts)


def area(ring: Sequence[tuple[float, float]] | Floats) -> float:
    """Area within a ring."""
    x, y = np.asarray(ring, dtype=float).T
    return float(abs((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2)


def in_picture_frame(ring: Floats, scene: Scene, camera: Camera) -> Floats:
    """A true ring as seen from the middle of the picture, x along its rows there."""
    middle = np.array([(camera.width_px - 1) / 2, (camera.height_px - 1) / 2])
    here, right = camera.to_plane(np.stack([middle, middle + np.array([1, 0])]), scene.mat)
    along = (right - here) / np.hypot(*(right - here))
    return np.asarray((ring - here) @ np.array([along, [-along[1], along[0]]]).T)


def compare(
    outer: Sequence[tuple[float, float]],
    holes: Sequence[Sequence[tuple[float, float]]],
    truth: Patch,
    scene: Scene,
    camera: Camera,
) -> Comparison:
    """A found outline with its holes against the patch that was drawn."""
    true_rings = [in_picture_frame(ring, scene, camera) for ring in (truth.outer, *truth.holes)]
    true_points = np.concatenate([dense(ring) for ring in true_rings])
    found = np.concatenate([dense(ring) for ring in (outer, *holes)])
    tree = cKDTree(true_points)
    for _ in range(25):  # to the nearest points, again and again
        _, index = tree.query(found)
        near = true_points[index]
        a, b = found - found.mean(axis=0), near - near.mean(axis=0)
        turn = np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum())
        c, s = np.cos(turn), np.sin(turn)
        found = a @ np.array([[c, s], [-s, c]]) + near.mean(axis=0)
    there, back = tree.query(found)[0], cKDTree(found).query(true_points)[0]
    found_area = area(outer) - sum(area(hole) for hole in holes)
    true_area = area(truth.outer) - sum(area(hole) for hole in truth.holes)
    return Comparison(np.concatenate([there, back]), found_area / true_area - 1)


def nearest_truth(outer: Sequence[tuple[float, float]], scene: Scene, camera: Camera) -> Patch:
    """The patch whose middle lies nearest."""
    middle = np.asarray(outer).mean(axis=0)
    return min(
        scene.patches,
        key=lambda patch: float(np.hypot(*(dense(in_picture_frame(patch.outer, scene, camera)).mean(axis=0) - middle))),
    )
