"""The page on which pieces of a layout are moved: its value, its building, its routes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.model.layout import Placement
from bagwright.units import UnitSystem
from bagwright.web.form_reading import texts_of
from bagwright.web.frame import frame
from bagwright.web.pages import Field, Frame, Option
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import Desk
from bagwright.workflows.moving import (
    CopyFields,
    Judged,
    MovingTable,
    board_picture,
    copy_fields,
    judge,
    keep_moved,
    moving_table,
    read_placements,
    undo_moved,
    use_found,
)

STALE = "Another layout lies here by now: a shorter one was found, or the bag was changed. Nothing was kept."
Texts = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class CopyForm:
    """One copy of a piece: where it lies, how it is turned."""

    number: int
    name: str
    along: Field
    across: Field
    turn: Field


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingPage:
    """moving.html"""

    frame: Frame
    here: str
    bag_href: str
    bag_name: str
    table_href: str
    material_name: str
    layout_name: str
    step_mm: str
    gap_mm: str
    step_words: str
    board: Markup
    copies: tuple[CopyForm, ...]
    passes: bool
    verdict: str
    faults: tuple[str, ...]
    told: str
    is_hers: bool
    can_undo: bool
    stale: str
    typing_faults: tuple[str, ...]


def moving_page(
    table: MovingTable,
    placements: Sequence[Placement],
    judged: Judged,
    *,
    texts: Texts,
    problems: Sequence[Problem] = (),
    stale: str = "",
) -> MovingPage:
    """The cloth with every copy and the verdict on them; `texts` and `problems`: what was typed and refused."""
    bag, material = table.view.answer.bag, table.sheet.material
    bag_href, say = f"/bags/{quote(bag.id)}", Wording(table.view.workroom)
    table_href = f"{bag_href}/layouts/{quote(material.id)}"
    is_inch = say.units is UnitSystem.INCH
    fields = copy_fields(table, placements)
    return MovingPage(
        frame=frame(f"{bag.name}: {material.name}, moved by hand", "/", is_demo=table.view.is_demo),
        here=f"{table_href}/moving",
        bag_href=bag_href,
        bag_name=bag.name,
        table_href=table_href,
        material_name=material.name,
        layout_name=table.name,
        step_mm="1.5875" if is_inch else "1",
        gap_mm=repr(table.sheet.request.gap_mm),
        step_words="1/16 in" if is_inch else "1 mm",
        board=Markup(board_picture(table, placements, judged)),
        copies=tuple(_copy(number, one, texts, problems) for number, one in enumerate(fields)),
        passes=judged.verdict.passed,
        verdict=_verdict(table, judged, say),
        faults=judged.faults,
        told=f"The layout that was found takes {say.length(table.found_mm)}.",
        is_hers=table.is_hers,
        can_undo=table.can_undo,
        stale=stale,
        typing_faults=tuple(problem.words() for problem in problems),
    )


def _verdict(table: MovingTable, judged: Judged, say: Wording) -> str:
    if judged.verdict.passed:
        return f"Checked: nothing overlaps or leaves the cloth. It takes {say.length(judged.length_mm)}."
    return "It cannot be cut like this:"


def _copy(number: int, one: CopyFields, texts: Texts, problems: Sequence[Problem]) -> CopyForm:
    name = f"{one.name}{', mirrored' if one.mirrored else ''}"

    def field(kind: str, label: str, given: str, choices: tuple[Option, ...] = ()) -> Field:
        key = f"{kind}_{number}"
        problem = next((p.words() for p in problems if p.place == key), "")
        value = texts.get(key, given) if problem else given
        said = f"{label}: {name}, copy {number + 1}"
        return Field(id=key, name=key, label=said, value=value, hint="", problem=problem, choices=choices)

    turns = tuple(Option(f"{turn:g}", f"{turn:g}°", f"{turn:g}" == f"{one.turn_deg:g}") for turn in one.turns)
    return CopyForm(
        number,
        name,
        field("along", "From the cut end", one.along),
        field("across", "Across", one.across),
        field("turn", "Turned", f"{one.turn_deg:g}", turns),
    )


def _table(request: Request) -> MovingTable:
    desk = desk_of(request)
    return moving_table(desk, request.path_params["bag_id"], request.path_params["material_id"])


def show_moving(request: Request) -> Response:
    """The layout as it is."""
    table = _table(request)
    judged = judge(table, table.placements)
    return render("moving.html", moving_page(table, table.placements, judged, texts={}))


async def move(request: Request) -> Response:
    """Look at what was moved (the script asks again and again), or keep it."""
    return await run_in_threadpool(_moved, request, texts_of(await request.form()))


def _moved(request: Request, texts: Texts) -> Response:
    table = _table(request)
    if texts.get("layout") != table.name:
        judged = judge(table, table.placements)
        page = moving_page(table, table.placements, judged, texts={}, stale=STALE)
        return render("moving.html", page, status=409)
    try:
        placements = read_placements(table, texts)
    except FaultyInput as fault:
        judged = judge(table, table.placements)
        page = moving_page(table, table.placements, judged, texts=texts, problems=fault.problems)
        return render("moving.html", page, status=422)
    judged = judge(table, placements)
    if texts.get("deed") != "keep" or not judged.verdict.passed:
        status = 422 if texts.get("deed") == "keep" else 200
        return render("moving.html", moving_page(table, placements, judged, texts=texts), status=status)
    try:
        keep_moved(desk_of(request), table, placements, name=texts["layout"])
    except StaleSave:
        return render("moving.html", moving_page(table, placements, judged, texts={}, stale=STALE), status=409)
    return RedirectResponse(f"{request.url.path}", status_code=303)


def act(request: Request) -> Response:
    """Back to the layout that was found, or undo."""
    deeds: dict[str, Callable[[Desk, MovingTable], None]] = {"found": use_found, "undo": undo_moved}
    deed = request.path_params["deed"]
    if deed not in deeds:
        raise NotKept(f"deed {deed!r}")
    deeds[deed](desk_of(request), _table(request))
    return RedirectResponse(request.url.path.rpartition("/")[0], status_code=303)


_HERE = "/bags/{bag_id}/layouts/{material_id}/moving"
ROUTES = [
    Route(_HERE, show_moving),
    Route(_HERE, move, methods=["POST"]),
    Route(f"{_HERE}/{{deed}}", act, methods=["POST"]),
]
