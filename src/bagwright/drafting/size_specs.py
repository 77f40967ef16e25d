"""Measurements that many forms ask for, worded once."""

from __future__ import annotations

from bagwright.drafting.measurements import COMMON_PRACTICE, MeasurementSpec, count_spec, size_spec

SEAM_ALLOWANCE = size_spec(
    "seam_allowance_mm",
    "Seam allowance",
    "Cloth outside the stitch line at every seam but the top one.",
    (6, 9.525, 20),
    source=COMMON_PRACTICE,
)
TOP_ALLOWANCE = size_spec(
    "top_allowance_mm",
    "Top allowance",
    "Cloth above the stitch line at the top edge, and the strap ends held in it.",
    (6, 12.7, 40),
    source=COMMON_PRACTICE,
)
STRAP_WIDTH = size_spec("strap_width_mm", "Strap width", "Finished width of a strap.", (12.7, 25.4, 60))
STRAP_SPACING = size_spec(
    "strap_spacing_mm",
    "Strap spacing",
    "From the middle of one end of a strap to the middle of its other end.",
    (20, 152.4, 800),
)

_KINDS = ("folded in four", "two layers, turned", "two layers, edges raw", "webbing")
_ADJUSTABLE_KINDS = ("webbing with an adjuster", "folded strip with an adjuster")
_KIND_SAID = "What the straps are made of, and how."
STRAP_KIND = count_spec("strap_kind", "Kind of strap", _KIND_SAID, (0, 0, 3), choices=_KINDS)
LONG_STRAP_KIND = count_spec(
    "strap_kind", "Kind of strap", _KIND_SAID, (0, 0, 5), choices=(*_KINDS, *_ADJUSTABLE_KINDS)
)


def strap_length_spec(low_default_high_mm: tuple[float, float, float]) -> MeasurementSpec:
    """Length of one strap between the edges it is held in."""
    said = "Length of one strap that shows above the top edge; of an adjustable one at its longest."
    return size_spec("strap_length_mm", "Strap length", said, low_default_high_mm)


def width_spec(low_default_high_mm: tuple[float, float, float]) -> MeasurementSpec:
    """Width of the bag."""
    return size_spec("width_mm", "Width", "Finished width of the base, side to side.", low_default_high_mm)


def height_spec(low_default_high_mm: tuple[float, float, float]) -> MeasurementSpec:
    """Height of the bag."""
    return size_spec("height_mm", "Height", "Finished height from the base to the top edge.", low_default_high_mm)


def depth_spec(low_default_high_mm: tuple[float, float, float]) -> MeasurementSpec:
    """Depth of the bag."""
    return size_spec("depth_mm", "Depth", "Finished depth of the base, front to back.", low_default_high_mm)
