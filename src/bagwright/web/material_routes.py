"""Routes of the shelf: the list, one material, its changes, offers and picture, the table to keep."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, StaleSave
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.material_page import TypedMaterial, material_page
from bagwright.web.served import desk_of
from bagwright.web.shelf_page import materials_page
from bagwright.web.templates_at import render
from bagwright.workflows.desk import Desk, the_shelf
from bagwright.workflows.material_changes import (
    add_material,
    bring_offer_back,
    change_material,
    copy_material,
    drop_offer,
    keep_offer,
    material_on_shelf,
    put_material_away,
    redo_material_change,
    undo_material_change,
)
from bagwright.workflows.name_numbers import take_from_name
from bagwright.workflows.papers import slope_card
from bagwright.workflows.shelf_csv import shelf_as_csv, take_in_csv
from bagwright.workflows.swatches import keep_swatch, swatch_of
from bagwright.workflows.workroom_changes import the_workroom

STALE = (
    "This was changed in another tab. Nothing was overwritten: below is the material as it is now. "
    "Change it again if you like."
)
Texts = dict[str, str]


def show_materials(request: Request) -> Response:
    """The whole shelf."""
    return _shelf(request, TypedMaterial(), said=request.query_params.get("said", "")[:80])


def _shelf(request: Request, typed: TypedMaterial, *, said: str = "", status: int = 200) -> Response:
    desk = desk_of(request)
    page = materials_page(the_shelf(desk), the_workroom(desk), typed, is_demo=desk.is_demo, said=said)
    return render("materials.html", page, status=status)


def show_material(request: Request) -> Response:
    """One material."""
    params = request.query_params
    said = "Saved." if "saved" in params else ""
    said = "What you measured is saved. Undo brings the old readings back." if "measured" in params else said
    return _shown(request, TypedMaterial(said=said, dropped_offer=params.get("dropped", "")[:80]))


def _shown(request: Request, typed: TypedMaterial, *, status: int = 200) -> Response:
    desk = desk_of(request)
    on_shelf = material_on_shelf(desk, request.path_params["material_id"])
    page = material_page(on_shelf, the_workroom(desk), typed, is_demo=desk.is_demo)
    return render("material.html", page, status=status)


async def add(request: Request) -> Response:
    """A new material."""
    texts = texts_of(await request.form())

    def added() -> Response:
        try:
            return _to(add_material(desk_of(request), texts).id)
        except FaultyInput as fault:
            return _shelf(request, TypedMaterial(texts=texts, problems=fault.problems), status=422)

    return await run_in_threadpool(added)


async def change(request: Request) -> Response:
    """What was typed about a material."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_changed, request, "material", texts, change_material)


async def from_name(request: Request) -> Response:
    """Put in what the name says."""
    texts = texts_of(await request.form())

    def take(desk: Desk, material_id: str, version: int, typed: Texts) -> object:
        return take_from_name(desk, material_id, version)

    return await run_in_threadpool(_changed, request, "name", texts, take)


async def offer(request: Request) -> Response:
    """A new offer, or a changed one."""
    texts = texts_of(await request.form())
    offer_id = texts.pop("offer_id", "")

    def keep(desk: Desk, material_id: str, version: int, typed: Texts) -> object:
        return keep_offer(desk, material_id, version, typed, offer_id=offer_id)

    return await run_in_threadpool(_changed, request, offer_id or texts.get("sold", ""), texts, keep)


async def swatch(request: Request) -> Response:
    """A picture of the material."""
    async with request.form() as form:
        data, texts = await _file(form, "picture"), texts_of(form)

    def keep(desk: Desk, material_id: str, version: int, typed: Texts) -> object:
        return keep_swatch(desk, material_id, version, data)

    return await run_in_threadpool(_changed, request, "swatch", texts, keep)


async def _file(form: FormData, name: str) -> bytes:
    file = form.get(name)
    return await file.read() if isinstance(file, UploadFile) else b""


def _changed(request: Request, of: str, texts: Texts, change: Callable[[Desk, str, int, Texts], object]) -> Response:
    material_id = request.path_params["material_id"]
    try:
        change(desk_of(request), material_id, version_of(texts), texts)
    except FaultyInput as fault:
        return _shown(request, TypedMaterial(of=of, texts=texts, problems=fault.problems), status=422)
    except StaleSave:
        return _shown(request, TypedMaterial(stale=STALE), status=409)
    return _to(material_id, "?saved")


async def act(request: Request) -> Response:
    """Copy, put away, put back, undo, redo."""
    texts = texts_of(await request.form())
    material_id, version = request.path_params["material_id"], version_of(texts)
    deeds: dict[str, Callable[[Desk], str]] = {
        "copy": lambda desk: copy_material(desk, material_id).id,
        "away": lambda desk: put_material_away(desk, material_id, version).id,
        "back": lambda desk: put_material_away(desk, material_id, version, away=False).id,
        "undo": lambda desk: undo_material_change(desk, material_id, version).id,
        "redo": lambda desk: redo_material_change(desk, material_id, version).id,
    }

    def acted() -> Response:
        try:
            return _to(deeds[request.path_params["deed"]](desk_of(request)))
        except StaleSave:
            return _shown(request, TypedMaterial(stale=STALE), status=409)

    return await run_in_threadpool(acted)


async def offer_act(request: Request) -> Response:
    """Drop an offer, or bring it back."""
    texts = texts_of(await request.form())
    material_id, offer_id = request.path_params["material_id"], texts.get("offer_id", "")

    def acted() -> Response:
        if request.path_params["deed"] == "back":
            bring_offer_back(desk_of(request), offer_id)
            return _to(material_id)
        try:
            drop_offer(desk_of(request), offer_id, version_of(texts))
        except StaleSave:
            return _shown(request, TypedMaterial(stale=STALE), status=409)
        return _to(material_id, f"?dropped={quote(offer_id)}")

    return await run_in_threadpool(acted)


def show_swatch(request: Request) -> Response:
    """The picture itself."""
    picture = swatch_of(desk_of(request), request.path_params["material_id"])
    return Response(picture.data, media_type=picture.media_type)


def show_slope_card(request: Request) -> Response:
    """The card of the ruler test, to print; at the angle that is asked for."""
    card = slope_card(request.path_params["card"], request.query_params.get("angle_deg", ""))
    headers = {"content-disposition": f'attachment; filename="{card.name}"'}
    return Response(card.data, media_type=card.kind, headers=headers)


def show_csv(request: Request) -> Response:
    """The shelf as a table."""
    headers = {"content-disposition": 'attachment; filename="materials.csv"'}
    return Response(shelf_as_csv(desk_of(request)), media_type="text/csv; charset=utf-8", headers=headers)


async def take_csv(request: Request) -> Response:
    """A table taken in."""
    async with request.form() as form:
        data = await _file(form, "table")

    def taken() -> Response:
        try:
            new, changed = take_in_csv(desk_of(request), data)
        except FaultyInput as fault:
            return _shelf(request, TypedMaterial(problems=fault.problems), status=422)
        said = f"Taken in: {new} new, {changed} changed."
        return RedirectResponse(f"/materials?said={quote(said)}", status_code=303)

    return await run_in_threadpool(taken)


def _to(material_id: str, query: str = "") -> Response:
    return RedirectResponse(f"/materials/{quote(material_id)}{query}", status_code=303)


_ONE = "/materials/{material_id}"
ROUTES = [
    Route("/materials", show_materials),
    Route("/materials", add, methods=["POST"]),
    Route("/ruler-test/{card}", show_slope_card),
    Route("/materials/csv", show_csv),
    Route("/materials/csv", take_csv, methods=["POST"]),
    Route(_ONE, show_material),
    Route(_ONE, change, methods=["POST"]),
    Route(f"{_ONE}/swatch.jpg", show_swatch),
    Route(f"{_ONE}/swatch", swatch, methods=["POST"]),
    Route(f"{_ONE}/from-name", from_name, methods=["POST"]),
    Route(f"{_ONE}/offers", offer, methods=["POST"]),
    Route(f"{_ONE}/offers/{{deed}}", offer_act, methods=["POST"]),
    Route(f"{_ONE}/{{deed}}", act, methods=["POST"]),
]
