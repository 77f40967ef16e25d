"""Words in an SVG file stay in their place in a reader that has not our letters."""

from __future__ import annotations

import pytest

from bagwright.output.drawing import Anchor, Drawing, Text
from bagwright.output.lettering import Weight
from bagwright.output.svg import PX_PER_MM, svg_file

WORDS = ("Outer panel", "cut 2, one mirrored", "Wiederaufladbare Zipverschlüsse", "illi Ill", "WWW MMM")
MEASURE = """() => [...document.querySelectorAll("text")].map(
  (one) => [one.getBoundingClientRect().width, Number(one.getAttribute("textLength"))])"""


def test_words_are_as_long_as_told_in_any_font(page):
    texts = [(words, Weight.PLAIN, False) for words in WORDS]
    texts += [(WORDS[0], Weight.STRONG, False), ("13 3/4 in", Weight.PLAIN, True)]
    rows = tuple(
        Text((100, 10 + 8 * n), words, size_mm=5, anchor=Anchor.MIDDLE, weight=weight, is_measure=is_measure)
        for n, (words, weight, is_measure) in enumerate(texts)
    )
    file = svg_file(Drawing(200, 80, title="Words", description="Words", items=rows)).decode().partition("?>")[2]
    shown = page("/bonds", bypass_csp=True)
    for font in ("monospace", "serif"):
        other = f".drawing text{{font-family:{font}!important}}</style>"
        shown.set_content(file.replace("</style>", other))
        for width_px, told_mm in shown.evaluate(MEASURE):
            assert width_px / PX_PER_MM == pytest.approx(told_mm, abs=1.2), (font, told_mm)
