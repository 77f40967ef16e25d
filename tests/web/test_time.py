"""The page of time: her timer, times typed in, undo; standard times; the order of work and runs."""

from __future__ import annotations

import re

import pytest

from bagwright.model.timing import Timing
from bagwright.store.timings import load_timings, save_timing
from bagwright.workflows.runs import change_run, start_run
from tests.web.html import fields, invalid_fields, said
from tests.workflows.demo_values import POUCH

PATH = f"/bags/{POUCH}/time"


def act(client, name: str, **texts: str):
    return client.post(PATH, data={"act": name, **texts})


def timings(desk) -> tuple[Timing, ...]:
    with desk.store() as store:
        return load_timings(store)


def headline(client) -> str:
    found = re.search(r'class="run-headline">([^<]+)<', said(client.get(PATH).text))
    assert found
    return found[1].strip()


def test_typed_times_move_the_bag_its_pay_and_its_range(client, desk):
    before, page = headline(client), client.get(PATH).text
    assert "No step is timed yet" in page
    answer = act(client, "typed", step="", minutes="3 h")
    assert answer.status_code == 303
    after = said(client.get(answer.headers["location"]).text)
    assert "Kept: 3 h 00 min for The whole bag." in after
    assert headline(client) != before
    assert headline(client) in said(client.get(f"/bags/{POUCH}").text)
    assert timings(desk)[0].is_typed


def test_timer_runs_pauses_goes_on_and_is_done_without_script(client, desk):
    assert act(client, "start", step="cut").status_code == 303
    (timer,) = timings(desk)
    assert timer.running_since is not None
    assert "Pause" in client.get(PATH).text
    act(client, "pause", id=timer.id, version=str(timer.version))
    (paused,) = timings(desk)
    assert paused.running_since is None
    assert "Go on" in client.get(PATH).text
    act(client, "on", id=paused.id, version=str(paused.version))
    (running,) = timings(desk)
    done = act(client, "done", id=running.id, version=str(running.version))
    assert timings(desk)[0].is_done
    assert "Not done yet" in client.get(done.headers["location"]).text
    (kept,) = timings(desk)
    act(client, "back", id=kept.id, version=str(kept.version))
    assert not timings(desk)[0].is_done


def test_one_pair_of_hands_pauses_other_steps_but_the_whole_bag_runs_along(client, desk):
    for step in ("", "setup", "cut"):
        act(client, "start", step=step)
    assert {timing.step: timing.running_since is not None for timing in timings(desk)} == {
        "": True,
        "setup": False,
        "cut": True,
    }


def test_time_taken_away_can_be_brought_back(client, desk):
    act(client, "typed", step="cut", minutes="25")
    (kept,) = timings(desk)
    answer = act(client, "away", id=kept.id, version=str(kept.version))
    assert timings(desk) == ()
    page = client.get(answer.headers["location"]).text
    assert "Taken away" in page
    version = fields(page, PATH)["version"]
    assert act(client, "back", id=kept.id, version=version).status_code == 303
    assert timings(desk)[0].minutes == 25


def test_one_far_off_is_shown_with_the_others(client):
    for minutes in ("10", "11", "40"):
        act(client, "typed", step="cut", minutes=minutes)
    page = client.get(PATH).text
    assert page.count("Far from your other readings") == 1
    assert "Your 3 readings go from 10 min to 40 min." in page


@pytest.mark.parametrize("text", ["", "soon", "0", "-3", "9999999", "1 h 10 h"])
def test_what_is_no_time_rejects_beside_its_field_and_changes_nothing(client, desk, text):
    answer = act(client, "typed", step="cut", minutes=text)
    assert answer.status_code == 422
    assert "minutes" in invalid_fields(answer.text)
    assert timings(desk) == ()


def test_stale_and_unknown_change_nothing(client, desk):
    act(client, "start", step="cut")
    (timer,) = timings(desk)
    act(client, "pause", id=timer.id, version=str(timer.version))
    assert act(client, "done", id=timer.id, version=str(timer.version)).status_code == 409
    assert act(client, "start", step="iron the cat").status_code == 404
    assert act(client, "jump", step="cut").status_code == 404
    assert act(client, "pause", id="none", version="1").status_code == 404
    assert len(timings(desk)) == 1


def test_timer_of_another_bag_is_not_shown(client, desk):
    act(client, "start", step="")
    with desk.store() as store:
        (timer,) = load_timings(store)
        save_timing(store, Timing(id="other", bag_id="lantern-card-wallet", step="", begun=timer.begun))
    assert client.get(PATH).text.count('class="timer ') == 1


def test_order_of_work_tells_the_minutes_of_every_step_and_why(client):
    page = client.get(f"/bags/{POUCH}").text
    steps = page[page.index('id="work"') : page.index('id="price"')]
    assert steps.count('class="step-time"') == steps.count('<li><div class="step-line">') > 10
    assert "for rest and small things" in steps


def test_standard_times_are_settings_in_her_units_and_move_every_bag(client):
    form = fields(client.get("/workroom/times").text, "/workroom/times")
    assert len(form) == 26  # 23 standard times, rate and model of practice, version
    before = headline(client)
    answer = client.post("/workroom/times", data={**form, "finishing_minutes": "65", "cutting_mm_per_minute": "1 yd"})
    assert answer.headers["location"] == "/workroom/times?saved"
    saved = fields(client.get("/workroom/times").text, "/workroom/times")
    assert saved["finishing_minutes"] == "65"
    assert saved["press_hold_seconds"] == form["press_hold_seconds"]
    assert headline(client) != before


def test_standard_times_reject_every_fault_beside_its_field(client):
    form = fields(client.get("/workroom/times").text, "/workroom/times")
    wrong = {"setup_minutes": "long", "allowance_share": "200", "learning_rate": "60", "learning_model": "magic"}
    answer = client.post("/workroom/times", data={**form, **wrong, "iron_face_mm2": "0"})
    assert answer.status_code == 422
    assert invalid_fields(answer.text) >= {"setup_minutes", "allowance_share", "learning_rate", "iron_face_mm2"}
    assert client.post("/workroom/times", data={**form, "version": "7"}).status_code == 409


def test_run_tells_the_first_the_last_and_all_together(client, desk):
    form = fields(client.get("/workroom/times").text, "/workroom/times")
    client.post("/workroom/times", data={**form, "learning_rate": "80"})
    run = start_run(desk, "Market")
    run = change_run(desk, run.id, run.version, {"add": POUCH})
    change_run(desk, run.id, run.version, {f"count_{POUCH}": "10"})
    page = said(client.get(f"/runs/{run.id}").text)
    assert "Made 10 at a time, the first takes" in page
    assert "falls to 80 %" in page
    assert "unit model" in page


def test_page_names_its_buttons_apart(client):
    act(client, "typed", step="cut", minutes="25")
    names = re.findall(r"<button[^>]*>(.*?)</button>", client.get(PATH).text, re.DOTALL)
    assert len(names) == len(set(names))
