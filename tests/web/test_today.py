"""What the stash does for all bags today: bounds at once, then what was looked at closely, remembered."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from bagwright.model.cover import CoverSettings
from bagwright.model.stash import StashPiece
from bagwright.store.stash import save_stash_piece
from bagwright.web import today_page
from bagwright.web.app import build_app
from bagwright.workflows.desk import view_bag
from bagwright.workflows.from_stash import stash_for_bag
from bagwright.workflows.searches import Searches
from bagwright.workflows.stash_today import may_hold, start_today, stash_today
from tests.web.conftest import ADDRESS
from tests.workflows.demo_values import TOTE


def read_text(html: str) -> str:
    """What is read on it."""
    return " ".join(re.sub(r"<[^>]+>", "", html).split())


@pytest.fixture
def client(desk_with_scraps):
    app = build_app(desk_with_scraps)
    with TestClient(app, base_url=ADDRESS, follow_redirects=False) as client:
        yield client


def test_an_empty_stash_says_what_to_do(desk):
    with TestClient(build_app(desk), base_url=ADDRESS) as client:
        assert "Nothing is in the stash yet" in client.get("/stash/today").text


def test_bounds_come_at_once_and_are_never_below_what_is_found(client, desk_with_scraps):
    desk = desk_with_scraps
    later = re.search(r'hx-get="(/stash/today[^"]*)"', client.get("/stash/today").text)
    assert later and "Perhaps" in client.get(later[1].replace("&amp;", "&")).text
    before = stash_today(desk)
    assert [bag.view.answer.bag.name for bag in before] == sorted(bag.view.answer.bag.name for bag in before)
    html = client.get("/stash/today").text
    assert "Perhaps" in read_text(html) and 'action="/stash/today/search"' in html
    assert "/stash/today" in client.get("/stash").text and "/stash/today" in client.get(f"/bags/{TOTE}").text
    search = start_today(Searches(desk), settings=CoverSettings(iterations=1))
    told = list(search.news())
    assert told[-1].is_done and not told[-1].fault and told[-1].covered >= 4
    after = stash_today(desk)
    assert all(bag.is_looked for bag in after)
    for bag in after:
        for piece in bag.pieces:
            assert sum(count for _, count in piece.whole) <= piece.may_hold <= piece.wanted
            assert not piece.covered or piece.may_be_covered
    text = read_text(client.get("/stash/today").text)
    assert "All 3 bags can take something from the stash" in text
    assert "4 copies whole from the piece in roll behind the door" in text
    assert "pieced from 2 scraps in basket under the table; worth it" in text
    assert "not worth it at your pay" in text and "Nothing in the stash of" in text
    assert f'href="/bags/{TOTE}/scraps"' in client.get("/stash/today").text
    more = StashPiece(id="more", material_id="cloud-fleece", outer=((0, 0), (90, 0), (90, 90), (0, 90)))
    with desk.store() as store:
        save_stash_piece(store, more, expected_version=0)
    assert [bag.is_looked for bag in stash_today(desk)].count(False) == 1  # only the bag of that material


def test_bounds_agree_with_a_count_by_hand(desk):
    """2.5 times its area holds 2, 0.9 times none; a box whose diagonal is shorter than the strap is long holds none."""
    cut = next(one for one in view_bag(desk, TOTE).answer.cuts if one.piece_id == "strap")
    low_x, low_y, high_x, high_y = cut.region.bounds
    longest = max(high_x - low_x, high_y - low_y)
    area = cut.region.area_mm2

    def held(long: float, wide: float) -> int:
        ring = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
        return may_hold(cut, [StashPiece(id="s", material_id="m", outer=ring)])

    assert held(longest, 2.5 * area / longest) == 2
    assert held(longest, 0.9 * area / longest) == 0
    side = longest / 2**0.5 - 1  # a square whose diagonal is just too short
    assert held(side, side) == 0 and held(side + 2, side + 2) == int((side + 2) ** 2 / area)


def test_bags_come_in_parts(client, monkeypatch):
    monkeypatch.setattr(today_page, "ON_ONE_PAGE", 2)
    first, last = (client.get(path).text for path in ("/stash/today?now=1", "/stash/today?now=1&from=2"))
    assert (first.count('class="part"'), last.count('class="part"')) == (2, 1)
    assert "Bags 3 to 3 of 3" in first and 'href="/stash/today?from=2"' in first
    assert "Bags 1 to 2 of 3" in last and 'href="/stash/today?from=0"' in last
    assert "of your" not in read_text(first)
    for asked in ("99", "-1", "x", "²", "9" * 30):
        assert client.get(f"/stash/today?from={asked}").status_code == 200


def test_a_bag_is_weighed_again_only_if_more_is_known(desk_with_scraps):
    ring = ((0.0, 0.0), (901.0, 0.0), (901.0, 801.0), (0.0, 801.0))
    with desk_with_scraps.store() as store:
        save_stash_piece(store, StashPiece(id="new", material_id="pond-canvas", outer=ring), expected_version=0)
    (first,) = stash_today(desk_with_scraps, most=1)
    assert stash_today(desk_with_scraps, most=1)[0] is first and not first.is_looked
    stash_for_bag(desk_with_scraps, first.view)
    (laid,) = stash_today(desk_with_scraps, most=1)
    assert laid is not first and not first.offers
    assert stash_today(desk_with_scraps, most=1)[0] is laid
    assert stash_today(desk_with_scraps, start=1)[0].view.answer.bag.id != first.view.answer.bag.id


def test_a_search_is_started_from_the_page_and_stopped(client):
    assert client.post("/stash/today/search").headers["location"] == "/stash/today#improve"
    searches: Searches = client.app.state.searches
    (search,) = searches.by_id.values()
    stopped = client.post(f"/searches/{search.id}/stop")
    assert stopped.headers["location"] == "/stash/today#improve"
    assert list(search.news())[-1].is_done
    assert "The last look found" in client.get("/stash/today").text
