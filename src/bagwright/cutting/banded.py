"""Layouts with strips out of whole bands across the cloth: the bands lie behind all else, beside nothing.

Lengths, widths and joins are planned with the gap added to each, so that parts and bands keep it from one another.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from bagwright.cutting.bands import plan_bands
from bagwright.cutting.best import Best
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.bands import Band, BandPart, BandRequest, BandsInLayout, BandStrip, JoinedStrip
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings, Placement
from bagwright.model.piece import Mirror

FOUND_BY = "bands"
RECTANGLE_SHARE = 0.999
"""What fills so much of its box is cut as the box."""
_PLACES = 6
_SAME_DEG = 1e-6
Copy = list[BandPart]
Lengths = tuple[float, ...]
LayRest = Callable[[LayRequest, Callable[[Layout], object]], Layout]
"""Lays what does not come out of bands, and tells each better layout."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Joins:
    """Which strips may be joined (None: all), what a join takes of the length, and the shortest part."""

    may_join: Collection[str] | None = None
    join_mm: float = 20.0
    least_part_mm: float = 100.0


def with_bands(request: LayRequest, ids: Collection[str], joins: Joins) -> LayRequest:
    """The request with those pieces out of whole bands across the cloth, joined where they are longer than it is wide.

    A whole strip keeps its id; parts are shapes of their own. Raises `FaultyInput` for what is no rectangle, and for
    strips longer than a band that may not be joined.

    >>> strap = LayPiece(id="strap", region=Region.rectangle((0, 0), (30, 4)), count=3)
    >>> banded = with_bands(LayRequest(width_mm=70, pieces=(strap,)), ["strap"], Joins())
    >>> [[part.start_mm for part in band.parts] for band in banded.bands.bands], banded.pieces[0].turns_deg
    ([[0.0, 30.0], [0.0]], (90.0,))
    """
    numbers = {piece.id: i for i, piece in enumerate(request.pieces) if piece.id in ids}
    if not numbers:
        return request
    problems = [_no_rectangle(request.pieces[i], i) for i in numbers.values() if not _is_rectangle(request.pieces[i])]
    if problems:
        raise FaultyInput(problems)
    strips = tuple(_strip(request.pieces[i], joins) for i in numbers.values())
    asked = BandRequest(
        band_mm=request.width_mm, strips=strips, join_mm=joins.join_mm, least_part_mm=joins.least_part_mm
    )
    planned = _planned(_grown(asked, request.gap_mm), list(numbers.values()))
    copies: dict[str, list[Copy]] = {strip.id: [[] for _ in range(strip.count)] for strip in strips}
    for part in sorted((part for band in planned for part in band.parts), key=lambda part: part.part):
        copies[part.id][part.copy].append(part)
    cut = {name: _cut(request.pieces[i], copies[name], request.gap_mm) for name, i in numbers.items()}
    bands = tuple(
        Band(band.width_mm - request.gap_mm, tuple(cut[part.id].named(part) for part in band.parts)) for band in planned
    )
    told = BandsInLayout(asked=asked, bands=bands, joined=tuple(j for one in cut.values() for j in one.joined()))
    pieces = tuple(p for piece in request.pieces for p in (cut[piece.id].pieces() if piece.id in cut else (piece,)))
    return replace(request, pieces=pieces, bands=told)


def is_rectangle(region: Region) -> bool:
    """Whether it fills its box."""
    return region.area_mm2 >= RECTANGLE_SHARE * region.width_mm * region.height_mm


def across_turn_deg(piece: LayPiece) -> float:
    """The turn in which all copies of a strip lie across the cloth: one that it may take, else a quarter off those.

    >>> strap = LayPiece(id="strap", region=Region.rectangle((0, 0), (30, 4)), count=1, turns_deg=(270.0,))
    >>> across_turn_deg(strap), across_turn_deg(replace(strap, turns_deg=(0.0,)))
    (270.0, 90.0)
    """
    plain = 90.0 if piece.region.width_mm > piece.region.height_mm else 0.0
    return next((turn for turn in piece.turns_deg or () if abs((turn - plain + 90) % 180 - 90) < _SAME_DEG), plain)


def lies_upright(piece: LayPiece) -> bool:
    """Whether out of a band across the cloth a strip lies as it may: else the way of the cloth runs across it."""
    turn = across_turn_deg(piece)
    return piece.turns_deg is None or any(abs((turn - own + 180) % 360 - 180) < _SAME_DEG for own in piece.turns_deg)


def _is_rectangle(piece: LayPiece) -> bool:
    return is_rectangle(piece.region)


def _strip(piece: LayPiece, joins: Joins) -> BandStrip:
    sides = piece.region.width_mm, piece.region.height_mm
    may_join = joins.may_join is None or piece.id in joins.may_join
    return BandStrip(id=piece.id, length_mm=max(sides), width_mm=min(sides), count=piece.count, may_join=may_join)


def _grown(asked: BandRequest, gap_mm: float) -> BandRequest:
    strips = (replace(one, length_mm=one.length_mm + gap_mm, width_mm=one.width_mm + gap_mm) for one in asked.strips)
    return BandRequest(
        band_mm=asked.band_mm + gap_mm,
        strips=tuple(strips),
        join_mm=asked.join_mm + gap_mm,
        least_part_mm=asked.least_part_mm + gap_mm,
    )


def _planned(grown: BandRequest, numbers: Sequence[int]) -> tuple[Band, ...]:
    """The bands; faults are told at the places of the pieces."""
    try:
        return plan_bands(grown).bands
    except FaultyInput as fault:
        places = {f"strips[{at}]": f"pieces[{number}]" for at, number in enumerate(numbers)}
        told = []
        for one in fault.problems:
            stem = one.place.split(".")[0]
            told.append(replace(one, place=f"{places[stem]}.outline") if stem in places else one)
        raise FaultyInput(told) from None


@dataclass(frozen=True, slots=True)
class _Cut:
    """One strip and how each of its copies is cut; copies cut alike share their shapes.

    `lengths`: of the parts of each copy. `names`: of the parts of each way to cut one. `counts`: copies cut that way.
    """

    piece: LayPiece
    gap_mm: float
    lengths: tuple[Lengths, ...]
    names: dict[Lengths, tuple[str, ...]]
    counts: Counter[Lengths]

    def named(self, part: BandPart) -> BandPart:
        """The part under the id of its shape, without the gap."""
        name = self.names[self.lengths[part.copy]][part.part]
        return replace(part, id=name, length_mm=part.length_mm - self.gap_mm)

    def joined(self) -> Iterator[JoinedStrip]:
        """The copies that are joined."""
        for key, count in self.counts.items():
            if len(key) > 1:
                yield JoinedStrip(self.piece.id, self.names[key], count)

    def pieces(self) -> Iterator[LayPiece]:
        """The shapes, which lie with their length across the cloth."""
        region = self.piece.region
        for key, count in self.counts.items():
            plain = replace(self.piece, count=count, mirror=Mirror.NO, on_fold=False, anchor=None, goes_on=())
            turn = across_turn_deg(self.piece)
            if len(key) == 1:
                yield replace(plain, turns_deg=(turn,))
                continue
            # Parts are drawn along x; of a strip drawn upright they are its stretches turned back by a quarter.
            turn = turn if region.width_mm > region.height_mm else (turn + 90.0) % 360
            width = min(region.width_mm, region.height_mm)
            for at, length in enumerate(key):
                shape = Region.rectangle((0.0, 0.0), (length, width))
                yield replace(plain, id=self.names[key][at], region=shape, turns_deg=(turn,))


def _cut(piece: LayPiece, copies: Sequence[Copy], gap_mm: float) -> _Cut:
    lengths = tuple(tuple(round(part.length_mm - gap_mm, _PLACES) for part in copy) for copy in copies)
    counts = Counter(lengths)
    joined = [key for key in counts if len(key) > 1]
    names: dict[Lengths, tuple[str, ...]] = dict.fromkeys(counts, (piece.id,))
    for number, key in enumerate(joined, start=1):
        other = f"cut {number}, " if len(joined) > 1 else ""
        names[key] = tuple(f"{piece.id} ({other}part {part} of {len(key)})" for part in range(1, len(key) + 1))
    return _Cut(piece, gap_mm, lengths, names, counts)


def lay_banded(
    request: LayRequest,
    lay_rest: LayRest,
    *,
    settings: LaySettings,
    on_better: Callable[[Layout], object] | None,
) -> Layout:
    """The rest laid by `lay_rest`, and the bands behind it. Raises what that raises."""
    if request.bands is None:
        raise BrokenPromise("no bands are asked for")
    best = Best(request, settings, on_better)
    ids = {part.id for band in request.bands.bands for part in band.parts}
    pieces = tuple(piece for piece in request.pieces if piece.id not in ids)

    def offer(layout: Layout) -> None:
        bands = band_placements(request, request.bands, layout.length_mm + request.gap_mm)
        placements = (*layout.placements, *bands)
        best.offer(placements, found_by=layout.found_by, doubled_to_mm=layout.doubled_to_mm)

    if pieces:
        offer(lay_rest(replace(request, pieces=pieces, bands=None), offer))
    else:
        best.offer(band_placements(request, request.bands, 0.0), found_by=FOUND_BY)
    if best.layout is None:
        raise BrokenPromise("a layout with bands did not pass the check")
    return best.layout


def band_placements(request: LayRequest, bands: BandsInLayout | None, start_mm: float) -> tuple[Placement, ...]:
    """Every part of every band, the first band from `start_mm` along the cloth."""
    pieces = {piece.id: piece for piece in request.pieces}
    found, x = [], start_mm
    for band in bands.bands if bands else ():
        for part in band.parts:
            piece = pieces[part.id]
            turn = piece.turns_deg[0] if piece.turns_deg else 0.0
            low_x, low_y, _, _ = piece.region.moved(Affine(turn)).bounds
            found.append(Placement(part.id, turn, False, x - low_x, part.start_mm - low_y))
        x += band.width_mm + request.gap_mm
    return tuple(found)


def _no_rectangle(piece: LayPiece, number: int) -> Problem:
    return Problem(
        place=f"pieces[{number}].outline",
        value=piece.id[:80],
        what="is no rectangle, so it can't be cut from a band",
        allowed="a rectangle along the grain",
        remedy="Lay it as it is.",
    )
