"""Layers that cover a zone: what is cut, sewn through, fused, told and refused, from one bag's layers to its papers."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from bagwright.body.stack import stack_body
from bagwright.drafting.own_pieces import OWN_PIECES, draft_own
from bagwright.errors import FaultyInput
from bagwright.model.material import Extent, Held, Layer
from bagwright.model.piece import Mirror
from bagwright.model.timing import TimeStandards
from bagwright.units import UnitSystem
from bagwright.workflows.bag_changes import LayerChoice, resize_bag, restack_bag
from bagwright.workflows.cut_list import cut_list
from bagwright.workflows.desk import view_bag
from bagwright.workflows.panel_zones import panel_zones, zones_of_panel
from bagwright.workflows.papers import paper_of_bag
from bagwright.workflows.seam_bulk import bag_bulks
from bagwright.workflows.stance import layer_sheets, panel_layers
from bagwright.workflows.swap_search import swaps_of_role
from bagwright.workflows.tell_body import body_as_json, body_in_words, body_of_file
from bagwright.workflows.tell_heat import heat_of_stack
from bagwright.workflows.tell_price import price_of_file
from bagwright.workflows.zone_heat import fused_layers, heat_of_zones
from bagwright.workflows.zone_layers import layers_left, lost_zones, zone_problems, zones_of_role
from bagwright.workflows.zone_templates import pieces_to_cut, with_zone_templates
from tests.drafting.own_samples import pouch
from tests.json_doc import examples
from tests.workflows.demo_values import BAGS, POUCH, SHELF, TOTE, answer_of, demo_answer, with_stacks

CANVAS = Layer("pond-canvas")
FILE = next(example.file for example in examples() if example.command == "price")
WIDTH_MM, DEPTH_MM = 330.2, 127.0


def felt_on(zone: str, held: Held = Held.BASTED) -> Layer:
    return Layer("moss-felt", Extent.ZONE, held, zone)


def tote(*layers: Layer):
    """The demo's tote with an outer of these layers."""
    return with_stacks(BAGS[TOTE], {"outer": layers})


def answer_with(*layers: Layer):
    return answer_of(tote(*layers))


def face_of(answer):
    return next(panel for panel in answer.pattern.panels if panel.key == "face")


# What is cut


def test_base_stiffener_is_cut_once_for_each_panel_up_to_the_stitch_line():
    """Half the base, width by half the depth, lies in each of the two outer panels."""
    (cut,) = [cut for cut in answer_with(CANVAS, felt_on("base")).cuts if cut.material_id == "moss-felt"]
    assert (cut.id, cut.name, cut.count, cut.zone) == ("outer (base)", "Outer panel: base", 2, "base")
    assert (cut.region.width_mm, cut.region.height_mm) == pytest.approx((WIDTH_MM, DEPTH_MM / 2), abs=0.002)
    assert not cut.on_fold and cut.mirror is Mirror.NO


def test_zone_of_one_piece_of_a_role_is_cut_for_that_piece_alone():
    bucket = replace(BAGS[TOTE], form="bucket_bag", measurements_mm={"diameter_mm": 200})
    answer = answer_of(with_stacks(bucket, {"outer": (CANVAS, felt_on("base"))}))
    assert answer.problems == ()
    (cut,) = [cut for cut in answer.cuts if cut.material_id == "moss-felt"]
    assert cut.piece_id == "base" and cut.region.area_mm2 == pytest.approx(math.pi * 100**2, rel=1e-4)


def test_weight_and_layout_grow_by_the_zone_alone():
    plain, stiffened = answer_with(CANVAS), answer_with(CANVAS, felt_on("base"))
    assert stiffened.problems == ()
    mass_gsm = SHELF.materials["moss-felt"].mass_gsm.value
    assert stiffened.mass_g - plain.mass_g == pytest.approx(WIDTH_MM * DEPTH_MM * 1e-6 * mass_gsm, rel=1e-3)
    laid = next(sheet for sheet in stiffened.layouts if sheet.material.id == "moss-felt")
    assert [(piece.id, piece.count) for piece in laid.request.pieces] == [("outer (base)", 2)]
    assert laid.layout.verdict.passed


def test_fusing_takes_as_many_presses_as_the_zone_needs():
    """Base of 330 x 63.5 mm and an iron face of 200 cm2: two presses for each of the two panels."""
    base = Layer("cloud-fleece", Extent.ZONE, Held.FUSED, "base")
    (step,) = [step for step in answer_with(CANVAS, base).steps if step.kind == "Fuse"]
    assert step.reckoned.startswith("4 presses")
    given = TimeStandards()
    seconds = 4 * (given.press_hold_seconds + given.press_move_seconds)
    assert step.minutes == pytest.approx(seconds / 60 * (1 + given.allowance_share))


def test_order_of_work_says_on_which_zone_a_layer_is_fused():
    base = Layer("cloud-fleece", Extent.ZONE, Held.FUSED, "base")
    (step,) = [step for step in answer_with(CANVAS, base).work if step.name.startswith("Fuse")]
    assert "to: outer panel, on the base only;" in step.name
    assert step.piece_ids == ("outer",)


def test_layer_of_a_zone_is_fused_to_what_lies_outside_it_there():
    """Fleece ends above the base, so the interfacing of the base lies on the canvas, not on the fleece."""
    fleece = Layer("cloud-fleece", Extent.ZONE, Held.FUSED, "front and back")
    base, all_over = Layer("woven-fuse", Extent.ZONE, Held.FUSED, "base"), Layer("mist-fuse", held=Held.FUSED)
    found = [(joint.outer, joint.inner) for _, joint in fused_layers((CANVAS, fleece, base, all_over), SHELF, place="")]
    canvas, *others = (SHELF.materials[one.material_id].name for one in (CANVAS, fleece, base, all_over))
    assert found == [(canvas, inner) for inner in others]
    told = heat_of_zones((CANVAS, fleece, base, all_over), SHELF, place="").joints
    pairs = {(joint.outer, joint.inner) for joint in told}
    assert {*found, (others[0], others[2]), (others[1], others[2])} == pairs
    assert heat_of_zones((CANVAS, all_over), SHELF, place="") == heat_of_stack((CANVAS, all_over), SHELF, place="")


# Seams


def layers_at(answer, seam_id: str) -> int:
    bulks = bag_bulks(answer.pattern, answer.bag.stacks, SHELF)
    return next(bulk.layers for bulk in bulks if bulk.seam_id == seam_id and bulk.at_mm is None)


def test_zone_is_in_no_seam_allowance_and_under_stitching_only_where_it_reaches():
    """The outside pocket is stitched to lines on the front, above the base."""
    sizes = {**BAGS[TOTE].measurements_mm, "outside_pockets": 1.0}
    bag = replace(with_stacks(BAGS[TOTE], {"outside_pocket": (CANVAS,)}), measurements_mm=sizes)
    plain, on_base, on_face = (
        answer_of(with_stacks(bag, {"outer": layers}))
        for layers in ((CANVAS,), (CANVAS, felt_on("base")), (CANVAS, felt_on("front and back")))
    )
    lines = {line.name for line in plain.pattern.piece("outer").lines}
    across = next(s.id for s in plain.pattern.seams if any(x.piece_id == "outer" and x.edge in lines for x in s.sides))
    assert layers_at(plain, "outer-bottom") == layers_at(on_base, "outer-bottom") == layers_at(on_face, "outer-bottom")
    assert layers_at(on_base, across) == layers_at(plain, across)
    assert layers_at(on_face, across) == layers_at(plain, across) + 1
    thread = [sum(use.thread_mm for use in one.threads) for one in (plain, on_base, on_face)]
    assert thread[0] == thread[1] < thread[2]


# Body


def test_panel_is_told_with_and_without_its_zone():
    answer = answer_with(CANVAS, felt_on("base"))
    face, stacks = face_of(answer), answer.bag.stacks
    base = next(zone for zone in panel_zones(face, answer.pattern, stacks, SHELF) if zone.zone_name)
    assert (base.zone_name, base.added, base.left_out) == ("base", (SHELF.materials["moss-felt"].name,), ())
    with_felt = panel_layers(face, answer.pattern, {**stacks, "outer": (CANVAS, Layer("moss-felt", held=Held.BASTED))})
    assert base.body == stack_body(layer_sheets(with_felt, SHELF))
    (panel,) = [panel for panel in answer.panels if panel.panel_key == "face"]
    (plain,) = [panel for panel in answer_with(CANVAS).panels if panel.panel_key == "face"]
    assert panel.body == plain.body


def test_zone_that_is_most_of_a_panel_counts_as_the_panel_and_the_rest_is_told():
    answer = answer_with(CANVAS, felt_on("front and back"))
    (panel,) = [panel for panel in answer.panels if panel.panel_key == "face"]
    (plain,) = [panel for panel in answer_with(CANVAS).panels if panel.panel_key == "face"]
    assert panel.body.mass_gsm > plain.body.mass_gsm
    rest = next(
        zone for zone in panel_zones(face_of(answer), answer.pattern, answer.bag.stacks, SHELF) if zone.zone_name
    )
    assert rest.left_out == (SHELF.materials["moss-felt"].name,) and rest.added == ()
    assert rest.body == plain.body


def test_front_of_a_low_deep_bag_counts_for_its_face_though_the_base_is_larger():
    sizes = {**BAGS[TOTE].measurements_mm, "height_mm": 120.0, "depth_mm": 320.0, "inside_pockets": 0.0}
    low = replace(tote(CANVAS, felt_on("front and back")), measurements_mm=sizes)
    outer = answer_of(low).pattern.piece("outer")
    front, base, *_ = (zone.region.area_mm2 for zone in outer.zones)
    assert front < base
    stacks = {
        name: answer_of(with_stacks(low, {"outer": (CANVAS, felt_on(name))})) for name in ("front and back", "base")
    }
    thick = {name: answer.panels[0].body.thickness_mm for name, answer in stacks.items()}
    assert thick["front and back"] > thick["base"]


def test_what_lies_behind_a_zone_is_held_to_the_cloth_beside_it():
    web = Layer("woven-fuse", held=Held.FUSED)
    stack = (CANVAS, felt_on("base"), web)
    assert layers_left(stack, {"base"}) == stack
    assert layers_left(stack, set()) == (CANVAS, web)


def test_stack_by_itself_tells_its_zones():
    canvas = {"name": "canvas", "mass_gsm": 340, "thickness_mm": 0.6, "overhang_mm": 50}
    felt = {"name": "felt", "mass_gsm": 300, "thickness_mm": 2, "overhang_mm": 90, "held": "basted"}

    def told(*layers):
        return body_of_file(json.dumps({"layers": layers}).encode())

    both = told(canvas, {**felt, "extent": "zone", "zone": "base"})
    assert both.lengthwise == told(canvas).lengthwise
    assert both.zones == {"base": told(canvas, felt).lengthwise}
    printed = json.loads(json.dumps(body_as_json(both)))
    assert [zone["zone"] for zone in printed["zones"]] == ["base"]
    web = {"name": "web", "mass_gsm": 90, "thickness_mm": 0.3, "overhang_mm": 45, "held": "fused"}
    behind = told(canvas, {**felt, "extent": "zone", "zone": "base"}, {**web, "bond_share": 1})
    assert behind.lengthwise == told(canvas, web).lengthwise
    assert "Base: it stands" in body_in_words(both, UnitSystem.METRIC)
    for wrong in ({"extent": "zone"}, {"zone": "base"}):
        with pytest.raises(FaultyInput) as refused:
            told(canvas, {**felt, **wrong})
        assert [problem.place for problem in refused.value.problems] == ["layers[1].zone"]
    with pytest.raises(FaultyInput) as refused:
        told({**canvas, "extent": "zone", "zone": "base"}, felt)
    assert [problem.place for problem in refused.value.problems] == ["layers[0].extent"]


# Refusals


def price_faults(**layer):
    changed = json.loads(json.dumps(FILE))
    changed["stacks"]["outer"][1] |= layer
    with pytest.raises(FaultyInput) as refused:
        price_of_file(json.dumps(changed).encode())
    return {problem.place: problem for problem in refused.value.problems}


def test_zone_that_is_not_there_rejects_with_those_that_are():
    problem = price_faults(zone="bse")["stacks.outer[1].zone"]
    assert problem.allowed == "front and back; base; left side; right side"
    assert problem.remedy == 'Did you mean "base"?'
    assert price_faults(extent="whole piece").keys() == {"stacks.outer[1].zone"}


def test_outermost_layer_rejects_a_zone():
    pattern = demo_answer(TOTE).pattern
    (problem,) = zone_problems(pattern, {"outer": (felt_on("base"),)})
    assert problem.place == "stacks.outer[0].extent"


def test_own_pieces_reject_a_zone_and_say_why():
    pattern = draft_own(pouch())
    role = pattern.pieces[0].role
    assert pattern.form == OWN_PIECES and zones_of_role(pattern, role) == {}
    (problem,) = zone_problems(pattern, {role: (CANVAS, felt_on("base"))})
    assert "pieces of your own have no bends" in problem.what


def test_page_rejects_an_unknown_zone_and_changes_nothing(desk):
    choices = [LayerChoice("pond-canvas", "whole piece", "loose"), LayerChoice("moss-felt", "zone", "basted", "lid")]
    with pytest.raises(FaultyInput) as refused:
        restack_bag(desk, TOTE, 1, "outer", choices)
    assert [problem.place for problem in refused.value.problems] == ["stacks.outer[1].zone"]
    assert view_bag(desk, TOTE).answer.bag.version == 1


# A zone that goes, papers, swaps


def test_zone_that_vanishes_keeps_its_layer_cuts_none_of_it_and_is_told(desk):
    stack = view_bag(desk, POUCH).answer.bag.stacks["outer"]
    choices = [LayerChoice(one.material_id, one.extent.value, one.held.value) for one in stack]
    choices.append(LayerChoice("moss-felt", "zone", "basted", "base"))
    bag = restack_bag(desk, POUCH, 1, "outer", choices)
    assert any(cut.zone == "base" for cut in view_bag(desk, POUCH).answer.cuts)
    bag = resize_bag(desk, POUCH, bag.version, {"depth_mm": "0"})
    answer = view_bag(desk, POUCH).answer
    assert answer.problems == () and not any(cut.zone for cut in answer.cuts)
    assert lost_zones(answer.pattern, bag.stacks, "outer") == (felt_on("base"),)
    # Other layers can still be changed, and the zone is there again once the base is.
    bag = restack_bag(desk, POUCH, bag.version, "outer", [choices[0], choices[-1]])
    assert bag.stacks["outer"][-1] == felt_on("base")
    resize_bag(desk, POUCH, bag.version, {"depth_mm": "2 in"})
    assert any(cut.zone == "base" for cut in view_bag(desk, POUCH).answer.cuts)


def test_templates_hold_each_zone_once_at_its_size_and_named():
    answer = answer_with(CANVAS, felt_on("base"), felt_on("base"), felt_on("left side"))
    pattern, stacks = answer.pattern, answer.bag.stacks
    to_cut = with_zone_templates(pattern, stacks, SHELF)
    kept = {piece.id for piece in pattern.pieces}
    added = [piece for piece in to_cut.pieces if piece.id not in kept]
    bends = {(bend.start, bend.end) for bend in pattern.piece("outer").bends}
    shown = {(line.start, line.end) for line in to_cut.piece("outer").lines if line.name == "bend"}
    assert len(shown) == 2
    assert all(any({*ends} == {*bend} for bend in bends) for ends in shown)
    assert [piece.name for piece in added] == ["Outer panel: base", "Outer panel: left side"]
    assert added[0].region().area_mm2 == pytest.approx(WIDTH_MM * DEPTH_MM / 2, rel=1e-5)
    assert [(piece.count, piece.grain_deg) for piece in added] == [(4, 90.0), (2, 90.0)]
    names = {piece.name: found for piece, found in pieces_to_cut(pattern, stacks, SHELF)}
    felt = SHELF.materials["moss-felt"].name
    assert added[0].role == felt
    assert names["Outer panel: base"] == (felt, felt) and felt not in names["Outer panel"]


def test_printed_papers_hold_the_zone(desk):
    choices = [LayerChoice("pond-canvas", "whole piece", "loose"), LayerChoice("moss-felt", "zone", "basted", "base")]
    before = len(paper_of_bag(desk, TOTE, "templates-a4.pdf").data)
    restack_bag(desk, TOTE, 1, "outer", choices)
    assert b"Outer panel: base" in paper_of_bag(desk, TOTE, "pieces.svg").data
    assert len(paper_of_bag(desk, TOTE, "templates-a4.pdf").data) > before


def test_swaps_leave_the_layer_of_a_zone_as_it_is(desk):
    choices = [LayerChoice("pond-canvas", "whole piece", "loose"), LayerChoice("moss-felt", "zone", "basted", "base")]
    restack_bag(desk, TOTE, 1, "outer", choices)
    view = view_bag(desk, TOTE)
    found = swaps_of_role(view, "outer")
    assert found.zoned == (felt_on("base"),)
    assert not any(layer.extent is Extent.ZONE for line in found.lines for layer in line.layers)
    (panel,) = [panel for panel in view.answer.panels if panel.panel_key == found.panel.key]
    assert found.now == panel.body
    assert [zone.zone_name for zone in zones_of_panel("face", view) if zone.zone_name] == ["base"]


def test_cut_list_of_a_zone_needs_the_zone():
    """A zone that is not there is left out of what is cut, never cut as something else."""
    pattern = demo_answer(TOTE).pattern
    stacks = {**BAGS[TOTE].stacks, "outer": (CANVAS, felt_on("lid"))}
    assert not any(cut.material_id == "moss-felt" for cut in cut_list(pattern, stacks))
