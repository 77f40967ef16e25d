"""One description of a drawing, in mm on paper, x to the right and y DOWN from the top left corner.

Lines carry the name of what they mean, never a colour: each writer has its own ink for each name.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

from bagwright.geometry.curves import Point
from bagwright.model.material import MaterialKind
from bagwright.output.lettering import Weight, text_width_mm


class Ink(StrEnum):
    """What a line means."""

    CUT = "cut line"
    STITCH = "stitch line"
    FOLD = "fold"
    GRAIN = "grain"
    NOTCH = "notch"
    MARK = "mark"
    SELVEDGE = "selvedge"
    OUTLINE = "outline"
    HAIRLINE = "hairline"
    MEASURE = "measure"
    STRIP = "strip"
    BEND = "bend"
    ATTENTION = "attention"
    SEWN = "sewn now"


class Fill(StrEnum):
    """What an area means, where no hatch says it."""

    PAPER = "paper"
    CLOTH = "cloth"
    SOLID = "solid"
    SHADE = "shade"
    MAGENTA = "magenta"
    GREEN = "green"


@dataclass(frozen=True, slots=True)
class Hatch:
    """An area filled with the hatch of a kind of material; `pale` for what is left over."""

    kind: MaterialKind
    pale: bool = False


@dataclass(frozen=True, slots=True)
class Path:
    """Straight runs through `points`; curves come flattened. Drawn in `ink` and filled with `fill`, if any."""

    points: tuple[Point, ...]
    ink: Ink | None = None
    fill: Fill | Hatch | None = None
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Dot:
    """A circle."""

    centre: Point
    radius_mm: float
    ink: Ink | None = None
    fill: Fill | None = None


class Anchor(StrEnum):
    """Which end of a text stands at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Tone(StrEnum):
    """How loudly a text speaks."""

    INK = "ink"
    SOFT = "soft"


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text, its baseline at `at`, turned `turn_deg` counter-clockwise about it (90 reads upwards).

    `size_mm` is the em. `halo` clears the ground around the letters; `is_measure` sets 3/4 as a real fraction.
    """

    at: Point
    text: str
    size_mm: float = 3.2
    anchor: Anchor = Anchor.START
    turn_deg: float = 0.0
    weight: Weight = Weight.PLAIN
    tone: Tone = Tone.INK
    halo: bool = False
    is_measure: bool = False


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A picture of a thing. On a page it comes from `href`, if given; in a file its `data` are put in."""

    media_type: str
    data: bytes = field(repr=False)
    href: str = ""


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture laid on the drawing, its top left, top right and bottom left corners at `corners`.

    It is seen inside of the closed rings `inside`, not within their holes.
    """

    corners: tuple[Point, Point, Point]
    picture: PictureFile
    inside: tuple[tuple[Point, ...], ...]


Mark = Path | Dot | Text | Photo


@dataclass(frozen=True, slots=True)
class Window:
    """Items seen through an upright opening between two corners; what lies outside it is cut off."""

    low: Point
    high: Point
    items: tuple[Mark, ...]


Item = Mark | Window


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing. `title` and `description` are for those who cannot see it."""

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    title: str
    description: str


@dataclass(frozen=True, slots=True)
class Figure:
    """Items that belong together, to be put somewhere on a drawing."""

    items: tuple[Item, ...]

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom."""
        return bounds_of(self.items)

    def shifted(self, dx_mm: float, dy_mm: float) -> Figure:
        """Moved without turning."""
        return Figure(tuple(shifted(item, dx_mm, dy_mm) for item in self.items))


def bounds_of(items: Iterable[Item]) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of everything, text included.

    >>> bounds_of([Path(((1, 2), (4, 3))), Dot((0, 0), 1)])
    (-1, -1, 4, 3)
    """
    corners = list(itertools.chain.from_iterable(_corners(item) for item in items))
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def _corners(item: Item) -> Sequence[Point]:
    if isinstance(item, Path):
        return item.points
    if isinstance(item, Dot):
        (x, y), r = item.centre, item.radius_mm
        return ((x - r, y - r), (x + r, y + r))
    if isinstance(item, Window):
        return (item.low, item.high)
    if isinstance(item, Photo):
        return tuple(itertools.chain.from_iterable(item.inside))
    return text_box(item)


def text_box(text: Text) -> tuple[Point, Point]:
    """Corners of the upright box around a text (turns are taken as quarter turns)."""
    width = text_width_mm(text.text, text.size_mm, text.weight)
    before = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[text.anchor]
    (x, y), up, down = text.at, 0.75 * text.size_mm, 0.25 * text.size_mm
    if round(text.turn_deg / 90) % 4 == 1:
        return (x - up, y - (width - before)), (x + down, y + before)
    if round(text.turn_deg / 90) % 4 == 3:
        return (x - down, y - before), (x + up, y + (width - before))
    return (x - before, y - up), (x + width - before, y + down)


def shifted(item: Item, dx_mm: float, dy_mm: float) -> Item:
    """The item moved without turning."""
    if isinstance(item, Window):
        low, high = _moved(item.low, dx_mm, dy_mm), _moved(item.high, dx_mm, dy_mm)
        return Window(low, high, tuple(_shifted_mark(mark, dx_mm, dy_mm) for mark in item.items))
    return _shifted_mark(item, dx_mm, dy_mm)


def _moved(point: Point, dx_mm: float, dy_mm: float) -> Point:
    return point[0] + dx_mm, point[1] + dy_mm


def _shifted_mark(mark: Mark, dx_mm: float, dy_mm: float) -> Mark:
    if isinstance(mark, Path):
        return replace(mark, points=tuple(_moved(point, dx_mm, dy_mm) for point in mark.points))
    if isinstance(mark, Dot):
        return replace(mark, centre=_moved(mark.centre, dx_mm, dy_mm))
    if isinstance(mark, Photo):
        first, second, third = (_moved(point, dx_mm, dy_mm) for point in mark.corners)
        inside = tuple(tuple(_moved(point, dx_mm, dy_mm) for point in ring) for ring in mark.inside)
        return replace(mark, corners=(first, second, third), inside=inside)
    return replace(mark, at=_moved(mark.at, dx_mm, dy_mm))


def line(start: Point, end: Point, ink: Ink) -> Path:
    """One straight line."""
    return Path((start, end), ink)


def rectangle(low: Point, high: Point, ink: Ink | None = None, fill: Fill | Hatch | None = None) -> Path:
    """An upright rectangle between two corners."""
    return Path((low, (high[0], low[1]), high, (low[0], high[1])), ink, fill, closed=True)


def framed(items: Sequence[Item], *, margin_mm: float, title: str, description: str) -> Drawing:
    """A drawing just large enough for its items and a margin all round."""
    left, top, right, bottom = bounds_of(items)
    moved = tuple(shifted(item, margin_mm - left, margin_mm - top) for item in items)
    return Drawing(right - left + 2 * margin_mm, bottom - top + 2 * margin_mm, moved, title, description)
