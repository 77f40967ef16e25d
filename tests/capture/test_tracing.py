"""Edges of discs whose light is a closed formula: a step blurred by the lens, over ground in the disc's own shadow.

A step blurred by a Gaussian is the normal distribution function, its middle where the step is (any text on optics).
"""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt
import pytest
from scipy.special import ndtr

from bagwright.capture.ground import Ground
from bagwright.capture.light import opponent, stored_of
from bagwright.capture.shading import agreed
from bagwright.capture.tracing import Edge, edge_near, traced

RADIUS_PX = 70.0
SIZE_PX = 224
MAGENTA, GREEN = np.array([0.27, 0.02, 0.50]), np.array([0.07, 0.40, 0.05])
"""Blue, green, red, as shares of full light; so are the discs."""


def picture(
    disc: float, ground: npt.NDArray[np.float64], blur_px: float, shadow: float, *, cast_px: float = 0.0
) -> npt.NDArray[np.uint8]:
    """A grey disc, darkening the ground round it by a share that falls off over some pixels, as JPEG has it.

    `cast_px`: its shadow is as large as the disc, and lies so far down to the right.
    """
    y, x = np.mgrid[0:SIZE_PX, 0:SIZE_PX] - SIZE_PX / 2
    beyond = np.hypot(x, y)[..., None] - RADIUS_PX
    cast = np.hypot(x - cast_px * 0.8, y - cast_px * 0.6)[..., None] - RADIUS_PX
    dark = ndtr(-cast / (0.6 * cast_px)) if cast_px else ndtr((2.5 - beyond) / 1.8)
    own, lit = ndtr(-beyond / blur_px), 1 - shadow * dark
    stored = stored_of(disc * own + ground * lit * (1 - own)).round().astype(np.uint8)
    how = [cv2.IMWRITE_JPEG_QUALITY, 92, cv2.IMWRITE_JPEG_SAMPLING_FACTOR, cv2.IMWRITE_JPEG_SAMPLING_FACTOR_420]
    return np.asarray(cv2.imdecode(cv2.imencode(".jpg", stored, how)[1], cv2.IMREAD_COLOR), dtype=np.uint8)


def edge_of(pixels: npt.NDArray[np.uint8]) -> Edge:
    """The edge of the disc, nearly found."""
    colours, none = opponent(pixels), np.zeros(pixels.shape[:2], dtype=np.bool_)
    plain = np.tile(colours[:8, :8].mean(axis=(0, 1)), (SIZE_PX // 8, SIZE_PX // 8, 1)).astype(np.float32)
    aside = np.zeros((2, *none.shape), dtype=np.float32)
    ground = Ground(1.0, pixels, colours, none, none, none, aside, plain, np.zeros(2))
    turn = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    ring = SIZE_PX / 2 + (RADIUS_PX + 0.7) * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    return edge_near(pixels, ground, ring, is_hole=False)


def traced_radius(pixels: npt.NDArray[np.uint8]) -> float:
    """The radius of the disc of that area."""
    edge = edge_of(pixels)
    at = traced(edge, agreed([edge.told])[0]).at_px
    return float(np.sqrt(cv2.contourArea(at.astype(np.float32)) / np.pi))


@pytest.mark.parametrize(
    ("blur_px", "shadow", "most_px"),
    [(1.0, 0.0, 0.3), (1.0, 0.45, 0.5), (3.0, 0.0, 0.15)],
    ids=["bare", "in its shadow", "out of focus"],
)
def test_a_disc_keeps_its_size_in_its_own_shadow_and_out_of_focus(blur_px, shadow, most_px):
    """A pixel is 0.2 mm. Half way to the bright ground beyond the shadow would be up to 0.9 pixels too far out."""
    for ground in (MAGENTA, GREEN):
        for disc in (0.02, 0.2, 0.8):
            radius = traced_radius(picture(disc, ground, blur_px, shadow))
            assert radius == pytest.approx(RADIUS_PX, abs=most_px), (ground, disc)


@pytest.mark.parametrize("ground", [MAGENTA, GREEN], ids=["magenta", "green"])
def test_a_black_disc_does_not_grow_into_a_shadow_that_only_others_tell(ground):
    """The shadow is no broader than the blur. Half way to the lit ground beyond it is up to 0.8 pixels farther out on
    that side than on the lit one: white discs, on which brightness moves the other way, tell by how much."""
    looks = (0.02, 0.12, 0.3, 0.8)
    edges = [edge_of(picture(disc, ground, 1.0, 0.45, cast_px=2.0)) for disc in looks]
    for disc, edge, shadow in zip(looks, edges, agreed([edge.told for edge in edges]), strict=True):
        off = traced(edge, shadow).at_px - SIZE_PX / 2
        toward = off @ np.array([0.8, 0.6]) / np.hypot(*off.T)
        shaded, lit = (np.hypot(*off[side].T).mean() for side in (toward > 0.7, toward < -0.7))
        assert shaded - lit == pytest.approx(0.0, abs=0.5), disc
