"""The page of the steps: a picture where something is sewn, words where it is not."""

from __future__ import annotations

import re

from tests.workflows.demo_values import TOTE, demo_answer


def test_steps_page_draws_what_is_sewn(client):
    page = client.get(f"/bags/{TOTE}/steps").text
    work = demo_answer(TOTE).work
    assert re.findall(r'id="step-(\d+)-title"', page) == [str(step.number) for step in work if step.seam_ids]
    assert all(step.name in page for step in work if "&" not in step.name and "'" not in step.name)
    assert f'href="/bags/{TOTE}/steps"' in client.get(f"/bags/{TOTE}").text


def test_steps_page_of_an_unknown_bag_is_not_found(client):
    assert client.get("/bags/none/steps").status_code == 404
