"""A bag's pieces from the stash: what it saves, which piece goes where, the button that cuts them. Views and routes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import NotKept, StaleSave
from bagwright.model.material import Material
from bagwright.model.stash import Cutting
from bagwright.web.frame import frame
from bagwright.web.pages import Frame
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.cutting_acts import new_cutting_id
from bagwright.workflows.cutting_from_stash import (
    cut_after_all,
    cut_from_stash,
    cutting_from_stash,
    mark_sewn,
    take_back,
)
from bagwright.workflows.desk import BagView, view_bag
from bagwright.workflows.from_stash import BagStash, CutFromStash, StashOffer, stash_for_bag
from bagwright.workflows.stash_words import laid_in_words, offer_in_words, on_stash_picture

STALE = "The stash or the bag has changed since you opened this. Nothing was cut: look again, then press once more."
_NONE = "Nothing of what this bag is made of lies in your stash."
_DEEDS = ("undo", "redo", "sewn", "unsewn")


@dataclass(frozen=True, slots=True)
class StashLaidView:
    """One piece of the stash with what is cut from it."""

    title: str
    picture: Markup
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StashOfferView:
    """One material: what is cut from the stash and what that saves."""

    material_id: str
    name: str
    told: tuple[str, ...]
    laid: tuple[StashLaidView, ...]
    cutting_id: str
    seen: str


@dataclass(frozen=True, slots=True)
class StashDoneView:
    """A cutting, and what can be done about it: (deed, button)."""

    id: str
    version: int
    told: str
    deeds: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FromStashPage:
    """from_stash.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    offers: tuple[StashOfferView, ...]
    idle: str
    untold: tuple[str, ...]
    none: str
    done: tuple[StashDoneView, ...]
    stale: str


@dataclass(frozen=True, slots=True)
class FromStashPart:
    """from_stash_part.html, as a part of the bag's page: nothing where the stash has nothing"""

    bag_id: str
    lines: tuple[str, ...]


def from_stash_page(view: BagView, found: BagStash, acted: StashDoneView | None, *, stale: str) -> FromStashPage:
    """Everything that the stash has for a bag."""
    bag = view.answer.bag
    done = tuple(_done(one) for one in found.done)
    return FromStashPage(
        frame=frame(f"{bag.name}: from the stash", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        offers=tuple(_offer(view, offer) for offer in found.offers),
        idle=_idle(found),
        untold=tuple(_untold(material, count) for material, count in found.untold),
        none="" if found.offers or found.idle or found.done or acted else _NONE,
        done=(*([acted] if acted else []), *done),
        stale=stale,
    )


def _offer(view: BagView, offer: StashOffer) -> StashOfferView:
    laid = tuple(
        StashLaidView(words.title, Markup(on_stash_picture(view, offer, one)), words.lines)
        for one in offer.laid
        for words in [laid_in_words(view, one)]
    )
    return StashOfferView(
        material_id=offer.material.id,
        name=offer.material.name,
        told=offer_in_words(offer),
        laid=laid,
        cutting_id=new_cutting_id(view.answer.bag.name),
        seen=offer.name,
    )


def _idle(found: BagStash) -> str:
    names = " and ".join(material.name for material in found.idle)
    why = "the shop would sell you as much all the same, or the piece is worth more than it saves"
    return f"Your stash holds some {names}, but cutting into it saves nothing here: {why}." if names else ""


def _untold(material: Material, count: int) -> str:
    pieces = "1 piece of it does" if count == 1 else f"{count} pieces of it do"
    return (
        f"{material.name} has a print, and {pieces} not say where a motif lies: nothing that shows or matches the "
        "print is cut from there."
    )


def _done(one: CutFromStash) -> StashDoneView:
    return StashDoneView(
        one.kept.value.id,
        one.kept.version,
        _cut_on(one.kept.value, one.material.name) + _lost(one),
        (("undo", "Undo"), ("sewn", "These bags are sewn")),
    )


def _cut_on(cutting: Cutting, name: str) -> str:
    count = sum(ready.count for ready in cutting.ready)
    day = f"{cutting.dated.day} {cutting.dated:%B %Y}"
    pieces = "1 piece" if count == 1 else f"{count} pieces"
    return f"{pieces} of {name} cut from the stash on {day}, no longer on the buying list."


def _lost(one: CutFromStash) -> str:
    lost = one.count - one.fits
    if not lost:
        return ""
    pieces = "One of them no longer fits" if lost == 1 else f"{lost} of them no longer fit"
    return f" {pieces}: the bag has changed since, so that is bought after all."


def _line(offer: StashOffer) -> str:
    pieces = "1 piece" if offer.count == 1 else f"{offer.count} pieces"
    then, now = offer.pays_then.said(), offer.pays_now.said()
    return f"{pieces} of {offer.material.name} can be cut from your stash: then you pay {then} instead of {now}."


def show_from_stash(request: Request) -> Response:
    """What the stash saves: a line or two for the bag's page, or a page of its own."""
    if "hx-request" in request.headers:
        view = view_bag(desk_of(request), request.path_params["bag_id"])
        found = stash_for_bag(desk_of(request), view)
        lines = (*(_done(one).told for one in found.done), *map(_line, found.offers))
        return render("from_stash_part.html", FromStashPart(view.answer.bag.id, lines))
    return _shown(request)


def _shown(request: Request, *, stale: str = "", status: int = 200) -> Response:
    desk, bag_id = desk_of(request), request.path_params["bag_id"]
    view = view_bag(desk, bag_id)
    page = from_stash_page(view, stash_for_bag(desk, view), _acted(request, view), stale=stale)
    return render("from_stash.html", page, status=status)


def _acted(request: Request, view: BagView) -> StashDoneView | None:
    """What was just taken back or told to be sewn, with the way back."""
    try:
        kept = cutting_from_stash(desk_of(request), view.answer.bag.id, request.query_params.get("acted", "")[:200])
    except NotKept:
        return None
    if kept.retired:
        told = "It is taken back: the pieces of the stash are there again, and everything is bought."
        return StashDoneView(kept.value.id, kept.version, told, (("redo", "Cut them after all"),))
    if kept.value.is_sewn:
        told = "Those bags are sewn. For the next ones every piece is bought again."
        return StashDoneView(kept.value.id, kept.version, told, (("unsewn", "Not yet sewn"),))
    return None


async def cut(request: Request) -> Response:
    """ "Cut these from the stash"."""
    form = await request.form()
    texts = {key: value[:200] for key, value in form.items() if isinstance(value, str)}

    def done() -> Response:
        bag_id, material_id = request.path_params["bag_id"], request.path_params["material_id"]
        cutting_id, seen = texts.get("cutting_id", ""), texts.get("seen", "")
        try:
            cut_from_stash(desk_of(request), bag_id, material_id, cutting_id=cutting_id, seen=seen, today=date.today())
        except StaleSave:
            return _shown(request, stale=STALE, status=409)
        return RedirectResponse(f"/bags/{quote(bag_id)}/stash", status_code=303)

    return await run_in_threadpool(done)


async def act(request: Request) -> Response:
    """Take a cutting back or bring it back; its bags are sewn, or not yet."""
    form, deed = await request.form(), request.path_params["deed"]
    texts = {key: value[:200] for key, value in form.items() if isinstance(value, str)}
    if deed not in _DEEDS:
        raise NotKept(f"deed {deed!r}")

    def done() -> Response:
        desk, bag_id = desk_of(request), request.path_params["bag_id"]
        kept = cutting_from_stash(desk, bag_id, texts.get("cutting_id", ""))
        version = texts.get("version", "")
        told = int(version) if version.isdecimal() and len(version) < 10 else -1
        try:
            if deed == "undo":
                take_back(desk, kept.value.id, told)
            elif deed == "redo":
                cut_after_all(desk, kept.value.id)
            else:
                mark_sewn(desk, kept.value.id, told, is_sewn=deed == "sewn")
        except StaleSave:
            return _shown(request, stale=STALE, status=409)
        return RedirectResponse(f"/bags/{quote(bag_id)}/stash?acted={quote(kept.value.id)}", status_code=303)

    return await run_in_threadpool(done)


ROUTES = [
    Route("/bags/{bag_id}/stash", show_from_stash),
    Route("/bags/{bag_id}/stash/{material_id}/cut", cut, methods=["POST"]),
    Route("/bags/{bag_id}/stash/cuttings/{deed}", act, methods=["POST"]),
]
