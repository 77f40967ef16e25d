"""Routes of time: her timer at the machine, times typed in, the standard times of the workroom."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NoAnswer, NotKept, StaleSave
from bagwright.model.timing import Timing
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.web.time_page import TypedTime, time_page
from bagwright.workflows.desk import Desk
from bagwright.workflows.timing import (
    bring_back,
    finish_timer,
    go_on,
    pause_timer,
    start_timer,
    take_away,
    type_time,
    view_time,
)

_STALE = "That was changed in another tab. Nothing was lost: these are your times as they are now."
_TOLD = frozenset({"done", "away", "typed"})

Act = Callable[[Desk, str, Mapping[str, str], datetime], Timing]
_ACTS: Mapping[str, Act] = {
    "start": lambda desk, bag_id, texts, now: start_timer(desk, bag_id, texts.get("step", ""), at=now),
    "typed": lambda desk, bag_id, texts, now: type_time(
        desk, bag_id, texts.get("step", ""), texts.get("minutes", ""), at=now
    ),
    "pause": lambda desk, _, texts, now: pause_timer(desk, texts.get("id", ""), version_of(texts), at=now),
    "on": lambda desk, _, texts, now: go_on(desk, texts.get("id", ""), version_of(texts), at=now),
    "done": lambda desk, _, texts, now: finish_timer(desk, texts.get("id", ""), version_of(texts), at=now),
    "away": lambda desk, _, texts, now: take_away(desk, texts.get("id", ""), version_of(texts)),
    "back": lambda desk, _, texts, now: bring_back(desk, texts.get("id", ""), version_of(texts)),
}


def show_time(request: Request) -> Response:
    """Minutes of the bag, step by step, with timers and readings."""
    return _shown(request, TypedTime())


def _shown(request: Request, typed: TypedTime, *, status: int = 200) -> Response:
    desk = desk_of(request)
    last = request.query_params.get("last", "")[:200]
    view = view_time(desk, _bag_id(request), at=datetime.now(UTC), last_id=last)
    return render("time.html", time_page(view, typed), status=status)


async def act(request: Request) -> Response:
    """Start, pause, go on, done, take away, bring back, type in."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_acted, request, texts)


def _acted(request: Request, texts: Mapping[str, str]) -> Response:
    name = texts.get("act", "")
    if name not in _ACTS:
        raise NotKept(f"act {name[:40]!r}")
    try:
        timing = _ACTS[name](desk_of(request), _bag_id(request), texts, datetime.now(UTC))
    except FaultyInput as fault:
        refused = TypedTime(texts.get("step", ""), texts.get("minutes", ""), fault.problems)
        return _shown(request, refused, status=422)
    except (StaleSave, NoAnswer):
        return _shown(request, TypedTime(stale=_STALE), status=409)
    last = f"?last={quote(timing.id)}" if name in _TOLD else ""
    return RedirectResponse(f"/bags/{quote(_bag_id(request))}/time{last}", status_code=303)


def _bag_id(request: Request) -> str:
    bag_id: str = request.path_params["bag_id"]
    return bag_id


ROUTES = [
    Route("/bags/{bag_id}/time", show_time),
    Route("/bags/{bag_id}/time", act, methods=["POST"]),
]
