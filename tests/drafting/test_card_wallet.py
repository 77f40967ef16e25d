"""The folded card wallet: cards go in and show, pockets come in the right number, corners stay clear."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.drafting.cards import CARD_HEIGHT_MM, CARD_LIFT_MM, CARD_WIDTH_MM, corner_lift_mm, roundest_corner_mm
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.geometry.region import Region
from bagwright.model.piece import Mirror
from tests.drafting.measurement_strategies import measurements
from tests.drafting.test_forms import refusal

WALLETS = measurements(FORMS["card_wallet"])


@settings(max_examples=60, deadline=None)
@given(WALLETS)
def test_card_property_goes_into_every_pocket_and_shows(sizes):
    inside = draft_bag("card_wallet", sizes).piece("inside")
    net, width = inside.net.region(side="left"), sizes["closed_width_mm"]
    held_up = corner_lift_mm(sizes["corner_radius_mm"], width - CARD_WIDTH_MM)
    assert held_up <= CARD_LIFT_MM + 1e-6
    feet = [line.start[1] for line in inside.lines if line.name.startswith("foot") and line.name.endswith("left")]
    assert len(feet) == sizes["card_pockets"] - 1
    for foot in [0.0, *feet]:
        # Pushed to the spine; a rounded corner may hold the card of the front pocket up a little.
        lift = held_up if foot == 0.0 else 0.0
        card = Region.rectangle((width - CARD_WIDTH_MM, foot + lift), (width, foot + lift + CARD_HEIGHT_MM))
        assert net.holds(card, slack_mm=0.05)


@settings(max_examples=60, deadline=None)
@given(WALLETS)
def test_pockets_property_come_in_the_number_asked(sizes):
    pattern = draft_bag("card_wallet", sizes)
    front, backs = pattern.piece("front_pocket"), [p for p in pattern.pieces if p.id == "back_pocket"]
    assert (front.count, front.mirror) == (2, Mirror.PAIRS)
    assert sum(p.count for p in backs) == 2 * (sizes["card_pockets"] - 1)
    for back in backs:
        assert back.fold_edge == "top"
        assert back.region().height_mm == pytest.approx(
            2 * (CARD_HEIGHT_MM - sizes["pocket_step_mm"] + sizes["seam_allowance_mm"]), abs=0.01
        )


@settings(max_examples=60, deadline=None)
@given(WALLETS)
def test_front_pocket_property_follows_the_corner_of_the_inside(sizes):
    pattern = draft_bag("card_wallet", sizes)
    inside, front = pattern.piece("inside").net, pattern.piece("front_pocket").net
    assert inside.region(side="right").holds(front.region(side="left"), slack_mm=0.01)
    if sizes["corner_radius_mm"]:
        assert front.edge("corner").length_mm == pytest.approx(math.pi / 2 * sizes["corner_radius_mm"])
        for end in (0.0, front.edge("corner").length_mm):
            assert front.edge("corner").at(end) == pytest.approx(inside.edge("corner_bottom_left").at(end), abs=1e-6)


@given(st.floats(4, 60))
def test_roundest_corner_agrees_with_the_circle_it_rests_on(room_mm):
    """The card's corner, `room_mm` from the side and lifted, lies on the arc of that radius and not outside it."""
    radius = roundest_corner_mm(room_mm)
    assert math.hypot(radius - room_mm, radius - CARD_LIFT_MM) == pytest.approx(radius)
    assert corner_lift_mm(radius, room_mm) == pytest.approx(CARD_LIFT_MM)


@pytest.mark.parametrize(
    ("field", "sizes"),
    [
        ("closed_width_mm", {"closed_width_mm": 86.0}),
        ("height_mm", {"height_mm": 75.0}),
        ("height_mm", {"height_mm": 57.5, "card_pockets": 1, "closed_width_mm": 89.6, "corner_radius_mm": 9.5}),
        ("corner_radius_mm", {"corner_radius_mm": 14.0, "card_pockets": 1, "closed_width_mm": 90.0}),
        ("corner_radius_mm", {"corner_radius_mm": 14.0, "pocket_step_mm": 8.0}),
        ("corner_radius_mm", {"corner_radius_mm": 0.4}),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_field(field, sizes):
    assert set(refusal("card_wallet", sizes)) == {field}
