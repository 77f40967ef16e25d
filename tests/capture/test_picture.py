"""Hostile and broken picture files: refused before anything large is decoded."""

from __future__ import annotations

import struct
import tracemalloc
import zlib

import cv2
import numpy as np
import pytest

from bagwright.capture.picture import picture_size, read_picture
from bagwright.errors import FaultyInput

PLAIN = np.full((640, 820, 3), (40, 90, 160), dtype=np.uint8)


def encoded(kind: str) -> bytes:
    return bytes(cv2.imencode(kind, PLAIN)[1])


def png_head(width: int, height: int) -> bytes:
    """A PNG that claims a size (W3C PNG specification, IHDR) and holds next to nothing."""
    head = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunk = struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head))
    return b"\x89PNG\r\n\x1a\n" + chunk + struct.pack(">I", 0) + b"IEND" + struct.pack(">I", zlib.crc32(b"IEND"))


def jpeg_head(width: int, height: int) -> bytes:
    """A JPEG (ITU-T T.81) with a frame header and a scan that holds nothing."""
    frame = b"\xff\xc0\x00\x11\x08" + struct.pack(">HH", height, width) + b"\x03\x01\x22\0\x02\x11\x01\x03\x11\x01"
    return b"\xff\xd8" + frame + b"\xff\xda\x00\x0c\x03\x01\0\x02\x11\x03\x11\0\x3f\0" + b"\xff\xd9"


@pytest.mark.parametrize("kind", [".jpg", ".png", ".webp"])
def test_size_and_pixels_of_each_kind(kind):
    data = encoded(kind)
    assert picture_size(data) == (820, 640)
    assert np.abs(read_picture(data).astype(int) - PLAIN).max() <= 6


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"hello",
        b"\xff\xd8\xff",
        b"%PDF-1.7",
        b"GIF89a" + bytes(100),
        b"\0\0\0\x18ftypheic" + bytes(200),
        encoded(".jpg")[:2000],
        encoded(".jpg")[:-40],
        encoded(".png")[:-200],
        encoded(".webp")[:-20],
        png_head(20_000, 10_000),
        jpeg_head(20_000, 10_000),
        png_head(1_000_000_000, 2),
        png_head(900, 900),
        png_head(0, 0),
        bytes(31_000_000),
        b"RIFF" + struct.pack("<I", 30) + b"WEBPVP8X" + bytes(30),
    ],
    ids=lambda data: f"{len(data)} bytes {data[:4]!r}",
)
def test_rejects_what_is_no_sound_picture(data):
    tracemalloc.start()
    with pytest.raises(FaultyInput) as caught:
        read_picture(data)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 5_000_000
    assert [problem.place for problem in caught.value.problems] == ["photo"]
    assert all(problem.allowed and problem.remedy for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"\0\0\0\x18ftypheic" + bytes(200), "kind HEIC"),
        (b"\0\0\0\x1cftypavif" + bytes(200), "kind AVIF"),
        (b"\0\0\0\x14ftypqt  " + bytes(200), "film"),
        (b"GIF89a" + bytes(100), "GIF picture"),
        (b"II*\0" + bytes(100), "TIFF"),
        (b"%PDF-1.7", "PDF"),
        (b"PK\x03\x04" + bytes(100), "packed"),
        (b'\xef\xbb\xbf <svg xmlns="http://www.w3.org/2000/svg"/>', "drawing"),
    ],
)
def test_another_kind_of_file_is_told_by_what_it_is_whatever_its_name(data, said):
    with pytest.raises(FaultyInput, match=said):
        read_picture(data)


def test_grey_and_see_through_pictures_and_16_bits_become_the_same_pixels():
    for odd in (cv2.cvtColor(PLAIN, cv2.COLOR_BGR2BGRA), PLAIN.astype(np.uint16) * 257):
        assert np.array_equal(read_picture(bytes(cv2.imencode(".png", odd)[1])), PLAIN)
    grey = cv2.cvtColor(PLAIN, cv2.COLOR_BGR2GRAY)
    assert np.array_equal(read_picture(bytes(cv2.imencode(".png", grey)[1]))[..., 0], grey)


def test_rejects_a_picture_cut_off_anywhere():
    data = encoded(".jpg")
    for end in range(0, len(data) - 2, 97):
        with pytest.raises(FaultyInput):
            read_picture(data[:end])


def test_rejects_a_tiny_picture():
    with pytest.raises(FaultyInput, match="too few pixels"):
        read_picture(bytes(cv2.imencode(".png", PLAIN[:300])[1]))
