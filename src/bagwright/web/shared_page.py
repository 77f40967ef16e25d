"""What buying for several bags in one go saves on a bag: a part of its page of savings."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput
from bagwright.web.lacks import lacks_of
from bagwright.web.looks import Look, look_or_known
from bagwright.web.savings_page import action_at, savings_page, texts_asked
from bagwright.web.savings_pages import SharedLine, SharedPart, SharedView
from bagwright.web.search_routes import waiting_at
from bagwright.web.served import desk_of, searches_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import BagView, view_bag
from bagwright.workflows.savings import needs_price
from bagwright.workflows.savings_searches import start_shared
from bagwright.workflows.searches import SearchOf
from bagwright.workflows.shared_buying import SharedBuying, known_shared, shared_said, start_shared_run

_STOPPED = "The search was stopped: not every bag was looked at."


def show_shared(request: Request) -> Response:
    """What buying for several bags in one go saves: a part of the page, or a page of its own without script."""
    bag_id = request.path_params["bag_id"]
    view = view_bag(desk_of(request), bag_id)
    try:
        needs_price(view)
        shared = _shared_so_far(request, view)
    except FaultyInput as lacking:
        shared = SharedView(action=_at(view), lacks=lacks_of(lacking.problems, bag_id))
    if "hx-request" in request.headers:
        return render("savings_shared.html", SharedPart(shared))
    return render("savings.html", replace(savings_page(view, texts_asked({}), "", None), shared=shared))


def _shared_so_far(request: Request, view: BagView) -> SharedView:
    desk, searches, bag_id, action = desk_of(request), searches_of(request), view.answer.bag.id, _at(view)
    again = f"{action}/search"

    def known() -> SharedView | None:
        found = known_shared(desk, bag_id)
        if not found:
            return None
        told = "" if found.is_whole else _STOPPED
        return SharedView(action=action, lines=tuple(map(_shared_line, found.ways)), told=told, again=again)

    look = Look(SearchOf.SHARED, bag_id, "", known, lambda: start_shared(searches, bag_id))
    shown = look_or_known(searches, look, Wording(view.workroom), is_now="now" in request.query_params)
    if isinstance(shown, SharedView):
        return shown
    if isinstance(shown, str):
        return SharedView(action=action, told=shown, again=again)
    return SharedView(action=action, job=shown, wait=waiting_at(shown.href))


def look_again(request: Request) -> Response:
    """Look anew for what buying for several bags in one go saves."""
    view = view_bag(desk_of(request), request.path_params["bag_id"])
    start_shared(searches_of(request), view.answer.bag.id)
    return RedirectResponse(_at(view), status_code=303)


def _shared_line(one: SharedBuying) -> SharedLine:
    does, effect, behind = shared_said(one)
    return SharedLine(does=does, effect=effect, behind=behind, ids=tuple(other.id for other in one.others))


async def try_shared(request: Request) -> Response:
    """A run of the bag and the others that were sent."""
    form = await request.form()
    ids = [one for one in form.getlist("with") if isinstance(one, str)]
    run = await run_in_threadpool(start_shared_run, desk_of(request), request.path_params["bag_id"], ids)
    return RedirectResponse(f"/runs/{quote(run.id)}", status_code=303)


def _at(view: BagView) -> str:
    return f"{action_at(view)}/shared"


ROUTES = [
    Route("/bags/{bag_id}/savings/shared", show_shared),
    Route("/bags/{bag_id}/savings/shared", try_shared, methods=["POST"]),
    Route("/bags/{bag_id}/savings/shared/search", look_again, methods=["POST"]),
]
