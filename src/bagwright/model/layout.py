"""Layouts: pieces placed on cloth. x runs along the length, y across the width, both from 0."""

from __future__ import annotations

from dataclasses import dataclass, field

from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import Region
from bagwright.model.bands import BandsInLayout
from bagwright.model.piece import Mirror
from bagwright.model.prints import PrintPoint, Repeat
from bagwright.model.source import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class LayPiece:
    """A shape to be laid `count` times. `turns_deg` lists the turns allowed from the given outline; None = any turn.

    `mirror` PAIRS: half of the copies mirrored, so `count` must be even.
    `on_fold`: on cloth laid double its middle line lies on the fold; `region` is the whole, unfolded shape.
    `anchor`: the point of the outline that falls on a motif of printed cloth. `goes_on`: where its print goes on in
    other pieces. Pieces that seams join, one after the other, step together, on a motif if one of them has an anchor.
    `best_only`: on a hide it keeps off the parts of lesser grade.
    """

    id: str
    region: Region = field(repr=False)
    count: int
    turns_deg: tuple[float, ...] | None = (0.0, 180.0)
    mirror: Mirror = Mirror.NO
    on_fold: bool = False
    anchor: Point | None = None
    goes_on: tuple[PrintPoint, ...] = ()
    best_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LayRequest:
    """Pieces for one cloth. `width_mm` is the usable width; pieces keep `gap_mm` from one another.

    `is_doubled`: the cloth lies folded lengthwise, selvedge on selvedge, and both layers are cut at once. Placements
    are told on the opened cloth, whose fold runs along the middle of its width.
    `bands`: which of the pieces come out of whole bands across the cloth, beside which nothing else lies.
    """

    width_mm: float
    pieces: tuple[LayPiece, ...]
    gap_mm: float = 0.0
    is_doubled: bool = False
    repeat: Repeat | None = None
    bands: BandsInLayout | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LaySettings:
    """Budget of a search. `seconds` 0 = first answer only. `iterations` caps it for repeatable runs."""

    seconds: float = 0.0
    iterations: int | None = None
    seed: int = 1
    workers: int = 2


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one copy lies: mirrored (x -> -x) first, then turned about the origin, then shifted."""

    id: str
    turn_deg: float
    mirrored: bool
    x_mm: float
    y_mm: float

    @property
    def move(self) -> Affine:
        """The move from the given outline to the cloth."""
        return Affine(self.turn_deg, (self.x_mm, self.y_mm), self.mirrored)

    def across_fold(self, fold_mm: float) -> Placement:
        """Where the copy in the other layer lies when cloth folded along y = `fold_mm` is opened.

        >>> Placement("flap", 30.0, False, 5.0, 12.0).across_fold(10.0)
        Placement(id='flap', turn_deg=150.0, mirrored=True, x_mm=5.0, y_mm=8.0)
        """
        return Placement(self.id, (180.0 - self.turn_deg) % 360, not self.mirrored, self.x_mm, 2 * fold_mm - self.y_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A checked answer to a `LayRequest`.

    `length_mm`: cloth taken up. `share_used`: area of pieces / (length x width). `found_by` says which search found it.
    `doubled_to_mm`: how far the cloth lies double; what lies beyond is cut from a single layer.
    """

    request_hash: str
    width_mm: float
    gap_mm: float
    length_mm: float
    share_used: float
    placements: tuple[Placement, ...]
    verdict: Verdict
    settings: LaySettings
    found_by: str
    doubled_to_mm: float = 0.0
