"""A pattern: pieces and the seams that join them, with what the finished bag must measure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from bagwright.errors import BrokenPromise
from bagwright.model.piece import Piece
from bagwright.model.sewn_zip import ReadyMadeFit, SewnZip


class Stage(StrEnum):
    """Parts of the order of work; every step belongs to one, and they follow one another as they stand here."""

    PREPARE = "prepare"
    FUSE = "fuse"
    PARTS = "parts"
    POCKETS = "pockets"
    ZIPS = "zips"
    LINING = "lining"
    OUTER = "outer"
    JOIN = "join"
    CLOSE = "close"


class SeamKind(StrEnum):
    """How a seam is sewn. `BASTE`, `TOPSTITCH` and `QUILT` hold or neaten; the others join or finish an edge."""

    LOCKSTITCH = "lockstitch"
    ZIP = "zip"
    TOPSTITCH = "topstitch"
    BASTE = "baste"
    HEM = "hem"
    QUILT = "quilt"

    @property
    def joins(self) -> bool:
        """Whether the seam uses its edges up."""
        return self is SeamKind.LOCKSTITCH or self is SeamKind.ZIP


@dataclass(frozen=True, slots=True)
class SeamSide:
    """A stretch of one edge (or placement line) of one copy of a piece, walked from `from_mm` to `to_mm`.

    The walk may run backwards (`from_mm` > `to_mm`): the start of every side of a seam lies on the start of the others.
    `folds` > 1: the edge is folded that many times over before it is sewn, so it is that much shorter and thicker.
    `ease_mm`: by how much this side is longer than the finished seam, on purpose. Copies count from 1; of a mirrored
    pair the even ones are mirrored, their stretches counted on the edge as drawn. A side that is there twice is sewn
    through both its layers: so are the two halves of a piece that was cut on a fold and stays folded.
    """

    piece_id: str
    copy: int
    edge: str
    from_mm: float
    to_mm: float
    folds: int = 1
    ease_mm: float = 0.0

    @property
    def edge_length_mm(self) -> float:
        """Length of edge used up."""
        return abs(self.to_mm - self.from_mm)

    @property
    def sewn_length_mm(self) -> float:
        """Length of the finished seam that this side asks for."""
        return abs(self.to_mm - self.from_mm) / self.folds - self.ease_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """One line of stitching: the sides it joins, all at once, and its place in the order of work (1 = first).

    `rows`: how many times it is stitched over. Where a line passes through other layers for a while (a strap end),
    each stretch of it is a seam; the stretches of one step of work share order, name and kind.
    """

    id: str
    name: str
    kind: SeamKind
    order: int
    sides: tuple[SeamSide, ...]
    rows: int = 1
    stage: Stage = Stage.JOIN

    @property
    def length_mm(self) -> float:
        """Finished length, as the first side has it."""
        return self.sides[0].sewn_length_mm

    def layers_of(self, side: SeamSide) -> int:
        """How often the needle meets the cloth of one side.

        A hem sewn by itself is turned twice (three layers); topstitching along an edge goes through a panel and the
        allowance turned under it (two). Else a side counts once for every time it is folded.
        """
        if self.kind is SeamKind.HEM and len(self.sides) == 1:
            return 3
        return 2 if self.kind is SeamKind.TOPSTITCH else side.folds


@dataclass(frozen=True, slots=True, kw_only=True)
class Handwork:
    """A step without stitching: a snap set, feet put through the base, cord drawn in. `order` counts with the seams."""

    id: str
    name: str
    order: int
    stage: Stage
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Span:
    """A whole edge counted once into a measure of the finished bag; `factor` -1 takes it off, 0.5 halves it."""

    piece_id: str
    edge: str
    factor: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AssembledMeasure:
    """A measure of the finished bag that was asked for, and the sewn edges that add up to it."""

    key: str
    asked_mm: float
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A face of the finished bag whose body matters: the pieces it is made of, from the outside in.

    `height_mm` is how high it must stand; `copies` how many such faces the bag has. `is_upright` is False for what
    lies flat in use (a wallet): there the body only tells firm from limp. `zone`: what the face is called where it is
    one zone of its pieces.
    """

    key: str
    name: str
    piece_ids: tuple[str, ...]
    height_mm: float
    copies: int
    is_upright: bool = True
    zone: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotionNeed:
    """Something bought for one bag that is not cut out of a sheet: by count, or by length where `length_mm` is set.

    `ready_made`: which ready-made ones do instead of that length.
    """

    role: str
    name: str
    count: int
    length_mm: float | None = None
    ready_made: ReadyMadeFit | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Everything drafting knows about one bag."""

    form: str
    measurements_mm: Mapping[str, float]
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    assembled: tuple[AssembledMeasure, ...]
    panels: tuple[Panel, ...]
    notions: tuple[NotionNeed, ...] = ()
    cautions: tuple[str, ...] = ()
    handwork: tuple[Handwork, ...] = ()
    zips: tuple[SewnZip, ...] = ()

    def piece(self, piece_id: str) -> Piece:
        """The piece of that id."""
        for piece in self.pieces:
            if piece.id == piece_id:
                return piece
        raise BrokenPromise(f"no piece {piece_id!r} among {[piece.id for piece in self.pieces]}")
