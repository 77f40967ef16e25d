"""Routes of the mat: the cards to print, a photo taken in, looked at, and its scraps put into the stash."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import date
from functools import wraps
from typing import Concatenate, ParamSpec

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NoAnswer, NotKept, Problem
from bagwright.web.form_reading import texts_of
from bagwright.web.mat_page import TypedMat, mat_page, mat_photo_page
from bagwright.web.mat_pages import MatPage
from bagwright.web.served import desk_of
from bagwright.web.stash_find import newest_first
from bagwright.web.templates_at import render
from bagwright.workflows.mat_corrections import correct_photo
from bagwright.workflows.mat_photo import (
    MOST_PHOTOS,
    held_photos,
    keep_photo,
    kept_side,
    look_again,
    look_at_photo,
    mat_picture,
    outlines_svg,
    picture_of_scrap,
)
from bagwright.workflows.pieces_of_photo import drawing_of_photo
from bagwright.workflows.scraps_of_photo import keep_scraps
from bagwright.workflows.tell_outline import full_mat, marker_cards

MOST_FIELDS = 2000
Texts = dict[str, str]
Rest = ParamSpec("Rest")
Answers = Callable[Concatenate[Request, Rest], Response]


def show_mat(request: Request) -> Response:
    """How to take a photo, and where to send it."""
    return render("mat.html", _mat(request, TypedMat()))


def _mat(request: Request, typed: TypedMat) -> MatPage:
    desk = desk_of(request)
    return mat_page(typed, kept_side(desk), held_photos(desk), is_demo=desk.is_demo)


def _of_held_photo(answer: Answers[Rest]) -> Answers[Rest]:
    """The answer, or what became of a photo that is no longer held."""

    @wraps(answer)
    def answered(request: Request, /, *rest: Rest.args, **named: Rest.kwargs) -> Response:
        try:
            return answer(request, *rest, **named)
        except NotKept:
            gone = Problem(
                place="photo",
                value="This picture",
                what="made room for newer ones",
                allowed=f"the last {MOST_PHOTOS} pictures",
                remedy="Take it in again below. What you put in the stash is still there.",
            )
            return render("mat.html", _mat(request, TypedMat(problems=(gone,))), status=404)

    return answered


def show_cards(request: Request) -> Response:
    """The marker cards, to print."""
    cards = marker_cards(request.path_params["name"])
    headers = {"content-disposition": f'attachment; filename="{cards.name}"'}
    return Response(cards.data, media_type=cards.kind, headers=headers)


def show_full_mat(request: Request) -> Response:
    """A whole mat, for a print shop."""
    mat = full_mat(request.path_params["size"], request.path_params["colour"])
    headers = {"content-disposition": f'attachment; filename="{mat.name}"'}
    return Response(mat.data, media_type=mat.kind, headers=headers)


async def take_photo(request: Request) -> Response:
    """Read a photo; nothing is kept in the stash yet."""
    async with request.form(max_files=1, max_fields=20) as form:
        file, texts = form.get("photo"), texts_of(form)
        data = await file.read() if isinstance(file, UploadFile) else b""
        name = (file.filename or "") if isinstance(file, UploadFile) else ""
    return await run_in_threadpool(_read, request, texts, lambda: keep_photo(desk_of(request), name, data, texts))


async def again(request: Request) -> Response:
    """Read the same photo with other answers."""
    texts = await _texts(request)
    token = request.path_params["token"]
    return await run_in_threadpool(_read, request, texts, lambda: look_again(desk_of(request), token, texts))


@_of_held_photo
def _read(request: Request, texts: Texts, read: Callable[[], str]) -> Response:
    try:
        token = read()
    except FaultyInput as fault:
        problems = fault.problems
    except NoAnswer as none:
        problems = (none.problem,)
    else:
        return RedirectResponse(f"/mat/{token}", status_code=303)
    return render("mat.html", _mat(request, TypedMat(texts=texts, problems=problems, is_sent=True)), status=422)


@_of_held_photo
def show_photo(request: Request) -> Response:
    """What is in a photo."""
    return _shown(request, TypedMat())


def _of_form(answer: Callable[[Request, Texts], Response]) -> Callable[[Request], Awaitable[Response]]:
    """The answer to the form of a held photo, or the form with what is wrong in it."""

    @_of_held_photo
    def answered(request: Request, texts: Texts) -> Response:
        try:
            return answer(request, texts)
        except FaultyInput as fault:
            return _shown(request, TypedMat(texts=texts, problems=fault.problems, is_sent=True), status=422)

    @wraps(answer)
    async def posted(request: Request) -> Response:
        return await run_in_threadpool(answered, request, await _texts(request))

    return posted


async def _texts(request: Request) -> Texts:
    return texts_of(await request.form(max_files=0, max_fields=MOST_FIELDS))


def _shown(request: Request, typed: TypedMat, *, status: int = 200, done: str = "") -> Response:
    look = look_at_photo(desk_of(request), request.path_params["token"])
    return render("mat_photo.html", mat_photo_page(look, typed, done), status=status)


@_of_form
def keep(request: Request, texts: Texts) -> Response:
    """Put the ticked outlines into the stash."""
    pieces = keep_scraps(desk_of(request), request.path_params["token"], texts, today=date.today())
    return RedirectResponse(f"/stash?{newest_first(len(pieces))}", status_code=303)


@_of_form
def make_pieces(request: Request, texts: Texts) -> Response:
    """Hand the ticked outlines on as pieces of a bag."""
    drawing = drawing_of_photo(desk_of(request), request.path_params["token"], texts)
    return RedirectResponse(f"/drawings/{drawing}", status_code=303)


@_of_form
def correct(request: Request, texts: Texts) -> Response:
    """Part an outline, join two, or undo the last of these."""
    left, done = correct_photo(desk_of(request), request.path_params["token"], texts)
    return _shown(request, TypedMat(texts=left, is_sent=True), done=done)


def corrected(request: Request) -> Response:
    """Where the answer to a correction is asked for anew, as by a tab that was put to sleep: the photo."""
    return RedirectResponse(f"/mat/{request.path_params['token']}", status_code=303)


def show_picture(request: Request) -> Response:
    """The mat from straight above."""
    return Response(mat_picture(desk_of(request), request.path_params["token"]), media_type="image/jpeg")


def show_outlines(request: Request) -> Response:
    """All outlines at true scale."""
    headers = {"content-disposition": 'attachment; filename="outlines.svg"'}
    data = outlines_svg(desk_of(request), request.path_params["token"])
    return Response(data, media_type="image/svg+xml", headers=headers)


def show_scrap(request: Request) -> Response:
    """The picture of a piece of the stash."""
    picture = picture_of_scrap(desk_of(request), request.path_params["piece_id"])
    return Response(picture.data, media_type=picture.media_type)


ROUTES = [
    Route("/mat", show_mat),
    Route("/mat/cards/{name}", show_cards),
    Route("/mat/whole/{size}/{colour}", show_full_mat),
    Route("/stash/photo", take_photo, methods=["POST"]),
    Route("/stash/{piece_id}/picture", show_scrap),
    Route("/mat/{token}", show_photo),
    Route("/mat/{token}", keep, methods=["POST"]),
    Route("/mat/{token}/correct", correct, methods=["POST"]),
    Route("/mat/{token}/correct", corrected),
    Route("/mat/{token}/pieces", make_pieces, methods=["POST"]),
    Route("/mat/{token}/again", again, methods=["POST"]),
    Route("/mat/{token}/picture.jpg", show_picture),
    Route("/mat/{token}/outlines.svg", show_outlines),
]
