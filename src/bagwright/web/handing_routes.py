"""A whole bag as a file: to keep, to hand on, to take in."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, Problem
from bagwright.model.material import Material
from bagwright.web.form_reading import file_of
from bagwright.web.frame import frame
from bagwright.web.handing_pages import TakenInPage
from bagwright.web.served import desk_of, paper_answer
from bagwright.web.templates_at import render
from bagwright.workflows.bag_handing import BAG_FILE_NAME, TakenIn, file_of_bag, take_bag_in
from bagwright.workflows.desk import Desk

_MOST_TOLD = 30


def keep(request: Request) -> Response:
    """The file of a bag."""
    return paper_answer(file_of_bag(desk_of(request), request.path_params["bag_id"]))


async def take_in(request: Request) -> Response:
    """Take a bag in from a file, and say what came with it."""
    async with request.form(max_files=1, max_fields=5) as form:
        data = await file_of(form, "bag")
    return await run_in_threadpool(_taken, desk_of(request), data)


def _taken(desk: Desk, data: bytes) -> Response:
    try:
        return render("taken_in.html", _taken_page(desk, take_bag_in(desk, data)))
    except FaultyInput as fault:
        return render("taken_in.html", _refused_page(desk, fault.problems), status=422)


def _taken_page(desk: Desk, taken: TakenIn) -> TakenInPage:
    return TakenInPage(
        frame=frame(taken.bag.name, "/", is_demo=desk.is_demo),
        heading=f"{taken.bag.name} is among your bags now",
        bag_href=f"/bags/{quote(taken.bag.id)}",
        added=_links(taken.added),
        found=_links(taken.found),
        notes=(f"Its prices are in {taken.other_currency}, which is not your money: they were left out.",)
        if taken.other_currency
        else (),
    )


def _links(materials: Iterable[Material]) -> tuple[tuple[str, str], ...]:
    return tuple((one.name, f"/materials/{quote(one.id)}") for one in materials)


def _refused_page(desk: Desk, problems: tuple[Problem, ...]) -> TakenInPage:
    told = [problem.sentence() for problem in problems[:_MOST_TOLD]]
    more = [f"And {len(problems) - _MOST_TOLD} more."] if len(problems) > _MOST_TOLD else []
    return TakenInPage(
        frame=frame("A bag from a file", "/", is_demo=desk.is_demo),
        heading="This file cannot be taken in",
        problems=(*told, *more),
    )


ROUTES = [
    Route("/bags/file", take_in, methods=["POST"]),
    Route(f"/bags/{{bag_id}}/{BAG_FILE_NAME}", keep),
]
