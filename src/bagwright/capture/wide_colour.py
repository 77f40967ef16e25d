"""Colours of pictures that phones store with wide primaries (Display P3), told as screens and papers show them."""

from __future__ import annotations

from typing import Final

import numpy as np

from bagwright.capture.light import Floats, light_of
from bagwright.capture.picture import Pixels, jpeg_parts

_APP2: Final = 0xE2
_MARK: Final = b"ICC_PROFILE\0"
_NAME: Final = "Display P3"
_WHITE: Final = (0.3127, 0.3290)
_SRGB: Final = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
_P3: Final = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
"""Red, green and blue, and the white of both (D65): IEC 61966-2-1 and SMPTE EG 432-1, x and y from memory."""


def is_display_p3(data: bytes) -> bool:
    """Whether a JPEG file says that its colours are those of Display P3.

    >>> is_display_p3(b"")
    False
    """
    part = next(jpeg_parts(data, _APP2, _MARK), b"")
    return _NAME.encode() in part or _NAME.encode("utf-16-be") in part


def as_srgb(pixels: Pixels) -> Pixels:
    """Stored numbers of Display P3, blue-green-red, as those of sRGB for the same colours, as near as it has them."""
    to_srgb = np.linalg.inv(_to_xyz(_SRGB)) @ _to_xyz(_P3)
    light = (light_of(pixels)[..., ::-1] @ to_srgb.T).clip(0, 1)[..., ::-1]
    stored = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.round(255 * stored), dtype=np.uint8)


def _to_xyz(primaries: tuple[tuple[float, float], ...]) -> Floats:
    """The matrix from red, green and blue light to CIE XYZ, white at 1."""
    columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in (*primaries, _WHITE)]).T
    return np.asarray(columns[:, :3] * np.linalg.solve(columns[:, :3], columns[:, 3]))
