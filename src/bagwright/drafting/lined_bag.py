"""A bag sewn twice, outer and lining, joined along the top and turned through a gap: pieces and steps in common."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence

from bagwright.drafting.steps import StitchLine, part
from bagwright.geometry.outline import Outline
from bagwright.model.pattern import SeamSide
from bagwright.model.piece import EdgeUse, Piece

Sizes = Mapping[str, float]
Chain = Sequence[SeamSide]


def shell_piece(key: str, role: str, net: Outline, sizes: Sizes) -> Piece:
    """One piece of the shell, sewn on every edge; what it has besides is put in by `replace`.

    Edges named `top...` take the top allowance. The outer piece is called `key`, or `outer` for a plain panel; the
    lining's twin has `lining` before it.
    """
    names = [edge.name for edge in net.edges]
    said = key.replace("_", " ")
    return Piece(
        id=role if key == "panel" else key if role == "outer" else f"{role}_{key}",
        name=f"{role.capitalize()} {said}",
        role=role,
        net=net,
        allowance_mm={
            name: sizes["top_allowance_mm" if name.startswith("top") else "seam_allowance_mm"] for name in names
        },
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
    )


def split(line: StitchLine, start_mm: float, end_mm: float) -> tuple[tuple[StitchLine, ...], StitchLine]:
    """A line of stitching beside a gap from `start_mm` to `end_mm` of it, and the gap."""
    gap = line.part(start_mm, end_mm)
    return (line.part(0.0, start_mm), line.part(end_mm, line.length_mm)), gap


def chain_lines(one: Chain, other: Chain) -> tuple[StitchLine, ...]:
    """Two chains of sides sewn end to end along one another, cut wherever either goes on to its next side."""
    ends = [list(itertools.accumulate((s.sewn_length_mm for s in chain), initial=0.0)) for chain in (one, other)]
    cuts = sorted({round(at, 6) for at in itertools.chain(*ends)})
    lines = []
    for start, end in itertools.pairwise(cuts):
        if end - start > 0.001:
            lines.append(StitchLine(tuple(_cut(c, e, start, end) for c, e in zip((one, other), ends, strict=True))))
    return tuple(lines)


def _cut(chain: Chain, ends: Sequence[float], start: float, end: float) -> SeamSide:
    number = next(n for n, (a, b) in enumerate(itertools.pairwise(ends)) if a <= (start + end) / 2 <= b)
    side, low = chain[number], ends[number]
    return part(side, max(start - low, 0.0), min(end - low, side.sewn_length_mm))


def in_both(build: Callable[[str], Piece]) -> tuple[Piece, Piece]:
    """The piece in the outer and in the lining."""
    return build("outer"), build("lining")
