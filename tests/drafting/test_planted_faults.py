"""Faults of every kind, planted anywhere in a bag of any form and size, are found; those that shortcuts skirt, too."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bagwright.drafting import piece_shapes
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.piece_shapes import CHORD_MM, ON_LINE_MM
from bagwright.drafting.seam_soundness import amiss_mm
from bagwright.drafting.soundness import find_faults
from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine
from bagwright.geometry.offset import cut_region, plain_cut_regions
from bagwright.geometry.outline import Edge, Outline, polygon_outline, rectangle_outline
from bagwright.geometry.region import Region
from bagwright.model.pattern import Pattern, Seam, SeamKind
from bagwright.model.piece import DrillMark, EdgeUse, Mirror, Notch, Piece, PlacementLine
from tests.drafting.measurement_strategies import measurements
from tests.geometry.shapes import OUTLINES, curved_outlines, rounded_front

BAGS = st.sampled_from(sorted(FORMS)).flatmap(lambda key: st.tuples(st.just(key), measurements(FORMS[key])))
Pick = Callable[[list], Any]


def words_of(pattern: Pattern) -> str:
    return "; ".join(fault.words for fault in find_faults(pattern).faults)


def changed_piece(pattern: Pattern, piece: Piece, **changes) -> Pattern:
    return replace(pattern, pieces=tuple(replace(p, **changes) if p is piece else p for p in pattern.pieces))


def changed_seam(pattern: Pattern, seam: Seam, **changes) -> Pattern:
    return replace(pattern, seams=tuple(replace(s, **changes) if s is seam else s for s in pattern.seams))


def using_up(pattern: Pattern) -> list[Seam]:
    """Seams that use up more of an edge (not of a line on a piece) than the proof lets pass."""
    edges = {(piece.id, edge.name) for piece in pattern.pieces for edge in piece.net.edges}
    return [
        seam
        for seam in pattern.seams
        if (seam.kind.joins or seam.kind is SeamKind.HEM)
        and any((side.piece_id, side.edge) in edges for side in seam.sides)
        and seam.sides[0].edge_length_mm > 1.5
    ]


def missing_seam(pattern: Pattern, pick: Pick) -> Pattern:
    gone = pick(using_up(pattern))
    return replace(pattern, seams=tuple(seam for seam in pattern.seams if seam is not gone))


def seam_sewn_twice(pattern: Pattern, pick: Pick) -> Pattern:
    return replace(pattern, seams=(*pattern.seams, replace(pick(using_up(pattern)), id="again")))


def side_sewn_short(pattern: Pattern, pick: Pick) -> Pattern:
    seam = pick(using_up(pattern))
    first, *others = seam.sides
    back = 0.7 if first.to_mm > first.from_mm else -0.7
    return changed_seam(pattern, seam, sides=(replace(first, to_mm=first.to_mm - back), *others))


def side_of_no_copy(pattern: Pattern, pick: Pick) -> Pattern:
    seam = pick(list(pattern.seams))
    first, *others = seam.sides
    return changed_seam(pattern, seam, sides=(replace(first, copy=first.copy + 9), *others))


def side_of_no_edge(pattern: Pattern, pick: Pick) -> Pattern:
    seam = pick(list(pattern.seams))
    first, *others = seam.sides
    return changed_seam(pattern, seam, sides=(replace(first, edge="brim"), *others))


def step_left_out(pattern: Pattern, pick: Pick) -> Pattern:
    order = pick([seam.order for seam in pattern.seams])
    late = tuple(replace(seam, order=seam.order + (seam.order >= order)) for seam in pattern.seams)
    by_hand = tuple(replace(step, order=step.order + (step.order >= order)) for step in pattern.handwork)
    return replace(pattern, seams=late, handwork=by_hand)


def larger_piece(pattern: Pattern, pick: Pick) -> Pattern:
    sewn = [p for p in pattern.pieces if any(e.length_mm > 60 for e in p.net.edges if is_sewn(p, e))]
    piece = pick(sewn)
    longer = [Edge(e.name, tuple(scaled(curve, 1.02) for curve in e.curves)) for e in piece.net.edges]
    return changed_piece(pattern, piece, net=Outline(tuple(longer)))


def is_sewn(piece: Piece, edge: Edge) -> bool:
    return piece.edge_use[edge.name] in (EdgeUse.SEAM, EdgeUse.HEM)


def scaled(curve, factor: float):
    points = {
        name: tuple(factor * at for at in getattr(curve, name)) for name in curve.__slots__ if name != "sweep_deg"
    }
    return replace(curve, **points)


def crossing_net(pattern: Pattern, pick: Pick) -> Pattern:
    piece = pick([p for p in pattern.pieces if len(p.net.edges) > 3])
    names = [edge.name for edge in piece.net.edges]
    crossing = [(0.0, 0.0), (100.0, 0.0), (20.0, 60.0), (80.0, 90.0)]
    rest = len(names) - 4
    crossing += [(80 - 80 * i / (rest + 1), 90 - 90 * i / (rest + 1)) for i in range(1, rest + 1)]
    return changed_piece(pattern, piece, net=polygon_outline(zip(names, crossing, strict=True)))


def no_allowance(pattern: Pattern, pick: Pick) -> Pattern:
    piece, name = pick([(p, e.name) for p in pattern.pieces for e in p.net.edges if is_sewn(p, e)])
    return changed_piece(pattern, piece, allowance_mm={n: w for n, w in piece.allowance_mm.items() if n != name})


def impossible_allowance(pattern: Pattern, pick: Pick) -> Pattern:
    piece, name = pick([(p, e.name) for p in pattern.pieces for e in p.net.edges])
    width = pick([-1.0, math.inf, math.nan])
    return changed_piece(pattern, piece, allowance_mm={**piece.allowance_mm, name: width})


def other_use(pattern: Pattern, pick: Pick) -> Pattern:
    piece, name = pick(
        [(p, e.name) for p in pattern.pieces for e in p.net.edges if e.length_mm > 1.5 and is_sewn(p, e)]
    )
    use = EdgeUse.HEM if piece.edge_use[name] is EdgeUse.SEAM else EdgeUse.OPENING
    return changed_piece(pattern, piece, edge_use={**piece.edge_use, name: use})


def notch_off(pattern: Pattern, pick: Pick) -> Pattern:
    piece, edge = pick([(p, e) for p in pattern.pieces for e in p.net.edges])
    at = pick([-0.1, edge.length_mm + 0.1])
    return changed_piece(pattern, piece, notches=(*piece.notches, Notch(edge.name, at)))


def line_off(pattern: Pattern, pick: Pick) -> Pattern:
    piece = pick(list(pattern.pieces))
    inside = piece.net.region().shape.representative_point()
    (_, low, right, _) = piece.net.region().bounds
    end = pick([(right + 0.05, inside.y), (inside.x, low - 0.05)])
    return changed_piece(pattern, piece, lines=(*piece.lines, PlacementLine("astray", (inside.x, inside.y), end)))


def mark_off(pattern: Pattern, pick: Pick) -> Pattern:
    piece = pick(list(pattern.pieces))
    left, low, right, high = piece.net.region().bounds
    at = pick([(left - 0.05, (low + high) / 2), ((left + right) / 2, high + 0.05), (math.nan, low)])
    return changed_piece(pattern, piece, drill_marks=(*piece.drill_marks, DrillMark("astray", at)))


def wrong_count(pattern: Pattern, pick: Pick) -> Pattern:
    piece = pick(list(pattern.pieces))
    changes = pick([{"count": 0}, {"count": piece.count + 1}, {"mirror": Mirror.PAIRS, "count": 2 * piece.count + 1}])
    return changed_piece(pattern, piece, **changes)


def piece_twice(pattern: Pattern, pick: Pick) -> Pattern:
    return replace(pattern, pieces=(*pattern.pieces, pick(list(pattern.pieces))))


def wrong_measure(pattern: Pattern, pick: Pick) -> Pattern:
    measure = pick(list(pattern.assembled))
    asked = {measure.key: measure.asked_mm + 1.1}
    wrong = tuple(replace(m, asked_mm=asked.get(m.key, m.asked_mm)) for m in pattern.assembled)
    return replace(pattern, assembled=wrong, measurements_mm={**pattern.measurements_mm, **asked})


FAULTS = {
    missing_seam: "is declared",
    seam_sewn_twice: "is declared",
    side_sewn_short: "is declared|differ in length",
    side_of_no_copy: "has no copy",
    side_of_no_edge: "has no edge or line 'brim'",
    step_left_out: "not 1, 2, 3 and so on",
    larger_piece: "it is not|mm long, but|leaves the piece",
    crossing_net: "crosses itself",
    no_allowance: "has no seam allowance",
    impossible_allowance: "has the allowance",
    other_use: "is declared",
    notch_off: "lies off",
    line_off: "astray leaves the piece",
    mark_off: "astray leaves the piece",
    wrong_count: "",
    piece_twice: "is there twice",
    wrong_measure: "was asked as",
}


@pytest.mark.parametrize("plant", FAULTS, ids=lambda plant: plant.__name__)
@settings(max_examples=25, deadline=None)
@given(BAGS, st.integers(0, 10_000))
def test_planted_fault_rejects(plant, bag, seed):
    words = words_of(plant(draft_bag(*bag), random.Random(seed).choice))
    assert words
    assert re.search(FAULTS[plant], words)


def leaf(piece_id: str, net: Outline, /, **changes) -> Piece:
    names = [edge.name for edge in net.edges]
    given_all = {
        "net": net,
        "allowance_mm": dict.fromkeys(names, 10.0),
        "edge_use": dict.fromkeys(names, EdgeUse.SEAM),
        **changes,
    }
    return Piece(id=piece_id, name=piece_id, role="outer", **given_all)


def piece_faults(*pieces: Piece) -> list[tuple[str, str]]:
    bare = Pattern(form="", measurements_mm={}, pieces=pieces, seams=(), assembled=(), panels=())
    return [(f.piece_id, f.words) for f in find_faults(bare).faults if f.piece_id]


SHARED = rounded_front()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"allowance_mm": {}}, "foot has no seam allowance"),
        ({"notches": (Notch("foot", 1e4),)}, "a notch at"),
        ({"drill_marks": (DrillMark("snap", (2.0, 2.0)),)}, "snap leaves the piece"),
        ({"lines": (PlacementLine("crease", (50.0, 50.0), (2.0, 2.0)),)}, "crease leaves the piece"),
        ({"count": 0}, "is cut 0 times"),
        ({"net": rounded_front(300, 240.1, 40), "notches": (Notch("left", 200.05),)}, ""),
    ],
)
def test_fault_of_one_of_two_twins_rejects_that_one_alone(changes, words):
    """Outer and lining share the verdict on their shape, not on what is theirs."""
    found = piece_faults(leaf("outer", SHARED), leaf("lining", SHARED, **changes), leaf("third", SHARED))
    assert {piece_id for piece_id, _ in found} == ({"lining"} if words else set())
    assert all(words in said for _, said in found[:1])


def test_fault_of_a_shared_shape_rejects_every_piece_that_has_it():
    bow = polygon_outline([("a", (0, 0)), ("b", (100, 0)), ("c", (20, 60)), ("d", (80, 90))])
    found = piece_faults(leaf("outer", bow), leaf("lining", bow))
    assert {piece_id for piece_id, _ in found} == {"outer", "lining"}
    assert all("crosses itself" in said for _, said in found)


@pytest.mark.parametrize("shape", OUTLINES.values(), ids=OUTLINES.keys())
@pytest.mark.parametrize(
    ("broken", "words"),
    [
        (lambda cut: cut.grown(-11), "the net line leaves the cut line"),
        (lambda cut: cut.shifted(30, 0), "the net line leaves the cut line"),
        (lambda cut: Region.union([cut, cut.shifted(2000, 0)]), "what is cut falls into parts"),
    ],
)
def test_broken_cut_line_rejects(shape, broken, words, monkeypatch):
    monkeypatch.setattr(piece_shapes, "cut_region", lambda *asked: broken(cut_region(*asked)))
    monkeypatch.setattr(
        piece_shapes, "plain_cut_regions", lambda *asked: [cut and broken(cut) for cut in plain_cut_regions(*asked)]
    )
    assert any(words in said for _, said in piece_faults(leaf("outer", shape)))


def test_cut_line_that_cannot_be_made_rejects(monkeypatch):
    def failing(*asked):
        raise BrokenPromise("no line")

    monkeypatch.setattr(piece_shapes, "cut_region", failing)
    monkeypatch.setattr(piece_shapes, "plain_cut_regions", lambda asked, _: [None] * len(asked))
    assert piece_faults(leaf("outer", SHARED)) == [("outer", "outer: the cut line fails (no line)")]


@pytest.mark.parametrize("turn", [0.0, 90.0, 33.0])
@pytest.mark.parametrize("off", [0.0, 0.004, 0.05, 1.0])
def test_mark_property_may_leave_the_piece_by_a_hair_and_no_more(turn, off):
    move = Affine(turn)
    net = rectangle_outline(100, 60).moved(move)
    ends = move.apply((20.0, 60.0 + off)), move.apply((80.0, 60.0 + off))
    found = piece_faults(
        leaf("outer", net, lines=(PlacementLine("fold", *ends),)),
        leaf("other", net, drill_marks=(DrillMark("eye", ends[0]),)),
    )
    assert len(found) == (2 if off > ON_LINE_MM else 0)


@settings(max_examples=60, deadline=None)
@given(curved_outlines(), st.tuples(*[st.floats(-0.2, 1.2)] * 4))
def test_lines_on_curved_pieces_agree_with_distances(net, shares):
    """Second method: how far points of the line lie from the flattened piece, by shapely."""
    assume(not piece_faults(leaf("outer", net)))
    region = net.region(CHORD_MM, "right")
    left, low, right, high = region.bounds
    ends = [(left + u * (right - left), low + v * (high - low)) for u, v in (shares[:2], shares[2:])]
    line = shapely.LineString(ends)
    furthest = shapely.distance(line.interpolate(np.linspace(0, 1, 300), normalized=True), region.shape).max()
    is_near = region.shape.buffer(ON_LINE_MM / 4).covers(line)
    assume(is_near or furthest > 2 * ON_LINE_MM)
    found = piece_faults(leaf("outer", net, lines=(PlacementLine("stray", *ends),)))
    assert bool(found) != is_near


@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)).map(sorted).filter(lambda s: s[0] < s[1]), max_size=4),
    st.integers(0, 2),
)
def test_missing_and_surplus_lengths_agree_with_counting(stretches, times):
    """Second method: millimetre by millimetre along an edge of 60 mm."""
    layers = [sum(low <= at < high for low, high in stretches) for at in range(60)]
    missing, surplus = amiss_mm([(float(low), float(high)) for low, high in stretches], 60.0, times)
    assert missing == pytest.approx(sum(max(times - n, 0) for n in layers))
    assert surplus == pytest.approx(sum(max(n - times, 0) for n in layers))
