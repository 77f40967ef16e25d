"""Quilting lines: parallel, evenly spaced, inside the panel, stitched before the panel is sewn in."""

import itertools
import math

import pytest
from shapely import LineString, MultiLineString, Polygon

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import prove_sound
from bagwright.geometry.chords import chords
from bagwright.model.pattern import SeamKind, Stage
from tests.drafting.test_forms import refusal

QUILTED = [key for key, form in FORMS.items() if any(a.key == "quilting" for a in form.add_ons)]
SHAPES = {
    "square": [(0, 0), (100, 0), (100, 100), (0, 100)],
    "ell": [(0, 0), (90, 0), (90, 30), (30, 30), (30, 80), (0, 80)],
    "notched": [(0, 0), (40, 0), (50, 40), (60, 0), (100, 0), (100, 60), (0, 60)],
}


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("angle_deg", [0, 17, 45, 90, 135])
def test_chords_agree_with_a_geometry_library(shape, angle_deg):
    """Shapely's intersection of long lines with the polygon, as an independent computation of the same."""
    polygon = Polygon(SHAPES[shape])
    found = chords(SHAPES[shape], angle_deg, 7.0)
    lines = MultiLineString([LineString(line) for line in found])
    assert lines.length == pytest.approx(lines.intersection(polygon.buffer(1e-6)).length, rel=1e-6)
    centre, reach = (0.0, 0.0), 1000.0
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    whole = 0.0
    for offset in {round(cos * y - sin * x, 6) for (x, y), _ in found}:
        x, y = centre[0] - sin * offset, centre[1] + cos * offset
        long = LineString([(x - cos * reach, y - sin * reach), (x + cos * reach, y + sin * reach)])
        whole += long.intersection(polygon).length
    assert whole == pytest.approx(lines.length, abs=5.0 * len(found))


def test_chords_of_a_square_counted_by_hand():
    """100 mm at 10 mm, even about the middle: at 5, 15, ... 95 mm."""
    assert [round(a[1], 6) for a, _ in chords(SHAPES["square"], 0, 10)] == [5, 15, 25, 35, 45, 55, 65, 75, 85, 95]


@pytest.mark.parametrize("form", QUILTED)
@pytest.mark.parametrize("kind", [1.0, 2.0, 3.0, 4.0])
def test_quilting_property_is_sound_and_comes_before_joining(form, kind):
    pattern = draft_bag(form, {"quilting": kind})
    assert prove_sound(pattern).passed
    quilted = [seam for seam in pattern.seams if seam.kind is SeamKind.QUILT]
    joined = [
        s.order for s in pattern.seams if s.kind.joins and any(side.piece_id in ("outer", "cover") for side in s.sides)
    ]
    assert quilted
    assert max(seam.order for seam in quilted) < min(joined)
    assert len(quilted) <= 2 * 2 * 25
    # Flat, with nothing basted to it yet, and stiffened already.
    based = [s.order for s in pattern.seams if s.kind is SeamKind.BASTE]
    assert max(seam.order for seam in quilted) < min(based, default=10**6)
    assert {seam.stage for seam in quilted} == {Stage.FUSE}
    quilted_id = quilted[0].sides[0].piece_id
    assert "cut this piece larger" in pattern.piece(quilted_id).note


@pytest.mark.parametrize("form", QUILTED)
def test_lines_too_close_reject_with_the_nearest_spacing(form):
    big = {
        spec.key: spec.high_mm
        for spec in FORMS[form].own_measurements
        if spec.key in ("width_mm", "height_mm", "closed_width_mm")
    }
    assert "at least" in refusal(form, {**big, "quilting": 1.0, "quilting_spacing_mm": 8.0})["quilting_spacing_mm"]


def test_spacing_is_what_was_asked():
    pattern = draft_bag("gusset_bag", {"quilting": 1.0, "quilting_spacing_mm": 30.0})
    xs = sorted(line.start[0] for line in pattern.piece("outer").lines if line.name.startswith("quilt"))
    assert [b - a for a, b in itertools.pairwise(xs)] == pytest.approx([30.0] * (len(xs) - 1))
