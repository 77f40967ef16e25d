"""Routes of the stash: the list, finding, adding, changing, using up, undoing, and the stash as a file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NotKept, StaleSave
from bagwright.model.stash import StashPiece
from bagwright.web import corners_page
from bagwright.web.form_reading import file_of, texts_of, version_of
from bagwright.web.served import desk_of
from bagwright.web.stash_asks import TypedStash
from bagwright.web.stash_find import query_of, query_read
from bagwright.web.stash_page import StashOnPage, stash_page, told_count
from bagwright.web.templates_at import render
from bagwright.workflows.desk import the_shelf
from bagwright.workflows.stash_changes import (
    add_stash_piece,
    change_stash_piece,
    stash_piece,
    the_stash,
    undo_stash_change,
    use_up,
)
from bagwright.workflows.stash_csv import stash_as_csv, take_in_stash_csv
from bagwright.workflows.stash_looking import read_wish
from bagwright.workflows.stash_wishes import StashWish
from bagwright.workflows.tell_stash import stash_as_file
from bagwright.workflows.workroom_changes import the_workroom

STALE = "This piece was changed in another tab. Nothing was overwritten: below is the stash as it is now."
_SAID = {"saved": "Saved.", "back": "Undone: it is in the stash as it was before."}
Texts = dict[str, str]


def show_stash(request: Request) -> Response:
    """The stash, or what of it meets a wish."""
    params = request.query_params
    said = next((words for name, words in _SAID.items() if name in params), _taken_in(params))
    at = next((params[name] for name in ("saved", "back", "at") if params.get(name)), "")
    return _shown(request, TypedStash(said=said, at=at, gone=_gone(request, params.get("gone", ""))), dict(params))


def _taken_in(params: Mapping[str, str]) -> str:
    """What a photo or a table brought, in words."""
    put = params.get("put", "")
    if put.isdecimal() and len(put) < 6:
        return f"{told_count(int(put))} from the picture {'is' if int(put) == 1 else 'are'} in the stash now."
    new, changed = (params.get(name, "") for name in ("new", "changed"))
    counts = [text for text in (new, changed) if text.isdecimal() and len(text) < 6]
    return f"Taken in: {new} new, {changed} changed." if len(counts) == 2 else ""


def _gone(request: Request, piece_id: str) -> tuple[StashPiece, int] | None:
    if not piece_id:
        return None
    try:
        kept = stash_piece(desk_of(request), piece_id[:200])
    except NotKept:
        return None
    return (kept.value, kept.version) if kept.retired else None


def _shown(request: Request, typed: TypedStash, find: Mapping[str, str], *, status: int = 200) -> Response:
    """The stash, or what of it meets the query `find`, with what was typed on top of it."""
    desk, wish = desk_of(request), StashWish()
    workroom = the_workroom(desk)
    try:
        wish = read_wish(find, workroom, today=date.today())
    except FaultyInput as fault:
        typed, status = TypedStash(of="find", texts=find, problems=fault.problems), 422
    items = the_stash(desk, wish)
    materials = [material for material in the_shelf(desk).materials.values() if not material.retired]
    stash = StashOnPage(items, not (items or the_stash(desk)), materials, workroom)
    return render("stash.html", stash_page(stash, find, typed, is_demo=desk.is_demo), status=status)


async def add(request: Request) -> Response:
    """A new piece by its size."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(
        _kept, request, "new", texts, lambda: add_stash_piece(desk_of(request), texts, today=date.today())
    )


async def change(request: Request) -> Response:
    """What was typed about a piece."""
    texts = texts_of(await request.form())
    piece_id = request.path_params["piece_id"]
    return await run_in_threadpool(
        _kept,
        request,
        piece_id,
        texts,
        lambda: change_stash_piece(desk_of(request), piece_id, version_of(texts), texts),
    )


def _kept(request: Request, of: str, texts: Texts, keep: Callable[[], StashPiece]) -> Response:
    find = query_read(texts)
    try:
        piece = keep()
    except FaultyInput as fault:
        return _shown(request, TypedStash(of=of, texts=texts, problems=fault.problems), find, status=422)
    except StaleSave:
        return _shown(request, TypedStash(stale=STALE), find, status=409)
    return _back_to_list(find, "saved", piece.id)


def _back_to_list(find: Texts, word: str, piece_id: str) -> Response:
    """To the part of the list that was looked at, there to the piece."""
    query = "&".join(filter(None, (query_of(find), f"{word}={quote(piece_id)}")))
    return RedirectResponse(f"/stash?{query}", status_code=303)


async def act(request: Request) -> Response:
    """Use a piece up, or undo its last change."""
    texts = texts_of(await request.form())
    piece_id, deed = request.path_params["piece_id"], request.path_params["deed"]
    find, deeds = query_read(texts), {"used": (use_up, "gone"), "undo": (undo_stash_change, "back")}
    if deed not in deeds:
        raise NotKept(f"deed {deed!r}")

    def acted() -> Response:
        do, word = deeds[deed]
        try:
            do(desk_of(request), piece_id, version_of(texts))
        except StaleSave:
            return _shown(request, TypedStash(stale=STALE), find, status=409)
        return _back_to_list(find, word, piece_id)

    return await run_in_threadpool(acted)


def show_json(request: Request) -> Response:
    """The stash in the fields that `bagwright stash` reads."""
    items = the_stash(desk_of(request))
    data = stash_as_file((item.piece for item in items), {item.material.id: item.material.name for item in items})
    headers = {"content-disposition": 'attachment; filename="stash.json"'}
    return Response(data, media_type="application/json", headers=headers)


def show_csv(request: Request) -> Response:
    """The stash as a table."""
    rows = ((item.piece, item.material) for item in the_stash(desk_of(request)))
    headers = {"content-disposition": 'attachment; filename="stash.csv"'}
    return Response(stash_as_csv(rows), media_type="text/csv; charset=utf-8", headers=headers)


async def take_csv(request: Request) -> Response:
    """A table taken in: every fault of it at once, or all of it."""
    async with request.form() as form:
        data = await file_of(form, "table")

    def taken() -> Response:
        try:
            new, changed = take_in_stash_csv(desk_of(request), data, today=date.today())
        except FaultyInput as fault:
            return _shown(request, TypedStash(of="file", problems=fault.problems), {}, status=422)
        return RedirectResponse(f"/stash?new={new}&changed={changed}", status_code=303)

    return await run_in_threadpool(taken)


ROUTES = [
    Route("/stash", show_stash),
    Route("/stash", add, methods=["POST"]),
    Route("/stash/stash.json", show_json),
    Route("/stash/stash.csv", show_csv),
    Route("/stash/table", take_csv, methods=["POST"]),
    *corners_page.ROUTES,
    Route("/stash/{piece_id}", change, methods=["POST"]),
    Route("/stash/{piece_id}/{deed}", act, methods=["POST"]),
]
