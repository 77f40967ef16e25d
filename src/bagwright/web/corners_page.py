"""The page on which the corners of a piece of the stash are moved, added and dropped. Views and routes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.frame import frame
from bagwright.web.pages import Frame
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.desk import the_shelf
from bagwright.workflows.pictures import corners_picture
from bagwright.workflows.stash_changes import stash_piece
from bagwright.workflows.stash_corners import (
    MOST_CORNERS,
    OUTLINE,
    PartOf,
    Row,
    keep_corners,
    part_of,
    parts_of,
    printed_rows,
    read_rows,
    with_one_more,
    without_one,
)
from bagwright.workflows.workroom_changes import the_workroom

STALE = "This piece was changed in another tab. Nothing was overwritten: below are its corners as they are now."


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerView:
    """One corner: its number, the two fields, what is wrong with each."""

    number: int
    x: str
    y: str
    x_fault: str
    y_fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CornersPage:
    """stash_corners.html; `others`: parts with their addresses. No corners: there are too many to type."""

    frame: Frame
    piece_id: str
    version: int
    name: str
    key: str
    part_name: str
    others: tuple[tuple[str, str], ...]
    picture: Markup
    corners: tuple[CornerView, ...]
    can_drop: bool
    can_add: bool
    said: str
    problems: tuple[str, ...]
    stale: str


@dataclass(frozen=True, slots=True)
class _Typed:
    rows: tuple[Row, ...] | None = None
    said: str = ""
    problems: Sequence[Problem] = ()
    stale: str = ""


def show_corners(request: Request) -> Response:
    """The corners of one part of a piece."""
    said = "Saved." if "saved" in request.query_params else ""
    return _shown(request, request.query_params.get("part", OUTLINE), _Typed(said=said))


def _shown(request: Request, key: str, typed: _Typed, *, status: int = 200) -> Response:
    desk, piece_id = desk_of(request), request.path_params["piece_id"]
    kept, workroom = stash_piece(desk, piece_id), the_workroom(desk)
    piece, part = kept.value, part_of(kept.value, key[:40])
    material = the_shelf(desk).materials[piece.material_id]
    rows = typed.rows if typed.rows is not None else printed_rows(part.ring, workroom)
    problems, ring = list(typed.problems), part.ring
    try:
        ring = read_rows(rows, part.ring, workroom)
    except FaultyInput as fault:
        problems = problems or list(fault.problems) if typed.rows is not None else problems
    faults = {problem.place: problem.words() for problem in problems}
    corners = tuple(
        CornerView(number=i, x=x, y=y, x_fault=faults.pop(f"x-{i}", ""), y_fault=faults.pop(f"y-{i}", ""))
        for i, (x, y) in enumerate(rows)
    )
    page = CornersPage(
        frame=frame(f"Corners of a piece of {material.name}", "/stash", is_demo=desk.is_demo),
        piece_id=piece_id,
        version=kept.version,
        name=material.name,
        key=part.key,
        part_name=part.name,
        others=tuple((one.name, _address(piece_id, one)) for one in parts_of(piece) if one.key != part.key),
        picture=Markup(corners_picture(piece, ring, material)),
        corners=corners if len(rows) <= MOST_CORNERS else (),
        can_drop=len(rows) > 3,
        can_add=len(rows) < MOST_CORNERS,
        said=typed.said,
        problems=tuple(faults.values()),
        stale=typed.stale,
    )
    return render("stash_corners.html", page, status=status)


def _address(piece_id: str, part: PartOf) -> str:
    return f"/stash/{quote(piece_id)}/corners?part={quote(part.key)}"


async def change_corners(request: Request) -> Response:
    """Draw what is typed, add or drop a corner, or keep them all."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_changed, request, texts)


def _changed(request: Request, texts: dict[str, str]) -> Response:
    key, deed = texts.get("part", OUTLINE), texts.get("deed", "draw")
    rows, workroom = _rows_of(texts), the_workroom(desk_of(request))
    word, _, number = deed.partition("-")
    at = int(number) if number.isdecimal() and len(number) < 4 else -1
    if word == "add":
        return _shown(request, key, _Typed(with_one_more(rows, at, workroom), "One corner more. Nothing is saved yet."))
    if word == "drop":
        return _shown(request, key, _Typed(without_one(rows, at), "One corner less. Nothing is saved yet."))
    if word == "draw":
        return _shown(request, key, _Typed(rows, "Drawn as typed. Nothing is saved yet."))
    if word != "save":
        raise NotKept(f"deed {deed!r}")
    return _saved(request, key, rows, version_of(texts))


def _saved(request: Request, key: str, rows: tuple[Row, ...], version: int) -> Response:
    piece_id = request.path_params["piece_id"]
    try:
        keep_corners(desk_of(request), piece_id, version, key, rows)
    except FaultyInput as fault:
        return _shown(request, key, _Typed(rows, problems=fault.problems), status=422)
    except StaleSave:
        return _shown(request, key, _Typed(stale=STALE), status=409)
    return RedirectResponse(f"/stash/{quote(piece_id)}/corners?part={quote(key)}&saved=1", status_code=303)


def _rows_of(texts: dict[str, str]) -> tuple[Row, ...]:
    """The rows from the first on, up to the first that is missing."""
    rows: list[Row] = []
    while len(rows) < MOST_CORNERS and f"x-{len(rows)}" in texts:
        rows.append((texts[f"x-{len(rows)}"][:40], texts.get(f"y-{len(rows)}", "")[:40]))
    return tuple(rows)


ROUTES = [
    Route("/stash/{piece_id}/corners", show_corners),
    Route("/stash/{piece_id}/corners", change_corners, methods=["POST"]),
]
