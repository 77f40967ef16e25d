"""The stash: what is left over and kept, and the cuttings it came from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.money import Money

Ring = tuple[Point, ...]
PictureAt = tuple[Point, Point, Point]
"""Where a picture lies: its top left, top right and bottom left corners, in mm."""
_MARGIN_MM = 3.0


class SideUp(StrEnum):
    """Which side of the cloth faces you when the outline lies as it is drawn."""

    RIGHT = "right side"
    WRONG = "wrong side"
    EITHER = "either side"


@dataclass(frozen=True, slots=True, kw_only=True)
class StashPiece:
    """One piece in the stash.

    `outer` and `holes` are its outline in mm, y up, seen with the side `side_up` facing you; `grain_deg` the direction
    of its lengthwise grain in that frame, None where the material has none or it is not known. `bin`: where it lies.
    `came_from`: in words, a bag, a shop, a photo; `cutting_id` the cutting that left it, if one did. `picture` is the
    id of a kept picture, `picture_at` where that lies in the frame of the outline. `error_mm`: by how much the outline
    may be wrong, 0 where it was cut to measure. `flaws`: parts that nothing is cut from; `lesser`: parts of lesser
    grade, both in the frame of the outline. `motif`: where a motif of its print lies, in that frame; None: not told.
    """

    id: str
    material_id: str
    outer: Ring
    holes: tuple[Ring, ...] = ()
    grain_deg: float | None = None
    side_up: SideUp = SideUp.RIGHT
    bin: str = ""
    came_from: str = ""
    dated: date | None = None
    value: Money | None = None
    picture: str = ""
    picture_at: PictureAt | None = None
    cutting_id: str = ""
    error_mm: float = 0.0
    note: str = ""
    flaws: tuple[Ring, ...] = ()
    lesser: tuple[Ring, ...] = ()
    motif: Point | None = None

    @property
    def region(self) -> Region:
        """Its outline as a region. Raises `BrokenPromise` if that crosses itself.

        >>> StashPiece(id="s", material_id="felt", outer=((0, 0), (4, 0), (4, 3), (0, 3))).region.area_mm2
        12.0
        """
        return Region.from_ring(self.outer, self.holes)

    @property
    def pictured_at(self) -> PictureAt:
        """Where its picture lies; if that was not kept, 3 mm beyond its outline all round, as pictures are cut.

        >>> StashPiece(id="s", material_id="felt", outer=((0, 0), (4, 0), (4, 3), (0, 3))).pictured_at
        ((-3.0, 6.0), (7.0, 6.0), (-3.0, -3.0))
        """
        if self.picture_at:
            return self.picture_at
        xs, ys = zip(*self.outer, strict=True)
        left, right = min(xs) - _MARGIN_MM, max(xs) + _MARGIN_MM
        bottom, top = min(ys) - _MARGIN_MM, max(ys) + _MARGIN_MM
        return (left, top), (right, top), (left, bottom)

    @property
    def sound(self) -> Region:
        """What of it can be cut from: all but its flaws."""
        return self.region.minus_all([Region.from_ring(ring) for ring in self.flaws])


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyPiece:
    """`count` copies of a piece that were cut from the stash; `shape` names the outline they were cut to."""

    id: str
    shape: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecedCopies:
    """`copies` of the piece `id` that were put together from `scraps` in all; `join_mm`: length of all their joins."""

    id: str
    name: str
    copies: int
    scraps: int
    join_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """That a layout was cut: which bags, of what, when. `layout_hash` names what was laid; `stash_ids` what was left.

    `count`: how many bags were cut; `length_mm`: how much cloth was on the table. Of a cutting from the stash:
    `used_ids` names the pieces of the stash that were cut, `ready` what came of them, `worth` what was missed of their
    value, `pieced` what of it was put together. Those bags need no new cloth for what is ready, until `is_sewn`.
    """

    id: str
    bag_id: str
    bag_name: str
    count: int
    material_id: str
    layout_hash: str
    length_mm: float
    dated: date
    stash_ids: tuple[str, ...] = ()
    used_ids: tuple[str, ...] = ()
    ready: tuple[ReadyPiece, ...] = ()
    worth: Money | None = None
    is_sewn: bool = False
    pieced: tuple[PiecedCopies, ...] = ()
