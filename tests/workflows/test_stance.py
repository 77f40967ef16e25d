"""The layers of a panel as sheets: a bond that was tested goes with the two materials wherever they meet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.body.stack import bending_length_band_mm
from bagwright.drafting.forms import draft_bag
from bagwright.errors import FaultyInput
from bagwright.model.body import Bond, BondedSwatch, KeptBond
from bagwright.model.material import Held, Layer
from bagwright.model.source import Reading
from bagwright.workflows.held_stance import held_bodies, is_flat_face
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import crosswise_layer_sheets, layer_sheets, panel_bodies
from tests.workflows.demo_values import BAGS, SHELF, TOTE, WALLET, with_material

SHEETS = [
    material
    for material in SHELF.materials.values()
    if material.overhang_mm and material.thickness_mm and material.mass_gsm
]
OUTER, INNER = SHEETS[0], SHEETS[1]
LAYERS = (Layer(OUTER.id), Layer(INNER.id, held=Held.FUSED), Layer(OUTER.id, held=Held.FUSED))


def test_tested_bond_goes_with_its_pair_held_so_either_way_round():
    swatch = Bond(swatch=BondedSwatch(overhang_mm=Reading.exact(70)))
    shelf = replace(SHELF, bonds=(KeptBond(outer_id=OUTER.id, inner_id=INNER.id, bond=swatch),))
    assert [sheet.bond for sheet in layer_sheets(LAYERS, shelf)] == [Bond(), swatch, swatch]
    assert shelf.bond(OUTER.id, OUTER.id) == shelf.bond(OUTER.id, INNER.id, Held.QUILTED) == Bond()


def test_latest_test_of_a_pair_counts_and_narrows_the_band():
    old, new = (Bond(share=Reading.exact(share)) for share in (0.1, 0.6))
    shelf = replace(SHELF, bonds=tuple(KeptBond(outer_id=OUTER.id, inner_id=INNER.id, bond=b) for b in (old, new)))
    assert shelf.bond(OUTER.id, INNER.id) == new
    before, after = (bending_length_band_mm(layer_sheets(LAYERS[:2], s)) for s in (SHELF, shelf))
    assert after.high - after.low < before.high - before.low


def test_rejects_every_missing_reading_at_once():
    bare = with_material(OUTER.id, mass_gsm=None, overhang_mm=None)
    lacking = Shelf({**bare.materials, INNER.id: replace(INNER, thickness_mm=None)}, ())
    with pytest.raises(FaultyInput) as refused:
        layer_sheets(LAYERS[:2], lacking)
    assert {problem.place for problem in refused.value.problems} == {
        f"materials.{OUTER.id}.mass_gsm",
        f"materials.{OUTER.id}.overhang_mm",
        f"materials.{INNER.id}.thickness_mm",
    }


def test_crosswise_sheets_take_what_was_tested_so():
    across = with_material(OUTER.id, crosswise_overhang_mm=30.0)
    plain = Shelf({key: replace(one, crosswise_overhang_mm=None) for key, one in SHELF.materials.items()}, ())
    assert crosswise_layer_sheets(LAYERS, plain) == []
    sheets = crosswise_layer_sheets(LAYERS, across)
    assert [sheet.overhang_mm.value for sheet in sheets][::2] == [30.0, 30.0]
    assert [sheet.held for sheet in sheets] == [layer.held for layer in LAYERS]


def test_flat_faces_of_the_demo_bags_are_held_by_their_depth():
    tote, wallet = (draft_bag(BAGS[key].form, BAGS[key].measurements_mm) for key in (TOTE, WALLET))
    (body,) = held_bodies(tote, BAGS[TOTE].stacks, SHELF)
    assert (body.width_mm, body.name) == (tote.measurements_mm["width_mm"], "Front and back")
    assert held_bodies(wallet, BAGS[WALLET].stacks, SHELF) == ()
    (strip,) = panel_bodies(tote, BAGS[TOTE].stacks, SHELF)
    free = (strip.body.standing_height_mm.low / strip.height_mm) ** 3
    assert body.weight_multiplier.low > free


def test_every_form_with_a_flat_face_is_told():
    told = {form: draft_bag(form, {}) for form in ("boxed_tote", "gusset_bag", "zip_pouch", "bucket_bag", "barrel_bag")}
    flat = {form: any(is_flat_face(panel, pattern) for panel in pattern.panels) for form, pattern in told.items()}
    assert flat == {
        "boxed_tote": True,
        "gusset_bag": True,
        "zip_pouch": True,
        "bucket_bag": False,
        "barrel_bag": False,
    }
