"""A bag from the side, its front as it was asked for and as its own weight bows it."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.geometry.curves import Point
from bagwright.output.drawing import Anchor, Drawing, Fill, Ink, Item, Path, Text, Tone, framed, line
from bagwright.output.lettering import Weight

_HEIGHT_MM = 62.0
_MOST_WIDE_MM = 40.0
_ROUND_TIMES = (1.0, 2.0, 3.0, 5.0, 10.0)
_LEAST_SEEN_MM = 6.0
_THIN_BAG_MM = 3.0

Section = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SideView:
    """The bag from the side: sizes and, as (outwards, up) from the foot, the front at its most bow. [mm]

    `words` describe it for those who cannot see it; `stance` is told below it.
    """

    height_mm: float
    depth_mm: float
    most: Section
    stance: str
    words: str


def draw_side_view(view: SideView) -> Drawing:
    """Asked shape dashed; taken shape, at the most bow, as a thick line; what lies between shaded.

    To scale, but that a slight bow is drawn deeper than it is, by a factor that is told.
    """
    deepest = max(abs(out) for out, _ in view.most)
    scale = min(_HEIGHT_MM / view.height_mm, _MOST_WIDE_MM / max(view.depth_mm + deepest, 1.0))
    times = _times(deepest * scale)
    back_x = max(view.depth_mm * scale, _THIN_BAG_MM)

    def placed(section: Section) -> tuple[Point, ...]:
        return tuple((-abs(out) * scale * times, -up * scale) for out, up in section)

    top = -view.height_mm * scale
    most = placed(view.most)
    left = min(x for x, _ in most)
    items: list[Item] = [
        Path((*most, (0, top), (0, 0)), None, Fill.SHADE, closed=True),
        line((back_x, 0), (back_x, top), Ink.OUTLINE),
        line((0, 0), (back_x, 0), Ink.STRIP),
        line((0, 0), (0, top), Ink.STITCH),
        Path(most, Ink.STRIP),
        line((min(left, 0) - 4, 1.2), (back_x + 4, 1.2), Ink.HAIRLINE),
        Text((back_x + 1.2, top / 2), "back", 3.0, tone=Tone.SOFT),
        Text((0, top - 2.4), "asked", 3.0, Anchor.MIDDLE, tone=Tone.SOFT),
        Text(((left + back_x) / 2, 6.2), view.stance, 3.8, Anchor.MIDDLE, weight=Weight.STRONG),
    ]
    if times > 1:
        items.append(Text(((left + back_x) / 2, 10.4), f"bow × {times:g}", 3.0, Anchor.MIDDLE, tone=Tone.SOFT))
    return framed(items, margin_mm=1.5, title=f"From the side: the panel {view.stance}", description=view.words)


def _times(deepest_mm: float) -> float:
    """By how much a bow is drawn deeper, so that it is seen.

    >>> _times(20), _times(2.5), _times(0)
    (1.0, 3.0, 1.0)
    """
    if deepest_mm <= 0:
        return 1.0
    return next((times for times in _ROUND_TIMES if times * deepest_mm >= _LEAST_SEEN_MM), _ROUND_TIMES[-1])
