"""A part of a page that is the answer of a search: what was found, or how far the search is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from bagwright.web.pages import SearchView
from bagwright.web.search_routes import search_view
from bagwright.web.wording import Wording
from bagwright.workflows.searches import Search, Searches, SearchOf

Found = TypeVar("Found")
CHANGED = "Something was changed meanwhile."


@dataclass(frozen=True, slots=True)
class Look(Generic[Found]):
    """A search whose answer a page is: `known` gives what was found lately, `start` begins to look."""

    of: SearchOf
    bag_id: str
    asked: str
    known: Callable[[], Found | None]
    start: Callable[[], Search]


def look_or_known(searches: Searches, look: Look[Found], say: Wording, *, is_now: bool) -> Found | SearchView | str:
    """What was found, or the search that goes on, or how it broke off. `is_now`: wait for its end first."""
    search = searches.under_way(look.bag_id, look.of, asked=look.asked)
    if search is None and (found := look.known()) is not None:
        return found
    last = searches.last_done(look.bag_id, look.of, asked=look.asked)
    if search is None and last and last.fault:
        return last.fault
    search = search or look.start()
    if is_now:
        ended, found = search.wait(), look.known()
        return found if found is not None else ended.fault or CHANGED
    return search_view(search, search.progress, say)
