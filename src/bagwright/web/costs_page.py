"""Running costs of the workroom: page and routes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.running_costs import LastsFor, ScrapsCount, SharedBy, StuckAt, SupplyKind
from bagwright.web.costs_pages import CostsPage, SupplyView
from bagwright.web.form_reading import texts_of, version_of
from bagwright.web.frame import frame
from bagwright.web.pages import Check, Field, Option
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.desk import Desk
from bagwright.workflows.running_cost_lines import (
    CAN_LAST_FOR,
    SupplyLine,
    month_lines,
    overhead_now,
    shown_share,
    shown_shares,
    stuck_field,
    supply_lines,
)
from bagwright.workflows.running_costs import change_running_costs
from bagwright.workflows.workroom_changes import the_workroom

_STALE = "The settings were changed in another tab. Nothing was overwritten: these are the settings as they are now."
_HINTS = {
    SupplyKind.NEEDLE: "One needle, and how much you sew before you change it.",
    SupplyKind.BLADE: "One blade, and the cut line that it lasts for.",
    SupplyKind.TAPE: "A roll, and its length.",
    SupplyKind.GLUE: "A tube or bottle, and the length of seam that it lasts for.",
    SupplyKind.MACHINE: "What it costs to buy and keep, and the hours that it will sew.",
    SupplyKind.PACKAGING: "Box, tissue, bag: what goes with the bag to its buyer.",
    SupplyKind.LABEL: "Woven label, swing tag, ribbon.",
    SupplyKind.CARE_LABEL: "What a label must say depends on where you sell.",
    SupplyKind.DELIVERY: "Postage on what you order. Leave it empty where the terms of your shops say it.",
    SupplyKind.OTHER: "",
}
_FOR = {
    LastsFor.SEWN_MM: "length sewn",
    LastsFor.SEWN_MINUTES: "hours at the machine",
    LastsFor.CUT_MM: "length cut",
    LastsFor.STUCK_MM: "length stuck",
    LastsFor.BAGS: "bags",
    LastsFor.RUNS: "runs",
}
_LASTS = {
    LastsFor.CUT_MM: "Cuts this length",
    LastsFor.STUCK_MM: "Sticks this length",
    LastsFor.SEWN_MINUTES: "Sews these hours",
}
_SCRAPS = {
    ScrapsCount.SHARE: "a share of what they cost",
    ScrapsCount.NOTHING: "nothing",
    ScrapsCount.REPLACEMENT: "what new costs at its cheapest",
}


@dataclass(frozen=True, slots=True)
class _Typed:
    """What was typed, and what is wrong with it."""

    texts: Mapping[str, str]
    problems: Sequence[Problem]

    def field(self, name: str, label: str, value: str, hint: str = "", *, choices: tuple[Option, ...] = ()) -> Field:
        told = " ".join(problem.words() for problem in self.problems if problem.place == name)
        return Field(id=name, name=name, label=label, value=value, hint=hint, problem=told, choices=choices)


def show_costs(request: Request) -> Response:
    """The running costs."""
    said = "Saved. Every bag is reckoned anew." if "saved" in request.query_params else ""
    return render("costs.html", _page(desk_of(request), _Typed({}, ()), said=said))


async def save_costs(request: Request) -> Response:
    """Take over new ones."""
    return await run_in_threadpool(_saved, desk_of(request), texts_of(await request.form()))


def _saved(desk: Desk, texts: Mapping[str, str]) -> Response:
    try:
        change_running_costs(desk, version_of(texts), texts)
    except FaultyInput as fault:
        return render("costs.html", _page(desk, _Typed(texts, fault.problems)), status=422)
    except StaleSave:
        return render("costs.html", _page(desk, _Typed({}, ()), stale=_STALE), status=409)
    return RedirectResponse("/workroom/costs?saved", status_code=303)


def _page(desk: Desk, typed: _Typed, *, said: str = "", stale: str = "") -> CostsPage:
    room = the_workroom(desk)
    supplies = [_supply(line, typed, room) for line in supply_lines(room, typed.texts)]
    own = [one for one in supplies if one.fields[0].name.endswith("_name")]
    return CostsPage(
        frame=frame("Running costs", "/workroom", is_demo=desk.is_demo),
        version=room.version,
        said=said,
        stale=stale,
        overhead_now=f"Overhead now: {overhead_now(room)}.",
        month=tuple(_month(room, typed)),
        shared=tuple(_shared(room, typed)),
        supplies=tuple(one for one in supplies if one not in own),
        own=tuple(own),
        scraps=tuple(_scraps(room, typed)),
        prices=(_price_age(room, typed),),
    )


def _month(room: Workroom, typed: _Typed) -> Iterator[Field]:
    for at, (name, amount) in enumerate(month_lines(room, typed.texts)):
        yield typed.field(f"month_{at}_name", f"What it is, line {at + 1}", name)
        yield typed.field(f"month_{at}_amount", f"{room.currency} a month, line {at + 1}", amount)


def _shared(room: Workroom, typed: _Typed) -> Iterator[Field]:
    chosen = typed.texts.get("shared_by", room.overhead.shared_by)
    words = {SharedBy.BAGS: "the bags of a month", SharedBy.HOURS: "the hours of a month"}
    choices = tuple(Option(by.value, said, by.value == chosen) for by, said in words.items())
    yield typed.field("shared_by", "Shared by", chosen, choices=choices)
    bags, hours = shown_shares(room)
    yield typed.field("bags_a_month", "Bags you make in a month", typed.texts.get("bags_a_month", bags))
    said = "Hours at work on bags, pauses left out."
    yield typed.field("hours_a_month", "Hours a month", typed.texts.get("hours_a_month", hours), said)


def _supply(line: SupplyLine, typed: _Typed, room: Workroom) -> SupplyView:
    is_own = line.key.startswith("own_")
    fields = [typed.field(f"{line.key}_name", "What it is", line.name)] if is_own else []
    fields.append(typed.field(f"{line.key}_price", f"One costs, in {room.currency}", line.price))
    usual = CAN_LAST_FOR[line.kind]
    many = "Lasts for" if len(usual) > 1 else _LASTS[usual[0]]
    fields.append(typed.field(f"{line.key}_lasts", many, line.lasts, "Empty: 1." if LastsFor.BAGS in usual else ""))
    if len(usual) > 1:
        choices = tuple(Option(one.value, _FOR[one], one is line.lasts_for) for one in usual)
        fields.append(typed.field(f"{line.key}_for", "Counted in", line.lasts_for, choices=choices))
    is_stuck = LastsFor.STUCK_MM in usual
    checks = [Check(stuck_field(line.key, at), stuck_field(line.key, at), at, at in line.stuck_at) for at in StuckAt]
    return SupplyView(
        title="Something else" if is_own else line.kind.value[:1].upper() + line.kind.value[1:],
        hint=_HINTS[line.kind],
        counts="" if line.price.strip() or is_own else "not counted",
        fields=tuple(fields),
        checks=tuple(checks) if is_stuck else (),
    )


def _scraps(room: Workroom, typed: _Typed) -> Iterator[Field]:
    chosen = typed.texts.get("scraps_count", room.scraps_count)
    choices = tuple(Option(way.value, said, way.value == chosen) for way, said in _SCRAPS.items())
    yield typed.field("scraps_count", "Scraps count for", chosen, choices=choices)
    said = "Where they count for a share. 100: all that they cost."
    yield typed.field("scraps_share", "The share, in %", typed.texts.get("scraps_share", shown_share(room)), said)


def _price_age(room: Workroom, typed: _Typed) -> Field:
    days = typed.texts.get("stale_after_days", str(room.stale_after_days))
    said = "Older ones are told wherever they count. A year is common practice, no source."
    return typed.field("stale_after_days", "A price holds for, in days", days, said)


ROUTES = [
    Route("/workroom/costs", show_costs),
    Route("/workroom/costs", save_costs, methods=["POST"]),
]
