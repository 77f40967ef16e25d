"""What she types becomes a change, or is refused in words while nothing changes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from bagwright.drafting.forms import FORMS
from bagwright.errors import FaultyInput, NotKept, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.material import Extent, Held, Layer
from bagwright.store.bags import list_bags, load_bag
from bagwright.units import UnitSystem
from bagwright.workflows.bag_changes import (
    LONGEST_NAME,
    MOST_IN_A_RUN,
    MOST_LAYERS,
    LayerChoice,
    copy_bag,
    print_size,
    read_sizes,
    resize_bag,
    restack_bag,
    set_run,
    start_bag,
)
from bagwright.workflows.desk import undo_change, view_bag
from bagwright.workflows.workroom_changes import change_workroom
from tests.workflows.demo_values import POUCH, TOTE

WHOLE, LOOSE = Extent.WHOLE.value, Held.LOOSE.value


def kept(desk, bag_id=TOTE):
    with desk.store() as store:
        return load_bag(store, bag_id)


def everything(desk):
    with desk.store() as store:
        return [load_bag(store, line.id) for line in list_bags(store, with_retired=True)]


def shown_sizes(desk, bag_id=TOTE, workroom=None):
    """The texts of the size form as the page shows them."""
    bag, workroom = kept(desk, bag_id), workroom or Workroom()
    form = FORMS[bag.form]
    sizes = {**form.defaults(), **bag.measurements_mm}
    return {
        **{spec.key: print_size(spec, sizes[spec.key], workroom) for spec in form.measurements},
        "shown_units": workroom.units.value,
        "shown_fraction": str(workroom.fraction),
    }


def faults_of(change):
    with pytest.raises(FaultyInput) as refused:
        change()
    return {problem.place: problem for problem in refused.value.problems}


# Sizes


def test_a_field_left_as_printed_keeps_its_exact_size(desk):
    first = resize_bag(desk, TOTE, 1, {"width_mm": "350 mm"})
    texts = shown_sizes(desk)
    assert (first.measurements_mm["width_mm"], texts["width_mm"]) == (350.0, "13 3/4 in")
    second = resize_bag(desk, TOTE, 2, {**texts, "depth_mm": "5 in"})
    assert (second.measurements_mm["width_mm"], second.measurements_mm["depth_mm"]) == (350.0, 127.0)


def test_it_keeps_its_exact_size_if_the_units_were_changed_in_another_tab(desk):
    resize_bag(desk, TOTE, 1, {"width_mm": "350 mm"})
    texts = shown_sizes(desk)
    change_workroom(desk, 0, {"units": "metric"})
    changed = resize_bag(desk, TOTE, 2, {**texts, "depth_mm": "5"})
    assert changed.measurements_mm["width_mm"] == 350.0
    assert changed.measurements_mm["depth_mm"] == 127.0  # her page showed inches when she typed 5


@pytest.mark.parametrize(
    ("units", "fraction"), [("furlong", "16"), ("inch", "0"), ("inch", "1e9"), ("", ""), ("inch", "²")]
)
def test_units_of_the_page_that_make_no_sense_are_passed_over(desk, units, fraction):
    texts = {"width_mm": "14", "shown_units": units, "shown_fraction": fraction}
    assert resize_bag(desk, TOTE, 1, texts).measurements_mm["width_mm"] == pytest.approx(355.6)


def test_faults_are_collected_and_change_nothing(desk):
    before = everything(desk)
    typed = {"width_mm": "abc", "height_mm": "-3", "depth_mm": "", "strap_width_mm": "1/0", "inside_pockets": "1.5"}
    problems = faults_of(lambda: resize_bag(desk, TOTE, 1, typed))
    assert problems.keys() >= typed.keys() - {"inside_pockets"}
    assert all(problem.remedy and problem.allowed for problem in problems.values())
    assert everything(desk) == before


def test_sizes_that_can_be_read_but_not_made_are_told_by_field(desk):
    before = everything(desk)
    problems = faults_of(lambda: resize_bag(desk, TOTE, 1, {"width_mm": "3 m", "inside_pockets": "1.5"}))
    assert problems.keys() == {"width_mm", "inside_pockets"}
    assert everything(desk) == before


def test_counts_may_be_none(desk):
    assert resize_bag(desk, TOTE, 1, {"inside_pockets": " 0 "}).measurements_mm["inside_pockets"] == 0.0


def test_a_stale_page_changes_nothing_and_says_so_before_any_fault(desk):
    resize_bag(desk, TOTE, 1, {"depth_mm": "4 in"})
    after = everything(desk)
    for change in (
        lambda: resize_bag(desk, TOTE, 1, {"width_mm": "14 in"}),
        lambda: resize_bag(desk, TOTE, 1, {"width_mm": "abc"}),
        lambda: set_run(desk, TOTE, 1, "3"),
        lambda: restack_bag(desk, TOTE, 1, "outer", [LayerChoice("heron-duck", WHOLE, LOOSE)]),
        lambda: undo_change(desk, TOTE, 1),
        lambda: set_run(desk, TOTE, 0, "3"),
        lambda: set_run(desk, TOTE, 99, "3"),
    ):
        with pytest.raises(StaleSave):
            change()
    assert everything(desk) == after


def test_an_unknown_bag_is_not_kept(desk):
    for change in (
        lambda: resize_bag(desk, "no-bag", 0, {}),
        lambda: set_run(desk, "no-bag", 0, "2"),
        lambda: restack_bag(desk, "no-bag", 0, "outer", []),
        lambda: undo_change(desk, "no-bag", 0),
        lambda: copy_bag(desk, "no-bag"),
        lambda: view_bag(desk, "no-bag"),
    ):
        with pytest.raises(NotKept):
            change()


typed_texts = st.one_of(
    st.text(max_size=60),
    st.from_regex(r"[0-9 ./,'\"-]{0,12}(in|cm|mm|yd|m|)", fullmatch=True),
    st.sampled_from(
        ["", "²", "½", "1e9", "NaN", "inf", "٣", "１４", "0x10", "1_000", "9" * 50, "\x00", "1/3", "12,345"]
    ),
)


@pytest.mark.parametrize("units", UnitSystem)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_whatever_is_typed_is_read_or_refused_property(units, data):
    form = FORMS["boxed_tote"]
    texts = data.draw(st.dictionaries(st.sampled_from([spec.key for spec in form.measurements]), typed_texts))
    try:
        sizes = read_sizes(form, texts, {}, replace(Workroom(), units=units))
    except FaultyInput as fault:
        # Two sizes that do not go together may be told beside the one that was left as it is.
        assert {problem.place for problem in fault.problems} <= {spec.key for spec in form.measurements}
        assert texts
    else:
        assert all(isinstance(size, float) and 0 <= size <= 1e9 for size in map(float, sizes.values()))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=typed_texts)
@example("²")
@example("1" * 5000)
@example("١٢")
def test_any_text_for_the_run_is_a_number_of_bags_or_refused_property(desk, text):
    version = kept(desk).version
    try:
        bag = set_run(desk, TOTE, version, text)
    except FaultyInput as fault:
        assert [problem.place for problem in fault.problems] == ["run_count"]
        assert kept(desk).version == version
    else:
        assert 1 <= bag.run_count <= MOST_IN_A_RUN


@pytest.mark.parametrize("text", ["0", "201", "-1", "1.5", "", "two", "1 2", "9" * 30])
def test_rejects_runs_that_nobody_makes(desk, text):
    assert faults_of(lambda: set_run(desk, TOTE, 1, text)).keys() == {"run_count"}


# Undo, copy, start


def test_undo_goes_back_step_by_step_and_then_stays(desk):
    first = kept(desk)
    resize_bag(desk, TOTE, 1, {"width_mm": "14 in"})
    set_run(desk, TOTE, 2, "3")
    assert undo_change(desk, TOTE, 3).run_count == 1
    back = undo_change(desk, TOTE, 4)
    assert replace(back, version=1) == first
    assert not view_bag(desk, TOTE).can_undo
    assert undo_change(desk, TOTE, back.version) == back


def test_a_new_bag_has_nothing_to_undo(desk):
    bag = start_bag(desk, "boxed_tote", "")
    assert not view_bag(desk, bag.id).can_undo
    set_run(desk, bag.id, bag.version, "2")
    assert view_bag(desk, bag.id).can_undo


@pytest.mark.parametrize("form", FORMS)
def test_a_bag_started_from_nothing_has_a_whole_answer(desk, form):
    bag = start_bag(desk, form, "  My   first\tbag ")
    view = view_bag(desk, bag.id)
    assert (bag.name, bag.version) == ("My first bag", 1)
    assert view.answer.problems == ()
    assert view.answer.price


def test_a_bag_without_a_name_is_called_by_its_form(desk):
    assert start_bag(desk, "zip_pouch", " \n ").name == FORMS["zip_pouch"].name


@pytest.mark.parametrize("name", ["x" * (LONGEST_NAME + 1), "bag\x00", "bag\x1b[2J", "\x07"])
def test_rejects_names_that_cannot_be_shown(desk, name):
    before = everything(desk)
    assert faults_of(lambda: start_bag(desk, "boxed_tote", name)).keys() == {"name"}
    assert everything(desk) == before


def test_rejects_a_form_that_is_not_known(desk):
    assert faults_of(lambda: start_bag(desk, "boxed_toto", "x"))["form"].remedy == "Perhaps boxed_tote was meant."


def test_copies_of_copies_keep_a_name_that_fits(desk):
    bag = start_bag(desk, "boxed_tote", "é" * LONGEST_NAME)
    for _ in range(3):
        copy = copy_bag(desk, bag.id)
        assert len(copy.name) <= LONGEST_NAME and copy.name.endswith(" (copy)")
        assert copy.id != bag.id
        assert (copy.measurements_mm, copy.stacks, copy.version) == (bag.measurements_mm, bag.stacks, 1)
        bag = copy


def test_a_name_of_signs_alone_has_an_address(desk):
    bag = start_bag(desk, "boxed_tote", "🧵/../?#")
    assert bag.id.startswith("bag-") and bag.id.replace("-", "").isalnum()


# Layers


def test_layers_are_taken_over_in_their_order(desk):
    choices = [LayerChoice("heron-duck", WHOLE, LOOSE), LayerChoice("cloud-fleece", Extent.NET.value, Held.FUSED.value)]
    bag = restack_bag(desk, TOTE, 1, "outer", choices)
    assert bag.stacks["outer"] == (Layer("heron-duck"), Layer("cloud-fleece", Extent.NET, Held.FUSED))
    assert bag.stacks["lining"] == (Layer("chalk-poplin"),)


@pytest.mark.parametrize("count", [0, MOST_LAYERS + 1, 500])
def test_rejects_too_many_layers_and_none(desk, count):
    choices = [LayerChoice("slate-sewin", WHOLE, LOOSE)] * count
    assert faults_of(lambda: restack_bag(desk, TOTE, 1, "outer", choices)).keys() == {"stacks.outer"}


def test_most_layers_are_answered(desk):
    restack_bag(desk, TOTE, 1, "outer", [LayerChoice("slate-sewin", WHOLE, LOOSE)] * MOST_LAYERS)
    answer = view_bag(desk, TOTE).answer
    assert answer.problems == ()
    assert {len(panel.layer_names) for panel in answer.panels} == {MOST_LAYERS + 1}  # and the lining


def test_every_faulty_layer_is_told(desk):
    before = everything(desk)
    choices = [
        LayerChoice("", WHOLE, LOOSE),
        LayerChoice("heron-duck", "half", LOOSE),
        LayerChoice("mist-fuse", WHOLE, "glued"),
    ]
    assert faults_of(lambda: restack_bag(desk, TOTE, 1, "outer", choices)).keys() == {
        "stacks.outer[0].material_id",
        "stacks.outer[1]",
        "stacks.outer[2]",
    }
    assert everything(desk) == before


@pytest.mark.parametrize(
    ("bag_id", "role", "material_id"),
    [
        (TOTE, "outer", "zip-slider"),
        (TOTE, "lining", "bobbin-thread"),
        (POUCH, "zip_chain", "pond-canvas"),
        (POUCH, "slider", "coil-zip"),
    ],
)
def test_rejects_materials_that_cannot_be_that_part(desk, bag_id, role, material_id):
    problems = faults_of(lambda: restack_bag(desk, bag_id, 1, role, [LayerChoice(material_id, WHOLE, LOOSE)]))
    assert problems.keys() == {f"stacks.{role}[0].material_id"}


def test_rejects_a_second_layer_of_what_is_bought_ready(desk):
    choices = [LayerChoice("coil-zip", WHOLE, LOOSE)] * 2
    assert faults_of(lambda: restack_bag(desk, POUCH, 1, "zip_chain", choices)).keys() == {"stacks.zip_chain"}


def test_rejects_a_role_that_the_form_has_not(desk):
    choices = [LayerChoice("coil-zip", WHOLE, LOOSE)]
    assert faults_of(lambda: restack_bag(desk, TOTE, 1, "cord", choices)).keys() == {"stacks.cord"}


def test_a_change_that_changes_nothing_makes_no_version(desk):
    before = everything(desk)
    assert resize_bag(desk, TOTE, 1, shown_sizes(desk)).version == 1
    assert set_run(desk, TOTE, 1, " 1 ").version == 1
    outer = kept(desk).stacks["outer"]
    choices = [LayerChoice(layer.material_id, layer.extent.value, layer.held.value) for layer in outer]
    assert restack_bag(desk, TOTE, 1, "outer", choices).version == 1
    assert everything(desk) == before


def test_what_cannot_be_read_and_what_cannot_be_made_are_told_together(desk):
    before = everything(desk)
    problems = faults_of(lambda: resize_bag(desk, TOTE, 1, {"width_mm": "abc", "height_mm": "9 m", "depth_mm": "-3"}))
    assert problems.keys() == {"width_mm", "height_mm", "depth_mm"}
    assert problems["height_mm"].value == "9 m"
    assert everything(desk) == before


def test_nothing_is_a_size_where_the_form_allows_it(desk):
    assert resize_bag(desk, POUCH, 1, {"depth_mm": "0"}).measurements_mm["depth_mm"] == 0.0
