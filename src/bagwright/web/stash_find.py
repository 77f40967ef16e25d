"""The form to find pieces of the stash, and its query in addresses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from urllib.parse import parse_qsl, quote, urlencode

from bagwright.model.bag import Workroom
from bagwright.units import UnitSystem
from bagwright.web.pages import Field, Option
from bagwright.web.stash_asks import Asks
from bagwright.workflows.stash_looking import WISH_FIELDS, AgeChoice, GrainChoice
from bagwright.workflows.stash_wishes import StashOrder

_LONGEST_QUERY = 2000
_GRAINS: dict[str, str] = {
    GrainChoice.ANY: "any way",
    GrainChoice.ALONG: "along the first size",
    GrainChoice.KNOWN: "known",
    GrainChoice.NONE: "none, or not known",
}
_AGES: dict[str, str] = {
    AgeChoice.ANY: "at any time",
    AgeChoice.MONTH: "in the last 30 days",
    AgeChoice.YEAR: "in the last year",
    AgeChoice.OVER_HALF: "over half a year ago",
    AgeChoice.OVER_YEAR: "over a year ago",
}
_ORDERS: dict[str, str] = {
    "": "by material, largest first",
    StashOrder.NEWEST: "newest first",
    StashOrder.OLDEST: "oldest first",
    StashOrder.WORTH: "worth most first",
    StashOrder.BIN: "by where they lie",
}


def order_words(find: Mapping[str, str]) -> str:
    """The order that is asked for, in words; empty for the usual one."""
    order = find.get("order", "")
    return _ORDERS.get(order, "") if order else ""


def query_of(find: Mapping[str, str]) -> str:
    """What is looked for and which part of the list is shown, as in the address."""
    return urlencode({name: find[name] for name in (*WISH_FIELDS, "from") if find.get(name)})


def query_read(texts: Mapping[str, str]) -> dict[str, str]:
    """The query that a form sent along: nothing but what can be looked for."""
    given = dict(parse_qsl(texts.get("find", "")[:_LONGEST_QUERY], max_num_fields=40))
    return {name: given[name] for name in (*WISH_FIELDS, "from") if given.get(name)}


def piece_address(piece_id: str) -> str:
    """Where in the stash a piece is shown."""
    return f"/stash?at={quote(piece_id)}#piece-{quote(piece_id)}"


def newest_first(count: int) -> str:
    """The query that shows what was just put in."""
    return urlencode({"order": StashOrder.NEWEST, "put": count})


def bin_address(place: str) -> str:
    """All that lies in a place."""
    return f"/stash?bin={quote(place)}"


def such_as(workroom: Workroom, inch: str, metric: str) -> str:
    """An example in her units."""
    return f"such as {inch if workroom.units is UnitSystem.INCH else metric}"


def find_fields(workroom: Workroom, sheets: Sequence[Option], asks: Asks) -> tuple[Field, ...]:
    """What is asked most."""
    return (
        asks.field("long", "At least", f"One side, {such_as(workroom, '8 in', '20 cm')}."),
        asks.field("wide", "by", "The other side; either may lie along the grain."),
        asks.field("material", "Of", "", choices=(Option("", "any material"), *sheets)),
        asks.field("bin", "Lies in", "Its name, or one word of it."),
    )


def more_fields(workroom: Workroom, asks: Asks) -> tuple[Field, ...]:
    """Grain, age, worth and order."""
    currency = workroom.currency
    grains, ages, orders = (
        tuple(Option(str(key), said) for key, said in choices.items()) for choices in (_GRAINS, _AGES, _ORDERS)
    )
    return (
        asks.field("grain", "Grain", "Without a size: whether an arrow is drawn.", choices=grains),
        asks.field("age", "Came in", "", choices=ages),
        asks.field("worth_from", f"Worth at least ({currency})", "What has no worth is left out then."),
        asks.field("worth_to", f"Worth at most ({currency})", ""),
        asks.field("order", "Sorted", "", choices=orders),
    )


def is_more_asked(find: Mapping[str, str]) -> bool:
    """Whether any field of `more_fields` leaves something out."""
    return any(find.get(name) for name in ("grain", "age", "worth_from", "worth_to"))
