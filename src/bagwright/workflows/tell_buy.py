"""`bagwright buy`: what to buy for a run, of all materials at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from bagwright.costing.buying_together import buy_together
from bagwright.costing.next_bag import OnTop, on_top
from bagwright.errors import FaultyInput
from bagwright.model.cost import Purchase
from bagwright.model.money import Money, told_rest
from bagwright.model.run_buying import RunNeed, RunPlan, SellerTerms
from bagwright.units import UnitSystem
from bagwright.workflows.buy_words import BuyWords, needs_from, place_in_buying, terms_from
from bagwright.workflows.contracts import Faults, read_contract
from bagwright.workflows.purchase_words import bought_in_words
from bagwright.workflows.shelf_words import offer_from, repeats


@dataclass(frozen=True, slots=True)
class ReadyParts:
    """How many of each part of the need number `need` were cut before, and that in a sentence."""

    need: int
    holds: tuple[int, ...]
    says: str


@dataclass(frozen=True, slots=True)
class NextBag:
    """One more bag by name, and what it takes on top."""

    name: str
    top: OnTop


@dataclass(frozen=True, slots=True)
class ToldPlan:
    """A plan with the needs it meets, and what of them was cut before."""

    plan: RunPlan
    needs: tuple[RunNeed, ...]
    ready: tuple[ReadyParts, ...] = ()
    next: tuple[NextBag, ...] = ()


def buy_of_file(text: bytes) -> ToldPlan:
    """The plan for what JSON `text` describes. Raises `FaultyInput` with every fault; `NoAnswer`."""
    words = read_contract(text, BuyWords)
    faults = Faults()
    with faults:
        needs = needs_from(words.needs, words.currency)
    nexts: list[tuple[RunNeed, ...]] = []
    for number, one in enumerate(words.next):
        with faults:
            nexts.append(needs_from(one.needs, words.currency, place=f"next[{number}].needs"))
    with faults:
        terms = terms_from(words)
    faults.problems += repeats([one.id for one in words.offers], "offers")
    faults.raise_if_any()
    plan = _planned(words, needs, terms)
    told = tuple(replace(one, place=place_in_buying(one.place, words)) for one in plan.left_out)
    more = (on_top(plan, _planned(words, one, terms, of_next=number)) for number, one in enumerate(nexts))
    bags = tuple(NextBag(one.name, top) for one, top in zip(words.next, more, strict=True))
    return ToldPlan(replace(plan, left_out=told), needs, tuple(_ready(words)), bags)


def _planned(
    words: BuyWords, needs: tuple[RunNeed, ...], terms: tuple[SellerTerms, ...], *, of_next: int | None = None
) -> RunPlan:
    try:
        return buy_together(
            needs,
            [offer_from(one, words.currency) for one in words.offers],
            terms,
            currency=words.currency,
            left_worth=words.left_worth,
            oldest=words.oldest_day,
            effort=words.effort,
        )
    except FaultyInput as fault:
        places = (place_in_buying(one.place, words, of_next=of_next) for one in fault.problems)
        faults = (replace(one, place=place) for one, place in zip(fault.problems, places, strict=True))
        raise FaultyInput(tuple(faults)) from None


def _ready(words: BuyWords) -> Iterator[ReadyParts]:
    for number, one in enumerate(words.needs):
        holds = tuple(map(min, one.ready, one.parts))
        if any(holds):
            told = " and ".join(
                f"{there} of {wanted}{f' of part {part}' if len(holds) > 1 else ''}"
                for part, (there, wanted) in enumerate(zip(holds, one.parts, strict=True), start=1)
                if there
            )
            yield ReadyParts(number, holds, f"{one.name}: {told} cut before, so not bought again.")


def purchase_as_json(purchase: Purchase) -> dict[str, object]:
    """One line of a plan; money as text to the cent."""
    return {
        "material_id": purchase.material_id,
        "offer_id": purchase.offer_id,
        "seller": purchase.seller,
        "quantity": purchase.quantity,
        "quantity_unit": purchase.quantity_unit,
        "needed": purchase.needed,
        "width_mm": purchase.width_mm,
        "length_each_mm": purchase.length_each_mm,
        "paid": _cents(purchase.paid),
        "used": _cents(purchase.used),
        "left": _cents(told_rest(purchase.paid, purchase.used)),
    }


def buy_as_json(told: ToldPlan) -> dict[str, object]:
    """The answer of `bagwright buy`."""
    plan = told.plan
    return {
        "paid": _cents(plan.paid),
        "delivery": _cents(plan.delivery),
        "used": _cents(plan.used),
        "left": _cents(told_rest(plan.paid, plan.used)),
        "stash_worth": _cents(plan.stash_worth),
        "gap": _cents(plan.gap),
        "is_proven": plan.is_proven,
        "purchases": [purchase_as_json(one) for one in plan.purchases],
        "taken": [
            {
                "need": one.need,
                "offer_id": one.offer_id,
                "stash_id": one.stash_id,
                "holds": list(one.holds),
                "times": one.times,
                "share": one.share,
                "width_mm": one.width_mm,
                "length_mm": one.length_mm,
            }
            for one in plan.taken
        ],
        "orders": [
            {"seller": one.seller, "goods": _cents(one.goods), "delivery": _cents(one.delivery)} for one in plan.orders
        ],
        "next": [
            {
                "name": one.name,
                "extra": _cents(one.top.extra),
                "more": [_quantity_as_json(each) for each in one.top.more],
                "less": [_quantity_as_json(each) for each in one.top.less],
                "says": next_in_words(one.name, one.top, UnitSystem.INCH),
            }
            for one in told.next
        ],
        "ready": [{"need": one.need, "holds": list(one.holds), "says": one.says} for one in told.ready],
        "left_out": [problem.sentence() for problem in plan.left_out],
        "checked": True,
    }


def _quantity_as_json(purchase: Purchase) -> dict[str, object]:
    return {name: getattr(purchase, name) for name in ("offer_id", "seller", "quantity", "quantity_unit")}


def _cents(money: Money) -> str:
    return str(money.for_display())


def next_in_words(name: str, top: OnTop, units: UnitSystem) -> str:
    """What to buy more, so that the next bag is covered."""
    if not top.extra.amount:
        return f"One more {name} costs nothing more: what is paid for covers it."
    more, less = ("; ".join(bought_in_words(one, units) for one in lines) for lines in (top.more, top.less))
    instead = f"; and buy less: {less}" if less else ""
    return f"One more {name} costs {top.extra.said()} more. Buy on top: {more}{instead}."


def buy_in_words(told: ToldPlan, units: UnitSystem) -> str:
    """The plan for the maker, by shop."""
    plan = told.plan
    lines = [one.says for one in told.ready]
    from_stash = [
        one.name
        for taken in plan.taken
        for one in told.needs[taken.need].stash
        if taken.stash_id and one.stash_id == taken.stash_id
    ]
    if from_stash:
        lines.append(f"From your shelf: {', '.join(from_stash)}.")
    for order in plan.orders:
        delivery = f", delivery {order.delivery.said()}" if order.delivery.amount else ""
        lines.append(f"{order.seller}: {order.goods.said()}{delivery}")
        own = [one for one in plan.purchases if one.seller == order.seller]
        lines += [f"  {bought_in_words(one, units)}: {one.paid.said()}" for one in own]
    left = told_rest(plan.paid, plan.used)
    lines.append(f"Paid {plan.paid.said()}: {plan.used.said()} is used, {left.said()} is left over.")
    lines.append(how_sure(plan))
    lines += [next_in_words(one.name, one.top, units) for one in told.next]
    lines += [problem.sentence() for problem in plan.left_out]
    return "\n".join(lines)


def how_sure(plan: RunPlan) -> str:
    """Whether a cheaper plan may exist."""
    if plan.is_proven:
        return "No cheaper way to buy it exists among these offers and layouts."
    return f"A cheaper way, if there is one, saves at most {plan.gap.said()}."
