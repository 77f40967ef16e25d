"""What saves on a bag: ranked, at a price, tried as a copy beside the original."""

from __future__ import annotations

import csv
import html
import io
import re
import time
from dataclasses import replace
from datetime import date, timedelta
from threading import Event

from bagwright.costing.savings import SavingsNews, SearchLimits
from bagwright.model.saving import Saving, Savings
from bagwright.model.stash import StashPiece
from bagwright.store.runs import load_run
from bagwright.store.stash import save_stash_piece
from bagwright.web import savings_page
from bagwright.web.savings_pages import SavingsPart
from bagwright.web.templates_at import render
from bagwright.workflows.desk import find_layout, view_bag
from bagwright.workflows.saving_scraps import scrap_changes
from bagwright.workflows.saving_ways import changes_of_bag
from bagwright.workflows.savings import (
    BagSavings,
    SavingsAsked,
    WholeAnswers,
    look_for_savings,
    page_limits,
    savings_of_bag,
)
from bagwright.workflows.savings_searches import savings_progress
from bagwright.workflows.searches import Progress, SearchOf
from bagwright.workflows.shared_buying import shared_buying_of_bag
from tests.web.html import fields
from tests.workflows.demo_values import POUCH, TOTE

PAGE = f"/bags/{TOTE}/savings"


def sent_by_first_form(text):
    form = re.search(r'<form method="post".*?</form>', text, re.DOTALL)
    assert form
    return {key: html.unescape(value) for key, value in re.findall(r'name="(\w+)" value="([^"]*)"', form[0])}


def test_bag_leads_to_its_savings_and_they_are_worked_out_when_seen(client):
    assert f'href="{PAGE}"' in client.get(f"/bags/{TOTE}").text
    page = client.get(f"{PAGE}?target=%2445&keep=may+stand").text
    assert f'hx-get="{PAGE}/found?target=%2445&amp;keep=may+stand"' in page
    part = client.get(f"{PAGE}/found?now=1", headers={"hx-request": "true"}).text
    assert "<html" not in part
    assert "The price that pays you falls by $" in part


def test_savings_are_told_in_words_and_one_is_tried_as_a_copy_beside_the_original(client):
    found = client.get(f"{PAGE}/found?target=45&now=1").text
    assert "<h1>What would make it cheaper</h1>" in found
    assert "bring the price that pays you to $4" in found
    assert "Worked out as one bag, not added up." in found
    # The same again as tables; what was found is remembered.
    rows = client.get(f"{PAGE}/savings.json?target=45").json()["tables"]["savings"]
    assert {"alone", "to your price"} <= {row["way"] for row in rows}
    as_csv = client.get(f"{PAGE}/savings.csv?target=45").text
    assert [row["way"] for row in csv.DictReader(io.StringIO(as_csv.removeprefix("\ufeff")))] == [
        row["way"] for row in rows
    ]
    falls = [float(one) for one in re.findall(r"falls by \$([\d.]+), to", found.split("One change at a time")[1])]
    alone = falls[: found.count('name="change"')]
    assert len(alone) > 4
    sent = sent_by_first_form(found.split("One change at a time")[1])
    made = client.post(PAGE, data=sent)
    assert made.status_code == 303
    beside = client.get(made.headers["location"]).text
    assert "Harbour market tote is as it was. Change the copy as you like" in beside
    copy = made.headers["location"].rpartition("/")[2]
    assert client.get(f"/bags/{copy}").status_code == 200
    put_away = sent_by_first_form(beside)
    away = client.post(f"/bags/{copy}/away", data=put_away)
    assert away.headers["location"] == f"/?away={copy}"
    assert f'href="/bags/{copy}"' not in client.get("/").text


def test_buying_for_several_bags_is_told_and_tried_as_a_run(client, desk):
    assert f'hx-get="{PAGE}/shared"' in client.get(PAGE).text
    part = client.get(f"{PAGE}/shared?now=1", headers={"hx-request": "true"}).text
    assert "Buy for Reed pencil pouch in the same go" in part
    assert "<html" not in part
    known = shared_buying_of_bag(desk, TOTE)[1]
    assert shared_buying_of_bag(desk, TOTE)[1] is known
    forms = re.findall(r'<form method="post".*?</form>', part, re.DOTALL)
    both = next(form for form in forms if form.count('name="with"') == 1 and POUCH in form)
    made = client.post(PAGE + "/shared", data={"with": re.findall(r'value="([^"]+)"', both)})
    assert made.status_code == 303
    run = load_run_of(desk, made.headers["location"])
    assert [(one.bag_id, one.count) for one in run.bags] == [
        (TOTE, 1),
        (POUCH, view_bag(desk, POUCH).answer.bag.run_count),
    ]
    assert "What would make it cheaper" in client.get(PAGE + "/shared").text
    assert client.post(PAGE + "/shared", data={"with": "no-such-bag"}).status_code == 404
    assert client.post(f"/bags/{POUCH}/away", data=fields(client.get(f"/bags/{POUCH}").text, f"/bags/{POUCH}/away"))
    assert all(POUCH not in {bag.id for bag in one.others} for one in shared_buying_of_bag(desk, TOTE)[1])


def test_a_search_shows_how_far_it_is_and_stops_and_what_it_found_by_then_is_kept(client, desk):
    searches, end, ended = client.app.state.searches, "?keep=may+stand", Event()
    told: list[tuple[SavingsNews, tuple[str, ...]]] = []

    def work(search):
        search.tell(Progress("", 0.3, 0.0, is_done=False, told="12 of 40 changes tried.", best=("Use felt",)))
        ended.wait(20)
        search.tell(Progress("", 1.0, 0.0, is_done=True, fault="Broke off."))

    under_way = searches.start_work(work, TOTE, SearchOf.SAVINGS, asked=end)
    while not under_way.progress.told:
        time.sleep(0.001)
    page = client.get(f"{PAGE}/found{end}").text
    for shown in ("12 of 40 changes tried.", "<li>Use felt</li>", f'href="{PAGE}/found?keep=may+stand&amp;now=1"'):
        assert shown in page
    assert f'action="/searches/{under_way.id}/stop"' in page
    ended.set()
    stopped = client.post(f"/searches/{under_way.id}/stop")
    assert stopped.headers["location"] == f"{PAGE}/found{end}&now=1"
    under_way.wait()
    broken = client.get(stopped.headers["location"]).text  # it does not begin again by itself
    assert "Broke off." in broken and f'action="{PAGE}/search?keep=may+stand"' in broken

    limits = replace(page_limits(is_thorough=False), should_stop=lambda: len(told) == 3)
    asked = SavingsAsked(today=date.today(), limits=limits, tell=lambda news, does: told.append((news, does)))
    found = look_for_savings(desk, TOTE, asked)
    assert found.untried == len(found.changes) - 3 > 0
    assert [news.tried for news, _ in told] == [1, 2, 3]
    progress = savings_progress(*told[-1])
    assert progress.told == f"3 of {len(found.changes)} changes tried."
    assert (
        client.get(f"{PAGE}/found").text.count(f"{found.untried} of {len(found.changes)} changes were not tried") == 1
    )
    assert savings_of_bag(desk, TOTE, asked) is found


def load_run_of(desk, address):
    with desk.store() as store:
        return load_run(store, address.rpartition("/")[2])


def test_an_old_price_that_only_a_saving_counts_on_is_flagged_beside_it(desk):
    """All prices are a day old but that of one offer, which the bag does not buy now."""
    view = view_bag(desk, TOTE)
    changes = {change.key: change for change in changes_of_bag(view, None)}
    key = next(one for one in changes if one.startswith("pocket:"))
    (layer,) = changes[key].stacks["pocket"]
    today = date(2026, 11, 26)
    days = {offer.id: 500 if offer.material_id == layer.material_id else 1 for offer in view.shelf.offers}
    offers = tuple(replace(one, dated=today - timedelta(days=days[one.id])) for one in view.shelf.offers)
    view = replace(view, shelf=replace(view.shelf, offers=offers))
    answers = WholeAnswers(view, changes, lambda request: find_first(desk, request), None)
    outcome = answers((key,))
    assert outcome
    (told,) = answers.stale_prices((key,), today)
    assert (told.what.endswith("500 days old"), told.place.endswith(".dated")) == (True, True)
    assert answers.stale_prices((key,), today - timedelta(days=499)) == ()
    saving = Saving((key,), outcome)
    savings = Savings(now=outcome, ranked=(saving,), dear=(), refused=(), together=None, tried=1, is_proven=True)
    found = BagSavings(view=view, keep=None, changes=changes, savings=savings, stale_of={(key,): (told,)})
    page = render_found(found_view(replace(found, without_price=("Grey felt",)), saving))
    assert "It may save less: " in page
    assert "500 days old" in page
    assert "Not tried, for you have no price of them yet: Grey felt." in page


def found_view(found, saving):
    texts = {"target": "", "keep": "", "all": ""}
    return replace(savings_page._found_view(found, texts), ranked=(savings_page._saving_view(found, saving),))


def render_found(view):
    return bytes(render("savings_found.html", SavingsPart(view)).body).decode()


def find_first(desk, request):
    with desk.store() as store:
        return find_layout(desk, store, request)


def test_what_cannot_be_tried_is_refused_and_nothing_is_kept(client):
    before = client.get("/").text
    for sent, status in (
        ({"version": "9", "change": "run=5"}, 409),
        ({"version": "1", "change": ["run=5", "run=2"]}, 422),
        ({"version": "1"}, 422),
    ):
        assert client.post(PAGE, data=sent).status_code == status
    assert client.get("/").text == before


def test_a_price_that_is_none_is_told_beside_its_field(client):
    answer = client.get(f"{PAGE}?target=cheap")
    assert answer.status_code == 422
    assert 'id="target-fault"' in answer.text
    assert "hx-get=" not in answer.text.split("<main")[1]


def test_what_the_stash_saves_agrees_with_the_bag_once_it_is_cut(client, desk):
    ring = ((0.0, 0.0), (1500.0, 0.0), (1500.0, 1100.0), (0.0, 1100.0))
    piece = StashPiece(id="rest", material_id="pond-canvas", outer=ring, grain_deg=0.0)
    with desk.store() as store:
        save_stash_piece(store, piece, expected_version=0)
    (scraps,) = scrap_changes(desk, view_bag(desk, TOTE))
    asked = SavingsAsked(limits=SearchLimits(most_tried=1))
    found = savings_of_bag(desk, TOTE, asked)
    assert savings_of_bag(desk, TOTE, asked) is found
    saving = next(one for one in found.savings.ranked if one.changes == (scraps.key,))
    assert re.fullmatch(r"Cut \d+ pieces of Pond canvas, 10 oz from your stash", scraps.does)
    assert not scraps.is_of_bag
    cut = f"/bags/{TOTE}/stash/pond-canvas/cut"
    assert client.post(cut, data=fields(client.get(f"/bags/{TOTE}/stash").text, cut)).status_code == 303
    price = view_bag(desk, TOTE).answer.price
    assert price
    assert (price.paid_price, price.floor) == (saving.outcome.price, saving.outcome.cost)
    assert savings_of_bag(desk, TOTE, asked).savings.now.cost == price.floor
