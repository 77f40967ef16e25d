"""Outlines from pictures of a second renderer against what was drawn: how far off, how long, how sure.

    .venv/bin/python -m benchmarks.photos [--textures FOLDER] [FIRST-LETTERS-OF-A-SCENE ...]

18 scenes of 12 million pixels: five phones, four grounds, slant up to 35 degrees, dark, too bright, warm, sharpened; in
the last two, scraps of foam whose thickness is said.
`--textures`: a folder of pictures (from packages with an open licence, say) that scraps then look like too. Distances
go both ways between the outlines, after the best shift and turn, never after a change of size.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from scipy.spatial import cKDTree
from shapely.geometry import Polygon

from bagwright.capture.outlines import find_outlines
from bagwright.errors import BagwrightError
from bagwright.model.found_outline import FoundOutline, OutlineWishes
from benchmarks.camera import Array, Camera, Mark, Mat, Shape, View, as_jpeg, dense, render, turned
from benchmarks.cloths import BLACK, GROUNDS, WHITE, cloths

HOOK = [(0, 0), (105, 0), (105, 36), (50, 36), (50, 80), (0, 80)]
ZIGZAG = [(0, 0), (20, 12), (45, 0), (70, 12), (95, 0), (95, 60), (60, 72), (0, 60)]
TRIANGLE = [(0, 0), (105, 10), (25, 85)]
PHONES = {
    "main": Camera(lens=(-0.03, 0.01, 0, 0.0004, -0.0003), middle=(0.004, -0.003)),
    "wide": Camera(focal=0.60, lens=(-0.09, 0.04, -0.01, 0.0006, 0.0002), middle=(-0.003, 0.004)),
    "far": Camera(focal=1.45, lens=(0.03, -0.02, 0, -0.0003, 0.0004), middle=(0.003, 0.002)),
    "ideal": Camera(focal=0.85, lens=(0, 0, 0, 0, 0)),
    "bulging": Camera(focal=0.78, lens=(0.05, -0.03, 0.01, 0.0005, 0.0005), middle=(0.002, 0.005)),
}


def cards_round(size: tuple[float, float], count: int, seed: int) -> tuple[Mark, ...]:
    """Cards round the edge, laid by hand."""
    rng, w, h = np.random.default_rng(seed), size[0] / 2 - 48, size[1] / 2 - 48
    spots = [(-w, h), (w, h), (w, -h), (-w, -h), (0, h), (0, -h), (w, 0), (-w, 0)][:count]
    return tuple(
        Mark(
            i + 1, x + rng.uniform(-5, 5), y + rng.uniform(-5, 5), rng.choice([0, 90, 180, 270]) + rng.uniform(-14, 14)
        )
        for i, (x, y) in enumerate(spots)
    )


def box(width: float, height: float, deg: float) -> Array:
    """A rectangle about the origin."""
    return turned(np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * [width / 2, height / 2], deg)


def about(points: list[tuple[float, float]], deg: float) -> Array:
    """Corners about their mean, turned."""
    return turned(np.array(points, float) - np.mean(points, axis=0), deg)


def circle(radius: float, waves: tuple[tuple[float, float], ...] = ()) -> Array:
    """Round, or with waves (depth, phase) of 2, 3, 4 ... to the turn."""
    t = np.linspace(0, 2 * np.pi, 300, endpoint=False)
    r = radius * (1 + sum(depth * np.cos(k * t + phase) for k, (depth, phase) in enumerate(waves, start=2)))
    return np.stack([r * np.cos(t), r * np.sin(t)], axis=1)


def six_shapes(looks: list[Array], seed: int, size: tuple[float, float] = (640.0, 480.0)) -> tuple[Shape, ...]:
    """A hook, a ring, a blob, a triangle, a zigzag and a rectangle, each of one look."""
    rng, room = np.random.default_rng(seed), min(size[0] / 640, size[1] / 480, 1.0)
    waves = tuple((rng.uniform(-0.25, 0.25) / k, rng.uniform(0, 6)) for k in range(2, 7))
    rings = [
        (about(HOOK, rng.uniform(0, 360)),),
        (circle(38), circle(14) + np.array([4, -3])),
        (circle(40, waves),),
        (about(TRIANGLE, rng.uniform(0, 360)),),
        (about(ZIGZAG, rng.uniform(-25, 25)),),
        (box(rng.uniform(60, 95), rng.uniform(40, 70), rng.uniform(0, 90)),),
    ]
    spots = (
        np.array([(-150, 75), (10, 80), (160, 75), (-140, -70), (20, -80), (165, -75)]) * np.array(size) / [640, 480]
    )
    return tuple(
        Shape(
            tuple(ring * room + spot for ring in rings[i]),
            looks[at % len(looks)],
            rng.uniform(60, 160),
            rng.uniform(0, 360),
            rng.uniform(0.15, 1.0),
        )
        for at, (i, spot) in enumerate(zip(rng.permutation(6), spots, strict=True))
    )


def scenes(folder: Path | None) -> Iterator[tuple[str, Mat, Camera]]:
    """Name, mat and camera of each scene; looks drawn by chance, white among them."""
    every = cloths(folder)
    rng = np.random.default_rng(16)
    for number, (name, ground, phone, view, changes) in enumerate(_SCENES, start=1):
        names = [*rng.permutation(sorted(every))[:5]]
        looks = [*(every[one] for one in names[:4]), WHITE, every[names[4]] if number % 2 else BLACK]
        settings = dict(changes)
        size, count = settings.pop("size", (640.0, 480.0)), settings.pop("count", 8)
        thick = settings.pop("thick", 0.0)
        shapes, cards = six_shapes(looks, number, size), cards_round(size, count, number)
        shapes = tuple(replace(shape, thick=thick, height=max(shape.height, 0.4 * thick)) for shape in shapes)
        mat = Mat(shapes, cards, size=size, ground=GROUNDS[ground], seed=number, **settings)
        yield f"{number:02} {name}, {ground}", mat, replace(PHONES[phone], **view)


_SCENES = [
    ("from above", "magenta", "main", {"slant": 4}, {}),
    ("18 degrees", "green", "wide", {"slant": 18, "towards": 100}, {}),
    ("25 degrees", "blue", "bulging", {"slant": 25, "towards": 200, "roll": 5}, {"phone": 0.5}),
    ("red mat", "red", "main", {"slant": 15, "towards": 300}, {}),
    ("from afar", "magenta", "far", {"slant": 12, "towards": 30}, {}),
    ("packed hard", "green", "main", {"slant": 10, "towards": 80}, {"jpeg": 82}),
    ("35 degrees", "magenta", "main", {"slant": 35, "towards": -40}, {}),
    ("35 degrees, wide", "blue", "wide", {"slant": 35, "towards": 140}, {"noise": 0.012}),
    ("dark kitchen", "magenta", "bulging", {"slant": 20, "towards": 60}, {"exposure": 0.35, "noise": 0.02, "jpeg": 80}),
    ("strong shadow", "green", "main", {"slant": 22, "towards": 10}, {"phone": 0.65, "light": (0.7, 100.0)}),
    ("sharpened", "magenta", "far", {"slant": 20, "towards": 250}, {"sharpen": 1.2, "jpeg": 75}),
    ("five cards", "blue", "main", {"slant": 18, "towards": 190}, {"count": 5}),
    ("small mat", "magenta", "ideal", {"slant": 28, "towards": 20}, {"size": (540.0, 420.0)}),
    ("large mat", "green", "main", {"slant": 15, "towards": 270}, {"size": (900.0, 680.0)}),
    ("warm lamp", "blue", "wide", {"slant": 12, "towards": 330}, {"warmth": 0.28}),
    ("too bright", "magenta", "main", {"slant": 8, "towards": 220}, {"exposure": 1.5}),
    ("foam of 3 mm", "magenta", "wide", {"slant": 20, "towards": 210}, {"size": (520.0, 390.0), "thick": 3.0}),
    ("foam of 6 mm", "green", "main", {"slant": 10, "towards": 50}, {"size": (520.0, 390.0), "thick": 6.0}),
]


def in_picture_frame(view: View, ring: Array) -> Array:
    """A true ring as seen from the middle of the picture, x along its rows there."""
    middle = np.array([(view.camera.width - 1) / 2, (view.camera.height - 1) / 2])
    here, right = view.mm(np.stack([middle, middle + np.array([1, 0])]))
    along = (right - here) / np.hypot(*(right - here))
    return (np.asarray(ring) - here) @ np.array([along, [-along[1], along[0]]]).T


def compare(found: FoundOutline, shape: Shape, view: View) -> tuple[Array, float]:
    """Distances both ways between two outlines, and the area against the true one."""
    true = [in_picture_frame(view, ring) for ring in shape.rings]
    points = np.concatenate([dense(ring, 0.15) for ring in true])
    mine = np.concatenate([dense(np.array(ring), 0.15) for ring in (found.outer, *found.holes)])
    tree = cKDTree(points)
    for _ in range(25):
        near = points[tree.query(mine)[1]]
        a, b = mine - mine.mean(axis=0), near - near.mean(axis=0)
        turn = np.degrees(np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum()))
        mine = turned(a, turn) + near.mean(axis=0)
    distances = np.concatenate([tree.query(mine)[0], cKDTree(mine).query(points)[0]])
    return distances, found.region.area_mm2 / Polygon(true[0], true[1:]).area - 1


def nearest(found: FoundOutline, shapes: tuple[Shape, ...], view: View) -> Shape:
    """The shape whose middle lies nearest."""
    middle = dense(np.array(found.outer), 1.0).mean(axis=0)
    return min(shapes, key=lambda s: np.hypot(*(dense(in_picture_frame(view, s.rings[0]), 1.0).mean(axis=0) - middle)))


def told(name: str, mat: Mat, camera: Camera) -> Array:
    """Render, find, compare; print a row; give all distances back."""
    pixels, view = render(mat, camera)
    data = as_jpeg(pixels, mat.jpeg)
    worked = time.process_time()
    try:
        found = find_outlines(data, OutlineWishes(thickness_mm=mat.shapes[0].thick or None))
    except BagwrightError as refused:
        print(f"{name:34} refused: {refused}", flush=True)
        return np.empty(0)
    worked = time.process_time() - worked
    compared = [compare(one, nearest(one, mat.shapes, view), view) for one in found.outlines]
    distances = np.concatenate([one for one, _ in compared])
    within = np.mean([np.mean(d <= one.error_mm) for (d, _), one in zip(compared, found.outlines, strict=True)])
    area = max((share for _, share in compared), key=abs)
    asked = sum(bool(one.touches) for one in found.outlines)
    print(
        f"{name:34} {worked:.2f} s of processor  {len(found.outlines)} of {len(mat.shapes)}, {asked} asked about  "
        f"median {np.median(distances):.3f}  95 % {np.quantile(distances, 0.95):.3f} mm  worst area {area:+.2%}  "
        f"within told error {within:.0%}",
        flush=True,
    )
    return distances


def main() -> None:
    """All rows, then all of them together."""
    words = sys.argv[1:]
    folder = Path(words.pop(words.index("--textures") + 1)) if "--textures" in words else None
    picked = [word for word in words if word != "--textures"]
    every = [
        told(name, mat, camera)
        for name, mat, camera in scenes(folder)
        if not picked or any(name.startswith(word) for word in picked)
    ]
    distances = np.concatenate(every)
    print(f"all: median {np.median(distances):.3f} mm, 95 % {np.quantile(distances, 0.95):.3f} mm")


if __name__ == "__main__":
    main()
