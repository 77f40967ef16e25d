"""Her own pieces in a real browser: from a drawing to a sound bag, with and without script; and SVG measured by it."""

from __future__ import annotations

import math
import re

import pytest
from playwright.sync_api import expect

from bagwright.geometry.outline import Outline
from bagwright.output.svg_reading import read_svg

ROUND_MM = 220 + 140 + 30 * math.pi
DRAWING = f"""<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="300mm" viewBox="0 0 600 300">
<path id="front" d="M20 20h200v110a30 30 0 0 1-30 30h-140a30 30 0 0 1-30-30z"/>
<rect id="gusset" x="20" y="200" width="{ROUND_MM!r}" height="60"/></svg>""".encode()


def looked_at(page, **options):
    """What the program says is in the drawing."""
    bags = page("/", **options)
    bags.locator("#drawing").set_input_files({"name": "quay.svg", "mimeType": "image/svg+xml", "buffer": DRAWING})
    bags.get_by_role("button", name="Look at what is in it").click()
    expect(bags.get_by_role("heading", level=1)).to_have_text("What is in your drawing")
    return bags


def brought(page, **options):
    """A new bag of the drawing's pieces, its page open."""
    return made(looked_at(page, **options))


def made(bags):
    """The bag of the pieces that are looked at."""
    bags.get_by_label("Name of the bag").fill("Quay bag")
    bags.get_by_label("Seam allowance").fill("1/2 in")
    bags.get_by_role("button", name="Make a bag of these pieces").click()
    expect(bags.get_by_role("heading", level=1)).to_have_text("Quay bag")
    bags.wait_for_load_state()
    return bags


def told(bag):
    return bag.locator("#pieces > .part-head p")


def sew(bag, one, other):
    """Join two edges, chosen by what their options begin with."""
    for field, words in (("#seam-one", one), ("#seam-other", other)):
        option = bag.locator(f"{field} option", has_text=re.compile(rf"^{re.escape(words)} \("))
        bag.locator(field).select_option(option.get_attribute("value"))
    bag.get_by_role("button", name="Add this seam").click()
    bag.wait_for_load_state()


def test_from_a_drawing_to_a_sound_bag(page):
    bag = brought(page)
    expect(told(bag)).to_have_text("Nothing is sewn together yet: join the edges into seams below.")
    bag.locator("#front-count").fill("2")
    bag.locator("#front-count").press("Tab")
    expect(bag.locator("#seam-one option", has_text="front, copy 2, edge 1")).to_have_count(1)
    bag.locator("#front-edge_1_use").select_option("opening")
    expect(bag.locator("#own-piece-front .edge-faults")).to_have_count(1)
    sew(bag, "front, copy 1, edge 1", "gusset, edge 1")
    sew(bag, "front, copy 2, edge 1", "gusset, edge 3")
    sew(bag, "front, copy 1, edge 2", "gusset, edge 2")
    expect(bag.locator(".seams .look")).to_contain_text("Its sides differ by")
    expect(told(bag)).to_contain_text("1 seam does not come out")
    bag.get_by_role("button", name="Undo the last change").click()
    expect(bag.locator("ol.seams > li")).to_have_count(2)
    for edge in (1, 3):
        bag.locator(f"#gusset-edge_{edge}_use").select_option("opening")
        expect(bag.locator(f"#gusset-edge_{edge}_use option[value=opening][selected]")).to_have_count(1)
    expect(told(bag)).to_have_text(
        "Checked: every edge is used as you declare it, and edges that meet are equally long."
    )
    expect(told(bag)).to_have_class("checked")
    assert bag.locator("#price table").count() > 0


def test_without_script_every_form_works(page):
    bag = brought(page, java_script_enabled=False)
    bag.locator("#front-count").fill("2")
    bag.locator("#own-piece-front").get_by_role("button", name="Keep this piece").click()
    expect(bag.locator("#seam-one option", has_text="front, copy 2, edge 1")).to_have_count(1)
    sew(bag, "front, copy 1, edge 1", "gusset, edge 1")
    expect(bag.locator("ol.seams > li")).to_have_count(1)
    bag.get_by_role("button", name="Take out").click()
    expect(bag.locator("ol.seams")).to_have_count(0)


MEASURED = """<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" id="root"
 width="300mm" height="200mm" viewBox="-10 -20 400 300" preserveAspectRatio="xMaxYMin meet">
<g transform="translate(20 30) rotate(17)"><path class="m" d="M10 10 A60 25 -30 1 1 90 60 L40 90 Q10 80 10 10 z"/></g>
<g transform="matrix(.9 .2 -.3 1.1 30 5) scale(.5)"><ellipse class="m" cx="300" cy="60" rx="80" ry="30"/>
<polygon class="m" points="400,10 520,30 500,120 410,90"/></g>
<svg x="200" y="120" width="120" height="60" viewBox="0 0 60 60"><circle class="m" cx="30" cy="30" r="25"/></svg>
<path class="m" transform="skewX(20) translate(20 190)" d="m0 0 h60 v50 l-60-10 z"/>
<path class="m" transform="skewX(20) translate(100 190)" d="m0 0 q30 60 60 0 s20 40 0 60 h-60 z"/>
</svg>"""
MEASURE = """() => [...document.querySelectorAll('.m')].map((shape) => {
  const matrix = shape.getScreenCTM(), count = 20000, whole = shape.getTotalLength();
  let area = 0, before = null;
  for (let n = 0; n <= count; n += 1) {
    const at = shape.getPointAtLength(whole * n / count).matrixTransform(matrix);
    if (before) area += (before.x * at.y - at.x * before.y) / 2;
    before = at;
  }
  return Math.abs(area);
})"""


def test_areas_agree_with_what_the_browser_draws(page):
    """Chromium's own reading of transforms, units, viewBox, arcs and shapes: each shape's area on the screen, in mm."""
    shown = page("/")
    shown.set_content(f"<!doctype html><body>{MEASURED}</body>")
    expected_mm2 = [area * (25.4 / 96) ** 2 for area in shown.evaluate(MEASURE)]
    outlines: list[Outline] = [piece.outline for piece in read_svg(MEASURED.encode()).pieces]
    assert [outline.area_mm2 for outline in outlines] == pytest.approx(expected_mm2, rel=1e-3)
