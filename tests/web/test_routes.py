"""Every address of the page: what it answers, how faults come back, how changes lead on."""

from __future__ import annotations

import re

import pytest

from bagwright.model.layout import LaySettings
from bagwright.store.connection import FILE_NAME
from bagwright.web import bag_routes, material_routes, search_routes, workroom_routes
from bagwright.workflows.desk import Desk
from bagwright.workflows.papers import PAPER_NAMES
from bagwright.workflows.searches import Searches
from tests.web.html import fields, ids, invalid_fields, read, what_could_run
from tests.web.material_addresses import MATERIAL_ADDRESSES
from tests.workflows.demo_values import BAGS, POUCH, TOTE

PAGES = (
    "/",
    "/materials",
    "/materials/pond-canvas",
    "/workroom",
    f"/bags/{TOTE}/swaps/outer",
    f"/bags/{TOTE}/held",
    *(f"/bags/{bag_id}" for bag_id in BAGS),
)
HTMX = {"hx-request": "true"}


def sizes(client, bag_id=TOTE):
    return fields(client.get(f"/bags/{bag_id}").text, f"/bags/{bag_id}/size")


@pytest.mark.parametrize("path", PAGES)
def test_pages_are_there_and_whole(client, path):
    answer = client.get(path)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert "This is the demo" in answer.text
    assert what_could_run(answer.text) == []
    assert "None" not in " ".join(read(answer.text).texts)


@pytest.mark.parametrize("path", PAGES)
def test_ids_are_used_once_and_labels_lead_to_fields(client, path):
    html = client.get(path).text
    found = ids(html)
    assert len(found) == len(set(found)), [one for one in found if found.count(one) > 1]
    for tag, attributes in read(html).tags:
        named = [attributes.get("for"), *(attributes.get("aria-labelledby") or "").split()]
        named += (attributes.get("aria-describedby") or "").split()
        assert {str(one) for one in named if one} <= set(found), (tag, attributes)


@pytest.mark.parametrize("path", ["/drawing.css", "/static/page.css", "/static/page.js", "/static/icon.svg"])
def test_assets_are_there(client, path):
    assert client.get(path).status_code == 200


def test_every_asset_that_a_page_names_is_there(client):
    for tag, attributes in read(client.get("/").text).tags:
        for name in ("src", "href"):
            value = str(attributes.get(name) or "")
            if tag in ("script", "link"):
                assert value == "" or client.get(value).status_code == 200, value
    css = client.get("/static/page.css").text
    for url in re.findall(r"url\(['\"]?([^'\")]+)", css):
        assert client.get(url if url.startswith("/") else f"/static/{url}").status_code == 200, url


def test_the_browsers_own_icon_request_is_answered(client):
    assert client.get("/favicon.ico", follow_redirects=True).headers["content-type"].startswith("image/svg")


@pytest.mark.parametrize("paper", PAPER_NAMES)
def test_papers_are_handed_over_as_files(client, paper):
    answer = client.get(f"/bags/{TOTE}/{paper}")
    assert answer.status_code == 200
    assert answer.headers["content-disposition"] == f"attachment; filename*=UTF-8''{TOTE}-{paper}"
    assert f'href="/bags/{TOTE}/{paper}"' in client.get(f"/bags/{TOTE}").text


@pytest.mark.parametrize(
    "path", ["/nothing", "/bags/no-bag", "/bags/no-bag/pieces.svg", f"/bags/{TOTE}/plan.exe", "/static/nothing.css"]
)
def test_what_is_not_there_has_a_page_that_says_so(client, path):
    answer = client.get(path)
    assert answer.status_code == 404
    assert "There is nothing here" in answer.text and 'href="/"' in answer.text


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/static/%2e%2e%2f%2e%2e%2fpyproject.toml",
        "/static//etc/passwd",
        "/static/%2fetc%2fpasswd",
        "/static/..\\app.py",
        "/static/%5c..%5capp.py",
        "/static/fonts",
        "/static/fonts/",
        "/static/%00",
        "/static/page.css%00.txt",
        "/static/" + "a" * 3000,
        "/static/" + "../" * 40 + "etc/passwd",
    ],
)
def test_tricks_with_paths_lead_nowhere(client, path):
    answer = client.get(path)
    assert answer.status_code in (307, 400, 404)
    assert "def " not in answer.text and "root:" not in answer.text and "[project]" not in answer.text


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH"])
def test_other_methods_are_not_allowed(client, method):
    assert client.request(method, "/materials", headers={"content-length": "0"}).status_code == 405


def test_every_route_is_tried_here():
    tried = {
        "/",
        "/bags",
        "/bags/{bag_id}",
        "/bags/{bag_id}/card",
        "/bags/{bag_id}/size",
        "/bags/{bag_id}/run",
        "/bags/{bag_id}/shelf",
        "/bags/{bag_id}/layers/{role}",
        "/bags/{bag_id}/asking",
        "/bags/{bag_id}/sewing",
        "/bags/{bag_id}/swaps/{role}",
        "/bags/{bag_id}/undo",
        "/bags/{bag_id}/redo",
        "/bags/{bag_id}/copy",
        "/bags/{bag_id}/name",
        "/bags/{bag_id}/away",
        "/bags/{bag_id}/search",
        "/bags/{bag_id}/folded",
        "/bags/{bag_id}/held",
        "/bags/{bag_id}/{paper}",
        "/searches/{search_id}/news",
        "/searches/{search_id}/stop",
        "/workroom",
        "/workroom/undo",
        "/workroom/redo",
        *MATERIAL_ADDRESSES,
    }
    routes = (*bag_routes.ROUTES, *search_routes.ROUTES, *material_routes.ROUTES, *workroom_routes.ROUTES)
    assert {route.path for route in routes} == tried


# Changes lead on, so that a reload sends nothing twice


def test_a_new_bag_leads_to_its_page(client):
    answer = client.post("/bags", data={"form": "boxed_tote", "name": "Ü & co"})
    assert answer.status_code == 303
    page = client.get(answer.headers["location"])
    assert (page.status_code, "Ü &amp; co" in page.text) == (200, True)


@pytest.mark.parametrize("data", [{}, {"form": "boxed_toto"}, {"form": "boxed_tote", "name": "x" * 121}])
def test_a_new_bag_with_faults_is_refused_in_words(client, data):
    answer = client.post("/bags", data=data)
    assert answer.status_code == 422
    assert "Allowed: " in answer.text


def test_a_changed_size_leads_on_and_the_tag_shows_before_and_after(client):
    client.get(f"/bags/{TOTE}")
    answer = client.post(f"/bags/{TOTE}/size", data={**sizes(client), "width_mm": "16 in"})
    assert (answer.status_code, answer.headers["location"]) == (303, f"/bags/{TOTE}?since=1")
    page = client.get(answer.headers["location"]).text
    assert '<span class="before">was ' in page
    assert sizes(client)["width_mm"] == "16 in"
    assert '<span class="before">was ' not in client.get(f"/bags/{TOTE}").text


def test_faults_come_back_beside_their_fields_with_what_was_typed(client):
    typed = {**sizes(client), "width_mm": "abc", "height_mm": "-3", "depth_mm": "", "strap_width_mm": "15 in"}
    answer = client.post(f"/bags/{TOTE}/size", data=typed)
    assert answer.status_code == 422
    assert invalid_fields(answer.text) == {"width_mm", "height_mm", "depth_mm", "strap_width_mm"}
    back = fields(answer.text, f"/bags/{TOTE}/size")
    assert {name: back[name] for name in typed if name != "version"} == {
        k: v for k, v in typed.items() if k != "version"
    }
    for name in ("width_mm", "height_mm", "depth_mm"):
        (field,) = [a for tag, a in read(answer.text).tags if tag == "input" and a.get("name") == name]
        assert f"{name}-fault" in str(field["aria-describedby"]).split()
    assert sizes(client)["width_mm"] != "abc"
    # put right, they are taken
    fixed = {**back, "width_mm": "14", "height_mm": "13", "depth_mm": "4 in", "strap_width_mm": "1 in"}
    assert client.post(f"/bags/{TOTE}/size", data=fixed).status_code == 303


def test_a_script_is_given_the_page_with_faults_to_swap_in(client):
    answer = client.post(f"/bags/{TOTE}/size", data={**sizes(client), "width_mm": "abc"}, headers=HTMX)
    assert (answer.status_code, invalid_fields(answer.text)) == (200, {"width_mm"})


@pytest.mark.parametrize(("headers", "status"), [({}, 409), (HTMX, 200)])
def test_a_stale_page_is_told_and_overwrites_nothing(client, headers, status):
    first_tab = sizes(client)
    client.post(f"/bags/{TOTE}/size", data={**first_tab, "depth_mm": "4 in"})
    answer = client.post(f"/bags/{TOTE}/size", data={**first_tab, "width_mm": "abc"}, headers=headers)
    assert answer.status_code == status
    assert "changed in another tab" in answer.text
    assert fields(answer.text, f"/bags/{TOTE}/size") == sizes(client)
    assert (sizes(client)["depth_mm"], sizes(client)["version"]) == ("4 in", "2")


@pytest.mark.parametrize("path", ["run", "undo", "redo", "layers/outer", "name", "away"])
def test_every_change_from_a_stale_page_is_refused(client, path):
    client.post(f"/bags/{TOTE}/run", data={"version": "1", "run_count": "2"})
    data = {"version": "1", "run_count": "3", "name": "other", "material_0": "heron-duck"}
    assert client.post(f"/bags/{TOTE}/{path}", data=data).status_code == 409
    assert client.get(f"/bags/{TOTE}").text.count('name="version" value="2"') >= 3


@pytest.mark.parametrize("version", ["", "x", "-1", "²", "1.0", "9" * 30, "٣"])
@pytest.mark.parametrize("path", ["size", "run", "undo", "layers/outer", "name", "away"])
def test_versions_that_are_none_are_stale(client, path, version):
    data = {"version": version, "run_count": "3", "name": "x", "material_0": "heron-duck"}
    assert client.post(f"/bags/{TOTE}/{path}", data=data).status_code == 409


@pytest.mark.parametrize("since", ["", "x", "-1", "²", "9" * 40, "1", "1&since=2"])
def test_any_since_shows_the_bag(client, since):
    assert client.get(f"/bags/{TOTE}?since={since}").status_code == 200


def test_the_run_and_undo(client):
    answer = client.post(f"/bags/{TOTE}/run", data={"version": "1", "run_count": "3"})
    assert answer.status_code == 303
    page = client.get(answer.headers["location"]).text
    assert "At the till, 3 bags" in page and "Undo the last change" in page
    answer = client.post(f"/bags/{TOTE}/undo", data={"version": "2"})
    assert answer.headers["location"] == f"/bags/{TOTE}?since=2"
    page = client.get(answer.headers["location"]).text
    assert fields(page, f"/bags/{TOTE}/run") == {"version": "3", "run_count": "1"}
    assert "Undo the last change" not in page
    again = client.post(f"/bags/{TOTE}/redo", data=fields(page, f"/bags/{TOTE}/redo"))
    page = client.get(again.headers["location"]).text
    assert fields(page, f"/bags/{TOTE}/run") == {"version": "4", "run_count": "3"}
    assert "Undo the last change" in page and f"/bags/{TOTE}/redo" not in page
    assert client.post(f"/bags/{TOTE}/redo", data={"version": "3"}).status_code == 409
    assert client.post(f"/bags/{TOTE}/redo", data={"version": "4"}).headers["location"].endswith("since=4")


def test_a_run_that_is_refused_is_marked(client):
    answer = client.post(f"/bags/{TOTE}/run", data={"version": "1", "run_count": "many"})
    assert (answer.status_code, invalid_fields(answer.text)) == (422, {"run_count"})
    assert fields(answer.text, f"/bags/{TOTE}/run")["run_count"] == "many"


def test_layers_are_added_and_removed(client):
    path = f"/bags/{TOTE}/layers/lining"
    form = fields(client.get(f"/bags/{TOTE}").text, path)
    assert client.post(path, data={**form, "add": "1"}).status_code == 303
    form = fields(client.get(f"/bags/{TOTE}").text, path)
    assert form["material_1"] == form["material_0"] == "chalk-poplin"
    assert client.post(path, data={**form, "material_1": "mist-fuse", "held_1": "fused"}).status_code == 303
    form = fields(client.get(f"/bags/{TOTE}").text, path)
    assert (form["material_1"], form["held_1"]) == ("mist-fuse", "fused")
    assert client.post(path, data={**form, "remove": "0"}).status_code == 303
    form = fields(client.get(f"/bags/{TOTE}").text, path)
    assert (form["material_0"], "material_1" in form) == ("mist-fuse", False)


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"material_0": ""},
        {"material_0": "no-such-cloth"},
        {"material_0": "zip-slider"},
        {"material_0": "heron-duck", "held_0": "glued"},
        {"material_0": "heron-duck", "remove": "0"},
        {"material_0": "heron-duck", "extent_0": "<b>"},
        {f"material_{n}": "heron-duck" for n in range(300)},
    ],
)
def test_layers_that_cannot_be_are_refused_at_their_role(client, data):
    answer = client.post(f"/bags/{TOTE}/layers/outer", data={"version": "1", **data})
    assert answer.status_code == 422
    assert answer.text.count('class="fault"') == 1
    assert "Allowed: " in answer.text


@pytest.mark.parametrize("remove", ["x", "-1", "²", "99", "9999999999"])
def test_removing_a_layer_that_is_not_there_removes_none(client, remove):
    path = f"/bags/{TOTE}/layers/outer"
    form = fields(client.get(f"/bags/{TOTE}").text, path)
    client.post(path, data={**form, "remove": remove})
    after = fields(client.get(f"/bags/{TOTE}").text, path)
    assert after["material_1"] == form["material_1"]


def test_an_unknown_role_is_refused(client):
    assert (
        client.post(f"/bags/{TOTE}/layers/wheel", data={"version": "1", "material_0": "heron-duck"}).status_code == 422
    )


def test_a_copy_leads_to_its_own_page(client):
    answer = client.post(f"/bags/{TOTE}/copy", content=b"")
    page = client.get(answer.headers["location"])
    assert "Harbour market tote (copy)" in page.text


def test_rename_put_away_and_bring_back(client):
    assert client.post(f"/bags/{TOTE}/name", data={"version": "1", "name": "Other tote"}).status_code == 303
    assert "Other tote" in client.get("/").text
    answer = client.post(f"/bags/{TOTE}/name", data={"version": "2", "name": "x" * 121})
    assert (answer.status_code, invalid_fields(answer.text)) == (422, {"name"})
    away = client.post(f"/bags/{TOTE}/away", data={"version": "2"})
    listed = client.get(away.headers["location"]).text
    assert f'href="/bags/{TOTE}"' not in listed and "Other tote was put away" in listed
    back = fields(listed, f"/bags/{TOTE}/undo")
    assert client.post(f"/bags/{TOTE}/undo", data=back).status_code == 303
    assert f'href="/bags/{TOTE}"' in client.get("/").text


@pytest.mark.parametrize("path", ["size", "run", "undo", "copy", "search", "layers/outer", "name", "away"])
def test_changes_of_a_bag_that_is_not_kept(client, path):
    assert client.post(f"/bags/no-bag/{path}", data={"version": "1", "run_count": "2"}).status_code == 404


# Searches


def test_a_search_tells_its_news_to_the_end(client):
    answer = client.post(f"/bags/{POUCH}/search", content=b"")
    assert answer.status_code == 303
    (search,) = client.app.state.searches.by_id.values()
    news = client.get(f"/searches/{search.id}/news")
    assert news.headers["content-type"].startswith("text/event-stream")
    events = [block for block in news.text.split("\n\n") if block]
    assert events[-1] == "event: done\ndata: done"
    assert all(event.startswith("event: progress\ndata: ") for event in events[:-1])
    page = client.get(f"/bags/{POUCH}").text
    assert "The last look" in page and "sse-connect" not in page


def test_a_search_under_way_is_shown_and_stopped(client, desk):
    client.app.state.searches = Searches(desk, settings=LaySettings(iterations=10**12))
    client.post(f"/bags/{TOTE}/search", content=b"")
    (search,) = client.app.state.searches.by_id.values()
    assert f'sse-connect="/searches/{search.id}/news"' in client.get(f"/bags/{TOTE}").text
    stopped = client.post(f"/searches/{search.id}/stop", content=b"")
    assert (stopped.status_code, stopped.headers["location"]) == (303, f"/bags/{TOTE}#improve")
    assert client.post(f"/searches/{search.id}/stop", content=b"", headers=HTMX).status_code == 204
    assert client.get(f"/searches/{search.id}/news").text.endswith("event: done\ndata: done\n\n")


def test_an_unknown_search_has_no_news(client):
    assert client.get("/searches/nothing/news").status_code == 204  # which tells the browser not to ask again
    assert client.post("/searches/nothing/stop", content=b"").headers["location"] == "/"


# Workroom


def test_settings_are_saved_and_every_page_follows(client):
    form = fields(client.get("/workroom").text, "/workroom")
    answer = client.post("/workroom", data={**form, "units": "metric", "hourly_pay": "30"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/workroom?saved")
    assert "Saved." in client.get("/workroom?saved").text
    page = client.get(f"/bags/{TOTE}").text
    assert sizes(client)["width_mm"] == "33.0 cm"
    assert "$30.00 an hour" in page
    assert " yd" not in " ".join(read(page).texts)


def test_settings_with_faults_come_back_as_typed(client):
    form = fields(client.get("/workroom").text, "/workroom")
    typed = {**form, "hourly_pay": "lots", "thread_waste_share": "x", "stitch_length_mm": "9 ft", "units": "ells"}
    answer = client.post("/workroom", data=typed)
    assert answer.status_code == 422
    assert invalid_fields(answer.text) == {"hourly_pay", "thread_waste_share", "stitch_length_mm", "units"}
    back = fields(answer.text, "/workroom")
    assert (back["hourly_pay"], back["thread_waste_share"]) == ("lots", "x")
    assert fields(client.get("/workroom").text, "/workroom") == form


def test_stale_settings_are_told(client):
    form = fields(client.get("/workroom").text, "/workroom")
    client.post("/workroom", data={**form, "hourly_pay": "30"})
    answer = client.post("/workroom", data={**form, "hourly_pay": "40"})
    assert answer.status_code == 409
    assert "changed in another tab" in answer.text
    assert fields(answer.text, "/workroom")["hourly_pay"] == "30.00"


@pytest.mark.parametrize("version", ["", "x", "²", "-1", "9" * 30])
def test_settings_of_no_version_are_stale(client, version):
    assert client.post("/workroom", data={"version": version, "hourly_pay": "1"}).status_code == 409


# When things break


def test_a_store_that_is_damaged_is_told(client, desk):
    for path in desk.home.iterdir():
        path.unlink()
    (desk.home / FILE_NAME).write_bytes(b"this is no store " * 300)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "The store cannot be opened" in answer.text and FILE_NAME in answer.text


def test_what_nobody_foresaw_is_told_as_our_fault(client, monkeypatch):
    def broken(*_args: object, **_options: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr(bag_routes, "answers_at_once", broken)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "Our fault" in answer.text and "content-security-policy" in answer.headers


def test_of_many_bags_the_later_ones_are_worked_out_when_they_are_seen(client):
    for number in range(12):
        client.post("/bags", data={"form": "zip_pouch", "name": f"Pouch {number}"})
    html = client.get("/").text
    later = re.findall(r'hx-get="(/bags/[^"]+/card)"', html)
    assert len(later) == 11 and "Price that pays you" in html
    assert "Price that pays you" in client.get(f"/bags/{TOTE}/card").text
    assert all(client.get(path).status_code == 200 for path in later)
    assert client.get("/").text.count("/card") == 3  # of the first twelve all are known by now
    found = client.get("/?find=pouch 1").text
    assert found.count('class="bag-card"') - found.count('name="form"') == 3
    assert "No bag is called that" in client.get("/?find=<b>").text


def test_a_change_of_a_price_is_seen_in_answers_worked_out_before(client):
    before = client.get("/").text
    assert client.get("/").text == before
    version = re.search(r'name="version" value="(\d+)"', client.get("/workroom").text)
    assert version
    client.post("/workroom", data={"version": version[1], "hourly_pay": "180"})
    assert client.get("/").text != before


def test_a_broken_form_is_refused(client):
    answer = client.post(
        "/bags", content=b"--x\r\nbroken", headers={"content-type": "multipart/form-data; boundary=x; boundary=y"}
    )
    assert answer.status_code in (400, 422)


def test_bags_of_an_empty_store(tmp_path):
    from starlette.testclient import TestClient

    from bagwright.web.app import build_app

    client = TestClient(build_app(Desk(tmp_path)), base_url="http://127.0.0.1")
    assert "Start your first bag" in client.get("/").text
    assert "The shelf is empty" in client.get("/materials").text
    started = client.post("/bags", data={"form": "boxed_tote", "name": ""})
    assert (started.status_code, "Choose" in started.text) == (200, True)
    assert "This is the demo" not in started.text
