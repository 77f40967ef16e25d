"""Sketches of what lies or hangs flat, one function each; x to the right, y down, the lower edge at 0."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bagwright.output.drawing import Dot, Fill, Ink, Item, Path, line, rectangle
from bagwright.output.sketch_parts import Sizes, rounded

_CARD_HEIGHT_MM = 53.98
"""Card ID-1 of ISO/IEC 7810; value from memory."""
_FROM_SIDE = 0.1


def _wallet(sizes: Sizes) -> list[Item]:
    """Wallet lying open: two halves, the spine between them, the steps of the card pockets."""
    half, high, ease = sizes["closed_width_mm"], sizes["height_mm"], sizes["fold_ease_mm"]
    return [
        Path(tuple(rounded(2 * half + ease, high, sizes["corner_radius_mm"])), Ink.OUTLINE, Fill.PAPER, closed=True),
        *_card_pockets(half, ease, sizes),
        *(line((x, 0), (x, -high), Ink.STITCH) for x in (half, half + ease)),
    ]


def _card_pockets(half: float, spine: float, sizes: Sizes) -> list[Item]:
    """Their tops on both halves."""
    step = sizes["pocket_step_mm"]
    pocket, items = _CARD_HEIGHT_MM - step, list[Item]()
    for left in (0.0, half + spine):
        for level in reversed(range(1, round(sizes["card_pockets"]))):
            y = -(level * step + pocket)
            items.append(line((left, y), (left + half, y), Ink.OUTLINE))
        spine_side, outer_side = (-pocket, -pocket * 2 / 3)
        ends = (outer_side, spine_side) if left == 0.0 else (spine_side, outer_side)
        items.append(line((left, ends[0]), (left + half, ends[1]), Ink.OUTLINE))
    return items


def _zip_round(sizes: Sizes) -> list[Item]:
    """The wallet lying open, half of the zip along either leaf: tape, teeth, and a puller at its lower end."""
    half, high, radius = sizes["closed_width_mm"], sizes["height_mm"], sizes["corner_radius_mm"]
    spine = sizes["tape_width_mm"] - 2 * sizes["zip_allowance_mm"]
    wide, tape, middle = 2 * half + spine, spine / 2, half + spine / 2
    outer = [(x - tape, y + tape) for x, y in rounded(wide + 2 * tape, high + 2 * tape, radius + tape)]
    teeth = [(x - 0.7 * tape, y + 0.7 * tape) for x, y in rounded(wide + 1.4 * tape, high + 1.4 * tape, radius + tape)]
    return [
        Path(tuple(outer), Ink.OUTLINE, Fill.SHADE, closed=True),
        Path(tuple(teeth), Ink.STITCH, closed=True),
        Path(tuple(rounded(wide, high, radius)), Ink.OUTLINE, Fill.PAPER, closed=True),
        *_card_pockets(half, spine, sizes),
        *(line((x, 0), (x, -high), Ink.STITCH) for x in (half, half + spine)),
        rectangle((middle - 0.2 * tape, 0.2 * tape), (middle + 0.2 * tape, 2.4 * tape), Ink.OUTLINE, Fill.PAPER),
        rectangle((middle - 0.4 * tape, 0.2 * tape), (middle + 0.4 * tape, 1.0 * tape), None, Fill.SOLID),
    ]


def _organiser(sizes: Sizes) -> list[Item]:
    """The panel with its rows of pockets, and what it hangs by or folds along."""
    wide, high = sizes["panel_width_mm"], sizes["height_mm"]
    rim = sizes["binding_width_mm"] if sizes["edge_finish"] == 0 else 0.0
    around = [rectangle((0, -high), (wide, 0), Ink.OUTLINE, Fill.SHADE)] if rim else []
    return [
        *_hung_by(sizes, rim),
        *around,
        rectangle((rim, rim - high), (wide - rim, -rim), Ink.OUTLINE, Fill.PAPER),
        *_rows(sizes, rim),
        *_grommets(sizes),
        *_folds(sizes),
    ]


def _rows(sizes: Sizes, rim: float) -> list[Item]:
    """From the lowest up: each row, the lines between its pockets, the pleats beside them."""
    columns, wide = round(sizes["pocket_columns"]), sizes["panel_width_mm"] - 2 * rim
    pocket, foot, items = wide / columns, -rim, list[Item]()
    for number in range(1, round(sizes["pocket_rows"]) + 1):
        top = foot - sizes[f"row_{number}_height_mm"]
        items.append(rectangle((rim, top), (rim + wide, foot), Ink.OUTLINE, Fill.CLOTH))
        pleat = min(sizes["pocket_depth_mm"] / 2, 0.2 * pocket)
        for column in range(columns):
            left, right = rim + column * pocket, rim + (column + 1) * pocket
            items += [line((left, foot), (left, top), Ink.OUTLINE)] if column else []
            if pleat:
                up = foot + 0.4 * (top - foot)
                items += [line((left + pleat, foot), (left + 0.4 * pleat, up), Ink.HAIRLINE)]
                items += [line((right - pleat, foot), (right - 0.4 * pleat, up), Ink.HAIRLINE)]
        foot = top - sizes["row_gap_mm"]
    return items


def _hang_points(sizes: Sizes) -> list[float]:
    number, wide = round(sizes["hang_points"]), sizes["panel_width_mm"]
    if number == 1:
        return [wide / 2]
    return [wide * (_FROM_SIDE + (1 - 2 * _FROM_SIDE) * n / (number - 1)) for n in range(number)]


def _hung_by(sizes: Sizes, rim: float) -> list[Item]:
    if sizes["carried"] != 0:
        return []
    half, high, long = sizes["loop_width_mm"] / 2, sizes["height_mm"], sizes["loop_length_mm"]
    return [
        rectangle((x - half, -high - long), (x + half, rim - high), Ink.OUTLINE, Fill.CLOTH)
        for x in _hang_points(sizes)
    ]


def _grommets(sizes: Sizes) -> list[Item]:
    if sizes["carried"] != 1:
        return []
    size = 0.016 * (sizes["panel_width_mm"] + sizes["height_mm"]) / 2
    y = 2.2 * size - sizes["height_mm"]
    return [Dot((x, y), size, Ink.OUTLINE, Fill.SHADE) for x in _hang_points(sizes)]


def _folds(sizes: Sizes) -> list[Item]:
    parts, wide, high = round(sizes["carried"]), sizes["panel_width_mm"], sizes["height_mm"]
    if parts < 2:
        return []
    half, reach = sizes["tie_width_mm"] / 2, 0.2 * wide
    return [
        *(
            rectangle((x, -high / 2 - half), (x + reach, half - high / 2), Ink.OUTLINE, Fill.SHADE)
            for x in (wide, -reach)
        ),
        *(line((wide * n / parts, 0), (wide * n / parts, -high), Ink.STITCH) for n in range(1, parts)),
    ]


FLAT_SKETCHES: Mapping[str, Callable[[Sizes], list[Item]]] = {
    "card_wallet": _wallet,
    "zip_round_wallet": _zip_round,
    "organiser": _organiser,
}
