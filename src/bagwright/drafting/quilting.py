"""Quilting lines over the outer panels: parallel or crossed, stitched through all layers before anything is joined."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Choice, Room, Sizes, count_spec, size_spec
from bagwright.drafting.pocket_place import with_note
from bagwright.drafting.steps import Step, StitchLine, along
from bagwright.geometry.chords import chords
from bagwright.model.pattern import SeamKind, Stage
from bagwright.model.piece import Piece, PlacementLine

MOST_LINES = 24
"""On one panel and in one direction; closer lines would be a day's work and nobody would cut by such a drawing."""
QUILTING_NOTE = "Quilting draws the cloth in: cut this piece larger, quilt it, then cut it to its line."
"""Common practice, no source: by how much goes by cloth, wadding and lines, so she has to try hers."""
_ANGLES_DEG = ((), (90.0,), (0.0,), (45.0,), (45.0, 135.0))
_CHORD_MM = 0.005


def quilting(panel_id: str, keys: tuple[str, ...], extent_mm: Callable[[Sizes], tuple[float, float]]) -> AddOn:
    """Lines over every copy of one outer piece, `extent_mm` wide and high, which depends on the measurements `keys`."""
    chosen = Choice("quilting")

    def limits_mm(sizes: Sizes) -> tuple[float, float]:
        return math.hypot(*extent_mm(sizes)) / MOST_LINES, math.inf

    def add(making: Making, sizes: Sizes) -> Making:
        return _quilted(making, panel_id, _ANGLES_DEG[int(sizes["quilting"])], sizes["quilting_spacing_mm"])

    return AddOn(
        key="quilting",
        name="Quilting",
        measurements=(
            count_spec(
                "quilting",
                "Quilting",
                "Lines stitched through the outer panels and what is behind them. Hold those layers quilted, below.",
                (0, 0, 4),
                choices=("none", "upright lines", "level lines", "slanting lines", "crossed lines"),
            ),
            size_spec(
                "quilting_spacing_mm",
                "Quilting spacing",
                "From one line to the next.",
                (8, 38.1, 150),
                needs=chosen,
                room=Room(keys, limits_mm, "would cover a panel with more lines than can be drawn", "is too wide"),
            ),
        ),
        add=add,
    )


def _quilted(making: Making, panel_id: str, angles_deg: tuple[float, ...], spacing_mm: float) -> Making:
    panel = making.piece(panel_id)
    ring = panel.net.ring(_CHORD_MM, "left")
    ends = [line for angle in angles_deg for line in chords(ring, angle, spacing_mm)]
    lines = tuple(PlacementLine(f"quilt_{number}", *line) for number, line in enumerate(ends, start=1))
    marked = with_note(replace(panel, lines=(*panel.lines, *lines)), QUILTING_NOTE)
    return making.with_changed(marked).having(steps=(_step(marked, lines),))


def _step(panel: Piece, lines: tuple[PlacementLine, ...]) -> Step:
    sewn = tuple(StitchLine((along(panel, copy, line.name),)) for copy in range(1, panel.count + 1) for line in lines)
    name = f"Quilt each {panel.name[0].lower()}{panel.name[1:]} along its lines, from the middle outwards"
    # Straps are basted to the panels among the parts, so it has to come before those.
    return Step("quilting", name, SeamKind.QUILT, sewn, stage=Stage.FUSE)


def boxed_quilting() -> AddOn:
    """On the outer panels of a boxed body."""
    return quilting(
        "outer",
        ("width_mm", "height_mm", "depth_mm"),
        lambda s: (s["width_mm"] + s["depth_mm"], s["height_mm"] + s["depth_mm"] / 2),
    )


def flat_quilting() -> AddOn:
    """On the outer panels of a body whose front and back are flat."""
    return quilting("outer", ("width_mm", "height_mm"), lambda s: (s["width_mm"], s["height_mm"]))
