"""Slits, needles, spikes, spirals, thousands of corners, double corners: a sound layout or a problem, and soon."""

from __future__ import annotations

import json
import math
import time
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.errors import FaultyInput
from bagwright.workflows.tell_layout import layout_as_json, layout_of_file
from bagwright.workflows.tell_stock import stock_as_json, stock_of_file

Ring = list[list[float]]


def slit(width_mm: float) -> Ring:
    """A panel cut open almost to its foot."""
    return [[0, 0], [160, 0], [160, 90], [80 + width_mm, 90], [80, 5], [80 - width_mm, 90], [0, 90]]


def needle(width_mm: float) -> Ring:
    return [[0, 0], [300, width_mm], [150, width_mm * 0.9]]


def comb(teeth: int) -> Ring:
    step = 200 / teeth
    tops = [[200 - step * (i + part), y] for i in range(teeth) for part, y in ((0.1, 90), (0.5, 10), (0.9, 90))]
    return [[0, 0], [200, 0], *tops]


def spiral(turns: int) -> Ring:
    out = [[(20 + 3 * i) * math.cos(0.3 * i), (20 + 3 * i) * math.sin(0.3 * i)] for i in range(turns)]
    return out + [[(12 + 3 * i) * math.cos(0.3 * i), (12 + 3 * i) * math.sin(0.3 * i)] for i in reversed(range(turns))]


def wavy(corners: int) -> Ring:
    turns = [i * math.tau / corners for i in range(corners)]
    return [[(80 + 9 * math.sin(37 * t)) * math.cos(t), (80 + 9 * math.sin(37 * t)) * math.sin(t)] for t in turns]


def jagged(corners: int) -> Ring:
    """No corner lies in line with those beside it: as outlines come from a noisy picture."""
    rng = Random(5)
    turns = [i * math.tau / corners for i in range(corners)]
    return [[r * math.cos(t), r * math.sin(t)] for t, r in ((t, 110 + 3 * rng.random()) for t in turns)]


OUTLINES = {
    "slit": slit(0.001),
    "wide slit": slit(2.0),
    "needle": needle(0.01),
    "comb": comb(9),
    "spiral": spiral(16),
    "wavy": wavy(400),
    "double corners": [corner for corner in comb(3) for _ in (0, 1)],
    "touching itself": [[0, 0], [10, 0], [10, 10], [5, 0], [0, 10]],
    "crossing itself": [[0, 0], [100, 100], [100, 0], [0, 100]],
    "wider than the cloth": [[0, 0], [50, 0], [50, 2000], [0, 2000]],
    "next to nothing": [[0, 0], [0.01, 0], [0.01, 0.02]],
}


def piece(name: str, mirror: str, turns) -> dict[str, object]:
    return {"id": name, "outline": OUTLINES[name], "count": 2, "mirror": mirror, "turns": turns}


def ask(job: dict[str, object]) -> bool:
    """Whether there was a layout, which then is sound; else there was a problem in plain words."""
    text = json.dumps({"seconds": 0} | job).encode()
    try:
        told = stock_as_json(stock_of_file(text)) if "stock" in job else layout_as_json(layout_of_file(text))
    except FaultyInput as fault:
        assert all(problem.remedy for problem in fault.problems)
        return False
    assert told["checked"]
    return True


@given(
    st.lists(st.sampled_from(sorted(OUTLINES)), min_size=1, max_size=2, unique=True),
    st.sampled_from(["no", "pairs", "either"]),
    st.sampled_from([[0], [0, 180], [90], "free"]),
    st.sampled_from(["plain", "double", "print", "stock"]),
    st.sampled_from([0, 2]),
)
@settings(deadline=None, max_examples=40)
def test_property_awkward_outlines_are_laid_or_refused(names, mirror, turns, lies, gap_mm):
    pieces = [piece(name, mirror, turns) for name in names]
    job: dict[str, object] = {"pieces": pieces, "gap_mm": gap_mm}
    if lies == "stock":
        job["stock"] = [{"id": "hide", "outline": wavy(60), "flaws": [slit(2.0)]}, {"id": "s", "outline": comb(4)}]
    else:
        job |= {"width_mm": 700, "double": lies == "double"}
    if lies == "print":
        job["repeat"] = {"along_mm": 90, "across_mm": 55}
        pieces[0]["anchor"] = [3, 4]
    ask(job)


def test_a_slit_and_a_needle_are_laid_and_crossed_lines_are_refused():
    for name, sound in (("slit", True), ("needle", True), ("crossing itself", False), ("touching itself", False)):
        assert ask({"width_mm": 700, "pieces": [piece(name, "no", [0])]}) is sound


@pytest.mark.parametrize("width_mm", [0.001, 0.01, 0.015, 0.03])
def test_needles_beside_panels_come_to_an_end_at_the_cutting_table_too(width_mm):
    panel = {"id": "panel", "outline": [[0, 0], [100, 0], [100, 50], [0, 50]], "count": 3, "turns": "free"}
    thin = {"id": "thin", "outline": needle(width_mm), "count": 3, "turns": [0]}
    assert ask({"width_mm": 1000, "pieces": [panel, thin]})


@pytest.mark.parametrize("lies", ["plain", "double", "print", "stock"])
def test_five_thousand_corners_take_no_long_time(lies):
    rounded = {"id": "round", "outline": jagged(5000), "count": 4, "turns": [0], "anchor": [0, 0]}
    job: dict[str, object] = {"pieces": [rounded], "width_mm": 700}
    if lies == "stock":
        del rounded["anchor"]
        job = {"pieces": [rounded], "stock": [{"id": "hide", "outline": wavy(5000)}]}
    elif lies == "double":
        job["double"] = True
    elif lies == "print":
        job["repeat"] = {"along_mm": 300}
    start = time.process_time()
    assert ask(job)
    assert time.process_time() - start < 10  # far above what it takes, far below for ever
