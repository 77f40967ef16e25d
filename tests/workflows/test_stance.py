"""The layers of a panel as sheets: a bond that was tested goes with the two materials wherever they meet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.body.stack import bending_length_band_mm
from bagwright.errors import FaultyInput
from bagwright.model.body import Bond, BondedSwatch, KeptBond
from bagwright.model.material import Held, Layer
from bagwright.model.source import Reading
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import layer_sheets
from tests.workflows.demo_values import SHELF, with_material

SHEETS = [
    material
    for material in SHELF.materials.values()
    if material.overhang_mm and material.thickness_mm and material.mass_gsm
]
OUTER, INNER = SHEETS[0], SHEETS[1]
LAYERS = (Layer(OUTER.id), Layer(INNER.id, held=Held.FUSED), Layer(OUTER.id, held=Held.FUSED))


def test_tested_bond_goes_with_its_pair_in_its_order():
    swatch = Bond(swatch=BondedSwatch(overhang_mm=Reading.exact(70)))
    shelf = replace(SHELF, bonds=(KeptBond(outer_id=OUTER.id, inner_id=INNER.id, bond=swatch),))
    assert [sheet.bond for sheet in layer_sheets(LAYERS, shelf)] == [Bond(), swatch, Bond()]
    assert shelf.bond(INNER.id, OUTER.id) == Bond()


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
