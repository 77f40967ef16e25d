"""Lay small pieces into the nooks that larger ones leave: notches of boxed corners, gaps beside short rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bagwright.cutting.boxes import BoxKind, Member
from bagwright.cutting.filling import Spot
from bagwright.cutting.requests import with_half_gap
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.layout import LayRequest, Placement

_SLACK_MM = 1e-7
_CORNERS_AT_MOST = 60


@dataclass(frozen=True, slots=True)
class Small:
    """A small piece in one of its turns, half the gap around it, and its box."""

    kind: int
    member: Member
    region: Region


class Nooks:
    """Fills the nooks of layouts for one request."""

    def __init__(self, request: LayRequest, kinds: Sequence[BoxKind]) -> None:
        self._request = request
        self._grown = {piece.id: with_half_gap(piece.region, request.gap_mm) for piece in request.pieces}
        self._kinds = kinds

    def smalls(self, kind: int) -> list[Small]:
        """Every look of a kind whose boxes hold one piece each."""
        return [
            Small(kind, member, self._grown[member.id].moved(Affine(member.turn_deg, member.shift, member.mirrored)))
            for way in self._kinds[kind].ways
            for (member,) in way.looks
        ]

    def free_parts(self, placements: Sequence[Placement], length_mm: float) -> list[Region]:
        """What is left of the cloth up to `length_mm`."""
        half = self._request.gap_mm / 2
        cloth = Region.rectangle((-half, -half), (length_mm + half, self._request.width_mm + half))
        laid = Region.union(self._grown[place.id].moved(place.move) for place in placements)
        return list(cloth.minus(laid).parts())

    def fill(
        self,
        placements: Sequence[Placement],
        waiting: dict[int, int],
        length_mm: float,
        *,
        should_stop: Callable[[], bool],
    ) -> tuple[list[Placement], dict[int, int]]:
        """Placements of waiting kinds in nooks, largest first, and how many of each are still waiting.

        Outlines with many corners take long, so it can be stopped on the way.
        """
        waiting = dict(waiting)
        order = sorted(waiting, key=lambda kind: -self._kinds[kind].area_mm2)
        smalls = {kind: self.smalls(kind) for kind in order}
        added: list[Placement] = []
        parts = self.free_parts(placements, length_mm)
        while parts and not should_stop():
            part = parts.pop()
            for small in (small for kind in order if waiting[kind] for small in smalls[kind]):
                spot = _spot_in(part, small.region)
                if spot is None:
                    continue
                added.append(small.member.laid_at(*spot))
                waiting[small.kind] -= 1
                parts.extend(part.minus(small.region.shifted(*spot)).parts())
                break
        return added, waiting


def _spot_in(part: Region, small: Region) -> tuple[float, float] | None:
    """Where `small`, its box's lowest corner at (0, 0), fits into `part`: in a corner, or in the middle."""
    length, height = small.width_mm, small.height_mm
    low_x, low_y, high_x, high_y = part.bounds
    if small.area_mm2 > part.area_mm2 or length > high_x - low_x + _SLACK_MM or height > high_y - low_y + _SLACK_MM:
        return None
    room = part.grown(_SLACK_MM)
    corners = [(low_x, low_y), *sorted(part.outer_ring())[:_CORNERS_AT_MOST]]
    spots = [(x - dx, y - dy) for x, y in corners for dx in (0.0, length) for dy in (0.0, height)]
    spots.append(((low_x + high_x - length) / 2, (low_y + high_y - height) / 2))
    for x, y in spots:
        from_low = x >= low_x - _SLACK_MM and y >= low_y - _SLACK_MM
        to_high = x + length <= high_x + _SLACK_MM and y + height <= high_y + _SLACK_MM
        if from_low and to_high and room.holds(small.shifted(x, y)):
            return x, y
    return None


def in_other_looks(spots: Sequence[Spot], kinds: Sequence[BoxKind], gap_mm: float) -> list[list[Placement]]:
    """Layouts that differ in which way round equal boxes are filled: all alike, or changing within a stack.

    Where two notched sides face one another, one large nook takes the place of two small ones.
    """
    half = gap_mm / 2
    stacks: dict[tuple[int, float], list[float]] = {}
    for kind, _, x, y in spots:
        stacks.setdefault((kind, round(x, 3)), []).append(y)
    found: list[list[Placement]] = []
    for first, change in ((0, 0), (1, 0), (0, 1), (1, 1)):
        laid: list[Placement] = []
        for kind, way, x, y in spots:
            looks = kinds[kind].ways[way].looks
            row = sum(other < y for other in stacks[kind, round(x, 3)])
            look = looks[(first + change * row) % len(looks)]
            laid += [member.laid_at(x - half, y - half) for member in look]
        if laid not in found:
            found.append(laid)
    return found
