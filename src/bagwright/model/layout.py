"""Layouts: pieces placed on cloth. x runs along the length, y across the width, both from 0."""

from __future__ import annotations

from dataclasses import dataclass, field

from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.piece import Mirror
from bagwright.model.source import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class LayPiece:
    """A shape to be laid `count` times. `turns_deg` lists the turns allowed from the given outline; None = any turn.

    `mirror` PAIRS: half of the copies mirrored, so `count` must be even.
    """

    id: str
    region: Region = field(repr=False)
    count: int
    turns_deg: tuple[float, ...] | None = (0.0, 180.0)
    mirror: Mirror = Mirror.NO


@dataclass(frozen=True, slots=True, kw_only=True)
class LayRequest:
    """Pieces for one cloth. `width_mm` is the usable width; pieces keep `gap_mm` from one another."""

    width_mm: float
    pieces: tuple[LayPiece, ...]
    gap_mm: float = 0.0


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A checked answer to a `LayRequest`.

    `length_mm`: cloth taken up. `share_used`: area of pieces / (length x width). `found_by` says which search found it.
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
