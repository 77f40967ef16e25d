"""What lies beside the machine: what to cut, what to fuse, the steps to tick off, words for the label; and the cost."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from datetime import date

from bagwright.body.heat_limits import bears_c, setting_within
from bagwright.costing.overhead import overhead_said
from bagwright.errors import FaultyInput
from bagwright.model.cost import BuyingPlan, Price
from bagwright.model.material import Layer, Material
from bagwright.model.money import told_rest
from bagwright.output.pdf import drawings_pdf
from bagwright.output.rulers import Measuring
from bagwright.output.word_sheet import SheetPart, draw_word_sheet
from bagwright.units import print_minutes
from bagwright.workflows.cut_list_lines import cut_list_lines
from bagwright.workflows.desk import BagView
from bagwright.workflows.scraps_said import scraps_said
from bagwright.workflows.step_drawings import HOW_STEPS_ARE_DRAWN, step_drawing
from bagwright.workflows.tell_heat import heat_layer, heat_of_stack, joint_lines
from bagwright.workflows.work_words import STAGE_WORDS, cautions_once, step_facts

_LABEL_LAW = (
    "What a label has to say, and in which words, is a matter of the rules where you sell. For anything that a child "
    "may use, ask an accredited laboratory."
)
_WASHING = (
    "Washing cannot be told from what is known here: glue, padding and hardware decide. Wash a sewn and fused scrap "
    "first, or write that it is to be wiped clean only."
)

_PICTURE_MM = 165.0


def making_sheet(view: BagView, *, paper: str) -> bytes:
    """What to cut, to fuse and to sew, with boxes to tick, as PDF."""
    bag = view.answer.bag
    under = f"For one bag. Cut sizes are with seam allowances. {HOW_STEPS_ARE_DRAWN}"
    return _pdf(bag.name, under, [*_cutting(view), *_fusing(view), *_sewing(view), *_label(view)], paper)


def cost_sheet(view: BagView, *, paper: str, today: date) -> bytes:
    """What one bag costs and asks, part by part, with what was assumed, dated, as PDF."""
    bag, price = view.answer.bag, view.answer.price
    under = (
        f"Reckoned on {today:%d %B %Y}, made {bag.run_count} at a time. Kept as it is: prices and settings may change."
    )
    parts = list(_cost(view, price)) if price else [_missing(view)]
    return _pdf(f"{bag.name}: what it costs", under, parts, paper)


def _pdf(title: str, under: str, parts: Sequence[SheetPart], paper: str) -> bytes:
    return drawings_pdf(draw_word_sheet(title, under, parts, paper=paper), paper=paper, title=title)


def _cutting(view: BagView) -> Iterator[SheetPart]:
    measuring = _measuring(view)
    told: dict[str, list[str]] = {}
    for line in cut_list_lines(view.answer.pattern, view.answer.bag.stacks, view.shelf):
        heading = f"To cut from {line.material}" if line.material else "To cut; nothing chosen yet to cut it from"
        told.setdefault(heading, []).append(line.words(measuring))
    for heading, lines in told.items():
        yield SheetPart(heading, tuple(lines), has_boxes=True)
    yield SheetPart("To have ready", tuple(_ready(view)), has_boxes=True)


def _ready(view: BagView) -> Iterator[str]:
    for piece in view.answer.pattern.pieces:
        if piece.is_bought:
            region = piece.region()
            yield f"{piece.name}: {piece.count}, {_measuring(view).told_size(region.width_mm, region.height_mm)}"
    for notion, material in view.answer.notions:
        yield f"{notion.name}: {material.name}"


def _fusing(view: BagView) -> Iterator[SheetPart]:
    told: dict[str, None] = {}
    for name, stack in _stacks_used(view):
        try:
            plan = heat_of_stack(stack, view.shelf, place="layers")
        except FaultyInput:
            continue
        lines = [line.strip() for joint in plan.joints for line in joint_lines(joint)]
        told |= dict.fromkeys(plan.cautions if plan.joints else ())
        yield SheetPart(f"To fuse: {name}", (*lines, *(plan.notes if lines else ())))
    yield SheetPart("When you fuse", tuple(told))


def _sewing(view: BagView) -> Iterator[SheetPart]:
    told: set[str] = set()
    for stage, steps in itertools.groupby(view.answer.work, key=lambda step: step.stage):
        lines, pictures = [], {}
        for number, step in enumerate(steps):
            said = (f"{step.number}. {step.name}.", step_facts(step, view.workroom), *cautions_once(step, told))
            lines.append(" ".join(filter(None, said)))
            if picture := step_drawing(view.answer.pattern, step, width_mm=_PICTURE_MM):
                pictures[number] = picture
        yield SheetPart(STAGE_WORDS[stage], tuple(lines), has_boxes=True, pictures=pictures)
    yield SheetPart("Take care", (*view.answer.pattern.cautions, _pressing(view)))


def _label(view: BagView) -> Iterator[SheetPart]:
    lines = []
    for name, stack in _stacks_used(view):
        fibres = [material.fibres or f"fibres of {material.name} not known" for material in _sheets(stack, view)]
        lines.append(f"{name}: {'; '.join(dict.fromkeys(fibres))}")
    yield SheetPart("For the label: made of", tuple(lines))
    yield SheetPart("For the label: care", (_ironing(view), _WASHING, _LABEL_LAW))


def _stacks_used(view: BagView) -> Iterator[tuple[str, Sequence[Layer]]]:
    """The name and the layers of each role that a piece of this bag has; the bag may keep layers for others."""
    names = {role.key: role.name for role in view.form.roles}
    for role in dict.fromkeys(piece.role for piece in view.answer.pattern.pieces if not piece.is_bought):
        if stack := view.answer.bag.stacks.get(role):
            yield names.get(role, role), stack


def _least_borne(view: BagView) -> tuple[str, str] | None:
    """The setting of the iron that all of the bag bears, empty if none, and what bears least; None of nothing."""
    used = {one.id: one for _, stack in _stacks_used(view) for one in _sheets(stack, view)}
    if not used:
        return None
    least, weakest = min((bears_c(heat_layer(one)).low, one.name) for one in used.values())
    return setting_within(least), weakest


def _pressing(view: BagView) -> str:
    borne = _least_borne(view)
    if borne is None or borne[0]:
        most = f" Here at most at {borne[0]}, for {borne[1]}." if borne else ""
        return f"Wherever a step says press: test on a scrap first, cloth between.{most}"
    return f"Wherever a step says press: with fingers or a roller, not with the iron; {borne[1]} may not bear it."


def _ironing(view: BagView) -> str:
    borne = _least_borne(view)
    if borne is None:
        return "Ironing: nothing is chosen yet."
    most, weakest = borne
    if not most:
        return f"Do not iron: {weakest} may not bear it."
    return f"Iron at most at {most}: {weakest} bears no more for certain."


def _sheets(stack: Sequence[Layer], view: BagView) -> list[Material]:
    found = (view.shelf.materials.get(layer.material_id) for layer in stack)
    return [one for one in found if one and one.kind.is_sheet]


def _cost(view: BagView, price: Price) -> Iterator[SheetPart]:
    room = view.workroom
    asked = f"Price that pays you: {price.paid_price.said()}. Floor, no pay: {price.floor.said()}."
    yield SheetPart("One bag", (asked, f"Work: {print_minutes(price.minutes)}."))
    yield SheetPart("Part by part", tuple(f"{one.name}: {one.amount.said()} ({one.reckoned})" for one in price.parts))
    yield SheetPart("Time", tuple(f"{name}: {print_minutes(one)}" for name, one in view.answer.minutes_by_kind()))
    plans = [plan for plan in (view.answer.plan, view.answer.supplies) if plan]
    yield SheetPart("Bought for the run", tuple(line for plan in plans for line in _bought(plan)))
    told = prices_dated(view)
    dated = f"Prices of {told}." if told else "No price is dated."
    fees = f"Selling fees: {(room.selling_fee_share * 100).normalize():f} % and {room.selling_fee_fixed.said()} a sale."
    pay = f"Pay: {room.hourly_pay.said()} an hour. Overhead: {overhead_said(room)}."
    left_out = f"Not counted: {', '.join(price.not_counted)}." if price.not_counted else ""
    yield SheetPart("Assumed", tuple(filter(None, (dated, pay, fees, scraps_said(room), left_out))))


def prices_dated(view: BagView) -> str:
    """The day, or the first and the last, of the prices that were taken; empty if none was."""
    days = {offer.id: offer.dated for offer in view.shelf.offers}
    plans = [plan for plan in (view.answer.plan, view.answer.supplies) if plan]
    taken = sorted({days[one.offer_id] for plan in plans for one in plan.purchases if one.offer_id in days})
    return " to ".join(dict.fromkeys(f"{day:%d %B %Y}" for day in (*taken[:1], *taken[-1:])))


def _bought(plan: BuyingPlan) -> Iterator[str]:
    for one in plan.purchases:
        left = told_rest(one.paid, one.used).said()
        yield f"{one.name}, {one.seller}: paid {one.paid.said()}, used {one.used.said()}, left {left}"
    yield from (f"Delivery from {seller}: {money.said()}" for seller, money in plan.deliveries)


def _missing(view: BagView) -> SheetPart:
    return SheetPart("Not reckoned yet", tuple(problem.words() for problem in view.answer.problems))


def _measuring(view: BagView) -> Measuring:
    return Measuring(view.workroom.units, view.workroom.fraction)
