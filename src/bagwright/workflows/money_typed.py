"""What she types about a bag's money: how it is sold, and what she is unsure of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from bagwright.costing.money_inputs import SharedDay
from bagwright.errors import FaultyInput, Problem
from bagwright.model.asking import WayAnswer
from bagwright.model.bag import Workroom
from bagwright.model.money_terms import KEPT_SHARE, PAY, PRICE
from bagwright.units import read_number
from bagwright.workflows.asking_bag import USUAL as ASKING_USUAL
from bagwright.workflows.asking_bag import ask_for_bag, read_count
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import BagView
from bagwright.workflows.money_bag import MoneyAsked, MoneyFound, find_money
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.workroom_changes import read_percent

Texts = Mapping[str, str]
WAYS = ("own", "shop", "for_her")
_OF_ASKING = ("asked", "tax", "shop", "for_her", "delivery")
_OF_DAY = ("day_cost", "day_hours", "least", "likely", "most")
_ENDS = ("asked_low", "asked_high", "pay_low", "pay_high", "fees_low", "fees_high")
USUAL: Texts = {
    "way": WAYS[0],
    **{name: ASKING_USUAL[name] for name in (*_OF_ASKING, *_OF_DAY)},
    **dict.fromkeys(_ENDS, ""),
    "steps": "",
}
STEPS = {"": "5 % of its length", "1": "one step that the shop measures off", "2": "two such steps"}
_RANGE_OF = {"asked": PRICE, "pay": PAY, "fees": KEPT_SHARE}
_MOST_PERCENT = 95


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedMoney:
    """The fields as typed, their faults, and the answer if there are none."""

    texts: Texts
    problems: tuple[Problem, ...]
    found: MoneyFound | None = None


def money_for_bag(view: BagView, texts: Texts, *, today: date) -> TypedMoney | None:
    """The money of a bag at what is typed; a field that is missing is as usual. None if the bag has no price yet."""
    price = view.answer.price
    if price is None:
        return None
    given = {name: texts.get(name, usual).strip() or usual for name, usual in USUAL.items()}
    faults = Faults()
    asked_bag = ask_for_bag(price, view.workroom, {name: given[name] for name in _OF_ASKING})
    faults.problems += asked_bag.problems
    day, ends, number = None, {}, 0
    with faults:
        day = _read_day(given, view.workroom)
    with faults:
        ends = _read_ends(given, view.workroom)
    with faults:
        number = _way_number(given["way"])
    given["steps"] = given["steps"] if given["steps"] in STEPS else ""
    if faults.problems:
        return TypedMoney(texts=given, problems=tuple(faults.problems))
    answer = asked_bag.ways[number]
    asked = MoneyAsked(
        way=answer.way,
        today=today,
        asked=answer.asked.price if answer.asked else None,
        day=day,
        ranges=_ranges(ends, answer, view.workroom, is_shop=number > 0),
        length_steps=int(given["steps"] or 0),
    )
    try:
        found = find_money(view.answer, view.shelf, view.workroom, asked)
    except FaultyInput as fault:
        return TypedMoney(texts=given, problems=tuple(_beside_its_field(one, given) for one in fault.problems))
    return TypedMoney(texts=given, problems=(), found=found)


def _way_number(text: str) -> int:
    if text in WAYS:
        return WAYS.index(text)
    what, allowed, remedy = "is not one of the choices", ", ".join(WAYS), "Choose one."
    raise FaultyInput([Problem(place="way", value=text[:40], what=what, allowed=allowed, remedy=remedy)])


def _read_day(texts: Texts, workroom: Workroom) -> SharedDay | None:
    """None where neither money nor hours of a day are given; then the counts say nothing here."""
    faults = Faults()
    hours, counts = 0.0, []
    with faults:
        fixed = money_from(texts["day_cost"], workroom.currency, place="day_cost")
    if texts["day_hours"]:
        with faults:
            hours = read_number(texts["day_hours"], place="day_hours", what="hours")
    faults.raise_if_any()
    if not (fixed.amount or hours):
        return None
    for name in ("least", "likely", "most"):
        with faults:
            counts.append(read_count(texts[name], name))
    faults.raise_if_any()
    least, likely, most = counts
    if not 1 <= least <= likely <= most:
        allowed = "1 or more, in rising order"
        what, remedy = "does not fit the other two", "Correct the three counts."
        raise FaultyInput([Problem(place="likely", value=str(likely), what=what, allowed=allowed, remedy=remedy)])
    return SharedDay(fixed=fixed, minutes=60 * hours, least=least, likely=likely, most=most)


def _read_ends(texts: Texts, workroom: Workroom) -> dict[str, float]:
    """The ends of ranges that are typed, by their fields."""
    faults = Faults()
    ends = {}
    for name in filter(texts.__getitem__, _ENDS):
        with faults:
            if name.startswith("fees"):
                ends[name] = float(read_percent(texts[name], name, high=_MOST_PERCENT))
            else:
                ends[name] = float(money_from(texts[name], workroom.currency, place=name).amount)
    faults.raise_if_any()
    return ends


def _ranges(
    ends: Mapping[str, float], answer: WayAnswer, workroom: Workroom, *, is_shop: bool
) -> dict[str, tuple[float, float]]:
    """Ranges of which one end or both are typed; an end that is not stays where the input is."""
    now = {
        "asked": float((answer.asked or answer.paid).price.amount),
        "pay": float(workroom.hourly_pay.amount),
        "fees": float(answer.way.kept_share),
    }
    # Shops keep a share of their shelf price, tax aside.
    per = {"fees": 1 / (1 + float(answer.way.tax_share)) if is_shop else 1.0}
    ranges = {}
    for name, term_id in _RANGE_OF.items():
        low, high = (ends.get(f"{name}_{side}") for side in ("low", "high"))
        if low is not None or high is not None:
            share = per.get(name, 1.0)
            ranges[term_id] = (
                now[name] if low is None else share * low,
                now[name] if high is None else share * high,
            )
    return ranges


def _beside_its_field(problem: Problem, texts: Texts) -> Problem:
    for name, term_id in _RANGE_OF.items():
        if problem.place == f"ranges[{term_id}]":
            return replace(problem, place=f"{name}_low" if texts[f"{name}_low"] else f"{name}_high")
    return replace(problem, place="tax")
