"""What changes along a panel: seam allowances without what ends at the net line, and pockets."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from bagwright.body.stack import stack_body
from bagwright.body.zones import sheets_left
from bagwright.model.body import Bond
from bagwright.model.material import Extent, Held, Layer
from bagwright.model.source import Reading
from bagwright.units import UnitSystem
from bagwright.workflows.desk import view_bag
from bagwright.workflows.panel_zones import panel_zones
from bagwright.workflows.stance import panel_layers, panel_sheets
from bagwright.workflows.tell_body import body_as_json, body_in_words, body_of_file
from tests.body.sheets import sheet
from tests.workflows.demo_values import TOTE

CANVAS = {"name": "canvas", "mass_gsm": 340, "thickness_mm": 0.6, "overhang_mm": 50}
FELT = {"name": "felt", "mass_gsm": 300, "thickness_mm": 2, "overhang_mm": 90, "held": "fused"}


def told(*layers):
    return body_of_file(json.dumps({"layers": layers}).encode())


def test_seam_allowance_is_the_stack_without_what_ends_before_it():
    short = told(CANVAS, {**FELT, "extent": "net line only"})
    assert short.lengthwise == told(CANVAS, FELT).lengthwise
    assert short.seam_allowance == told(CANVAS).lengthwise
    assert "In the seam allowances it stands" in body_in_words(short, UnitSystem.METRIC)


@pytest.mark.parametrize("extent", [Extent.WHOLE, Extent.NET])
def test_no_zone_where_all_layers_reach_equally_far(extent):
    one = told(*({**layer, "extent": extent.value} for layer in (CANVAS, FELT)))
    assert one.seam_allowance is None and body_as_json(one)["seam_allowance"] is None


def test_property_what_was_bonded_to_a_missing_layer_is_loose():
    bond = Bond(share=Reading.exact(1))
    stack = [sheet(), *(replace(sheet(name, held=Held.FUSED), bond=bond) for name in ("felt", "lining"))]
    left = sheets_left(stack, [True, False, True])
    assert [(one.held, one.bond) for one in left[1:]] == [(Held.LOOSE, Bond())]
    assert sheets_left(stack, [True, True, True]) == stack


def tote_with(desk, extent: Extent):
    view = view_bag(desk, TOTE)
    pattern, bag = view.answer.pattern, view.answer.bag
    face = next(panel for panel in pattern.panels if panel.key == "face")
    outer = bag.stacks["outer"]
    felt = Layer(outer[-1].material_id, extent, Held.FUSED)
    return face, pattern, {**bag.stacks, "outer": (outer[0], felt)}, view.shelf


def test_panel_of_a_bag_tells_its_seam_allowance_and_its_pocket(desk):
    face, pattern, stacks, shelf = tote_with(desk, Extent.NET)
    allowance, pocket = panel_zones(face, pattern, stacks, shelf)
    name = shelf.materials[stacks["outer"][1].material_id].name
    assert (allowance.left_out, allowance.piece_name) == ((name,), "")
    without = {**stacks, "outer": stacks["outer"][:1]}
    assert allowance.body == stack_body(panel_sheets(face, pattern, without, shelf))
    whole = stack_body(panel_sheets(face, pattern, stacks, shelf))
    assert pocket.piece_name == "Inside pocket" and pocket.left_out == ()
    assert pocket.body.thickness_mm > whole.thickness_mm and pocket.body.rigidity_unm.low > whole.rigidity_unm.low


def test_whole_layers_leave_only_the_pocket(desk):
    face, pattern, stacks, shelf = tote_with(desk, Extent.WHOLE)
    assert [zone.piece_name for zone in panel_zones(face, pattern, stacks, shelf)] == ["Inside pocket"]
    assert len(panel_layers(face, pattern, stacks)) == 3
