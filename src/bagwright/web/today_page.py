"""What can be cut or covered from the stash today, over all bags."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.web.frame import frame
from bagwright.web.pages import Column, Frame, Row, SearchView, Table
from bagwright.web.search_routes import cover_search_end, search_view
from bagwright.web.served import desk_of, searches_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import Desk, bag_lines
from bagwright.workflows.searches import SearchOf
from bagwright.workflows.stash_changes import the_stash
from bagwright.workflows.stash_today import LONGEST_SECONDS, TodayBag, is_today_known, start_today, stash_today
from bagwright.workflows.today_words import lacking_in_words, offers_in_words, piece_in_words, today_in_words
from bagwright.workflows.workroom_changes import the_workroom

ON_ONE_PAGE = 10
_COLUMNS = (Column("Piece"), Column("Of"), Column("Copies", is_number=True), Column("From the stash"))


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayBagView:
    """One bag: what of each piece comes out of the stash."""

    id: str
    name: str
    href: str
    is_checked: bool
    money: str
    table: Table | None
    lacking: str
    cuts: bool
    covers: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayPage:
    """today.html; the bags come from the address `later`, if there is one: they are being worked out."""

    frame: Frame
    told: str
    is_empty: bool
    bags: tuple[TodayBagView, ...]
    later: str
    turns: tuple[tuple[str, str], ...]
    job: SearchView | None
    search_words: str


@dataclass(frozen=True, slots=True)
class Asked:
    """From which bag on, and whether to wait for what has to be worked out."""

    start: int
    is_now: bool


def show(request: Request) -> Response:
    """What is known at once; what has to be worked out first comes when the page is there (`now`: with it)."""
    desk, searches = desk_of(request), searches_of(request)
    search, last = searches.under_way("", SearchOf.TODAY), searches.last_done("", SearchOf.TODAY)
    job = search_view(search, search.progress, Wording(the_workroom(desk))) if search else None
    text = request.query_params.get("from", "")
    start = int(text) if text.isascii() and text.isdecimal() and len(text) < 8 else 0
    asked = Asked(start, is_now="now" in request.query_params)
    return render("today.html", _page(desk, asked, job, cover_search_end(last) if last else ""))


def _page(desk: Desk, asked: Asked, job: SearchView | None, ended: str) -> TodayPage:
    is_empty, count = not the_stash(desk), len(bag_lines(desk))
    start = max(0, min(asked.start, count - 1)) // ON_ONE_PAGE * ON_ONE_PAGE
    is_now = is_empty or asked.is_now or is_today_known(desk, start=start, most=ON_ONE_PAGE)
    bags = stash_today(desk, start=start, most=ON_ONE_PAGE) if is_now and not is_empty else ()
    words = f"Up to {LONGEST_SECONDS:g} seconds for each inner material of a bag; it can be stopped at any time."
    return TodayPage(
        frame=frame("From the stash today", "/stash", is_demo=desk.is_demo),
        told=today_in_words(bags, count) if bags else "",
        is_empty=is_empty,
        bags=tuple(_bag(bag) for bag in bags),
        later="" if is_now else f"/stash/today?from={start}&now=1",
        turns=() if is_empty else _turns(start, count),
        job=job,
        search_words=f"{ended} {words}".strip(),
    )


def _turns(start: int, count: int) -> tuple[tuple[str, str], ...]:
    """The parts before and after this one."""

    def part(first: int) -> tuple[str, str]:
        last = min(first + ON_ONE_PAGE, count)
        return f"Bags {first + 1} to {last} of {count}", f"/stash/today?from={first}"

    firsts = (start - ON_ONE_PAGE, start + ON_ONE_PAGE)
    return tuple(part(first) for first in firsts if 0 <= first < count)


def _bag(bag: TodayBag) -> TodayBagView:
    rows = tuple(
        Row((piece.cut.name, piece.material.name, str(piece.wanted), piece_in_words(bag, piece)))
        for piece in bag.pieces
    )
    one = bag.view.answer.bag
    return TodayBagView(
        id=one.id,
        name=one.name,
        href=f"/bags/{quote(one.id)}",
        is_checked=bag.is_looked,
        money=offers_in_words(bag),
        table=Table("What the stash holds of it", _COLUMNS, rows, of=one.name) if rows else None,
        lacking=lacking_in_words(bag),
        cuts=bool(bag.offers) or any(piece.may_hold for piece in bag.pieces),
        covers=any(piece.covered or piece.may_be_covered for piece in bag.pieces),
    )


def search(request: Request) -> Response:
    """Look closely."""
    start_today(searches_of(request))
    return RedirectResponse("/stash/today#improve", status_code=303)


ROUTES = [
    Route("/stash/today", show),
    Route("/stash/today/search", search, methods=["POST"]),
]
