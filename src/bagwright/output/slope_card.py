"""The slope card of the ruler test at true scale: a line that falls from the table's edge, and a ruler."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bagwright.geometry.curves import Point
from bagwright.output.drawing import Anchor, Drawing, Ink, Item, Path, Text, Tone, line, rectangle
from bagwright.output.lettering import Weight
from bagwright.output.template_pages import scale_squares
from bagwright.output.tiling import PAPER_MM, Paper, Sheet, page_heading

FLAP_MM = 25.0
"""Width of the flap that is taped to the side of the table."""
RULER_MM = 180
_ROOM_MM = (150.0, 95.0)
_STEPS = (
    "Print at 100 % and measure both squares. Glue the sheet to card; cut card and ruler out along the solid lines.",
    "Tape the flap to the side of a table, its corner at the table's edge, the line falling away from the table.",
    "Cut a strip 25 mm (1 in) wide and 200 mm (8 in) long; let it lie an hour. Lay it on the table at a right angle",
    "to the edge, the ruler on top, both flush with the edge. Push both out together, slowly.",
    "Stop when the tip of the strip touches the line. Read on the ruler how far the strip hangs over: its overhang.",
    "Turn the strip over and end for end, and do it again. Three strips lengthwise, three crosswise are enough.",
    "Cloth that curls or twists, and very limp cloth, cannot be tested like this.",
)


def draw_slope_card(angle_deg: float, *, paper: str) -> Drawing:
    """One page: instructions, test squares, the card for that slope, the ruler. `paper` is "A4" or "Letter"."""
    kind = Paper.called(paper)
    sheet = Sheet(kind)
    left, top = sheet.low
    items: list[Item] = [
        *page_heading(sheet, "Slope card for the ruler test, at true scale", f"{angle_deg:g} degrees"),
        Text((left, top + 9.0), f"Ruler test at {angle_deg:g} degrees", 8.0, weight=Weight.STRONG),
        *(Text((left, top + 17.0 + 5.2 * i), step, 3.5) for i, step in enumerate(_STEPS)),
        *scale_squares((left, top + 55.0)),
        *_card((left, top + 115.0), angle_deg),
        *_ruler((left, sheet.high[1] - 24.0)),
    ]
    words = f"A line that falls by {angle_deg:g} degrees from the corner of the table, and a ruler of {RULER_MM} mm."
    return Drawing(*PAPER_MM[kind], tuple(items), "Slope card for the ruler test", words)


def _card(low: Point, angle_deg: float) -> list[Item]:
    """Flap at the left, the table's corner at its upper right, the slope from there as far as there is room."""
    x, y = low[0] + FLAP_MM, low[1]
    slope = math.tan(math.radians(angle_deg))
    run = min(_ROOM_MM[0], _ROOM_MM[1] / slope)
    fall = run * slope
    right, bottom = x + max(run, 50.0) + 8.0, y + max(fall, 40.0) + 8.0
    off_x, off_y = 2.0 * math.sin(math.radians(angle_deg)), -2.0 * math.cos(math.radians(angle_deg))
    cut = ((low[0], y), (right, y), (right, bottom), (low[0], bottom))
    return [
        Path(cut, Ink.CUT, closed=True),
        line((x, y), (x, bottom), Ink.FOLD),
        line((x, y), (x + run, y + fall), Ink.OUTLINE),
        Text((x, y - 1.8), "this corner at the table's edge", 3.2, Anchor.MIDDLE),
        Text((low[0] + FLAP_MM / 2 + 1.5, bottom - 4.0), "tape to the table", 3.2, turn_deg=90.0, tone=Tone.SOFT),
        Text(
            (x + 0.55 * run + off_x, y + 0.55 * fall + off_y),
            f"{angle_deg:g} degrees: the tip must touch this line",
            3.2,
            Anchor.MIDDLE,
            turn_deg=-angle_deg,
        ),
    ]


def _ruler(low: Point) -> list[Item]:
    """Millimetres from the left end."""
    x, y = low
    items: list[Item] = [rectangle((x, y), (x + RULER_MM, y + 22.0), Ink.CUT)]
    for mm in range(RULER_MM + 1):
        items.append(
            line((x + mm, y), (x + mm, y + (7.0 if mm % 10 == 0 else 5.0 if mm % 5 == 0 else 3.0)), Ink.HAIRLINE)
        )
    items += [Text((x + mm, y + 11.0), str(mm), 3.4, Anchor.MIDDLE) for mm in _tens()]
    items.append(Text((x + 4.0, y + 18.0), "Flush with the table's edge here. Millimetres.", 3.2, tone=Tone.SOFT))
    return items


def _tens() -> Sequence[int]:
    return range(10, RULER_MM, 10)
