"""From an empty shelf to a priced bag: what it is made of is typed on the bag's own page."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from bagwright.costing.savings import SearchLimits
from bagwright.model.material import OfferByCount
from bagwright.store.materials import load_materials, load_offers
from bagwright.web.app import build_app
from bagwright.workflows.desk import Desk, view_bag
from bagwright.workflows.savings import SavingsAsked, savings_of_bag
from tests.web.html import fields, invalid_fields, read

CLOTH = {"price": "12", "width_mm": "58 in"}


@pytest.fixture
def empty(tmp_path):
    return Desk(tmp_path)


@pytest.fixture
def client(empty):
    with TestClient(build_app(empty), base_url="http://127.0.0.1", follow_redirects=False) as one:
        yield one


def started(client, form: str) -> str:
    return client.post("/bags", data={"form": form, "name": "Quay"}).headers["location"]


def wants(client, bag: str) -> list[str]:
    return re.findall(r'<form class="stack" id="first-(\w+)"', client.get(bag).text)


def shelve(client, bag: str, want: str, **texts: str):
    html = client.get(bag).text
    form = html[html.index(f'id="first-{want}"') :]
    hidden = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', form[: form.index("</form>")]))
    kind = {} if want in ("thread", "zip_chain", "slider") else {"kind": "bottom-weight cloth"}
    return client.post(f"{bag}/shelf", data={**hidden, **kind, "name": f"My {want}", **texts})


def test_three_small_forms_lead_to_a_price(client, empty):
    bag = started(client, "boxed_tote")
    told = " ".join(read(client.get(bag).text).texts)
    assert "Still to choose: outer and strap; lining and pocket; thread for all seams." in told
    assert wants(client, bag) == ["outer", "lining", "thread"]
    page = client.get(bag).text
    listed = page[page.index('<nav class="bag-parts"') :].partition("</nav>")[0]
    assert re.findall(r'href="#(\w+)"', listed) == re.findall(r'<section class="part[^"]*" id="(\w+)"', page)
    assert shelve(client, bag, "outer", **CLOTH).status_code == 303
    assert wants(client, bag) == ["lining", "thread"]
    shelve(client, bag, "lining", **CLOTH)
    shelve(client, bag, "thread", price="3.50", length_each_m="250 yd")
    with empty.store() as store:
        spools = [one.value for one in load_offers(store) if isinstance(one.value, OfferByCount)]
    # The international yard of 1959 is 0.9144 m.
    assert [round(spool.length_each_m or 0, 9) for spool in spools] == [228.6]
    assert 'value="228.6 m"' in client.get(f"/materials/{spools[0].material_id}").text
    assert wants(client, bag) == []
    answer = view_bag(empty, bag.rpartition("/")[2]).answer
    assert answer.price is not None and answer.plan is not None
    assert {layer.material_id[:8] for stack in answer.bag.stacks.values() for layer in stack} == {
        "my-outer",
        "my-linin",
    }


def test_a_weight_that_is_not_known_leaves_the_price(client, empty):
    """Weight and stiffness are asked for where they are needed; what a bag costs needs neither."""
    bag = started(client, "boxed_tote")
    run = client.post("/runs", data={"name": "Pier"}).headers["location"]
    client.post(run, data={"version": "1", "add": bag.rpartition("/")[2]})
    assert f'href="{bag}#role-outer"' in client.get(run).text
    shelve(client, bag, "outer", **CLOTH)
    shelve(client, bag, "lining", **CLOTH)
    shelve(client, bag, "thread", price="3.50", length_each_m="500")
    assert "Pay $" in client.get(run).text
    answer = view_bag(empty, bag.rpartition("/")[2]).answer
    assert [one.what for one in answer.problems] == ["has no weight a metre yet"]
    assert answer.mass_g is None and answer.price is not None and answer.besides_weight == ()
    told = " ".join(read(client.get(bag).text).texts)
    assert "What the whole bag weighs is open: 1 of its parts has no weight" in told
    assert "missing before the whole answer" not in told
    saved = savings_of_bag(empty, bag.rpartition("/")[2], SavingsAsked(limits=SearchLimits(most_tried=1)))
    assert saved.view.answer.mass_g is None


def test_a_zip_is_asked_for_with_what_seams_need_of_it(client, empty):
    bag = started(client, "zip_pouch")
    assert wants(client, bag) == ["outer", "lining", "zip_chain", "slider", "thread"]
    refused = shelve(client, bag, "zip_chain", price="2")
    assert refused.status_code == 422 and invalid_fields(refused.text) == {"thickness_mm"}
    assert shelve(client, bag, "zip_chain", price="2", thickness_mm="1 mm").status_code == 303
    assert "zip_chain" not in wants(client, bag)


def test_rejects_all_faults_at_once_and_saves_nothing(client, empty):
    bag = started(client, "boxed_tote")
    refused = shelve(client, bag, "outer", name="", price="lots", width_mm="-3")
    assert refused.status_code == 422
    assert invalid_fields(refused.text) == {"name", "price", "width_mm"}
    assert 'value="lots"' in refused.text
    assert fields(client.get(bag).text, f"{bag}/run")["version"] == "1"
    with empty.store() as store:
        assert load_materials(store) == ()
    for roles in ("", "outer,nothing", "outer,zip_chain"):
        assert shelve(client, bag, "outer", **CLOTH, roles=roles).status_code == 422
    stale = shelve(client, bag, "outer", **CLOTH, version="7")
    assert stale.status_code == 409 and wants(client, bag) == ["outer", "lining", "thread"]
