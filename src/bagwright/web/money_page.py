"""Where the money of a bag goes, how sure that is, and what matters most: its route and its words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from urllib.parse import quote, urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bagwright.web.frame import frame
from bagwright.web.lacks import lacks_of
from bagwright.web.money_found import MEASURES, found_money
from bagwright.web.money_pages import FieldGroup, MoneyPage
from bagwright.web.pages import Field, Option
from bagwright.web.price_lacks import price_lacks
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.desk import BagView, view_bag
from bagwright.workflows.money_typed import STEPS, USUAL, WAYS, TypedMoney, money_for_bag

_FIRST = (
    ("asked", "A price you have in mind", "What the buyer pays, tax in it. Empty: the one that pays you."),
    ("way", "Sold", "What each way keeps is below, and in the workroom."),
    ("tax", "Sales tax, in %", "Comes on top of the price, and is handed on."),
)
_GROUPS = (
    (
        "Through a shop",
        "",
        (
            ("shop", "A shop that buys from you keeps, in %", "Share of its shelf price, tax aside."),
            ("for_her", "A shop that sells for you keeps, in %", "As your agreement says."),
            ("delivery", "Bringing one bag there", "Postage and packing for each bag."),
        ),
    ),
    (
        "A market day that the bags share",
        "",
        (
            ("day_cost", "What the day costs you", "Stall, travel, food. 0 if there is none."),
            ("day_hours", "Hours there and on the way", "Paid like any hour. Leave it empty if they need not be."),
            ("least", "On a poor day you sell", "Bags like this one: fill in all three if there is a day."),
            ("likely", "Most often you sell", "Your best guess."),
            ("most", "On a very good day you sell", "No more than this."),
        ),
    ),
    (
        "What you are unsure of",
        "Give a lower end, an upper end, or both. What has no range is taken as exact.",
        (
            ("asked_low", "The buyer pays at least", "The lowest that people pay."),
            ("asked_high", "The buyer pays at most", "The highest."),
            ("pay_low", "Your pay for an hour, at least", "If you are unsure what to pay yourself."),
            ("pay_high", "Your pay for an hour, at most", "Likewise."),
            ("fees_low", "The seller keeps at least, in %", "In the way that you chose."),
            ("fees_high", "The seller keeps at most, in %", "Likewise."),
            ("steps", "A layout on the table may be off by", "More or less; cloth is sold in whole steps."),
        ),
    ),
)
_WAY_NAMES = ("by yourself", "to a shop", "by a shop, for you")


def show_money(request: Request) -> Response:
    """Where the money goes, at the terms in the address."""
    view = view_bag(desk_of(request), request.path_params["bag_id"])
    texts = dict(request.query_params)
    return render("money.html", money_page(view, texts, today=date.today()))


def money_page(view: BagView, texts: Mapping[str, str], *, today: date) -> MoneyPage:
    """The page of one bag; all that the bag lacks if it has no price."""
    bag = view.answer.bag
    typed = money_for_bag(view, texts, today=today)
    chosen = texts.get("of", "")
    chosen = chosen if chosen in MEASURES else next(iter(MEASURES))
    address = f"/bags/{quote(bag.id)}/money"
    found = typed.found if typed else None
    return MoneyPage(
        frame=frame(f"{bag.name}: where the money goes", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        first=tuple(_field(typed, *one) for one in _FIRST) if typed else (),
        groups=tuple(_group(typed, *one) for one in _GROUPS) if typed else (),
        chosen=chosen,
        found=found_money(found, view, chosen, f"{address}?{_kept(typed)}") if found and typed else None,
        stale=price_lacks(found.stale, view.shelf) if found else (),
        problems=lacks_of(view.answer.problems, bag.id),
        asking=f"/bags/{quote(bag.id)}/asking?{_kept(typed)}" if typed else "",
    )


def _kept(typed: TypedMoney | None) -> str:
    """What is typed, for the next address."""
    return urlencode({name: text for name, text in typed.texts.items() if text}) if typed else ""


def _group(typed: TypedMoney, name: str, hint: str, fields: tuple[tuple[str, str, str], ...]) -> FieldGroup:
    shown = tuple(_field(typed, *one) for one in fields)
    is_open = any(field.problem or field.value != USUAL[field.name] for field in shown)
    return FieldGroup(name, hint, shown, is_open)


def _field(typed: TypedMoney, name: str, label: str, hint: str) -> Field:
    problem = " ".join(one.words() for one in typed.problems if one.place == name)
    value = typed.texts[name]
    named = {"way": dict(zip(WAYS, _WAY_NAMES, strict=True)), "steps": STEPS}.get(name, {})
    choices = tuple(Option(one, told, one == value) for one, told in named.items())
    return Field(id=name, name=name, label=label, value=value, hint=hint, problem=problem, choices=choices)


ROUTES = [Route("/bags/{bag_id}/money", show_money)]
