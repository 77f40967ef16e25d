"""Folding up takes any pattern that names what exists - unsound, unjoined, unbent, of unknown parts - and shows it."""

import itertools
import math
import random
from dataclasses import replace

import pytest

from bagwright.drafting.fold_faults import find_fold_faults
from bagwright.drafting.fold_tracks import way_along
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Arc, Cubic, Line
from bagwright.geometry.outline import Edge, Outline, rectangle_outline
from bagwright.geometry.space import dot
from bagwright.model.pattern import Pattern, Seam, SeamKind, SeamSide
from bagwright.model.piece import Bend, EdgeUse, Mirror, Piece, PlacementLine
from tests.drafting.measurement_strategies import random_sizes

TRIALS = 20


def shows(pattern):
    """The pattern folded up; every corner is somewhere, and every copy has a place or is named as having none."""
    fold = fold_up(pattern)
    for facet in fold.facets:
        assert len(facet.points) > 2
        assert all(math.isfinite(v) for point in facet.points for v in point)
        assert math.hypot(*facet.normal) == pytest.approx(1.0, abs=1e-6)
    placed = {(facet.piece_id, facet.copy) for facet in fold.facets}
    copies = {(piece.id, copy) for piece in pattern.pieces for copy in range(1, piece.count + 1)}
    assert placed | set(fold.unplaced) == copies
    assert all(math.isfinite(gap.gap_mm) for gap in fold.gaps)
    assert all(math.isfinite(size) for size in fold.assembled_size_mm)
    find_fold_faults(pattern, fold)
    return fold


def turned(seam, chance):
    sides = list(seam.sides)
    number = chance.randrange(len(sides))
    sides[number] = replace(sides[number], from_mm=sides[number].to_mm, to_mm=sides[number].from_mm)
    return replace(seam, sides=tuple(sides))


def exchanged(seam, pattern, chance):
    """One side runs along any edge of any copy instead."""
    sides = list(seam.sides)
    piece = chance.choice(pattern.pieces)
    edge = chance.choice(piece.net.edges)
    copy = chance.randint(1, piece.count)
    sides[chance.randrange(len(sides))] = SeamSide(piece.id, copy, edge.name, 0.0, edge.length_mm)
    return replace(seam, sides=tuple(sides))


def spoilt(pattern, chance):
    """A pattern with a few things wrong, each of which still names what exists."""
    for _ in range(chance.randint(1, 4)):
        number = chance.randrange(len(pattern.seams))
        seam, seams = pattern.seams[number], list(pattern.seams)
        match chance.randrange(7):
            case 0:
                seams[number] = turned(seam, chance)
            case 1:
                seams[number] = exchanged(seam, pattern, chance)
            case 2 if len(seams) > 1:
                del seams[number]
            case 3:
                sides = tuple(replace(side, ease_mm=side.sewn_length_mm * 0.3) for side in seam.sides)
                seams[number] = replace(seam, sides=sides)
            case 4:
                pattern = changed(pattern, chance, lambda piece: replace(piece, bends=()))
            case 5:
                pattern = changed(pattern, chance, lambda piece: replace(piece, role=chance.choice(ROLES)))
            case _:
                pattern = changed(pattern, chance, lambda piece: replace(piece, bends=bent_anyhow(piece, chance)))
        pattern = replace(pattern, seams=tuple(seams))
    return pattern


ROLES = ("outer", "lining", "pocket", "strap", "binding", "webbing", "nobody knows")


def changed(pattern, chance, change):
    piece = chance.choice(pattern.pieces)
    return replace(pattern, pieces=tuple(change(p) if p.id == piece.id else p for p in pattern.pieces))


def bent_anyhow(piece, chance):
    """Bends from anywhere on the outline to anywhere, sharp or round, among them some that do nothing."""

    def place():
        edge = chance.choice(piece.net.edges)
        return edge.at(chance.uniform(0, edge.length_mm))

    return tuple(
        Bend(
            place(), place(), chance.choice([0.0, 90.0, -90.0, 180.0, -180.0, 359.0, chance.uniform(-170, 170)]), radius
        )
        for radius in chance.choices([0.0, 0.0, 5.0, 80.0], k=chance.randint(1, 3))
    )


@pytest.mark.parametrize("key", FORMS)
def test_spoilt_patterns_property_are_shown_all_the_same(key):
    chance = random.Random(f"{key} spoilt")
    usual, other = draft_bag(key, {}), draft_bag(key, random_sizes(FORMS[key], chance))
    for good in (usual, other) * (TRIALS // 2):
        shows(spoilt(good, chance))


def test_walk_that_turns_back_limit_goes_on_from_there():
    there, here = (0.0, 0.0, 0.0), (2.0, 0.0, 0.0)
    assert way_along((there, here, there), 1) == (-1.0, 0.0, 0.0)
    assert way_along((there, there, here), 0) == (1.0, 0.0, 0.0)
    assert way_along((here, there, there), 2) == (-1.0, 0.0, 0.0)
    with pytest.raises(BrokenPromise):
        way_along((here, here), 0)


def piece_of(net, piece_id="piece", **changes):
    names = [edge.name for edge in net.edges]
    plain = Piece(
        id=piece_id,
        name=piece_id,
        role="outer",
        net=net,
        allowance_mm=dict.fromkeys(names, 10.0),
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
    )
    return replace(plain, **changes)


def pattern_of(pieces, *seams):
    made = tuple(
        Seam(id=f"seam-{number}", name="Sew", kind=SeamKind.LOCKSTITCH, order=number, sides=sides)
        for number, sides in enumerate(seams, start=1)
    )
    return Pattern(form="own", measurements_mm={}, pieces=tuple(pieces), seams=made, assembled=(), panels=())


SQUARE = rectangle_outline(100.0, 100.0)


def test_one_piece_limit_lies_flat_where_it_is():
    fold = shows(pattern_of([piece_of(SQUARE)]))
    assert fold.assembled_size_mm == pytest.approx((100.0, 0.0, 100.0))
    assert fold.capacity_l is None and fold.gaps == ()


def test_no_piece_rejects():
    with pytest.raises(BrokenPromise):
        fold_up(pattern_of([]))


def test_pieces_without_seams_property_are_named_as_having_no_place():
    fold = shows(pattern_of([piece_of(SQUARE, count=3), piece_of(SQUARE, "other")]))
    assert fold.unplaced == (("piece", 2), ("piece", 3), ("other", 1))


def test_curved_edges_property_close_on_their_twin():
    """A leaf of a cubic and an arc sewn to its mirror image all round: it lies flat on it, right sides out."""
    curve = Cubic((0.0, 0.0), (40.0, -30.0), (80.0, 30.0), (120.0, 0.0))
    arc = Arc((120.0, 0.0), (60.0, 0.0), 180.0)
    net = Outline((Edge("low", (curve,)), Edge("high", (arc,))))
    piece = piece_of(net, count=2, mirror=Mirror.PAIRS)
    whole = {edge.name: edge.length_mm for edge in net.edges}
    sides = [
        (SeamSide("piece", 1, name, 0.0, length), SeamSide("piece", 2, name, 0.0, length))
        for name, length in whole.items()
    ]
    fold = shows(pattern_of([piece], *sides))
    assert fold.worst_seam.gap_mm < 0.05
    one, other = fold.facets
    assert one.normal == pytest.approx(tuple(-v for v in other.normal), abs=1e-6)


def test_strip_without_bends_property_bends_along_a_folded_edge():
    """A band sewn to a panel that turns a square corner turns it, too; a bag knows no form of bands."""
    panel = piece_of(SQUARE, bends=(Bend((40.0, 0.0), (40.0, 100.0), 90.0),))
    band = piece_of(rectangle_outline(100.0, 15.0), "band")
    sides = (SeamSide("piece", 1, "top", 0.0, 100.0), SeamSide("band", 1, "bottom", 100.0, 0.0))
    fold = shows(pattern_of([panel, band], sides))
    assert fold.worst_seam.gap_mm < 1e-3
    one, other = (facet for facet in fold.facets if facet.piece_id == "band")
    assert dot(one.normal, other.normal) == pytest.approx(0.0, abs=1e-6)
    lengths = sorted(math.dist(a, b) for facet in (one, other) for a, b in itertools.pairwise(facet.points))
    assert lengths == pytest.approx([15.0] * 4 + [40.0, 60.0], abs=0.01)


def test_patch_on_a_drawn_line_property_lies_flat_right_side_up():
    host = piece_of(SQUARE, lines=(PlacementLine("here", (20.0, 30.0), (60.0, 30.0)),))
    patch = piece_of(rectangle_outline(40.0, 25.0), "patch")
    sides = (SeamSide("patch", 1, "bottom", 0.0, 40.0), SeamSide("piece", 1, "here", 0.0, 40.0))
    fold = shows(pattern_of([host, patch], sides))
    under, on = fold.facets
    assert on.plane == under.plane and on.rank > under.rank
    assert on.normal == pytest.approx(under.normal)


def test_needle_thin_and_huge_pieces_property_are_shown():
    needle = piece_of(
        Outline(
            (
                Edge("a", (Line((0.0, 0.0), (900.0, 0.0)),)),
                Edge("b", (Line((900.0, 0.0), (900.0, 0.02)), Line((900.0, 0.02), (0.0, 0.0)))),
            )
        ),
        "needle",
    )
    sail = piece_of(rectangle_outline(9000.0, 9000.0), "sail")
    sides = (SeamSide("sail", 1, "bottom", 0.0, 900.0), SeamSide("needle", 1, "a", 900.0, 0.0))
    shows(pattern_of([sail, needle], sides))


def test_many_pieces_property_are_placed_one_from_the_other():
    """A patchwork of 12 by 12 squares in one row after the other."""
    piece = piece_of(SQUARE, count=144)

    def side(number, edge, *, back=False):
        return SeamSide("piece", number, edge, *((100.0, 0.0) if back else (0.0, 100.0)))

    rows = [(side(n, "right"), side(n + 1, "left", back=True)) for n in range(1, 144) if n % 12]
    columns = [(side(n, "top"), side(n + 12, "bottom", back=True)) for n in range(1, 133)]
    fold = shows(pattern_of([piece], *rows, *columns))
    assert fold.unplaced == ()
    assert fold.assembled_size_mm == pytest.approx((1200.0, 0.0, 1200.0), abs=1e-6)
    assert fold.worst_seam.gap_mm < 1e-6
