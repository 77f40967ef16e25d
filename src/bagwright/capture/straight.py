"""Pictures made of a picture that was read: the mat from straight above, and parts of that."""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np

from bagwright.capture.outlines import ReadPhoto
from bagwright.capture.picture import Pixels
from bagwright.capture.wide_colour import as_srgb
from bagwright.geometry.curves import Point

_LONGEST_PX: Final = 1600
_QUALITY: Final = 82


def straightened(photo: ReadPhoto) -> tuple[bytes, float]:
    """The mat from straight above, from `found.low` to `found.high`, as JPEG; and how many pixels a mm takes in it."""
    (left, bottom), (right, top) = photo.found.low, photo.found.high
    px_per_mm = min(_LONGEST_PX / max(right - left, top - bottom), 4.0)
    width, height = round((right - left) * px_per_mm), round((top - bottom) * px_per_mm)
    x = left + (np.arange(width) + 0.5) / px_per_mm
    y = top - (np.arange(height) + 0.5) / px_per_mm
    at = photo.trusted.fit.plane.to_px(np.stack(np.meshgrid(x, y), axis=-1)).astype(np.float32)
    seen = cv2.remap(photo.pixels, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    shown: Pixels = np.asarray(seen, dtype=np.uint8)
    return _jpeg(as_srgb(shown) if photo.is_display_p3 else shown), px_per_mm


def cut_out(picture: bytes, low_px: Point, high_px: Point) -> bytes:
    """An upright part of such a picture, between two of its pixels, as JPEG."""
    pixels = np.asarray(cv2.imdecode(np.frombuffer(picture, np.uint8), cv2.IMREAD_COLOR))
    (left, top), (right, bottom) = low_px, high_px
    part = pixels[max(0, int(top)) : int(bottom) + 1, max(0, int(left)) : int(right) + 1]
    return _jpeg(np.ascontiguousarray(part))


def _jpeg(pixels: np.ndarray[tuple[int, ...], np.dtype[np.integer | np.floating]]) -> bytes:
    return cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, _QUALITY])[1].tobytes()
