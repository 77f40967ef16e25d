"""Outlines from rendered pictures of 12 million pixels against what was drawn: how far off, how long it takes.

    .venv/bin/python -m benchmarks.outline [WIDTH_PX]

Scenes, cameras and truth come from the renderer of the tests (tests/capture), which knows nothing of how pictures are
read. The first rows have plain and printed scraps under four cameras and three grounds; the others have cloth that
looks like real pictures (see tests/capture/textures). Distances go both ways between the outlines.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from bagwright.capture.outlines import find_outlines
from tests.capture.compared import compare, nearest_truth
from tests.capture.rendered_mat import Camera, Card, Patch, Scene, box, circle, photo, pictured, turned, wavy
from tests.capture.scenes import CAMERAS, GROUNDS, HOOK, of_size, usual_scene

TEXTURES = Path(__file__).parents[1] / "tests" / "capture" / "textures"


def textured_scene(seed: int) -> Scene:
    """Five scraps of different cloths, turned and set by chance within their fields, and light by chance."""
    rng = np.random.default_rng(seed)
    cloths = [pictured(cv2.imread(str(path)), rng.uniform(25, 90)) for path in sorted(TEXTURES.glob("*.jpg"))]
    turns = rng.uniform(0, 360, 5)
    shapes = [
        box(rng.uniform(70, 115), rng.uniform(35, 75), turns[0], -150, 70),
        turned(np.array(HOOK) - [55, 42], turns[1], 20, 70),
        wavy(rng.uniform(34, 44), int(rng.integers(3, 7)), 0.12, 165, 70),
        turned([(-50, -30), (55, -36), (10, 48)], turns[3], -110, -80),
        circle(rng.uniform(25, 42), 80, -85),
    ]
    order = rng.permutation(5)
    patches = [Patch(shape, cloths[order[i]]) for i, shape in enumerate(shapes)]
    ground = list(GROUNDS)[seed % 3]
    hidden = Patch(box(30, 30, 20, 0, 0), cloths[0])
    scene = usual_scene(patches=patches, ground=GROUNDS[ground], falloff=rng.uniform(0, 0.5), seed=seed)
    scene = replace(scene, shadow=rng.uniform(0, 0.6), noise=rng.uniform(1, 4), jpeg=int(rng.integers(80, 95)))
    card: Card = scene.cards[seed % 8]
    corner = np.array([card.x + np.sign(card.x) * 40, card.y + np.sign(card.y) * 40])
    over = replace(hidden, outer=hidden.outer + corner)
    return replace(scene, over=[over] if seed % 4 == 0 else [])


def camera_for(seed: int) -> Camera:
    """A camera by chance: slant up to 35 degrees, short or long lens, bending either way."""
    rng = np.random.default_rng(100 + seed)
    return Camera(
        slant_deg=rng.uniform(0, 35),
        from_deg=rng.uniform(0, 360),
        roll_deg=float(rng.choice([0, 180])) + rng.uniform(-6, 6),
        focal=rng.uniform(0.7, 1.3),
        k1=rng.uniform(-0.1, 0.08),
        k2=rng.uniform(-0.02, 0.03),
        fill=0.84,
    )


def told(name: str, scene: Scene, camera: Camera) -> np.ndarray:
    """Render, find, compare; print a row; give all distances back."""
    data = photo(scene, camera, over=2, dots=7.0)
    start, worked = time.perf_counter(), time.process_time()
    found = find_outlines(data)
    seconds, worked = time.perf_counter() - start, time.process_time() - worked
    compared = [
        compare(one.outer, one.holes, nearest_truth(one.outer, scene, camera), scene, camera) for one in found.outlines
    ]
    distances = np.concatenate([one.distances_mm for one in compared])
    within = np.mean([np.mean(one.distances_mm <= f.error_mm) for one, f in zip(compared, found.outlines, strict=True)])
    area = max(abs(one.area_share) for one in compared)
    print(
        f"{name:34} {seconds:5.2f} s ({worked:.2f} s of processor)  {len(found.outlines)} of {len(scene.patches)}, "
        f"{len(found.refused)} left out  median {np.median(distances):.3f}  "
        f"95 % {np.quantile(distances, 0.95):.3f} mm  area {area:.2%}  within told error {within:.0%}",
        flush=True,
    )
    return distances


def main() -> None:
    """All rows, then all of them together."""
    width = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    every = []
    for name, camera in CAMERAS.items():
        camera = replace(camera, fill=0.84)
        every.append(told(f"plain and printed, {name}", usual_scene(), of_size(camera, width, width * 3 // 4)))
    for seed in range(12):
        name = f"textured {seed}"
        every.append(told(name, textured_scene(seed), of_size(camera_for(seed), width, width * 3 // 4)))
    distances = np.concatenate(every)
    print(f"all: median {np.median(distances):.3f} mm, 95 % {np.quantile(distances, 0.95):.3f} mm")


if __name__ == "__main__":
    main()
