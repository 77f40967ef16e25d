"""Sewing a bag: what to sew with, where it gets thick, what its straps bear."""

from __future__ import annotations

from bagwright.errors import FaultyInput, Problem
from bagwright.model.bulk import Fit, SeamBulk
from bagwright.web.frame import frame
from bagwright.web.lacks import lacks_of
from bagwright.web.pages import Field
from bagwright.web.sewing_pages import BulkView, SewingPage, StrapView
from bagwright.workflows.desk import BagView
from bagwright.workflows.sewing_bag import AskedStrap, BagSewing, sewing_of_bag
from bagwright.workflows.tell_bulk import needles_said, span_said, thick_said, way_out
from bagwright.workflows.tell_strap import holds_well, join_lines

_SHOWN = 3
_FIELDS = (
    ("load", "What it carries", "The bag and all in it, at most."),
    ("ends", "Strap ends that carry it", "Two for each strap."),
    ("drop", "Drop", "From the top of the strap, held up, down to its ends."),
    ("spread", "Ends of one strap apart", "0 if they meet in one place."),
    ("stitched", "Stitching that holds one end", "All rows together, across the pull or in a box."),
    ("thread", "Thread size, tex", "On its label: 40 is usual, 70 is strong."),
)


def sewing_page(view: BagView, texts: dict[str, str]) -> SewingPage:
    """The page of one bag; `texts`: what was typed of its straps."""
    problems: tuple[Problem, ...] = ()
    sewing: BagSewing | None = None
    try:
        sewing = sewing_of_bag(view, texts)
    except FaultyInput as fault:
        problems = fault.problems
    bag, units = view.answer.bag, view.workroom.units
    steps = tuple(_bulk(bulk, view) for bulk in sewing.bulks) if sewing else ()
    worst = tuple(step for step in steps if not step.fits) or steps[:_SHOWN]
    return SewingPage(
        frame=frame(f"{bag.name}: sewing it", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        facts=_facts(sewing) if sewing else (),
        notes=sewing.advice.notes if sewing else (),
        sources=sewing.advice.sources if sewing else (),
        machine=thick_said(view.workroom.takes_mm, units),
        worst=worst,
        others=tuple(step for step in steps if step not in worst),
        strap=_strap(sewing.strap, view) if sewing and sewing.strap else None,
        problems=lacks_of(problems, bag.id),
    )


def _facts(sewing: BagSewing) -> tuple[tuple[str, str], ...]:
    advice = sewing.advice
    return (
        ("Needle", needles_said(advice.needle_nm)),
        ("Thread", f"tex {span_said(advice.thread_tex)}"),
        ("Stitch length", f"{span_said(advice.stitch_mm)} mm"),
    )


def _bulk(bulk: SeamBulk, view: BagView) -> BulkView:
    units, takes_mm = view.workroom.units, view.workroom.takes_mm
    low, high = thick_said(bulk.thickness_mm.low, units), thick_said(bulk.thickness_mm.high, units)
    thick = high if low == high else f"{low.partition(' ')[0]} to {high}"
    return BulkView(
        name=bulk.name,
        where=f"where it crosses: {'; '.join(bulk.crosses)}" if bulk.crosses else "",
        thick=f"{bulk.layers} layers, {thick}",
        fits=bulk.fit(takes_mm) is Fit.FITS,
        advice=way_out(bulk, takes_mm, units),
    )


def _strap(asked: AskedStrap, view: BagView) -> StrapView:
    told = asked.told
    return StrapView(
        fields=tuple(
            Field(
                id=name,
                name=name,
                label=label,
                value=asked.texts[name],
                hint=hint,
                problem=" ".join(one.words() for one in asked.problems if one.place == name),
            )
            for name, label, hint in _FIELDS
        ),
        lines=join_lines(told.join, view.workroom.units) if told else (),
        is_safe=bool(told and holds_well(told.join)),
        cautions=told.join.cautions if told else (),
    )
