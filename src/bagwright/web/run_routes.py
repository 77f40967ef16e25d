"""Routes of runs: the list, one run, its changes, what sellers ask for, the supply list."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NotKept, StaleSave
from bagwright.web.form_reading import text_of, texts_of, version_of
from bagwright.web.run_page import TypedRun, more_page, run_page, runs_page, supplies_page
from bagwright.web.search_routes import search_end, search_view
from bagwright.web.served import desk_of, paper_answer, searches_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import Desk
from bagwright.workflows.runs import (
    all_runs,
    bag_names,
    change_run,
    change_terms,
    compare_run,
    one_more,
    put_run_away,
    redo_run_change,
    run_put_away,
    start_run,
    undo_run_change,
    undo_terms_change,
    view_run,
)
from bagwright.workflows.searches import SearchOf
from bagwright.workflows.supply_list import ListFor, supply_list
from bagwright.workflows.supply_papers import supply_paper

STALE = "This was changed in another tab. Nothing was overwritten: below is the run as it is now."


def show_runs(request: Request) -> Response:
    """All runs, and the form to start one."""
    desk = desk_of(request)
    away = run_put_away(desk, request.query_params.get("away", "")[:200])
    return render("runs.html", runs_page(all_runs(desk), away, names=bag_names(desk), is_demo=desk.is_demo))


async def new_run(request: Request) -> Response:
    """Start a run."""
    form = await request.form()
    run = await run_in_threadpool(start_run, desk_of(request), text_of(form, "name"))
    return RedirectResponse(f"/runs/{quote(run.id)}", status_code=303)


def show_run(request: Request) -> Response:
    """The page of one run; with ``more`` also what making them together saves and what one more takes."""
    return _shown(request, TypedRun())


def _shown(request: Request, typed: TypedRun, *, status: int = 200) -> Response:
    desk = desk_of(request)
    view = view_run(desk, request.path_params["run_id"])
    more = None
    if "more" in request.query_params and view.answer.plan:
        more = more_page(view, compare_run(desk, view), one_more(desk, view))
    told = 200 if "hx-request" in request.headers else status
    searches, say = searches_of(request), Wording(view.shop.workroom)
    search = searches.under_way(_id(request), SearchOf.RUN)
    last = searches.last_done(_id(request), SearchOf.RUN)
    job = search_view(search, search.progress, say) if search else None
    page = run_page(view, typed, job=job, ended=search_end(last, say) if last else "", more=more)
    return render("run.html", page, status=told)


def search(request: Request) -> Response:
    """Start looking for shorter layouts."""
    searches_of(request).start_run(_id(request))
    return RedirectResponse(f"/runs/{quote(_id(request))}#improve", status_code=303)


async def change(request: Request) -> Response:
    """Another name, other numbers, another bag, what leftovers are worth."""
    form = await request.form()
    texts = texts_of(form)
    return await run_in_threadpool(
        _changed,
        request,
        lambda: change_run(desk_of(request), _id(request), version_of(form), texts),
        TypedRun(texts=texts),
    )


async def terms(request: Request) -> Response:
    """What a seller asks for."""
    form = await request.form()
    texts = texts_of(form)
    typed = TypedRun(texts=texts, seller=texts.get("seller", ""))
    return await run_in_threadpool(
        _changed, request, lambda: change_terms(desk_of(request), version_of(form), texts), typed
    )


async def undo(request: Request) -> Response:
    """Back to before the last change."""
    return await _stepped(request, undo_run_change)


async def redo(request: Request) -> Response:
    """Forward again."""
    return await _stepped(request, redo_run_change)


async def _stepped(request: Request, step: Callable[[Desk, str, int], object]) -> Response:
    version = version_of(await request.form())
    return await run_in_threadpool(_changed, request, lambda: step(desk_of(request), _id(request), version), TypedRun())


async def undo_terms(request: Request) -> Response:
    """What a seller asked for before the last change."""
    form = await request.form()
    seller = texts_of(form).get("seller", "")
    return await run_in_threadpool(
        _changed,
        request,
        lambda: undo_terms_change(desk_of(request), seller, version_of(form)),
        TypedRun(seller=seller),
    )


async def put_away(request: Request) -> Response:
    """Off the list, with a way back."""
    version = version_of(await request.form())
    answer = await run_in_threadpool(
        _changed, request, lambda: put_run_away(desk_of(request), _id(request), version), TypedRun()
    )
    away = quote(_id(request))
    return RedirectResponse(f"/runs?away={away}", status_code=303) if answer.status_code == 303 else answer


def _changed(request: Request, change: Callable[[], object], typed: TypedRun) -> Response:
    """Make the change and show the run after it; a fault is shown beside its field, with what was typed."""
    try:
        change()
    except FaultyInput as fault:
        refused = TypedRun(texts=typed.texts, problems=fault.problems, seller=typed.seller)
        return _shown(request, refused, status=422)
    except StaleSave:
        return _shown(request, TypedRun(stale=STALE), status=409)
    return RedirectResponse(f"/runs/{quote(_id(request))}", status_code=303)


def show_supplies(request: Request) -> Response:
    """The supply list, hers or a group's."""
    desk = desk_of(request)
    found = supply_list(desk, view_run(desk, _id(request)), _list_for(request))
    if found is None:  # the page says what is missing
        return RedirectResponse(f"/runs/{quote(_id(request))}", status_code=303)
    return render("supplies.html", supplies_page(found, _id(request), is_demo=desk.is_demo))


def paper(request: Request) -> Response:
    """The supply list as a file."""
    return paper_answer(supply_paper(desk_of(request), _id(request), request.path_params["paper"], _list_for(request)))


def _list_for(request: Request) -> ListFor:
    asked = request.query_params.get("for", ListFor.HER.value)
    if asked not in set(ListFor):
        raise NotKept(f"list for {asked[:40]!r}")
    return ListFor(asked)


def _id(request: Request) -> str:
    run_id: str = request.path_params["run_id"]
    return run_id


ROUTES = [
    Route("/runs", show_runs),
    Route("/runs", new_run, methods=["POST"]),
    Route("/runs/{run_id}", show_run),
    Route("/runs/{run_id}", change, methods=["POST"]),
    Route("/runs/{run_id}/terms", terms, methods=["POST"]),
    Route("/runs/{run_id}/terms/undo", undo_terms, methods=["POST"]),
    Route("/runs/{run_id}/undo", undo, methods=["POST"]),
    Route("/runs/{run_id}/redo", redo, methods=["POST"]),
    Route("/runs/{run_id}/away", put_away, methods=["POST"]),
    Route("/runs/{run_id}/search", search, methods=["POST"]),
    Route("/runs/{run_id}/supplies", show_supplies),
    Route("/runs/{run_id}/{paper}", paper),
]
