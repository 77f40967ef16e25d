"""What saves on a bag, a copy to try it, and the two side by side: words and routes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from urllib.parse import quote, urlencode

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.errors import FaultyInput
from bagwright.model.money import Money
from bagwright.model.saving import Saving
from bagwright.units import print_minutes
from bagwright.web.counting_view import counting_view
from bagwright.web.form_reading import text_of, version_of
from bagwright.web.frame import frame
from bagwright.web.lacks import lacks_of
from bagwright.web.looks import Look, look_or_known
from bagwright.web.pages import Column, Field, Option, Row, Table
from bagwright.web.price_lacks import price_lacks
from bagwright.web.savings_pages import (
    BesidePage,
    FoundView,
    SavingsPage,
    SavingsPart,
    SavingView,
)
from bagwright.web.search_routes import waiting_at
from bagwright.web.served import desk_of, file_answer, searches_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import BagView, view_bag
from bagwright.workflows.saving_drafts import SideBySide, differences, side_by_side, try_saving
from bagwright.workflows.saving_words import reached_said, refused_said, saving_said, search_said
from bagwright.workflows.savings import (
    BagSavings,
    SavingsAsked,
    known_savings,
    needs_price,
    page_limits,
    savings_of_bag,
    worth_telling,
)
from bagwright.workflows.savings_searches import start_savings
from bagwright.workflows.search_tables import savings_rows
from bagwright.workflows.searches import SearchOf
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.swap_search import Keep
from bagwright.workflows.tables import one_table

_KEEP_WORDS = {
    "": "do what it does now",
    Keep.AS_FIRM: "be at least as firm as now",
    Keep.STANDS: "surely stand, even as a strip by itself",
    Keep.MAY_STAND: "stand perhaps, as a strip by itself",
}
_SHOP = "Made at the shop: write it on your list."
_TABLE = "The page of your stash, linked above, shows which pieces and marks them as cut."
_NOT_ALL = "The copy leaves out ways of buying and what comes from the stash."
_SIGNS = " $€£"


def show_savings(request: Request) -> Response:
    """The page, while what saves is being worked out."""
    desk = desk_of(request)
    view = view_bag(desk, request.path_params["bag_id"])
    texts = texts_asked(request.query_params)
    _, fault = _target(view, texts["target"])
    return render("savings.html", savings_page(view, texts, fault, None), status=422 if fault else 200)


def show_found(request: Request) -> Response:
    """What saves, or how far the search for it is: a part of the page, or all of it without script."""
    desk = desk_of(request)
    view = view_bag(desk, request.path_params["bag_id"])
    texts = texts_asked(request.query_params)
    target, fault = _target(view, texts["target"])
    try:
        needs_price(view)
        found = _found_so_far(request, view, texts, _asked(texts, target))
    except FaultyInput as lacking:
        bag = view.answer.bag
        found = FoundView(action=action_at(view), version=bag.version, lacks=lacks_of(lacking.problems, bag.id))
    if "hx-request" in request.headers:
        return render("savings_found.html", SavingsPart(found))
    return render("savings.html", savings_page(view, texts, fault, found))


def _found_so_far(request: Request, view: BagView, texts: Mapping[str, str], asked: SavingsAsked) -> FoundView:
    """What was found, or the search under way; the first look begins by itself."""
    desk, searches, bag, end = desk_of(request), searches_of(request), view.answer.bag, _end(texts)

    def known() -> FoundView | None:
        found = known_savings(desk, bag.id, asked)
        return _found_view(found, texts) if found else None

    look = Look(SearchOf.SAVINGS, bag.id, end, known, lambda: start_savings(searches, bag.id, asked, address=end))
    shown = look_or_known(searches, look, Wording(view.workroom), is_now="now" in request.query_params)
    if isinstance(shown, FoundView):
        return shown
    action, again = action_at(view), f"{action_at(view)}/search{end}"
    if isinstance(shown, str):
        return FoundView(action=action, version=bag.version, told=shown, again=again)
    return FoundView(action=action, version=bag.version, job=shown, wait=waiting_at(shown.href))


def look_again(request: Request) -> Response:
    """Look for what saves anew."""
    view, texts = view_bag(desk_of(request), request.path_params["bag_id"]), texts_asked(request.query_params)
    asked = _asked(texts, _target(view, texts["target"])[0])
    start_savings(searches_of(request), view.answer.bag.id, asked, address=_end(texts))
    return RedirectResponse(f"{action_at(view)}/found{_end(texts)}", status_code=303)


def _end(texts: Mapping[str, str]) -> str:
    """What is asked, as the end of an address."""
    asked = {name: text for name, text in texts.items() if text}
    return f"?{urlencode(asked)}" if asked else ""


def _asked(texts: Mapping[str, str], target: Money | None) -> SavingsAsked:
    limits = page_limits(is_thorough=bool(texts["all"]))
    return SavingsAsked(keep=_keep(texts["keep"]), target=target, today=date.today(), limits=limits)


def table(request: Request) -> Response:
    """What saves, as a table: CSV or JSON."""
    desk = desk_of(request)
    view = view_bag(desk, request.path_params["bag_id"])
    texts = texts_asked(request.query_params)
    under_way = searches_of(request).under_way(view.answer.bag.id, SearchOf.SAVINGS, asked=_end(texts))
    if under_way:
        under_way.wait()
    found = savings_of_bag(desk, view.answer.bag.id, _asked(texts, _target(view, texts["target"])[0]))
    return file_answer(one_table(request.path_params["kind"], "savings", list(savings_rows(found))))


def texts_asked(query: Mapping[str, str]) -> dict[str, str]:
    """What was asked for, as it was typed."""
    return {name: query.get(name, "").strip()[:40] for name in ("target", "keep", "all")}


def _keep(text: str) -> Keep | None:
    return Keep(text) if text in set(Keep) else None


def _target(view: BagView, text: str) -> tuple[Money | None, str]:
    """The price typed, if any, and what is wrong with it."""
    if not text.strip(_SIGNS):
        return None, ""
    try:
        return money_from(text.strip(_SIGNS), view.workroom.currency, place="target"), ""
    except FaultyInput as fault:
        return None, fault.problems[0].words()


def _address(view: BagView, texts: Mapping[str, str], *, is_thorough: bool = False) -> str:
    asked = {name: text for name, text in texts.items() if text and name != "all"}
    asked |= {"all": "1"} if is_thorough else {}
    path = f"/bags/{quote(view.answer.bag.id)}/savings/found"
    return f"{path}?{urlencode(asked)}" if asked else path


def savings_page(view: BagView, texts: Mapping[str, str], fault: str, found: FoundView | None) -> SavingsPage:
    """The page, with what was found so far, if any."""
    bag, keep = view.answer.bag, _keep(texts["keep"])
    price = view.answer.price
    hint = f"What people pay for it. It pays you at {price.paid_price.said()} now." if price else "What people pay."
    chosen = keep or ""
    return SavingsPage(
        frame=frame(f"{bag.name}: savings", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        fields=(
            Field(
                id="target",
                name="target",
                label="A price to reach, if you have one",
                value=texts["target"],
                hint=hint,
                problem=fault,
            ),
            Field(
                id="keep",
                name="keep",
                label="Every panel has to",
                value=chosen,
                hint="Stacks that do not do that are left out.",
                choices=tuple(Option(value, words, value == chosen) for value, words in _KEEP_WORDS.items()),
            ),
        ),
        found=found,
        later="" if fault else _address(view, texts),
        shared=None,
        shared_later="" if fault else f"{action_at(view)}/shared",
        counting=counting_view(view),
    )


def action_at(view: BagView) -> str:
    """The address of the savings of a bag."""
    return f"/bags/{quote(view.answer.bag.id)}/savings"


def _found_view(found: BagSavings, texts: Mapping[str, str]) -> FoundView:
    savings, reached, view = found.savings, found.reached, found.view
    way = reached.found if reached and reached.found and reached.found.changes else None
    is_several = savings.together is not None and len(savings.together.changes) > 1
    return FoundView(
        action=action_at(view),
        version=view.answer.bag.version,
        keep=texts["keep"],
        now=f"The bag pays you at {savings.now.price.said()} and takes {print_minutes(savings.now.minutes)} now. "
        "First comes what lowers that price most.",
        ranked=tuple(_saving_view(found, one) for one in worth_telling(found)),
        together=_saving_view(found, savings.together) if savings.together and is_several else None,
        together_told=search_said(found),
        reached=reached_said(found, reached) if reached else "",
        way=_saving_view(found, way) if way else None,
        more=_address(view, texts, is_thorough=True) if not found.is_proven and not texts["all"] else "",
        nothing=tuple(found.changes[one.changes[0]].does for one in savings.dear),
        refused=tuple(refused_said(found, key) for key in savings.refused),
        without_price=", ".join(found.without_price),
        asked=_end(texts),
        told=_stopped(found, is_thorough=bool(texts["all"])),
        again=f"{action_at(view)}/search{_end(texts)}",
    )


def _stopped(found: BagSavings, *, is_thorough: bool) -> str:
    if found.untried:
        return f"The search was stopped: {found.untried} of {len(found.changes)} changes were not tried."
    return "The search ended before every way was tried." if is_thorough and not found.is_proven else ""


def _saving_view(found: BagSavings, saving: Saving) -> SavingView:
    said, changes = saving_said(found, saving), found.of(saving.changes)
    keys = tuple(change.key for change in changes if change.is_of_bag)
    elsewhere = _TABLE if any(change.cutting for change in changes) else _SHOP
    note = "" if len(keys) == len(changes) else _NOT_ALL if keys else elsewhere
    effect = f"{said.effect[:1].upper()}{said.effect[1:]}."
    stale = price_lacks(found.stale_of.get(saving.changes, ()), found.view.shelf)
    lines = (said.price, f"{said.body}; {said.weight}.")
    return SavingView(does=said.does, money=effect, lines=lines, keys=keys, note=note, stale=stale)


async def try_it(request: Request) -> Response:
    """A copy of the bag with the changes sent, beside the original."""
    form = await request.form()
    desk = desk_of(request)
    bag_id, keys = request.path_params["bag_id"], [one for one in form.getlist("change") if isinstance(one, str)]
    keep = _keep(text_of(form, "keep"))
    made = await run_in_threadpool(try_saving, desk, bag_id, version_of(form), keys, keep)
    return RedirectResponse(f"/bags/{quote(bag_id)}/beside/{quote(made.id)}", status_code=303)


def show_beside(request: Request) -> Response:
    """A bag and its copy side by side."""
    desk = desk_of(request)
    both = side_by_side(desk, request.path_params["bag_id"], request.path_params["copy_id"])
    return render("beside.html", _beside_page(both))


def _beside_page(both: SideBySide) -> BesidePage:
    before, after = both.before.answer, both.after.answer
    columns = (Column("What"), Column("As it is"), Column("The copy"))
    numbers = zip(_numbers(both.before), _numbers(both.after), strict=True)
    return BesidePage(
        frame=frame(f"{after.bag.name} beside {before.bag.name}", "/", is_demo=both.before.is_demo),
        before_name=before.bag.name,
        before_href=f"/bags/{quote(before.bag.id)}",
        after_name=after.bag.name,
        after_href=f"/bags/{quote(after.bag.id)}",
        after_version=after.bag.version,
        told=f"The copy is {after.bag.name}. {before.bag.name} is as it was. Change the copy as you like, or put it "
        "away; that can be undone.",
        numbers=Table("For one bag", columns, tuple(Row((label, old, new)) for (label, old), (_, new) in numbers)),
        differences=Table("What is different", columns, tuple(Row(row) for row in differences(both))),
        lacks=lacks_of(after.problems, after.bag.id),
    )


def _numbers(view: BagView) -> tuple[tuple[str, str], ...]:
    say, answer, price = Wording(view.workroom), view.answer, view.answer.price
    panels = "; ".join(f"{one.name} {say.band(one.body.standing_height_mm)}" for one in answer.panels)
    return (
        ("Price that pays you", price.paid_price.said() if price else "not known yet"),
        ("Cost, no pay", price.floor.said() if price else "not known yet"),
        ("Paid at the counter for the run", answer.money_in_all()[0].said() if answer.plan else "not known yet"),
        ("Work", print_minutes(price.minutes) if price else "not known yet"),
        ("Weight", say.mass(answer.mass_g) if answer.mass_g is not None else "not known yet"),
        ("A strip stands", panels or "not known yet"),
    )


ROUTES = [
    Route("/bags/{bag_id}/savings", show_savings),
    Route("/bags/{bag_id}/savings", try_it, methods=["POST"]),
    Route("/bags/{bag_id}/savings/found", show_found),
    Route("/bags/{bag_id}/savings/search", look_again, methods=["POST"]),
    Route("/bags/{bag_id}/savings/savings.{kind}", table),
    Route("/bags/{bag_id}/beside/{copy_id}", show_beside),
]
