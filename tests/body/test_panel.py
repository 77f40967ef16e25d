"""One face of the bag: what it reports, and which measurement it asks for."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.body.panel import NO_DOUBT, panel_body, widest_doubt
from bagwright.body.stack import stack_body
from bagwright.errors import FaultyInput
from bagwright.model.material import Held
from bagwright.model.pattern import Panel
from tests.body.sheets import SLIDING, reading, sheet, sheets


def _panel(height_mm: float = 200) -> Panel:
    return Panel(key="front", name="Front", piece_ids=("front", "lining"), height_mm=height_mm, copies=2)


def test_panel_reports_its_layers_and_body():
    stack = [sheet("canvas"), sheet("felt", thickness=3, held=Held.LOOSE)]
    body = panel_body(_panel(), stack)
    assert (body.panel_key, body.name, body.height_mm) == ("front", "Front", 200)
    assert list(body.layer_names) == ["canvas", "felt"]
    assert list(body.layer_thicknesses_mm) == [0.6, 3]
    assert body.body == stack_body(stack)
    assert body.widest_doubt == NO_DOUBT


@pytest.mark.parametrize(("height_mm", "stance"), [(40, "stands"), (60, "leans"), (120, "slumps")])
def test_panel_stance_follows_the_band(height_mm, stance):
    # Two canvases fused: 49.7 mm sliding, 78.8 mm solid.
    assert panel_body(_panel(height_mm), [sheet(), sheet(held=Held.FUSED)]).stance == stance


@pytest.mark.parametrize(
    ("felt", "asked"),
    [
        (sheet("felt", overhang=reading(60, 0.2)), "Measure how far the felt hangs over: it narrows this most."),
        (
            sheet("felt", mass=reading(300, 0.2), overhang=90),
            "Weigh a measured piece of the felt: it narrows this most.",
        ),
        (sheet("felt", thickness=reading(3, 0.2)), NO_DOUBT),
    ],
)
def test_doubt_of_a_loose_layer(felt, asked):
    # Thickness does not count where layers slide.
    assert widest_doubt([sheet("canvas"), felt]) == asked


def test_doubt_about_thickness_counts_in_a_fused_stack_whose_bond_is_known_to_matter_less():
    # The middle layer, limp and of unknown thickness, sets how far apart the stiff faces are.
    stack = [
        sheet("canvas"),
        sheet("fleece", mass=80, overhang=20, thickness=reading(3, 0.9), held=Held.FUSED),
        sheet("lawn", held=Held.FUSED),
    ]
    asked = widest_doubt(stack)
    assert asked == (
        "Fuse scraps of canvas, fleece and lawn and measure how far they hang over together: it narrows this most."
    )


@pytest.mark.parametrize(("held", "verb"), [(Held.FUSED, "Fuse"), (Held.QUILTED, "Quilt")])
def test_doubt_about_the_bond_asks_for_a_scrap(held, verb):
    asked = widest_doubt([sheet("canvas"), sheet("fleece", held=held)])
    assert asked.startswith(f"{verb} scraps of canvas and fleece and measure")


def test_doubt_is_met_wherever_the_material_lies():
    # Each felt alone matters less than the canvas, both together more.
    canvas, felt = sheet("canvas", overhang=reading(60, 0.13)), sheet("felt", overhang=reading(60, 0.1))
    assert "canvas" in widest_doubt([canvas, felt])
    assert "felt" in widest_doubt([felt, canvas, felt])


def test_single_layer_does_not_ask_for_its_mass():
    # The bending length of one layer does not depend on it.
    assert widest_doubt([sheet(mass=reading(340, 0.3), thickness=reading(0.6, 0.3))]) == NO_DOUBT


@settings(max_examples=30, deadline=None)
@given(st.lists(sheets(held=SLIDING), min_size=1, max_size=4))
def test_property_exact_sliding_stacks_leave_no_doubt(stack):
    assert widest_doubt(stack) == NO_DOUBT


def test_rejects_what_the_stack_rejects():
    with pytest.raises(FaultyInput):
        panel_body(_panel(), [])
    with pytest.raises(FaultyInput):
        panel_body(_panel(), [sheet(thickness=0)])
