"""Every form: whatever it accepts is sound; what it refuses, it refuses with the field and a value that works."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import prove_sound
from bagwright.errors import FaultyInput
from bagwright.model.pattern import Pattern
from bagwright.model.piece import EdgeUse
from tests.drafting.measurement_strategies import measurements

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


def seam_edges(pattern: Pattern) -> set[tuple[str, str]]:
    return {(p.id, name) for p in pattern.pieces for name, use in p.edge_use.items() if use is EdgeUse.SEAM}


@settings(max_examples=40, deadline=None)
@given(ALL_FORMS)
def test_seam_starts_property_lie_at_the_same_corner_of_whole_edges(form_and_sizes):
    """Along a chain of whole-edge seams that share a corner, corners of the pieces come together consistently.

    Every whole-edge seam glues the end points of its sides pairwise; no glueing may bring the two ends of one edge
    together, which is what a seam walked the wrong way round would do. Edges sewn folded on themselves are left out.
    """
    form, sizes = form_and_sizes
    pattern = draft_bag(form, sizes)
    glued: dict[tuple, tuple] = {}

    def root(corner: tuple) -> tuple:
        while glued.get(corner, corner) != corner:
            corner = glued[corner]
        return corner

    def corner(side, at_mm: float) -> tuple:
        x, y = pattern.piece(side.piece_id).edge(side.edge).at(at_mm)
        return side.piece_id, side.copy, round(x, 2), round(y, 2)

    for seam in pattern.seams:
        places = [(side.piece_id, side.copy, side.edge) for side in seam.sides]
        folded = len(set(places)) < len(places) or any(side.folds > 1 for side in seam.sides)
        if seam.kind.joins and not folded:
            for end in ("from_mm", "to_mm"):
                first, *others = (corner(side, getattr(side, end)) for side in seam.sides)
                for other in others:
                    glued[root(other)] = root(first)
    for piece in pattern.pieces:
        for copy in range(1, piece.count + 1):
            for edge in piece.net.edges:
                if piece.edge_use[edge.name] is EdgeUse.SEAM and edge.length_mm > 0.5:
                    ends = [(piece.id, copy, round(x, 2), round(y, 2)) for x, y in (edge.start, edge.end)]
                    assert root(ends[0]) != root(ends[1]), (piece.id, copy, edge.name)
