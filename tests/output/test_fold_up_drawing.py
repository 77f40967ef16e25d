"""The folded-up bag as a picture: what is nearer hides what is behind, wrong sides show only where a seam is wrong."""

import math
import random
from dataclasses import replace

import pytest
from shapely.geometry import Point, Polygon

from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.geometry.space import dot
from bagwright.output.drawing import Fill, Ink, Path, Text, Window
from bagwright.output.fold_up import VIEW_HEIGHT_MM, VIEW_WIDTH_MM, draw_fold_up, ready_to_see
from bagwright.output.svg import inline_svg
from bagwright.units import UnitSystem

VIEWS = [(30.0, 20.0), (0.0, 0.0), (150.0, 35.0), (-60.0, 70.0), (20.0, -40.0), (90.0, 90.0)]


def bag(form, sizes=None):
    return ready_to_see(fold_up(draft_bag(form, sizes or {})))


def drawn(ready, turn=30.0, tilt=20.0, units=UnitSystem.INCH):
    return draw_fold_up(ready, units=units, turn_deg=turn, tilt_deg=tilt)


def marks(drawing):
    (window,) = (item for item in drawing.items if isinstance(item, Window))
    return window.items


def seen_fill(drawing, point):
    """The fill that lies on top at a place."""
    fills = [m for m in marks(drawing) if m.fill and Polygon(m.points).contains(Point(point))]
    return fills[-1].fill if fills else None


def visible_hatches(drawing):
    """Hatch lines that can be seen as lines, whose middle no later area covers."""
    items = marks(drawing)
    areas = [(number, Polygon(m.points)) for number, m in enumerate(items) if m.fill]
    found = []
    for number, mark in enumerate(items):
        if mark.ink is Ink.HAIRLINE and math.dist(*mark.points) > 0.3:
            (ax, ay), (bx, by) = mark.points
            middle = Point((ax + bx) / 2, (ay + by) / 2)
            if not any(later > number and area.contains(middle) for later, area in areas):
                found.append(mark)
    return found


def eye(turn, tilt):
    a, b = math.radians(turn), math.radians(tilt)
    return math.sin(a) * math.cos(b), -math.cos(a) * math.cos(b), math.sin(b)


def axes(turn, tilt):
    """Right, up and towards the eye, from spherical coordinates."""
    a, b = math.radians(turn), math.radians(tilt)
    right = (math.cos(a), math.sin(a), 0.0)
    up = (-math.sin(a) * math.sin(b), math.cos(a) * math.sin(b), math.cos(b))
    return right, up, eye(turn, tilt)


@pytest.mark.parametrize(("turn", "tilt"), [(30.0, 20.0), (-70.0, 55.0), (160.0, -25.0)])
@pytest.mark.parametrize("form", ["boxed_tote", "bucket_bag", "flap_bag", "zip_pouch", "card_wallet"])
def test_what_is_painted_last_agrees_with_casting_rays(form, turn, tilt):
    """Independent computation: along the line of sight through a place, the facet nearest to the eye is on top."""
    ready = bag(form)
    right, up, towards = axes(turn, tilt)

    def flat(point):
        return dot(point, right), dot(point, up)

    painted = [(s.key, Polygon([flat(p) for p in s.points])) for s in ready.tree.back_to_front(towards)]
    facets = ready.fold.facets
    shapes = [Polygon([flat(p) for p in f.points]) for f in facets]
    chance = random.Random(f"{form} {turn}")
    corners = [flat(p) for f in facets for p in f.points]
    checked = 0
    for _ in range(150):
        x, y = (chance.uniform(min(v), max(v)) for v in zip(*corners, strict=True))
        place = Point(x, y)
        on_top = [key for key, area in painted if area.contains(place)]
        depths = {}
        for number, (facet, shape) in enumerate(zip(facets, shapes, strict=True)):
            facing = dot(facet.normal, towards)
            if abs(facing) > 0.05 and shape.contains(place):
                offset = dot(facet.normal, facet.points[0]) - dot(
                    facet.normal, tuple(x * r + y * u for r, u in zip(right, up, strict=True))
                )
                depths[number] = offset / facing
        if on_top and depths:
            assert depths.get(on_top[-1], -math.inf) > max(depths.values()) - 2.0
            checked += 1
    assert checked > 15


@pytest.mark.parametrize("form", [form for form in FORMS if form != "zip_round_wallet"])
def test_wrong_sides_property_never_show_in_a_sound_lined_bag(form):
    """All but the wallet whose zip, one layer without a lining, shows its inside beside the round corners."""
    ready = bag(form)
    for turn, tilt in VIEWS:
        assert visible_hatches(drawn(ready, turn, tilt)) == []


def test_wrong_sides_property_show_where_a_lining_is_sewn_in_the_wrong_way_round():
    good = draft_bag("boxed_tote", {})

    def wrong(seam):
        sides = tuple(replace(s, from_mm=s.to_mm, to_mm=s.from_mm) if s.piece_id == "lining" else s for s in seam.sides)
        return replace(seam, sides=sides) if seam.id.startswith("top-") else seam

    bad = replace(good, seams=tuple(wrong(seam) for seam in good.seams))
    assert any(visible_hatches(drawn(ready_to_see(fold_up(bad)), turn, tilt)) for turn, tilt in VIEWS)


def test_gaping_seam_property_is_threaded_in_the_ink_of_attention():
    good = draft_bag("boxed_tote", {})
    wrong = [
        replace(s, sides=(s.sides[0], replace(s.sides[1], from_mm=s.sides[1].to_mm, to_mm=s.sides[1].from_mm)))
        if s.id == "outer-bottom"
        else s
        for s in good.seams
    ]
    threads = [
        m for m in marks(drawn(ready_to_see(fold_up(replace(good, seams=tuple(wrong)))))) if m.ink is Ink.ATTENTION
    ]
    assert threads
    assert not [m for m in marks(drawn(bag("boxed_tote"))) if m.ink is Ink.ATTENTION]


def test_stitched_lines_property_show_on_what_is_outermost():
    """A pocket divided in three: two lines on its front, as long as one another; none on one that is not divided."""
    pocket = {"outside_pockets": 1.0, "outside_pocket_height_mm": 100.0, "strap_length_mm": 300.0}
    divided = drawn(bag("boxed_tote", {**pocket, "outside_pocket_divisions": 2.0}), 0.0, 0.0)
    plain = drawn(bag("boxed_tote", pocket), 0.0, 0.0)

    def on_top(drawing):
        items = marks(drawing)
        areas = [(number, Polygon(m.points).buffer(0.05)) for number, m in enumerate(items) if m.fill]
        for number, mark in enumerate(items):
            if mark.ink is Ink.MARK:
                (ax, ay), (bx, by) = mark.points
                middle = Point((ax + bx) / 2, (ay + by) / 2)
                if not any(later > number and area.contains(middle) for later, area in areas):
                    yield mark

    assert list(on_top(plain)) == []
    one, other = on_top(divided)
    assert math.dist(*one.points) == pytest.approx(math.dist(*other.points))
    assert one.points[0][0] == pytest.approx(one.points[1][0])


def test_view_property_from_the_front_shows_the_outer_and_from_above_the_lining():
    ready = bag("boxed_tote", {"strap_length_mm": 300.0})
    front = drawn(ready, 0.0, 0.0)
    middle = (front.width_mm / 2, front.height_mm / 2)
    assert seen_fill(drawn(ready, 0.0, 0.0), middle) is Fill.PAPER
    assert seen_fill(drawn(ready, 0.0, 80.0), middle) is Fill.SHADE


@pytest.mark.parametrize("form", FORMS)
def test_every_view_property_keeps_to_one_scale_and_draws_only_what_is_on_the_paper(form):
    ready = bag(form)
    rulers = set()
    for turn, tilt in VIEWS:
        drawing = drawn(ready, turn, tilt)
        assert drawing.width_mm == VIEW_WIDTH_MM
        assert VIEW_HEIGHT_MM[0] <= drawing.height_mm <= VIEW_HEIGHT_MM[1]
        rulers.add((drawing.height_mm, *(item for item in drawing.items if not isinstance(item, Window))))
        assert all(math.isfinite(v) for mark in marks(drawing) for point in mark.points for v in point)
    assert len(rulers) == 1


def test_short_straps_property_stay_on_the_paper_in_all_views():
    ready = bag("boxed_tote", {"strap_length_mm": 300.0})
    for turn, tilt in VIEWS:
        drawing = drawn(ready, turn, tilt)
        for mark in marks(drawing):
            for x, y in mark.points:
                assert -0.2 < x < drawing.width_mm + 0.2 and -0.2 < y < drawing.height_mm + 0.2


def test_ruler_agrees_with_the_bag_it_measures():
    """The bag of 10 in across and the ruler are drawn to one scale: from the front its front is 10 in wide on it."""
    ready = bag("boxed_tote", {"width_mm": 254.0, "strap_length_mm": 300.0})
    drawing = drawn(ready, 0.0, 0.0)
    front = max((m for m in marks(drawing) if m.fill is Fill.PAPER), key=lambda m: Polygon(m.points).area)
    wide = max(x for x, _ in front.points) - min(x for x, _ in front.points)
    numbers = {t.text.split()[0]: t.at[0] for t in drawing.items if isinstance(t, Text)}
    ticks = sorted({m.points[0][0] for m in drawing.items if isinstance(m, Path) and m.points[0][0] == m.points[1][0]})
    shown = max(int(n) for n in numbers)
    assert shown > 0
    per_inch = (numbers[str(shown)] - ticks[0]) / shown
    assert wide == pytest.approx(10 * per_inch, rel=1e-3)


@pytest.mark.parametrize(
    ("turn", "tilt", "said"),
    [
        (0.0, 0.0, "Its front, seen straight on."),
        (30.0, 20.0, "Its front and its right side, seen from above."),
        (-30.0, 20.0, "Its front and its left side, seen from above."),
        (180.0, -10.0, "Its back, seen from below."),
        (110.0, 20.0, "Its right side and its back, seen from above."),
        (250.0, 20.0, "Its left side and its back, seen from above."),
        (-90.0, 0.0, "Its left side, seen straight on."),
    ],
)
def test_description_property_tells_the_sides_and_the_size(turn, tilt, said):
    description = drawn(bag("boxed_tote"), turn, tilt).description
    assert description.startswith(said)
    assert "13 in wide, 5 in deep and 14 in high" in description


def test_drawing_regression_is_the_same_every_time():
    first, second = (inline_svg(drawn(bag("gusset_bag")), id_prefix="folded") for _ in range(2))
    assert first == second
