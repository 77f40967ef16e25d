"""The application: routes, and the one place where errors become pages."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from bagwright.errors import BagwrightError, FaultyInput, NotKept, StaleSave, StoreRefused
from bagwright.web import (
    bag_routes,
    bond_routes,
    costs_page,
    cover_page,
    handing_routes,
    mat_routes,
    material_routes,
    measure_routes,
    money_page,
    moving_page,
    own_routes,
    paying_page,
    quote_page,
    run_routes,
    run_scraps_page,
    safekeeping_routes,
    savings_page,
    search_routes,
    shared_page,
    sign_in_page,
    stash_routes,
    steps_page,
    table_routes,
    time_routes,
    times_page,
    today_page,
    workroom_routes,
)
from bagwright.web.door import Door
from bagwright.web.frame import frame
from bagwright.web.guard import STRICT_HEADERS, Guard
from bagwright.web.pages import FaultPage
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.desk import Desk
from bagwright.workflows.pictures import drawing_css
from bagwright.workflows.searches import Searches


def build_app(desk: Desk, *, door: Door | None = None) -> Starlette:
    """The whole application over one desk; with a `door` for those who come in from a network."""
    app = Starlette(
        routes=[
            *own_routes.ROUTES,
            *moving_page.ROUTES,
            *table_routes.ROUTES,
            *mat_routes.ROUTES,
            *today_page.ROUTES,
            *stash_routes.ROUTES,
            *paying_page.ROUTES,
            *money_page.ROUTES,
            *quote_page.ROUTES,
            *savings_page.ROUTES,
            *shared_page.ROUTES,
            *time_routes.ROUTES,
            *handing_routes.ROUTES,
            *cover_page.ROUTES,
            *steps_page.ROUTES,
            *bag_routes.ROUTES,
            *measure_routes.ROUTES,
            *bond_routes.ROUTES,
            *material_routes.ROUTES,
            *run_scraps_page.ROUTES,
            *run_routes.ROUTES,
            *search_routes.ROUTES,
            *times_page.ROUTES,
            *costs_page.ROUTES,
            *workroom_routes.ROUTES,
            *safekeeping_routes.ROUTES,
            *(sign_in_page.routes_of(door) if door else ()),
            Route("/drawing.css", _drawing_css),
            Route("/favicon.ico", _favicon),
            Mount("/static", StaticFiles(directory=_static_folder())),
        ],
        middleware=[Middleware(Guard, door=door)],
        exception_handlers={HTTPException: _fault_page, BagwrightError: _fault_page, Exception: _own_fault},
    )
    app.state.desk = desk
    app.state.searches = Searches(desk)
    return app


def _static_folder() -> Path:
    return Path(str(files("bagwright.web").joinpath("static")))


def _drawing_css(request: Request) -> Response:
    return Response(drawing_css(), media_type="text/css")


def _favicon(request: Request) -> Response:
    return RedirectResponse("/static/icon.svg")


def _fault_page(request: Request, error: Exception) -> Response:
    status, heading, words = _told(error)
    page = FaultPage(frame=frame(heading, "", is_demo=desk_of(request).is_demo), heading=heading, words=words)
    return render("fault.html", page, status=status)


def _own_fault(request: Request, error: Exception) -> Response:
    """What nobody foresaw. This answer is made outside the guard, so it brings the guard's headers itself."""
    response = _fault_page(request, error)
    response.headers.update(STRICT_HEADERS)
    return response


def _told(error: Exception) -> tuple[int, str, tuple[str, ...]]:
    match error:
        case NotKept():
            return 404, "There is nothing here", ("The address names something that is not kept here, or no longer.",)
        case StaleSave():
            return (
                409,
                "Changed elsewhere",
                ("This was changed in another tab. Nothing was overwritten; load it again.",),
            )
        case FaultyInput():
            return 422, "That cannot be taken as it is", tuple(problem.sentence() for problem in error.problems)
        case StoreRefused():
            return 500, "The store cannot be opened", (str(error), "Nothing was changed.")
        case HTTPException(status_code=404):
            return 404, "There is nothing here", ("The address names no page.",)
        case HTTPException():
            return error.status_code, "That cannot be done", (error.detail,)
        case _:
            return 500, "Our fault", ("Something broke here. Nothing was changed. Please report it.", str(error))
