"""Piping: a cord in a folded bias strip, caught in a seam so that it stands out along it.

The strip goes once round the cord, stitch line to stitch line: w = pi d (derived; the cloth's own thickness is left
out, so it fits tightly; a soft cord gives way). Cut, it takes a seam allowance along both edges.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.gusset_shell import three_sides_mm
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Choice, Room, Sizes, count_spec, size_spec
from bagwright.drafting.roles import PIPING, PIPING_CORD
from bagwright.drafting.steps import Caught, against, along, part
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, NotionNeed, Span
from bagwright.model.piece import Bend, EdgeUse, Piece

LONGEST_MM = 1500.0
"""A strip cut on the bias out of one width of cloth (58 in, 1473 mm, at 45 degrees holds 2083 mm less its corners)."""
END_MM = 12.7
_NOTE = (
    "Cut on the bias; longer strips are joined on the slant. Fold round the cord, wrong sides together. At the ends "
    "draw the cord out and cut it off where the seam allowance begins."
)


def piping_strip_mm(cord_mm: float) -> float:
    """Net width of the strip round a cord, stitch line to stitch line: pi d. Derived, range d > 0.

    >>> round(piping_strip_mm(4), 2)
    12.57
    """
    return math.pi * cord_mm


def piping(places: Mapping[str, tuple[str, ...]], keys: tuple[str, ...], length_mm: Callable[[Sizes], float]) -> AddOn:
    """Piping in the seams of whole steps: by what she chooses, the keys of the steps that are piped.

    `length_mm` of one of those seams depends on the measurements `keys`.
    """
    steps = ((), *places.values())
    chosen = Choice("piping")

    def limits_mm(sizes: Sizes) -> tuple[float, float]:
        return (0.0, math.inf) if length_mm(sizes) <= LONGEST_MM else (LONGEST_MM, 0.0)

    def add(making: Making, sizes: Sizes) -> Making:
        return _piped(making, steps[int(sizes["piping"])], sizes)

    return AddOn(
        key="piping",
        name="Piping",
        measurements=(
            count_spec(
                "piping",
                "Piping",
                "A covered cord along the seams of the outer.",
                (0, 0, len(places)),
                choices=("none", *places),
            ),
            size_spec(
                "piping_cord_mm",
                "Piping cord",
                "Diameter of the cord; measure yours.",
                (2, 5, 10),
                needs=chosen,
                room=Room(keys, limits_mm, "goes round a seam longer than a bias strip", "goes round too long a seam"),
            ),
        ),
        add=add,
        roles=(PIPING, PIPING_CORD),
    )


def _piped(making: Making, step_keys: tuple[str, ...], sizes: Sizes) -> Making:
    lengths = [math.fsum(line.length_mm for line in making.lines_of(key)) for key in step_keys]
    strip = _strip(lengths[0], len(step_keys), sizes)
    for copy, key in enumerate(step_keys, start=1):
        at = 0.0
        for number, line in enumerate(making.lines_of(key)):
            edges = (along(strip, copy, "edge_one"), against(strip, copy, "edge_two"))
            caught = (Caught(0.0, line.length_mm, part(edge, at, at + line.length_mm)) for edge in edges)
            making = making.catching(f"{key}:{number}", *caught, word="the piping", is_notched=False)
            at += line.length_mm
    width = AssembledMeasure(
        key="piping_cord_mm", asked_mm=sizes["piping_cord_mm"], spans=(Span("piping", "end_left", 1 / math.pi),)
    )
    cord = NotionNeed(role="piping_cord", name="Piping cord", count=len(step_keys), length_mm=lengths[0])
    return making.having(pieces=(strip,), assembled=(width,), notions=(cord,))


def _strip(length_mm: float, count: int, sizes: Sizes) -> Piece:
    wide = piping_strip_mm(sizes["piping_cord_mm"])
    names = {"bottom": "edge_one", "top": "edge_two", "left": "end_left", "right": "end_right"}
    edges, ends = ("edge_one", "edge_two"), ("end_left", "end_right")
    return Piece(
        id="piping",
        name="Piping strip",
        role="piping",
        net=rectangle_outline(length_mm, wide, names),
        allowance_mm={**dict.fromkeys(edges, sizes["seam_allowance_mm"]), **dict.fromkeys(ends, END_MM)},
        edge_use={**dict.fromkeys(edges, EdgeUse.SEAM), **dict.fromkeys(ends, EdgeUse.OPENING)},
        count=count,
        grain_deg=45.0,
        bends=(Bend((0.0, wide / 2), (length_mm, wide / 2), 180.0),),
        note=_NOTE,
    )


def gusset_piping() -> AddOn:
    """Along the seams between gusset and panels."""

    def length_mm(sizes: Sizes) -> float:
        return three_sides_mm(sizes["width_mm"], sizes["height_mm"], sizes["corner_radius_mm"])

    places = {"round the front": ("outer-front",), "round front and back": ("outer-front", "outer-back")}
    return piping(places, ("width_mm", "height_mm", "corner_radius_mm"), length_mm)
