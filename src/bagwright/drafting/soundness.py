"""The proof that a pattern can be cut and sewn to what was asked. It knows no forms: only pieces and seams.

Copies of a piece count from 1. A piece that lies on a fold has each of its other edges twice, once in either half.
"""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.drafting.measured_pattern import EXACT_MM, Check, Found, MeasuredPattern, of_seam, said, stretch_of
from bagwright.drafting.piece_shapes import shapes_of
from bagwright.drafting.piece_soundness import PIECE_CHECKS
from bagwright.drafting.seam_soundness import JOINING_CHECKS
from bagwright.model.pattern import Pattern, SeamSide
from bagwright.model.piece import EdgeUse
from bagwright.model.soundness import SoundnessFault, SoundnessReport
from bagwright.model.source import Verdict


def prove_sound(pattern: Pattern) -> Verdict:
    """Every check on every piece and seam; each fault in words."""
    return find_faults(pattern).verdict


def find_faults(pattern: Pattern) -> SoundnessReport:
    """Every check on every piece and seam; each fault with what it concerns.

    Where a seam names what does not exist, the checks that would walk along it are not run.
    """
    shapes = shapes_of(pattern.pieces)
    measured = MeasuredPattern.of(pattern, shapes)
    checks: list[str] = []
    faults: list[SoundnessFault] = []
    for name, check in PIECE_CHECKS.items():
        checks.append(name)
        for piece, shape in zip(pattern.pieces, shapes, strict=True):
            faults += [SoundnessFault(words=words, piece_id=piece.id) for words in check(piece, shape)]
    for name, pattern_check in _NAMING_CHECKS.items():
        checks.append(name)
        faults += pattern_check(measured)
    can_follow = not faults
    if can_follow:
        for name, pattern_check in JOINING_CHECKS.items():
            checks.append(name)
            faults += pattern_check(measured)
    return SoundnessReport(tuple(checks), tuple(faults), can_follow)


def _names_are_unique(measured: MeasuredPattern) -> Found:
    pattern = measured.pattern
    for what, ids in (
        ("piece", [piece.id for piece in pattern.pieces]),
        ("seam", [seam.id for seam in pattern.seams]),
        ("panel", [panel.key for panel in pattern.panels]),
        ("measure", [measure.key for measure in pattern.assembled]),
    ):
        if len(set(ids)) < len(ids):
            yield from (
                said(f"{what} {name!r} is there twice") for name in sorted({n for n in ids if ids.count(n) > 1})
            )
    if not pattern.pieces:
        yield said("the pattern has no pieces")


def _seams_run_along_pieces(measured: MeasuredPattern) -> Found:
    for seam in measured.pattern.seams:
        if len(seam.sides) < (2 if seam.kind.joins else 1):
            yield of_seam(seam, f"seam {seam.id!r} joins nothing")
        if seam.rows < 1:
            yield of_seam(seam, f"seam {seam.id!r} has no row of stitching")
        for side in seam.sides:
            fault = _side_fault(side, measured)
            if fault:
                yield of_seam(seam, f"seam {seam.id!r}: {fault}")


def _side_fault(side: SeamSide, measured: MeasuredPattern) -> str:
    piece = measured.pieces.get(side.piece_id)
    if piece is None:
        return f"there is no piece {side.piece_id!r}"
    if not 1 <= side.copy <= piece.count:
        return f"piece {piece.id!r} has no copy {side.copy}"
    length = measured.lengths_mm.get((side.piece_id, side.edge))
    if length is None:
        return f"piece {piece.id!r} has no edge or line {side.edge!r}"
    low, high = stretch_of(side)
    if low < -EXACT_MM or high > length + EXACT_MM:
        return f"{piece.id} {side.edge} is {length:.2f} mm long, but is sewn from {low:.2f} to {high:.2f} mm"
    if side.folds < 1:
        return f"{piece.id} {side.edge} is folded {side.folds} times"
    return "" if side.sewn_length_mm > 0 else f"{piece.id} {side.edge} has no length to sew"


def _panels_name_pieces(measured: MeasuredPattern) -> Found:
    pattern = measured.pattern
    if not pattern.panels:
        yield said("no panel is named")
    for panel in pattern.panels:
        yield from (
            said(f"panel {panel.key!r}: there is no piece {name!r}")
            for name in panel.piece_ids
            if name not in measured.pieces
        )
        if not panel.piece_ids or panel.height_mm <= 0 or panel.copies < 1:
            yield said(f"panel {panel.key!r} has no pieces, no height or no copies")
    for notion in pattern.notions:
        if notion.count < 1 or (notion.length_mm is not None and notion.length_mm <= 0):
            yield said(f"notion {notion.role!r} asks for nothing")


def _what_is_fixed_on_has_a_host(measured: MeasuredPattern) -> Found:
    for piece in measured.pattern.pieces:
        if not piece.fixed_to:
            continue
        if len(piece.fixed_to) != piece.count:
            yield said(f"{piece.id} is cut {piece.count} times, but fixed to {len(piece.fixed_to)} pieces")
        for host in piece.fixed_to:
            if host not in measured.pieces or measured.pieces[host].fixed_to:
                yield said(f"{piece.id} is fixed to {host!r}, which is no piece that is sewn")
        if any(use is not EdgeUse.OPENING for use in piece.edge_use.values()):
            yield said(f"{piece.id} is fixed to a piece, so none of its edges is sewn")


_NAMING_CHECKS: Mapping[str, Check] = {
    "pieces, seams, panels and measures have names of their own": _names_are_unique,
    "seams run along edges that exist": _seams_run_along_pieces,
    "panels and notions name what exists": _panels_name_pieces,
    "what is fused or glued on names what carries it": _what_is_fixed_on_has_a_host,
}
