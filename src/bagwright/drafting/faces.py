"""Flat parts of pieces that pockets, snaps and the like can lie on."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from bagwright.drafting.measurements import Sizes
from bagwright.drafting.recess import RECESS_KEYS, below_recess

ROUND_SHARE = 0.75
"""How much of a round wall's half a pocket may take: nearer to the seams it cannot be reached under the foot."""


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

    `said` names it in a step ("one lining panel"), `which` tells it from the other copies in a note; `keys` are the
    measurements that its box depends on. Its upper edge lies `top` along the top of the bag: a key of the making's
    tops, or "" where it does not reach them. `radius_mm`: of the round wall that it is a part of, if it is; `is_lying`:
    that wall lies on its side, as a barrel does.
    """

    piece_id: str
    copy: int
    said: str
    keys: tuple[str, ...]
    box: Callable[[Sizes], Box]
    top: str = ""
    which: str = "one of the two"
    radius_mm: Callable[[Sizes], float] | None = None
    is_lying: bool = False

    @property
    def is_inside(self) -> bool:
        """Whether it is a face of the lining."""
        return self.piece_id == "lining"


@dataclass(frozen=True, slots=True, kw_only=True)
class Faces:
    """The four faces of a bag that has a front and a back, in its lining and in its outer."""

    inside: Face
    inside_back: Face
    outside: Face
    outside_back: Face


def boxed_face(piece_id: str, copy: int, said: str) -> Face:
    """A face of a boxed panel: what is neither base nor side."""
    keys = ("width_mm", "height_mm", "depth_mm")
    return Face(piece_id=piece_id, copy=copy, said=said, keys=keys, box=_boxed, top="front" if copy == 1 else "back")


def boxed_faces(*, may_be_recessed: bool = False) -> Faces:
    """The faces of an open bag of boxed panels; `may_be_recessed`: its lining can end below a recessed zip."""
    faces = _four("panel", boxed_face("lining", 1, ""))
    return _below_recess(faces) if may_be_recessed else faces


def closed_faces() -> Faces:
    """Those of a pouch of boxed panels: its top is taken up by the zip."""
    return _four("panel", replace(boxed_face("lining", 1, ""), top=""))


def based_faces() -> Faces:
    """Those of a tote on a base: outside only what stands above it."""

    def above_base(sizes: Sizes) -> Box:
        return Box(sizes["depth_mm"] / 2, 0.0, sizes["width_mm"], sizes["height_mm"] - sizes["rise_mm"])

    faces = boxed_faces(may_be_recessed=True)
    keys = (*faces.outside.keys, "rise_mm")
    outside, back = (replace(face, keys=keys, box=above_base) for face in (faces.outside, faces.outside_back))
    return replace(faces, outside=outside, outside_back=back)


def gusset_faces() -> Faces:
    """Those of panels with round lower corners: the largest rectangle with equal margins that clears them."""

    def between_corners(sizes: Sizes) -> Box:
        inset = sizes["corner_radius_mm"] * (1 - math.sqrt(0.5))
        return Box(inset, inset, sizes["width_mm"] - 2 * inset, sizes["height_mm"] - inset)

    keys = ("width_mm", "height_mm", "corner_radius_mm")
    panel = Face(piece_id="lining", copy=1, said="", keys=keys, box=between_corners, top="front")
    return _below_recess(_four("panel", panel))


def bucket_faces() -> Faces:
    """Those of a round wall in two halves; what lies on them is bent with them."""

    def half_round(sizes: Sizes) -> Box:
        wide = math.pi * sizes["diameter_mm"] / 2
        return Box(wide * (1 - ROUND_SHARE) / 2, 0.0, wide * ROUND_SHARE, sizes["height_mm"])

    def radius_mm(sizes: Sizes) -> float:
        return sizes["diameter_mm"] / 2

    keys = ("diameter_mm", "height_mm")
    face = Face(piece_id="lining", copy=1, said="", keys=keys, box=half_round, top="front", radius_mm=radius_mm)
    return _four("half wall", face)


def barrel_faces(keys: tuple[str, ...], half_mm: Callable[[Sizes], float]) -> Faces:
    """Those of the halves of a barrel, from the zip down to the bottom; `half_mm` is that way, which `keys` make."""

    def half(sizes: Sizes) -> Box:
        return Box(0.0, 0.0, sizes["width_mm"], half_mm(sizes))

    def radius_mm(sizes: Sizes) -> float:
        return sizes["diameter_mm"] / 2

    face = Face(
        piece_id="lining",
        copy=1,
        said="",
        keys=("width_mm", "diameter_mm", *keys),
        box=half,
        radius_mm=radius_mm,
        is_lying=True,
    )
    return _four("half", face)


def _boxed(sizes: Sizes) -> Box:
    square = sizes["depth_mm"] / 2
    return Box(square, square, sizes["width_mm"], sizes["height_mm"])


def _below_recess(faces: Faces) -> Faces:
    """Faces of a bag whose lining ends below a recessed zip where there is one."""

    def lowered(face: Face) -> Face:
        return replace(face, keys=(*face.keys, *RECESS_KEYS), box=lambda sizes: face.box(below_recess(sizes)))

    return replace(faces, inside=lowered(faces.inside), inside_back=lowered(faces.inside_back))


def _four(part: str, face: Face) -> Faces:
    """All four like the one given, which is the front of the lining."""
    back = "back" if face.top else ""
    front, behind = "one of the two, the front", "one of the two, the back"
    return Faces(
        inside=replace(face, said=f"one lining {part}, the front", which=front),
        inside_back=replace(face, copy=2, said=f"one lining {part}, the back", which=behind, top=back),
        outside=replace(face, piece_id="outer", said=f"one outer {part}, the front", which=front),
        outside_back=replace(
            face, piece_id="outer", copy=2, said=f"one outer {part}, the back", which=behind, top=back
        ),
    )
