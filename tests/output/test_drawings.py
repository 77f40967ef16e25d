"""What the drawings of pieces, layouts, layers, stance and bags must hold for every bag."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.errors import BrokenPromise
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LaySettings, Placement
from bagwright.model.material import Held, MaterialKind
from bagwright.model.prints import PrintPoint
from bagwright.model.source import Band, Verdict
from bagwright.output.bag import SKETCH_MM, draw_bag_sketch
from bagwright.output.drawing import Drawing, Fill, Hatch, Ink, Path, Text, bounds_of, text_box
from bagwright.output.layouts import draw_layout
from bagwright.output.piece_figure import piece_figure
from bagwright.output.piece_lines import Frame, cut_shape
from bagwright.output.pieces import draw_pieces
from bagwright.output.rulers import Measuring, ruler
from bagwright.output.sections import SectionLayer, draw_layer_section, spread
from bagwright.output.sketch_parts import arch_height_mm
from bagwright.output.stance import draw_stance
from bagwright.units import UnitSystem, print_length
from tests.drafting.measurement_strategies import measurements
from tests.output.samples import folded_body, rectangle_piece, rounded_front, sample_pattern

UNITS = list(UnitSystem)


def texts(drawing: Drawing) -> list[Text]:
    return [item for item in drawing.items if isinstance(item, Text)]


def overlapping_texts(drawing: Drawing) -> list[tuple[str, str]]:
    """Pairs of texts whose letters (not their line spacing) lie on one another."""
    boxes = [(text, *text_box(text)) for text in texts(drawing) if text.text]
    return [
        (a.text, b.text)
        for (a, (al, at), (ar, ab)), (b, (bl, bt), (br, bb)) in itertools.combinations(boxes, 2)
        if min(ar, br) - max(al, bl) > 0.3 and min(ab, bb) - max(at, bt) > 0.6
    ]


def assert_tidy(drawing: Drawing) -> None:
    left, top, right, bottom = bounds_of(drawing.items)
    assert left >= 0 and top >= 0
    assert right <= drawing.width_mm + 1e-6 and bottom <= drawing.height_mm + 1e-6
    assert overlapping_texts(drawing) == []
    assert drawing.title and drawing.description


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("width_mm", [92.0, 190.0])
@pytest.mark.parametrize("form", sorted(FORMS))
def test_every_form_makes_a_tidy_sheet(form, width_mm, units):
    pattern = draft_bag(form, {})
    drawing = draw_pieces(pattern, units=units, width_mm=width_mm)
    assert_tidy(drawing)
    assert drawing.width_mm <= width_mm + 12
    written = " ".join(text.text for text in texts(drawing))
    for piece in pattern.pieces:
        assert all(word in written for word in piece.name.split())


def drawn_sizes(data, form: str) -> dict[str, float]:
    """Any measurements within the ranges that a form states."""
    return {
        spec.key: float(
            data.draw(
                st.integers(round(spec.low_mm), round(spec.high_mm))
                if spec.is_count
                else st.floats(spec.low_mm, spec.high_mm),
                label=spec.key,
            )
        )
        for spec in FORMS[form].measurements
    }


@settings(max_examples=15, deadline=None)
@given(data=st.data(), form=st.sampled_from(sorted(FORMS)))
def test_every_accepted_size_makes_a_tidy_sheet_property(data, form):
    pattern = draft_bag(form, data.draw(measurements(FORMS[form])))
    assert_tidy(draw_pieces(pattern, units=UnitSystem.INCH))


@pytest.mark.parametrize("piece", [rounded_front(), folded_body(), rectangle_piece("s", "Strap", 80, 1200)])
@pytest.mark.parametrize("reduction", [1.0, 4.0, 10.0])
def test_label_lies_inside_its_piece(piece, reduction):
    frame = Frame(reduction)
    figure = piece_figure(piece, frame, Measuring(UnitSystem.INCH))
    inside = Region.from_ring(frame.all_on_paper(cut_shape(piece).outer_ring()))
    name = [item for item in figure.items if isinstance(item, Text) and item.text in piece.name and item.text]
    assert name
    for text in name:
        assert inside.holds(Region.rectangle(*text_box(text)))


@pytest.mark.parametrize("units", UNITS)
def test_dimensions_tell_the_cut_size(units):
    figure = piece_figure(rounded_front(), Frame(4.0), Measuring(units))
    told = {item.text for item in figure.items if isinstance(item, Text) and item.is_measure}
    # 320 mm = 12.598 in, to the nearest sixteenth 12 5/8; 260 mm = 10.236 in, 10 1/4.
    assert {"12 5/8 in", "10 1/4 in"} <= told if units is UnitSystem.INCH else {"32.0 cm", "26.0 cm"} <= told


def test_piece_on_the_fold_has_no_cut_line_along_it():
    figure = piece_figure(folded_body(), Frame(), Measuring(UnitSystem.METRIC))
    (cut,) = [item for item in figure.items if isinstance(item, Path) and item.ink is Ink.CUT]
    (fold,) = [item for item in figure.items if isinstance(item, Path) and item.ink is Ink.FOLD]
    assert not cut.closed
    assert {cut.points[0], cut.points[-1]} == set(fold.points)
    assert math.dist(*fold.points) == pytest.approx(220.0)
    # Cut line and fold together go once round the half: 2 x (220 + 160) mm.
    run = sum(math.dist(a, b) for a, b in itertools.pairwise(cut.points))
    assert run + 220.0 == pytest.approx(760.0)


def test_notches_stand_on_the_cut_line():
    figure = piece_figure(rounded_front(), Frame(), Measuring(UnitSystem.METRIC))
    ring = cut_shape(rounded_front()).outer_ring()
    border = [*ring, ring[0]]
    ticks = [item for item in figure.items if isinstance(item, Path) and item.ink is Ink.NOTCH]
    assert len(ticks) == 4
    for tick in ticks:
        x, y = tick.points[0]
        off = min(_off_segment_mm((x, -y), a, b) for a, b in itertools.pairwise(border))
        assert off < 0.05


def _off_segment_mm(p, a, b) -> float:
    run = math.dist(a, b) ** 2
    share = (
        0.0 if run == 0 else max(0.0, min(1.0, ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / run))
    )
    return math.dist(p, (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))


@pytest.mark.parametrize("grain_deg", [0.0, 45.0, 90.0])
def test_grain_arrow_runs_along_the_grain(grain_deg):
    piece = rectangle_piece("a", "A", 300, 200, grain_deg=grain_deg)
    figure = piece_figure(piece, Frame(3.0), Measuring(UnitSystem.METRIC))
    shafts = [i.points for i in figure.items if isinstance(i, Path) and i.ink is Ink.GRAIN and len(i.points) == 2]
    (start, end) = max(shafts, key=lambda points: math.dist(*points))
    angle = math.degrees(math.atan2(start[1] - end[1], end[0] - start[0])) % 180
    assert angle == pytest.approx(grain_deg, abs=0.01)


@pytest.mark.parametrize(("units", "unit_mm"), [(UnitSystem.INCH, 25.4), (UnitSystem.METRIC, 10.0)])
@pytest.mark.parametrize("reduction", [1.0, 2.5, 8.0, 60.0])
def test_ruler_numbers_stand_at_their_lengths(units, unit_mm, reduction):
    items = ruler(180.0, reduction, units, top_mm=0.0)
    numbers = {float(i.text.split()[0]): i.at[0] for i in items if isinstance(i, Text)}
    assert len(numbers) >= 2
    for told, x in numbers.items():
        assert x * reduction == pytest.approx(told * unit_mm)


def two_piece_layout(*, length_mm: float = 400.0) -> tuple[Layout, list[LayPiece]]:
    pieces = [
        LayPiece(id="big", region=Region.rectangle((0, 0), (300, 200)), count=2),
        LayPiece(id="tiny", region=Region.rectangle((0, 0), (12, 12)), count=1),
    ]
    placements = (
        Placement("big", 0.0, False, 0.0, 0.0),
        Placement("big", 180.0, True, 0.0, 420.0),
        Placement("tiny", 0.0, True, 332.0, 0.0),
    )
    layout = Layout(
        request_hash="",
        width_mm=1000.0,
        gap_mm=0.0,
        length_mm=length_mm,
        share_used=0.3,
        placements=placements,
        verdict=Verdict(("written by hand",)),
        settings=LaySettings(),
        found_by="hand",
    )
    return layout, pieces


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("kind", [MaterialKind.PLAIN_CLOTH, MaterialKind.LEATHER])
@pytest.mark.parametrize("bought_mm", [400.0, 420.0, 914.4, 1500.0])
def test_layout_is_tidy_and_says_what_was_bought(units, kind, bought_mm):
    layout, pieces = two_piece_layout()
    drawing = draw_layout(
        layout, pieces, {"big": "Outer panel", "tiny": "Zip tab"}, kind=kind, bought_length_mm=bought_mm, units=units
    )
    assert_tidy(drawing)
    written = [text.text for text in texts(drawing)]
    assert any(words.startswith("used ") for words in written)
    assert any(words.startswith("bought ") for words in written)
    assert ("selvedge" in written) == (kind is MaterialKind.PLAIN_CLOTH)
    hatched = [i for i in drawing.items if isinstance(i, Path) and isinstance(i.fill, Hatch)]
    assert sum(not path.fill.pale for path in hatched if isinstance(path.fill, Hatch)) == 3
    assert any(path.fill.pale for path in hatched if isinstance(path.fill, Hatch)) == (bought_mm > 401)
    assert {"2m", "2", "Zip tab", "m", "mirrored"} <= set(written)


def test_words_longer_than_the_cloth_is_high_stand_under_it():
    layout = replace(two_piece_layout()[0], width_mm=1400.0, length_mm=100.0, placements=())
    drawing = draw_layout(
        layout, [], {}, kind=MaterialKind.PLAIN_CLOTH, bought_length_mm=120.0, units=UnitSystem.METRIC
    )
    assert_tidy(drawing)
    assert [one.turn_deg for one in texts(drawing) if one.text.startswith(("used", "bought"))] == [0, 0]


def test_letters_mark_where_a_print_goes_on_and_names_keep_off_them():
    """One letter on each copy at each seam it names, mirrored copies at theirs; names stand clear of letters."""
    layout, (big, _) = two_piece_layout()
    foot = PrintPoint("foot", (150, 0))
    side = LayPiece(
        id="side", region=Region.rectangle((0, 0), (150, 200)), count=1, goes_on=(PrintPoint("side", (0, 100), 90.0),)
    )
    pieces = [replace(big, goes_on=(PrintPoint("side", (300, 100), 90.0), foot)), side]
    placements = (*layout.placements[:2], Placement("side", 0.0, False, 200.0, 420.0))
    drawing = draw_layout(
        replace(layout, placements=placements),
        pieces,
        {"big": "Outer panel", "side": "Side"},
        kind=MaterialKind.PLAIN_CLOTH,
        bought_length_mm=420,
        units=UnitSystem.METRIC,
    )
    assert_tidy(drawing)
    written = [text.text for text in texts(drawing)]
    assert (written.count("a"), written.count("b")) == (2 + 1, 1 + 1)  # each once more in the legend
    assert "print meets: Outer panel and Side" in written
    assert "The print goes on at a: Outer panel and Side; b: Outer panel." in drawing.description


def test_a_layout_on_what_is_not_bought_by_length_says_what_was_bought():
    layout, pieces = two_piece_layout()
    drawing = draw_layout(
        layout,
        pieces,
        {},
        kind=MaterialKind.LEATHER,
        bought_length_mm=400,
        bought_said="0.6 m2",
        units=UnitSystem.METRIC,
    )
    assert [text.text for text in texts(drawing) if text.text.startswith("bought ")] == ["bought 0.6 m2"]
    assert "bought 0.6 m2" in drawing.description


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize(("length_mm", "bought_mm"), [(400.0, 460.0), (1200.0, 1500.0)])
def test_a_layout_is_drawn_as_long_as_the_wash_leaves_the_cloth(units, length_mm, bought_mm):
    layout, pieces = two_piece_layout(length_mm=length_mm)
    washed = 0.9 * bought_mm
    drawing = draw_layout(
        layout,
        pieces,
        {},
        kind=MaterialKind.PLAIN_CLOTH,
        bought_length_mm=bought_mm,
        washed_length_mm=washed,
        units=units,
    )
    assert_tidy(drawing)
    (told,) = (text.text for text in texts(drawing) if text.text.startswith("bought "))
    assert told.endswith(f", washed {print_length(washed, units).text}")
    left, top, right, bottom = bounds_of([i for i in drawing.items if isinstance(i, Path) and i.ink is Ink.SELVEDGE])
    along, across = (right - left, bottom - top) if length_mm > 1000 else (bottom - top, right - left)
    assert along / across == pytest.approx(washed / 1000, rel=0.05)


@pytest.mark.parametrize(("length_mm", "hangs"), [(400.0, True), (1200.0, False)])
def test_layout_places_pieces_as_the_placements_say(length_mm, hangs):
    layout, pieces = two_piece_layout(length_mm=length_mm)
    drawing = draw_layout(
        layout, pieces, {}, kind=MaterialKind.FELT, bought_length_mm=length_mm, units=UnitSystem.METRIC
    )
    cuts = [i for i in drawing.items if isinstance(i, Path) and isinstance(i.fill, Hatch) and not i.fill.pale]
    cloth = next(i for i in drawing.items if isinstance(i, Path) and i.fill is Fill.CLOTH)
    left, top, right, bottom = bounds_of([cloth])
    scale = (1000.0 if hangs else length_mm) / (right - left)
    assert (bottom - top) * scale == pytest.approx(length_mm if hangs else 1000.0)

    def on_cloth(x, y):
        """Back to length and width: the length runs down from the top, or across with the width upwards."""
        return ((y - top) * scale, (x - left) * scale) if hangs else ((x - left) * scale, (bottom - y) * scale)

    boxes = []
    for path in cuts:
        along, across = zip(*(on_cloth(*point) for point in path.points), strict=True)
        boxes.append(tuple(round(n, 3) for n in (min(along), max(along), min(across), max(across))))
        # Pieces run counter-clockwise on the cloth; seen from above on paper, where y runs down, they must as well.
        ring = [*path.points, path.points[0]]
        assert sum(a[0] * b[1] - b[0] * a[1] for a, b in itertools.pairwise(ring)) < 0
    # Mirrored (x -> -x), then turned by 180 degrees: x comes back, y runs down from the shift.
    assert boxes == [(0, 300, 0, 200), (0, 300, 220, 420), (320, 332, 0, 12)]


@pytest.mark.parametrize("units", UNITS)
def test_section_keeps_proportions_and_names_every_layer(units):
    layers = [
        SectionLayer("Canvas", MaterialKind.BOTTOM_WEIGHT, 0.8, Held.LOOSE),
        SectionLayer("Foam", MaterialKind.FOAM, 4.0, Held.QUILTED),
        SectionLayer("Fusible", MaterialKind.WOVEN_INTERFACING, 0.2, Held.FUSED),
        SectionLayer("Fleece", MaterialKind.FLEECE, 1.6, Held.BASTED),
        SectionLayer("Lining " * 30, MaterialKind.PLAIN_CLOTH, 0.3, Held.LOOSE),
    ]
    drawing = draw_layer_section(layers, units=units)
    assert_tidy(drawing)
    bands = [i.points for i in drawing.items if isinstance(i, Path) and isinstance(i.fill, Hatch)]
    heights = [points[2][1] - points[0][1] for points in bands]
    times = [height / layer.thickness_mm for height, layer in zip(heights, layers, strict=True)]
    assert times == pytest.approx([times[0]] * 5)
    written = [text.text for text in texts(drawing)]
    assert f"thickness × {times[0]:g}" in written
    assert {"Canvas", "Foam", "Fusible", "Fleece", "outside of the bag", "inside"} <= set(written)


@given(st.lists(st.floats(0, 100), max_size=9).map(sorted), st.floats(0.1, 20))
def test_spread_keeps_order_and_distance_property(wanted, pitch):
    places = spread(wanted, pitch)
    assert all(b - a >= pitch - 1e-9 for a, b in itertools.pairwise(places))
    if all(b - a >= pitch for a, b in itertools.pairwise(wanted)):
        assert places == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("band", "stance"),
    [(Band(300, 420), "stands"), (Band(250, 250), "stands"), (Band(200, 320), "leans"), (Band(60, 249), "slumps")],
)
def test_stance_says_and_shows_the_same(band, stance):
    drawing = draw_stance(250, band, units=UnitSystem.INCH)
    assert_tidy(drawing)
    assert stance in [text.text for text in texts(drawing)]
    (strip,) = [i for i in drawing.items if isinstance(i, Path) and i.ink is Ink.STRIP]
    reach = max(y for _, y in strip.points) - min(y for _, y in strip.points)
    ground = max(y for _, y in strip.points)
    tip = strip.points[-1]
    level = next(i.points[0][1] for i in drawing.items if isinstance(i, Path) and i.ink is Ink.STITCH)
    if stance == "stands":
        assert min(y for _, y in strip.points) == pytest.approx(level)
    else:
        assert min(y for _, y in strip.points) > level
    if stance == "slumps":
        assert ground - tip[1] < reach


@given(height_mm=st.floats(20, 900), low=st.floats(1, 3000), more=st.floats(0, 3000))
def test_stance_fits_its_small_square_property(height_mm, low, more):
    assert_tidy(draw_stance(height_mm, Band(low, low + more), units=UnitSystem.METRIC))


@pytest.mark.parametrize("form", sorted(FORMS))
def test_every_form_has_a_sketch(form):
    drawing = draw_bag_sketch(form, draft_bag(form, {}).measurements_mm)
    assert_tidy(drawing)
    assert (drawing.width_mm, drawing.height_mm) == SKETCH_MM


@settings(deadline=None)
@given(data=st.data(), form=st.sampled_from(sorted(FORMS)))
def test_every_size_has_a_sketch_property(data, form):
    assert_tidy(draw_bag_sketch(form, drawn_sizes(data, form)))


def test_sketch_rejects_an_unknown_form():
    with pytest.raises(BrokenPromise, match="boxed_tote"):
        draw_bag_sketch("barrel", {})


def test_arch_agrees_with_the_ellipse_integral():
    """Half ellipse 150 mm wide and 280 mm high: length by Simpson's rule on its parametric form."""
    a, b, steps = 75.0, 280.0, 2000
    speed = [math.hypot(a * math.sin(math.pi * i / steps), b * math.cos(math.pi * i / steps)) for i in range(steps + 1)]
    weights = [*[1, *([4, 2] * (steps // 2))][:steps], 1]
    length = math.pi / steps / 3 * sum(w * s for w, s in zip(weights, speed, strict=True))
    assert arch_height_mm(150.0, length) == pytest.approx(280.0, rel=0.003)


def test_a_strap_shorter_than_its_span_lies_flat_limit():
    assert arch_height_mm(100.0, 90.0) == 0.0


def test_hostile_name_is_shortened_to_fit_its_piece():
    drawing = draw_pieces(sample_pattern(front_name="W" * 300), units=UnitSystem.INCH)
    assert_tidy(drawing)
    assert any(text.text.endswith("…") for text in texts(drawing))
