"""`bagwright prove`: pieces and seams of the maker's own, and the proof of what they make."""

from __future__ import annotations

from collections.abc import Iterator

from bagwright.drafting.own_pieces import draft_own, report_own
from bagwright.model.own_pattern import OwnPattern
from bagwright.output.piece_lines import told_count
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.contracts import read_contract
from bagwright.workflows.own_from_words import own_from
from bagwright.workflows.own_words import OwnWords
from bagwright.workflows.pattern_json import Json, pattern_as_json


def own_of_file(text: bytes) -> OwnPattern:
    """The pattern that JSON `text` describes, sound or not. Raises `FaultyInput` with every fault of the input."""
    return own_from(read_contract(text, OwnWords))


def own_as_json(own: OwnPattern) -> Json:
    """The answer of `bagwright prove`, in the shape of `bagwright draft`."""
    return pattern_as_json(draft_own(own))


def own_in_words(own: OwnPattern, units: UnitSystem) -> str:
    """The answer for the maker."""
    return "\n".join(["To cut for one bag, seam allowance included:", *_pieces_said(own, units), "", *_proof_said(own)])


def _pieces_said(own: OwnPattern, units: UnitSystem) -> Iterator[str]:
    for piece in own.pieces:
        region = piece.region()
        width, height = (print_length(side, units).text for side in (region.width_mm, region.height_mm))
        yield f"  {piece.name} ({piece.role}): {told_count(piece)}, {width} x {height}"


def _proof_said(own: OwnPattern) -> Iterator[str]:
    report = report_own(own)
    seams = f"{len(own.seams)} seam{'' if len(own.seams) == 1 else 's'}"
    if report.verdict.passed:
        yield f"{seams}, all proved: edges that meet are equally long, and every edge is used as you declared."
        return
    yield f"{seams}. Not sound yet:"
    yield from (f"  {fault.words}" for fault in report.faults)
