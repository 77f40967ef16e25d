"""Feet under a bag: studs put through marks on its base, before the lining covers their prongs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from bagwright.drafting import cautions
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Choice, Room, Sizes, count_spec, size_spec
from bagwright.drafting.roles import FEET
from bagwright.drafting.steps import Handling
from bagwright.geometry.curves import Point
from bagwright.model.pattern import NotionNeed, Stage
from bagwright.model.piece import DrillMark

MARGIN_MM = 3.0
"""From the rim of a foot to the edge or seam beside it, so that it stands flat (common practice, no source)."""
_CHOSEN = Choice("feet")


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """Where feet go: on a piece that is the base, or on one cut twice that has half of it, with marks on both copies.

    `marks` are the middles of the feet on one copy, so far in from the edges of the base; `deepest_mm` the largest
    inset that leaves as much along either way from the middle of the base to a foot. `keys`: what these depend on.
    """

    piece_id: Callable[[Sizes], str]
    keys: tuple[str, ...]
    marks: Callable[[Sizes, float], tuple[Point, ...]]
    deepest_mm: Callable[[Sizes, float], float]
    can_have_five: bool = True


def boxed_base() -> Base:
    """Half of the base lies on either boxed panel, their seam along its middle, so a fifth foot has no place."""

    def marks(sizes: Sizes, inset: float) -> tuple[Point, ...]:
        square = sizes["depth_mm"] / 2
        return ((square + inset, square - inset), (square + sizes["width_mm"] - inset, square - inset))

    return Base(
        piece_id=lambda sizes: "outer",
        keys=("width_mm", "depth_mm"),
        marks=marks,
        deepest_mm=lambda sizes, left: min(sizes["width_mm"], sizes["depth_mm"]) / 2 - left,
        can_have_five=False,
    )


def _rectangle(left: float, low: float, wide: float, deep: float, inset: float) -> tuple[Point, ...]:
    """Four corners and the middle."""
    xs, ys = (left + inset, left + wide - inset), (low + inset, low + deep - inset)
    return (*((x, y) for y in ys for x in xs), (left + wide / 2, low + deep / 2))


def based_base() -> Base:
    """The level part of a base that comes up front and back."""

    def marks(sizes: Sizes, inset: float) -> tuple[Point, ...]:
        left, wide, deep = sizes["depth_mm"] / 2, sizes["width_mm"], sizes["depth_mm"]
        return _rectangle(left, sizes["rise_mm"], wide, deep, inset)

    return Base(
        piece_id=lambda sizes: "base",
        keys=("width_mm", "depth_mm", "rise_mm"),
        marks=marks,
        deepest_mm=lambda sizes, left: min(sizes["width_mm"], sizes["depth_mm"]) / 2 - left,
    )


def gusset_base() -> Base:
    """The straight bottom of a gusset, between its two corners, on the one strip or on the base strip."""

    def straight(sizes: Sizes) -> float:
        return sizes["width_mm"] - 2 * sizes["corner_radius_mm"]

    def marks(sizes: Sizes, inset: float) -> tuple[Point, ...]:
        side, arc = sizes["height_mm"] - sizes["corner_radius_mm"], math.pi * sizes["corner_radius_mm"] / 2
        left = arc if sizes["separate_sides"] else side + arc
        return _rectangle(left, 0.0, straight(sizes), sizes["depth_mm"], inset)

    return Base(
        piece_id=lambda sizes: "gusset_base" if sizes["separate_sides"] else "gusset",
        keys=("width_mm", "height_mm", "depth_mm", "corner_radius_mm"),
        marks=marks,
        deepest_mm=lambda sizes, left: min(straight(sizes), sizes["depth_mm"]) / 2 - left,
    )


def round_base() -> Base:
    """A circle: four feet halfway between front, back and sides, and its middle."""

    def marks(sizes: Sizes, inset: float) -> tuple[Point, ...]:
        r = sizes["diameter_mm"] / 2
        off = (r - inset) * math.sqrt(0.5)
        return (*((r + x * off, r + y * off) for y in (-1, 1) for x in (-1, 1)), (r, r))

    return Base(
        piece_id=lambda sizes: "base",
        keys=("diameter_mm",),
        marks=marks,
        deepest_mm=lambda sizes, left: sizes["diameter_mm"] / 2 - left / math.sqrt(0.5),
    )


def base_feet(base: Base) -> AddOn:
    """Four feet, or five with one in the middle where the base is one piece."""

    def inset(sizes: Sizes) -> tuple[float, float]:
        """Feet stay off the edge and off one another; a fifth has to clear the four."""
        room = sizes["foot_width_mm"] / 2 + MARGIN_MM
        return room, base.deepest_mm(sizes, 2 * room if sizes["feet"] == 2 else room)

    def add(making: Making, sizes: Sizes) -> Making:
        return _with_feet(making, base, sizes)

    choices = ("none", "four", "five") if base.can_have_five else ("none", "four")
    said = "Studs that the bag stands on, near the corners of its base"
    return AddOn(
        key="feet",
        name="Feet",
        measurements=(
            count_spec("feet", "Feet", f"{said}.", (0, 0, len(choices) - 1), choices=choices),
            size_spec(
                "foot_width_mm",
                "Foot width",
                "Diameter of a foot; measure yours.",
                (6, 12, 20),
                source=COMMON_PRACTICE,
                needs=_CHOSEN,
            ),
            size_spec(
                "feet_inset_mm",
                "Feet from the edge",
                "From the edges of the base in to the middle of a foot.",
                (6, 19.05, 120),
                needs=_CHOSEN,
                room=Room(
                    (*base.keys, "foot_width_mm"), inset, "puts the feet over the edge", "puts the feet on one another"
                ),
            ),
        ),
        add=add,
        roles=(FEET,),
    )


def _with_feet(making: Making, base: Base, sizes: Sizes) -> Making:
    piece, asked = making.piece(base.piece_id(sizes)), 4 if sizes["feet"] == 1 else 5
    places = base.marks(sizes, sizes["feet_inset_mm"])[: asked // piece.count]
    marks = tuple(DrillMark(f"foot_{number}", at) for number, at in enumerate(places, start=1))
    name = "Put the feet through the base of the outer at their marks, and through what stiffens it; bend the prongs"
    return making.with_changed(replace(piece, drill_marks=(*piece.drill_marks, *marks))).having(
        steps=(Handling("feet", name, stage=Stage.OUTER, cautions=(cautions.SHEET_TOOLS,)),),
        notions=(NotionNeed(role="feet", name="Bag feet with prongs", count=asked),),
        cautions=(cautions.SHEET_TOOLS,),
    )
