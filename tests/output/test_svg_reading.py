"""Pieces from SVG: units, transforms, arcs, shapes, other writers' files, and what is refused."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
from fontTools.pens.svgPathPen import SVGPathPen
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe
from shapely import Polygon

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.errors import FaultyInput
from bagwright.geometry.inset import farthest_apart_mm
from bagwright.model.found_piece import OutlineKind
from bagwright.output.drawing_reading import read_drawing
from bagwright.output.pieces import draw_pieces
from bagwright.output.svg import svg_file
from bagwright.output.svg_reading import read_svg
from bagwright.units import UnitSystem

DRAWINGS = Path(__file__).parent / "drawings"
SVG = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


def read(body, size='width="200mm" height="200mm" viewBox="0 0 200 200"', **how):
    return read_svg(f"<svg {SVG} {size}>{body}</svg>".encode(), **how)


def piece(body, *args, **how):
    (only,) = read(body, *args, **how).pieces
    return only


def lengths(found):
    return [round(edge.length_mm, 4) for edge in found.outline.edges]


def refusals(body, *args, **how):
    with pytest.raises(FaultyInput) as refused:
        read(body, *args, **how)
    return refused.value.problems


# Units: CSS Values and Units, "Absolute Lengths": 1in = 2.54cm = 96px, 1pt = 1/72in, 1pc = 1/6in, 1Q = 1/40cm.
@pytest.mark.parametrize(
    ("unit", "mm"),
    [("mm", 1), ("cm", 10), ("in", 25.4), ("px", 25.4 / 96), ("pt", 25.4 / 72), ("pc", 25.4 / 6), ("Q", 0.25)],
)
def test_units_match_css_absolute_lengths(unit, mm):
    found = piece(f'<rect x="1{unit}" y="2{unit}" width="40{unit}" height="30{unit}"/>', 'width="400mm" height="300mm"')
    assert lengths(found) == pytest.approx([40 * mm, 30 * mm, 40 * mm, 30 * mm], abs=1e-3)


@pytest.mark.parametrize(
    ("size", "mm", "is_sure"),
    [
        ('width="200mm" height="100mm" viewBox="0 0 200 100"', 1.0, True),
        ('width="10in" height="5in" viewBox="0 0 720 360"', 25.4 / 72, True),
        ('width="20cm" viewBox="0 0 400 200"', 0.5, True),
        ('width="210mm" height="297mm"', 25.4 / 96, True),
        ('width="300" height="200"', 25.4 / 96, False),
        ('width="100%" height="100%" viewBox="0 0 300 200"', 25.4 / 96, False),
        ('viewBox="0 0 300 200"', 25.4 / 96, False),
        ("", 25.4 / 96, False),
    ],
)
def test_scale_is_what_the_file_says_and_is_marked_if_it_says_none(size, mm, is_sure):
    found = read('<rect x="20" y="10" width="100" height="50"/>', size)
    assert found.scale.mm_per_unit == pytest.approx(mm)
    assert found.scale.is_sure is is_sure
    assert lengths(found.pieces[0]) == pytest.approx([100 * mm, 50 * mm] * 2, abs=1e-3)


def test_scale_that_she_knows_better_wins():
    found = read('<rect x="20" y="10" width="100" height="50"/>', 'viewBox="0 0 300 200"', mm_per_unit=2.54)
    assert found.scale.is_sure
    assert lengths(found.pieces[0]) == [254, 127, 254, 127]


def test_view_box_is_fitted_as_preserve_aspect_ratio_says():
    body = '<rect x="10" y="10" width="10" height="10"/>'
    meet = piece(body, 'width="200mm" height="100mm" viewBox="0 0 40 40"')
    stretched = piece(body, 'width="200mm" height="100mm" viewBox="0 0 40 40" preserveAspectRatio="none"')
    assert lengths(meet) == [25, 25, 25, 25]
    assert lengths(stretched) == [50, 25, 50, 25]


# Transforms: the matrices of SVG 1.1, section 7.6, multiplied here by hand.
MATRICES = {
    "translate(10 20)": (1, 0, 0, 1, 10, 20),
    "translate(7)": (1, 0, 0, 1, 7, 0),
    "scale(2)": (2, 0, 0, 2, 0, 0),
    "scale(1.5,-0.5)": (1.5, 0, 0, -0.5, 0, 0),
    "rotate(30)": (math.cos(math.pi / 6), 0.5, -0.5, math.cos(math.pi / 6), 0, 0),
    "rotate(90 50 50)": (0, 1, -1, 0, 100, 0),
    "skewX(20)": (1, 0, math.tan(math.radians(20)), 1, 0, 0),
    "skewY(-15)": (1, math.tan(math.radians(-15)), 0, 1, 0, 0),
    "matrix(0.5 0.1 -0.2 0.7 3 4)": (0.5, 0.1, -0.2, 0.7, 3, 4),
}


@given(st.lists(st.sampled_from(sorted(MATRICES)), min_size=1, max_size=4), st.booleans())
def test_nested_transforms_match_the_matrices_of_the_standard(transforms, in_one_attribute):
    corners = [(20.0, 10.0), (90.0, 20.0), (70.0, 80.0), (10.0, 60.0)]
    data = "M" + "L".join(f"{x} {y}" for x, y in corners) + "Z"
    if in_one_attribute:
        body = f'<path transform="{" ".join(transforms)}" d="{data}"/>'
    else:
        body = "".join(f'<g transform="{t}">' for t in transforms) + f'<path d="{data}"/>' + "</g>" * len(transforms)
    for transform in reversed(transforms):
        a, b, c, d, e, f = MATRICES[transform]
        corners = [(a * x + c * y + e, b * x + d * y + f) for x, y in corners]
    polygon = Polygon(corners)
    found = piece(body)
    assert found.outline.area_mm2 == pytest.approx(polygon.area, rel=1e-9)
    assert found.outline.length_mm == pytest.approx(polygon.length, rel=1e-9)


def arc_by_the_standard(start, radii, turn_deg, flags, end):
    """Centre, corrected radii, start angle and sweep of an arc: SVG 2, "Elliptical arc implementation notes", B.2.4."""
    (x1, y1), (x2, y2), (rx, ry), phi = start, end, radii, math.radians(turn_deg)
    cos, sin = math.cos(phi), math.sin(phi)
    # Step 1 (eq. 5.1), then the correction of radii that are too small (B.2.5).
    dx, dy = (x1 - x2) / 2, (y1 - y2) / 2
    px, py = cos * dx + sin * dy, -sin * dx + cos * dy
    spread = (px / rx) ** 2 + (py / ry) ** 2
    rx, ry = (rx * math.sqrt(spread), ry * math.sqrt(spread)) if spread > 1 else (rx, ry)
    # Step 2 (eq. 5.2) and step 3 (eq. 5.3).
    under = max((rx * ry) ** 2 - (rx * py) ** 2 - (ry * px) ** 2, 0) / ((rx * py) ** 2 + (ry * px) ** 2)
    factor = math.sqrt(under) * (1 if flags[0] != flags[1] else -1)
    qx, qy = factor * rx * py / ry, -factor * ry * px / rx
    centre = cos * qx - sin * qy + (x1 + x2) / 2, sin * qx + cos * qy + (y1 + y2) / 2
    # Step 4 (eq. 5.5 and 5.6).
    first = math.atan2((py - qy) / ry, (px - qx) / rx)
    sweep = math.atan2((-py - qy) / ry, (-px - qx) / rx) - first
    sweep = sweep % math.tau if flags[1] else -((-sweep) % math.tau)
    return centre, (rx, ry), first, sweep


@given(
    radii=st.tuples(st.floats(5, 60), st.floats(5, 60)),
    turn=st.floats(-180, 180),
    flags=st.tuples(st.booleans(), st.booleans()),
    end=st.tuples(st.floats(20, 90), st.floats(-60, 60)),
)
def test_arcs_match_the_standards_implementation_notes(radii, turn, flags, end):
    x, y = end
    large, sweeps = map(int, flags)
    data = f"M60 100 a{radii[0]!r} {radii[1]!r} {turn!r} {large} {sweeps} {x!r} {y!r} Z"
    centre, (rx, ry), first, sweep = arc_by_the_standard((60, 100), radii, turn, flags, (60 + x, 100 + y))
    phi = math.radians(turn)
    spots = []
    for n in range(2001):
        t = first + sweep * n / 2000
        u, v = rx * math.cos(t), ry * math.sin(t)
        spots.append(
            (centre[0] + math.cos(phi) * u - math.sin(phi) * v, centre[1] + math.sin(phi) * u + math.cos(phi) * v)
        )
    expected = Polygon(spots)
    found = piece(f'<path d="{data}"/>').outline
    assert found.area_mm2 == pytest.approx(expected.area, rel=1e-5, abs=0.05)
    assert found.length_mm == pytest.approx(expected.length, rel=1e-5, abs=0.01)


def test_radii_too_small_for_the_arc_are_scaled_up_as_the_standard_says():
    # B.2.5: "the ellipse is scaled up uniformly until there is exactly one solution": here a half circle of radius 30.
    (half, straight) = sorted(lengths(piece('<path d="M20 50A1 1 0 0 1 80 50Z"/>')), reverse=True)
    assert half == pytest.approx(30 * math.pi, abs=1e-3)
    assert straight == 60


def test_arc_flags_may_stand_without_space_between():
    assert lengths(piece('<path d="M20 50A30 30 0 0180 50Z"/>')) == lengths(
        piece('<path d="M20 50A30,30,0,0,1,80,50Z"/>')
    )


def test_circumference_of_an_ellipse_agrees_with_the_elliptic_integral():
    # L = 4 a E(1 - b^2/a^2), scipy.special.ellipe.
    found = piece('<ellipse cx="100" cy="100" rx="80" ry="30"/>')
    assert found.outline.length_mm == pytest.approx(4 * 80 * ellipe(1 - (30 / 80) ** 2), abs=1e-3)
    assert found.outline.area_mm2 == pytest.approx(math.pi * 80 * 30, rel=1e-6)


SHAPES = {
    '<rect x="10" y="10" width="60" height="40"/>': (2400, 200),
    '<rect x="10" y="10" width="60" height="40" rx="10"/>': (2400 - (4 - math.pi) * 100, 200 - 80 + 20 * math.pi),
    '<rect x="10" y="10" width="60" height="40" rx="99" ry="99"/>': (math.pi * 30 * 20, None),
    '<rect x="10" y="10" width="30%" height="20%"/>': (2400, 200),
    '<circle cx="50" cy="50" r="20"/>': (400 * math.pi, 40 * math.pi),
    '<polygon points="10,10 70 10 70,50 10 50"/>': (2400, 200),
    '<polyline points="10,10 70 10 70,50 10 50 10 10"/>': (2400, 200),
    '<path d="M10 10H70V50H10Z"/>': (2400, 200),
    '<path d="m10 10h60v40h-60z"/>': (2400, 200),
    '<path d="M10 10L70 10 70 50 10 50z"/>': (2400, 200),
    '<path d="M10,10q30,-20 60,0t60,0v60h-120z"/>': (None, None),
    '<svg x="10" y="10" width="60" height="40" viewBox="0 0 6 4"><rect width="6" height="4"/></svg>': (2400, 200),
    '<defs><rect id="r" width="60" height="40"/></defs><use xlink:href="#r" x="10" y="10"/>': (2400, 200),
    '<symbol id="s" viewBox="0 0 6 4"><rect width="6" height="4"/></symbol><use href="#s" width="60" height="40"/>': (
        2400,
        200,
    ),
    '<g style="display:none"><circle r="50"/></g><a><rect x="1" y="1" width="60" height="40"/></a>': (2400, 200),
}


@pytest.mark.parametrize("body", SHAPES)
def test_shapes_have_the_area_and_length_of_closed_forms(body):
    area, length = SHAPES[body]
    found = piece(body).outline
    if area is not None:
        assert found.area_mm2 == pytest.approx(area, rel=1e-6)
    if length is not None:
        assert found.length_mm == pytest.approx(length, rel=1e-6)


def test_smooth_quadratic_goes_on_as_its_reflection():
    # q 30,-20 60,0 bulges up by 10 in the middle, t mirrors it: together they add nothing to the rectangle 120 x 60.
    assert piece('<path d="M10,50q30,-20 60,0t60,0v60h-120z"/>').outline.area_mm2 == pytest.approx(7200, rel=1e-9)


@pytest.mark.parametrize(
    ("smooth", "plain"),
    [
        ("M20 20q30 60 60 0s20 40 0 60h-60z", "M20 20q30 60 60 0c0 0 20 40 0 60h-60z"),
        ("M20 20q30 60 60 0t20 40S60 90 20 80z", "M20 20q30 60 60 0q30-60 20 40C100 60 60 90 20 80z"),
        ("M20 20c10 20 30 20 50 0t0 60h-50z", "M20 20c10 20 30 20 50 0q0 0 0 60h-50z"),
        ("M20 20c10 20 30 20 50 0s20 40 0 60h-50z", "M20 20c10 20 30 20 50 0c20-20 20 40 0 60h-50z"),
    ],
)
def test_smooth_curves_match_the_standards_rule_for_their_first_control_point(smooth, plain):
    # SVG 2, "The cubic Bezier curve commands": if the command before is no C or S, the first control point is the
    # current point; T likewise after Q or T only.
    one, other = piece(f'<path d="{smooth}"/>').outline, piece(f'<path d="{plain}"/>').outline
    assert one.area_mm2 == pytest.approx(other.area_mm2, rel=1e-9)
    assert one.length_mm == pytest.approx(other.length_mm, rel=1e-9)


def test_y_is_turned_upwards_and_the_piece_moved_to_the_corner():
    found = piece('<path d="M50 150 L150 150 L50 50 Z"/>')  # the right angle lies below, as seen on the page
    assert found.outline.region().bounds == pytest.approx((0, 0, 100, 100))
    assert found.outline.edges[0].start == pytest.approx((0, 0))
    assert lengths(found) == pytest.approx([100, 100 * math.sqrt(2), 100], abs=1e-3)


def test_several_parts_and_pieces_keep_names_and_order():
    found = read(
        '<g id="layer1" xmlns:ink="http://example.org/ink" ink:label="Front">'
        '<path id="path12" d="M5 5h50v50h-50z"/></g>'
        '<path id="strap" d="M80 5h20v90h-20z M120 5h20v90h-20z"/><path id="path3" d="M5 100h50v50h-50z"/>'
        '<rect x="80" y="100" width="40" height="40"><title>Pocket, cut 2</title></rect>'
    )
    assert [one.name for one in found.pieces] == ["Front", "strap", "strap (2)", "Piece 4", "Pocket, cut 2"]
    assert found.pieces[2].place == "path 'strap', part 2"
    assert all(one.kind is None for one in found.pieces)


def test_inner_outlines_are_told_apart():
    stitch = '<rect x="20" y="20" width="80" height="60"/>'
    hole = '<circle cx="60" cy="50" r="10"/>'
    cut = '<rect x="10" y="10" width="100" height="80"/>'
    both = piece(cut + stitch + hole)
    assert (both.kind, lengths(both), set(both.allowance_mm.values())) == (OutlineKind.STITCH, [80, 60, 80, 60], {10.0})
    assert any("taken for its stitch line" in note for note in both.notes)
    assert any("cut-outs are not kept" in note for note in both.notes)
    again = read(cut + cut)
    assert len(again.pieces) == 1
    assert "drawn over" in again.notes[0]


def test_words_in_ids_classes_and_labels_say_what_a_line_is():
    found = piece(
        '<g id="cut"><path d="M10 10h100v80h-100z"/></g><path class="stitch-line" d="M15 15h90v70h-90z"/>'
        '<path id="grain" d="M60 80L60 20"/><path class="notch" d="M60 10v5"/><path id="marks" d="M30 40h20"/>'
        '<path class="ruler" d="M0 0q50 50 150 150"/>'
    )
    assert found.kind is OutlineKind.STITCH
    assert found.grain_deg == 90
    assert [(notch.edge, round(notch.at_mm, 3)) for notch in found.notches] == [("edge_3", 45.0)]
    (mark,) = found.lines
    assert math.dist(mark.start, mark.end) == pytest.approx(20)


def test_a_folded_half_is_known_by_its_fold_line():
    found = piece('<path class="cut" d="M10 10h60v80h-60"/><path class="fold" d="M10 10v80"/>')
    assert (found.kind, found.fold_edge) == (OutlineKind.CUT, "edge_4")


def test_a_sheet_around_everything_is_no_piece():
    found = read('<rect width="200" height="200"/><path d="M10 10h60v80h-60z"/>')
    assert [one.place for one in found.pieces] == ["path"]
    assert "as large as the page" in found.notes[0]


@pytest.mark.parametrize("gap", [0.0, 0.05, 0.3, 0.49])
def test_small_gaps_are_closed(gap):
    found = piece(f'<path d="M10 10h60v40h-60V{10 + gap}"/>')
    assert found.outline.area_mm2 == pytest.approx(2400, abs=30)
    assert len(found.outline.edges) == 4
    assert bool(found.notes) is (gap > 0.01)


def test_open_outline_rejects_with_both_ends():
    (problem,) = refusals('<path id="front" d="M10 10h60v40h-60V10.6"/>')
    assert problem.place == "path 'front'"
    assert problem.what == "is open: it runs from (10.00, 190.00) to (10.00, 189.40), 0.60 mm apart"


def test_lines_of_an_exploded_outline_are_joined():
    lines = [(10, 10, 70, 10), (70, 50, 70.04, 10.03), (10, 50, 70, 50), (10, 50, 10, 10)]
    body = "".join(f'<line x1="{a}" y1="{b}" x2="{c}" y2="{d}"/>' for a, b, c, d in lines)
    found = piece(body)
    assert found.outline.area_mm2 == pytest.approx(2400, rel=1e-3)
    assert len(found.outline.edges) == 4


@pytest.mark.parametrize(
    ("body", "place", "what"),
    [
        ('<path id="bow" d="M0 0L50 50V0L0 50z"/>', "path 'bow'", "crosses itself near (25, 175)"),
        ('<path id="nil" d="M10 10L60 10Z"/>', "path 'nil'", "encloses no area"),
        ('<path d="M0 0L nan 5 9 9z"/>', "path", 'cannot be read from "nan 5 9 9z" on'),
        ('<path d="M0 0L inf 5 9 9z"/>', "path", 'cannot be read from "inf 5 9 9z" on'),
        ('<path d="M0 0L 1e999 5 9 9z"/>', "path", 'cannot be read from "1e999 5 9 9z" on'),
        ('<path d="M0 0L 1e200 5 9 9z"/>', "path", "lies too far out"),
        ('<path d="M0 0L 50000 0 50000 50000z"/>', "path", "across is more than any piece of a bag"),
        ('<path d="M0 0A1e308 1e308 0 0 1 50 0z"/>', "path", "has numbers too large to reckon with"),
        ('<path d="L5 5 9 0z"/>', "path", "does not start with M"),
        ('<path d="M5 5 9"/>', "path", "ends too early"),
        (
            '<g transform="rotate(nan)"><path d="M0 0h9v9z"/></g>',
            "g",
            'has a transform that cannot be read from "rotate(nan)" on',
        ),
        ('<g transform="scale(1e200)"><path d="M0 0h9v9z"/></g>', "path", "lies too far out"),
        ('<g transform="scale(0)"><path d="M0 0h9v9z"/></g>', "path", "encloses no area"),
        ('<rect id="r" width="3em" height="9"/>', "rect 'r'", 'has width="3em"'),
        ("<text>hello</text>", "file", "holds no closed outline"),
        ("", "file", "holds no closed outline"),
    ],
)
def test_what_cannot_be_a_piece_rejects(body, place, what):
    problem = refusals(body)[0]
    assert (problem.place, problem.what) == (place, what)


def test_every_fault_is_told_at_once():
    problems = refusals(
        '<path id="a" d="M0 0L50 50V0L0 50z"/><path id="b" d="M0 100L50 100Z"/><path id="c" d="M90 5h50v50"/>'
    )
    assert [problem.place for problem in problems] == ["path 'a'", "path 'b'", "path 'c'"]


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", "is empty"),
        (b"\x00\x01\x02 junk", "is neither SVG nor DXF"),
        (b"PK\x03\x04whatever", "is a zip archive"),
        (b"\x1f\x8b\x08svgz", "is compressed"),
        (b"%PDF-1.7", "is a PDF"),
        (b"<html><body/></html>", "is XML, but no SVG drawing"),
        (b"<svg><path", "cannot be read as XML: unclosed token: line 1, column 5"),
        (
            b'<!DOCTYPE s [<!ENTITY a "b">]><svg>&a;</svg>',
            "declares entities or refers to other files, which may be a trap",
        ),
        (
            b'<!DOCTYPE s [<!ENTITY a SYSTEM "file:///etc/hostname">]><svg>&a;</svg>',
            "declares entities or refers to other files, which may be a trap",
        ),
        (b'<svg viewBox="0 0 nan 5"/>', 'has a viewBox without size: "0 0 nan 5"'),
        (b'<svg viewBox="0 0 5"/>', 'has a viewBox that cannot be read: "0 0 5"'),
        (b'<svg width="0" height="5"/>', None),
        (b'<?xml version="1.0" encoding="ebcdic-zz"?><svg/>', None),
    ],
)
def test_files_that_are_no_drawings_reject(data, what):
    with pytest.raises(FaultyInput) as refused:
        read_drawing(data)
    (problem,) = refused.value.problems
    assert problem.place == "file"
    assert what is None or problem.what == what


def test_a_doctype_without_entities_is_taken():
    data = b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
    assert read_svg(data + f'<svg {SVG} width="9cm"><rect width="40" height="50"/></svg>'.encode()).pieces


def test_references_in_a_circle_end():
    found = read('<g id="a"><rect width="40" height="50"/><use href="#b"/></g><g id="b"><use href="#a"/></g>')
    assert len(found.pieces) == 1


# Files by other hands.


def test_file_by_matplotlib_is_measured_as_drawn():
    # Sizes as in drawings/README.md; matplotlib draws a circle as eight cubics.
    rectangle, circle, wave = read_svg((DRAWINGS / "matplotlib_3_11.svg").read_bytes()).pieces
    assert lengths(rectangle) == pytest.approx([100, 60, 100, 60], abs=1e-3)
    assert circle.outline.length_mm == pytest.approx(80 * math.pi, abs=0.01)
    assert circle.outline.area_mm2 == pytest.approx(1600 * math.pi, rel=1e-4)
    # Area under a cubic Bezier over its chord, by Green's theorem: 3/20 of the cross products.
    a, b, c, d = (20, 110), (60, 190), (120, 190), (160, 110)
    cross = {
        pair: pair[0][0] * pair[1][1] - pair[1][0] * pair[0][1] for pair in itertools.combinations((a, b, c, d), 2)
    }
    weights = {(a, b): 6, (a, c): 3, (a, d): 1, (b, c): 3, (b, d): 3, (c, d): 6}
    area = abs(sum(weights[pair] * cross[pair] for pair in weights) / 20 + (d[0] * a[1] - a[0] * d[1]) / 2)
    assert wave.outline.area_mm2 == pytest.approx(area, rel=1e-6)


def test_file_by_svgwrite_is_measured_as_drawn():
    pocket, ellipse, flap = read_svg((DRAWINGS / "svgwrite_1_4.svg").read_bytes()).pieces
    assert (pocket.name, flap.name) == ("pocket", "flap")
    assert pocket.outline.area_mm2 == pytest.approx(80 * 50 - (4 - math.pi) * 64, rel=1e-6)
    assert ellipse.outline.length_mm == pytest.approx(4 * 30 * ellipe(0.75), abs=1e-3)
    assert sorted(lengths(flap)) == pytest.approx(sorted([60 + 10 * math.pi + 20, 80, 40]), abs=1e-3)


@given(st.lists(st.tuples(st.floats(1, 180), st.floats(1, 180)), min_size=3, max_size=9))
def test_polygons_written_by_shapely_come_back(corners):
    hull = Polygon(corners).convex_hull
    if hull.geom_type != "Polygon" or hull.area < 100 or max(hull.bounds[2] - hull.bounds[0], 0) < 6:
        return
    found = piece(hull.svg())
    # Joints within a thousandth of a mm of a straight line are none.
    assert found.outline.area_mm2 == pytest.approx(hull.area, abs=1e-3 * hull.length)
    assert found.outline.length_mm == pytest.approx(hull.length, abs=0.01)


def test_path_written_by_fonttools_comes_back():
    pen = SVGPathPen(None)
    pen.moveTo((10, 10))
    pen.lineTo((90, 10))
    pen.qCurveTo((110, 60), (90, 110))
    pen.curveTo((60, 150), (40, 70), (10, 110))
    pen.closePath()
    found = piece(f'<path d="{pen.getCommands()}"/>')
    assert len(found.outline.edges) == 3  # the two curves meet at 15 degrees
    assert lengths(found)[-1] == 100
    assert 80.0 in lengths(found)


@pytest.mark.parametrize("form", sorted(FORMS))
def test_our_own_file_reads_back_within_a_tenth(form):
    pattern = draft_bag(form, {})
    found = read_svg(svg_file(draw_pieces(pattern, units=UnitSystem.INCH, true_scale=True)))
    nets = [piece.net for piece in pattern.pieces]
    assert len(found.pieces) == len(nets)
    for one in found.pieces:
        assert one.kind in (OutlineKind.STITCH, None)
        same = [net for net in nets if abs(net.area_mm2 - one.outline.area_mm2) < 0.1 * net.length_mm]
        assert same, one.name
        assert min(abs(net.length_mm - one.outline.length_mm) for net in same) < 0.1


def test_our_own_file_keeps_allowances_grain_and_notches():
    pattern = draft_bag("boxed_tote", {})
    found = read_svg(svg_file(draw_pieces(pattern, units=UnitSystem.METRIC, true_scale=True)))
    outer = pattern.piece("outer")
    (back,) = [one for one in found.pieces if len(one.notches) == len(outer.notches)]
    assert sorted(back.allowance_mm.values()) == pytest.approx(sorted(outer.allowance_mm.values()), abs=0.01)
    assert back.grain_deg == outer.grain_deg
    assert farthest_apart_mm(back.outline.region(), _moved_to_corner(outer)) < 0.1


def _moved_to_corner(piece):
    from bagwright.geometry.curves import Affine

    left, low, *_ = piece.region().bounds
    return piece.net.moved(Affine(shift=(-left, -low))).region()
