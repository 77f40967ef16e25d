"""Widths of letters against the packaged fonts; breaking and shortening always fit."""

from __future__ import annotations

from importlib import resources

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from bagwright.output.lettering import Weight, fraction_runs, one_line, set_block, shortened, text_width_mm, wrapped

HEAVINESS = {Weight.PLAIN: 400, Weight.STRONG: 600}


def font(weight: Weight, subset: str = "latin") -> TTFont:
    with resources.as_file(resources.files("bagwright.output") / "fonts") as folder:
        return TTFont(folder / f"source-sans-3-{subset}-{HEAVINESS[weight]}.ttf")


@pytest.mark.parametrize("weight", list(Weight))
def test_widths_agree_with_fonttools(weight):
    """Advance widths of all plain letters, read from the packaged font by fontTools."""
    face = font(weight)
    names, advances = face.getBestCmap(), face["hmtx"]
    for code in range(32, 127):
        assert text_width_mm(chr(code), 1000.0, weight) == advances[names[code]][0]


@pytest.mark.parametrize("weight", list(Weight))
@pytest.mark.parametrize(
    "subset", ["latin", "latin-ext", "vietnamese", "greek", "cyrillic", "greek-ext", "cyrillic-ext"]
)
def test_no_letter_is_wider_than_reckoned_by_much(weight, subset):
    """Letters beyond plain Latin are reckoned by their base letter or as a full em: never 15 % of an em too narrow."""
    face = font(weight, subset)
    advances = face["hmtx"]
    for code, name in face.getBestCmap().items():
        assert text_width_mm(chr(code), 1000.0, weight) >= advances[name][0] - 150


@given(st.text(max_size=200), st.floats(3, 200), st.sampled_from(list(Weight)))
def test_shortened_text_fits_property(text, room_mm, weight):
    assert text_width_mm(shortened(text, room_mm, 3.0, weight), 3.0, weight) <= room_mm + 1e-9


@given(st.text(max_size=200), st.floats(4, 200))
def test_wrapped_lines_fit_and_lose_nothing_property(text, room_mm):
    lines = wrapped(text, room_mm, 3.0)
    assert all(text_width_mm(line, 3.0) <= room_mm + 1e-9 for line in lines)
    assert "".join(lines).replace(" ", "") == one_line(text).replace(" ", "")


@given(st.text(max_size=400), st.integers(1, 3))
def test_block_keeps_to_its_lines_property(text, most_lines):
    block = set_block(text, 20.0, most_lines, 3.0)
    assert len(block.lines) <= most_lines
    assert block.width_mm <= 20.0 + 1e-9


@given(st.text())
def test_one_line_has_no_control_characters_property(text):
    line = one_line(text)
    assert line.isprintable() or "\u00a0" not in line
    assert not any(ord(c) < 32 or 0xD800 <= ord(c) <= 0xDFFF for c in line)
    assert one_line(line) == line


@given(st.text(alphabet="0123456789/ in", max_size=20))
def test_fraction_runs_lose_nothing_property(text):
    assert "".join(run.text for run in fraction_runs(text)).replace("⁄", "/") == text
