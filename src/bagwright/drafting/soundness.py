"""The proof that a pattern can be cut and sewn to what was asked. It knows no forms: only pieces and seams.

Copies of a piece count from 1. A piece that lies on a fold has each of its other edges twice, once in either half.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from bagwright.drafting.piece_soundness import PIECE_CHECKS
from bagwright.errors import BrokenPromise
from bagwright.model.pattern import Handwork, Pattern, Seam, SeamKind, SeamSide, Stage
from bagwright.model.piece import EdgeUse, Piece
from bagwright.model.soundness import SoundnessFault, SoundnessReport
from bagwright.model.source import Verdict

SEAM_TOLERANCE_MM = 0.5
MEASURE_TOLERANCE_MM = 1.0
EXACT_MM = 1e-6

Found = Iterator[SoundnessFault]
Check = Callable[[Pattern], Found]
Stretch = tuple[float, float]
CopyEdge = tuple[str, int, str]


def prove_sound(pattern: Pattern) -> Verdict:
    """Every check on every piece and seam; each fault in words."""
    return find_faults(pattern).verdict


def find_faults(pattern: Pattern) -> SoundnessReport:
    """Every check on every piece and seam; each fault with what it concerns.

    Where a seam names what does not exist, the checks that would walk along it are not run.
    """
    checks: list[str] = []
    faults: list[SoundnessFault] = []
    for name, check in PIECE_CHECKS.items():
        checks.append(name)
        faults += [SoundnessFault(words=words, piece_id=p.id) for p in pattern.pieces for words in check(p)]
    for name, pattern_check in _NAMING_CHECKS.items():
        checks.append(name)
        faults += pattern_check(pattern)
    if not faults:
        for name, pattern_check in _JOINING_CHECKS.items():
            checks.append(name)
            faults += pattern_check(pattern)
    return SoundnessReport(tuple(checks), tuple(faults))


def _names_are_unique(pattern: Pattern) -> Found:
    for what, ids in (
        ("piece", [piece.id for piece in pattern.pieces]),
        ("seam", [seam.id for seam in pattern.seams]),
        ("panel", [panel.key for panel in pattern.panels]),
        ("measure", [measure.key for measure in pattern.assembled]),
    ):
        yield from (_said(f"{what} {name!r} is there twice") for name in sorted({n for n in ids if ids.count(n) > 1}))
    if not pattern.pieces:
        yield _said("the pattern has no pieces")


def _said(words: str) -> SoundnessFault:
    return SoundnessFault(words=words)


def _of_edge(place: CopyEdge, words: str) -> SoundnessFault:
    piece_id, copy, edge = place
    return SoundnessFault(words=words, piece_id=piece_id, copy=copy, edge=edge)


def _of_seam(seam: Seam, words: str) -> SoundnessFault:
    return SoundnessFault(words=words, seam_id=seam.id)


def _seams_run_along_pieces(pattern: Pattern) -> Found:
    pieces = {piece.id: piece for piece in pattern.pieces}
    for seam in pattern.seams:
        if len(seam.sides) < (2 if seam.kind.joins else 1):
            yield _of_seam(seam, f"seam {seam.id!r} joins nothing")
        if seam.rows < 1:
            yield _of_seam(seam, f"seam {seam.id!r} has no row of stitching")
        for side in seam.sides:
            fault = _side_fault(side, pieces)
            if fault:
                yield _of_seam(seam, f"seam {seam.id!r}: {fault}")


def _side_fault(side: SeamSide, pieces: Mapping[str, Piece]) -> str:
    piece = pieces.get(side.piece_id)
    if piece is None:
        return f"there is no piece {side.piece_id!r}"
    if not 1 <= side.copy <= piece.count:
        return f"piece {piece.id!r} has no copy {side.copy}"
    try:
        length = piece.edge(side.edge).length_mm
    except BrokenPromise:
        return f"piece {piece.id!r} has no edge or line {side.edge!r}"
    low, high = sorted((side.from_mm, side.to_mm))
    if low < -EXACT_MM or high > length + EXACT_MM:
        return f"{piece.id} {side.edge} is {length:.2f} mm long, but is sewn from {low:.2f} to {high:.2f} mm"
    if side.folds < 1:
        return f"{piece.id} {side.edge} is folded {side.folds} times"
    return "" if side.sewn_length_mm > 0 else f"{piece.id} {side.edge} has no length to sew"


def _panels_name_pieces(pattern: Pattern) -> Found:
    pieces = {piece.id for piece in pattern.pieces}
    if not pattern.panels:
        yield _said("no panel is named")
    for panel in pattern.panels:
        yield from (
            _said(f"panel {panel.key!r}: there is no piece {name!r}") for name in panel.piece_ids if name not in pieces
        )
        if not panel.piece_ids or panel.height_mm <= 0 or panel.copies < 1:
            yield _said(f"panel {panel.key!r} has no pieces, no height or no copies")
    for notion in pattern.notions:
        if notion.count < 1 or (notion.length_mm is not None and notion.length_mm <= 0):
            yield _said(f"notion {notion.role!r} asks for nothing")


def _sides_match(pattern: Pattern) -> Found:
    for seam in pattern.seams:
        lengths = [side.sewn_length_mm for side in seam.sides]
        if max(lengths) - min(lengths) > SEAM_TOLERANCE_MM:
            said = ", ".join(
                f"{side.piece_id} {side.edge} {length:.2f} mm" for side, length in zip(seam.sides, lengths, strict=True)
            )
            yield _of_seam(seam, f"sides of seam {seam.id!r} differ in length: {said}")


def _edges_are_used_as_declared(pattern: Pattern) -> Found:
    joined, hemmed = (
        _stretches(pattern, lambda kind: kind.joins),
        _stretches(pattern, lambda kind: kind is SeamKind.HEM),
    )
    for piece in pattern.pieces:
        for copy, edge in itertools.product(range(1, piece.count + 1), piece.net.edges):
            use, place = piece.edge_use[edge.name], (piece.id, copy, edge.name)
            times = 1 if piece.fold_edge is None else 2
            amiss = [
                _amiss_mm(joined[place], edge.length_mm, times if use is EdgeUse.SEAM else 0),
                _amiss_mm(hemmed[place], edge.length_mm, times if use is EdgeUse.HEM else 0),
            ]
            for what, (missing, surplus) in zip(("joined", "hemmed"), amiss, strict=True):
                if missing + surplus > SEAM_TOLERANCE_MM:
                    words = (
                        f"{piece.id} (copy {copy}) {edge.name} is declared {use.value}; over {missing + surplus:.2f} "
                        f"mm it is not {what} as that asks"
                    )
                    yield replace(_of_edge(place, words), missing_mm=missing, surplus_mm=surplus)


def _stretches(pattern: Pattern, wanted: Callable[[SeamKind], bool]) -> Mapping[CopyEdge, list[Stretch]]:
    found: defaultdict[CopyEdge, list[Stretch]] = defaultdict(list)
    for side in (side for seam in pattern.seams if wanted(seam.kind) for side in seam.sides):
        found[side.piece_id, side.copy, side.edge].append(_stretch(side))
    return found


def _stretch(side: SeamSide) -> Stretch:
    return min(side.from_mm, side.to_mm), max(side.from_mm, side.to_mm)


def _amiss_mm(stretches: list[Stretch], length_mm: float, times: int) -> tuple[float, float]:
    """Lengths over which an edge is covered too seldom and too often, missing or surplus layers counted singly."""
    cuts = sorted({0.0, length_mm, *itertools.chain.from_iterable(stretches)})
    over = [(b - a, sum(low <= (a + b) / 2 <= high for low, high in stretches)) for a, b in itertools.pairwise(cuts)]
    missing = math.fsum(length * max(times - layers, 0) for length, layers in over)
    return missing, math.fsum(length * max(layers - times, 0) for length, layers in over)


def _bag_hangs_together(pattern: Pattern) -> Found:
    copies = [(piece.id, copy) for piece in pattern.pieces for copy in range(1, piece.count + 1)]
    neighbours: defaultdict[tuple[str, int], set[tuple[str, int]]] = defaultdict(set)
    for seam in pattern.seams:
        if seam.kind.joins:
            joined = {(side.piece_id, side.copy) for side in seam.sides}
            for copy in joined:
                neighbours[copy] |= joined
    reached, waiting = {copies[0]}, [copies[0]]
    while waiting:
        fresh = neighbours[waiting.pop()] - reached
        reached |= fresh
        waiting += fresh
    yield from (
        _of_edge((name, copy, ""), f"{name} (copy {copy}) is sewn to nothing of the bag")
        for name, copy in copies
        if (name, copy) not in reached
    )


def _steps_are_in_order(pattern: Pattern) -> Found:
    all_steps: list[Seam | Handwork] = [*pattern.seams, *pattern.handwork]
    orders = sorted({step.order for step in all_steps})
    if orders != list(range(1, len(orders) + 1)):
        yield _said(f"steps are numbered {orders}, not 1, 2, 3 and so on")
    for order in orders:
        sewn = [(seam.name, seam.kind, seam.stage) for seam in pattern.seams if seam.order == order]
        by_hand = [(step.name, None, step.stage) for step in pattern.handwork if step.order == order]
        if len({*sewn, *by_hand}) > 1:
            yield _said(f"step {order} is more than one kind of work")
    stages = [stage for _, stage in sorted((step.order, list(Stage).index(step.stage)) for step in all_steps)]
    if stages != sorted(stages):
        yield _said("stages of the work do not follow one another")
    joins: defaultdict[tuple[str, int], list[tuple[int, SeamSide]]] = defaultdict(list)
    for seam in pattern.seams:
        for side in seam.sides if seam.kind.joins else ():
            joins[side.piece_id, side.copy].append((seam.order, side))
    edges = {piece.id: {edge.name for edge in piece.net.edges} for piece in pattern.pieces}
    for seam in pattern.seams:
        for side in seam.sides if not seam.kind.joins else ():
            same_copy = joins[side.piece_id, side.copy]
            yield from _out_of_turn(seam, side, same_copy, is_edge=side.edge in edges[side.piece_id])


def _out_of_turn(seam: Seam, side: SeamSide, same_copy: list[tuple[int, SeamSide]], *, is_edge: bool) -> Found:
    """A hem comes before its piece is joined, basting before the edge is joined, topstitching after."""
    where = f"{side.piece_id} (copy {side.copy}) {side.edge}"
    if seam.kind is SeamKind.HEM and any(order < seam.order for order, _ in same_copy):
        yield _of_seam(seam, f"{where} is hemmed in step {seam.order}, when its piece is sewn in already")
    if not is_edge:
        return
    same_edge = [order for order, joined in same_copy if _overlap(side, joined)]
    if seam.kind is SeamKind.BASTE and not any(order > seam.order for order in same_edge):
        yield _of_seam(seam, f"{where} is basted in step {seam.order} for no later seam")
    if seam.kind is SeamKind.TOPSTITCH and not any(order < seam.order for order in same_edge):
        yield _of_seam(seam, f"{where} is topstitched in step {seam.order}, before it is joined")


def _overlap(one: SeamSide, other: SeamSide) -> bool:
    """Whether two sides along one copy share a stretch of edge."""
    if one.edge != other.edge:
        return False
    (a, b), (c, d) = _stretch(one), _stretch(other)
    return min(b, d) - max(a, c) > EXACT_MM


def _bag_measures_what_was_asked(pattern: Pattern) -> Found:
    if pattern.measurements_mm and not pattern.assembled:
        yield _said("no measure of the finished bag is proved")
    pieces = {piece.id: piece for piece in pattern.pieces}
    for measure in pattern.assembled:
        if pattern.measurements_mm.get(measure.key) != measure.asked_mm:
            yield _said(f"{measure.key} is proved for {measure.asked_mm:.2f} mm, which is not what was asked")
        try:
            got = sum(span.factor * pieces[span.piece_id].edge(span.edge).length_mm for span in measure.spans)
        except (KeyError, BrokenPromise):
            yield _said(f"{measure.key} is measured along an edge that does not exist")
            continue
        if abs(got - measure.asked_mm) > MEASURE_TOLERANCE_MM:
            yield _said(f"{measure.key} was asked as {measure.asked_mm:.2f} mm, but comes out at {got:.2f} mm")


_NAMING_CHECKS: Mapping[str, Check] = {
    "pieces, seams, panels and measures have names of their own": _names_are_unique,
    "seams run along edges that exist": _seams_run_along_pieces,
    "panels and notions name what exists": _panels_name_pieces,
}
_JOINING_CHECKS: Mapping[str, Check] = {
    "sides of each seam are equally long": _sides_match,
    "every edge of every copy is used as declared": _edges_are_used_as_declared,
    "all pieces are sewn together into one bag": _bag_hangs_together,
    "steps are in an order that can be sewn": _steps_are_in_order,
    "the finished bag measures what was asked": _bag_measures_what_was_asked,
}
