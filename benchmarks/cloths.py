"""What scraps look like in rendered pictures: crops of real ones (tests/capture/textures), and prints drawn here."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np

Array = np.ndarray
TEXTURES = Path(__file__).parents[1] / "tests" / "capture" / "textures"
WHITE, BLACK = np.array([0.82, 0.82, 0.80]), np.array([0.02, 0.02, 0.022])
GROUNDS = {
    "magenta": (0.52, 0.02, 0.28),
    "green": (0.06, 0.42, 0.08),
    "blue": (0.03, 0.09, 0.52),
    "red": (0.50, 0.03, 0.03),
}


def cloths(folder: Path | None = None) -> dict[str, Array]:
    """Textures by name (linear light, red-green-blue): those of the tests, prints, and all pictures of a folder."""
    paths = [*TEXTURES.glob("*.jpg"), *(folder.iterdir() if folder else ())]
    return {path.stem: _linear(path) for path in sorted(paths)} | prints()


def _linear(path: Path) -> Array:
    stored = cv2.imread(str(path))[..., ::-1].astype(np.float32) / 255
    return np.where(stored <= 0.04045, stored / 12.92, ((stored + 0.055) / 1.055) ** 2.4).astype(np.float32)


def prints() -> dict[str, Array]:
    """Invented prints: stripes, checks, dots, clouds, leaves of colours not far from those of grounds."""
    size = 400
    y, x = np.mgrid[0:size, 0:size].astype(np.float32)
    rng = np.random.default_rng(5)

    def two(where: Array, one: tuple[float, ...], other: tuple[float, ...]) -> Array:
        return np.where(where[..., None], one, other).astype(np.float32)

    leaves = two(np.ones((size, size), bool), (0.55, 0.5, 0.38), (0, 0, 0))
    for _ in range(90):
        spot, axes = rng.uniform(0, size, 2), rng.uniform(8, 30, 2)
        colour = [(0.10, 0.30, 0.05), (0.45, 0.04, 0.10), (0.30, 0.10, 0.02), (0.05, 0.14, 0.30)][rng.integers(4)]
        cv2.ellipse(leaves, (spot, 2 * axes, rng.uniform(0, 180)), colour, cv2.FILLED, cv2.LINE_AA)
    noise = cv2.GaussianBlur(rng.standard_normal((size, size, 3)).astype(np.float32), (0, 0), 12)
    return {
        "stripes": two((x % 50) < 22, (0.70, 0.70, 0.66), (0.03, 0.05, 0.16)),
        "checks": two(((x // 40 + y // 40) % 2) == 0, (0.72, 0.68, 0.60), (0.30, 0.05, 0.04)),
        "dots": two((x % 40 - 20) ** 2 + (y % 40 - 20) ** 2 < 110, (0.75, 0.75, 0.7), (0.04, 0.18, 0.20)),
        "leaves": leaves,
        "clouds": (0.25 + 2.2 * noise).clip(0.01, 0.9),
        "broad bands": two((y % 130) < 60, (0.40, 0.30, 0.12), (0.10, 0.14, 0.09)),
    }
