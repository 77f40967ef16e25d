"""Routes of measuring a material."""

from __future__ import annotations

from datetime import date
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, StaleSave
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.measure_view import TypedMeasuring, measure_page
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.desk import the_shelf
from bagwright.workflows.material_changes import material_on_shelf
from bagwright.workflows.measuring import keep_measured, mark_of, measure_material, sheet_only
from bagwright.workflows.workroom_changes import the_workroom

STALE = (
    "This material was changed in another tab. Nothing was overwritten: your readings are still below. "
    "Work them out once more, then save."
)


def show_measuring(request: Request) -> Response:
    """How to measure the material, and fields for it."""
    return _shown(request, TypedMeasuring())


def _shown(request: Request, typed: TypedMeasuring, *, status: int = 200) -> Response:
    desk = desk_of(request)
    on_shelf = material_on_shelf(desk, request.path_params["material_id"])
    sheet_only(on_shelf.material)
    page = measure_page(on_shelf, the_shelf(desk), the_workroom(desk), typed, is_demo=desk.is_demo)
    return render("measure.html", page, status=status)


async def measure(request: Request) -> Response:
    """What was read, worked out and shown, or kept."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_measured, request, texts)


def _measured(request: Request, texts: dict[str, str]) -> Response:
    desk, material_id = desk_of(request), request.path_params["material_id"]
    mark = mark_of(texts)
    try:
        found = measure_material(desk, material_id, texts)
        if texts.get("do") == "keep" and texts.get("seen") == mark:
            keep_measured(desk, material_id, version_of(texts), texts, today=date.today())
            return RedirectResponse(f"/materials/{quote(material_id)}?measured", status_code=303)
    except FaultyInput as fault:
        return _shown(request, TypedMeasuring(texts=texts, problems=fault.problems), status=422)
    except StaleSave:
        return _shown(request, TypedMeasuring(texts=texts, stale=STALE), status=409)
    has_changed = texts.get("do") == "keep"
    return _shown(request, TypedMeasuring(texts=texts, found=found, seen=mark, has_changed=has_changed))


ROUTES = [
    Route("/materials/{material_id}/measure", show_measuring),
    Route("/materials/{material_id}/measure", measure, methods=["POST"]),
]
