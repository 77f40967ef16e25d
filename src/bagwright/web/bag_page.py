"""The long page of one bag, from its answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.web.bag_forms import add_on_forms, name_field, role_forms, run_field, size_fields
from bagwright.web.bag_papers import file_rows, paper_rows
from bagwright.web.bag_tag import tag_lines, tag_short
from bagwright.web.cost_tables import (
    bought_words,
    buying_table,
    price_notes,
    price_table,
    thread_table,
    time_how_table,
    time_table,
)
from bagwright.web.counting_view import counting_view
from bagwright.web.first_views import waiting_lacks, want_forms
from bagwright.web.folded_view import folded_view
from bagwright.web.frame import frame
from bagwright.web.lacks import lacks_of
from bagwright.web.own_view import own_view
from bagwright.web.pages import BagPage, ClothView, Column, Row, SearchView, Table
from bagwright.web.panel_views import panel_views
from bagwright.web.wording import Wording
from bagwright.web.work_views import work_stages
from bagwright.web.zip_views import zip_views
from bagwright.workflows.answer import BagAnswer, SheetLayout
from bagwright.workflows.desk import BagView
from bagwright.workflows.fold_up import Viewpoint
from bagwright.workflows.money_said import sure_price_said
from bagwright.workflows.pictures import (
    layout_picture,
    pieces_picture,
    told_count,
)
from bagwright.workflows.zone_templates import pieces_to_cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What was typed and refused: texts and faults by field; `stale` says that the page was out of date."""

    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    stale: str = ""


def bag_page(
    view: BagView, typed: Typed, job: SearchView | None, *, ended: str = "", seen_from: Viewpoint | None = None
) -> BagPage:
    """Everything that the page of a bag shows; `ended` says what came of the last search.

    `seen_from`: the side from which she asked to see the bag, if she did.
    """
    answer, say = view.answer, Wording(view.workroom)
    bag, plan = answer.bag, answer.plan
    add_ons = add_on_forms(view, typed.texts, typed.problems)
    placed = {problem.place for problem in typed.problems}
    own = own_view(view, typed.texts, typed.problems)
    first = want_forms(view, typed.texts, typed.problems)
    return BagPage(
        frame=frame(bag.name, "/", is_demo=view.is_demo),
        bag_id=bag.id,
        version=bag.version,
        units=view.workroom.units.value,
        fraction=str(view.workroom.fraction),
        name=bag.name,
        form_name=view.form.name,
        stale=typed.stale,
        problems=waiting_lacks(answer.besides_weight, lacks_of(answer.besides_weight, bag.id), first),
        folded=folded_view(answer, view.workroom, seen_from),
        name_field=name_field(view, typed.texts, typed.problems),
        size_fields=size_fields(view, typed.texts, typed.problems),
        add_ons=add_ons,
        added=", ".join(one.name.lower() for one in add_ons if one.is_added),
        run_field=run_field(view, typed.texts, typed.problems),
        soundness=own.headline if own else _SOUND,
        is_sound=own.is_sound if own else True,
        own=own,
        pieces_svg=Markup(pieces_picture(answer, view.shelf, view.workroom)),
        piece_table=_piece_table(view, say),
        zips=zip_views(answer.pattern, say),
        work=work_stages(answer.work, answer.steps, say),
        first=first,
        roles=role_forms(view, [p for p in typed.problems if p.place.startswith("stacks")]),
        panels=panel_views(view, say),
        weight=say.mass(answer.mass_g) if answer.mass_g is not None else "",
        unweighed=lacks_of([one for one in answer.problems if one not in answer.besides_weight], bag.id),
        cloths=tuple(_cloth(sheet, view, say) for sheet in answer.chosen_layouts()),
        buying_table=buying_table(answer, say) if plan else None,
        run_words="this bag" if bag.run_count == 1 else f"these {bag.run_count} bags",
        price_dates=_price_dates(view),
        job=job,
        search_words=f"{ended} {_search_words(answer)}".strip(),
        time_table=time_table(answer) if answer.price else None,
        time_how=time_how_table(answer) if answer.price else None,
        thread_table=thread_table(answer, say) if answer.price else None,
        thread_waste=say.share(view.workroom.thread_waste_share),
        price_table=price_table(answer) if answer.price else None,
        price_notes=price_notes(view),
        price_sure=sure_price_said(view, today=date.today()),
        counting=counting_view(view),
        papers=paper_rows(bag.id),
        files=file_rows(bag.id),
        cautions=answer.pattern.cautions,
        tag=tag_lines(answer, view.before, say),
        tag_short=tag_short(answer),
        can_undo=view.can_undo and not placed,
        can_redo=view.can_redo and not placed,
    )


_SOUND = "Checked: every edge meets its partner, and the sewn bag measures what you asked."


def _piece_table(view: BagView, say: Wording) -> Table:
    rows = []
    for piece, names in pieces_to_cut(view.answer.pattern, view.answer.bag.stacks, view.shelf):
        region = piece.region()
        size = f"{_bare(say.length(region.width_mm))} x {say.length(region.height_mm)}".replace(
            " ", "\N{NO-BREAK SPACE}"
        )
        what = "bought by length" if piece.is_bought else told_count(piece).removeprefix("cut ")
        rows.append(Row((piece.name, what, size, ", ".join(names) or "not chosen yet")))
    columns = (Column("Piece"), Column("Cut"), Column("Cut size"), Column("From, outside in"))
    has_zones = any(cut.zone for cut in view.answer.cuts)
    caption = "Pieces, with their seam allowances" + ("; zones of them without" if has_zones else "")
    return Table(caption, columns, tuple(rows))


def _bare(text: str) -> str:
    return text.rpartition(" ")[0]


def _cloth(sheet: SheetLayout, view: BagView, say: Wording) -> ClothView:
    answer = view.answer
    purchase = next(p for p in answer.plan.purchases if p.material_id == sheet.material.id) if answer.plan else None
    by_length = purchase is None or purchase.quantity_unit == "mm"
    bought_mm = purchase.quantity if purchase and by_length else sheet.bought_mm
    said = bought_words(purchase, say) if purchase and not by_length else ""
    length, share = say.length(sheet.layout.length_mm), say.share(sheet.layout.share_used)
    used = f"The pieces lie on {length} of it and cover {share} of that."
    return ClothView(
        key=sheet.material.id,
        headline=f"{sheet.material.name}: buy {bought_words(purchase, say)}" if purchase else sheet.material.name,
        caption=used,
        svg=Markup(layout_picture(sheet, answer, view.workroom, bought_mm=bought_mm, bought_said=said)),
    )


def _price_dates(view: BagView) -> str:
    plan = view.answer.plan
    if not plan:
        return ""
    taken = {purchase.offer_id for purchase in plan.purchases}
    days = sorted({offer.dated for offer in view.shelf.offers if offer.id in taken})
    if not days:
        return ""
    return (
        f"Prices of {days[0]:%d %B %Y}." if len(days) == 1 else f"Prices of {days[0]:%d %B %Y} to {days[-1]:%d %B %Y}."
    )


def _search_words(answer: BagAnswer) -> str:
    found = {sheet.layout.found_by for sheet in answer.chosen_layouts()}
    if found == {"first fill"}:
        return "These are the first layouts: a search may shorten them."
    return "These are the best so far." if found else ""
