"""Quiet moments: used only while nobody waits, and waste goes in the end however long it was held on to."""

from __future__ import annotations

import gc
import sys
import weakref
from threading import Event

import pytest
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from bagwright.web import quiet as quiet_moments
from bagwright.web.quiet import Quiet
from bagwright.workflows import desk as desks
from bagwright.workflows.bag_changes import set_run
from bagwright.workflows.desk import unanswered, view_bag
from bagwright.workflows.getting_ready import ready_steps
from tests.workflows.demo_values import TOTE

SOON_SECONDS = 60


class Knot:
    """Something that holds on to itself, as only the collector can untie."""

    def __init__(self) -> None:
        self.itself = self


@pytest.fixture
def as_it_was():
    """The collector and the pace of threads are one for the whole process."""
    pace = sys.getswitchinterval()
    yield
    sys.setswitchinterval(pace)
    gc.unfreeze()


def test_nothing_is_begun_while_somebody_waits_or_other_work_is_under_way(monkeypatch, as_it_was):
    monkeypatch.setattr(quiet_moments, "QUIET_SECONDS", 0.01)
    begun, busy = Event(), [True]
    tidied = Event()

    def steps():
        begun.set()
        yield

    def page(_):
        begun.wait(0.1)
        busy[0] = False
        return PlainTextResponse(str(begun.wait(0.1)))

    quiet = Quiet(Starlette(routes=[Route("/", page)]), steps=steps, is_busy=lambda: busy[0])
    monkeypatch.setattr(quiet, "tidy", tidied.set)
    with quiet.used():
        assert TestClient(quiet).get("/").text == "False"
        assert begun.wait(SOON_SECONDS) and tidied.wait(SOON_SECONDS)


def test_a_fault_while_getting_ready_ends_no_later_quiet_moment(monkeypatch, as_it_was):
    monkeypatch.setattr(quiet_moments, "QUIET_SECONDS", 0.01)
    tidied = [Event(), Event()]
    left = iter(tidied)

    def steps():
        yield
        raise RuntimeError("broken")

    quiet = Quiet(Starlette(), steps=steps)
    monkeypatch.setattr(quiet, "tidy", lambda: next(left).set())
    with quiet.used():
        assert tidied[0].wait(SOON_SECONDS)
        TestClient(quiet).get("/")
        assert tidied[1].wait(SOON_SECONDS)


def test_what_was_passed_over_goes_once_it_is_waste(monkeypatch, as_it_was):
    monkeypatch.setattr(quiet_moments, "_THROUGH_ALL", 3)
    quiet = Quiet(Starlette(), steps=lambda: iter(()))
    knot = Knot()
    held = weakref.ref(knot)
    quiet.tidy()
    del knot
    quiet.tidy()
    assert held() is not None
    quiet.tidy()
    assert held() is None


def test_ready_means_that_pages_work_nothing_out_until_something_changes(desk, monkeypatch):
    quiet = Quiet(Starlette(), steps=lambda: ready_steps(desk))
    monkeypatch.setattr(quiet, "_is_quiet_soon", lambda: True)
    assert unanswered(desk)
    quiet.get_ready()
    assert not unanswered(desk)
    with monkeypatch.context() as nothing_new:
        nothing_new.setattr(desks, "answer_bag", lambda *_, **__: pytest.fail("worked out again"))
        quiet.get_ready()
        shown = view_bag(desk, TOTE).answer
    changed = set_run(desk, TOTE, shown.bag.version, "7")
    assert unanswered(desk) == (TOTE,)
    quiet.get_ready()
    assert not unanswered(desk)
    assert view_bag(desk, TOTE).answer.bag == changed != shown.bag
