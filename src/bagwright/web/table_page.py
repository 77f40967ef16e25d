"""The page of one cloth at the cutting table."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from urllib.parse import quote

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.stash import Cutting
from bagwright.web.frame import frame
from bagwright.web.pages import Check, Field, Paper
from bagwright.web.stash_pages import CutBlockView, CutLineView, DoneCutting, TablePage
from bagwright.web.strip_views import strips_views
from bagwright.web.wording import Wording
from bagwright.workflows.cut_words import block_in_words, blocks_of
from bagwright.workflows.cutting_acts import KeptCutting, WaysToLay, layout_name, new_cutting_id
from bagwright.workflows.cutting_papers import TABLE_PAPERS, cut_picture, left_in_words, remnant_name
from bagwright.workflows.cutting_table import TablePlan
from bagwright.workflows.desk import BagView
from bagwright.workflows.piece_wishes import Matchable
from bagwright.workflows.strip_ways import StripGroup
from bagwright.workflows.wish_changes import WishChoices

_PAPER_NAMES = {"A4": "Page for the table, A4 (PDF)", "Letter": "Page for the table, Letter (PDF)"}


def table_page(
    view: BagView,
    plan: TablePlan,
    ways: WaysToLay | None,
    *,
    strips: Sequence[StripGroup],
    wishes: WishChoices,
    strip_problems: Sequence[Problem] = (),
    problems: Sequence[Problem] = (),
    cuttings: Sequence[KeptCutting],
    taken_back: KeptCutting | None = None,
    stale: str = "",
) -> TablePage:
    """Cuts in their order, what is left, and the button that keeps it; `ways` compares free layout and rows."""
    bag, say = view.answer.bag, Wording(view.workroom)
    return TablePage(
        frame=frame(f"{bag.name}: {plan.material.name}", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        bag_version=bag.version,
        material_id=plan.material.id,
        material_name=plan.material.name,
        told=_told(view, plan, say),
        total=plan.total,
        svg=Markup(cut_picture(plan)),
        before=plan.before(),
        blocks=_blocks(plan),
        cautions=plan.cautions,
        left=tuple(
            (Check(f"keep-{number}", "keep", f"{remnant_name(number)}: {told}", True), str(number))
            for number, told in enumerate(left_in_words(plan))
        ),
        bin_field=Field(id="bin", name="bin", label="Where it will lie", value="", hint="A box, a drawer, a shelf."),
        cutting_id=new_cutting_id(bag.name),
        layout_name=layout_name(plan),
        done=(
            *(_done(taken_back, is_back=True) for _ in range(taken_back is not None)),
            *(_done(kept) for kept in cuttings),
        ),
        ways=ways_in_words(ways, say) if ways else "",
        in_rows=bag.in_rows,
        can_be_in_rows=ways is not None,
        best_only=_wishes("best_only", {one.piece_id: one.name for one in wishes.hide_pieces}, wishes.best_only),
        any_print=_wishes("any_print", {one.piece_id: one.name for one in wishes.motif_pieces}, wishes.any_print),
        matched=_wishes("matched", {one.seam.id: _pair(one, plan.names) for one in wishes.seams}, wishes.matched),
        wish_problems=tuple(problem.words() for problem in problems),
        strips=strips_views(strips, bag.strip_wishes, plan),
        strip_problems=tuple(problem.words() for problem in strip_problems),
        papers=tuple(
            Paper(_PAPER_NAMES[size], f"/bags/{quote(bag.id)}/layouts/{quote(plan.material.id)}/{name}")
            for name, size in TABLE_PAPERS.items()
        ),
        stale=stale,
    )


def _blocks(plan: TablePlan) -> tuple[CutBlockView, ...]:
    return tuple(
        CutBlockView(
            block_in_words(block, plan.cuts, plan.layout, plan.names) if block else "",
            tuple(CutLineView(one.numbers, one.words, one.frees) for one in own),
        )
        for block, own in blocks_of(plan.lines())
    )


def _wishes(name: str, offered: Mapping[str, str], wished: Collection[str]) -> tuple[tuple[Check, str], ...]:
    """A box to tick for each thing that is offered, by its id and what it is called."""
    boxes = enumerate(offered.items())
    return tuple((Check(f"{name}-{number}", name, told, one in wished), one) for number, (one, told) in boxes)


def _pair(one: Matchable, names: Mapping[str, str]) -> str:
    sides = zip(one.piece_ids, one.edges, one.points, strict=True)
    told = " and ".join(
        f"{names.get(piece, piece)} ({'mirrored, ' if point.mirrored else ''}{edge.replace('_', ' ')})"
        for piece, edge, point in sides
    )
    return f"{told}: {one.seam.name}"


def _told(view: BagView, plan: TablePlan, say: Wording) -> str:
    bags = "1 bag" if view.answer.bag.run_count == 1 else f"{view.answer.bag.run_count} bags"
    pieces = len(plan.layout.placements)
    length = say.length(plan.layout.length_mm)
    return f"{pieces} pieces for {bags} on {length} of {say.length(plan.table_mm)}."


def _done(kept: KeptCutting | None, *, is_back: bool = False) -> DoneCutting:
    assert kept is not None
    cutting: Cutting = kept.value
    count = len(cutting.stash_ids)
    left = "nothing was kept" if not count else "1 piece is" if count == 1 else f"{count} pieces are"
    day = f"{cutting.dated.day} {cutting.dated:%B %Y}"
    bags = "1 bag" if cutting.count == 1 else f"{cutting.count} bags"
    if is_back:
        told = f"The cutting of {day} is taken back, and what it left is out of the stash again."
    else:
        told = f"Cut on {day} for {bags}; {left}{' in the stash' if count else ''}."
    return DoneCutting(cutting.id, kept.version, told, is_back)


def ways_in_words(ways: WaysToLay, say: Wording) -> str:
    """What straight rows take and save.

    >>> from bagwright.model.bag import Workroom
    >>> ways_in_words(WaysToLay((900.0, 4, 31), (976.2, 9, 9)), Wording(Workroom()))
    'In straight rows it takes 3 in more cloth, and the blade starts 9 times instead of 31.'
    """
    more = ways.more_cloth_mm
    size = say.length(abs(more))
    cloth = f"{size} {'more' if more > 0 else 'less'} cloth" if ways.takes_other_cloth else "no more cloth"
    runs, free = ways.rows[2], ways.free[2]
    starts = (
        f"the blade starts {runs} times instead of {free}" if runs != free else f"the blade starts {runs} times, too"
    )
    return f"In straight rows it takes {cloth}, and {starts}."
