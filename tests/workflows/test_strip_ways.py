"""Strips of a bag as bands across the cloth and as one continuous bias strip."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bagwright.drafting.forms import FORMS
from bagwright.geometry.region import Region
from bagwright.model.bag import Bag
from bagwright.model.layout import LayPiece
from bagwright.model.material import Layer
from bagwright.output.rulers import Measuring
from bagwright.store.bags import save_bag
from bagwright.units import UnitSystem
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.desk import BagView, view_bag
from bagwright.workflows.strip_ways import strip_ways, strips_of
from bagwright.workflows.strip_words import ways_in_words
from bagwright.workflows.tell_bias import told_bias
from tests.workflows.demo_values import TOTE, demo_answer

CANVAS = "pond-canvas"


def piped_bag(desk) -> BagView:
    """A gusset bag with piping, every piece and the piping of one canvas."""
    form = FORMS["gusset_bag"]
    sizes = {one.key: one.default_mm for one in form.measurements} | {"piping": 1.0}
    bag = Bag(id="piped", name="Piped", form=form.key, measurements_mm=sizes, stacks={}, run_count=3)
    roles = {piece.role for piece in pattern_of_bag(bag).pieces}
    bag = replace(
        bag, stacks={role: (Layer(CANVAS),) for role in roles} | {"piping_cord": (Layer("rush-piping-cord"),)}
    )
    with desk.store() as store:
        save_bag(store, bag)
    return view_bag(desk, "piped")


def told(view, ways):
    material = view.shelf.materials[CANVAS]
    names = {cut.id: cut.name for cut in view.answer.cuts}
    return dict(ways_in_words(ways, material, names, Measuring(UnitSystem.INCH)))


def test_straps_as_bands_are_counted_with_everything_else(desk):
    view = view_bag(desk, TOTE)
    found = strip_ways(desk, view, CANVAS)
    assert found.bands and not found.bias
    # By hand: two straps of 635 mm lie side by side in one band across 1449 mm of usable cloth, 101.6 mm wide.
    assert len(found.bands.plan.bands) == 1
    assert found.bands.plan.taken_mm == pytest.approx(101.6)
    # The two panels, 476 mm wide and 441 mm long, then lie side by side.
    assert found.bands.way.takes_mm == pytest.approx(101.6 + 441.325, abs=40)
    assert found.bands.way.costs_more
    assert (found.bands.way.more_mm > 0) == (found.bands.way.costs_more.amount > 0)
    (lines,) = told(view, found).values()
    assert lines[0].startswith("2 × Strap 25 × 4 in: 1 band")
    assert "close the blade" in lines[-1] and "tear" in lines[-1]


def test_piping_on_the_bias_comes_out_of_one_square():
    """Source: the square of a continuous bias strip, K14 of the reference facts: its area is length times width."""
    found = told_bias(2540.0, 38.1, cloth_mm=1450.0, allowance_mm=6.35)
    assert (found.square_mm - 6.35) ** 2 == pytest.approx(2540.0 * 38.1)


def test_bias_strips_of_a_bag_are_told_with_the_cloth_their_square_takes(desk):
    view = piped_bag(desk)
    found = strip_ways(desk, view, CANVAS)
    (bias,) = found.bias
    needed = sum(one.length_mm * one.piece.count for one in bias.strips)
    assert bias.needed_mm > needed > 0
    assert bias.told.gives_mm == pytest.approx(bias.needed_mm)
    assert bias.way and bias.way.takes_mm > 0
    lines = told(view, found)["Bias strip in one go"]
    assert "a square of" in lines[0] and "round and round" in lines[1] and "45 degrees" in lines[2]


def test_only_long_rectangles_are_strips_and_their_grain_tells_the_bias():
    cut = demo_answer(TOTE).cuts[0]
    tab = LayPiece(id="tab", region=Region.rectangle((0, 0), (30, 100)), count=1)
    band = LayPiece(id="band", region=Region.rectangle((0, 0), (400, 40)), count=2)
    tail = LayPiece(id="tail", region=Region.from_ring([(0, 0), (400, 0), (0, 40)]), count=1)
    cuts = [replace(cut, piece_id=name, grain_deg=grain) for name, grain in (("tab", 0), ("band", 45), ("tail", 0))]
    (found,) = strips_of([tab, band, tail], cuts)
    assert (found.piece.id, found.length_mm, found.width_mm) == ("band", 400, 40)
    assert found.is_bias and math.isclose(found.grain_off_deg, 45)
