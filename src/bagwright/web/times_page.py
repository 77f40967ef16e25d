"""The standard times of the workroom, and practice: page and routes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.timing import LearningModel
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.frame import frame
from bagwright.web.pages import Field, Option
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.web.time_pages import TimesPage, TimesPart
from bagwright.workflows.desk import Desk
from bagwright.workflows.standard_times import (
    TIME_FIELDS,
    TimeField,
    change_standard_times,
    shown_learning,
    shown_time,
    unit_said,
)
from bagwright.workflows.workroom_changes import the_workroom

_STALE = "The settings were changed in another tab. Nothing was overwritten: these are the settings as they are now."
_SOURCES = {
    "press_hold_seconds": "Common practice is 10 to 15 s with a home iron; the leaflet of your interfacing wins.",
    "allowance_share": "From memory of usual tables for personal needs, fatigue and small things; they are disputed.",
}
_MODELS = {
    LearningModel.UNIT: "the time of the last bag (unit model, Crawford)",
    LearningModel.AVERAGE: "the average of all so far (cumulative average, Wright)",
}


def show_times(request: Request) -> Response:
    """The standard times."""
    desk = desk_of(request)
    said = "Saved. Every bag is timed anew." if "saved" in request.query_params else ""
    return render("times.html", _page(desk, {}, (), said=said))


async def save_times(request: Request) -> Response:
    """Take over new ones."""
    desk = desk_of(request)
    return await run_in_threadpool(_saved, desk, texts_of(await request.form()))


def _saved(desk: Desk, texts: Mapping[str, str]) -> Response:
    try:
        change_standard_times(desk, version_of(texts), texts)
    except FaultyInput as fault:
        return render("times.html", _page(desk, texts, fault.problems), status=422)
    except StaleSave:
        return render("times.html", _page(desk, {}, (), stale=_STALE), status=409)
    return RedirectResponse("/workroom/times?saved", status_code=303)


def _page(
    desk: Desk, texts: Mapping[str, str], problems: Sequence[Problem], *, said: str = "", stale: str = ""
) -> TimesPage:
    room = the_workroom(desk)
    parts = [
        TimesPart(name, tuple(_field(one, room, texts, problems) for one in fields))
        for name, fields in TIME_FIELDS.items()
    ]
    parts.append(TimesPart("Practice", tuple(_learning(room, texts, problems))))
    return TimesPage(
        frame=frame("Standard times", "/workroom", is_demo=desk.is_demo),
        version=room.version,
        said=said,
        stale=stale,
        parts=tuple(parts),
    )


def _field(field: TimeField, room: Workroom, texts: Mapping[str, str], problems: Sequence[Problem]) -> Field:
    unit = unit_said(room, field)
    return Field(
        id=field.name,
        name=field.name,
        label=f"{field.label}, in {unit}" if unit else field.label,
        value=texts.get(field.name, shown_time(room, field)),
        hint=_SOURCES.get(field.name, ""),
        problem=_told(field.name, problems),
    )


def _learning(room: Workroom, texts: Mapping[str, str], problems: Sequence[Problem]) -> tuple[Field, Field]:
    chosen = texts.get("learning_model", room.learning_model)
    rate = Field(
        id="learning_rate",
        name="learning_rate",
        label="Time left when twice as many are made, in %",
        value=texts.get("learning_rate", shown_learning(room)),
        hint="100: no learning; 90: the second takes 90 % of the first, the fourth 90 % of the second. 70 at least.",
        problem=_told("learning_rate", problems),
    )
    model = Field(
        id="learning_model",
        name="learning_model",
        label="What falls to that",
        value=chosen,
        hint="The two are often mixed up. With the average, single bags get faster sooner.",
        problem=_told("learning_model", problems),
        choices=tuple(Option(model.value, label, model.value == chosen) for model, label in _MODELS.items()),
    )
    return rate, model


def _told(name: str, problems: Sequence[Problem]) -> str:
    return " ".join(problem.words() for problem in problems if problem.place == name)


ROUTES = [
    Route("/workroom/times", show_times),
    Route("/workroom/times", save_times, methods=["POST"]),
]
