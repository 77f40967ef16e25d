"""A layout whose pieces a script can move: one group for each copy, in mm of the cloth itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.output.layouts import thinned
from bagwright.output.lettering import Weight, one_line, shortened, text_width_mm

_MARGIN_SHARE = 0.04
_LETTER_SHARE = 0.026
_SMALLEST_SHARE = 0.4
_THINNED_MM = 0.3


@dataclass(frozen=True, slots=True)
class MovingCopy:
    """One copy where it lies: its number in the layout, its name, and `told` for those who do not see it."""

    number: int
    name: str
    told: str
    region: Region
    is_at_fault: bool


def moving_board(copies: Sequence[MovingCopy], *, length_mm: float, width_mm: float) -> str:
    """SVG of the cloth, `length_mm` of it, with every copy as a group that carries its box in mm of the cloth.

    The length runs across the page, or down it where the cloth is wider than that (`data-hangs`).
    """
    hangs = length_mm < width_mm
    wide, high = (width_mm, length_mm) if hangs else (length_mm, width_mm)
    margin = _MARGIN_SHARE * max(wide, high)
    letters = _LETTER_SHARE * max(wide, high)
    box = f"{-margin:.2f} {-margin:.2f} {wide + 2 * margin:.2f} {high + 2 * margin:.2f}"
    groups = "".join(_group(copy, letters, _Paper(hangs, width_mm)) for copy in copies)
    return (
        f'<svg class="moving-board" viewBox="{box}" data-hangs="{int(hangs)}" data-length="{length_mm!r}" '
        f'data-width="{width_mm!r}" role="group" aria-label="The cloth. Move a piece with the arrow keys.">'
        f'<rect class="cloth" width="{wide:.2f}" height="{high:.2f}"/>{_cut_end(hangs, high, letters)}{groups}</svg>'
    )


def _cut_end(hangs: bool, high_mm: float, letters_mm: float) -> str:
    """Where everything is measured from, and which side is the cut end."""
    x, y = (0.0, 0.0) if hangs else (0.0, high_mm)
    turn = "" if hangs else f' transform="rotate(-90 {x:.2f} {y:.2f})"'
    at = f'x="{x + letters_mm:.2f}" y="{y - 0.4 * letters_mm:.2f}"'
    return (
        f'<circle class="corner" cx="{x:.2f}" cy="{y:.2f}" r="{letters_mm / 3:.2f}"/>'
        f'<text class="side" {at}{turn} font-size="{0.8 * letters_mm:.2f}">cut end</text>'
    )


@dataclass(frozen=True, slots=True)
class _Paper:
    hangs: bool
    width_mm: float

    def at(self, point: Point) -> Point:
        return (point[1], point[0]) if self.hangs else (point[0], self.width_mm - point[1])


def _group(copy: MovingCopy, letters_mm: float, paper: _Paper) -> str:
    rings = [copy.region.outer_ring(), *copy.region.hole_rings()]
    drawn = [thinned([paper.at(point) for point in ring], least_mm=_THINNED_MM) for ring in rings]
    data = "".join("M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in ring) + "Z" for ring in drawn)
    low_x, low_y, high_x, high_y = copy.region.bounds
    a, b = paper.at((low_x, low_y)), paper.at((high_x, high_y))
    room, called = abs(a[0] - b[0]) * 0.9, one_line(copy.name)
    fitting = room / max(text_width_mm(called, 1.0, Weight.STRONG), 0.1)
    size = min(letters_mm, max(fitting, _SMALLEST_SHARE * letters_mm))
    name = escape(shortened(called, max(room, 1.6 * size), size, Weight.STRONG))
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 + size / 3)
    fault = " at-fault" if copy.is_at_fault else ""
    return (
        f'<g class="movable{fault}" data-number="{copy.number}" data-box="{low_x!r} {low_y!r} {high_x!r} {high_y!r}" '
        f'tabindex="0" role="button" aria-label="{escape(one_line(copy.told), quote=True)}">'
        f'<path fill-rule="evenodd" d="{data}"/>'
        f'<text x="{middle[0]:.2f}" y="{middle[1]:.2f}" font-size="{size:.2f}">{name}</text></g>'
    )
