"""A tested scrap of two: what it tells, that it is used wherever the two meet, and that its band holds the truth."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from bagwright.body.laminate import Ply, held_rigidity_unm
from bagwright.body.ruler_test import bending_length_mm, bending_length_of_rigidity_mm, rigidity_unm
from bagwright.body.stack import bending_length_band_mm
from bagwright.errors import FaultyInput, StaleSave
from bagwright.model.body import Bond, BondedSwatch, KeptBond
from bagwright.model.material import Held, Layer, Material, MaterialKind
from bagwright.model.source import Reading, Source, SourceKind
from bagwright.workflows.bonds import (
    bonds_on_shelf,
    keep_bond,
    redo_bond_change,
    remove_bond,
    try_bond,
    undo_bond_change,
)
from bagwright.workflows.desk import the_shelf, view_bag
from bagwright.workflows.material_changes import change_material, material_on_shelf
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import layer_sheets
from bagwright.workflows.swap_search import Keep, swaps_of_role
from tests.workflows.demo_values import TOTE

TODAY = date(2026, 3, 1)
TRIALS = 120
PER_OVERHANG = bending_length_mm(1.0, angle_deg=41.5)


def about(true: float, share: float, rng: np.random.Generator) -> Reading:
    """A reading whose range holds the true number, which may lie anywhere in it."""
    low = true * (1 - share * rng.random())
    high = low + true * share
    source = Source(SourceKind.MEASURED, "drawn")
    return Reading((low + high) / 2, low, high, source)


def hidden_shelf(rng: np.random.Generator) -> tuple[Shelf, float]:
    """Two materials and a scrap of them with readings about hidden true numbers; and the truth of the two fused."""
    mass, thick, over = (rng.uniform(low, high, 2) for low, high in ((80, 400), (0.3, 2.5), (25, 110)))
    own = [rigidity_unm(m, PER_OVERHANG * o) for m, o in zip(mass, over, strict=True)]
    plies = [Ply(b, t) for b, t in zip(own, thick, strict=True)]
    true_c = bending_length_of_rigidity_mm(held_rigidity_unm(plies, [rng.random()]), float(mass.sum()))
    materials = [
        Material(
            id=name,
            name=name,
            kind=MaterialKind.FELT,
            mass_gsm=about(float(mass[i]), 0.1, rng),
            thickness_mm=about(float(thick[i]), 0.3, rng),
            overhang_mm=about(float(over[i]), 0.15, rng),
        )
        for i, name in enumerate(("outer", "inner"))
    ]
    swatch = BondedSwatch(overhang_mm=about(true_c / PER_OVERHANG, 0.06, rng))
    kept = KeptBond(outer_id="outer", inner_id="inner", bond=Bond(swatch=swatch))
    return Shelf.of(materials, (), (kept,)), true_c


def test_kept_bond_narrows_the_band_and_the_band_still_holds_the_truth():
    # Monte Carlo: hidden true numbers anywhere within their ranges, the share of bond anywhere from 0 to 1.
    rng = np.random.default_rng(4)
    layers = (Layer("outer"), Layer("inner", held=Held.FUSED))
    narrower = held = 0
    for _ in range(TRIALS):
        shelf, truth = hidden_shelf(rng)
        known, bare = (bending_length_band_mm(layer_sheets(layers, s)) for s in (shelf, replace(shelf, bonds=())))
        held += known.low - 1e-6 <= truth <= known.high + 1e-6
        assert bare.low - 1e-6 <= truth <= bare.high + 1e-6
        narrower += known.high - known.low < bare.high - bare.low
    assert held >= 0.95 * TRIALS
    assert narrower >= 0.9 * TRIALS


def first_pair(desk):
    """Outer and inner of the tote's first fused layer."""
    layers = view_bag(desk, TOTE).answer.bag.stacks["outer"]
    index = next(i for i, layer in enumerate(layers) if layer.held is Held.FUSED)
    return layers[index - 1].material_id, layers[index].material_id


def typed(desk, overhang="4 in", **texts):
    outer, inner = first_pair(desk)
    readings = {"scrap_up": f"{overhang}, {overhang}, {overhang}, {overhang}", "scrap_down": f"{overhang}, {overhang}"}
    return {"outer": outer, "inner": inner, "held": "fused", "angle_deg": "41.5", **readings, **texts}


def standing(desk):
    panel = next(p for p in view_bag(desk, TOTE).answer.panels if p.panel_key == "face")
    return panel.body.standing_height_mm


def width(band):
    return band.high - band.low


def test_kept_bond_narrows_the_bag_and_removing_it_widens_it_again(desk):
    before = standing(desk)
    tried = try_bond(desk, typed(desk), today=TODAY)
    assert standing(desk) == before  # looking keeps nothing
    kept = keep_bond(desk, tried.version, typed(desk), today=TODAY)
    after = standing(desk)
    assert width(after) < width(before)
    assert width(tried.after) < width(tried.before)
    assert kept.bond.swatch is not None and kept.bond.swatch.overhang_mm.source.said_by.endswith("1 Mar 2026")
    remove_bond(desk, kept.id, 1)
    assert standing(desk) == before
    undo_bond_change(desk, kept.id, 2)
    assert standing(desk) == after
    redo_bond_change(desk, kept.id, 3)
    assert standing(desk) == before
    (shown,) = bonds_on_shelf(desk)
    assert shown.is_removed and shown.can_undo
    with pytest.raises(StaleSave):
        remove_bond(desk, kept.id, 1)


def test_swaps_count_the_kept_bond(desk):
    def now(lines):
        return next(line for line in lines if line.is_now)

    outer, inner = first_pair(desk)
    before = swaps_of_role(view_bag(desk, TOTE), "outer", Keep.AS_FIRM)
    keep_bond(desk, 0, typed(desk), today=TODAY)
    after = swaps_of_role(view_bag(desk, TOTE), "outer", Keep.AS_FIRM)
    assert width(after.now.standing_height_mm) < width(before.now.standing_height_mm)
    for line in after.lines:
        if (outer, inner) == tuple(layer.material_id for layer in line.layers[:2]):
            # Firm at least as asked: the search and the panel agree on what the bond is worth.
            assert line.body.bending_length_mm.low >= after.now.bending_length_mm.low - 1e-9


def test_a_stiffer_scrap_tells_a_larger_share(desk):
    shares = [try_bond(desk, typed(desk, overhang=o), today=TODAY).finding.share for o in ("2 3/4 in", "4 in", "5 in")]
    values = [share.value for share in shares]
    assert values == sorted(values) and all(share.low <= share.value <= share.high for share in shares)


def test_rejects_every_fault_at_its_field(desk):
    with pytest.raises(FaultyInput) as refused:
        try_bond(desk, {"outer": "moon", "held": "loose", "angle_deg": "3", "scrap_up": "long"}, today=TODAY)
    assert {p.place for p in refused.value.problems} == {"outer", "inner", "held", "angle_deg", "scrap_up"}
    with pytest.raises(FaultyInput) as empty:
        try_bond(desk, {**typed(desk), "scrap_up": "", "scrap_down": ""}, today=TODAY)
    assert {p.place for p in empty.value.problems} == {"scrap_up"}
    assert bonds_on_shelf(desk) == ()


def test_material_that_lacks_a_reading_is_asked_for_it(desk):
    keep_bond(desk, 0, typed(desk), today=TODAY)
    _, inner = first_pair(desk)
    on_shelf = material_on_shelf(desk, inner)
    texts = {"name": on_shelf.material.name, "thickness_mm": ""}
    change_material(desk, inner, on_shelf.version, {**texts, "fusible_sides": str(on_shelf.material.fusible_sides)})
    with pytest.raises(FaultyInput) as refused:
        try_bond(desk, typed(desk), today=TODAY)
    assert [(p.place, p.value) for p in refused.value.problems] == [("inner", on_shelf.material.name)]
    (shown,) = bonds_on_shelf(desk)
    assert shown.tested is None and the_shelf(desk).bonds == (shown.kept,)
