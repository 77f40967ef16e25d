"""Routes of the shelf and the workroom."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.bag import Workroom
from bagwright.units import UnitSystem
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.frame import frame
from bagwright.web.pages import EarlierView, Field, FieldGroup, Option, WorkroomPage
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import Desk
from bagwright.workflows.safekeeping import earlier_states
from bagwright.workflows.workroom_changes import (
    FRACTIONS,
    NEEDLES_NM,
    change_workroom,
    hidden_by_rounding,
    redo_workroom_change,
    shown,
    the_workroom,
    undo_workroom_change,
    workroom_steps,
)


def show_workroom(request: Request) -> Response:
    """The settings."""
    asked = request.query_params
    said = "Saved." if "saved" in asked else "Done: these are the settings now." if "stepped" in asked else ""
    if "brought" in asked:
        said = "Everything is as that file had it. What was here before is listed at the end of this page."
    return shown_workroom(desk_of(request), said=said)


def shown_workroom(desk: Desk, *, said: str = "", refused: str = "", status: int = 200) -> Response:
    """The page as it is, with what was done, or why a file was not taken."""
    return render("workroom.html", _workroom_page(desk, {}, (), said=said, refused=refused), status=status)


async def save(request: Request) -> Response:
    """Take over new settings."""
    desk = desk_of(request)
    return await run_in_threadpool(_saved, desk, texts_of(await request.form()))


def _saved(desk: Desk, texts: dict[str, str]) -> Response:
    version = version_of(texts)
    texts.pop("version", None)
    return _answered(desk, texts, lambda desk: change_workroom(desk, version, texts), "/workroom?saved")


def _answered(desk: Desk, texts: dict[str, str], act: Callable[[Desk], object], then: str) -> Response:
    """The way on after the act; the page with what was typed if it is refused."""
    try:
        act(desk)
    except FaultyInput as fault:
        return render("workroom.html", _workroom_page(desk, texts, fault.problems), status=422)
    except StaleSave:
        stale = (
            "The settings were changed in another tab. Nothing was overwritten: these are the settings as they are now."
        )
        return render("workroom.html", _workroom_page(desk, {}, (), stale=stale), status=409)
    return RedirectResponse(then, status_code=303)


async def undo(request: Request) -> Response:
    """The settings before their last change."""
    return await _stepped(request, undo_workroom_change)


async def redo(request: Request) -> Response:
    """What the last undo took back."""
    return await _stepped(request, redo_workroom_change)


async def _stepped(request: Request, go: Callable[[Desk, int], object]) -> Response:
    texts = texts_of(await request.form())
    return await run_in_threadpool(
        _answered, desk_of(request), {}, lambda desk: go(desk, version_of(texts)), "/workroom?stepped"
    )


def _workroom_page(
    desk: Desk,
    texts: Mapping[str, str],
    problems: Sequence[Problem],
    *,
    said: str = "",
    stale: str = "",
    refused: str = "",
) -> WorkroomPage:
    workroom = the_workroom(desk)
    can_undo, can_redo = workroom_steps(desk)
    return WorkroomPage(
        frame=frame("Workroom", "/workroom", is_demo=desk.is_demo),
        version=workroom.version,
        groups=tuple(
            FieldGroup(
                key=key,
                title=title,
                meaning=meaning,
                fields=tuple(_field(name, label, hint, workroom, texts, problems) for name, label, hint in fields),
            )
            for key, title, meaning, fields in _GROUPS
        ),
        said=said,
        stale=stale,
        refused=refused,
        can_undo=can_undo,
        can_redo=can_redo,
        earlier=tuple(
            EarlierView(f"{state.at:%Y-%m-%d, %H:%M}", f"/everything/{state.name}") for state in earlier_states(desk)
        ),
    )


_MONEY_FIELDS = (
    ("units", "Units", "What you read and type first. Any unit may be typed anywhere."),
    ("fraction", "Inches to the nearest", "Fractions of an inch on every page and paper."),
    ("currency", "Currency", "Three letters, such as USD or EUR. Choose it before your first price."),
    ("hourly_pay", "Your pay for an hour", "What an hour of your work should bring, in that currency."),
    (
        "overhead_per_hour",
        "Overhead for an hour",
        "Rent, light, machine. Not used once a month has costs.",
    ),
    ("selling_fee_share", "Selling fees, in % of the price", "What the market or channel keeps of each sale."),
    ("selling_fee_fixed", "Selling fees, fixed", "What each sale costs besides."),
)
_MACHINE_FIELDS = (
    ("stitch_length_mm", "Stitch length", "As your machine is set for bags."),
    ("takes_mm", "Thickest your machine sews", "Most that goes under its lifted foot and is still sewn well."),
    (
        "thickest_needle_nm",
        "Thickest needle it takes",
        "As the machine's book says; a thicker one may strike the hook.",
    ),
    ("sewing_speed_spm", "Stitches a minute", "Your real average on bag seams, stops included."),
    ("thread_waste_share", "Thread wasted, in %", "Ends, tests and bobbins."),
    ("layout_gap_mm", "Gap between pieces", "Room to cut between pieces on the cloth; 0 for none."),
)
_ALLOWANCE_FIELDS = (
    ("seam_allowance_mm", "Seam allowance", "At every seam but the top one: 3/8 in or 1/2 in, 1 cm or 1.5 cm."),
    ("top_allowance_mm", "Top allowance", "Above the stitch line at the top edge of a bag."),
    ("zip_allowance_mm", "Zip allowance", "From the edge of cloth and tape to the stitch line along a zip."),
    ("strap_turn_mm", "Turned end of a strap", "What of a strap lies folded behind its ring or slider."),
)
_GROUPS = (
    ("money", "Units and money", "", _MONEY_FIELDS),
    ("machine", "Your machine and table", "", _MACHINE_FIELDS),
    (
        "allowances",
        "Your usual allowances",
        "Every new bag starts with these where they fit it; each bag can have its own. Bags that you have stay as they "
        "are. Leave one empty to start with what is usual for the form.",
        _ALLOWANCE_FIELDS,
    ),
)


def _field(
    name: str, label: str, hint: str, workroom: Workroom, texts: Mapping[str, str], problems: Sequence[Problem]
) -> Field:
    own = [problem for problem in problems if problem.place == name]
    value = texts.get(name, shown(workroom, name))
    return Field(
        id=name,
        name=name,
        label=label,
        value=value,
        hint=hint,
        rounded="" if name in texts else hidden_by_rounding(workroom, name),
        problem=Wording(workroom).hers_first(" ".join(p.words() for p in own)),
        choices=_choices(name, value),
    )


def _choices(name: str, value: str) -> tuple[Option, ...]:
    if name == "units":
        labels = {UnitSystem.INCH: "inches, yards, ounces", UnitSystem.METRIC: "centimetres, metres, grams"}
        return tuple(Option(units.value, labels[units], units.value == value) for units in UnitSystem)
    if name == "thickest_needle_nm":
        return tuple(Option(str(n), said, str(n) == value) for n, said in NEEDLES_NM.items())
    if name == "fraction":
        return tuple(Option(str(n), f"1/{n} in", str(n) == value) for n in FRACTIONS)
    return ()


ROUTES = [
    Route("/workroom", show_workroom),
    Route("/workroom", save, methods=["POST"]),
    Route("/workroom/undo", undo, methods=["POST"]),
    Route("/workroom/redo", redo, methods=["POST"]),
]
