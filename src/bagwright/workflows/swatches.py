"""A picture of a material: taken in from any phone or scanner, kept small and without what the camera wrote into it."""

from __future__ import annotations

import io
import warnings
from dataclasses import replace

from PIL import Image, ImageOps, UnidentifiedImageError

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.material import Material
from bagwright.store.materials import load_material, save_material
from bagwright.store.pictures import Picture, load_picture, save_picture
from bagwright.store.transaction import transaction
from bagwright.workflows.desk import Desk

SIDE_PX = 480
MOST_PIXELS = 60_000_000
FORMATS = ("JPEG", "PNG", "WEBP")
_ALLOWED = f"a JPEG, PNG or WebP picture of up to {MOST_PIXELS // 1_000_000} million pixels"


def keep_swatch(desk: Desk, material_id: str, version: int, data: bytes) -> Material:
    """Show the material by this picture from now on. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    picture = Picture("image/jpeg", small_jpeg(data))
    with desk.store() as store, transaction(store):
        kept = load_material(store, material_id)
        if kept.version != version:
            raise StaleSave(f"material {material_id!r}", expected_version=version, kept_version=kept.version)
        shown = replace(kept.value, swatch=save_picture(store, picture))
        return save_material(store, shown, expected_version=version).value


def swatch_of(desk: Desk, material_id: str) -> Picture:
    """The picture of a material. Raises `NotKept` if it has none."""
    with desk.store() as store:
        return load_picture(store, load_material(store, material_id).value.swatch)


def small_jpeg(data: bytes) -> bytes:
    """The middle square of a picture, upright, `SIDE_PX` wide, as JPEG. Raises `FaultyInput` for anything else."""
    try:
        with warnings.catch_warnings(), Image.open(io.BytesIO(data), formats=FORMATS) as picture:
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            if picture.width * picture.height > MOST_PIXELS:
                raise _refused(f"{picture.width} x {picture.height}", "has too many pixels")
            picture.draft("RGB", (2 * SIDE_PX, 2 * SIDE_PX))
            upright = ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, Image.DecompressionBombError) as fault:
        if isinstance(fault, FaultyInput):
            raise
        raise _refused("This file", "is no picture that can be read") from None
    square = ImageOps.fit(upright, (SIDE_PX, SIDE_PX))
    written = io.BytesIO()
    square.save(written, "JPEG", quality=85)
    return written.getvalue()


def _refused(value: str, what: str) -> FaultyInput:
    remedy = "Choose another picture."
    return FaultyInput([Problem(place="swatch", value=value, what=what, allowed=_ALLOWED, remedy=remedy)])
