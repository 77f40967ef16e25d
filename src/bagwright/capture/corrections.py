"""Outlines put right by hand: one parted along a line, two joined. The picture is not asked again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.parting import joined_across, parted_along
from bagwright.geometry.region import Region
from bagwright.model.found_outline import FoundOutline, Ring

Outlines = tuple[FoundOutline, ...]
LEAST_PART_MM2: Final = 100.0
FURTHEST_APART_MM: Final = 15.0
_LEAST_HOLE_MM2: Final = 1.0


def part_outline(outlines: Outlines, number: int, line: tuple[Point, Point]) -> Outlines:
    """With one outline parted along a line, which is drawn out to where it leaves the outline.

    The largest part keeps the number; the others come last, with numbers of their own. Raises `FaultyInput`.
    """
    outline = _of(outlines, number)
    parts = parted_along(outline.region, line)
    if len(parts) < 2 or min(part.area_mm2 for part in parts) < LEAST_PART_MM2:
        remedy = "Draw it from one edge to the other, where the two scraps meet."
        raise _refused(
            f"line-{number}",
            "This line",
            f"does not part outline {number}",
            "a line across it, no part too small to keep",
            remedy,
        )
    new = [with_shape(outline, part) for part in parts]
    last = max(one.number for one in outlines)
    added = tuple(replace(one, number=last + i) for i, one in enumerate(new[1:], start=1))
    kept = (new[0] if one.number == number else one for one in outlines)
    return (*kept, *added)


def join_outlines(outlines: Outlines, number: int, other: int) -> Outlines:
    """With two outlines made one, a gap of up to `FURTHEST_APART_MM` between them closed. Raises `FaultyInput`."""
    one, two = _of(outlines, number), _of(outlines, other)
    place = f"join-{number}"
    if number == other:
        raise _refused(place, str(other), "is this outline itself", "another outline", "Choose another.")
    whole = joined_across(one.region, two.region, furthest_mm=FURTHEST_APART_MM)
    if whole is None:
        apart = one.region.distance_mm(two.region)
        what, allowed = f"lies {apart:.0f} mm away from outline {number}", f"up to {FURTHEST_APART_MM:g} mm"
        raise _refused(place, f"Outline {other}", what, allowed, "Lay them together and take the picture once more.")
    joined = replace(with_shape(one, whole), error_mm=max(one.error_mm, two.error_mm), touches=())
    return tuple(joined if each.number == number else each for each in outlines if each.number != other)


def parted_at_touches(outlines: Outlines) -> Outlines:
    """With every outline parted wherever it is asked about."""
    for outline in outlines:
        for touch in outline.touches:
            try:
                outlines = part_outline(outlines, outline.number, (touch.start, touch.end))
            except FaultyInput:
                continue  # an earlier line has parted it there already
    return outlines


def _of(outlines: Outlines, number: int) -> FoundOutline:
    for one in outlines:
        if one.number == number:
            return one
    numbers = ", ".join(str(one.number) for one in outlines)
    raise _refused("outline", str(number), "is no outline in this picture", numbers, "Choose one that is there.")


def with_shape(outline: FoundOutline, region: Region) -> FoundOutline:
    """With another shape, and only what is asked about it still."""
    holes = tuple(_ring(hole) for hole in region.hole_rings() if Region.from_ring(hole).area_mm2 > _LEAST_HOLE_MM2)
    new = replace(outline, outer=_ring(region.outer_ring()), holes=holes)
    open_still = tuple(touch for touch in outline.touches if len(parted_along(region, (touch.start, touch.end))) > 1)
    return replace(new, touches=open_still)


def _ring(points: Sequence[Point]) -> Ring:
    """Counter-clockwise, each corner once."""
    ring = [(round(x, 3), round(y, 3)) for x, y in points]
    ring = [point for i, point in enumerate(ring) if point != ring[i - 1]]
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True))
    return tuple(ring) if area > 0 else tuple(reversed(ring))


def _refused(place: str, value: str, what: str, allowed: str, remedy: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy=remedy)])
