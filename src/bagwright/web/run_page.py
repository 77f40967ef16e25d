"""The pages of runs, from their views."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from urllib.parse import quote

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.money import told_rest
from bagwright.model.run import Run
from bagwright.model.run_buying import RunPlan
from bagwright.web.cost_tables import PURCHASE_COLUMNS, bought_words, purchase_row
from bagwright.web.frame import frame
from bagwright.web.lacks import Lack, lacks_of
from bagwright.web.pages import AwayView, Column, Field, Option, Paper, Row, SearchView, Table
from bagwright.web.run_pages import (
    CutBeforeLine,
    MorePage,
    OneMoreLine,
    RunCard,
    RunCloth,
    RunPage,
    RunsPage,
    ShopView,
    SuppliesPage,
    SupplyPart,
)
from bagwright.web.time_words import practice_words, run_time_words
from bagwright.web.wording import Wording
from bagwright.web.zone_views import lost_in_short
from bagwright.workflows.run_answer import RunAnswer
from bagwright.workflows.run_parts import cut_before_words
from bagwright.workflows.run_pictures import run_cloths
from bagwright.workflows.runs import Comparison, OneMore, RunView, old_prices, saved_together
from bagwright.workflows.supply_list import ListFor, SupplyList
from bagwright.workflows.supply_papers import SUPPLY_PAPERS, line_words, title_of
from bagwright.workflows.tell_buy import how_sure, next_in_words

_WORTHS = (("0", 0.0, "nothing"), ("half", 0.5, "half their price"), ("all", 1.0, "their full price"))
_TERMS = (
    ("delivery", "Delivery of one order", "What the seller charges; empty if you fetch it."),
    ("free_from", "Free from", "Goods from which delivery is free; empty if never."),
    ("least_order", "Least order", "Goods below which no order is taken; empty if any will do."),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedRun:
    """What was typed and refused. `seller`: whose terms they were, if any."""

    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    stale: str = ""
    seller: str = ""

    def said(self, place: str) -> str:
        """What is wrong with that field."""
        return " ".join(problem.words() for problem in self.problems if problem.place == place)


def runs_page(runs: tuple[Run, ...], away: Run | None, *, names: Mapping[str, str], is_demo: bool) -> RunsPage:
    """The list of runs. `names`: of bags, by id."""
    return RunsPage(
        frame=frame("Runs", "/runs", is_demo=is_demo),
        runs=tuple(RunCard(run.name, f"/runs/{quote(run.id)}", _made(run, names)) for run in runs),
        away=AwayView(away.name, f"/runs/{quote(away.id)}/undo", away.version) if away else None,
    )


def _made(run: Run, names: Mapping[str, str]) -> str:
    return ", ".join(f"{one.count} × {names.get(one.bag_id, 'a bag put away')}" for one in run.bags) or "No bags yet."


def run_page(
    view: RunView, typed: TypedRun, *, job: SearchView | None, ended: str, more: MorePage | None = None
) -> RunPage:
    """Everything that the page of a run shows; `ended` says what came of the last search."""
    answer, say = view.answer, Wording(view.shop.workroom)
    run, plan = answer.run, answer.plan
    sellers = [order.seller for order in plan.orders] if plan else []
    others = sorted({offer.seller for offer in view.shop.shelf.offers} - set(sellers))
    return RunPage(
        frame=frame(run.name, "/runs", is_demo=view.is_demo),
        run_id=run.id,
        version=run.version,
        name=run.name,
        stale=typed.stale,
        problems=tuple(_lacks(answer)),
        name_field=_name_field(run, typed),
        counts=tuple(_count_fields(view, typed)),
        others=tuple(Option(bag.id, bag.name) for bag in view.others),
        add_problem=typed.said("add"),
        worths=tuple(Option(key, words, run.left_worth == worth) for key, worth, words in _WORTHS),
        headline=_headline(plan) if plan else "",
        how_sure=how_sure(plan) if plan else "",
        money=_money(plan) if plan else None,
        cut_before=tuple(
            CutBeforeLine(cut_before_words(one), one.bag_name, f"/bags/{quote(one.bag_id)}/stash")
            for one in answer.cut_before
        ),
        shelf=tuple(_from_shelf(view, plan)) if plan else (),
        shops=tuple(_shop(view, seller, typed, say) for seller in sellers),
        other_shops=tuple(_shop(view, seller, typed, say) for seller in others),
        old_prices=tuple(one.words(with_allowed=False) for one in old_prices(view, today=date.today())),
        lines=_lines(plan, say) if plan else None,
        times=run_time_words(view),
        practice=practice_words(view.shop.workroom),
        cloths=tuple(
            RunCloth(
                f"{cloth.name}, {say.length(cloth.width_mm)} wide",
                _caption(cloth.length_mm, cloth.share, say),
                Markup(cloth.svg),
            )
            for cloth in run_cloths(answer, view.shop.workroom)
        ),
        job=job,
        search_words=ended,
        more=more,
        can_undo=view.can_undo and not typed.problems,
        can_redo=view.can_redo and not typed.problems,
    )


def _lacks(answer: RunAnswer) -> Iterator[Lack]:
    """What is missing; where it is a bag that lacks it, with the way to where that is put right."""
    at_fault = answer.bags_lacking()
    for problem in answer.problems:
        if problem in at_fault:
            yield from lacks_of([problem], at_fault[problem])
        else:
            yield Lack(problem.words(with_allowed=False))


def _caption(length_mm: float, share: float, say: Wording) -> str:
    length, covered = say.length(length_mm), say.share(share)
    return f"All pieces of the run that are cut from it lie on {length} and cover {covered} of that."


def _name_field(run: Run, typed: TypedRun) -> Field:
    value = typed.texts.get("name", run.name)
    return Field(id="name", name="name", label="Name", value=value, hint="", problem=typed.said("name"))


def _count_fields(view: RunView, typed: TypedRun) -> Iterator[Field]:
    names = {bag.bag.id: bag.bag.name for bag in view.answer.bags}
    lost = {bag.bag.id: lost_in_short(bag, view.shop.shelf) for bag in view.answer.bags}
    for one in view.answer.run.bags:
        name = f"count_{one.bag_id}"
        yield Field(
            id=name,
            name=name,
            label=names.get(one.bag_id, one.bag_id),
            value=typed.texts.get(name, str(one.count)),
            hint=" ".join(["How many of it; 0 takes it out.", *lost.get(one.bag_id, ())]),
            problem=typed.said(name),
        )


def _headline(plan: RunPlan) -> str:
    delivery = f", {plan.delivery.said()} of that for delivery" if plan.delivery.amount else ""
    shops = len(plan.orders)
    where = "one shop" if shops == 1 else f"{shops} shops"
    return f"Pay {plan.paid.said()} at {where}{delivery}." if shops else "Everything is on your shelf already."


def _money(plan: RunPlan) -> Table:
    columns = (Column("Money"), Column("Paid today", True), Column("Used", True), Column("Left over", True))
    rows = [
        Row(
            (
                order.seller,
                order.goods.said(),
                *(share.said() for share in plan.shares_at(order.seller)),
            )
        )
        for order in plan.orders
    ]
    if plan.delivery.amount:
        rows.append(Row(("Delivery", plan.delivery.said(), plan.delivery.said(), "")))
    rows.append(
        Row(("Together", plan.paid.said(), plan.used.said(), told_rest(plan.paid, plan.used).said()), is_sum=True)
    )
    return Table("Paid, used, left over", columns, tuple(rows))


def _from_shelf(view: RunView, plan: RunPlan) -> Iterator[str]:
    for taken in plan.taken:
        for one in view.answer.needs[taken.need].stash:
            if taken.stash_id == one.stash_id and taken.holds == one.holds:
                worth = f", worth {one.worth.said()} to you" if one.worth.amount else ""
                yield f"{one.name[:1].upper()}{one.name[1:]}{worth}"


def _shop(view: RunView, seller: str, typed: TypedRun, say: Wording) -> ShopView:
    plan = view.answer.plan
    order = next((one for one in plan.orders if one.seller == seller), None) if plan else None
    kept = next((one for one in view.terms if one.value.seller == seller), None)
    delivery = f", delivery {order.delivery.said()}" if order and order.delivery.amount else ""
    mine = typed.seller == seller
    fields = []
    for name, label, hint in _TERMS:
        money = getattr(kept.value, name) if kept else None
        value = str(money.for_display()) if money and money.amount else ""
        fields.append(
            Field(
                id=f"{quote(seller)}-{name}",
                name=name,
                label=label,
                value=typed.texts.get(name, value) if mine else value,
                hint=hint,
                problem=typed.said(name) if mine else "",
            )
        )
    lines = [one for one in plan.purchases if one.seller == seller] if plan else []
    return ShopView(
        name=seller,
        headline=f"At {seller}: {order.goods.said()}{delivery}" if order else seller,
        lines=tuple(f"{one.name}: {bought_words(one, say)}, {one.paid.said()}" for one in lines),
        version=kept.version if kept else 0,
        fields=tuple(fields),
        can_undo=seller in view.changed_terms,
        is_open=mine,
    )


def _lines(plan: RunPlan, say: Wording) -> Table:
    return Table("Line by line", PURCHASE_COLUMNS, tuple(purchase_row(one, say) for one in plan.purchases))


def more_page(view: RunView, compared: Comparison, more: tuple[OneMore, ...]) -> MorePage:
    """What making them together saves, and what one more of each takes."""
    say = Wording(view.shop.workroom)
    return MorePage(tuple(OneMoreLine(_more_words(one, say)) for one in more), _saved_words(view, compared))


def _saved_words(view: RunView, compared: Comparison) -> str:
    saved = saved_together(view, compared)
    if saved is None or compared.paid is None or len(compared.alone) < 2:
        return ""
    if not saved.amount:
        return f"Bought bag by bag it would cost the same, {compared.paid.said()}."
    return f"Bought bag by bag it would be {compared.paid.said()}: making them together saves {saved.said()}."


def _more_words(one: OneMore, say: Wording) -> str:
    if one.problems:
        return f"One more {one.bag.name}: that cannot be told. {one.problems[0].words(with_allowed=False)}"
    return next_in_words(one.bag.name, one.top, say.units)


def supplies_page(found: SupplyList, run_id: str, *, is_demo: bool) -> SuppliesPage:
    """The list as a page."""
    labels = ("List, A4 (PDF)", "List, Letter (PDF)", "List (CSV)", "List (JSON)")
    who = found.list_for.value
    return SuppliesPage(
        frame=frame(title_of(found), "/runs", is_demo=is_demo),
        run_id=run_id,
        title=title_of(found),
        made=found.made,
        is_for_group=found.list_for is ListFor.GROUP,
        parts=tuple(SupplyPart(group.heading, tuple(map(line_words, group.lines))) for group in found.groups),
        total=found.total,
        swaps=found.swaps,
        cautions=found.cautions,
        papers=tuple(
            Paper(label, f"/runs/{quote(run_id)}/{paper}?for={who}")
            for label, paper in zip(labels, SUPPLY_PAPERS, strict=True)
        ),
    )
