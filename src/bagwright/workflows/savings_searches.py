"""Looking for what saves on a bag while the maker looks on: how far it is, the best so far, and a stop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bagwright.costing.savings import SavingsNews
from bagwright.workflows.savings import SavingsAsked, look_for_savings
from bagwright.workflows.searches import Progress, Search, Searches, SearchOf
from bagwright.workflows.shared_buying import SharedNews, Watch, look_for_shared, shared_said

BROKE_OFF = "The search broke off before anything was kept."
_SHARE_FOR_BAGS = 0.8
"""Working out all the other bags takes most of the time; how much, is a guess."""


def start_savings(searches: Searches, bag_id: str, asked: SavingsAsked, *, address: str = "") -> Search:
    """Look for savings of a bag that has a price, or give the search that is under way. `address`: what is asked."""

    def work(search: Search) -> None:
        limits = asked.limits

        def tell(news: SavingsNews, does: tuple[str, ...]) -> None:
            search.tell(savings_progress(news, does))

        watched = replace(limits, should_stop=lambda: search.is_stopped or limits.should_stop())
        until_told(search, lambda: look_for_savings(searches.desk, bag_id, replace(asked, limits=watched, tell=tell)))

    return searches.start_work(work, bag_id, SearchOf.SAVINGS, asked=address)


def start_shared(searches: Searches, bag_id: str) -> Search:
    """The same for what buying for other bags in the same go saves."""

    def work(search: Search) -> None:
        watch = Watch(lambda: search.is_stopped, lambda news: search.tell(shared_progress(news)))
        until_told(search, lambda: look_for_shared(searches.desk, bag_id, watch=watch))

    return searches.start_work(work, bag_id, SearchOf.SHARED)


def until_told(search: Search, look: Callable[[], object]) -> None:
    """Look, then tell the end: a page that hears of none would wait for ever."""
    fault = BROKE_OFF
    try:
        look()
        fault = ""
    finally:
        search.tell(Progress("", 1.0, 0.0, is_done=True, fault=fault))


def savings_progress(news: SavingsNews, does: tuple[str, ...]) -> Progress:
    """How far the search for savings is, in words."""
    if news.tried < news.alone:
        told = f"{news.tried} of {news.alone} changes tried."
    else:
        ways = f" Together: {news.tried - news.alone} ways, of at most {news.most - news.alone}."
        told = f"All {news.alone} changes tried.{ways if news.most > news.alone else ''}"
    best: tuple[str, ...] = ()
    if news.best:
        price, falls = news.best.outcome.price, news.best.saves(news.now)
        best = (*does, f"The price that pays you falls by {falls.said()}, to {price.said()}.")
    return Progress("", min(news.tried / news.most, 1.0), 0.0, is_done=False, told=told, best=best)


def shared_progress(news: SharedNews) -> Progress:
    """The same for buying for several bags."""
    if news.ways:
        told = f"All bags worked out. {news.tried} of {news.ways} ways to buy together tried."
        share = _SHARE_FOR_BAGS + (1 - _SHARE_FOR_BAGS) * news.tried / news.ways
    else:
        told = f"{news.seen} of {news.bags} other bags worked out."
        share = _SHARE_FOR_BAGS * news.seen / news.bags
    best = shared_said(news.best)[:2] if news.best else ()
    return Progress("", share, 0.0, is_done=False, told=told, best=best)
