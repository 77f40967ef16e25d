"""Piping: a cord in a folded bias strip, caught in a seam so that it stands out along it.

The strip goes once round the cord, stitch line to stitch line: w = pi d (derived; the cloth's own thickness is left
out, so it fits tightly; a soft cord gives way). Cut, it takes a seam allowance along both edges. A strip too long for
one width of cloth is joined from two halves.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bagwright.drafting.bias import BIAS_DEG, SOLD_CLOTH_MM, bias_joins, square_for_bias_mm
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making, listed
from bagwright.drafting.measurements import COMMON_PRACTICE, Choice, Sizes, count_spec, length_said, size_spec
from bagwright.drafting.roles import PIPING, PIPING_CORD
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, NotionNeed, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Piece

LONGEST_MM = 1400.0
"""A strip longer than this is joined from two halves: on the bias 44 in cloth gives no more (derived, see bias.py)."""
END_MM = 12.7
"""What a strip has beyond either end of its seam, to run out or to lap over itself (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PipedSeam:
    """A seam with one length of piping in it: all lines of a step, or some, end to end.

    `said` is the piece that the piping is basted to first, side `held_on` of the lines.
    """

    step: str
    said: str
    held_on: int = 0
    lines: tuple[int, ...] = ()

    def places(self, making: Making) -> tuple[str, ...]:
        """Its lines, as the making names them."""
        numbers = self.lines or range(len(making.lines_of(self.step)))
        return tuple(f"{self.step}:{number}" for number in numbers)


def piping_strip_mm(cord_mm: float) -> float:
    """Net width of the strip round a cord, stitch line to stitch line: pi d. Derived, range d > 0.

    >>> round(piping_strip_mm(4), 2)
    12.57
    """
    return math.pi * cord_mm


def piping(choices: Mapping[str, Sequence[PipedSeam]]) -> AddOn:
    """Piping by what she chooses, each choice with the seams that are piped."""
    seams = ((), *choices.values())

    def add(making: Making, sizes: Sizes) -> Making:
        return _piped(making, seams[int(sizes["piping"])], sizes)

    return AddOn(
        key="piping",
        name="Piping",
        measurements=(
            count_spec(
                "piping",
                "Piping",
                "A covered cord along the seams of the outer.",
                (0, 0, len(choices)),
                choices=("none", *choices),
            ),
            size_spec(
                "piping_cord_mm",
                "Piping cord",
                "Diameter of the cord; measure yours.",
                (2, 5, 10),
                source=COMMON_PRACTICE,
                needs=Choice("piping"),
            ),
        ),
        add=add,
        roles=(PIPING, PIPING_CORD),
    )


def _piped(making: Making, seams: Sequence[PipedSeam], sizes: Sizes) -> Making:
    """Strips of one length are one piece; then the cord, the steps, and every strip caught in its seam."""
    by_length: dict[float, list[PipedSeam]] = {}
    for seam in seams:
        length = math.fsum(making.line(where).length_mm for where in seam.places(making))
        by_length.setdefault(round(length, 6), []).append(seam)
    for number, (length, alike) in enumerate(by_length.items(), start=1):
        key = "piping" if number == 1 else f"piping_{number}"
        strip = _strip(key, length, alike, sizes)
        need = NotionNeed(role="piping_cord", name="Piping cord", count=len(alike), length_mm=length)
        covered = _cover_steps(strip, len(alike))
        making = making.having(pieces=(strip,), notions=(need,), steps=covered)
        for first, seam in enumerate(alike):
            making = _caught(making, seam, _layers(strip, first, len(alike)))
    width = Span("piping", "end_left", 1 / math.pi)
    return making.having(
        assembled=(AssembledMeasure(key="piping_cord_mm", asked_mm=sizes["piping_cord_mm"], spans=(width,)),)
    )


Layers = tuple[tuple[SeamSide, SeamSide], ...]
"""Both edges of a strip, walked the same way; of one joined from halves, both edges of each half."""


def _layers(strip: Piece, number: int, strips: int) -> Layers:
    """The edges of one of the strips of a piece, counted from 0. The second half lies turned half round."""
    halves = strip.count // strips
    copy = halves * number + 1
    ahead = (along(strip, copy, "edge_one"), against(strip, copy, "edge_two"))
    if halves == 1:
        return (ahead,)
    return ahead, (along(strip, copy + 1, "edge_two"), against(strip, copy + 1, "edge_one"))


def _caught(making: Making, seam: PipedSeam, layers: Layers) -> Making:
    """One strip basted to the first piece of its seam, and caught all along."""
    held, at = [], 0.0
    for where in seam.places(making):
        line = making.line(where)
        caught = tuple(_between(layers, at, at + line.length_mm))
        held.append(StitchLine((line.through[seam.held_on],), caught))
        making = making.catching(where, *caught, word="the piping", is_notched=False)
        at += line.length_mm
    name = f"Baste the piping to {seam.said}, raw edges together; clip its allowance at the corners and round curves"
    key = f"piping-on-{seam.places(making)[0].replace(':', '-')}"
    return making.having(steps=(Step(key, name, SeamKind.BASTE, tuple(held), stage=Stage.PARTS),))


def _between(layers: Layers, start_mm: float, end_mm: float) -> list[Caught]:
    """What of a strip lies between two places along it, counted from the first of them."""
    caught, near = [], 0.0
    for edges in layers:
        far = near + edges[0].sewn_length_mm
        low, high = max(start_mm, near), min(end_mm, far)
        if high - low > 1e-6:
            caught += [Caught(low - start_mm, high - start_mm, part(edge, low - near, high - near)) for edge in edges]
        near = far
    return caught


def _strip(key: str, length_mm: float, seams: Sequence[PipedSeam], sizes: Sizes) -> Piece:
    """A whole strip, or half of one: the same for either half, its right end joined."""
    halves, wide = 2 if length_mm > LONGEST_MM else 1, piping_strip_mm(sizes["piping_cord_mm"])
    long, allowance = length_mm / halves, sizes["seam_allowance_mm"]
    names = {"bottom": "edge_one", "top": "edge_two", "left": "end_left", "right": "end_right"}
    edges = dict.fromkeys(("edge_one", "edge_two"), EdgeUse.SEAM)
    right = EdgeUse.SEAM if halves == 2 else EdgeUse.OPENING
    return Piece(
        id=key,
        name="Piping strip"
        if key == "piping"
        else f"Piping, {listed([seam.said.removeprefix('the ') for seam in seams])}",
        role="piping",
        net=rectangle_outline(long, wide, names),
        allowance_mm={
            **dict.fromkeys(edges, allowance),
            "end_left": END_MM,
            "end_right": allowance if halves == 2 else END_MM,
        },
        edge_use={**edges, "end_left": EdgeUse.OPENING, "end_right": right},
        count=halves * len(seams),
        grain_deg=BIAS_DEG,
        bends=(Bend((0.0, wide / 2), (long, wide / 2), 180.0),),
        note=_note(halves * (long + 2 * END_MM), wide + 2 * allowance, len(seams)),
    )


def _note(length_mm: float, cut_mm: float, count: int) -> str:
    """How to cut it."""
    whole = length_said(round(square_for_bias_mm(count * length_mm, cut_mm)))
    joins = bias_joins(length_mm, cut_mm, SOLD_CLOTH_MM[0])
    across = f"{joins} join{'' if joins == 1 else 's'}" if joins else "no join"
    return (
        f"On the bias: all of it is in a square of {whole}; cut straight across cloth {length_said(SOLD_CLOTH_MM[0])} "
        f"wide, a strip has {across}, on the slant. At the ends draw the cord out and cut it off where the seam "
        "allowance begins."
    )


def _cover_steps(strip: Piece, strips: int) -> list[Step]:
    """Halves joined, and the strips basted round their cords."""
    layers = [_layers(strip, number, strips) for number in range(strips)]
    joins = tuple(
        StitchLine((along(strip, copy, "end_right"), against(strip, copy + 1, "end_right")))
        for copy in range(1, strip.count, 2)
        if strip.count > strips
    )
    covers = tuple(StitchLine(edges) for halves in layers for edges in halves)
    each, stage = "the piping strip" if strips == 1 else "each piping strip", Stage.PARTS
    name = f"Fold {each} round its cord, wrong side in, and baste along the cord with the zip foot"
    return [
        Step(f"{strip.id}-join", f"Join the two halves of {each}", SeamKind.LOCKSTITCH, joins, stage=stage),
        Step(f"{strip.id}-cover", name, SeamKind.BASTE, covers, stage=stage),
    ]


def gusset_piping() -> AddOn:
    """Along the seams between gusset and panels."""
    return piping(_GUSSET_CHOICES)


def flap_piping() -> AddOn:
    """Along those, round the flap, or both."""
    flap = PipedSeam("flap", "the flap")
    return piping({**_GUSSET_CHOICES, "round the flap": (flap,), "round flap, front and back": (flap, _FRONT, _BACK)})


def base_piping() -> AddOn:
    """Along front and back of a base that comes up there."""
    edges = tuple(
        PipedSeam("base", f"the {side} edge of the base", held_on=1, lines=(line,))
        for line, side in enumerate(("front", "back"))
    )
    return piping({"along the base": edges})


def round_base_piping() -> AddOn:
    """Round a base, where the strip laps over itself."""
    return piping({"round the base": (PipedSeam("outer-base", "the base", held_on=1),)})


def end_piping() -> AddOn:
    """Round both ends of a round body, each sewn in along two lines of one step."""
    ends = (PipedSeam("outer-ends", f"{said} round end", lines=lines) for said, lines in _ROUND_ENDS.items())
    return piping({"round both ends": tuple(ends)})


_ROUND_ENDS = {"one": (0, 1), "the other": (2, 3)}
_FRONT, _BACK = PipedSeam("outer-front", "the front"), PipedSeam("outer-back", "the back")
_GUSSET_CHOICES = {"round the front": (_FRONT,), "round front and back": (_FRONT, _BACK)}
