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
PRINTED_PX = 1000
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
    return _written(ImageOps.fit(_opened(data), (SIDE_PX, SIDE_PX)))


def _opened(data: bytes) -> Image.Image:
    """The picture, upright and of no more than twice the size that is kept of it."""
    try:
        with warnings.catch_warnings(), Image.open(io.BytesIO(data), formats=FORMATS) as picture:
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            if picture.width * picture.height > MOST_PIXELS:
                raise _refused(f"{picture.width} x {picture.height}", "has too many pixels")
            picture.draft("RGB", (PRINTED_PX, PRINTED_PX))
            return ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, Image.DecompressionBombError) as fault:
        if isinstance(fault, FaultyInput):
            raise
        raise _refused("This file", "is no picture that can be read") from None


def printable_jpeg(data: bytes) -> bytes:
    """A whole picture as it lies, at most `PRINTED_PX` long, as JPEG. Raises `FaultyInput` for anything else."""
    picture = _opened(data)
    picture.thumbnail((PRINTED_PX, PRINTED_PX))
    return _written(picture)


def _written(picture: Image.Image) -> bytes:
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=85)
    return written.getvalue()


def _refused(value: str, what: str) -> FaultyInput:
    remedy = "Choose another picture."
    return FaultyInput([Problem(place="swatch", value=value, what=what, allowed=_ALLOWED, remedy=remedy)])
