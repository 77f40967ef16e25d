"""Front sketches of the open bags, one function each; x to the right, y down, the base at 0."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from bagwright.geometry.curves import Point
from bagwright.output.drawing import Fill, Ink, Item, Path, line, rectangle
from bagwright.output.sketch_parts import DEPTH_SHOWN, Sizes, arch, rounded, strap_arch


def _box(sizes: Sizes) -> list[Item]:
    """Open box: its top, its right side, its front."""
    wide, high = sizes["width_mm"], sizes["height_mm"]
    shown = DEPTH_SHOWN * sizes["depth_mm"]
    top = ((0.0, -high), (shown, -high - shown), (wide + shown, -high - shown), (wide, -high))
    side = ((wide, 0.0), (wide + shown, -shown), (wide + shown, -high - shown), (wide, -high))
    return [
        Path(top, Ink.OUTLINE, Fill.SHADE, closed=True),
        Path(side, Ink.OUTLINE, Fill.CLOTH, closed=True),
        rectangle((0, -high), (wide, 0), Ink.OUTLINE, Fill.PAPER),
    ]


def _based_tote(sizes: Sizes) -> list[Item]:
    """The tote's box, its base shaded."""
    wide, high, rise = sizes["width_mm"], sizes["height_mm"], sizes["rise_mm"]
    shown, half = DEPTH_SHOWN * sizes["depth_mm"], sizes["strap_spacing_mm"] / 2
    side = ((wide, 0.0), (wide + shown, -shown), (wide + shown, -rise - shown), (wide, -rise))
    return [
        *strap_arch(wide / 2 + shown - half, wide / 2 + shown + half, -high - shown, sizes),
        *_box(sizes),
        Path(side, Ink.OUTLINE, Fill.SHADE, closed=True),
        rectangle((0, -rise), (wide, 0), Ink.OUTLINE, Fill.CLOTH),
        line((0, -0.95 * high), (wide, -0.95 * high), Ink.STITCH),
        *strap_arch(wide / 2 - half, wide / 2 + half, -high, sizes),
    ]


def _half_ellipse(wide: float, rise: float, y: float) -> list[Point]:
    """From the left to the right over a middle line at `y`; a negative rise goes below it."""
    return arch(0.0, wide, y, rise)


def _bucket(sizes: Sizes) -> list[Item]:
    """Cylinder seen a little from above."""
    wide, high = sizes["diameter_mm"], sizes["height_mm"]
    rise, half = DEPTH_SHOWN * wide / 4, sizes["strap_spacing_mm"] / 2
    wall = [*_half_ellipse(wide, -rise, 0.0), *reversed(_half_ellipse(wide, -rise, -high))]
    rim = [*_half_ellipse(wide, rise, -high), *reversed(_half_ellipse(wide, -rise, -high))]
    return [
        *strap_arch(wide / 2 - half, wide / 2 + half, -high - rise, sizes),
        Path(tuple(rim), Ink.OUTLINE, Fill.SHADE, closed=True),
        Path(tuple(wall), Ink.OUTLINE, Fill.PAPER, closed=True),
        Path(tuple(_half_ellipse(wide, -rise, -0.95 * high)), Ink.STITCH),
        *strap_arch(wide / 2 - half, wide / 2 + half, rise - high, sizes),
    ]


def _gusset(sizes: Sizes) -> list[Item]:
    """Front with round lower corners, the gusset behind it, the strap from side to side."""
    wide, high, r = sizes["width_mm"], sizes["height_mm"], sizes["corner_radius_mm"]
    shown = DEPTH_SHOWN * sizes["depth_mm"]
    face = _round_below(wide, high, r)
    over = ((0.0, -high), (shown, -high - shown), (wide + shown, -high - shown), (wide, -high))
    behind = [(x + shown, y - shown) for x, y in face]
    return [
        *strap_arch(shown / 2, wide + shown / 2, -high - shown / 2, sizes),
        Path(tuple(behind), Ink.OUTLINE, Fill.CLOTH, closed=True),
        Path(over, Ink.OUTLINE, Fill.SHADE, closed=True),
        Path(tuple(face), Ink.OUTLINE, Fill.PAPER, closed=True),
        line((0, -0.95 * high), (wide, -0.95 * high), Ink.STITCH),
    ]


def _flap_bag(sizes: Sizes) -> list[Item]:
    """The gusseted body under its flap."""
    wide, high = sizes["width_mm"], sizes["height_mm"]
    shown, fall = DEPTH_SHOWN * sizes["depth_mm"], sizes["flap_length_mm"] - sizes["depth_mm"]
    flap = [(x, y + fall - high) for x, y in _round_below(wide, fall, min(sizes["flap_radius_mm"], fall, wide / 2))]
    over = ((0.0, -high), (shown, -high - shown), (wide + shown, -high - shown), (wide, -high))
    return [
        *_gusset(sizes),
        Path(over, Ink.OUTLINE, Fill.CLOTH, closed=True),
        Path(tuple(flap), Ink.OUTLINE, Fill.CLOTH, closed=True),
    ]


def _round_below(wide: float, high: float, radius: float) -> list[Point]:
    """A rectangle on the ground whose lower corners are round."""
    points = rounded(wide, 2 * high, radius)
    return [*points[: len(points) // 2], (0.0, -high), (wide, -high)]


def _gathered(sizes: Sizes) -> list[Item]:
    """A bag drawn together along the top, with folds, the casing above and two cords."""
    wide, high, deep = sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"]
    tail, casing = min(sizes["cord_tail_mm"], 0.4 * high), sizes["casing_height_mm"]
    neck, middle = 0.45 * (wide + 0.5 * deep), wide / 2
    left, right = middle - neck / 2, middle + neck / 2
    shoulder = -0.7 * high
    body = ((0.0, 0.0), (wide, 0.0), (wide, shoulder), (right, -high), (left, -high), (0.0, shoulder))
    folds = [
        line((left + neck * share, -high), (middle + (share - 0.5) * 0.85 * wide, -0.8 * high), Ink.HAIRLINE)
        for share in (0.15, 0.325, 0.5, 0.675, 0.85)
    ]
    cords = [
        Path(
            ((x, -high - casing / 2), (x + way * 0.1 * wide, -high), (x + way * 0.12 * wide, tail - high)), Ink.OUTLINE
        )
        for x, way in ((left, -1), (right, 1))
    ]
    return [
        Path(body, Ink.OUTLINE, Fill.PAPER, closed=True),
        rectangle((left, -high - casing), (right, -high), Ink.OUTLINE, Fill.SHADE),
        *folds,
        *cords,
    ]


def _backpack(sizes: Sizes) -> list[Item]:
    """The gathered body from behind, its two straps from the neck to the lower sides."""
    wide, high, half = sizes["width_mm"], sizes["height_mm"], sizes["strap_width_mm"] / 2
    straps: list[Item] = []
    for way in (-1, 1):
        top, foot = wide / 2 + way * sizes["strap_spacing_mm"] / 2, wide / 2 + way * (wide / 2 - half)
        bow = foot + way * 0.12 * wide
        line_of = [_bow((top, -0.98 * high), (bow, -0.5 * high), (foot, -0.04 * high), step / 16) for step in range(17)]
        edges = [(x - half, y) for x, y in line_of] + [(x + half, y) for x, y in reversed(line_of)]
        straps.append(Path(tuple(edges), Ink.OUTLINE, Fill.CLOTH, closed=True))
    return [*_gathered(sizes), *straps]


def _bow(start: Point, through: Point, end: Point, share: float) -> Point:
    """A point of the quadratic curve that `through` pulls towards itself."""
    a, b, c = (1 - share) ** 2, 2 * share * (1 - share), share**2
    return a * start[0] + b * through[0] + c * end[0], a * start[1] + b * through[1] + c * end[1]


def _barrel(sizes: Sizes) -> list[Item]:
    """The barrel lying on the ground, its right end seen, the zip along its top."""
    wide, high, down = sizes["width_mm"], sizes["diameter_mm"], sizes["strap_down_mm"]
    round_off = DEPTH_SHOWN * high / 4
    end = [(wide + round_off * x, y) for x, y in _circle(high)]
    left = [(-round_off * x, y) for x, y in _circle(high) if x > -1e-9]
    body = [*left, *((x, y) for x, y in reversed(end) if x > wide - 1e-6)]
    turn = (down + sizes["tape_width_mm"] / 2 - sizes["zip_allowance_mm"]) / (high / 2)
    handle_foot = -high / 2 * (1 + math.cos(min(turn, math.pi)))
    middle, half = wide / 2, sizes["strap_spacing_mm"] / 2
    has_handles = sizes["carried"] == 0
    behind = strap_arch(middle + round_off / 2 - half, middle + round_off / 2 + half, -high, sizes)
    before = strap_arch(middle - half, middle + half, handle_foot, sizes)
    narrow = sizes["strap_width_mm"] * DEPTH_SHOWN / 2
    over = strap_arch(0.0, wide, -high, sizes)
    on_end = [rectangle((wide - narrow, -high), (wide + narrow, down - high), Ink.OUTLINE, Fill.PAPER)]
    return [
        *(behind if has_handles else over),
        Path(tuple(body), Ink.OUTLINE, Fill.PAPER, closed=True),
        *_zip_along(wide, high, sizes),
        Path(tuple(end), Ink.OUTLINE, Fill.CLOTH, closed=True),
        *(before if has_handles else on_end),
    ]


def _circle(high: float) -> list[Point]:
    """Round about (0, -high / 2), one wide to either side, from the lowest point anticlockwise."""
    turns = [2 * math.pi * step / 48 for step in range(48)]
    return [(math.sin(turn), -high / 2 * (1 - math.cos(turn))) for turn in turns]


def _zip_along(wide: float, high: float, sizes: Sizes) -> list[Item]:
    """The zip just below the upper outline, with its tabs."""
    low, top = -0.90 * high, -0.97 * high
    tab = min(sizes["tab_length_mm"], wide / 4) if sizes["zip_ends"] == 0 else 0.0
    tabs = [(0.0, tab), (wide - tab, wide)] if tab else []
    return [
        rectangle((0.0, top), (wide, low), Ink.OUTLINE, Fill.CLOTH),
        *(rectangle((start, top), (end, low), Ink.OUTLINE, Fill.SHADE) for start, end in tabs),
        line((tab, (top + low) / 2), (wide - tab, (top + low) / 2), Ink.STITCH),
    ]


BAG_SKETCHES: Mapping[str, Callable[[Sizes], list[Item]]] = {
    "based_tote": _based_tote,
    "bucket_bag": _bucket,
    "gusset_bag": _gusset,
    "flap_bag": _flap_bag,
    "drawstring_bag": _gathered,
    "backpack": _backpack,
    "barrel_bag": _barrel,
}
