"""docs/new-form.md: the form it writes is run as it stands there, drafted over random sizes, proved and folded up."""

from __future__ import annotations

import contextlib
import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from bagwright.drafting import forms
from bagwright.drafting.fold_faults import find_fold_faults
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import draft_form
from bagwright.drafting.soundness import prove_sound
from bagwright.errors import FaultyInput
from bagwright.output.drawing import bounds_of
from tests.drafting.measurement_strategies import measurements
from tests.drafting.twists import edges_closed_on_themselves

DOCUMENT = Path(__file__).parents[2] / "docs" / "new-form.md"
BLOCKS = re.compile(r"```python( \w+)?\n(.*?)```", re.DOTALL)
LONGEST_LINES = 190


def code_of(kind: str) -> str:
    """The blocks of one kind, one after another."""
    return "\n\n".join(
        body for found, body in BLOCKS.findall(DOCUMENT.read_text(encoding="utf-8")) if found.strip() == kind
    )


def run(code: str, known: dict[str, Any] | None = None) -> dict[str, Any]:
    names: dict[str, Any] = {"__name__": "glasses_case", **(known or {})}
    exec(compile(code, str(DOCUMENT), "exec"), names)
    return names


WRITTEN = run(code_of(""))
CASE: FormSpec = WRITTEN["GLASSES_CASE"]


@settings(max_examples=300, deadline=None)
@given(measurements(CASE))
def test_written_form_property_is_sound_over_its_whole_range(sizes):
    pattern = draft_form(CASE, sizes)
    verdict = prove_sound(pattern)
    assert verdict.passed, verdict.faults
    assert not edges_closed_on_themselves(pattern)


@settings(max_examples=40, deadline=None)
@given(measurements(CASE))
def test_written_form_property_closes_when_it_is_folded_up(sizes):
    pattern = draft_form(CASE, sizes)
    assert [fault.words for fault in find_fold_faults(pattern, fold_up(pattern))] == []


@pytest.mark.parametrize("key_tab", [0.0, 1.0, 2.0])
def test_written_form_property_takes_what_can_be_added(key_tab):
    pieces = {piece.id for piece in draft_form(CASE, {"key_tab": key_tab}).pieces}
    assert pieces == {"outer", "lining", *(["key_tab"] if key_tab else [])}


def test_written_form_names_the_zones_beside_its_bend():
    zones = {zone.name: zone.region.area_mm2 for zone in draft_form(CASE, {}).piece("outer").zones}
    assert zones.keys() == {"back", "front"} and zones["back"] == pytest.approx(zones["front"], rel=1e-5)


def test_written_form_property_is_a_short_file_that_says_what_is_its_own():
    assert len(code_of("").splitlines()) <= LONGEST_LINES
    assert CASE.key not in forms.FORMS


def test_a_seam_walked_the_wrong_way_rejects_as_the_page_says():
    good = draft_form(CASE, {})
    side = next(seam for seam in good.seams if seam.id == "outer-sides-1")
    first, other = side.sides
    wrong = replace(side, sides=(first, replace(other, from_mm=other.to_mm, to_mm=other.from_mm)))
    turned = replace(good, seams=tuple(wrong if seam is side else seam for seam in good.seams))
    assert any("outer-sides-1" in fault.words for fault in find_fold_faults(turned, fold_up(turned)))


@pytest.mark.parametrize(
    ("sizes", "allowed"),
    [
        ({"width_mm": 100.0, "foot_width_mm": 110.0}, "at most 100 mm"),
        ({"width_mm": 100.0, "foot_width_mm": 50.0}, "at least 60 mm"),
        ({"width_mm": 150.0, "height_mm": 120.0}, "at least 180 mm"),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_the_nearest(sizes, allowed):
    with pytest.raises(FaultyInput) as refused:
        draft_form(CASE, sizes)
    (problem,) = refused.value.problems
    assert problem.allowed.startswith(allowed)


def test_what_the_page_tries_runs_and_finds_no_fault():
    told = io.StringIO()
    with contextlib.redirect_stdout(told):
        run(code_of("try"), WRITTEN)
    lines = told.getvalue().splitlines()
    assert lines and all(re.match(r"\d+ .* \d+\.\d mm$", line) for line in lines)


def test_sketch_of_the_page_is_to_scale():
    items = run(code_of("sketch"))["_glasses_case"](CASE.defaults())
    left, top, right, bottom = bounds_of(items)
    assert (right - left, bottom - top) == pytest.approx((CASE.defaults()["width_mm"], CASE.defaults()["height_mm"]))
