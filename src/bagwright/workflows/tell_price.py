"""`bagwright price`: a whole bag, its shelf and workroom, from measurements to a price."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from pydantic import Field

from bagwright.costing.bag_time import minutes_range, pay_range
from bagwright.cutting.lay import lay_pieces
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.layout import LaySettings
from bagwright.model.money import Money, told_rest
from bagwright.units import UnitSystem, print_mass, print_minutes
from bagwright.workflows.answer import BagAnswer, FindLayout, answer_bag
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.bag_words import BagWords, bag_from, bag_problems, place_in_file
from bagwright.workflows.bond_json import KeptBondWords, bonds_from
from bagwright.workflows.contracts import Faults, read_contract
from bagwright.workflows.piece_wishes import wish_problems
from bagwright.workflows.purchase_words import bought_in_words
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.shelf_words import Day, OfferWords, shelf_from
from bagwright.workflows.stale_prices import stale_prices
from bagwright.workflows.strip_wish_words import StripWishWords, strip_problems, strip_wishes_from
from bagwright.workflows.time_words import TimedWords, refuse_unknown_steps, timings_from
from bagwright.workflows.usual_allowances import allowances_taken
from bagwright.workflows.workroom_words import WorkroomWords, workroom_from


class PriceWords(BagWords):
    """What `bagwright price` reads."""

    offers: list[OfferWords] = Field(min_length=1, max_length=2000, description="list of 1 to 2000 offers")
    bonds: list[KeptBondWords] = Field(default=[], max_length=2000, description="tested bonds: list of up to 2000")
    workroom: WorkroomWords = Field(default=WorkroomWords(), description="settings; what is left out is as usual")
    timed: list[TimedWords] = Field(
        default=[], max_length=2000, description="readings of how long steps took: list of up to 2000"
    )
    run_count: int = Field(default=1, ge=1, le=200, description="how many bags are made together, 1 to 200")
    best_only: list[str] = Field(
        default=[],
        max_length=500,
        description="ids of pieces that keep off the lesser parts of hides, a list of up to 500",
    )
    matched_seams: list[str] = Field(
        default=[], max_length=500, description="ids of seams across which a print goes on, a list of up to 500"
    )
    any_print: list[str] = Field(
        default=[],
        max_length=500,
        description="ids of pieces that need no motif of a print in their middle, a list of up to 500",
    )
    strip_wishes: list[StripWishWords] = Field(
        default=[], max_length=500, description="how strips are cut, a list of up to 500"
    )
    today: Day | None = Field(default=None, description="day from which the age of prices counts, or null")
    seconds: float = Field(
        default=0, ge=0, le=600, description="seconds of search for each layout, 0 to 600; 0 takes the first answer"
    )
    seed: int = Field(
        default=1, ge=0, le=2**31 - 1, description="a whole number, 0 to 2147483647, from which the search starts"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedFile:
    """What a file of a bag with its shelf comes to, how its layouts are found, and which prices are too old."""

    answer: BagAnswer
    shelf: Shelf
    workroom: Workroom
    find_layout: FindLayout
    stale_prices: tuple[Problem, ...] = ()


def price_of_file(text: bytes) -> PricedFile:
    """The whole answer for the bag that JSON `text` describes. Raises `FaultyInput` with every fault."""
    return priced_file(read_contract(text, PriceWords))


def priced_file(words: PriceWords) -> PricedFile:
    """The whole answer for the bag behind the words. Raises `FaultyInput` with every fault."""
    workroom = workroom_from(words.workroom)
    sizes = allowances_taken(words.form, words.measurements_mm, workroom)
    bag = bag_from(words.form, sizes, words.stacks, run_count=words.run_count)
    bag = replace(bag, best_only=tuple(words.best_only), matched_seams=tuple(words.matched_seams))
    bag = replace(bag, any_print=tuple(words.any_print))
    bag = replace(bag, strip_wishes=strip_wishes_from(words.strip_wishes))
    faults = Faults()
    with faults:
        pattern = pattern_of_bag(bag)
        faults.problems += wish_problems(pattern, bag)
        faults.problems += strip_problems(pattern, bag.strip_wishes, [one.id for one in words.materials])
    with faults:
        shelf = shelf_from(words.materials, words.offers, words.workroom.currency)
        bonds = bonds_from(words.bonds, frozenset(shelf.materials))
        shelf = replace(shelf, bonds=bonds, timings=timings_from(words.timed, bag.id))
    faults.problems += bag_problems(bag, words)
    faults.raise_if_any()
    settings = LaySettings(seconds=words.seconds, seed=words.seed)
    find_layout = partial(lay_pieces, settings=settings)
    answer = answer_bag(bag, shelf, workroom, find_layout=find_layout)
    if answer.steps:
        refuse_unknown_steps(words.timed, answer.steps)
    problems = [
        replace(problem, place=place_in_file(problem.place, words, offers=words.offers)) for problem in answer.problems
    ]
    if problems:
        raise FaultyInput(problems)
    return PricedFile(
        answer=answer,
        shelf=shelf,
        workroom=workroom,
        find_layout=find_layout,
        stale_prices=_stale(answer, shelf, workroom, words),
    )


def _stale(answer: BagAnswer, shelf: Shelf, workroom: Workroom, words: PriceWords) -> tuple[Problem, ...]:
    if words.today is None:
        return ()
    found = stale_prices(answer, shelf, workroom, today=date.fromisoformat(words.today))
    return tuple(replace(one, place=place_in_file(one.place, words, offers=words.offers)) for one in found)


def price_as_json(file: PricedFile) -> dict[str, object]:
    """The answer of `bagwright price`; money as text to the cent, in the currency of the workroom."""
    answer = file.answer
    price, plan = answer.price, answer.plan
    if price is None or plan is None:
        raise BrokenPromise("an answer without problems has a plan and a price")
    minutes, pay = minutes_range(answer.steps), pay_range(price, answer.steps)
    return {
        "currency": price.paid_price.currency,
        "run_count": answer.bag.run_count,
        "minutes": price.minutes,
        "minutes_range": {"low": minutes[0], "high": minutes[1]},
        "mass_g": answer.mass_g,
        "materials": _cents(price.materials),
        "supplies": _cents(price.supplies),
        "small_supplies": [{"name": one.name, "amount": _cents(one.amount)} for one in answer.small_supplies()],
        "not_counted": list(price.not_counted),
        "stale_prices": [problem.sentence() for problem in file.stale_prices],
        "overhead": _cents(price.overhead),
        "pay": _cents(price.pay),
        "pay_range": {"low": _cents(pay[0]), "high": _cents(pay[1])},
        "fees": _cents(price.fees),
        "floor": _cents(price.floor),
        "paid_price": _cents(price.paid_price),
        "paid": _cents(answer.money_in_all()[0]),
        "used": _cents(answer.money_in_all()[1]),
        "left": _cents(told_rest(*answer.money_in_all()[:2])),
        "purchases": [
            {
                "material_id": p.material_id,
                "offer_id": p.offer_id,
                "quantity": p.quantity,
                "quantity_unit": p.quantity_unit,
                "needed": p.needed,
                "width_mm": p.width_mm,
                "length_each_mm": p.length_each_mm,
                "paid": _cents(p.paid),
                "used": _cents(p.used),
                "left": _cents(told_rest(p.paid, p.used)),
            }
            for bought in (plan, answer.supplies)
            if bought
            for p in bought.purchases
        ],
        "cuts": [
            {
                "piece_id": cut.piece_id,
                "name": cut.name,
                "material_id": cut.material_id,
                "extent": cut.extent,
                "zone": cut.zone,
                "count": cut.count,
                "size_mm": [round(side, 6) for side in (cut.region.width_mm, cut.region.height_mm)],
                "area_mm2": cut.region.area_mm2,
            }
            for cut in answer.cuts
        ],
        "layouts": [
            {
                "material_id": sheet.material.id,
                "width_mm": sheet.shop_width_mm,
                "usable_width_mm": sheet.request.width_mm,
                "length_mm": sheet.layout.length_mm,
                "share_used": sheet.layout.share_used,
                "checked": sheet.layout.verdict.passed,
            }
            for sheet in answer.chosen_layouts()
        ],
        "panels": [
            {
                "key": panel.panel_key,
                "height_mm": panel.height_mm,
                "standing_height_mm": {
                    "low": panel.body.standing_height_mm.low,
                    "high": panel.body.standing_height_mm.high,
                },
                "stance": panel.stance,
            }
            for panel in answer.panels
        ],
    }


def _cents(money: Money) -> str:
    return str(money.for_display())


def price_in_words(file: PricedFile, units: UnitSystem) -> str:
    """The answer for the maker."""
    answer = file.answer
    price, plan = answer.price, answer.plan
    if price is None or plan is None:
        raise BrokenPromise("an answer without problems has a plan and a price")
    bought = [f"  {bought_in_words(purchase, units)}: {purchase.paid.said()}" for purchase in plan.purchases]
    paid, used, _ = answer.money_in_all()
    left = told_rest(paid, used)
    run = "this bag" if answer.bag.run_count == 1 else f"these {answer.bag.run_count} bags"
    return "\n".join(
        [
            f"Buy for {run}:",
            *bought,
            f"Paid {paid.said()}, thread in it; {used.said()} of that goes into {run}, {left.said()} is left over.",
            f"One bag takes {print_minutes(price.minutes)} and weighs {print_mass(answer.mass_g or 0, units).text}.",
            f"Below {price.floor.said()} it costs you money. At {price.paid_price.said()} your hours are paid.",
            *([f"Not counted: {', '.join(price.not_counted)}."] if price.not_counted else []),
            *(problem.sentence() for problem in file.stale_prices),
        ]
    )
