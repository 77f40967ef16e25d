"""What can be added to a bag, and the order of work, on its page."""

from __future__ import annotations

import pytest

from tests.web.bag_on_page import BagOnPage
from tests.web.html import fields, invalid_fields, read
from tests.workflows.demo_values import BAGS, TOTE


def size_form(bag: BagOnPage) -> dict[str, str]:
    return fields(bag.html(), f"{bag.path}/size")


def test_added_pocket_shows_its_sizes_and_a_removed_one_hides_them(client):
    bag = BagOnPage(client, TOTE)
    assert {"inside_pockets", "pocket_width_mm"} <= size_form(bag).keys()
    assert bag.post("size", inside_pockets="0").status_code == 303
    assert "inside_pockets" in size_form(bag)
    assert "pocket_width_mm" not in size_form(bag)
    assert "Hem the top of the pocket" not in bag.html()
    bag.post("size", inside_pockets="1")
    assert size_form(bag)["pocket_width_mm"] == "7 in"
    assert "Hem the top of the pocket" in bag.html()


def test_pocket_added_to_a_small_bag_takes_a_size_that_fits(client):
    bag = BagOnPage(client, TOTE)
    bag.post("size", inside_pockets="0")
    assert bag.post("size", width_mm="5 in", strap_spacing_mm="3 in", depth_mm="2 in").status_code == 303
    assert bag.post("size", inside_pockets="1").status_code == 303
    assert size_form(bag)["pocket_width_mm"] == "4 in"


def test_size_that_does_not_fit_rejects_beside_its_field(client):
    bag = BagOnPage(client, TOTE)
    answer = bag.post("size", pocket_width_mm="20 in")
    assert answer.status_code == 422
    assert invalid_fields(answer.text) == {"pocket_width_mm"}


@pytest.mark.parametrize("bag_id", BAGS)
def test_order_of_work_is_one_numbered_list_over_all_stages(client, bag_id):
    page = read(client.get(f"/bags/{bag_id}").text)
    starts = [int(str(attributes["start"])) for tag, attributes in page.tags if tag == "ol" and "start" in attributes]
    assert starts[0] == 1
    assert starts == sorted(set(starts))
