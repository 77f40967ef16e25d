"""The swing tag: what the bag costs, earns, weighs and does, and what the last change moved."""

from __future__ import annotations

from bagwright.units import print_minutes
from bagwright.web.cost_tables import bought_words
from bagwright.web.pages import TagLine
from bagwright.web.wording import Wording
from bagwright.workflows.answer import BagAnswer

_Line = tuple[str, tuple[str, ...]]
NOT_YET = "not yet known"
BUY = "Buy"


def tag_lines(answer: BagAnswer, before: BagAnswer | None, say: Wording) -> tuple[TagLine, ...]:
    """The tag after the last change, each moved line with what it said before."""
    earlier = dict(_lines(before, say)) if before else {}
    return tuple(
        TagLine(
            label=label,
            values=values,
            before="; ".join(value for value in earlier.get(label, ()) if value not in values),
            is_main=number == 0 and answer.price is not None,
            is_list=len(values) > 1 or label == BUY,
        )
        for number, (label, values) in enumerate(_lines(answer, say))
    )


def tag_short(answer: BagAnswer) -> str:
    """The tag in one line, for the bar at the foot of a phone."""
    if not answer.price:
        return f"{answer.bag.name}: price {NOT_YET}"
    return f"Ask {answer.price.paid_price.said()} · {print_minutes(answer.price.minutes)}"


def _lines(answer: BagAnswer, say: Wording) -> list[_Line]:
    price, plan = answer.price, answer.plan
    lines: list[_Line] = [
        ("Price that pays you", (price.paid_price.said() if price else NOT_YET,)),
        ("Floor, no pay", (price.floor.said() if price else NOT_YET,)),
        ("Materials", (price.materials.said() if price else NOT_YET,)),
        ("Your pay", (f"{say.workroom.hourly_pay.said()} an hour",)),
        ("Work", (print_minutes(price.minutes) if price else NOT_YET,)),
        ("Weight", (say.mass(answer.mass_g) if answer.mass_g is not None else NOT_YET,)),
    ]
    lines += [(f"Body, {p.name.lower()}", (say.band(p.body.standing_height_mm),)) for p in answer.panels]
    if plan:
        sheets = [p for p in plan.purchases if p.width_mm]
        lines.append((BUY, tuple(f"{bought_words(p, say)}: {p.name}" for p in sheets)))
        run = answer.bag.run_count
        lines.append(("At the till" if run == 1 else f"At the till, {run} bags", (answer.money_in_all()[0].said(),)))
    return lines
