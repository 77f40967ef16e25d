"""What is typed never becomes part of the page's own text: names, sizes, addresses, file names."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from bagwright.store.materials import load_materials, save_material
from tests.web.bag_on_page import BagOnPage, shown_version
from tests.web.html import fields, pictures, read, what_could_run
from tests.workflows.demo_values import WALLET

NASTY = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "'><svg onload=alert(1)>",
    "</title></text><script>alert(1)</script>",
    "{{ 7*7 }}{% raw %}",
    "]]><!--",
    "&lt;b&gt; & co",
]


def assert_harmless(html):
    assert what_could_run(html) == []
    assert not [tag for tag, _ in read(html).tags if tag in ("img", "b")]
    assert "49" not in re.findall(r"<h1>([^<]*)</h1>", html)


@pytest.mark.parametrize("name", NASTY)
def test_a_stored_name_stays_text_on_every_page_and_paper(client, name):
    path = client.post("/bags", data={"form": "card_wallet", "name": name}).headers["location"]
    assert re.fullmatch(r"/bags/[a-z0-9-]+", path)
    html = client.get(path).text
    assert_harmless(html)
    assert fields(html, f"{path}/name")["name"] == name
    assert_harmless(client.get("/").text)
    away = client.post(f"{path}/away", data={"version": str(shown_version(html))})
    assert_harmless(client.get(away.headers["location"]).text)
    drawing = client.get(f"{path}/pieces.svg")
    assert re.fullmatch(r"attachment; filename\*=UTF-8''[a-z0-9-]+\.svg", drawing.headers["content-disposition"])
    tags = {element.tag.rpartition("}")[2] for element in ET.fromstring(drawing.content).iter()}
    assert not tags & {"script", "img", "image", "foreignObject"}
    assert client.get(f"{path}/templates-a4.pdf").content.startswith(b"%PDF-")


@pytest.mark.parametrize("text", NASTY)
def test_what_is_typed_and_refused_stays_text(client, text):
    wallet = BagOnPage(client, WALLET)
    for what, typed in {
        "size": {"closed_width_mm": text},
        "run": {"run_count": text},
        "layers/outer": {"material_0": text, "extent_0": text, "held_0": text},
        "name": {"name": text * 20},
    }.items():
        answer = wallet.post(what, **typed)
        assert answer.status_code == 422
        assert_harmless(answer.text)
        if what == "size":
            assert fields(answer.text, f"{wallet.path}/size")["closed_width_mm"] == text
    wrong = client.post("/workroom", data={"version": "0", "hourly_pay": text})
    assert_harmless(wrong.text)
    assert_harmless(client.post("/bags", data={"form": text}).text)
    assert_harmless(client.get("/", params={"away": text}).text)
    assert_harmless(client.get(f"/bags/{text.replace('/', '%2f')}").text)


@pytest.mark.parametrize("name", NASTY)
def test_a_material_of_any_name_stays_text_in_tables_and_drawings(client, desk, name):
    with desk.store() as store:
        kept = next(k for k in load_materials(store) if k.value.id == "bark-cork")
        save_material(store, replace(kept.value, name=name, note=name, fibres=name), expected_version=kept.version)
    html = client.get(f"/bags/{WALLET}").text
    assert_harmless(html)
    assert_harmless(client.get("/materials").text)
    for picture in pictures(html):
        ET.fromstring(picture)


def test_a_name_from_another_script_reaches_page_and_papers_whole(client):
    name = "Sac d’été – Ölzeug 袋"
    path = client.post("/bags", data={"form": "card_wallet", "name": name}).headers["location"]
    assert f"<h1>{name}</h1>" in client.get(path).text
    assert client.get(f"{path}/templates-a4.pdf").status_code == 200
    assert BagOnPage(client, path.removeprefix("/bags/")).post("copy").status_code == 303
