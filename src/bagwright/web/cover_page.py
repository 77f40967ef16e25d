"""A bag's inner layers from scraps: what is covered, whether it is worth it, the button that uses them up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from urllib.parse import quote, urlencode

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import NotKept, StaleSave
from bagwright.web.form_reading import text_of, texts_of
from bagwright.web.frame import frame
from bagwright.web.pages import Frame
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.covering import CoveredTemplate, CoverWishes, ScrapCovers, covers_for_bag, ridge_words
from bagwright.workflows.covering_acts import use_scraps
from bagwright.workflows.covering_words import (
    cover_in_words,
    cover_picture,
    covers_paper,
    fuse_cautions,
    left_in_words,
    read_wishes,
    scraps_in_words,
    told_gap,
    worth_in_words,
)
from bagwright.workflows.cutting_acts import new_cutting_id
from bagwright.workflows.desk import BagView, view_bag

STALE = "The stash or the bag has changed since you opened this. Nothing was taken: look again, then press once more."
_PAPERS = {"a4": "A4", "letter": "Letter"}


@dataclass(frozen=True, slots=True)
class CoverView:
    """One covered copy of a template."""

    title: str
    picture: Markup
    told: tuple[str, ...]
    scraps: tuple[str, ...]
    worth: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverMaterialView:
    """All covers of one material."""

    material_id: str
    name: str
    covers: tuple[CoverView, ...]
    left: tuple[str, ...]
    ridge: str
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
    is_looking: bool
    query: str
    materials: tuple[CoverMaterialView, ...]
    enough: str
    gap: str
    scraps: str
    with_allowance: bool
    problems: tuple[str, ...]
    stale: str


def show(request: Request) -> Response:
    """The page at once; what takes seconds is asked for by it, or with `look`."""
    return _shown(request, request.query_params)


def _shown(request: Request, texts: Mapping[str, str], *, stale: str = "", status: int = 200) -> Response:
    view = view_bag(desk_of(request), request.path_params["bag_id"])
    wishes, problems = read_wishes(texts, view)
    looks = ("look" in texts or bool(stale)) and not problems
    found = covers_for_bag(desk_of(request), view, wishes) if looks else ()
    return render("covers.html", _page(view, wishes, found, (texts, problems, stale, looks)), status=status)


def _page(
    view: BagView,
    wishes: CoverWishes,
    found: tuple[ScrapCovers, ...],
    asked: tuple[Mapping[str, str], tuple[str, ...], str, bool],
) -> CoverPage:
    bag = view.answer.bag
    texts, problems, stale, looks = asked
    query = {name: texts[name][:20] for name in ("enough", "gap", "scraps", "allowance") if name in texts}
    return CoverPage(
        frame=frame(f"{bag.name}: from scraps", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        is_looking=not looks and not problems,
        query=urlencode(query),
        materials=tuple(_material(view, one) for one in found),
        enough=texts.get("enough", f"{100 * wishes.enough_share:g}")[:20],
        gap=texts.get("gap", told_gap(wishes, view))[:20],
        scraps=texts.get("scraps", f"{wishes.max_scraps}")[:20],
        with_allowance=wishes.with_allowance,
        problems=problems,
        stale=stale,
    )


def _material(view: BagView, covers: ScrapCovers) -> CoverMaterialView:
    return CoverMaterialView(
        material_id=covers.material.id,
        name=covers.material.name,
        covers=tuple(_cover(view, covers, one, number) for number, one in enumerate(covers.done, 1)),
        left=left_in_words(covers),
        ridge=ridge_words(view, covers),
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
        scraps_in_words(view, covers, one),
        worth_in_words(view, covers, one),
    )


async def use(request: Request) -> Response:
    """ "I used these"."""
    texts = texts_of(await request.form())

    def done() -> Response:
        desk, bag_id = desk_of(request), request.path_params["bag_id"]
        wishes, _ = read_wishes(texts, view_bag(desk, bag_id))
        given = text_of(texts, "cutting_id")[:200], text_of(texts, "seen")[:200]
        material_id = request.path_params["material_id"]
        try:
            use_scraps(desk, bag_id, material_id, wishes, cutting_id=given[0], seen=given[1], today=date.today())
        except StaleSave:
            return _shown(request, texts, stale=STALE, status=409)
        return RedirectResponse(f"/bags/{quote(bag_id)}/stash", status_code=303)

    return await run_in_threadpool(done)


def paper(request: Request) -> Response:
    """The templates with their scraps at true scale."""
    desk, sheet = desk_of(request), _PAPERS.get(request.path_params["sheet"])
    view = view_bag(desk, request.path_params["bag_id"])
    wishes, _ = read_wishes(request.query_params, view)
    found = covers_for_bag(desk, view, wishes)
    covers = next((one for one in found if one.material.id == request.path_params["material_id"]), None)
    if sheet is None or covers is None or not covers.done:
        raise NotKept("paper of scraps")
    return Response(covers_paper(desk, view, covers, paper=sheet), media_type="application/pdf")


ROUTES = [
    Route("/bags/{bag_id}/scraps", show),
    Route("/bags/{bag_id}/scraps/{material_id}/used", use, methods=["POST"]),
    Route("/bags/{bag_id}/scraps/{material_id}/true-scale-{sheet}.pdf", paper),
]
