"""The bag folded up on its page: at once or after the rest, from any side, with and without a script."""

import re

import pytest

from tests.web.bag_on_page import BagOnPage
from tests.web.html import ids, read, what_could_run

TOTE = "harbour-market-tote"


@pytest.fixture
def bag(client):
    return BagOnPage(client, TOTE)


def said(html):
    return re.findall(r'<desc id="folded-up-desc">([^<]*)</desc>', html)


def test_page_answers_with_the_sketch_where_the_bag_was_not_folded_up_yet(bag, client):
    bag.post("size", width_mm="11 7/16")
    page = client.get(bag.path).text
    assert "data-waits" in page and 'id="sketch-title"' in page and said(page) == []
    (link,) = re.findall(r'<noscript><p><a href="([^"]+)">', page)
    folded = client.get(link.replace("&amp;", "&")).text
    assert said(folded) and "data-waits" not in folded


def test_page_shows_the_bag_at_once_when_it_was_folded_up_lately(bag, client):
    client.get(f"{bag.path}/folded")
    page = client.get(bag.path).text
    assert len(said(page)) == 1 and "data-waits" not in page


@pytest.mark.parametrize(
    ("query", "side"),
    [
        ("turn=0&tilt=0", "Its front, seen straight on."),
        ("turn=180&tilt=20", "Its back, seen from above."),
        ("turn=-90&tilt=-5", "Its left side, seen from below."),
        ("turn=nonsense&tilt=", "Its front and its right side, seen from above."),
        ("turn=nan&tilt=1e99", "Its front and its right side, seen from above."),
        ("turn=" + "9" * 5000, "Its front and its right side, seen from above."),
        ("turn=%00&tilt=%F0%9F%91%9C", "Its front and its right side, seen from above."),
    ],
)
@pytest.mark.parametrize("where", ["", "/folded"])
def test_any_query_shows_a_side(bag, client, where, query, side):
    answer = client.get(f"{bag.path}{where}?{query}")
    assert answer.status_code == 200
    (words,) = said(answer.text)
    assert words.startswith(side)


def test_links_turn_on_from_where_she_is(bag, client):
    html = client.get(f"{bag.path}/folded?turn=350&tilt=80").text
    links = {str(a["href"]) for tag, a in read(html).tags if tag == "a"}
    assert links == {
        f"{bag.path}?turn={turn}&tilt={tilt}#folded" for turn, tilt in ((320, 80), (20, 80), (350, 90), (350, 60))
    }


def test_figure_tells_size_and_capacity_in_her_units(bag, client):
    # 13 x 5 x 14 in are 910 cubic inches.
    assert "holds about 15 litres (910 cubic inches)" in client.get(f"{bag.path}/folded").text
    client.post("/workroom", data={"units": "metric"})
    bag.post("size", width_mm="40", height_mm="30", depth_mm="10")
    told = client.get(f"{bag.path}/folded").text
    assert "about 12 litres" in told or "about 15 litres" in told


def test_figure_follows_a_change(bag, client):
    before = client.get(f"{bag.path}/folded").text
    bag.post("size", width_mm="20")
    after = client.get(f"{bag.path}/folded").text
    assert "20 in wide" in after and "20 in wide" not in before


def test_part_of_the_page_property_has_ids_once_and_nothing_that_runs(bag, client):
    html = client.get(f"{bag.path}/folded").text
    assert len(set(ids(html))) == len(ids(html))
    assert what_could_run(html) == []


def test_folded_bag_that_is_not_kept_is_not_there(client):
    assert client.get("/bags/no-bag/folded").status_code == 404
