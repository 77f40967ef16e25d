"""Zones: the named parts of a piece that lie flat between its bends, so that a layer can cover one of them only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from bagwright.geometry.curves import Point
from bagwright.geometry.folding import Crease, flat_parts
from bagwright.geometry.outline import FINE_MM, Outline
from bagwright.geometry.region import Region

LEAST_WIDE_MM = 1.0
"""What is narrower between bends (rounding beside a wide band, say) is no part to cut anything for."""
_MIDDLE_MM = 0.5
"""A part whose middle is this near to that of its piece lies neither left nor right, neither above nor below."""


@dataclass(frozen=True, slots=True)
class ZoneName:
    """What a form calls the part of a piece in which `at` lies, or the whole piece if there is no such point."""

    name: str
    at: Point | None = None


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of a piece, up to its stitch line and its bends: its outline, counter-clockwise, in the piece's own mm."""

    name: str
    outline: tuple[Point, ...]

    @property
    def region(self) -> Region:
        """The area inside."""
        return Region.from_ring(self.outline)


@lru_cache(maxsize=512)
def zones_between(
    net: Outline, creases: tuple[Crease, ...], names: tuple[ZoneName, ...], piece_name: str
) -> tuple[Zone, ...]:
    """What of a piece lies flat between its creases, as its form names it.

    Parts are called by where they lie as drawn if the form names none; those that it does not name where it names
    others are no zones. A name whose part is not there (bends may leave none) names nothing. A piece that is bent all
    over is one zone by itself; a flat one is if it is named as a whole.

    >>> from bagwright.geometry.outline import rectangle_outline
    >>> fold = (Crease((0, 6), (30, 6), 180.0),)
    >>> [(zone.name, zone.region.area_mm2) for zone in zones_between(rectangle_outline(30, 20), fold, (), "Tab")]
    [('tab, lower part', 180.0), ('tab, upper part', 420.0)]
    """
    called = next((one.name for one in names if one.at is None), _lower(piece_name) if creases else "")
    ring = net.ring(FINE_MM, "right")
    whole = Region.from_ring(ring)
    flat = [Region.from_ring(part) for part in flat_parts(ring, creases)] if creases else []
    parts = [part for part in flat if not part.grown(-LEAST_WIDE_MM / 2).is_empty]
    if not parts or whole.grown(-LEAST_WIDE_MM / 2).minus(parts[0]).is_empty:
        return (Zone(called, tuple(ring)),) if called else ()
    found = _named(parts, names) if names else _by_place(parts, whole, piece_name)
    return tuple(Zone(name, tuple(part.outer_ring())) for name, part in found)


def _named(parts: Sequence[Region], names: Sequence[ZoneName]) -> list[tuple[str, Region]]:
    """Of each name the part that holds its point."""
    found = []
    for one in names:
        at = one.at
        part = next((part for part in parts if at and part.holds_lines([(at, at)])[0]), None)
        if part:
            found.append((one.name, part))
    return found


def _by_place(parts: Sequence[Region], whole: Region, piece_name: str) -> list[tuple[str, Region]]:
    """Parts called by where they lie on the piece: upper, lower, left, right, middle; numbered where two lie alike."""
    places = [_place(part, whole) for part in parts]
    often = Counter(places)
    half = len(parts) == 2 and abs(parts[0].area_mm2 - parts[1].area_mm2) < 0.01 * whole.area_mm2
    named = []
    for number, (place, part) in enumerate(zip(places, parts, strict=True), start=1):
        word = "half" if half else "part"
        told = f"part {number} of {len(parts)}" if often[place] > 1 else f"{place} {word}"
        named.append((f"{_lower(piece_name)}, {told}", part))
    return named


def _place(part: Region, whole: Region) -> str:
    (low_x, low_y, high_x, high_y), (left, low, right, high) = part.bounds, whole.bounds
    across, up = (low_x + high_x - left - right) / 2, (low_y + high_y - low - high) / 2
    words = ["upper" if up > 0 else "lower"] if abs(up) > _MIDDLE_MM else []
    words += ["right" if across > 0 else "left"] if abs(across) > _MIDDLE_MM else []
    return " ".join(words) or "middle"


def zone_title(piece_name: str, zone_name: str) -> str:
    """What is cut for a zone of a piece, as it stands on lists and templates.

    >>> [zone_title(*names) for names in (("Outer panel", "base"), ("Casing", "casing, upper half"), ("Base", "base"))]
    ['Outer panel: base', 'Casing, upper half', 'Base, no allowance']
    """
    if zone_name == _lower(piece_name):
        return f"{piece_name}, no allowance"
    if zone_name.startswith(f"{_lower(piece_name)}, "):
        return f"{piece_name}{zone_name.removeprefix(_lower(piece_name))}"
    return f"{piece_name}: {zone_name}"


def _lower(name: str) -> str:
    return f"{name[:1].lower()}{name[1:]}"
