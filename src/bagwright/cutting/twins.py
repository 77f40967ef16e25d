"""Cloth laid double: what the second layer makes of a piece, and which pieces can be cut from two layers at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, Placement
from bagwright.model.piece import Mirror

_ALIKE_SHARE = 1e-7
_QUARTERS = (0.0, 90.0, 180.0, 270.0)
_TURN_DEG = 1e-9


@dataclass(frozen=True, slots=True)
class Twin:
    """The copy in the other layer as one of the asked pieces: its turn, mirror, and shift from the image's origin."""

    turn_deg: float
    mirrored: bool
    dx_mm: float
    dy_mm: float

    def of(self, placement: Placement, fold_mm: float) -> Placement:
        """Where the copy lies when the cloth is opened."""
        image = placement.across_fold(fold_mm)
        return Placement(placement.id, self.turn_deg, self.mirrored, image.x_mm + self.dx_mm, image.y_mm + self.dy_mm)


def twin_of(piece: LayPiece, turn_deg: float, *, mirrored: bool) -> Twin | None:
    """What the second layer gives where a copy lies turned and mirrored like this; None if it is no copy asked for.

    A mirrored piece, unless the outline is its own mirror image in some turn that is allowed.
    """
    image = Placement(piece.id, turn_deg, mirrored, 0.0, 0.0).across_fold(0.0)
    target = piece.region.moved(image.move)
    for turn, mirror in _candidates(piece, image):
        shape = piece.region.moved(Affine(turn, mirrors=mirror))
        dx, dy = target.bounds[0] - shape.bounds[0], target.bounds[1] - shape.bounds[1]
        if (turn, mirror) == (image.turn_deg, image.mirrored):
            return Twin(turn, mirror, 0.0, 0.0)
        if alike(shape.shifted(dx, dy), target):
            return Twin(turn, mirror, dx, dy)
    return None


def _candidates(piece: LayPiece, image: Placement) -> Iterator[tuple[float, bool]]:
    mirrors = {Mirror.NO: (False,), Mirror.PAIRS: (image.mirrored,), Mirror.EITHER: (image.mirrored, False)}
    for mirrored in mirrors[piece.mirror]:
        if piece.turns_deg is None:
            yield from (((image.turn_deg + quarter) % 360, mirrored) for quarter in _QUARTERS)
            continue
        for turn in piece.turns_deg:
            off = abs((turn - image.turn_deg + 180) % 360 - 180)
            yield (image.turn_deg if off <= _TURN_DEG else turn), mirrored


def alike(one: Region, other: Region) -> bool:
    """Whether two outlines are the same to within a ten-millionth of their area."""
    if max(abs(a - b) for a, b in zip(one.bounds, other.bounds, strict=True)) > 1e-4:
        return False
    return one.is_alike(other, share=_ALIKE_SHARE)


def turns_on_fold(piece: LayPiece) -> list[float]:
    """The allowed turns in which the piece is its own mirror image across a level line: those that lie on a fold."""
    turns = _QUARTERS if piece.turns_deg is None else piece.turns_deg
    return [turn for turn in turns if _is_even(piece.region.moved(Affine(turn)))]


def _is_even(region: Region) -> bool:
    _, low, _, high = region.bounds
    return alike(region, region.moved(Affine(180.0, (0.0, low + high), mirrors=True)))


@dataclass(frozen=True, slots=True)
class Shares:
    """A piece shared out: copies on the fold, pairs cut from both layers at once, copies cut where it lies single."""

    on_fold: int
    pairs: int
    single: int
    turns_deg: tuple[float, ...] | None


def share_out(piece: LayPiece, layer_mm: float) -> Shares:
    """How the copies of a piece are cut from cloth laid double, each layer `layer_mm` wide.

    >>> ell = Region.from_ring([(0, 0), (30, 0), (30, 10), (10, 10), (10, 40), (0, 40)])
    >>> share_out(LayPiece(id="gusset", region=ell, count=4, mirror=Mirror.PAIRS), 100).pairs
    2
    >>> share_out(LayPiece(id="pocket", region=ell, count=4), 100).single
    4
    >>> share_out(LayPiece(id="panel", region=Region.rectangle((0, 0), (30, 20)), count=5), 100)
    Shares(on_fold=0, pairs=2, single=1, turns_deg=(0.0, 180.0))
    """
    if piece.on_fold:
        return Shares(piece.count, 0, 0, tuple(turns_on_fold(piece)))
    mirrors = (False,) if piece.mirror is Mirror.NO else (False, True)
    asked = (0.0,) if piece.turns_deg is None else piece.turns_deg
    turns = [turn for turn in asked if all(twin_of(piece, turn, mirrored=mirrored) for mirrored in mirrors)]
    fits = piece.turns_deg is None or any(
        piece.region.moved(Affine(turn)).height_mm <= layer_mm * (1 + _TURN_DEG) for turn in turns
    )
    if not turns or not fits or piece.count < 2:
        return Shares(0, 0, piece.count, piece.turns_deg)
    return Shares(0, piece.count // 2, piece.count % 2, None if piece.turns_deg is None else tuple(turns))


def for_one_layer(piece: LayPiece, shares: Shares) -> LayPiece:
    """The piece as it is laid on one layer, for its copies that come in twos."""
    mirror = Mirror.NO if piece.mirror is Mirror.NO else Mirror.EITHER
    return replace(piece, count=shares.pairs, turns_deg=shares.turns_deg, mirror=mirror)
