"""A picture file, looked at before it is decoded: kind, size and whole or not. Bytes in, pixels out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import cv2
import numpy as np
import numpy.typing as npt

from bagwright.errors import FaultyInput, Problem

Pixels = npt.NDArray[np.uint8]
"""Rows, columns, blue-green-red."""
MOST_BYTES: Final = 30_000_000
MOST_PIXELS: Final = 64_000_000
LEAST_SIDE_PX: Final = 600
_HALVED_ABOVE_PIXELS: Final = 20_000_000
_NEARLY_WHOLE: Final = 0.97
_ALLOWED: Final = "a JPEG, PNG or WebP picture of at most 64 million pixels and 30 MB"
_AS_JPEG: Final = (
    "Set the phone's camera to save JPEG (often called most compatible), or send the picture to yourself by mail or "
    "message: that makes a JPEG of it."
)
_SAVED_AS: Final = "Open it on the phone or computer and save it as JPEG, at its full size."
_DRAWING: Final = "Bring drawings in as pieces instead; here, choose a picture of the mat, as JPEG."
_STILLS: Final = {
    **dict.fromkeys((b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1"), "HEIC"),
    b"avif": "AVIF",
    b"avis": "AVIF",
}
"""Brands of ISO base media files (ISO/IEC 14496-12) that are still pictures; from memory."""
_KINDS: Final = (
    (b"GIF8", "a GIF picture", "Send the picture as the phone took it: a GIF has too few colours."),
    (b"BM", "a BMP picture", _SAVED_AS),
    (b"II*\0", "a TIFF or raw picture", _SAVED_AS),
    (b"MM\0*", "a TIFF or raw picture", _SAVED_AS),
    (b"%PDF", "a PDF", "Send the picture itself, not a document that holds it."),
    (b"PK", "a folder packed into one file", "Unpack it and choose the picture."),
    (b"8BPS", "a file of a picture editor", _SAVED_AS),
    (b"\xff\x0a", "a JPEG XL picture", _SAVED_AS),
    (b"\0\0\0\x0cjP", "a JPEG 2000 picture", _SAVED_AS),
)
"""First bytes of other kinds of file; from memory."""


def refused_picture(value: str, what: str, remedy: str, *, allowed: str = _ALLOWED) -> FaultyInput:
    """The refusal of a picture."""
    return FaultyInput([Problem(place="photo", value=value, what=what, allowed=allowed, remedy=remedy)])


def read_picture(data: bytes) -> Pixels:
    """The pixels of a picture, upright as its EXIF data say; very large ones at half their size.

    Nothing is decoded before the size in its head has been found bearable. Raises `FaultyInput`.
    """
    if len(data) > MOST_BYTES:
        raise refused_picture(f"{len(data) / 1e6:.0f} MB", "is too large a file", "Take it at a lower resolution.")
    size = picture_size(data)
    pixels = size[0] * size[1]
    if pixels > MOST_PIXELS:
        raise refused_picture(_told(size), "has too many pixels", "Take it at a lower resolution, 12 to 50 million.")
    if min(size) < LEAST_SIDE_PX:
        raise refused_picture(_told(size), "has too few pixels", f"Use the picture itself: {LEAST_SIDE_PX} a side.")
    how = cv2.IMREAD_REDUCED_COLOR_2 if pixels > _HALVED_ABOVE_PIXELS else cv2.IMREAD_COLOR
    try:
        decoded = cv2.imdecode(np.frombuffer(data, np.uint8), how)
    except cv2.error:
        decoded = None
    if decoded is None or decoded.ndim != 3 or abs(max(decoded.shape[:2]) * _shrunk(pixels) - max(size)) > 2:
        raise _broken()
    return np.ascontiguousarray(decoded, dtype=np.uint8)


def smaller(pixels: Pixels, longest_px: float) -> Pixels:
    """A copy whose longer side takes about that many pixels, never more than those of the picture.

    Halved first where that can be: a mean of whole pixels is taken ten times sooner than one of parts of them.
    """
    height, width = pixels.shape[:2]
    if max(height, width) >= 2 * longest_px and height % 2 == width % 2 == 0:
        pixels = np.asarray(cv2.resize(pixels, (width // 2, height // 2), interpolation=cv2.INTER_AREA), dtype=np.uint8)
        return smaller(pixels, longest_px)
    share = longest_px / max(height, width)
    if share > _NEARLY_WHOLE:
        return pixels
    size = round(share * width), round(share * height)
    return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def _shrunk(pixels: int) -> int:
    return 2 if pixels > _HALVED_ABOVE_PIXELS else 1


def _told(size: tuple[int, int]) -> str:
    return f"{size[0]} x {size[1]}"


def _broken() -> FaultyInput:
    return refused_picture("This file", "is damaged or incomplete", "Copy it from the phone once more.")


def picture_size(data: bytes) -> tuple[int, int]:
    """Width and height as the head of a file says. Raises `FaultyInput` for other kinds and incomplete files."""
    if data[:3] == b"\xff\xd8\xff":
        return _jpeg_size(data)
    if data[:8] == b"\x89PNG\r\n\x1a\n":
        return _png_size(data)
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return _webp_size(data)
    raise _another_kind(data)


def _another_kind(data: bytes) -> FaultyInput:
    """The refusal of a file that is no JPEG, PNG or WebP, whatever its name says: told what it is and what to do."""
    if not data:
        return refused_picture("This file", "is empty", "Copy it from the phone once more.")
    if data[4:8] == b"ftyp":
        brand = data[8:12]
        if brand in _STILLS:
            kind = f"is a picture of the kind {_STILLS[brand]}, which cannot be read here"
            return refused_picture("This file", kind, _AS_JPEG)
        return refused_picture("This file", "is a film, or a picture that moves", "Take a still picture, as JPEG.")
    head = data[:400].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if b"<svg" in head or head.startswith(b"<?xml"):
        return refused_picture("This file", "is a drawing, not a picture of the mat", _DRAWING)
    for mark, kind, remedy in _KINDS:
        if data.startswith(mark):
            return refused_picture("This file", f"is {kind}, which cannot be read here", remedy)
    return refused_picture("This file", "is no picture that can be read", "Choose the picture as the phone saved it.")


def _jpeg_size(data: bytes) -> tuple[int, int]:
    size: tuple[int, int] | None = None
    for kind, at in _jpeg_segments(data):
        if kind in range(0xC0, 0xD0) and kind not in (0xC4, 0xC8, 0xCC):
            size = _number(data, at + 5, 2), _number(data, at + 3, 2)
        if kind == 0xDA:  # the picture itself; within it, an end mark cannot occur
            if size is None or data.find(b"\xff\xd9", at) < 0:
                raise _broken()
            return size
    raise _broken()


def jpeg_parts(data: bytes, kind: int, mark: bytes) -> Iterator[bytes]:
    """What follows the mark in segments of that kind that begin with it; nothing of a file that is no JPEG."""
    for one, at in _jpeg_segments(data) if data.startswith(b"\xff\xd8\xff") else ():
        part = data[at + 2 : at + _number(data, at, 2)]
        if one == kind and part.startswith(mark):
            yield part[len(mark) :]


def _jpeg_segments(data: bytes) -> Iterator[tuple[int, int]]:
    """Kind and place (of its length) of each segment."""
    at = 2
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            return
        kind = data[at + 1]
        if kind == 0xFF:
            at += 1
            continue
        if kind == 0x01 or 0xD0 <= kind <= 0xD8:
            at += 2
            continue
        length = _number(data, at + 2, 2)
        if length < 2:
            return
        yield kind, at + 2
        at += 2 + length


def _png_size(data: bytes) -> tuple[int, int]:
    if data[12:16] != b"IHDR" or len(data) < 33 or b"IEND" not in data[-64:]:
        raise _broken()
    return _number(data, 16, 4), _number(data, 20, 4)


def _webp_size(data: bytes) -> tuple[int, int]:
    kind = data[12:16]
    if len(data) < 30 or int.from_bytes(data[4:8], "little") + 8 > len(data):
        raise _broken()
    if kind == b"VP8X":
        return _little(data, 24, 3) + 1, _little(data, 27, 3) + 1
    if kind == b"VP8L":
        bits = _little(data, 21, 4)
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if kind == b"VP8 ":
        return _little(data, 26, 2) & 0x3FFF, _little(data, 28, 2) & 0x3FFF
    raise _broken()


def _number(data: bytes, at: int, count: int) -> int:
    return int.from_bytes(data[at : at + count], "big")


def _little(data: bytes, at: int, count: int) -> int:
    return int.from_bytes(data[at : at + count], "little")
