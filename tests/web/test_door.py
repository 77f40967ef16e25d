"""Opened to a network: nothing is shown or taken before the password, and only under this machine's own number.

Attributes of the cookie after RFC 6265bis (HttpOnly, SameSite), 303 See Other after RFC 9110, from memory of these.
"""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from bagwright.web.app import build_app
from bagwright.web.door import Door, new_password
from tests.workflows.demo_values import TOTE

NUMBER = "192.0.2.7"
PASSWORD = "bado-keti-luso-mira"


@pytest.fixture
def clock() -> list[float]:
    return [1000.0]


@pytest.fixture
def app(desk, clock):
    return build_app(desk, door=Door(PASSWORD, now=lambda: clock[0]))


def phone(app, host: str = NUMBER) -> TestClient:
    return TestClient(app, base_url=f"http://{host}", client=("192.0.2.30", 5000), follow_redirects=False)


def test_nothing_is_shown_or_taken_before_signing_in(app):
    stranger = phone(app)
    for path in ("/", f"/bags/{TOTE}", f"/bags/{TOTE}/pieces.svg", "/everything", "/workroom"):
        answer = stranger.get(path)
        assert (answer.status_code, answer.headers["location"]) == (303, f"/sign-in?to={path.replace('/', '%2F')}")
        assert answer.headers["x-frame-options"] == "DENY"
    assert stranger.post(f"/bags/{TOTE}/name", data={"version": "1", "name": "x"}).status_code == 401
    assert stranger.get("/static/page.css").status_code == 200


def test_the_password_lets_in_and_leads_on(app):
    hers = phone(app)
    page = hers.get(f"/sign-in?to=/bags/{TOTE}%3Fsince%3D1")
    assert page.status_code == 200 and f'value="/bags/{TOTE}?since=1"' in page.text
    answer = hers.post("/sign-in", data={"password": f" {PASSWORD} ", "to": f"/bags/{TOTE}?since=1"})
    assert (answer.status_code, answer.headers["location"]) == (303, f"/bags/{TOTE}?since=1")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie
    assert hers.get(f"/bags/{TOTE}").status_code == 200
    own = {"origin": f"http://{NUMBER}"}
    changed = hers.post(f"/bags/{TOTE}/run", data={"version": "1", "run_count": "2"}, headers=own)
    assert changed.status_code == 303


@pytest.mark.parametrize(
    "to", ["//bags.example/", "https://bags.example", "/\\bags.example", "javascript:alert(1)", ""]
)
def test_signing_in_never_leads_to_another_site(app, to):
    assert phone(app).post("/sign-in", data={"password": PASSWORD, "to": to}).headers["location"] == "/"


def test_wrong_tries_are_told_and_slowed_down(app, clock):
    stranger = phone(app)
    for _ in range(4):
        wrong = stranger.post("/sign-in", data={"password": "wrong"})
        assert wrong.status_code == 401 and 'aria-invalid="true"' in wrong.text
    assert stranger.post("/sign-in", data={"password": "wrong"}).status_code == 429
    assert stranger.post("/sign-in", data={"password": PASSWORD}).status_code == 429
    clock[0] += 61
    assert stranger.post("/sign-in", data={"password": PASSWORD}).status_code == 303


@pytest.mark.parametrize("token", ["", "x", "None", PASSWORD])
def test_made_up_tokens_are_not_known(app, token):
    assert phone(app).get("/", headers={"cookie": f"bagwright-door={token}"}).status_code == 303


@pytest.mark.parametrize("host", ["bags.example", "192.0.2.8", f"{NUMBER}.bags.example"])
def test_other_names_are_refused_even_with_the_password(app, host):
    hers = phone(app)
    hers.post("/sign-in", data={"password": PASSWORD})
    assert hers.get("/", headers={"host": host}).status_code == 421
    foreign = {"origin": "http://bags.example"}
    assert hers.post(f"/bags/{TOTE}/run", data={"version": "1", "run_count": "2"}, headers=foreign).status_code == 403


def test_its_own_machine_needs_no_password(app):
    own = TestClient(app, base_url="http://127.0.0.1", client=("127.0.0.1", 5000), follow_redirects=False)
    assert own.get("/").status_code == 200


def test_without_a_door_there_is_no_sign_in(client):
    assert client.get("/sign-in").status_code == 404


def test_passwords_are_new_each_time_and_can_be_typed_property():
    made = {new_password() for _ in range(500)}
    assert len(made) == 500
    assert all(re.fullmatch(r"(?:[a-z]{4}-){3}[a-z]{4}", one) for one in made)
