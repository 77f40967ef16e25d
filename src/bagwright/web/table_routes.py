"""Routes of the cutting table: the plan of one cloth, its page to print, "I cut this" and undoing it, straight rows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.web import from_stash_page
from bagwright.web.form_reading import text_of, texts_of, version_of
from bagwright.web.served import desk_of, paper_answer
from bagwright.web.strip_views import strip_ways_of
from bagwright.web.table_page import table_page
from bagwright.web.templates_at import render
from bagwright.web.unlaid_page import unlaid_page
from bagwright.workflows.cutting_acts import (
    CutWishes,
    KeptCutting,
    compare_ways,
    cut_this,
    cutting_taken_back,
    cuttings_of,
    redo_cutting,
    set_in_rows,
    undo_cutting,
)
from bagwright.workflows.cutting_papers import cutting_paper
from bagwright.workflows.cutting_table import view_table
from bagwright.workflows.desk import view_bag
from bagwright.workflows.piece_wishes import PieceWishes
from bagwright.workflows.strip_changes import set_strip_wishes
from bagwright.workflows.strip_ways import strip_ways
from bagwright.workflows.wish_changes import set_wishes, wish_choices

STALE = "This layout has changed since you opened it. Nothing was kept: look at it again, then press once more."


def _ids(request: Request) -> tuple[str, str]:
    return request.path_params["bag_id"], request.path_params["material_id"]


def show_table(request: Request) -> Response:
    """One cloth at the cutting table."""
    return _shown(request)


def _shown(
    request: Request,
    *,
    stale: str = "",
    problems: Sequence[Problem] = (),
    strip_problems: Sequence[Problem] = (),
    status: int = 200,
) -> Response:
    desk, (bag_id, material_id) = desk_of(request), _ids(request)
    try:
        view, plan = view_table(desk, bag_id, material_id)
    except NotKept:
        unlaid = unlaid_page(view_bag(desk, bag_id), material_id, strip_problems=strip_problems, stale=stale)
        return render("unlaid.html", unlaid, status=status)
    page = table_page(
        view,
        plan,
        compare_ways(desk, view, material_id),
        wishes=wish_choices(view, material_id),
        problems=problems or [one for one in view.answer.problems if one.place == "matched_seams"],
        strip_problems=strip_problems,
        strips=strip_ways(desk, view, material_id),
        cuttings=cuttings_of(desk, bag_id, material_id),
        taken_back=_taken_back(request),
        stale=stale,
    )
    return render("cutting_table.html", page, status=status)


def _taken_back(request: Request) -> KeptCutting | None:
    cutting_id = request.query_params.get("undone", "")[:200]
    try:
        return cutting_taken_back(desk_of(request), cutting_id) if cutting_id else None
    except NotKept:
        return None


async def cut(request: Request) -> Response:
    """ "I cut this"."""
    form = await request.form()
    kept = [text for text in form.getlist("keep") if isinstance(text, str)]
    wishes = CutWishes(
        cutting_id=text_of(form, "cutting_id")[:200],
        layout_name=text_of(form, "layout"),
        keep=[int(text) for text in kept if text.isdecimal() and len(text) < 4],
        bin=text_of(form, "bin"),
    )

    def done() -> Response:
        bag_id, material_id = _ids(request)
        try:
            cut_this(desk_of(request), bag_id, material_id, wishes, today=date.today())
        except StaleSave:
            return _shown(request, stale=STALE, status=409)
        return _to(request, "#cut")

    return await run_in_threadpool(done)


async def act(request: Request) -> Response:
    """Take a cutting back, or bring it back."""
    form = await request.form()
    cutting_id, deed = text_of(form, "cutting_id"), request.path_params["deed"]

    def done() -> Response:
        try:
            if deed == "undo":
                undo_cutting(desk_of(request), cutting_id, version_of(form))
                return _to(request, f"?undone={quote(cutting_id)}#cut")
            redo_cutting(desk_of(request), cutting_id)
        except StaleSave:
            return _shown(request, stale=STALE, status=409)
        return _to(request, "#cut")

    if deed not in ("undo", "redo"):
        raise NotKept(f"deed {deed!r}")
    return await run_in_threadpool(done)


async def rows(request: Request) -> Response:
    """Straight rows for this bag, or the shortest layouts again."""
    form = await request.form()

    def done() -> Response:
        try:
            set_in_rows(desk_of(request), _ids(request)[0], version_of(form), in_rows=text_of(form, "in_rows") == "1")
        except StaleSave:
            return _shown(request, stale=STALE, status=409)
        return _to(request)

    return await run_in_threadpool(done)


async def wish(request: Request) -> Response:
    """Which pieces ask for the best part of a hide or for no motif, and across which seams a print goes on."""
    form = await request.form()
    best, matched, any_print = (
        [text[:200] for text in form.getlist(name) if isinstance(text, str)]
        for name in ("best_only", "matched", "any_print")
    )
    wishes = PieceWishes(best_only=best, matched_seams=matched, any_print=any_print)

    def done() -> Response:
        bag_id, material_id = _ids(request)
        desk = desk_of(request)
        try:
            set_wishes(desk, bag_id, version_of(form), material_id=material_id, wishes=wishes)
        except StaleSave:
            return _shown(request, stale=STALE, status=409)
        except FaultyInput as fault:
            return _shown(request, problems=fault.problems, status=422)
        return _to(request, "#wishes")

    return await run_in_threadpool(done)


async def strips(request: Request) -> Response:
    """How the strips of this cloth are cut."""
    form = await request.form()
    ways = strip_ways_of(texts_of(form))

    def done() -> Response:
        bag_id, material_id = _ids(request)
        try:
            set_strip_wishes(desk_of(request), bag_id, version_of(form), material_id=material_id, ways=ways)
        except StaleSave:
            return _shown(request, stale=STALE, status=409)
        except FaultyInput as fault:
            return _shown(request, strip_problems=fault.problems, status=422)
        return _to(request, "#strips")

    return await run_in_threadpool(done)


def paper(request: Request) -> Response:
    """The page for the cutting table."""
    bag_id, material_id = _ids(request)
    return paper_answer(cutting_paper(desk_of(request), bag_id, material_id, request.path_params["paper"]))


def _to(request: Request, rest: str = "") -> Response:
    bag_id, material_id = _ids(request)
    return RedirectResponse(f"/bags/{quote(bag_id)}/layouts/{quote(material_id)}{rest}", status_code=303)


_ONE = "/bags/{bag_id}/layouts/{material_id}"
ROUTES = [
    *from_stash_page.ROUTES,
    Route(_ONE, show_table),
    Route(f"{_ONE}/cut", cut, methods=["POST"]),
    Route(f"{_ONE}/rows", rows, methods=["POST"]),
    Route(f"{_ONE}/wishes", wish, methods=["POST"]),
    Route(f"{_ONE}/strips", strips, methods=["POST"]),
    Route(f"{_ONE}/cut/{{deed}}", act, methods=["POST"]),
    Route(f"{_ONE}/{{paper}}", paper),
]
