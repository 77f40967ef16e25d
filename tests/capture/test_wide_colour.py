"""Pictures stored in Display P3, as phones do, against another library's colour management."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageCms

from bagwright.capture.wide_colour import as_srgb, is_display_p3

COLOURS = np.array([[153, 46, 124], [200, 200, 198], [60, 140, 70], [30, 60, 150], [20, 20, 22]], dtype=np.uint8)
"""Red, green, blue, as stored in Display P3; all of them within what sRGB can show."""


def profile(name: str) -> bytes:
    """A matrix profile (ICC.1:2022) with the curve of sRGB and the primaries of Display P3, adapted to D50.

    The three columns are those that are published for Display P3; from memory.
    """
    made = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    columns = {
        b"rXYZ": (0.51512, 0.24120, -0.00105),
        b"gXYZ": (0.29198, 0.69225, 0.04189),
        b"bXYZ": (0.1571, 0.06657, 0.78407),
    }
    for tag in range(int.from_bytes(made[128:132], "big")):
        entry = 132 + 12 * tag
        if column := columns.get(bytes(made[entry : entry + 4])):
            at = int.from_bytes(made[entry + 4 : entry + 8], "big") + 8
            for i, value in enumerate(column):
                made[at + 4 * i : at + 4 * i + 4] = round(value * 65536).to_bytes(4, "big", signed=True)
    return bytes(made) + name.encode("utf-16-be")


def test_colours_are_those_that_a_colour_managed_library_shows():
    p3, srgb = (ImageCms.ImageCmsProfile(io.BytesIO(one)) for one in (profile(""), _srgb()))
    picture = Image.fromarray(COLOURS[None])
    shown = ImageCms.profileToProfile(picture, p3, srgb, renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC)
    assert shown is not None
    ours = as_srgb(np.ascontiguousarray(COLOURS[:, ::-1]))[:, ::-1]
    assert ours.astype(int) == pytest.approx(np.asarray(shown)[0].astype(int), abs=2)
    assert tuple(ours[0].tolist()) != tuple(COLOURS[0].tolist())


def _srgb() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def test_a_file_says_by_its_profile_that_it_is_display_p3():
    def saved(icc: bytes) -> bytes:
        out = io.BytesIO()
        Image.fromarray(COLOURS[None]).save(out, "JPEG", icc_profile=icc)
        return out.getvalue()

    assert is_display_p3(saved(profile("Display P3")))
    assert not is_display_p3(saved(_srgb()))
    assert not is_display_p3(saved(profile("Display P3"))[:30])
