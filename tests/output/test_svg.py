"""SVG: true scale as svgelements reads it, nothing that a strict page would refuse, and the page's own classes."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

import pytest
import svgelements
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise
from bagwright.model.material import MaterialKind
from bagwright.output.drawing import Dot, Drawing, Fill, Hatch, Ink, Item, Path, Text, Window, line, rectangle
from bagwright.output.hatching import draw_swatch
from bagwright.output.inks import PENS, drawing_css, file_css
from bagwright.output.pieces import draw_piece, draw_pieces
from bagwright.output.svg import inline_svg, svg_file
from bagwright.units import UnitSystem
from tests.output.samples import rounded_front, sample_pattern

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    "</text><script>alert(1)</script>",
    '" onload="alert(1)',
    "&amp;<![CDATA[",
    "x" * 300,
    "\x00\x08\ud800",
    "]]>",
]


def parsed(text: str | bytes) -> ElementTree.Element:
    return ElementTree.fromstring(text)


def read_mm(data: bytes) -> list:
    """Shapes in mm: svgelements at 25.4 pixels to the inch takes 1 mm as one pixel."""
    return list(svgelements.SVG.parse(io.BytesIO(data), ppi=25.4).elements())


def test_true_scale_agrees_with_svgelements():
    """The front panel is 320 x 260 mm along its cut line."""
    shapes = read_mm(svg_file(draw_piece(rounded_front(), units=UnitSystem.INCH)))
    cut = next(s for s in shapes if isinstance(s, svgelements.Path) and s.values.get("class") == "cut-line unfilled")
    left, top, right, bottom = cut.bbox(with_stroke=False)
    assert (right - left, bottom - top) == pytest.approx((320.0, 260.0), abs=0.02)


def test_reduced_scale_agrees_with_svgelements():
    shapes = read_mm(svg_file(draw_piece(rounded_front(), units=UnitSystem.INCH, reduction=4.0)))
    cut = next(s for s in shapes if isinstance(s, svgelements.Path) and s.values.get("class") == "cut-line unfilled")
    left, _, right, _ = cut.bbox(with_stroke=False)
    assert right - left == pytest.approx(80.0, abs=0.02)


def test_file_states_its_size_in_mm():
    drawing = draw_pieces(sample_pattern(), units=UnitSystem.METRIC, true_scale=True)
    root = parsed(svg_file(drawing))
    assert root.get("width") == f"{drawing.width_mm:.3f}".rstrip("0").rstrip(".") + "mm"
    view = [float(part) for part in root.get("viewBox", "").split()]
    assert view == pytest.approx([0, 0, drawing.width_mm, drawing.height_mm], abs=0.001)


def test_true_scale_sheet_holds_every_piece():
    drawing = draw_pieces(sample_pattern(), units=UnitSystem.METRIC, true_scale=True)
    cuts = [item for item in drawing.items if isinstance(item, Path) and item.ink is Ink.CUT and item.closed]
    sizes = {tuple(sorted(round(max(axis) - min(axis), 1) for axis in zip(*path.points, strict=True))) for path in cuts}
    assert {(260.0, 320.0), (130.0, 260.0), (100.0, 1220.0), (32.0, 50.0)} <= sizes


def test_file_draws_no_line_twice():
    root = parsed(svg_file(draw_pieces(sample_pattern(), units=UnitSystem.METRIC, true_scale=True)))
    drawn = [element.get("d") for element in root.iter(SVG + "path")]
    assert len(drawn) == len(set(drawn)) > 20


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_only_text(name):
    drawing = draw_pieces(sample_pattern(front_name=name), units=UnitSystem.INCH)
    for root in (parsed(inline_svg(drawing, id_prefix="a")), parsed(svg_file(drawing))):
        kinds = {element.tag.removeprefix(SVG) for element in root.iter()}
        assert kinds <= {"svg", "title", "desc", "defs", "pattern", "path", "circle", "text", "tspan", "style"}
        attributes = {attribute for element in root.iter() for attribute in element.attrib}
        assert not {a for a in attributes if a.startswith("on") or a in ("style", "href")}


def test_inline_svg_obeys_a_strict_content_security_policy():
    text = inline_svg(draw_pieces(sample_pattern(), units=UnitSystem.INCH), id_prefix="a")
    assert "<style" not in text
    assert "<script" not in text
    assert not re.search(r"\sstyle=", text)
    assert "#22262B" not in text


def test_inline_svg_is_named_for_those_who_cannot_see_it():
    root = parsed(inline_svg(draw_pieces(sample_pattern(), units=UnitSystem.INCH), id_prefix="pieces"))
    assert root.get("role") == "img"
    named = {element.get("id"): element for element in root if element.get("id")}
    for part in root.get("aria-labelledby", "").split():
        assert named[part].text


def test_drawings_on_one_page_share_no_ids():
    squares = tuple(rectangle((i, 0), (i + 1, 1), None, Hatch(kind)) for i, kind in enumerate(MaterialKind))
    legend = Drawing(len(squares), 1, squares, "Hatches", "One square of each")
    one, other = (parsed(inline_svg(legend, id_prefix=prefix)) for prefix in ("one", "other"))
    ids = [[element.get("id") for element in root.iter() if element.get("id")] for root in (one, other)]
    assert len(ids[0]) == len(set(ids[0])) == len(MaterialKind) + 2
    assert not set(ids[0]) & set(ids[1])
    used = set(re.findall(r"url\(#([\w-]+)\)", inline_svg(legend, id_prefix="one")))
    assert used <= set(ids[0])


@pytest.mark.parametrize("prefix", ["", "1a", 'a"', "a b", "ä"])
def test_inline_svg_rejects_a_prefix_that_is_no_name(prefix):
    with pytest.raises(BrokenPromise):
        inline_svg(draw_swatch(MaterialKind.FELT), id_prefix=prefix)


def test_every_class_in_a_drawing_has_its_rule():
    items: tuple[Item, ...] = (
        *(line((0, 0), (1, 1), ink) for ink in Ink),
        *(rectangle((0, 0), (1, 1), None, fill) for fill in Fill),
        rectangle((0, 0), (1, 1), Ink.OUTLINE, Hatch(MaterialKind.FELT, pale=True)),
        rectangle((0, 0), (1, 1), Ink.OUTLINE, Hatch(MaterialKind.FOAM)),
        Window((0, 0), (1, 1), (Dot((0, 0), 1, Ink.OUTLINE),)),
        Text((0, 0), "13 3/4 in", is_measure=True, halo=True),
    )
    root = parsed(inline_svg(Drawing(2, 2, items, "t", "d"), id_prefix="a"))
    classes = {name for element in root.iter() for name in element.get("class", "").split()}
    assert len(classes) > 20
    for css in (drawing_css(), file_css()):
        ruled = set(re.findall(r"\.([a-z][\w-]*)", css))
        assert classes <= ruled


def test_css_has_a_rule_for_every_ink_and_colours_for_dark_and_print():
    css = drawing_css()
    assert all(f".{ink.value.replace(' ', '-')}{{" in css for ink in PENS)
    assert set(PENS) == set(Ink)
    assert "@media (prefers-color-scheme:dark)" in css
    assert "@media print" in css


def test_file_css_uses_nothing_that_plain_readers_lack():
    assert "var(" not in file_css()
    assert "@media" not in file_css()


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.2 (relative luminance of sRGB)."""

    def luminance(colour: str) -> float:
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("mode", ["light", "dark"])
def test_contrast_matches_wcag_2_2(mode):
    """Text at least 4.5 : 1 (success criterion 1.4.3), lines that carry meaning 3 : 1 (1.4.11)."""
    css = drawing_css()
    part = css.split("@media")[0] if mode == "light" else css.split("@media")[1]
    colours = dict(re.findall(r"--drawing-(\w+):var\([\w-]+, (#\w{6})\)", part))
    for ground in (colours["paper"], colours["cloth"]):
        assert contrast(colours["ink"], ground) >= 4.5
        assert contrast(colours["soft"], ground) >= 4.5
        assert contrast(colours["faint"], ground) >= 3.0
        assert contrast(colours["attention"], ground) >= 3.0


def test_fractions_are_set_apart_from_whole_numbers():
    text = inline_svg(Drawing(9, 9, (Text((1, 5), "13 3/4 in", is_measure=True),), "t", "d"), id_prefix="a")
    assert '>13 <tspan class="fraction">3/4</tspan> in<' in text


@settings(max_examples=60)
@given(name=st.text(max_size=80), size_mm=st.floats(0.1, 50), turn=st.sampled_from([0.0, 90.0, 37.5]))
def test_any_text_makes_well_formed_xml_property(name, size_mm, turn):
    drawing = Drawing(10, 10, (Text((1, 1), name, size_mm, turn_deg=turn, is_measure=True),), name, name)
    for data in (inline_svg(drawing, id_prefix="a"), svg_file(drawing)):
        assert parsed(data) is not None


def test_same_drawing_gives_the_same_bytes():
    one, other = (svg_file(draw_pieces(sample_pattern(), units=UnitSystem.INCH)) for _ in range(2))
    assert one == other
