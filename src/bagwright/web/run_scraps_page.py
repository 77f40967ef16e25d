"""The inner layers of all bags of a run from scraps: which goes where, on paper too, and the button that uses them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import NotKept, StaleSave
from bagwright.web.cover_page import PAPERS, CoverMaterialView, covered_material
from bagwright.web.form_reading import text_of, texts_of
from bagwright.web.frame import frame
from bagwright.web.pages import Frame, SearchView
from bagwright.web.search_routes import cover_search_end, search_view
from bagwright.web.served import desk_of, file_answer, searches_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.cover_searches import start_run_scraps
from bagwright.workflows.covering import ScrapCovers
from bagwright.workflows.covering_words import covers_paper, ridge_words
from bagwright.workflows.run_covering import covers_for_run, of_bag, run_bag_views, use_run_scraps
from bagwright.workflows.runs import RunView, view_run
from bagwright.workflows.search_tables import covers_rows
from bagwright.workflows.searches import SearchOf
from bagwright.workflows.tables import one_table

STALE = "The stash or the run has changed since you opened this. Nothing was taken: look again, then press once more."


@dataclass(frozen=True, slots=True, kw_only=True)
class RunScrapsPage:
    """run_scraps.html; `is_looking`: the answer is fetched by the page itself, or by the link without script."""

    frame: Frame
    run_id: str
    run_name: str
    bags: tuple[tuple[str, str], ...]
    is_looking: bool
    materials: tuple[CoverMaterialView, ...]
    job: SearchView | None
    search_words: str
    stale: str


def show(request: Request) -> Response:
    """The page at once; what takes a while is asked for by it, or with `look`."""
    return _shown(request, looks="look" in request.query_params)


def _shown(request: Request, *, looks: bool, stale: str = "", status: int = 200) -> Response:
    view, searches = view_run(desk_of(request), _id(request)), searches_of(request)
    found, run = covers_for_run(view) if looks else None, view.answer.run
    search = searches.under_way(run.id, SearchOf.RUN_SCRAPS)
    last = searches.last_done(run.id, SearchOf.RUN_SCRAPS)
    ended = f"{cover_search_end(last)} " if last else ""
    page = RunScrapsPage(
        frame=frame(f"{run.name}: from scraps", "/runs", is_demo=view.is_demo),
        run_id=run.id,
        run_name=run.name,
        bags=tuple((one.bag.name, f"/bags/{quote(one.bag.id)}/scraps") for one in view.answer.bags),
        is_looking=found is None,
        materials=tuple(_material(view, one) for one in found or ()),
        job=search_view(search, search.progress, Wording(view.shop.workroom)) if search else None,
        search_words=f"{ended}It can be stopped at any time; the best is kept.",
        stale=stale,
    )
    return render("run_scraps.html", page, status=status)


def _material(view: RunView, covers: ScrapCovers) -> CoverMaterialView:
    """What is covered, with what a lap would do in each bag."""
    bags = run_bag_views(view)
    own = ((bag, of_bag(covers, bag.answer.bag.id)) for bag in bags)
    ridges = ((bag.answer.bag.name, ridge_words(bag, part)) for bag, part in own)
    return covered_material(bags[0], covers, tuple(f"{name}: {words}" for name, words in ridges if words))


def _id(request: Request) -> str:
    run_id: str = request.path_params["run_id"]
    return run_id


def search(request: Request) -> Response:
    """Look longer."""
    start_run_scraps(searches_of(request), _id(request))
    return RedirectResponse(f"/runs/{quote(_id(request))}/scraps?look=1#improve", status_code=303)


async def use(request: Request) -> Response:
    """ "I used these"."""
    texts = texts_of(await request.form())

    def done() -> Response:
        material_id, given = request.path_params["material_id"], text_of(texts, "cutting_id")[:200]
        seen, desk = text_of(texts, "seen")[:200], desk_of(request)
        try:
            use_run_scraps(desk, _id(request), material_id, cutting_id=given, seen=seen, today=date.today())
        except StaleSave:
            return _shown(request, looks=True, stale=STALE, status=409)
        return RedirectResponse(f"/runs/{quote(_id(request))}#cut-before", status_code=303)

    return await run_in_threadpool(done)


def paper(request: Request) -> Response:
    """The templates with their scraps at true scale."""
    desk, sheet = desk_of(request), PAPERS.get(request.path_params["sheet"])
    view = view_run(desk, _id(request))
    covers = next((one for one in covers_for_run(view) if one.material.id == request.path_params["material_id"]), None)
    if sheet is None or covers is None or not covers.done:
        raise NotKept("paper of scraps")
    data = covers_paper(desk, run_bag_views(view)[0], covers, paper=sheet, whose=view.answer.run.name)
    return Response(data, media_type="application/pdf")


def table(request: Request) -> Response:
    """Which scrap lies where, as a table: CSV or JSON."""
    found = covers_for_run(view_run(desk_of(request), _id(request)))
    return file_answer(one_table(request.path_params["kind"], "covers", list(covers_rows(found))))


ROUTES = [
    Route("/runs/{run_id}/scraps", show),
    Route("/runs/{run_id}/scraps/covers.{kind}", table),
    Route("/runs/{run_id}/scraps/search", search, methods=["POST"]),
    Route("/runs/{run_id}/scraps/{material_id}/used", use, methods=["POST"]),
    Route("/runs/{run_id}/scraps/{material_id}/true-scale-{sheet}.pdf", paper),
]
