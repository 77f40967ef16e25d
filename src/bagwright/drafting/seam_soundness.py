"""The part of the proof that follows the seams: are edges used as declared, in an order that can be sewn."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from bagwright.drafting.measured_pattern import (
    EXACT_MM,
    Check,
    CopyEdge,
    Found,
    MeasuredPattern,
    Stretch,
    of_edge,
    of_seam,
    said,
    stretch_of,
)
from bagwright.model.pattern import Pattern, SeamKind, SeamSide, Stage
from bagwright.model.piece import EdgeUse

SEAM_TOLERANCE_MM = 0.5
MEASURE_TOLERANCE_MM = 1.0
_PLACE_OF = {stage: number for number, stage in enumerate(Stage)}


def _sides_match(measured: MeasuredPattern) -> Found:
    for seam in measured.pattern.seams:
        lengths = [side.sewn_length_mm for side in seam.sides]
        if max(lengths) - min(lengths) > SEAM_TOLERANCE_MM:
            told = ", ".join(
                f"{side.piece_id} {side.edge} {length:.2f} mm" for side, length in zip(seam.sides, lengths, strict=True)
            )
            yield of_seam(seam, f"sides of seam {seam.id!r} differ in length: {told}")


def _edges_are_used_as_declared(measured: MeasuredPattern) -> Found:
    joined, hemmed = _sewn_stretches(measured.pattern)
    for piece in measured.pattern.pieces:
        times = 1 if piece.fold_edge is None else 2
        for copy, edge in itertools.product(range(1, piece.count + 1), piece.net.edges):
            use, place = piece.edge_use[edge.name], (piece.id, copy, edge.name)
            length = measured.lengths_mm[piece.id, edge.name]
            for what, sewn, asked in (("joined", joined, EdgeUse.SEAM), ("hemmed", hemmed, EdgeUse.HEM)):
                if use is not asked and place not in sewn:
                    continue
                missing, surplus = amiss_mm(sewn.get(place, ()), length, times if use is asked else 0)
                if missing + surplus > SEAM_TOLERANCE_MM:
                    words = (
                        f"{piece.id} (copy {copy}) {edge.name} is declared {use.value}; over {missing + surplus:.2f} "
                        f"mm it is not {what} as that asks"
                    )
                    yield replace(of_edge(place, words), missing_mm=missing, surplus_mm=surplus)


def _sewn_stretches(pattern: Pattern) -> tuple[Mapping[CopyEdge, list[Stretch]], Mapping[CopyEdge, list[Stretch]]]:
    """What of each edge is joined, and what is hemmed."""
    joined: defaultdict[CopyEdge, list[Stretch]] = defaultdict(list)
    hemmed: defaultdict[CopyEdge, list[Stretch]] = defaultdict(list)
    for seam in pattern.seams:
        if seam.kind.joins or seam.kind is SeamKind.HEM:
            found = joined if seam.kind.joins else hemmed
            for side in seam.sides:
                found[side.piece_id, side.copy, side.edge].append(stretch_of(side))
    return joined, hemmed


def amiss_mm(stretches: Sequence[Stretch], length_mm: float, times: int) -> tuple[float, float]:
    """Lengths over which an edge is covered too seldom and too often, missing or surplus layers counted singly."""
    if not stretches:
        return length_mm * times, 0.0
    if len(stretches) == times == 1:
        low, high = stretches[0]
        return max(low, 0.0) + max(length_mm - high, 0.0), 0.0
    cuts = sorted({0.0, length_mm, *itertools.chain.from_iterable(stretches)})
    over = [(b - a, sum(low <= (a + b) / 2 <= high for low, high in stretches)) for a, b in itertools.pairwise(cuts)]
    missing = math.fsum(length * max(times - layers, 0) for length, layers in over)
    return missing, math.fsum(length * max(layers - times, 0) for length, layers in over)


def _bag_hangs_together(measured: MeasuredPattern) -> Found:
    copies = [(piece.id, copy) for piece in measured.pattern.pieces for copy in range(1, piece.count + 1)]
    neighbours: defaultdict[tuple[str, int], set[tuple[str, int]]] = defaultdict(set)
    for seam in measured.pattern.seams:
        if seam.kind.joins:
            joined = {(side.piece_id, side.copy) for side in seam.sides}
            for copy in joined:
                neighbours[copy] |= joined
    for patch, host in _fixed(measured.pattern):
        neighbours[patch].add(host)
        neighbours[host].add(patch)
    reached, waiting = {copies[0]}, [copies[0]]
    while waiting:
        fresh = neighbours[waiting.pop()] - reached
        reached |= fresh
        waiting += fresh
    yield from (
        of_edge((name, copy, ""), f"{name} (copy {copy}) is sewn to nothing of the bag")
        for name, copy in copies
        if (name, copy) not in reached
    )


def _fixed(pattern: Pattern) -> Iterator[tuple[tuple[str, int], tuple[str, int]]]:
    """Each copy that is fused or glued on, and a copy of what it is fixed to."""
    for piece in pattern.pieces:
        for copy, host in enumerate(piece.fixed_to, start=1):
            yield (piece.id, copy), (host, 1)


def _steps_are_in_order(measured: MeasuredPattern) -> Found:
    pattern = measured.pattern
    work: defaultdict[int, set[tuple[str, SeamKind | None, Stage]]] = defaultdict(set)
    for seam in pattern.seams:
        work[seam.order].add((seam.name, seam.kind, seam.stage))
    for by_hand in pattern.handwork:
        work[by_hand.order].add((by_hand.name, None, by_hand.stage))
    orders = sorted(work)
    if orders != list(range(1, len(orders) + 1)):
        yield said(f"steps are numbered {orders}, not 1, 2, 3 and so on")
    yield from (said(f"step {order} is more than one kind of work") for order in orders if len(work[order]) > 1)
    stages = [stage for order in orders for stage in sorted(_PLACE_OF[stage] for *_, stage in work[order])]
    if stages != sorted(stages):
        yield said("stages of the work do not follow one another")
    yield from _seams_out_of_turn(measured)


_DONE = {SeamKind.HEM: "hemmed", SeamKind.QUILT: "quilted"}


def _seams_out_of_turn(measured: MeasuredPattern) -> Found:
    """Hemming and quilting come before the piece is joined, basting before the edge is joined, topstitching after."""
    first_joined, joined = _joins(measured.pattern)
    edges = {(piece.id, edge.name) for piece in measured.pattern.pieces for edge in piece.net.edges}
    for seam in measured.pattern.seams:
        for side in seam.sides if not seam.kind.joins else ():
            if seam.kind in _DONE:
                if first_joined.get((side.piece_id, side.copy), seam.order) < seam.order:
                    yield of_seam(
                        seam,
                        f"{_where(side)} is {_DONE[seam.kind]} in step {seam.order}, when its piece is sewn in already",
                    )
            elif (side.piece_id, side.edge) in edges:
                orders = _orders_along(side, joined.get((side.piece_id, side.copy, side.edge), ()))
                if seam.kind is SeamKind.BASTE and not any(order > seam.order for order in orders):
                    yield of_seam(seam, f"{_where(side)} is basted in step {seam.order} for no later seam")
                if seam.kind is SeamKind.TOPSTITCH and not any(order < seam.order for order in orders):
                    yield of_seam(seam, f"{_where(side)} is topstitched in step {seam.order}, before it is joined")


def _where(side: SeamSide) -> str:
    return f"{side.piece_id} (copy {side.copy}) {side.edge}"


def _joins(pattern: Pattern) -> tuple[Mapping[tuple[str, int], int], Mapping[CopyEdge, list[tuple[int, Stretch]]]]:
    """In which step each copy is first joined to anything, and in which steps which stretches of its edges are."""
    first: dict[tuple[str, int], int] = {}
    joined: defaultdict[CopyEdge, list[tuple[int, Stretch]]] = defaultdict(list)
    for seam in pattern.seams:
        for side in seam.sides if seam.kind.joins else ():
            copy = side.piece_id, side.copy
            first[copy] = min(first.get(copy, seam.order), seam.order)
            joined[side.piece_id, side.copy, side.edge].append((seam.order, stretch_of(side)))
    return first, joined


def _orders_along(side: SeamSide, joined: Sequence[tuple[int, Stretch]]) -> list[int]:
    """In which steps some of that stretch of edge is joined."""
    low, high = stretch_of(side)
    return [order for order, (start, end) in joined if min(high, end) - max(low, start) > EXACT_MM]


def _bag_measures_what_was_asked(measured: MeasuredPattern) -> Found:
    pattern = measured.pattern
    if pattern.measurements_mm and not pattern.assembled:
        yield said("no measure of the finished bag is proved")
    for measure in pattern.assembled:
        if pattern.measurements_mm.get(measure.key) != measure.asked_mm:
            yield said(f"{measure.key} is proved for {measure.asked_mm:.2f} mm, which is not what was asked")
        lengths = [measured.lengths_mm.get((span.piece_id, span.edge)) for span in measure.spans]
        if None in lengths:
            yield said(f"{measure.key} is measured along an edge that does not exist")
            continue
        got = sum(span.factor * length for span, length in zip(measure.spans, lengths, strict=True) if length)
        if abs(got - measure.asked_mm) > MEASURE_TOLERANCE_MM:
            yield said(f"{measure.key} was asked as {measure.asked_mm:.2f} mm, but comes out at {got:.2f} mm")


JOINING_CHECKS: Mapping[str, Check] = {
    "sides of each seam are equally long": _sides_match,
    "every edge of every copy is used as declared": _edges_are_used_as_declared,
    "all pieces are sewn together into one bag": _bag_hangs_together,
    "steps are in an order that can be sewn": _steps_are_in_order,
    "the finished bag measures what was asked": _bag_measures_what_was_asked,
}
