"""Routes of the bags: the list, the long page of one, its changes, searches and papers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from urllib.parse import quote

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, StaleSave
from bagwright.model.bag import Bag, Workroom
from bagwright.units import UnitSystem, print_minutes
from bagwright.web.asking_page import asking_page
from bagwright.web.bag_page import Typed, bag_page
from bagwright.web.drawing_page import unit_field
from bagwright.web.folded_pages import FoldedPage
from bagwright.web.folded_view import folded_view
from bagwright.web.form_reading import text_of, texts_of, version_of
from bagwright.web.frame import frame
from bagwright.web.held_page import ROUTES as HELD_ROUTES
from bagwright.web.pages import AwayView, BagCard, BagsPage, CardPage, FormCard
from bagwright.web.search_routes import search_end, search_view
from bagwright.web.served import desk_of, paper_answer, searches_of
from bagwright.web.sewing_page import sewing_page
from bagwright.web.swap_page import swaps_lacking, swaps_page
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.bag_changes import (
    LONGEST_NAME,
    LayerChoice,
    copy_bag,
    put_bag_away,
    rename_bag,
    resize_bag,
    restack_bag,
    set_run,
    start_bag,
)
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.desk import (
    BagLine,
    BagView,
    Desk,
    all_forms,
    answers_at_once,
    answers_of,
    bag_lines,
    bag_put_away,
    redo_change,
    undo_change,
    view_bag,
)
from bagwright.workflows.first_materials import shelve_for_bag
from bagwright.workflows.fold_up import Viewpoint, read_viewpoint
from bagwright.workflows.papers import paper_of_bag
from bagwright.workflows.pictures import form_picture, sketch_picture
from bagwright.workflows.swap_search import Keep, swaps_of_role
from bagwright.workflows.workroom_changes import the_workroom

_CARDS_AT_ONCE, _NEW_AT_ONCE = 12, 4
STALE = (
    "This bag was changed in another tab. Nothing was overwritten: below is the bag as it is now. "
    "Change it again if you like."
)


def show_bags(request: Request) -> Response:
    """All bags, and the forms to start from; of many bags, most are worked out when they are seen."""
    desk = desk_of(request)
    workroom = the_workroom(desk)
    say = Wording(workroom)
    away = bag_put_away(desk, request.query_params.get("away", ""))
    find = request.query_params.get("find", "").strip()[:LONGEST_NAME]
    lines = bag_lines(desk)
    found = [line for line in lines if find.casefold() in line.name.casefold()]
    now = answers_at_once(desk, [line.id for line in found[:_CARDS_AT_ONCE]], most_new=_NEW_AT_ONCE)
    page = BagsPage(
        frame=frame("Bags", "/", is_demo=desk.is_demo),
        bags=tuple(_bag_card(now[line.id], say) if line.id in now else _later_card(line) for line in found),
        find=find,
        finds=len(lines) > _CARDS_AT_ONCE,
        unit=unit_field(),
        begins=_begins(workroom),
        away=AwayView(away.name, f"/bags/{quote(away.id)}/undo", away.version) if away else None,
        forms=tuple(
            FormCard(key=form.key, name=form.name, summary=form.summary, sketch=Markup(form_picture(form)))
            for form in all_forms()
        ),
    )
    return render("bags.html", page)


def _begins(workroom: Workroom) -> str:
    sizes = "inches" if workroom.units is UnitSystem.INCH else "centimetres"
    hour = workroom.hourly_pay.said()
    return f"Sizes are in {sizes}, money in {workroom.currency}, and an hour of your work counts {hour}."


def show_card(request: Request) -> Response:
    """The card of one bag, worked out."""
    desk = desk_of(request)
    (answer,) = answers_of(desk, [request.path_params["bag_id"]])
    return render("bag_card.html", CardPage(bags=(_bag_card(answer, Wording(the_workroom(desk))),)))


def _later_card(line: BagLine) -> BagCard:
    form_name = form_of_key(line.form).name
    href = f"/bags/{quote(line.id)}"
    return BagCard(name=line.name, href=href, form_name=form_name, sketch=Markup(), facts=(), later=True)


def _bag_card(answer: BagAnswer, say: Wording) -> BagCard:
    price = answer.price
    facts = [("Weight", say.mass(answer.mass_g))] if answer.mass_g is not None else []
    if price:
        facts = [
            ("Price that pays you", price.paid_price.said()),
            ("Floor, no pay", price.floor.said()),
            ("Work", print_minutes(price.minutes)),
            *facts,
        ]
    return BagCard(
        name=answer.bag.name,
        href=f"/bags/{quote(answer.bag.id)}",
        form_name=form_of_key(answer.bag.form).name,
        sketch=Markup(sketch_picture(answer.pattern, id_prefix=f"card-{answer.bag.id}")),
        facts=tuple(facts),
    )


async def new_bag(request: Request) -> Response:
    """Start a bag of the chosen form."""
    form = await request.form()
    bag = await run_in_threadpool(start_bag, desk_of(request), text_of(form, "form"), text_of(form, "name"))
    return RedirectResponse(f"/bags/{quote(bag.id)}", status_code=303)


def show_bag(request: Request) -> Response:
    """The long page of one bag."""
    since = request.query_params.get("since", "")
    return shown_bag(request, Typed(), since=int(since) if since.isdecimal() and len(since) < 10 else None)


def shown_bag(request: Request, typed: Typed, *, since: int | None = None, status: int = 200) -> Response:
    """The page of the bag that the address names; `typed`: what was typed and refused."""
    bag_id = request.path_params["bag_id"]
    view = view_bag(desk_of(request), bag_id, since=since)
    searches, say = searches_of(request), Wording(view.workroom)
    search = searches.under_way(bag_id)
    job = search_view(search, search.progress, say) if search else None
    last = searches.last_done(bag_id)
    # A script that swaps the answer in takes it as it is; a browser without script is told by the status.
    told = 200 if "hx-request" in request.headers else status
    ended = search_end(last, say) if last else ""
    page = bag_page(view, typed, job, ended=ended, seen_from=_seen_from(request, view))
    return render("bag.html", page, status=told)


def _seen_from(request: Request, view: BagView) -> Viewpoint | None:
    """The side from which she asks to see the bag; none if she does not say."""
    turn, tilt = (request.query_params.get(name, "") for name in ("turn", "tilt"))
    return read_viewpoint(turn, tilt, view.answer.pattern) if turn or tilt else None


def show_folded(request: Request) -> Response:
    """The bag folded up from one side, as a part of its page."""
    view = view_bag(desk_of(request), request.path_params["bag_id"])
    turn, tilt = (request.query_params.get(name, "") for name in ("turn", "tilt"))
    seen_from = read_viewpoint(turn, tilt, view.answer.pattern)
    return render("folded.html", FoldedPage(folded_view(view.answer, view.workroom, seen_from)))


async def resize(request: Request) -> Response:
    """New measurements."""
    form = await request.form()
    texts = {key: value for key, value in texts_of(form).items() if key != "version"}
    return await run_in_threadpool(
        _changed, request, form, lambda desk, bag_id, version: resize_bag(desk, bag_id, version, texts), texts
    )


async def rerun(request: Request) -> Response:
    """Another number of bags in the run."""
    form = await request.form()
    text = text_of(form, "run_count")
    return await run_in_threadpool(
        _changed, request, form, lambda desk, bag_id, version: set_run(desk, bag_id, version, text), {"run_count": text}
    )


async def shelve(request: Request) -> Response:
    """Put what the bag waits for on the shelf, and make it of that."""
    form = await request.form()
    texts = {name: text_of(form, name) for name in form}

    def put(desk: Desk, bag_id: str, version: int) -> Bag:
        return shelve_for_bag(desk, bag_id, version, texts, today=date.today())

    return await run_in_threadpool(_changed, request, form, put, texts)


async def restack(request: Request) -> Response:
    """Other layers for one role."""
    form = await request.form()
    role, choices = request.path_params["role"], _choices(form)
    return await run_in_threadpool(
        _changed, request, form, lambda desk, bag_id, version: restack_bag(desk, bag_id, version, role, choices), {}
    )


def show_swaps(request: Request) -> Response:
    """What else a role could be made of."""
    asked = request.query_params.get("keep", "")
    keep = Keep(asked) if asked in set(Keep) else Keep.AS_FIRM
    view = view_bag(desk_of(request), request.path_params["bag_id"])
    role = request.path_params["role"]
    try:
        return render("swaps.html", swaps_page(view, swaps_of_role(view, role, keep)))
    except FaultyInput as fault:
        return render("swaps.html", swaps_lacking(view, role, fault.problems))


def show_asking(request: Request) -> Response:
    """What to ask for the bag, at the terms in the address."""
    view = view_bag(desk_of(request), request.path_params["bag_id"])
    return render("asking.html", asking_page(view, dict(request.query_params)))


def show_sewing(request: Request) -> Response:
    """What to sew the bag with, where it gets thick, what its straps bear."""
    view = view_bag(desk_of(request), request.path_params["bag_id"])
    return render("sewing.html", sewing_page(view, dict(request.query_params)))


def _choices(form: FormData) -> list[LayerChoice]:
    choices: list[LayerChoice] = []
    while f"material_{len(choices)}" in form:
        n = len(choices)
        extent, held = text_of(form, f"extent_{n}") or "whole piece", text_of(form, f"held_{n}") or "loose"
        reach, _, zone = extent.partition(": ")
        choices.append(LayerChoice(text_of(form, f"material_{n}"), reach, held, zone))
    remove = text_of(form, "remove")
    if remove.isdecimal() and len(remove) < 4 and int(remove) < len(choices):
        del choices[int(remove)]
    if text_of(form, "add") and choices:
        choices.append(LayerChoice(choices[-1].material_id, "whole piece", "loose"))
    return choices


def _changed(
    request: Request, form: FormData, change: Callable[[Desk, str, int], Bag], texts: dict[str, str]
) -> Response:
    """Make the change and show the bag after it; a fault is shown beside its field, with what was typed."""
    desk, bag_id, version = desk_of(request), request.path_params["bag_id"], version_of(form)
    try:
        change(desk, bag_id, version)
    except FaultyInput as fault:
        return shown_bag(request, Typed(texts=texts, problems=fault.problems), status=422)
    except StaleSave:
        return shown_bag(request, Typed(stale=STALE), status=409)
    return RedirectResponse(f"/bags/{quote(bag_id)}?since={version}", status_code=303)


async def undo(request: Request) -> Response:
    """Back to before the last change."""
    return await run_in_threadpool(_changed, request, await request.form(), undo_change, {})


async def redo(request: Request) -> Response:
    """Forward again to what was undone last."""
    return await run_in_threadpool(_changed, request, await request.form(), redo_change, {})


async def rename(request: Request) -> Response:
    """Another name."""
    form = await request.form()
    text = text_of(form, "name")
    return await run_in_threadpool(
        _changed, request, form, lambda desk, bag_id, version: rename_bag(desk, bag_id, version, text), {"name": text}
    )


async def put_away(request: Request) -> Response:
    """Off the list, with a way back."""
    form = await request.form()
    answer = await run_in_threadpool(_changed, request, form, put_bag_away, {})
    away = quote(request.path_params["bag_id"])
    return RedirectResponse(f"/?away={away}", status_code=303) if answer.status_code == 303 else answer


def copy(request: Request) -> Response:
    """The same bag again."""
    bag = copy_bag(desk_of(request), request.path_params["bag_id"])
    return RedirectResponse(f"/bags/{quote(bag.id)}", status_code=303)


def search(request: Request) -> Response:
    """Start looking for shorter layouts."""
    bag_id = request.path_params["bag_id"]
    searches_of(request).start(bag_id)
    return RedirectResponse(f"/bags/{quote(bag_id)}#improve", status_code=303)


def paper(request: Request) -> Response:
    """A paper to keep."""
    return paper_answer(paper_of_bag(desk_of(request), request.path_params["bag_id"], request.path_params["paper"]))


ROUTES = [
    Route("/", show_bags),
    Route("/bags", lambda request: RedirectResponse("/", status_code=303)),
    Route("/bags", new_bag, methods=["POST"]),
    Route("/bags/{bag_id}", show_bag),
    Route("/bags/{bag_id}/card", show_card),
    Route("/bags/{bag_id}/size", resize, methods=["POST"]),
    Route("/bags/{bag_id}/run", rerun, methods=["POST"]),
    Route("/bags/{bag_id}/layers/{role}", restack, methods=["POST"]),
    Route("/bags/{bag_id}/shelf", shelve, methods=["POST"]),
    Route("/bags/{bag_id}/swaps/{role}", show_swaps),
    Route("/bags/{bag_id}/asking", show_asking),
    Route("/bags/{bag_id}/sewing", show_sewing),
    Route("/bags/{bag_id}/undo", undo, methods=["POST"]),
    Route("/bags/{bag_id}/redo", redo, methods=["POST"]),
    Route("/bags/{bag_id}/copy", copy, methods=["POST"]),
    Route("/bags/{bag_id}/name", rename, methods=["POST"]),
    Route("/bags/{bag_id}/away", put_away, methods=["POST"]),
    Route("/bags/{bag_id}/search", search, methods=["POST"]),
    Route("/bags/{bag_id}/folded", show_folded),
    *HELD_ROUTES,
    Route("/bags/{bag_id}/{paper}", paper),
]
