"""Grab handles and loops: where they are caught, how they lie, and what they refuse."""

from __future__ import annotations

import math
import random

import pytest

from bagwright.drafting import cautions
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.handles import MARGIN_MM
from bagwright.drafting.straps import LEAST_DROP_MM
from bagwright.model.pattern import Pattern, Seam, SeamSide
from tests.drafting.measurement_strategies import random_sizes
from tests.drafting.test_forms import refusal

HANDLED = [key for key, form in FORMS.items() if any(s.key == "grab_handle" for s in form.measurements)]
LOOPED = [key for key, form in FORMS.items() if any(s.key == "loop" for s in form.measurements)]
TRIES = 25


def drawn_with(form: str, count_key: str) -> list[Pattern]:
    chance = random.Random(form)
    found: list[Pattern] = []
    while len(found) < TRIES:
        sizes = random_sizes(FORMS[form], chance)
        if sizes[count_key]:
            found.append(draft_bag(form, sizes))
    return found


def caught(pattern: Pattern, piece_id: str) -> list[tuple[Seam, SeamSide, SeamSide]]:
    """Joining seams of the ends of a piece: seam, side of the first other piece, side of the end."""
    found = []
    for seam in pattern.seams:
        ends = [s for s in seam.sides if s.piece_id == piece_id and s.edge.startswith("end_")]
        if seam.kind.joins and ends:
            host = next(s for s in seam.sides if s.piece_id != piece_id)
            found += [(seam, host, end) for end in ends]
    return found


def test_handles_and_loops_property_are_offered_where_there_is_no_pair_of_straps_for_the_hand():
    assert {"gusset_bag", "flap_bag"} <= set(HANDLED)
    assert {"backpack", "bucket_bag", "drawstring_bag", "zip_pouch"} <= set(LOOPED)


@pytest.mark.parametrize("form", HANDLED)
def test_handle_property_lies_in_the_middle_of_the_back_as_far_apart_as_asked(form):
    for pattern in drawn_with(form, "grab_handle"):
        sizes = pattern.measurements_mm
        middles = sorted({(host.from_mm + host.to_mm) / 2 for _, host, _ in caught(pattern, "handle")})
        top = pattern.piece("outer").edge("top").length_mm
        low, high = middles[0], middles[-1]
        assert high - low == pytest.approx(sizes["handle_spacing_mm"], abs=sizes["handle_width_mm"])
        assert low + high == pytest.approx(top, abs=1e-6)
        assert all(host.copy == 2 and host.edge == "top" for _, host, _ in caught(pattern, "handle"))
        ends = [at for _, host, _ in caught(pattern, "handle") for at in (host.from_mm, host.to_mm)]
        assert min(ends) >= MARGIN_MM - 1e-6 and max(ends) <= top - MARGIN_MM + 1e-6


@pytest.mark.parametrize("form", HANDLED)
def test_handle_property_leaves_room_for_a_hand(form):
    for pattern in drawn_with(form, "grab_handle"):
        sizes = pattern.measurements_mm
        # Pulled into a V: Pythagoras on half the handle and half of what is between its ends.
        drop = math.sqrt((sizes["handle_length_mm"] / 2) ** 2 - (sizes["handle_spacing_mm"] / 2) ** 2)
        assert drop >= LEAST_DROP_MM - 1e-6


@pytest.mark.parametrize("form", LOOPED)
def test_loop_property_has_both_ends_in_one_place_one_under_the_other(form):
    for pattern in drawn_with(form, "loop"):
        found = caught(pattern, "loop")
        low, high = (f(at for _, h, _ in found for at in (h.from_mm, h.to_mm)) for f in (min, max))
        assert high - low == pytest.approx(pattern.measurements_mm["loop_width_mm"], abs=1e-6)
        per_end = {
            edge: sum(e.sewn_length_mm for _, _, e in found if e.edge == edge) for edge in ("end_one", "end_two")
        }
        assert per_end["end_one"] == pytest.approx(per_end["end_two"])
        if pattern.piece("loop").is_bought:
            for seam in {seam.id: seam for seam, _, _ in found}.values():
                ways = {s.edge: s.to_mm > s.from_mm for s in seam.sides if s.piece_id == "loop"}
                assert ways["end_one"] != ways["end_two"]


def test_wrist_loop_property_lies_as_far_below_the_zip_as_asked():
    for pattern in drawn_with("zip_pouch", "loop"):
        sizes = pattern.measurements_mm
        side = pattern.piece("outer").edge("right").length_mm
        highest = max(max(h.from_mm, h.to_mm) for _, h, _ in caught(pattern, "loop"))
        assert side - highest == pytest.approx(sizes["loop_below_top_mm"], abs=1e-6)


@pytest.mark.parametrize(
    ("form", "key", "piece_id"), [(f, "grab_handle", "handle") for f in HANDLED] + [(f, "loop", "loop") for f in LOOPED]
)
def test_ends_property_are_basted_before_anything_is_sewn_over_them(form, key, piece_id):
    pattern = draft_bag(form, {key: 1.0})
    based = [seam.order for seam in pattern.seams if seam.id.startswith(f"{piece_id}-ends")]
    assert based and max(based) < min(seam.order for seam, _, _ in caught(pattern, piece_id))
    assert cautions.STRAP_LOAD in pattern.cautions
    made = [s.order for s in pattern.seams if s.id.startswith(piece_id) and "ends" not in s.id]
    assert max(made) < min(based)


def test_handle_under_a_flap_property_is_held_before_the_flap():
    """So that it comes out of the seam on the outside of the flap."""
    pattern = draft_bag("flap_bag", {"grab_handle": 1.0})
    orders = {
        name: min(s.order for s in pattern.seams if s.id.startswith(name)) for name in ("handle-ends", "flap-top")
    }
    assert orders["handle-ends"] < orders["flap-top"]


@pytest.mark.parametrize(
    ("form", "field", "sizes"),
    [
        ("gusset_bag", "handle_spacing_mm", {"grab_handle": 1.0, "handle_spacing_mm": 30.0}),
        ("gusset_bag", "handle_spacing_mm", {"grab_handle": 1.0, "width_mm": 200.0, "handle_spacing_mm": 180.0}),
        ("gusset_bag", "handle_length_mm", {"grab_handle": 1.0, "handle_length_mm": 110.0}),
        ("bucket_bag", "loop_width_mm", {"loop": 1.0, "strap_spacing_mm": 50.0, "loop_width_mm": 20.0}),
        ("bucket_bag", "loop", {"loop": 1.0, "strap_spacing_mm": 32.0}),
        ("zip_pouch", "loop_below_top_mm", {"loop": 1.0, "loop_below_top_mm": 140.0}),
    ],
)
def test_handles_that_do_not_fit_rejects_with_field(form, field, sizes):
    allowed = refusal(form, sizes)
    assert set(allowed) == {field}
    assert allowed[field].startswith(("at most", "at least", "0 with"))
    assert draft_bag(form, {**sizes, "grab_handle": 0.0} if "grab_handle" in sizes else {**sizes, "loop": 0.0})
