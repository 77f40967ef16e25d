"""Sizes that only some bags use: rooms that other sizes leave, choices, and what is refused."""

import pytest

from bagwright.drafting.form_spec import AddOn, FormSpec
from bagwright.drafting.forms import FORMS, accept_measurements, draft_bag
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Choice, Room, count_spec, size_spec
from bagwright.errors import BrokenPromise, FaultyInput

PATCH = AddOn(
    key="patch",
    name="Patch",
    measurements=(
        count_spec("patch", "Patch", "Whether there is a patch.", (0, 0, 2), choices=("none", "round", "square")),
        size_spec(
            "patch_mm",
            "Patch size",
            "Across the patch.",
            (10, 100, 200),
            needs=Choice("patch"),
            room=Room(("width_mm",), lambda s: (0.0, s["width_mm"] / 2), "is too small", "is too wide for the bag"),
        ),
        size_spec("corner_mm", "Corner", "Of a square patch.", (5, 5, 9), needs=Choice("patch", (2,))),
    ),
    add=lambda making, sizes: making,
)
FORM = FormSpec(
    key="sack",
    name="Sack",
    summary="A sack.",
    own_measurements=(size_spec("width_mm", "Width", "Across.", (10, 300, 900)),),
    begin=lambda sizes: Making(pieces=(), steps=()),
    add_ons=(PATCH,),
)


def problems(sizes):
    with pytest.raises(FaultyInput) as caught:
        accept_measurements(FORM, sizes)
    return {problem.place: problem for problem in caught.value.problems}


def test_default_is_brought_into_the_room():
    assert accept_measurements(FORM, {"patch": 1.0, "width_mm": 80.0})["patch_mm"] == 40.0
    assert accept_measurements(FORM, {"patch": 1.0})["patch_mm"] == 100.0


def test_typed_size_rejects_with_the_largest_that_fits():
    found = problems({"patch": 1.0, "patch_mm": 60.0, "width_mm": 80.0})
    assert found.keys() == {"patch_mm"}
    assert found["patch_mm"].allowed.startswith("at most 40 mm")


def test_size_of_what_is_not_added_waits_where_it_would_fit():
    assert accept_measurements(FORM, {"patch": 0.0, "patch_mm": 190.0, "width_mm": 80.0})["patch_mm"] == 40.0


def test_addition_that_fits_nowhere_rejects_itself():
    found = problems({"patch": 1.0, "width_mm": 15.0})
    assert [(p.place, p.allowed) for p in found.values()] == [("patch", "0 with the other sizes as they are")]


def test_faulty_other_size_is_told_alone():
    assert problems({"patch": 1.0, "patch_mm": 60.0, "width_mm": -1.0}).keys() == {"width_mm"}


def test_used_sizes_are_those_of_what_is_chosen():
    def used(**chosen):
        return FORM.used(accept_measurements(FORM, chosen)).keys()

    assert used() == {"width_mm"}
    assert used(patch=1.0) == {"width_mm", "patch", "patch_mm"}
    assert used(patch=2.0) == {"width_mm", "patch", "patch_mm", "corner_mm"}


def test_choices_are_told_by_number_and_word():
    assert problems({"patch": 3.0})["patch"].allowed == "0 (none), 1 (round), 2 (square)"


@pytest.mark.parametrize("form", FORMS)
def test_keys_property_are_told_apart_and_what_they_need_is_there(form):
    keys = [spec.key for spec in FORMS[form].measurements]
    assert len(keys) == len(set(keys))
    for spec in FORMS[form].measurements:
        assert not spec.needs or spec.needs.key in keys
        assert not spec.room or set(spec.room.keys) <= set(keys)
        assert not spec.choices or len(spec.choices) == spec.high_mm - spec.low_mm + 1


@pytest.mark.parametrize("form", FORMS)
def test_each_addition_property_can_be_made_with_nothing_else_typed(form):
    """At the usual sizes of its form every kind of it fits, or is refused on its own count."""
    for add_on in FORMS[form].add_ons:
        choice = add_on.measurements[0]
        for value in range(1, int(choice.high_mm) + 1):
            assert draft_bag(form, {choice.key: float(value)})


def test_making_rejects_what_is_not_there():
    making = FORMS["boxed_tote"].begin(FORMS["boxed_tote"].defaults())
    with pytest.raises(BrokenPromise):
        making.piece("hat")
    with pytest.raises(BrokenPromise):
        making.line("hat:0")
