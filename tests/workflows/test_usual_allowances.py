"""Her usual allowances: kept in the workroom, taken by every new bag that they fit, told at the bag."""

from __future__ import annotations

import json

import pytest
from pydantic import ValidationError

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.metric_start import in_whole_millimetres
from bagwright.drafting.usual_allowances import ALLOWANCES, allowance_of, with_usual_allowances
from bagwright.model.bag import Workroom
from bagwright.workflows.bag_changes import start_bag
from bagwright.workflows.own_drawing import Answers, start_settings, usual_allowance
from bagwright.workflows.tell_price import price_as_json, price_of_file
from bagwright.workflows.tell_time import time_of_file
from bagwright.workflows.usual_allowances import allowance_origin, allowances_taken, usual_seam_mm
from bagwright.workflows.workroom_changes import _LENGTHS_MM, change_workroom, shown, the_workroom
from bagwright.workflows.workroom_words import WorkroomWords, workroom_from
from tests.json_doc import examples


@pytest.mark.parametrize("name", ALLOWANCES)
def test_the_workroom_takes_what_any_form_takes(name):
    specs = [spec for form in FORMS.values() for spec in form.measurements if allowance_of(spec.key) == name]
    assert _LENGTHS_MM[name] == (min(s.low_mm for s in specs), max(s.high_mm for s in specs))
    low_mm, high_mm = _LENGTHS_MM[name]
    for size_mm in (low_mm, high_mm):
        assert getattr(WorkroomWords.model_validate({name: size_mm}), name) == size_mm
    for size_mm in (low_mm - 0.1, high_mm + 0.1):
        with pytest.raises(ValidationError):
            WorkroomWords.model_validate({name: size_mm})


def test_every_form_starts_with_them_where_they_fit_property():
    """Each is either hers or the form's own; what comes of it is accepted and proved sound at both ends."""
    for end in (0, 1):
        usual_mm = {name: _LENGTHS_MM[name][end] for name in ALLOWANCES}
        for form in FORMS.values():
            taken = with_usual_allowances(form, {}, usual_mm)
            assert all(size == usual_mm[allowance_of(key)] for key, size in taken.items())
            assert not any(taken.values()) or draft_bag(form.key, taken).pieces


def test_what_the_bag_itself_says_stands_and_what_does_not_fit_is_left_out():
    wallet, tote = FORMS["card_wallet"], FORMS["boxed_tote"]
    assert with_usual_allowances(wallet, {}, {"seam_allowance_mm": 15.0}) == {}
    assert (
        with_usual_allowances(tote, {"seam_allowance_mm": 7.0}, {"seam_allowance_mm": 15.0})["seam_allowance_mm"] == 7
    )
    # The corners of a tote 25 mm deep are smaller than two allowances of 20 mm.
    narrow = with_usual_allowances(tote, {"depth_mm": 25.0}, {"seam_allowance_mm": 20.0, "top_allowance_mm": 20.0})
    assert narrow == {"depth_mm": 25.0, "top_allowance_mm": 20.0}


def test_a_new_bag_takes_them_and_those_there_stay_as_they_are(desk):
    before = start_bag(desk, "boxed_tote", "Before")
    typed = {"seam_allowance_mm": "1/2 in", "zip_allowance_mm": "8 mm", "top_allowance_mm": ""}
    assert change_workroom(desk, the_workroom(desk).version, typed).top_allowance_mm is None
    bag = start_bag(desk, "boxed_tote", "After")
    sizes = bag.measurements_mm
    assert (sizes["seam_allowance_mm"], sizes["zip_pocket_zip_allowance_mm"]) == (12.7, 8.0)
    assert sizes["top_allowance_mm"] == before.measurements_mm["top_allowance_mm"] == 12.7
    assert before.measurements_mm["seam_allowance_mm"] == 9.525
    assert set(sizes) == set(before.measurements_mm)


@pytest.mark.parametrize("form", FORMS)
def test_sizes_to_start_from_are_read_off_a_metric_ruler_property(form):
    """Rounded, they are still a bag of that form, proved sound, and no more than half a step from the usual ones."""
    spec = FORMS[form]
    sizes = in_whole_millimetres(spec, spec.defaults())
    made = draft_bag(form, sizes).measurements_mm
    usual, own = spec.defaults(), spec.own_measurements
    assert all(made[one.key] == round(made[one.key]) for one in own if one.room is None and not one.is_count)
    assert all(abs(made[one.key] - usual[one.key]) <= 2.5 for one in own if one.room is None)


def test_a_metric_workroom_starts_bags_in_whole_millimetres_with_her_allowances_as_they_are(desk):
    change_workroom(desk, 0, {"units": "metric", "seam_allowance_mm": "7.5 mm"})
    sizes = start_bag(desk, "boxed_tote", "Metric").measurements_mm
    assert (sizes["width_mm"], sizes["top_allowance_mm"], sizes["seam_allowance_mm"]) == (330.0, 13.0, 7.5)


def test_small_lengths_of_a_metric_workroom_are_shown_and_typed_in_millimetres(desk):
    room = change_workroom(desk, 0, {"units": "metric"})
    assert [shown(room, name) for name in ("stitch_length_mm", "takes_mm", "layout_gap_mm")] == ["3 mm", "6 mm", "0 mm"]
    changed = change_workroom(desk, room.version, {"stitch_length_mm": "2,5", "layout_gap_mm": "2", "takes_mm": "1 cm"})
    assert (changed.stitch_length_mm, changed.layout_gap_mm, changed.takes_mm) == (2.5, 2.0, 10.0)


def test_they_are_taken_away_again_by_an_empty_field(desk):
    kept = change_workroom(desk, 0, {"strap_turn_mm": "5 cm"})
    assert kept.strap_turn_mm == 50.0
    assert change_workroom(desk, kept.version, {"strap_turn_mm": " "}).strap_turn_mm is None


def test_where_an_allowance_comes_from_is_told_in_both_units():
    seam = next(spec for spec in FORMS["card_wallet"].measurements if spec.key == "seam_allowance_mm")
    room = Workroom(seam_allowance_mm=12.7)
    assert allowance_origin(seam, 12.7, room) == "Your usual one, kept in the workroom: 12.7 mm (1/2 in)."
    outside = "This bag has 6.35 mm (1/4 in); your usual 12.7 mm (1/2 in) is outside what this form takes."
    assert allowance_origin(seam, 6.35, room) == outside
    assert allowance_origin(seam, 8.0, Workroom()) == "Chosen for this bag: 8 mm (about 5/16 in)."


def test_pieces_of_her_own_start_with_hers():
    room = Workroom(seam_allowance_mm=12.7)
    assert (usual_seam_mm(room), usual_allowance(room), usual_seam_mm(Workroom())) == (12.7, "1/2 in", 9.525)
    settings = start_settings(Answers(), units=room.units, usual_mm=usual_seam_mm(room))
    assert settings.allowance_mm == 12.7


def test_a_file_takes_them_where_its_bag_gives_none():
    room = workroom_from(WorkroomWords(seam_allowance_mm=12.7))
    assert allowances_taken("boxed_tote", {"width_mm": 300.0}, room) == {"width_mm": 300.0, "seam_allowance_mm": 12.7}
    assert allowances_taken("no such form", {"width_mm": 300.0}, room) == {"width_mm": 300.0}
    given = {"seam_allowance_mm": 8.0}
    assert allowances_taken("boxed_tote", given, room) == given


@pytest.mark.parametrize(("command", "tell"), [("price", price_of_file), ("time", time_of_file)])
def test_a_file_reckons_with_them_as_if_the_bag_had_said_so(command, tell):
    """The documented file without an allowance of its own, with hers in the workroom and with the same in the bag."""
    file = next(example.file for example in examples() if example.command == command)
    sizes = {key: size for key, size in file.get("measurements_mm", {}).items() if not allowance_of(key)}
    bare = (
        {**file, "measurements_mm": sizes, "seconds": 0} if command == "price" else {**file, "measurements_mm": sizes}
    )
    wide = {**sizes, "seam_allowance_mm": 12.0}
    hers, said, neither = (
        answered(tell, one)
        for one in (
            {**bare, "workroom": {**file.get("workroom", {}), "seam_allowance_mm": 12.0}},
            {**bare, "measurements_mm": wide},
            bare,
        )
    )
    assert hers == said != neither


def answered(tell, file):
    told = tell(json.dumps(file).encode())
    return price_as_json(told)["layouts"] if tell is price_of_file else told.time.minutes
