"""Searches under way: their news as they come, and the button that stops them."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from bagwright.web.pages import SearchPage, SearchView
from bagwright.web.served import desk_of, searches_of
from bagwright.web.templates_at import render_text
from bagwright.web.wording import Wording
from bagwright.workflows.searches import Progress, Search, SearchOf
from bagwright.workflows.workroom_changes import the_workroom

_PARTS = {
    SearchOf.BAG: "bag",
    SearchOf.RUN: "run",
    SearchOf.SCRAPS: "covers",
    SearchOf.RUN_SCRAPS: "covers",
    SearchOf.TODAY: "today",
    SearchOf.SAVINGS: "found",
    SearchOf.SHARED: "shared",
}
_COVERS = frozenset({SearchOf.SCRAPS, SearchOf.RUN_SCRAPS, SearchOf.TODAY})
_SAVINGS = frozenset({SearchOf.SAVINGS, SearchOf.SHARED})


def search_view(search: Search, progress: Progress, say: Wording) -> SearchView:
    """A search in words."""
    words = progress.fault or _words(search, progress, say)
    percent = round(progress.share_done * 100)
    return SearchView(search.id, page_of(search), _PARTS[search.of], words, percent, progress.is_done, progress.best)


def _words(search: Search, progress: Progress, say: Wording) -> str:
    where = f"Looking at {progress.cloth}. " if progress.cloth else "Starting to look. "
    if search.of in _SAVINGS:
        return progress.told or where.strip()
    return where + _found(search, progress, say)


def _found(search: Search, progress: Progress, say: Wording) -> str:
    if search.of in _COVERS:
        return f"Covered so far: {_copies(progress.covered)}." if progress.covered else "Nothing covered yet."
    if progress.shorter_by_mm > 0:
        return f"Shorter by {say.length(progress.shorter_by_mm)} so far."
    return "Nothing shorter yet."


def _copies(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def page_of(search: Search) -> str:
    """The address where what it found is shown anew."""
    if search.of in _SAVINGS:
        return f"/bags/{quote(search.bag_id)}/savings/{_PARTS[search.of]}{search.asked}"
    if search.of is SearchOf.TODAY:
        return "/stash/today"
    if search.of is SearchOf.RUN_SCRAPS:
        return f"/runs/{quote(search.bag_id)}/scraps?look=1"
    if search.of is SearchOf.SCRAPS:
        return f"/bags/{quote(search.bag_id)}/scraps?look=1"
    return f"/{'runs' if search.of is SearchOf.RUN else 'bags'}/{quote(search.bag_id)}"


def search_end(progress: Progress, say: Wording) -> str:
    """What came of the last search for layouts, in words."""
    if progress.shorter_by_mm > 0:
        found = f"The last look made the layouts {say.length(progress.shorter_by_mm)} shorter together."
    else:
        found = "The last look found nothing shorter."
    return f"{progress.fault} {found}".strip()


def cover_search_end(progress: Progress) -> str:
    """What came of the last search for covers, in words."""
    found = f"{_copies(progress.covered)} from scraps" if progress.covered else "nothing that scraps cover"
    return f"{progress.fault} The last look found {found}.".strip()


def stop(request: Request) -> Response:
    """Stop looking; the best is kept. The script hears of the end by the news; without it she goes back to the page."""
    found = searches_of(request).find(request.path_params["search_id"])
    if found:
        found.stop()
    if "hx-request" in request.headers:
        return Response(status_code=204)
    return RedirectResponse(_after_stop(found) if found else "/", status_code=303)


def waiting_at(address: str) -> str:
    """The same address, where the page comes once its search has ended."""
    return f"{address}{'&' if '?' in address else '?'}now=1"


def _after_stop(search: Search) -> str:
    address = page_of(search)
    return waiting_at(address) if search.of in _SAVINGS else f"{address}#improve"


def news(request: Request) -> Response:
    """Progress as server-sent events."""
    found = searches_of(request).find(request.path_params["search_id"])
    if not found:
        return Response(status_code=204)
    say = Wording(the_workroom(desk_of(request)))

    def events() -> Iterator[str]:
        for progress in found.news():
            text = render_text("progress.html", SearchPage(search_view(found, progress, say)))
            yield _event("progress", text)
        yield _event("done", "done")

    return StreamingResponse(events(), media_type="text/event-stream")


def _event(name: str, text: str) -> str:
    lines = "".join(f"data: {line}\n" for line in text.splitlines())
    return f"event: {name}\n{lines}\n"


ROUTES = [
    Route("/searches/{search_id}/news", news),
    Route("/searches/{search_id}/stop", stop, methods=["POST"]),
]
