"""Scraps that lie edge to edge, and single ones not to be asked about: how many are missed, how many falsely asked.

    .venv/bin/python -m benchmarks.seams [--textures FOLDER] [SCENES]

Each scene of the second renderer holds four pairs and four singles. Pairs: the two halves of one scrap, off by up to
2 mm along the seam and 1.5 degrees; two scraps of one print; two of two; two of one plain cloth. Gaps of 0 to 0.5 mm.
Singles: prints, hooks, blobs.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from bagwright.capture.outlines import ReadPhoto, read_photo
from bagwright.model.found_outline import FoundOutline, OutlineWishes
from benchmarks.camera import Array, Camera, Mat, Shape, View, as_jpeg, render, turned
from benchmarks.cloths import BLACK, GROUNDS, WHITE, cloths
from benchmarks.photos import HOOK, PHONES, ZIGZAG, about, box, cards_round, circle, in_picture_frame

SPOTS = [(-195, 70), (-65, 75), (65, 70), (195, 75), (-195, -75), (-65, -70), (65, -75), (195, -70)]
PAIRS = ("halves", "one print", "two cloths", "plain")


def pair(kind: str, looks: list[Array], rng: np.random.Generator, spot: Array) -> tuple[Shape, ...]:
    """Two scraps along a straight seam, flush at its ends or not."""
    way, height = rng.uniform(0, 180), rng.uniform(45, 80)
    gap = max(0.0, rng.uniform(-0.15, 0.5))
    off = rng.uniform(-2, 2) if kind == "halves" else rng.choice([0.0, rng.uniform(-25, 25)])
    other_height = height if kind == "halves" else height * rng.choice([1.0, rng.uniform(0.6, 1.3)])
    left, right = rng.uniform(25, 50), rng.uniform(25, 50)
    one = np.array([(-left, -height / 2), (0, -height / 2), (0, height / 2), (-left, height / 2)])
    lean = rng.uniform(-1.5, 1.5) if kind == "halves" else 0.0
    two = np.array(
        [(0, -other_height / 2), (right, -other_height / 2), (right, other_height / 2), (0, other_height / 2)]
    )
    two = turned(two, lean) + np.array([gap + abs(np.radians(lean)) * other_height / 2, off])
    across, turn = rng.uniform(60, 160), rng.uniform(0, 360)
    first = Shape((turned(one, way) + spot,), looks[0], across, turn, rng.uniform(0.15, 0.8))
    if kind == "halves":
        shift = turned(np.array([gap, off]), way)
        second = replace(first, rings=(turned(two, way) + spot,), shift=(float(shift[0]), float(shift[1])))
    else:
        look = looks[1] if kind == "two cloths" else looks[0]
        second = Shape((turned(two, way) + spot,), look, across, rng.uniform(0, 360), rng.uniform(0.15, 0.8))
    return (first, second) if rng.random() < 0.5 else (second, first)


def single(look: Array, rng: np.random.Generator, spot: Array) -> Shape:
    """One scrap, also of shapes that two might make."""
    waves = tuple((rng.uniform(-0.25, 0.25) / k, rng.uniform(0, 6)) for k in range(2, 7))
    ring = [
        box(rng.uniform(50, 100), rng.uniform(40, 75), rng.uniform(0, 180)),
        about(HOOK, rng.uniform(0, 360)),
        about(ZIGZAG, rng.uniform(0, 360)),
        circle(40, waves),
    ][rng.integers(4)]
    return Shape((ring + spot,), look, rng.uniform(60, 160), rng.uniform(0, 360), rng.uniform(0.15, 0.8))


def scenes(count: int, folder: Path | None) -> Iterator[tuple[Mat, Camera, list[str]]]:
    """Mats, cameras, and what lies at each of the spots."""
    every = cloths(folder)
    names = sorted(every)
    for seed in range(count):
        rng = np.random.default_rng(300 + seed)
        shapes: list[Shape] = []
        kinds = [*PAIRS, *["single"] * 4]
        rng.shuffle(kinds)
        for kind, spot in zip(kinds, np.array(SPOTS, float), strict=True):
            looks = [every[name] for name in rng.permutation(names)[:2]]
            if kind == "plain":
                looks = [WHITE, WHITE] if rng.random() < 0.5 else [BLACK, BLACK]
            shapes += pair(kind, looks, rng, spot) if kind != "single" else [single(looks[0], rng, spot)]
        ground = ["magenta", "blue", "magenta", "green"][seed % 4]
        mat = Mat(tuple(shapes), cards_round((640, 480), 8, seed), ground=GROUNDS[ground], seed=seed)
        phone = PHONES[list(PHONES)[seed % len(PHONES)]]
        yield mat, replace(phone, width=3200, height=2400, slant=rng.uniform(0, 25), towards=rng.uniform(0, 360)), kinds


def kind_of(one: FoundOutline, view: View, kinds: list[str]) -> str:
    """What lies at the spot nearest to an outline."""
    spots = in_picture_frame(view, np.array(SPOTS, float))
    low_x, low_y, high_x, high_y = one.region.bounds
    apart = np.hypot(spots[:, 0] - (low_x + high_x) / 2, spots[:, 1] - (low_y + high_y) / 2)
    return kinds[int(apart.argmin())]


def read_scenes(count: int, folder: Path | None) -> Iterator[tuple[ReadPhoto, View, list[str]]]:
    """Each scene rendered and read."""
    for mat, camera, kinds in scenes(count, folder):
        pixels, view = render(mat, camera)
        yield read_photo(as_jpeg(pixels, mat.jpeg), OutlineWishes()), view, kinds


def main() -> None:
    """The shares, by kind."""
    words = sys.argv[1:]
    folder = Path(words.pop(words.index("--textures") + 1)) if "--textures" in words else None
    counts = [word for word in words if word != "--textures"]
    seen: Counter[str] = Counter()
    asked: Counter[str] = Counter()
    for read, view, kinds in read_scenes(int(counts[0]) if counts else 12, folder):
        for one in read.found.outlines:
            kind = kind_of(one, view, kinds)
            seen[kind] += 1
            asked[kind] += bool(one.touches)
    for kind in (*PAIRS, "single"):
        said = "falsely asked about" if kind == "single" else "asked about"
        print(f"{kind:12} {asked[kind]} of {seen[kind]} {said}")


if __name__ == "__main__":
    main()
