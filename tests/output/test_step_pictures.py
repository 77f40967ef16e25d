"""Pictures of steps: what is sewn is drawn bold and to scale, on the copies that meet."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from shapely import LineString, Polygon

from bagwright.model.pattern import Pattern, Seam, SeamKind, SeamSide
from bagwright.output.drawing import Dot, Drawing, Ink, Path, Text, text_box
from bagwright.output.step_pictures import draw_step
from bagwright.units import UnitSystem
from bagwright.workflows.tell_draft import draft_of_settings
from tests.output.samples import rectangle_piece


def bold(drawing: Drawing) -> list[LineString]:
    return [LineString(i.points) for i in drawing.items if isinstance(i, Path) and i.ink is Ink.SEWN]


def grounds(drawing: Drawing) -> list[Polygon]:
    return [Polygon(i.points) for i in drawing.items if isinstance(i, Path) and i.ink is Ink.HAIRLINE]


def named(drawing: Drawing) -> list[str]:
    """The names under the figures, those in two lines put together."""
    lines = [item for item in drawing.items if isinstance(item, Text) and not item.text.isdecimal()]
    firsts = [one.text for one in lines]
    return firsts + [f"{a.text} {b.text}" for a, b in pairwise(lines) if a.at[0] == b.at[0]]


def seam(*sides: SeamSide, name: str = "s") -> Seam:
    return Seam(id=name, name=name, kind=SeamKind.LOCKSTITCH, order=1, sides=sides)


def two_panels(*seams: Seam) -> Pattern:
    """Net 200 x 150 mm, twice; cut 220 x 170 mm."""
    piece = rectangle_piece("panel", "Panel", 200, 150, count=2)
    return Pattern(form="sample", measurements_mm={}, pieces=(piece,), seams=seams, assembled=(), panels=())


def test_stretch_is_bold_and_to_scale_by_shapely():
    part = seam(SeamSide("panel", 1, "right", 30, 130), SeamSide("panel", 2, "left", 120, 20))
    drawing = draw_step(two_panels(part), [part], width_mm=120)
    assert drawing and drawing.width_mm <= 120
    first, second = grounds(drawing)
    scale = (first.bounds[2] - first.bounds[0]) / 220
    one, other = bold(drawing)
    assert (one.length / scale, other.length / scale) == pytest.approx((100, 100), abs=0.01)
    # Net 10 mm inside the cut line: the right edge of the first copy, the left edge of the second.
    assert first.bounds[2] - one.bounds[2] == pytest.approx(10 * scale, abs=0.01)
    assert other.bounds[0] - second.bounds[0] == pytest.approx(10 * scale, abs=0.01)
    # "right" runs up from the foot, "left" down from the head: both walks start 30 mm above the net line's foot.
    starts = [item.centre for item in drawing.items if isinstance(item, Dot)]
    heights = [(ground.bounds[3] - y) / scale for (_, y), ground in zip(starts, (first, second), strict=True)]
    assert heights == pytest.approx([40, 40], abs=0.1)


def test_like_seams_of_other_copies_are_drawn_once_and_others_numbered():
    left = seam(SeamSide("panel", 1, "left", 0, 150), SeamSide("panel", 2, "left", 0, 150), name="left")
    again = seam(SeamSide("panel", 3, "left", 0, 150), SeamSide("panel", 4, "left", 0, 150), name="again")
    top = seam(SeamSide("panel", 1, "top", 0, 200), SeamSide("panel", 2, "top", 0, 200), name="top")
    pattern = two_panels(left, again, top)
    alike = draw_step(pattern, [left, again], width_mm=120)
    unlike = draw_step(pattern, [left, top], width_mm=120)
    assert alike and unlike
    assert len(bold(alike)) == 2 and len(bold(unlike)) == 4
    texts = [[item.text for item in one.items if isinstance(item, Text)] for one in (alike, unlike)]
    assert texts[0] == ["Panel", "Panel"]
    assert sorted(texts[1]) == ["1", "1", "2", "2", "Panel", "Panel"]


def test_stretches_that_go_on_are_one_line():
    parts = [seam(SeamSide("panel", 1, "top", a, b), name=f"{a}") for a, b in ((0, 50), (50, 120), (120, 200))]
    drawing = draw_step(two_panels(*parts), parts, width_mm=120)
    assert drawing and [item.text for item in drawing.items if isinstance(item, Text)] == ["Panel"]
    assert sum(isinstance(item, Dot) for item in drawing.items) == 1


def test_nothing_sewn_is_no_picture():
    assert draw_step(two_panels(), [], width_mm=120) is None


@pytest.mark.parametrize("form", ["boxed_tote", "zip_pouch", "backpack", "zip_round_wallet"])
def test_every_step_of_a_form_fits_its_room_property(form):
    pattern = draft_of_settings(form, {}, units=UnitSystem.INCH)
    for order in {one.order for one in pattern.seams}:
        seams = [one for one in pattern.seams if one.order == order]
        drawing = draw_step(pattern, seams, width_mm=110)
        joined = {(side.piece_id, side.copy) for one in seams for side in one.sides}
        rows = 1 if len(joined) <= 3 else 4
        assert drawing and drawing.width_mm <= 110 and drawing.height_mm < 50 * rows and bold(drawing)
        assert {pattern.piece(one).name for one, _ in joined} <= set(named(drawing))
        numbers = [text_box(item) for item in drawing.items if isinstance(item, Text) and item.text.isdigit()]
        for ((left, top), (right, bottom)), ((low, up), (high, down)) in combinations(numbers, 2):
            assert right <= low or high <= left or bottom <= up or down <= top
