"""Tested pairs as a table: out, changed elsewhere, in again."""

from __future__ import annotations

import csv
import io

import pytest

from tests.web.test_bonds import TYPED, look, save


@pytest.fixture
def kept(client):
    """One tested pair."""
    assert save(client, look(client, **TYPED)).status_code == 303


def take_in(client, table, **options):
    return client.post("/bonds/csv", files={"table": ("bonds.csv", table)}, **options)


def rows(client):
    return list(csv.DictReader(io.StringIO(client.get("/bonds/csv").text)))


def written(some):
    text = io.StringIO()
    table = csv.DictWriter(text, list(some[0]))
    table.writeheader()
    table.writerows(some)
    return text.getvalue().encode()


def test_table_property_comes_back_as_it_went(client, kept):
    answer = take_in(client, client.get("/bonds/csv").content, follow_redirects=True)
    assert "Taken in: 0 new, 0 changed." in answer.text


def test_pair_of_a_table_counts_and_is_changed_by_the_next(client, kept):
    (own,) = rows(client)
    assert (own["outer_id"], own["inner_id"], own["held"]) == ("pond-canvas", "cloud-fleece", "fused")
    new = {**own, "inner_id": "loft-foam", "held": "quilted"}
    changed = {**own, "overhang_mm": "88", "overhang_mm_low": "86", "overhang_mm_high": "90"}
    assert "Taken in: 1 new, 1 changed." in take_in(client, written([changed, new]), follow_redirects=True).text
    assert {row["inner_id"]: row["overhang_mm"] for row in rows(client)}["cloud-fleece"] == "88.0"
    assert "Loft sew-in foam, 3 mm, quilted" in client.get("/bonds").text


def test_pair_that_was_taken_off_comes_back_with_its_table(client, kept):
    table = client.get("/bonds/csv").content
    assert (
        client.post("/bonds/remove", data={"bond_id": "cloud-fleece+pond-canvas+fused", "version": "1"})
        .headers["location"]
        .endswith("removed")
    )
    assert rows(client) == []
    assert "Taken in: 1 new, 0 changed." in take_in(client, table, follow_redirects=True).text
    assert len(rows(client)) == 1


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"inner_id": "moon-cheese"}, "row 2, inner_id"),
        ({"held": "nailed"}, "row 2, held"),
        ({"overhang_mm": "long"}, "row 2, overhang_mm"),
        ({"overhang_mm": "", "share": ""}, "tells nothing"),
        ({"angle_deg": "4"}, "row 2, swatch.angle_deg"),
        ({"share": "1.5", "share_low": "", "share_high": ""}, "row 2, share"),
    ],
)
def test_faulty_table_rejects_and_changes_nothing(client, kept, change, told):
    before = client.get("/bonds/csv").content
    answer = take_in(client, written([{**rows(client)[0], **change}]))
    assert answer.status_code == 422 and told in answer.text
    assert client.get("/bonds/csv").content == before


def test_table_with_one_pair_twice_rejects(client, kept):
    (own,) = rows(client)
    turned = {**own, "outer_id": own["inner_id"], "inner_id": own["outer_id"]}
    assert "is told twice" in take_in(client, written([own, turned])).text


@pytest.mark.parametrize("data", [b"", b"\xff\xfe\x00", b"outer_id,colour\nx,red\n"])
def test_what_is_no_such_table_rejects(client, data):
    assert take_in(client, data).status_code == 422
