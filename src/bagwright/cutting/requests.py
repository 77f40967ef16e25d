"""What is asked: its faults, its fingerprint, and the cloth and pieces with the gap shared out between them."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Affine
from bagwright.geometry.few_corners import with_few_corners
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.piece import Mirror

_MOST_CORNERS = 400


def request_hash(request: LayRequest) -> str:
    """The same for equal requests, whenever and wherever it is asked; the name of a kept layout.

    >>> piece = LayPiece(id="tab", region=Region.rectangle((0, 0), (3, 1)), count=2)
    >>> wide, narrow = LayRequest(width_mm=9, pieces=(piece,)), LayRequest(width_mm=8, pieces=(piece,))
    >>> request_hash(wide) == request_hash(LayRequest(width_mm=9.0, pieces=(piece,)))
    True
    >>> request_hash(wide) == request_hash(narrow)
    False
    """
    told = [repr((float(request.width_mm), float(request.gap_mm))), *_special(request)]
    for piece in request.pieces:
        rings = [ring for part in piece.region.parts() for ring in (part.outer_ring(), *part.hole_rings())]
        turns = None if piece.turns_deg is None else tuple(map(float, piece.turns_deg))
        told.append(repr((piece.id, piece.count, turns, piece.mirror.value, rings)))
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def _special(request: LayRequest) -> Iterator[str]:
    """What tells cloth laid double and printed cloth from plain cloth; nothing of plain cloth, whose name stays."""
    if request.is_doubled:
        yield repr(("doubled", [piece.id for piece in request.pieces if piece.on_fold]))
    if request.repeat:
        told = [(piece.id, piece.anchor, piece.goes_on) for piece in request.pieces if piece.anchor or piece.goes_on]
        yield repr((request.repeat, told))
    if request.bands:
        yield repr(request.bands)


def least_length_mm(request: LayRequest) -> float:
    """A length that no layout can beat: that of the longest piece, and that of all areas side by side.

    >>> strap = LayPiece(id="strap", region=Region.rectangle((0, 0), (90, 10)), count=2)
    >>> least_length_mm(LayRequest(width_mm=15, pieces=(strap,)))
    120.0
    >>> least_length_mm(LayRequest(width_mm=60, pieces=(strap,)))
    90.0
    """
    lengths = [
        min(piece.region.moved(Affine(turn)).width_mm for turn in piece.turns_deg)
        for piece in request.pieces
        if piece.turns_deg is not None
    ]
    area_mm2 = math.fsum(piece.region.area_mm2 * piece.count for piece in request.pieces)
    return max(area_mm2 / request.width_mm, *lengths, 0.0)


def refuse_faults(request: LayRequest) -> None:
    """Raise `FaultyInput` with every fault that no cloth could mend."""
    problems = list(_faults(request))
    if problems:
        raise FaultyInput(problems)


def _faults(request: LayRequest) -> Iterator[Problem]:
    if not 0 < request.width_mm < float("inf"):
        yield _problem("width_mm", request.width_mm, "is no width", "above 0", "Type the usable width of the cloth.")
    yield from piece_faults(request.pieces, request.gap_mm)
    yield from _print_faults(request)


def piece_faults(pieces: Sequence[LayPiece], gap_mm: float) -> Iterator[Problem]:
    """What is wrong with pieces and gap, whatever they are to be laid on."""
    if not 0 <= gap_mm < float("inf"):
        yield _problem("gap_mm", gap_mm, "is no gap", "0 or more", "Type 0 if pieces may touch.")
    if not pieces:
        yield _problem("pieces", "", "names nothing to lay", "one piece or more", "Add a piece.")
    seen: set[str] = set()
    for number, piece in enumerate(pieces):
        place = f"pieces[{number}]"
        if piece.id in seen:
            yield _problem(f"{place}.id", piece.id, "is used twice", "each id once", "Rename one of the two.")
        seen.add(piece.id)
        if piece.count < 1:
            yield _problem(f"{place}.count", piece.count, "lays nothing", "1 or more", "Leave the piece out instead.")
        if piece.mirror is Mirror.PAIRS and piece.count % 2:
            remedy = "Use an even count, or let the pieces be mirrored either way."
            yield _problem(f"{place}.count", piece.count, "can't be halved into pairs", "an even count", remedy)
        if piece.turns_deg is not None and not piece.turns_deg:
            yield _problem(f"{place}.turns", "", "allows no turn at all", "one angle or more", "Allow 0 degrees.")
        if piece.goes_on and piece.mirror is Mirror.EITHER:
            remedy = "Choose no or pairs."
            what = "can't be mirrored as it suits where its print goes on"
            yield _problem(f"{place}.mirror", piece.mirror, what, "no or pairs", remedy)
        if len(list(piece.region.parts())) != 1:
            yield _problem(f"{place}.outline", piece.id, "is not one closed shape", "a single outline", "Draw it anew.")


def _print_faults(request: LayRequest) -> Iterator[Problem]:
    repeat = request.repeat
    if repeat is None:
        return
    for name, value in (("along_mm", repeat.along_mm), ("across_mm", repeat.across_mm)):
        if value != 0 and not 1 <= value < float("inf"):
            allowed = "0 for none, or 1 and more"
            yield _problem(f"repeat.{name}", value, "is no repeat", allowed, "Measure from motif to motif.")
    for name, value in (("first_along_mm", repeat.first_along_mm), ("first_across_mm", repeat.first_across_mm)):
        if not math.isfinite(value):
            yield _problem(f"repeat.{name}", value, "is no place", "a number", "Measure from the edge to a motif.")
    if repeat.drop_share not in (0.0, 0.5):
        yield _problem(
            "repeat.drop_share", repeat.drop_share, "is no drop known here", "0 or 0.5", "Use 0.5: half drop."
        )
    elif repeat.drop_share and not (repeat.along_mm and repeat.across_mm):
        remedy = "Give both repeats, or no drop."
        yield _problem("repeat.drop_share", repeat.drop_share, "needs both repeats", "both above 0", remedy)
    if request.is_doubled:
        remedy = "Lay printed cloth single, right side up, so that you see each motif."
        yield _problem("repeat", "", "can't be seen in the lower layer of cloth laid double", "one of the two", remedy)


def no_room(piece: LayPiece, *, least_mm: float, width_mm: float) -> FaultyInput:
    """To be raised if a piece is wider than the cloth in every turn it may take."""
    turns = "any turn" if piece.turns_deg is None else ", ".join(f"{turn:g}" for turn in piece.turns_deg) + " degrees"
    problem = Problem(
        place="width_mm",
        value=f"{width_mm:.6g} mm",
        what=f"is narrower than {piece.id!r}, which takes at least {least_mm:.6g} mm across (turned by {turns})",
        allowed=f"{least_mm:.6g} mm or more",
        remedy="Choose a wider cloth, allow more turns, or cut the piece in two with a seam.",
    )
    return FaultyInput([problem])


def _problem(place: str, value: object, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=str(value), what=what, allowed=allowed, remedy=remedy)


@lru_cache(maxsize=128)
def plain_outline(region: Region, gap_mm: float) -> Region:
    """`with_half_gap`, without holes and with no more corners than a search bears: it covers the region, all in mm.

    Of jagged outlines with more, every edge would be held against every other.
    """
    return with_few_corners(with_half_gap(region, gap_mm), _MOST_CORNERS)


@lru_cache(maxsize=128)  # the first fill, settling and every search ask the same: of 5,000 corners it takes long
def with_half_gap(region: Region, gap_mm: float) -> Region:
    """The region with half the gap around it: two of them may touch. The cloth then has half a gap on each side too."""
    return region.grown(gap_mm / 2) if gap_mm > 0 else region
