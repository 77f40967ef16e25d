"""Invented scenes for the renderer."""

from __future__ import annotations

import numpy as np

from tests.capture.rendered_mat import (
    Camera,
    Patch,
    Scene,
    box,
    circle,
    dotted,
    photo,
    plain,
    ring_of_cards,
    striped,
    turned,
    wavy,
)

WHITE, BLACK = plain(0.78, 0.78, 0.76), plain(0.025, 0.025, 0.027)
MAT = (640.0, 480.0)
HOOK = [(0, 0), (110, 0), (110, 38), (52, 38), (52, 84), (0, 84)]


def usual_patches() -> list[Patch]:
    """White, black and printed scraps: straight, round, hooked, with a hole."""
    return [
        Patch(box(120, 70, 17, -130, 60), WHITE),
        Patch(circle(36, 10, 75), BLACK, holes=(circle(13, 14, 72),)),
        Patch(turned(HOOK, -24, 70, 20), dotted((0.7, 0.7, 0.68), (0.03, 0.05, 0.2))),
        Patch(wavy(42, 5, 0.14, -150, -60), striped((0.03, 0.03, 0.03), (0.75, 0.75, 0.7))),
        Patch(turned([(0, 0), (95, 12), (30, 78)], 8, -70, -100), plain(0.10, 0.17, 0.09)),
        Patch(box(88, 30, -40, 110, -85), plain(0.55, 0.50, 0.38)),
    ]


def usual_scene(**changes: object) -> Scene:
    """Eight cards, six scraps, on magenta."""
    settings: dict[str, object] = {"patches": usual_patches(), "cards": ring_of_cards(MAT), "mat": MAT}
    return Scene(**{**settings, **changes})  # type: ignore[arg-type]


CAMERAS = {
    "from above": Camera(slant_deg=3, from_deg=0, k1=-0.05),
    "slanted": Camera(slant_deg=22, from_deg=60, k1=0.06, k2=-0.03, roll_deg=8),
    "far aslant": Camera(slant_deg=35, from_deg=-30, k1=-0.10, k2=0.03, focal=0.72),
    "long lens": Camera(slant_deg=12, from_deg=150, k1=0.0, k2=0.0, focal=1.4, roll_deg=176),
}


def example_photo() -> bytes:
    """docs/pictures/mat-photo.jpg: an invented scene, small and with little noise, so that the file is small."""
    patches = [
        Patch(box(150, 80, 12, -120, 55), WHITE),
        Patch(turned(HOOK, -20, 30, 20), dotted((0.7, 0.7, 0.68), (0.03, 0.05, 0.2))),
        Patch(circle(45, -110, -85), BLACK, holes=(circle(15, -104, -88),)),
        Patch(turned([(0, 0), (120, 8), (40, 84)], 8, 20, -110), striped((0.04, 0.04, 0.05), (0.75, 0.75, 0.7))),
    ]
    scene = usual_scene(patches=patches, noise=0.7, rough=0.03, jpeg=84)
    return photo(scene, of_size(CAMERAS["slanted"], 1440, 1080))


def of_size(camera: Camera, width_px: int, height_px: int) -> Camera:
    """The same camera with other pixels."""
    from dataclasses import replace

    return replace(camera, width_px=width_px, height_px=height_px)


GROUNDS = {
    "magenta": (0.55, 0.02, 0.30),
    "green": (0.05, 0.40, 0.08),
    "blue": (0.03, 0.10, 0.50),
    "grey": (0.30, 0.30, 0.30),
}
assert np.all([len(colour) == 3 for colour in GROUNDS.values()])
