"""What matters most: for each input a bar to both sides of where a total stands now, the widest at the top."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.output.drawing import Anchor, Drawing, Ink, Item, Text, Tone, framed, line, rectangle
from bagwright.output.lettering import Weight, shortened
from bagwright.output.strokes import Strokes, stroked

_MIDDLE_MM, _REACH_MM, _WIDTH_MM = 48.0, 31.0, 96.0
_HEAD_MM, _ROW_MM, _BAR_MM = 12.0, 11.5, 4.2
_SIZE_MM, _SMALL_MM = 3.6, 3.2


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingBar:
    """One input: how far the total moves down and up (0 or less, 0 or more), and both in words."""

    name: str
    down: float
    up: float
    down_said: str
    up_said: str


def draw_swing_bars(bars: Sequence[SwingBar], *, total: str, now: str, up_is_better: bool) -> Drawing:
    """The `total` as it stands `now` is the line in the middle. The worse side is struck through, the better one full.

    `bars` has at least one that moves.
    """
    most = max(max(bar.up, -bar.down) for bar in bars)
    bottom = _HEAD_MM + _ROW_MM * len(bars)
    items: list[Item] = [
        Text((_MIDDLE_MM, 4.0), f"{total} {now}", _SIZE_MM, Anchor.MIDDLE, weight=Weight.STRONG),
        Text((0.0, 4.0), "less", _SIZE_MM, tone=Tone.SOFT),
        Text((_WIDTH_MM, 4.0), "more", _SIZE_MM, Anchor.END, tone=Tone.SOFT),
        line((_MIDDLE_MM, 6.0), (_MIDDLE_MM, bottom), Ink.MEASURE),
    ]
    for row, bar in enumerate(bars):
        items += _row(bar, _HEAD_MM + row * _ROW_MM, _REACH_MM / most, up_is_better)
    items.append(rectangle((0.0, 0.0), (_WIDTH_MM, bottom)))
    told = "; ".join(f"{bar.name}: {bar.down_said or 'no'} less, {bar.up_said or 'no'} more" for bar in bars)
    return framed(items, margin_mm=0.5, title=f"What moves it most: {total}", description=f"Now {now}. {told}.")


def _row(bar: SwingBar, top: float, scale: float, up_is_better: bool) -> Iterator[Item]:
    name = shortened(bar.name, _WIDTH_MM, _SIZE_MM)
    yield Text((_MIDDLE_MM, top), name, _SIZE_MM, Anchor.MIDDLE, halo=True)
    low, high = top + 1.4, top + 1.4 + _BAR_MM
    base = low + 0.5 * _BAR_MM + 0.35 * _SMALL_MM
    worse, better = Strokes.RISING, Strokes.FULL
    if bar.down < 0:
        left = _MIDDLE_MM + bar.down * scale
        yield from stroked((left, low), (_MIDDLE_MM, high), worse if up_is_better else better)
        yield Text((left - 1.2, base), bar.down_said, _SMALL_MM, Anchor.END)
    if bar.up > 0:
        right = _MIDDLE_MM + bar.up * scale
        yield from stroked((_MIDDLE_MM, low), (right, high), better if up_is_better else worse)
        yield Text((right + 1.2, base), bar.up_said, _SMALL_MM)
