"""Looking for shorter layouts: news until the end, a stop that keeps the best, a crash that is told."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest

from bagwright.errors import NotKept
from bagwright.model.layout import LaySettings
from bagwright.store.layouts import load_layout
from bagwright.workflows import searches as searching
from bagwright.workflows.desk import view_bag
from bagwright.workflows.searches import Progress, Search, Searches
from tests.workflows.demo_values import POUCH, TOTE

FEW = LaySettings(iterations=200)
ENDLESS = LaySettings(iterations=10**12)


def lengths(desk, bag_id):
    return {sheet.material.id: sheet.layout.length_mm for sheet in view_bag(desk, bag_id).answer.chosen_layouts()}


def test_a_search_ends_and_what_it_found_is_kept(desk):
    before = lengths(desk, POUCH)
    searches = Searches(desk, settings=FEW)
    search = searches.start(POUCH)
    told = list(search.news())
    assert [progress.is_done for progress in told] == [False] * (len(told) - 1) + [True]
    assert (told[-1].share_done, told[-1].fault) == (1.0, "")
    after = lengths(desk, POUCH)
    assert all(after[name] <= before[name] for name in before)
    assert told[-1].shorter_by_mm == pytest.approx(sum(before.values()) - sum(after.values()))
    assert searches.last_done(POUCH) == told[-1]


def test_shares_of_the_time_only_grow(desk):
    told = list(Searches(desk, settings=FEW).start(TOTE).news())
    shares = [progress.share_done for progress in told]
    assert shares == sorted(shares)
    assert all(0 <= share <= 1 for share in shares)


def test_a_shorter_layout_is_kept_and_used_in_the_answer(desk, monkeypatch):
    found = view_bag(desk, TOTE).answer.chosen_layouts()[0]
    # Only its length counts here; that the layout is right is for the room that lays.
    better = replace(found.layout, length_mm=found.layout.length_mm - 10, found_by="order search")

    def lay(request, *, on_better, on_fault, **_):
        on_fault("the packing library ended before its time with code -9")
        same = better.request_hash == searching_hash(request)
        layout = (
            better if same else next(s.layout for s in sheets if searching_hash(s.request) == searching_hash(request))
        )
        on_better(layout)
        return layout

    from bagwright.cutting.requests import request_hash as searching_hash

    sheets = view_bag(desk, TOTE).answer.chosen_layouts()
    monkeypatch.setattr(searching, "lay_pieces", lay)
    *_, last = Searches(desk, settings=FEW).start(TOTE).news()
    assert last.shorter_by_mm == pytest.approx(10)
    assert last.fault.startswith("Part of the search broke off")
    assert lengths(desk, TOTE)[found.material.id] == pytest.approx(better.length_mm)
    with desk.store() as store:
        assert load_layout(store, better.request_hash) == better


def test_a_longer_layout_replaces_nothing(desk, monkeypatch):
    before = lengths(desk, TOTE)
    sheets = view_bag(desk, TOTE).answer.chosen_layouts()
    longer = iter([replace(sheet.layout, length_mm=sheet.layout.length_mm + 50) for sheet in sheets])
    monkeypatch.setattr(searching, "lay_pieces", lambda request, **_: next(longer))
    *_, last = Searches(desk, settings=FEW).start(TOTE).news()
    assert last.shorter_by_mm == 0
    assert lengths(desk, TOTE) == before


def test_stop_ends_an_endless_search(desk):
    searches = Searches(desk, settings=ENDLESS)
    search = searches.start(TOTE)
    news = search.news()
    assert not next(news).is_done
    assert searches.are_under_way()
    search.stop()
    *_, last = news
    assert (last.is_done, last.fault) == (True, "")
    assert searches.under_way(TOTE) is None and not searches.are_under_way()


def test_one_search_at_a_time_for_a_bag(desk):
    searches = Searches(desk, settings=ENDLESS)
    first, second, other = searches.start(TOTE), searches.start(TOTE), searches.start(POUCH)
    assert first is second
    assert other is not first
    assert searches.under_way(TOTE) is first
    for search in (first, other):
        search.stop()
        list(search.news())


def test_many_at_once_still_start_one(desk):
    searches, ready = Searches(desk, settings=ENDLESS), threading.Barrier(6)
    started = []

    def start():
        ready.wait()
        started.append(searches.start(TOTE))

    threads = [threading.Thread(target=start) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(started) == 6
    assert len({search.id for search in started}) == 1
    started[0].stop()
    list(started[0].news())


def test_a_crash_is_told_and_ends_the_news(desk, monkeypatch):
    crashed = threading.Event()
    monkeypatch.setattr(threading, "excepthook", lambda _: crashed.set())

    def lay(request, **_):
        raise ZeroDivisionError

    monkeypatch.setattr(searching, "lay_pieces", lay)
    searches = Searches(desk, settings=FEW)
    *_, last = searches.start(TOTE).news()
    assert last.is_done and "broke off" in last.fault
    assert searches.under_way(TOTE) is None
    assert crashed.wait(10), "the crash is also told on standard error, with where it arose"


def test_rejects_a_bag_that_is_not_kept(desk):
    with pytest.raises(NotKept):
        Searches(desk, settings=FEW).start("no-bag")


def test_a_bag_without_layouts_is_done_at_once(desk, monkeypatch):
    view = view_bag(desk, TOTE)
    monkeypatch.setattr(searching, "view_bag", lambda *_: replace(view, answer=replace(view.answer, layouts=())))
    *_, last = Searches(desk, settings=ENDLESS).start(TOTE).news()
    assert (last.is_done, last.shorter_by_mm, last.fault) == (True, 0.0, "")


def test_finished_searches_are_forgotten_in_time(desk):
    searches = Searches(desk, settings=FEW)
    for number in range(60):
        searches.by_id[str(number)] = Search(str(number), "other-bag", progress=Progress("", 1.0, 0.0, True))
    search = searches.start(TOTE)
    list(search.news())
    assert len(searches.by_id) == 21
    assert searches.find(search.id) is search
    assert searches.find("59") is not None
    assert searches.find("0") is None


def test_a_search_looked_at_often_tells_only_now_and_then(desk, monkeypatch):
    told = []
    monkeypatch.setattr(Search, "tell", lambda self, progress: told.append(progress))

    def lay(request, *, should_stop, **others):
        for _ in range(5_000):
            should_stop()
        return next(s.layout for s in sheets if s.request == request)

    sheets = view_bag(desk, TOTE).answer.chosen_layouts()
    monkeypatch.setattr(searching, "lay_pieces", lay)
    search = Search("id", TOTE)
    searching._search(desk, search, sheets, FEW)
    assert len(told) < 50
