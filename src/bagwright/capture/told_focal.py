"""The focal length that a picture file tells in its EXIF data (JEITA CP-3451, tags from memory)."""

from __future__ import annotations

from typing import Final, Literal

from bagwright.capture.picture import jpeg_parts

_EXIF: Final = b"Exif\0\0"
_APP1: Final = 0xE1
_EXIF_PART: Final = 0x8769
_FOCAL_ON_35_MM: Final = 0xA405
_LIKELY_MM: Final = (8, 300)
_MOST_ENTRIES: Final = 1000


def told_focal_mm(data: bytes) -> float | None:
    """The focal length in mm as on 36 x 24 mm; None if the file is no JPEG or tells none that can be.

    >>> told_focal_mm(b"\\xff\\xd8\\xff") is None
    True
    """
    return _in_tiff(next(jpeg_parts(data, _APP1, _EXIF), b""))


def _in_tiff(tiff: bytes) -> float | None:
    order: Literal["little", "big"] = "little" if tiff[:2] == b"II" else "big"
    part = _entry(tiff, int.from_bytes(tiff[4:8], order), _EXIF_PART, order)
    told = _entry(tiff, part, _FOCAL_ON_35_MM, order) if part else None
    return float(told) if told and _LIKELY_MM[0] <= told <= _LIKELY_MM[1] else None


def _entry(tiff: bytes, at: int, tag: int, order: Literal["little", "big"]) -> int | None:
    """The number under a tag in the list of entries that begins there: 2 bytes if short, else 4."""
    count = min(int.from_bytes(tiff[at : at + 2], order), _MOST_ENTRIES)
    for entry in (tiff[at + 2 + 12 * i : at + 14 + 12 * i] for i in range(count)):
        if len(entry) == 12 and int.from_bytes(entry[:2], order) == tag:
            return int.from_bytes(entry[8:10] if int.from_bytes(entry[2:4], order) == 3 else entry[8:12], order)
    return None
