"""Sewing a zip: tabs over its ends, its tape along an edge, and its end where it is folded along the teeth."""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.drafting.zips import TAB_FOLDS
from bagwright.model.pattern import SeamKind, SeamSide, Stage
from bagwright.model.piece import Piece


def tab_step(tab: Piece, chain: Piece, *, key: str = "tabs") -> Step:
    """A folded tab over either end of the chain, through both its layers.

    Tab 1 lies at the left end turned half round, tab 2 at the right end as drawn, their folds over the tape.
    """
    name = "Put the slider on; stitch a folded tab over each end of the zip"
    lines = []
    for copy, end in ((1, "end_left"), (2, "end_right")):
        fold = along(tab, copy, "fold")
        lines.append(StitchLine((along(chain, 1, end), fold, fold)))
    return Step(key, name, SeamKind.LOCKSTITCH, tuple(lines), stage=Stage.ZIPS)


def capped_step(tab: Piece, chain: Piece, *, key: str = "tabs") -> Step:
    """A tab round either end of the chain, its raw ends turned under and stitched across, its fold beyond the tape.

    Tab 2 lies at the left end as drawn, tab 1 at the right end turned half round.
    """
    name = "Put the slider on; turn the ends of each tab under, fold it round an end of the zip and stitch across"
    lines = tuple(
        StitchLine((along(chain, 1, end), against(tab, copy, "end_over"), along(tab, copy, "end_under")))
        for copy, end in ((2, "end_left"), (1, "end_right"))
    )
    return Step(key, name, SeamKind.LOCKSTITCH, lines, stage=Stage.ZIPS)


def tape_line(
    through: Sequence[SeamSide], chain: Piece, tape: str, tab: Piece | None = None, *, caps: bool = False
) -> StitchLine:
    """One tape of a closed zip, with its tabs if it has any, along sides that are walked against it.

    A tab's side starts where its raw ends lie, so the second of the two is walked back; of tabs that cap the ends
    (`caps`), with their folds outside, the first.
    """
    side, total = against(chain, 1, tape), through[0].sewn_length_mm
    if tab is None:
        return StitchLine(tuple(through), (Caught(0.0, total, side),))
    short = tab.edge("side_one").length_mm / TAB_FOLDS
    # Seen from above, the right end of the front tape comes first, and the left end of the back tape.
    first, last = (2, 1) if (tape == "tape_front") != caps else (1, 2)
    sides = {1: "side_two", 2: "side_one"} if tape == "tape_front" else {1: "side_one", 2: "side_two"}
    ends = {copy: along(tab, copy, edge, folds=TAB_FOLDS) for copy, edge in sides.items()}
    return StitchLine(
        tuple(through),
        (
            Caught(0.0, short, ends[first], turned=caps),
            Caught(short, total - short, side),
            Caught(total - short, total, ends[last], turned=not caps),
        ),
    )


def folded_ends(chain: Piece, tab: Piece | None = None) -> tuple[StitchLine, ...]:
    """Both ends of a zip that is folded along its teeth, from the tapes' edges down to the fold: all layers of each."""
    if tab is None:
        return tuple(StitchLine(_folded(chain, 1, end)) for end in ("end_left", "end_right"))
    return tuple(
        StitchLine(_folded(tab, copy, "end_over") + _folded(tab, copy, "end_under")) for copy in range(1, tab.count + 1)
    )


def _folded(piece: Piece, copy: int, edge: str) -> tuple[SeamSide, SeamSide]:
    half = piece.edge(edge).length_mm / 2
    return part(along(piece, copy, edge), 0.0, half), part(against(piece, copy, edge), 0.0, half)
