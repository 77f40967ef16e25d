"""A small sketch of the finished bag, drawn from its measurements: for the list of bags and the head of a page."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bagwright.errors import BrokenPromise
from bagwright.output.bag_sketches import BAG_SKETCHES
from bagwright.output.drawing import Dot, Drawing, Fill, Ink, Item, Path, bounds_of, line, rectangle, shifted
from bagwright.output.flat_sketches import FLAT_SKETCHES
from bagwright.output.sketch_parts import DEPTH_SHOWN, Sizes, rounded, strap_arch

SKETCH_MM = (44.0, 44.0)
_MARGIN_MM = 2.0
_TOOTH_MM = 6.0


def draw_bag_sketch(form: str, measurements_mm: Mapping[str, float]) -> Drawing:
    """The finished bag of that form key seen from the front, to fit a small square.

    Raises `BrokenPromise` for a form that has no sketch; a measurement the form needs must be there.
    """
    if form not in _SKETCHES:
        raise BrokenPromise(f"no sketch for the form {form!r} among {sorted(_SKETCHES)}")
    items = _SKETCHES[form](measurements_mm)
    left, top, right, bottom = bounds_of(items)
    room_x, room_y = SKETCH_MM[0] - 2 * _MARGIN_MM, SKETCH_MM[1] - 2 * _MARGIN_MM
    scale = min(room_x / (right - left), room_y / (bottom - top))
    # Centred across, standing on the lower margin.
    dx = (SKETCH_MM[0] - scale * (right - left)) / 2 - scale * left
    dy = SKETCH_MM[1] - _MARGIN_MM - scale * bottom
    placed = tuple(shifted(_scaled(item, scale), dx, dy) for item in items)
    sizes = ", ".join(f"{key.removesuffix('_mm').replace('_', ' ')} {mm:.0f} mm" for key, mm in measurements_mm.items())
    return Drawing(*SKETCH_MM, placed, f"Sketch of the {form.replace('_', ' ')}", sizes)


def _scaled(item: Item, scale: float) -> Item:
    if isinstance(item, Path):
        return Path(tuple((x * scale, y * scale) for x, y in item.points), item.ink, item.fill, item.closed)
    if isinstance(item, Dot):
        return Dot((item.centre[0] * scale, item.centre[1] * scale), item.radius_mm * scale, item.ink, item.fill)
    raise BrokenPromise("a sketch has only lines and dots")


def _tote(sizes: Sizes) -> list[Item]:
    """Open box with two straps; y down, the base at 0."""
    wide, high = sizes["width_mm"], sizes["height_mm"]
    shown = DEPTH_SHOWN * sizes["depth_mm"]
    front, back = -high, -high - shown
    middle, half = wide / 2, sizes["strap_spacing_mm"] / 2
    rear = strap_arch(middle + shown - half, middle + shown + half, back, sizes)
    fore = strap_arch(middle - half, middle + half, front, sizes)
    return [
        *rear,
        Path(((0, front), (shown, back), (wide + shown, back), (wide, front)), Ink.OUTLINE, Fill.SHADE, closed=True),
        Path(
            ((wide, 0), (wide + shown, -shown), (wide + shown, back), (wide, front)),
            Ink.OUTLINE,
            Fill.CLOTH,
            closed=True,
        ),
        rectangle((0, front), (wide, 0), Ink.OUTLINE, Fill.PAPER),
        line((0, front + 0.05 * high), (wide, front + 0.05 * high), Ink.STITCH),
        *fore,
    ]


def _pouch(sizes: Sizes) -> list[Item]:
    """Pouch from the front, its zip above, tabs at both ends and a puller."""
    wide, high = sizes["width_mm"], sizes["height_mm"]
    shown = 0.35 * (sizes["tape_width_mm"] - 2 * sizes["zip_allowance_mm"])
    tab = min(sizes["tab_length_mm"], wide / 4)
    round_mm = min(0.15 * sizes["depth_mm"] + 3.0, 0.2 * high, 0.2 * wide)
    top, zip_top = -high, -high - max(shown, 0.03 * high)
    body = [
        *rounded(wide, 2 * high, round_mm)[: len(rounded(wide, 2 * high, round_mm)) // 2],
        (0.0, top),
        (wide, top),
    ]
    items: list[Item] = [
        Path(tuple(body), Ink.OUTLINE, Fill.PAPER, closed=True),
        rectangle((0, zip_top), (wide, top), Ink.OUTLINE, Fill.CLOTH),
        rectangle((0, zip_top), (tab, top), Ink.OUTLINE, Fill.SHADE),
        rectangle((wide - tab, zip_top), (wide, top), Ink.OUTLINE, Fill.SHADE),
        line((0.02 * wide, top + 0.03 * high), (0.98 * wide, top + 0.03 * high), Ink.STITCH),
    ]
    middle = (top + zip_top) / 2
    teeth = int((wide - 2 * tab) / _TOOTH_MM)
    items += [
        line((tab + (i + 0.5) * _TOOTH_MM, middle - 1.5), (tab + (i + 0.5) * _TOOTH_MM, middle + 1.5), Ink.HAIRLINE)
        for i in range(teeth)
    ]
    return [*items, *_puller(tab + 0.06 * wide, middle, 0.10 * high)]


def _puller(x: float, y: float, length: float) -> list[Item]:
    width = 0.3 * length
    return [
        rectangle((x - width, y - width), (x + width, y + width), None, Fill.SOLID),
        rectangle((x - 0.6 * width, y + width), (x + 0.6 * width, y + width + length), Ink.OUTLINE, Fill.PAPER),
    ]


_SKETCHES: Mapping[str, Callable[[Sizes], list[Item]]] = {
    "boxed_tote": _tote,
    "zip_pouch": _pouch,
    **BAG_SKETCHES,
    **FLAT_SKETCHES,
}
