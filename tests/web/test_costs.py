"""The page of running costs: typed, kept, told on every price; faults beside their field."""

from __future__ import annotations

from decimal import Decimal

from bagwright.model.running_costs import LastsFor, ScrapsCount, SharedBy, StuckAt, SupplyKind
from bagwright.workflows.desk import view_bag
from bagwright.workflows.workroom_changes import the_workroom
from tests.web.html import fields, invalid_fields, read
from tests.workflows.demo_values import POUCH

PATH = "/workroom/costs"
TYPED = {
    "month_0_name": "Rent",
    "month_0_amount": "290",
    "shared_by": "bags",
    "bags_a_month": "40",
    "needles_price": "0.80",
    "needles_lasts": "8 h",
    "needles_for": "minutes sewn",
    "double_sided_tape_price": "3.60",
    "double_sided_tape_lasts": "20 m",
    "labels_and_tags_price": "0.25",
    "glue_price": "0",
    "own_0_name": "Dust bag",
    "own_0_price": "1.10",
    "scraps_count": "nothing",
    "stale_after_days": "90",
}


def form(client):
    """As a browser sends it: of the boxes only those that are ticked."""
    page = client.get(PATH).text
    boxes = {a["name"]: "checked" in a for tag, a in read(page).tags if tag == "input" and a.get("type") == "checkbox"}
    return {name: value for name, value in fields(page, PATH).items() if boxes.get(name, True)}


def test_typed_costs_are_kept_and_move_every_price(client, desk):
    page = client.get(f"/bags/{POUCH}").text
    assert "Not counted: needles, blades, double-sided tape, glue" in page
    assert 'href="/workroom/costs"' in page
    before = view_bag(desk, POUCH).answer
    answer = client.post(PATH, data={**form(client), **TYPED})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{PATH}?saved")
    room = the_workroom(desk)
    assert (room.overhead.shared_by, room.overhead.bags_a_month) == (SharedBy.BAGS, 40)
    supplies = {one.name: one for one in room.small_supplies}
    assert {name: (one.kind, one.lasts, one.lasts_for) for name, one in supplies.items()} == {
        "needles": (SupplyKind.NEEDLE, 480, LastsFor.SEWN_MINUTES),
        "double-sided tape": (SupplyKind.TAPE, 20_000, LastsFor.STUCK_MM),
        "glue": (SupplyKind.GLUE, 1, LastsFor.STUCK_MM),
        "labels and tags": (SupplyKind.LABEL, 1, LastsFor.BAGS),
        "Dust bag": (SupplyKind.OTHER, 1, LastsFor.BAGS),
    }
    assert supplies["double-sided tape"].stuck_at == (StuckAt.ZIPS, StuckAt.HOLES_STAY)
    assert (room.scraps_count, room.stale_after_days) == (ScrapsCount.NOTHING, 90)
    after = view_bag(desk, POUCH).answer
    assert before.price and after.price and after.plan and before.plan
    # 290.00 shared by 40 bags is 7.25; a label and a dust bag are 1.35; a needle of 0.80 for 480 min at the machine.
    assert after.price.overhead.amount == Decimal("7.25")
    parts = {part.name: part.amount.amount for part in after.price.parts}
    sewn = sum(step.minutes for step in after.steps if step.kind in ("Sew", "Baste and quilt"))
    assert (parts["labels and tags"], parts["Dust bag"]) == (Decimal("0.25"), Decimal("1.10"))
    assert abs(parts["needles"] - Decimal("0.80") * Decimal(sewn) / 480) < Decimal("0.000001")
    # A zip of the pouch is taped: its seams are all that tape goes along, for nothing in it keeps pin holes.
    zips = sum(seam.length_mm for seam in after.pattern.seams if seam.kind == "zip")
    assert abs(parts["double-sided tape"] - Decimal("3.60") * Decimal(zips) / 20_000) < Decimal("0.00001")
    assert after.plan.left.amount < before.plan.left.amount
    assert after.plan.paid == before.plan.paid
    assert "Not counted: blades, wear of the machine, packaging, care label" in client.get(f"/bags/{POUCH}").text
    # Left alone, the form changes nothing but the version.
    client.post(PATH, data=form(client))
    assert the_workroom(desk).small_supplies == room.small_supplies
    assert the_workroom(desk).overhead == room.overhead


def test_rejects_every_fault_beside_its_field_and_keeps_nothing(client, desk):
    wrong = {
        "month_0_name": "Rent",
        "month_1_amount": "5",
        "month_2_name": "Light",
        "month_2_amount": "much",
        "bags_a_month": "some",
        "needles_price": "0.80",
        "blades_lasts": "10 m",
        "packaging_price": "-1",
        "wear_of_the_machine_price": "600",
        "wear_of_the_machine_lasts": "long",
        "own_0_price": "1",
        "scraps_count": "all",
        "scraps_share": "200",
        "stale_after_days": "0",
    }
    given = {**form(client), **wrong}
    answer = client.post(PATH, data=given)
    assert answer.status_code == 422
    assert invalid_fields(answer.text) == {
        "month_0_amount",
        "month_1_name",
        "month_2_amount",
        "bags_a_month",
        "needles_lasts",
        "blades_price",
        "packaging_price",
        "wear_of_the_machine_lasts",
        "own_0_name",
        "scraps_count",
        "scraps_share",
        "stale_after_days",
    }
    assert 'value="much"' in answer.text
    assert the_workroom(desk).version == 0
    unshared = client.post(PATH, data={**form(client), "month_0_name": "Rent", "month_0_amount": "5"})
    assert invalid_fields(unshared.text) == {"hours_a_month"}
    stale = client.post(PATH, data={**form(client), "version": "7"})
    assert stale.status_code == 409
