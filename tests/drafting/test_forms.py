"""Every form: whatever it accepts is sound; what it refuses, it refuses with the field and a value that works."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import prove_sound
from bagwright.errors import FaultyInput
from bagwright.model.pattern import Seam
from tests.drafting.measurement_strategies import measurements
from tests.drafting.twists import edges_closed_on_themselves

ALL_FORMS = st.sampled_from(sorted(FORMS)).flatmap(lambda key: st.tuples(st.just(key), measurements(FORMS[key])))


def refusal(form: str, sizes: dict[str, float]) -> dict[str, str]:
    with pytest.raises(FaultyInput) as caught:
        draft_bag(form, sizes)
    return {problem.place: problem.allowed for problem in caught.value.problems}


@settings(max_examples=300, deadline=None)
@given(ALL_FORMS)
def test_every_accepted_size_property_sound(form_and_sizes):
    form, sizes = form_and_sizes
    verdict = prove_sound(draft_bag(form, sizes))
    assert verdict.passed, verdict.faults


@settings(max_examples=60, deadline=None)
@given(ALL_FORMS)
def test_what_is_cut_property_is_never_less_than_the_net_area(form_and_sizes):
    form, sizes = form_and_sizes
    for piece in draft_bag(form, sizes).pieces:
        doubled = 2 if piece.fold_edge else 1
        assert piece.region().area_mm2 >= doubled * piece.net.area_mm2 - 1e-3


@pytest.mark.parametrize("form", FORMS)
def test_defaults_property_draft_a_full_pattern(form):
    pattern = draft_bag(form, {})
    roles = {role.key for role in FORMS[form].roles}
    assert {piece.role for piece in pattern.pieces} | {notion.role for notion in pattern.notions} <= roles
    assert any(piece.notches for piece in pattern.pieces)
    assert pattern.cautions
    assert pattern.form == form
    assert dict(pattern.measurements_mm) == FORMS[form].defaults()


@pytest.mark.parametrize("form", FORMS)
def test_specs_property_are_plain_and_their_defaults_lie_in_range(form):
    keys = [spec.key for spec in FORMS[form].measurements]
    assert len(set(keys)) == len(keys)
    for spec in FORMS[form].measurements:
        assert spec.low_mm <= spec.default_mm <= spec.high_mm
        assert spec.meaning.endswith(".") and spec.label
        assert spec.is_count != spec.key.endswith("_mm")


@pytest.mark.parametrize("form", FORMS)
def test_registry_property_is_named_by_its_own_keys(form):
    assert FORMS[form].key == form
    with pytest.raises(TypeError):
        FORMS[form] = FORMS[form]  # type: ignore[index]  # the point is that it cannot be written


def test_unknown_form_rejects_with_those_there_are():
    assert set(refusal("hat box", {})["form"].split(", ")) == set(FORMS)


@pytest.mark.parametrize("form", FORMS)
def test_unknown_key_rejects_with_those_there_are(form):
    allowed = refusal(form, {"brim_mm": 30.0})["brim_mm"]
    assert set(allowed.split(", ")) == {spec.key for spec in FORMS[form].measurements}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, -1.0, 1e9])
def test_every_measurement_rejects_what_is_no_size(form, value):
    for spec in FORMS[form].measurements:
        assert spec.key in refusal(form, {spec.key: value})


@pytest.mark.parametrize("form", FORMS)
def test_every_measurement_rejects_just_outside_its_range(form):
    for spec in FORMS[form].measurements:
        assert spec.key in refusal(form, {spec.key: spec.low_mm - 0.01})
        assert spec.key in refusal(form, {spec.key: spec.high_mm + 0.01})


def test_all_faults_rejects_at_once():
    places = refusal(
        "boxed_tote",
        {"width_mm": 100.0, "heigth_mm": 3.0, "depth_mm": math.nan, "inside_pockets": 0.5, "strap_spacing_mm": 400.0},
    )
    assert set(places) == {"heigth_mm", "depth_mm", "inside_pockets", "strap_spacing_mm"}


@settings(max_examples=40, deadline=None)
@given(ALL_FORMS)
def test_seam_starts_property_lie_on_one_another(form_and_sizes):
    assert not edges_closed_on_themselves(draft_bag(*form_and_sizes))


def turned_round(seam: Seam) -> Seam:
    first, *others = seam.sides
    return replace(seam, sides=(first, *(replace(s, from_mm=s.to_mm, to_mm=s.from_mm) for s in others)))


@pytest.mark.parametrize(
    ("form", "seam_id"),
    [
        ("boxed_tote", "outer-sides-1"),
        ("boxed_tote", "outer-bottom"),
        ("boxed_tote", "lining-sides-2"),
        ("zip_pouch", "outer-bottom"),
        ("zip_pouch", "lining-sides-1"),
        ("card_wallet", "feet-1"),
    ],
)
def test_seam_starts_rejects_a_side_walked_the_wrong_way_round(form, seam_id):
    good = draft_bag(form, {"card_pockets": 2.0} if form == "card_wallet" else {})
    wrong = tuple(turned_round(seam) if seam.id == seam_id else seam for seam in good.seams)
    assert edges_closed_on_themselves(replace(good, seams=wrong))
