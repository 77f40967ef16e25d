"""Routes of bags of her own pieces: bringing a drawing, looking at it, changing pieces, seams and measures."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import quote, urlencode

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.web.bag_page import Typed
from bagwright.web.bag_routes import STALE, shown_bag
from bagwright.web.drawing_page import Brought, drawing_page, unread_page
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.files import LARGEST_FILE_BYTES
from bagwright.workflows.own_changes import (
    Change,
    add_to_own_bag,
    change_own,
    keep_drawing,
    look_at_drawing,
    start_own_bag,
)
from bagwright.workflows.own_drawing import Answers
from bagwright.workflows.own_seams import add_measure, add_seam, change_seam, remove_measure
from bagwright.workflows.own_typed import change_edges, change_piece, copy_piece, remove_piece

MOST_FIELDS = 1200
Texts = dict[str, str]


async def bring(request: Request) -> Response:
    """Take a drawing in and show what is in it; nothing is kept yet."""
    async with request.form(max_files=1, max_fields=20) as form:
        brought, texts = form.get("drawing"), texts_of(form)
        data = await brought.read(LARGEST_FILE_BYTES + 1) if isinstance(brought, UploadFile) else b""
        name = (brought.filename or "") if isinstance(brought, UploadFile) else ""
    return await run_in_threadpool(_kept, request, name, data, texts)


def _kept(request: Request, name: str, data: bytes, texts: Texts) -> Response:
    bag_id, version = request.path_params.get("bag_id", ""), version_of(texts)
    unit = texts.get("scale_unit", "")
    try:
        if len(data) > LARGEST_FILE_BYTES:
            raise FaultyInput([_too_large()])
        token = keep_drawing(desk_of(request), name, data, unit)
    except FaultyInput as fault:
        page = unread_page(
            Brought(
                texts=texts, problems=fault.problems, bag_id=bag_id, version=version, is_demo=desk_of(request).is_demo
            )
        )
        return render("drawing.html", page, status=422)
    asked = {"scale_unit": unit, **({"bag": bag_id, "version": str(version)} if bag_id else {})}
    return RedirectResponse(f"/drawings/{token}?{urlencode(asked)}", status_code=303)


def _too_large() -> Problem:
    remedy = "Take out what is no outline, or split it."
    return Problem(place="file", value="", what="is larger than 5 MB", allowed="a drawing up to 5 MB", remedy=remedy)


def show_drawing(request: Request) -> Response:
    """What is in a drawing, at the answers that the address holds."""
    return _looked_at(request, dict(request.query_params), ())


def _looked_at(request: Request, texts: Texts, problems: tuple[Problem, ...]) -> Response:
    desk, token = desk_of(request), request.path_params["token"]
    bag_id, version = texts.get("bag", ""), version_of(texts)
    try:
        look = look_at_drawing(desk, token, Answers.of_texts(texts))
    except FaultyInput as fault:
        problems = (*problems, *(problem for problem in fault.problems if problem not in problems))
        look = look_at_drawing(desk, token, Answers(scale=texts.get("scale_unit", "") if _is_unit(problems) else ""))
    brought = Brought(texts=texts, problems=problems, bag_id=bag_id, version=version, is_demo=desk.is_demo)
    return render("drawing.html", drawing_page(look, brought), status=422 if problems else 200)


def _is_unit(problems: tuple[Problem, ...]) -> bool:
    """Whether the size that she typed can be read, whatever else is wrong."""
    return all(problem.place != "scale" for problem in problems)


async def take(request: Request) -> Response:
    """Make the pieces of the drawing hers: a new bag, or more pieces for one that there is."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_taken, request, texts)


def _taken(request: Request, texts: Texts) -> Response:
    desk, token, answers = desk_of(request), request.path_params["token"], Answers.of_texts(texts)
    bag_id, version = texts.get("bag", ""), version_of(texts)
    try:
        if not bag_id:
            bag = start_own_bag(desk, token, texts.get("name", ""), answers)
            return RedirectResponse(f"/bags/{quote(bag.id)}", status_code=303)
        add_to_own_bag(desk, bag_id, version, token, answers)
    except FaultyInput as fault:
        return _looked_at(request, texts, fault.problems)
    return RedirectResponse(f"/bags/{quote(bag_id)}?since={version}#pieces", status_code=303)


async def _change(request: Request, make: Callable[[Texts, FormData], Change], anchor: str) -> Response:
    form = await request.form(max_files=0, max_fields=MOST_FIELDS)
    texts = texts_of(form)
    return await run_in_threadpool(_changed, request, texts, make(texts, form), anchor)


def _changed(request: Request, texts: Texts, change: Change, anchor: str) -> Response:
    """Make the change and show the bag after it; a fault is shown beside its field, with what was typed."""
    bag_id, version = request.path_params["bag_id"], version_of(texts)
    try:
        change_own(desk_of(request), bag_id, version, change)
    except FaultyInput as fault:
        return shown_bag(request, Typed(texts=texts, problems=fault.problems), status=422)
    except StaleSave:
        return shown_bag(request, Typed(stale=STALE), status=409)
    return RedirectResponse(f"/bags/{quote(bag_id)}?since={version}#{anchor}", status_code=303)


async def edit_piece(request: Request) -> Response:
    """Everything in the form of one piece."""
    piece = request.path_params["piece"]
    return await _change(
        request, lambda texts, _: lambda own, room: change_piece(own, piece, texts, room), f"own-piece-{piece}"
    )


async def edit_edges(request: Request) -> Response:
    """An edge divided, or put together with the next."""
    piece = request.path_params["piece"]
    return await _change(
        request, lambda texts, _: lambda own, room: change_edges(own, piece, texts, room), f"own-piece-{piece}"
    )


async def copy(request: Request) -> Response:
    """A piece once more."""
    piece = request.path_params["piece"]
    return await _change(request, lambda texts, _: lambda own, room: copy_piece(own, piece), f"own-piece-{piece}")


async def remove(request: Request) -> Response:
    """A piece less."""
    piece = request.path_params["piece"]
    return await _change(request, lambda texts, _: lambda own, room: remove_piece(own, piece), "pieces")


async def sew(request: Request) -> Response:
    """A seam more."""
    return await _change(request, lambda texts, _: lambda own, room: add_seam(own, texts, room), "own-seams")


async def edit_seam(request: Request) -> Response:
    """A seam earlier, later or out."""
    seam = request.path_params["seam"]
    return await _change(
        request, lambda texts, _: lambda own, room: change_seam(own, seam, texts.get("how", "")), "own-seams"
    )


async def measure(request: Request) -> Response:
    """A measure more."""

    def make(texts: Texts, form: FormData) -> Change:
        edges = [value for value in form.getlist("measure.edges") if isinstance(value, str)]
        return lambda own, room: add_measure(own, texts, edges, room)

    return await _change(request, make, "own-measures")


async def drop_measure(request: Request) -> Response:
    """A measure less."""
    key = request.path_params["key"]
    return await _change(request, lambda texts, _: lambda own, room: remove_measure(own, key), "own-measures")


ROUTES = [
    Route("/drawing", bring, methods=["POST"]),
    Route("/bags/{bag_id}/drawing", bring, methods=["POST"]),
    Route("/drawings/{token}", show_drawing),
    Route("/drawings/{token}", take, methods=["POST"]),
    Route("/bags/{bag_id}/pieces/{piece}", edit_piece, methods=["POST"]),
    Route("/bags/{bag_id}/pieces/{piece}/edges", edit_edges, methods=["POST"]),
    Route("/bags/{bag_id}/pieces/{piece}/copy", copy, methods=["POST"]),
    Route("/bags/{bag_id}/pieces/{piece}/remove", remove, methods=["POST"]),
    Route("/bags/{bag_id}/seams", sew, methods=["POST"]),
    Route("/bags/{bag_id}/seams/{seam}", edit_seam, methods=["POST"]),
    Route("/bags/{bag_id}/measures", measure, methods=["POST"]),
    Route("/bags/{bag_id}/measures/{key}", drop_measure, methods=["POST"]),
]
