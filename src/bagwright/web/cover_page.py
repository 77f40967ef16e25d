"""A bag's inner layers from scraps: what is covered, whether it is worth it, the button that uses them up."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from urllib.parse import quote

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.web.form_reading import text_of, texts_of, version_of
from bagwright.web.frame import frame
from bagwright.web.pages import Check, Field, Frame, SearchView
from bagwright.web.search_routes import cover_search_end, search_view
from bagwright.web.served import desk_of, file_answer, searches_of
from bagwright.web.stash_find import piece_address
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.cover_searches import start_scraps
from bagwright.workflows.covering import CoveredTemplate, ScrapCovers, covers_for_bag
from bagwright.workflows.covering_acts import use_scraps
from bagwright.workflows.covering_words import (
    cover_in_words,
    cover_picture,
    covers_paper,
    fuse_cautions,
    left_in_words,
    ridge_words,
    scraps_in_words,
    worth_in_words,
)
from bagwright.workflows.cutting_acts import new_cutting_id
from bagwright.workflows.desk import BagView, undo_change, view_bag
from bagwright.workflows.scrap_wishes import printed_wishes, set_scrap_wishes
from bagwright.workflows.search_tables import covers_rows
from bagwright.workflows.searches import SearchOf
from bagwright.workflows.tables import one_table

STALE = "The stash or the bag has changed since you opened this. Nothing was taken: look again, then press once more."
PAPERS = {"a4": "A4", "letter": "Letter"}


@dataclass(frozen=True, slots=True)
class CoverView:
    """One covered copy of a template. `scraps`: what each holds, where the stash shows it, what else is said of it."""

    title: str
    picture: Markup
    told: tuple[str, ...]
    scraps: tuple[tuple[str, str, str], ...]
    worth: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverMaterialView:
    """All covers of one material."""

    material_id: str
    name: str
    covers: tuple[CoverView, ...]
    left: tuple[str, ...]
    ridges: tuple[str, ...]
    cautions: tuple[str, ...]
    cutting_id: str
    seen: str
    problems: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverPage:
    """covers.html; `is_looking`: the answer is fetched by the page itself, or by the link where there is no script"""

    frame: Frame
    bag_id: str
    bag_name: str
    version: int
    is_looking: bool
    materials: tuple[CoverMaterialView, ...]
    fields: tuple[Field, ...]
    checks: tuple[Check, ...]
    is_open: bool
    can_undo: bool
    job: SearchView | None
    search_words: str
    stale: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Typed:
    """What was typed and refused, and whether the answer is asked for."""

    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    stale: str = ""
    looks: bool = False
    is_saved: bool = False


def show(request: Request) -> Response:
    """The page at once; what takes a while is asked for by it, or with `look`."""
    query = request.query_params
    return _shown(request, _Typed(looks="look" in query, is_saved="saved" in query))


def _shown(request: Request, typed: _Typed, *, status: int = 200) -> Response:
    desk, bag_id = desk_of(request), request.path_params["bag_id"]
    view, searches = view_bag(desk, bag_id), searches_of(request)
    search, last = searches.under_way(bag_id, SearchOf.SCRAPS), searches.last_done(bag_id, SearchOf.SCRAPS)
    found = covers_for_bag(desk, view) if typed.looks or typed.stale else None
    job = search_view(search, search.progress, Wording(view.workroom)) if search else None
    page = _page(view, typed, found, (job, cover_search_end(last) if last else ""))
    return render("covers.html", page, status=status)


def _page(
    view: BagView, typed: _Typed, found: tuple[ScrapCovers, ...] | None, search: tuple[SearchView | None, str]
) -> CoverPage:
    bag, (job, ended) = view.answer.bag, search
    seconds = f"It takes up to {bag.scraps.seconds:g} seconds for each material and can be stopped at any time."
    return CoverPage(
        frame=frame(f"{bag.name}: from scraps", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        version=bag.version,
        is_looking=found is None and not typed.problems,
        materials=tuple(covered_material(view, one, (ridge_words(view, one),)) for one in found or ()),
        fields=_fields(view, typed),
        checks=_checks(view, typed),
        is_open=bool(typed.problems),
        can_undo=typed.is_saved and view.can_undo,
        job=job,
        search_words=f"{ended} {seconds}".strip(),
        stale=typed.stale,
    )


_ASKED = (
    ("enough", "Enough of a piece, %", "50 to 100; what stays bare lies in the seam allowance or out of sight."),
    ("gap", "Widest gap", "Between two scraps, or at the edge."),
    ("scraps", "Scraps under one piece, at most", "1 to 12."),
    ("keep_off", "Joins stay off folds by", "Off strap ends, snaps and zips, too."),
    ("seconds", "Seconds a search may take", "For each material, 1 to 600."),
)


def _fields(view: BagView, typed: _Typed) -> tuple[Field, ...]:
    printed = printed_wishes(view.answer.bag.scraps, view.workroom)
    faults = {one.place: one.words() for one in typed.problems}
    return tuple(
        Field(
            id=name,
            name=name,
            label=label,
            value=typed.texts.get(name, printed[name])[:40],
            hint=hint,
            problem=faults.get(name, ""),
        )
        for name, label, hint in _ASKED
    )


def _checks(view: BagView, typed: _Typed) -> tuple[Check, ...]:
    wishes = view.answer.bag.scraps
    allowance, turns = wishes.with_allowance, wishes.turns_freely
    if typed.problems:
        allowance, turns = "allowance" in typed.texts, "turns_freely" in typed.texts
    return (
        Check("allowance", "allowance", "Cover the seam allowance too", allowance),
        Check("turns_freely", "turns_freely", "Woven scraps may lie off the grain", turns),
    )


def covered_material(view: BagView, covers: ScrapCovers, ridges: tuple[str, ...]) -> CoverMaterialView:
    """All covers of one material; `view`: of a bag in whose units and currency they are told."""
    return CoverMaterialView(
        material_id=covers.material.id,
        name=covers.material.name,
        covers=tuple(_cover(view, covers, one, number) for number, one in enumerate(covers.done, 1)),
        left=left_in_words(covers),
        ridges=tuple(filter(None, ridges)),
        cautions=fuse_cautions(covers) if covers.done else (),
        cutting_id=new_cutting_id(view.answer.bag.name),
        seen=covers.name,
        problems=tuple(problem.sentence() for problem in covers.problems) if covers.done else (),
    )


def _cover(view: BagView, covers: ScrapCovers, one: CoveredTemplate, number: int) -> CoverView:
    picture = cover_picture(view, covers, one, id_prefix=f"{covers.material.id}-{number}-")
    return CoverView(
        f"{number}. {one.name}",
        Markup(picture),
        cover_in_words(view, covers, one),
        tuple((held, piece_address(piece), rest) for piece, held, rest in scraps_in_words(view, covers, one)),
        worth_in_words(view, covers, one),
    )


async def wish(request: Request) -> Response:
    """What is asked of scraps, kept with the bag."""
    form = await request.form()
    texts, version = texts_of(form), version_of(form)
    return await run_in_threadpool(
        _kept, request, texts, lambda: set_scrap_wishes(desk_of(request), _id(request), version, texts)
    )


async def undo(request: Request) -> Response:
    """What was asked before."""
    version = version_of(await request.form())
    return await run_in_threadpool(_kept, request, {}, lambda: undo_change(desk_of(request), _id(request), version))


def _kept(request: Request, texts: Mapping[str, str], change: Callable[[], object]) -> Response:
    try:
        change()
    except FaultyInput as fault:
        return _shown(request, _Typed(texts=texts, problems=fault.problems), status=422)
    except StaleSave:
        return _shown(request, _Typed(stale=STALE), status=409)
    return RedirectResponse(f"/bags/{quote(_id(request))}/scraps?look=1&saved=1", status_code=303)


def _id(request: Request) -> str:
    bag_id: str = request.path_params["bag_id"]
    return bag_id


def search(request: Request) -> Response:
    """Look longer."""
    start_scraps(searches_of(request), _id(request))
    return RedirectResponse(f"/bags/{quote(_id(request))}/scraps?look=1#improve", status_code=303)


async def use(request: Request) -> Response:
    """ "I used these"."""
    texts = texts_of(await request.form())

    def done() -> Response:
        bag_id, material_id = _id(request), request.path_params["material_id"]
        given = text_of(texts, "cutting_id")[:200], text_of(texts, "seen")[:200]
        try:
            use_scraps(desk_of(request), bag_id, material_id, cutting_id=given[0], seen=given[1], today=date.today())
        except StaleSave:
            return _shown(request, _Typed(stale=STALE), status=409)
        return RedirectResponse(f"/bags/{quote(bag_id)}/stash", status_code=303)

    return await run_in_threadpool(done)


def paper(request: Request) -> Response:
    """The templates with their scraps at true scale."""
    desk, sheet = desk_of(request), PAPERS.get(request.path_params["sheet"])
    view = view_bag(desk, _id(request))
    found = covers_for_bag(desk, view)
    covers = next((one for one in found if one.material.id == request.path_params["material_id"]), None)
    if sheet is None or covers is None or not covers.done:
        raise NotKept("paper of scraps")
    return Response(covers_paper(desk, view, covers, paper=sheet), media_type="application/pdf")


def table(request: Request) -> Response:
    """Which scrap lies where, as a table: CSV or JSON."""
    desk = desk_of(request)
    found = covers_for_bag(desk, view_bag(desk, _id(request)))
    return file_answer(one_table(request.path_params["kind"], "covers", list(covers_rows(found))))


ROUTES = [
    Route("/bags/{bag_id}/scraps", show),
    Route("/bags/{bag_id}/scraps", wish, methods=["POST"]),
    Route("/bags/{bag_id}/scraps/undo", undo, methods=["POST"]),
    Route("/bags/{bag_id}/scraps/covers.{kind}", table),
    Route("/bags/{bag_id}/scraps/search", search, methods=["POST"]),
    Route("/bags/{bag_id}/scraps/{material_id}/used", use, methods=["POST"]),
    Route("/bags/{bag_id}/scraps/{material_id}/true-scale-{sheet}.pdf", paper),
]
