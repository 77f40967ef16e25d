"""Flat parts of pieces that pockets, snaps and the like can lie on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bagwright.drafting.measurements import Sizes


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in a piece's own frame, upright."""

    left_mm: float
    bottom_mm: float
    width_mm: float
    height_mm: float

    @property
    def middle_mm(self) -> float:
        """Halfway across."""
        return self.left_mm + self.width_mm / 2

    @property
    def top_mm(self) -> float:
        """Its upper edge."""
        return self.bottom_mm + self.height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One flat face of the bag: the piece and the copy of it, and where on the piece it lies.

    `said` names it in a step ("one lining panel"); `keys` are the measurements that its box depends on. Its upper edge
    lies `top` along the top of the bag: a key of the making's tops, or "" where it does not reach them.
    """

    piece_id: str
    copy: int
    said: str
    keys: tuple[str, ...]
    box: Callable[[Sizes], Box]
    top: str = ""


def boxed_face(piece_id: str, copy: int, said: str) -> Face:
    """A face of a boxed panel: what is neither base nor side."""

    def box(sizes: Sizes) -> Box:
        square = sizes["depth_mm"] / 2
        return Box(square, square, sizes["width_mm"], sizes["height_mm"])

    keys = ("width_mm", "height_mm", "depth_mm")
    return Face(piece_id=piece_id, copy=copy, said=said, keys=keys, box=box, top="front" if copy == 1 else "back")
