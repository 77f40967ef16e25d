"""Routes of the bonds: pairs that were tested, a new test, taking one off and bringing it back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NotKept, StaleSave
from bagwright.web.bond_view import TypedBond, bonds_page
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.bonds import (
    bonds_on_shelf,
    keep_bond,
    redo_bond_change,
    remove_bond,
    try_bond,
    undo_bond_change,
)
from bagwright.workflows.bonds_csv import bonds_as_csv, take_in_bonds
from bagwright.workflows.desk import Desk, the_shelf
from bagwright.workflows.measuring import mark_of
from bagwright.workflows.workroom_changes import the_workroom

STALE = (
    "These two were changed in another tab. Nothing was overwritten: what you typed is still below. "
    "Work it out once more, then save."
)
SAID = {
    "kept": "Saved. It counts now wherever these two meet.",
    "removed": "Taken off: where these two meet, the wide range counts again.",
    "changed": "Done.",
}


def show_bonds(request: Request) -> Response:
    """The tested pairs, and the form for another; the address may name the pair."""
    params = request.query_params
    texts = {name: params[name][:80] for name in ("outer", "inner", "held") if name in params}
    said = next((words for name, words in SAID.items() if name in params), "")
    if params.get("new", "").isdecimal() and params.get("altered", "").isdecimal():
        said = f"Taken in: {params['new'][:5]} new, {params['altered'][:5]} changed."
    return _shown(request, TypedBond(texts=texts, said=said))


def _shown(request: Request, typed: TypedBond, *, status: int = 200) -> Response:
    desk = desk_of(request)
    page = bonds_page(bonds_on_shelf(desk), the_shelf(desk), the_workroom(desk), typed, is_demo=desk.is_demo)
    return render("bonds.html", page, status=status)


async def try_scrap(request: Request) -> Response:
    """What was read off a scrap, worked out and shown, or kept."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_tested, request, texts)


def _tested(request: Request, texts: dict[str, str]) -> Response:
    desk, mark, today = desk_of(request), mark_of(texts), date.today()
    try:
        tried = try_bond(desk, texts, today=today)
        if texts.get("do") == "keep" and texts.get("seen") == mark:
            keep_bond(desk, version_of(texts), texts, today=today)
            return RedirectResponse("/bonds?kept", status_code=303)
    except FaultyInput as fault:
        return _shown(request, TypedBond(texts=texts, problems=fault.problems), status=422)
    except StaleSave:
        return _shown(request, TypedBond(texts=texts, stale=STALE), status=409)
    has_changed = texts.get("do") == "keep"
    return _shown(request, TypedBond(texts=texts, tried=tried, seen=mark, has_changed=has_changed))


def show_csv(request: Request) -> Response:
    """The tested pairs as a table."""
    headers = {"content-disposition": 'attachment; filename="bonds.csv"'}
    return Response(bonds_as_csv(desk_of(request)), media_type="text/csv; charset=utf-8", headers=headers)


async def take_csv(request: Request) -> Response:
    """A table taken in."""
    async with request.form() as form:
        file = form.get("table")
        data = await file.read() if isinstance(file, UploadFile) else b""

    def taken() -> Response:
        try:
            new, changed = take_in_bonds(desk_of(request), data)
        except FaultyInput as fault:
            return _shown(request, TypedBond(refused=fault.problems), status=422)
        return RedirectResponse(f"/bonds?new={new}&altered={changed}", status_code=303)

    return await run_in_threadpool(taken)


async def act(request: Request) -> Response:
    """Take a pair off, undo, redo."""
    texts = texts_of(await request.form())
    deeds: dict[str, tuple[Callable[[Desk, str, int], None], str]] = {
        "remove": (remove_bond, "removed"),
        "undo": (undo_bond_change, "changed"),
        "redo": (redo_bond_change, "changed"),
    }

    def acted() -> Response:
        if request.path_params["deed"] not in deeds:
            raise NotKept(f"deed {request.path_params['deed']!r}")
        do, said = deeds[request.path_params["deed"]]
        try:
            do(desk_of(request), texts.get("bond_id", ""), version_of(texts))
        except StaleSave:
            return _shown(request, TypedBond(stale=STALE), status=409)
        return RedirectResponse(f"/bonds?{said}", status_code=303)

    return await run_in_threadpool(acted)


ROUTES = [
    Route("/bonds", show_bonds),
    Route("/bonds", try_scrap, methods=["POST"]),
    Route("/bonds/csv", show_csv),
    Route("/bonds/csv", take_csv, methods=["POST"]),
    Route("/bonds/{deed}", act, methods=["POST"]),
]
