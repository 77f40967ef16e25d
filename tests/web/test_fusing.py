"""Whether layers can be fused is said where they are chosen, with how, ways out and cautions."""

from __future__ import annotations

import re

from tests.web.bag_on_page import shown_version
from tests.web.html import said
from tests.workflows.demo_values import TOTE

PAGE = f"/bags/{TOTE}"


def outer(client) -> str:
    found = re.search(r'<form class="layers" id="role-outer".*?</form>', client.get(PAGE).text, re.DOTALL)
    assert found
    return found[0]


def choose(client, *layers: tuple[str, str]) -> None:
    sent = {"version": str(shown_version(client.get(PAGE).text))}
    for number, (material, held) in enumerate(layers):
        sent |= {f"material_{number}": material, f"extent_{number}": "whole piece", f"held_{number}": held}
    assert client.post(f"{PAGE}/layers/outer", data=sent).status_code == 303


def test_fleece_on_canvas_is_told_with_side_cloth_and_cautions(client):
    html = said(outer(client))
    assert "Cloud fusible fleece on Pond canvas, 10 oz:" in html
    assert "the side of Pond canvas, 10 oz" in html
    assert "Test on a scrap" in html
    assert "Open a window" in html


def test_what_bears_no_iron_is_told_with_a_way_out(client):
    choose(client, ("rain-cloth", "loose"), ("cloud-fleece", "fused"))
    html = outer(client)
    assert re.search(r'class="look">Cloud fusible fleece on [^<]*: (may|cannot) be fused', html)
    assert re.search("Instead:|If it does not hold:", html)
    assert "sew-in" in html


def test_fused_without_glue_is_refused_with_a_way_out(client):
    choose(client, ("pond-canvas", "loose"), ("moss-felt", "fused"))
    html = outer(client)
    assert "cannot be fused" in html
    assert "No glue lies between" in html
    assert "<dt>Iron</dt>" not in html


def test_nothing_is_said_of_irons_where_nothing_is_fused(client):
    choose(client, ("pond-canvas", "loose"))
    assert 'class="fusing' not in outer(client)
