"""Everything as one file, and everything back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput
from bagwright.web.form_reading import file_of
from bagwright.web.served import desk_of, paper_answer
from bagwright.web.workroom_routes import shown_workroom
from bagwright.workflows.desk import Desk
from bagwright.workflows.safekeeping import (
    bring_everything_back,
    go_back_to,
    keep_everything,
    tables_of_everything,
)


def keep(request: Request) -> Response:
    """The file that holds everything."""
    return paper_answer(keep_everything(desk_of(request), datetime.now()))


def tables(request: Request) -> Response:
    """All that is kept as tables, in one file."""
    return paper_answer(tables_of_everything(desk_of(request), request.path_params["name"]))


async def bring_back(request: Request) -> Response:
    """Everything as a file has it."""
    async with request.form(max_files=1, max_fields=5) as form:
        data = await file_of(form, "everything")
    desk = desk_of(request)
    return await run_in_threadpool(_brought, desk, lambda: bring_everything_back(desk, data, datetime.now()))


def go_back(request: Request) -> Response:
    """Everything as it was before something was brought back."""
    desk, name = desk_of(request), request.path_params["name"]
    return _brought(desk, lambda: go_back_to(desk, name, datetime.now()))


def _brought(desk: Desk, bring: Callable[[], None]) -> Response:
    try:
        bring()
    except FaultyInput as fault:
        refused = " ".join(f"This file {problem.what}. {problem.remedy}" for problem in fault.problems)
        return shown_workroom(desk, refused=refused, status=422)
    return RedirectResponse("/workroom?brought", status_code=303)


ROUTES = [
    Route("/everything.sqlite3", keep),
    Route("/everything", bring_back, methods=["POST"]),
    Route("/everything/{name}", tables),
    Route("/everything/{name}", go_back, methods=["POST"]),
]
