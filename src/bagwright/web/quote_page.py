"""Quotes of a bag: kept, put away, compared."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from urllib.parse import quote as quoted

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput, NoAnswer, Problem, StaleSave
from bagwright.model.money import Money
from bagwright.model.quote import Quote
from bagwright.units import print_minutes
from bagwright.web.counting_view import counting_view
from bagwright.web.form_reading import text_of, texts_of, version_of
from bagwright.web.frame import frame
from bagwright.web.pages import Column, Field, Option, Row, Table
from bagwright.web.quote_pages import AwayQuote, ComparedView, QuoteCard, QuotesPage
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.quotes import QuotesOfBag, compared, keep_quote, put_quote_away, quotes_of_bag
from bagwright.workflows.tell_compare import change_in_words, more_words

_STALE = "This was changed in another tab. Nothing was overwritten: below is everything as it is now."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What the page was asked for, and what was wrong with it."""

    before: str = ""
    after: str = ""
    compares: bool = False
    away: AwayQuote | None = None
    note: str = ""
    problems: tuple[Problem, ...] = field(default=())
    stale: str = ""


def show(request: Request) -> Response:
    """The quotes, two of them compared if that is asked for."""
    asked = request.query_params
    away = AwayQuote(asked["away"][:200], version_of(asked)) if asked.get("away") else None
    wish = _Asked(before=asked.get("before", ""), after=asked.get("after", ""), compares="before" in asked, away=away)
    return _shown(request, wish)


async def keep(request: Request) -> Response:
    """Keep the price as it is now."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_kept, request, texts)


def _kept(request: Request, texts: dict[str, str]) -> Response:
    bag_id, note = request.path_params["bag_id"], text_of(texts, "note")
    try:
        keep_quote(desk_of(request), bag_id, version_of(texts), note, today=date.today())
    except FaultyInput as fault:
        return _shown(request, _Asked(note=note, problems=fault.problems), status=422)
    except StaleSave:
        return _shown(request, _Asked(note=note, stale=_STALE), status=409)
    return RedirectResponse(f"/bags/{quoted(bag_id)}/quotes", status_code=303)


async def act(request: Request) -> Response:
    """Put a quote away, or bring it back."""
    texts = texts_of(await request.form())
    return await run_in_threadpool(_acted, request, texts)


def _acted(request: Request, texts: dict[str, str]) -> Response:
    bag_id, quote_id = request.path_params["bag_id"], request.path_params["quote_id"]
    version, goes_away = version_of(texts), request.path_params["deed"] == "away"
    try:
        put_quote_away(desk_of(request), quote_id, version, away=goes_away)
    except (StaleSave, NoAnswer):
        return _shown(request, _Asked(stale=_STALE), status=409)
    told = f"?away={quoted(quote_id)}&version={version + 1}" if goes_away else ""
    return RedirectResponse(f"/bags/{quoted(bag_id)}/quotes{told}", status_code=303)


def _shown(request: Request, asked: _Asked, *, status: int = 200) -> Response:
    desk = desk_of(request)
    quotes = quotes_of_bag(desk, request.path_params["bag_id"], today=date.today())
    bag = quotes.view.answer.bag
    page = QuotesPage(
        frame=frame(f"{bag.name}: quotes", "/", is_demo=desk.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        bag_version=bag.version,
        lead=_told(quotes.now) if quotes.now else "",
        note_field=Field(
            id="note",
            name="note",
            label="A note",
            value=asked.note,
            hint="For whom, or why. You may leave it empty.",
            problem=" ".join(one.words() for one in asked.problems if one.place == "note"),
        ),
        cards=tuple(_card(kept.value, kept.version) for kept in quotes.kept),
        choices=(_choices(quotes, asked.before or _usual(quotes)), _choices(quotes, asked.after)),
        compared=_compared(quotes, asked) if asked.compares else None,
        away=asked.away,
        problems=tuple(one.words() for one in asked.problems if one.place != "note"),
        stale=asked.stale,
        counting=counting_view(quotes.view),
    )
    return render("quotes.html", page, status=status)


def _usual(quotes: QuotesOfBag) -> str:
    return quotes.kept[0].value.id if quotes.kept else ""


def _told(one: Quote) -> str:
    price = f"asks {one.paid_price.said()}, of which {one.floor.said()} are costs"
    return f"One bag, made {one.run_count} at a time, {price}; it takes {print_minutes(one.minutes)}."


def _named(one: Quote, quotes: QuotesOfBag) -> str:
    return "As it is now" if one is quotes.now else f"Quote {one.number}, {one.dated:%d %b %Y}"


def _choices(quotes: QuotesOfBag, chosen: str) -> tuple[Option, ...]:
    now = [Option("", "As it is now", chosen == "")] if quotes.now else []
    there = (kept.value for kept in quotes.kept)
    return (*now, *(Option(one.id, _named(one, quotes), one.id == chosen) for one in there))


def _card(one: Quote, version: int) -> QuoteCard:
    rows = [Row((part.name, part.amount.said())) for part in one.parts]
    rows.append(Row(("Price that pays you", one.paid_price.said()), is_sum=True))
    heading = f"Quote {one.number}, {one.dated:%d %B %Y}"
    return QuoteCard(
        id=one.id,
        version=version,
        heading=heading,
        told=_told(one),
        note=one.note,
        parts=Table("Part by part", (Column("What"), Column("Amount", True)), tuple(rows), of=heading),
        assumed=one.assumed,
    )


def _compared(quotes: QuotesOfBag, asked: _Asked) -> ComparedView:
    before, after, change = compared(quotes, asked.before, asked.after)
    names = _named(before, quotes), _named(after, quotes)
    rows = [Row((part.name, _said(part.before), _said(part.after), more_words(part.more))) for part in change.parts]
    whole = before.paid_price.said(), after.paid_price.said(), more_words(change.more)
    rows.append(Row(("Price that pays you", *whole), is_sum=True))
    columns = (Column("What"), Column(names[0], True), Column(names[1], True), Column("Change", True))
    differing = [Row((what, one or "not told", other or "not told")) for what, one, other in change.assumed]
    what_for = (Column("What"), Column(names[0]), Column(names[1]))
    return ComparedView(
        heading=f"{names[0]} and {names[1][0].lower()}{names[1][1:]}",
        told=change_in_words(change),
        parts=Table("Line by line", columns, tuple(rows), of="both quotes"),
        assumed=Table("What they rest on, where it differs", what_for, tuple(differing)) if differing else None,
    )


def _said(amount: Money | None) -> str:
    return amount.said() if amount else "none"


ROUTES = [
    Route("/bags/{bag_id}/quotes", show),
    Route("/bags/{bag_id}/quotes", keep, methods=["POST"]),
    Route("/bags/{bag_id}/quotes/{quote_id}/{deed}", act, methods=["POST"]),
]
