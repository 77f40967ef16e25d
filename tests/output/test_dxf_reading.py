"""Pieces from DXF: our own files, files that the DXF library writes, the layers of the standard, what is refused."""

from __future__ import annotations

import io
import math

import pytest
from ezdxf.filemanagement import new
from ezdxf.path import make_path
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe
from shapely import Polygon

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.errors import FaultyInput
from bagwright.geometry.curves import Affine
from bagwright.geometry.inset import farthest_apart_mm
from bagwright.model.found_piece import OutlineKind
from bagwright.output.drawing_reading import read_drawing
from bagwright.output.dxf import pattern_dxf
from bagwright.output.dxf_reading import read_dxf

MILLIMETRES, INCHES = 4, 1
SQUARE = [(0, 0), (80, 0), (80, 60), (0, 60)]


def drawing(*, release="R2000", units=MILLIMETRES):
    return new(release, units=units)


def saved(document):
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def read(document, **how):
    return read_dxf(saved(document), **how)


def piece(document, **how):
    (only,) = read(document, **how).pieces
    return only


def lengths(found):
    return [round(edge.length_mm, 4) for edge in found.outline.edges]


def refusals(document):
    with pytest.raises(FaultyInput) as refused:
        read(document)
    return refused.value.problems


def block(document, name="Front"):
    made = document.blocks.new(name)
    document.modelspace().add_blockref(name, (0, 0))
    return made


def on(layer):
    return {"layer": layer}


@pytest.mark.parametrize("form", sorted(FORMS))
def test_our_own_file_reads_back_within_a_tenth(form):
    pattern = draft_bag(form, {})
    pieces = [piece for piece in pattern.pieces if not piece.is_bought]
    found = read_drawing(pattern_dxf(pattern))
    assert found.scale.is_sure
    assert len(found.pieces) == len(pieces)
    for one, drawn in zip(found.pieces, pieces, strict=True):
        assert one.kind is OutlineKind.STITCH
        low = [min(xs) for xs in zip(*_cut_half(drawn), strict=True)]
        net = drawn.net.moved(Affine(shift=(-low[0], -low[1])))
        assert farthest_apart_mm(one.outline.region(), net.region()) < 0.1, drawn.id
        assert one.outline.length_mm == pytest.approx(net.length_mm, abs=0.1)
        assert bool(one.fold_edge) is bool(drawn.fold_edge)
        assert one.grain_deg == pytest.approx(drawn.grain_deg % 180, abs=0.01)
        assert len(one.notches) == len(drawn.notches)
        assert {round(width, 1) for width in one.allowance_mm.values()} <= {
            round(width, 1) for width in (*drawn.allowance_mm.values(), 0.0)
        }


def _cut_half(drawn):
    from bagwright.geometry.offset import cut_region

    return cut_region(drawn.net, drawn.allowance_mm).outer_ring()


# Bulge: DXF reference, LWPOLYLINE group 42: "the tangent of one fourth the included angle"; 1 is a half circle.
@pytest.mark.parametrize("bulge", [1.0, -1.0, 0.5, -0.4, math.tan(math.radians(90) / 4)])
@pytest.mark.parametrize("upside_down", [False, True])
def test_bulges_match_the_dxf_reference(bulge, upside_down):
    document = drawing()
    line = document.modelspace().add_lwpolyline(
        [(0, 0, 0), (80, 0, bulge), (80, 60, 0), (0, 60, 0)], format="xyb", close=True
    )
    if upside_down:
        line.dxf.extrusion = (0, 0, -1)
    angle = 4 * math.atan(abs(bulge))
    radius = 30 / math.sin(angle / 2)
    segment = radius**2 * (angle - math.sin(angle)) / 2
    found = piece(document).outline
    # Counter-clockwise, a bulge above 0 adds its segment outside.
    assert found.area_mm2 == pytest.approx(80 * 60 + math.copysign(segment, bulge), rel=1e-9)
    assert found.length_mm == pytest.approx(80 + 60 + 80 + radius * angle, rel=1e-9)


@pytest.mark.parametrize("release", ["R12", "R2000", "R2010"])
def test_polylines_of_every_release_are_read(release):
    document = new(release)
    document.modelspace().add_polyline2d([(0, 0), (80, 0, 0, 0, 1), (80, 60), (0, 60)], format="xyseb", close=True)
    found = read_dxf(saved(document), mm_per_unit=1).pieces[0].outline
    assert found.area_mm2 == pytest.approx(80 * 60 + math.pi * 900 / 2)


def test_loose_lines_and_arcs_are_chained_within_a_tenth():
    document = drawing()
    space = document.modelspace()
    space.add_arc((70, 10), 10, 270, 360)
    space.add_line((0, 0), (70.05, 0))
    space.add_line((80, 60), (80, 10.04))
    space.add_line((80, 60.03), (0, 60))
    space.add_line((0, 0.02), (0, 60))
    found = piece(document)
    assert found.outline.area_mm2 == pytest.approx(80 * 60 - (1 - math.pi / 4) * 100, abs=5)
    assert len(found.outline.edges) == 3


def test_circle_and_ellipse_agree_with_closed_forms():
    document = drawing()
    document.modelspace().add_circle((50, 50), 40)
    document.modelspace().add_ellipse((200, 50), major_axis=(48, 36), ratio=0.5)
    circle, ellipse = read(document).pieces
    assert circle.outline.length_mm == pytest.approx(80 * math.pi)
    assert ellipse.outline.length_mm == pytest.approx(4 * 60 * ellipe(0.75), abs=1e-3)
    assert ellipse.outline.area_mm2 == pytest.approx(math.pi * 60 * 30, rel=1e-6)


CONTROL = [(0, 0), (30, -25), (60, 10), (90, -5), (120, 30), (80, 70), (40, 50), (5, 60)]


@pytest.mark.parametrize("degree", [2, 3, 5])
def test_splines_agree_with_the_librarys_own_flattening(degree):
    document = drawing()
    spline = document.modelspace().add_open_spline(CONTROL, degree=degree)
    end = CONTROL[-1]
    document.modelspace().add_line(end, CONTROL[0])
    flat = [(point.x, point.y) for point in make_path(spline, level=6).flattening(0.001, segments=64)]
    expected = Polygon(flat)
    found = piece(document).outline
    assert found.area_mm2 == pytest.approx(expected.area, rel=1e-3)
    assert found.length_mm == pytest.approx(expected.length, rel=1e-3)


def test_a_rational_spline_is_read():
    # A quarter circle as a rational quadratic spline, weights 1, cos 45, 1 (from memory; the area is the check).
    document = drawing()
    document.modelspace().add_rational_spline([(50, 0), (50, 50), (0, 50)], [1, math.sqrt(0.5), 1], degree=2)
    document.modelspace().add_lwpolyline([(0, 50), (0, 0), (50, 0)])
    assert piece(document).outline.area_mm2 == pytest.approx(math.pi * 2500 / 4, rel=2e-4)


@pytest.mark.parametrize(("units", "mm"), [(MILLIMETRES, 1), (INCHES, 25.4), (5, 10), (6, 1000), (2, 304.8)])
def test_units_of_the_header_hold(units, mm):
    document = drawing(units=units)
    document.modelspace().add_lwpolyline([(0, 0), (2, 0), (2, 1), (0, 1)], close=True)
    found = read(document) if mm >= 10 else read(document, mm_per_unit=mm * 10)
    assert found.scale.is_sure
    assert lengths(found.pieces[0])[0] == pytest.approx(2 * max(mm, mm * 10 if mm < 10 else mm))


def test_units_that_the_file_does_not_say_are_marked():
    document = new("R12")
    document.modelspace().add_polyline2d(SQUARE, close=True)
    found = read(document)
    assert (found.scale.mm_per_unit, found.scale.is_sure) == (1.0, False)
    assert "does not say" in found.scale.said
    assert lengths(read(document, mm_per_unit=25.4).pieces[0])[0] == 80 * 25.4


def test_the_layers_of_the_standard_are_told_apart():
    document = drawing()
    front = block(document, "02_Front_panel")
    front.add_lwpolyline([(-10, -10), (90, -10), (90, 70), (-10, 70)], close=True, dxfattribs=on("1"))
    front.add_lwpolyline(SQUARE, close=True, dxfattribs=on("14"))
    front.add_line((40, 10), (40, 50), dxfattribs=on("7"))
    front.add_line((40, -10), (40, -4), dxfattribs=on("4"))
    front.add_point((80, 20), dxfattribs=on("4"))
    front.add_lwpolyline([(19, 70), (20, 65), (21, 70)], dxfattribs=on("80"))
    front.add_line((10, 30), (70, 30), dxfattribs=on("8"))
    front.add_point((30, 20), dxfattribs=on("13"))
    front.add_circle((50, 20), 2, dxfattribs=on("13"))
    front.add_circle((20, 45), 6, dxfattribs=on("11"))
    front.add_text("Size: one", dxfattribs=on("15"))
    for corner in SQUARE:
        front.add_point(corner, dxfattribs=on("2"))
    front.add_lwpolyline([(0, 0), (5, 5), (9, 0)], close=True, dxfattribs=on("85"))
    found = piece(document)
    assert (found.name, found.kind, lengths(found)) == ("Front panel", OutlineKind.STITCH, [80, 60, 80, 60])
    assert found.allowance_mm == dict.fromkeys(("edge_1", "edge_2", "edge_3", "edge_4"), 10.0)
    assert found.grain_deg == 90
    assert [(notch.edge, notch.at_mm) for notch in found.notches] == [("edge_1", 40), ("edge_3", 60), ("edge_2", 20)]
    assert [(line.start, line.end) for line in found.lines] == [((20, 40), (80, 40))]
    assert [mark.at for mark in found.drill_marks] == [(40, 30), (60, 30)]
    assert any("cut-outs are not kept" in note for note in found.notes)
    assert any("LWPOLYLINE on layer 85" in note for note in read(document).notes)


def test_a_boundary_alone_leaves_open_which_line_it_is():
    document = drawing()
    block(document).add_lwpolyline(SQUARE, close=True, dxfattribs=on("1"))
    assert piece(document).kind is None


def test_a_mirror_line_makes_its_edge_the_fold():
    document = drawing()
    half = block(document)
    half.add_lwpolyline([(0, -10), (90, -10), (90, 70), (0, 70)], close=True, dxfattribs=on("1"))
    half.add_lwpolyline([(0, 0), (80, 0), (80, 60), (0, 60)], dxfattribs=on("14"))
    half.add_line((0, -10), (0, 70), dxfattribs=on("6"))
    found = piece(document)
    assert (found.fold_edge, lengths(found)) == ("edge_4", [80, 60, 80, 60])
    assert found.allowance_mm == {"edge_1": 10, "edge_2": 10, "edge_3": 10, "edge_4": 0}


def test_points_on_the_curve_layer_are_no_corners():
    octagon = [(60 * math.cos(math.pi * n / 4), 60 * math.sin(math.pi * n / 4)) for n in range(8)]
    document = drawing()
    coarse = block(document)
    coarse.add_lwpolyline(octagon, close=True, dxfattribs=on("1"))
    assert len(piece(document).outline.edges) == 8
    for corner in octagon[1:4]:
        coarse.add_point(corner, dxfattribs=on("3"))
    assert len(piece(document).outline.edges) == 5


def test_blocks_are_taken_once_and_as_large_as_they_are_put_in():
    document = drawing()
    document.blocks.new("A").add_lwpolyline(SQUARE, close=True, dxfattribs=on("1"))
    document.blocks.new("B").add_lwpolyline(SQUARE, close=True, dxfattribs=on("1"))
    document.blocks.new("left aside").add_lwpolyline(SQUARE, close=True, dxfattribs=on("1"))
    space = document.modelspace()
    space.add_blockref("A", (0, 0))
    space.add_blockref("A", (500, 0))
    space.add_blockref("B", (0, 500), dxfattribs={"xscale": 2, "yscale": -2})
    assert [(one.name, lengths(one)[0]) for one in read(document).pieces] == [("A", 80), ("B", 160)]


def test_blocks_that_are_never_put_in_are_pieces_all_the_same():
    document = drawing()
    document.blocks.new("Only").add_lwpolyline(SQUARE, close=True, dxfattribs=on("1"))
    assert piece(document).name == "Only"


def test_a_plain_drawing_goes_by_the_names_of_its_layers():
    document = drawing()
    space = document.modelspace()
    space.add_lwpolyline([(-10, -10), (90, -10), (90, 70), (-10, 70)], close=True, dxfattribs=on("Cut line"))
    space.add_lwpolyline(SQUARE, close=True, dxfattribs=on("stitch"))
    space.add_lwpolyline([(200, 0), (260, 0), (230, 50)], close=True, dxfattribs=on("Flap"))
    front, flap = read(document).pieces
    assert (front.kind, front.name, flap.kind, flap.name) == (OutlineKind.STITCH, "Piece 1", None, "Flap")


@given(st.lists(st.tuples(st.floats(0, 300), st.floats(0, 300)), min_size=3, max_size=12))
def test_polygons_written_by_the_library_come_back(corners):
    hull = Polygon(corners).convex_hull
    if hull.geom_type != "Polygon" or hull.area < 100 or hull.bounds[2] - hull.bounds[0] < 6:
        return
    document = drawing()
    document.modelspace().add_lwpolyline(list(hull.boundary.coords), close=True)
    found = piece(document)
    # Joints within a thousandth of a mm of a straight line are none.
    assert found.outline.area_mm2 == pytest.approx(hull.area, abs=1e-3 * hull.length)


def test_open_boundary_rejects_with_both_ends():
    document = drawing()
    block(document, "Side").add_lwpolyline([*SQUARE, (0, 0.7)], dxfattribs=on("1"))
    (problem,) = refusals(document)
    assert problem.place.startswith("block 'Side', LWPOLYLINE")
    assert problem.what == "is open: it runs from (0.00, 0.00) to (0.00, 0.70), 0.70 mm apart"


def test_small_gap_is_closed():
    document = drawing()
    block(document).add_lwpolyline([*SQUARE, (0, 0.4)], dxfattribs=on("1"))
    found = piece(document)
    assert len(found.outline.edges) == 4
    assert found.notes == ("A gap of 0.40 mm in its outline was closed.",)


@pytest.mark.parametrize(
    ("points", "what"),
    [
        ([(0, 0), (50, 50), (50, 0), (0, 50)], "crosses itself near (25, 25)"),
        ([(0, 0), (50, 0), (90, 0)], "encloses no area"),
        ([(0, 0), (1e8, 0), (1e8, 1e8)], "lies too far out"),
        ([(0, 0), (2e4, 0), (2e4, 2e4)], "across is more than any piece of a bag"),
        ([(0, 0), (math.nan, 0), (20, 20)], "is not a number that can be reckoned with"),
        ([(0, 0), (math.inf, 0), (20, 20)], "is not a number that can be reckoned with"),
    ],
)
def test_outlines_that_cannot_be_pieces_reject(points, what):
    document = drawing()
    document.modelspace().add_lwpolyline(points, close=True)
    (problem,) = refusals(document)
    assert problem.what == what
    assert "LWPOLYLINE" in problem.place


def test_a_block_stretched_one_way_rejects():
    document = drawing()
    document.blocks.new("A").add_lwpolyline(SQUARE, close=True, dxfattribs=on("1"))
    document.modelspace().add_blockref("A", (0, 0), dxfattribs={"xscale": 2})
    (problem,) = refusals(document)
    assert (problem.place, problem.value) == ("block 'A'", "2 x 1")


def test_an_outline_aslant_in_space_rejects():
    document = drawing()
    line = document.modelspace().add_lwpolyline(SQUARE, close=True)
    line.dxf.extrusion = (0, 1, 1)
    (problem,) = refusals(document)
    assert problem.what == "lies aslant in space"


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"AutoCAD Binary DXF\r\n\x1a\x00", "is a binary DXF"),
        (b"0\nSECTION\n2\nENTITIES\n\x00\n", "holds what is no text"),
        (b"0\nSECTION\n", "cannot be read as DXF"),
        (b"0\nEOF\n", "holds no closed outline"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\n0\n10\nabc\n0\nENDSEC\n0\nEOF\n", "cannot be read as DXF"),
        (b"0\nSECTION\n" + b"999\nx\n" * 300_000, "has 600002 lines of text"),
        (b"  0\r\nSECTION\r\n  2\r\nHEADER\r\n junk", "cannot be read as DXF"),
    ],
)
def test_files_that_are_no_drawings_reject(data, what):
    with pytest.raises(FaultyInput) as refused:
        read_drawing(data)
    (problem,) = refused.value.problems
    assert problem.place == "file"
    assert problem.what.startswith(what)


def test_splines_of_absurd_degree_reject():
    document = drawing()
    document.modelspace().add_open_spline([(n % 7 * 20, n * 13 % 90) for n in range(40)], degree=15)
    (problem,) = refusals(document)
    assert problem.what == "cannot be read: invalid order"
