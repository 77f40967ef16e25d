"""Every zip of a pattern worked out: buying, cutting, stops, the order of steps, and where the foot meets bulk."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.drafting.order_of_work import order_of_work
from bagwright.drafting.zip_bulk import bulk_points, pieces_of_zip, slider_in_the_way
from bagwright.drafting.zip_stock import INCH_STOCK_MM, TAIL_MM, mouth_band_mm, ready_made_for
from bagwright.drafting.zips import usual_tape_mm
from bagwright.model.pattern import Pattern
from bagwright.model.sewn_zip import SewnZip, ZipEnds
from bagwright.model.zip_plan import Advice, BulkPoint, ReadyMadeZip, ZipPlan

TAPE_ASTRAY_MM = 4.0
"""A tape that differs so much from the usual one of its number is asked about (common practice, no source)."""

_LAST_LOOK = Advice("Run the slider from end to end before anything is closed over the zip.")
_SECOND_TAPE = {
    ZipEnds.TABS: "Sew one tape with its tabs into its seam, then the other, so that both tabs lie straight across.",
    ZipEnds.STOPS: "Sew one tape in, middle to middle, then the other; open the zip before you sew across its ends.",
    ZipEnds.SEAMS: "Sew one tape in, middle to middle, then the other; leave the zip half open for turning.",
}


def zip_plans(
    pattern: Pattern, *, stock_mm: Sequence[float] = INCH_STOCK_MM, tail_mm: float = TAIL_MM
) -> tuple[ZipPlan, ...]:
    """The plan of each zip in the pattern. `stock_mm`: ready-made lengths on sale; `tail_mm`: tape beyond their stops.

    >>> from bagwright.drafting.forms import draft_bag
    >>> (plan,) = zip_plans(draft_bag("zip_pouch", {"width_mm": 228.6, "depth_mm": 0, "tab_length_mm": 19.05}))
    >>> plan.zip.teeth_mm, plan.ready_made.length_mm
    (190.5, 203.2)
    """
    found = []
    for one in pattern.zips:
        steps, bulk = tuple(_sewn_steps(pattern, one)), bulk_points(pattern, one)
        found.append(_plan(one, ready_made_for(one, stock_mm, tail_mm=tail_mm), steps, bulk))
    return tuple(found)


def plan_zip(one: SewnZip, *, stock_mm: Sequence[float] = INCH_STOCK_MM, tail_mm: float = TAIL_MM) -> ZipPlan:
    """The plan of a zip by itself, in whatever it will be sewn."""
    if one.ends is ZipEnds.TABS:
        first = "Fold each tab and stitch it across an end of the closed zip, {} of tape under it; {} lie between them."
        lengths: tuple[float, ...] = (one.under_mm, one.line_mm)
    else:
        first = "Mark the middle of both tapes and of both edges; {} lie between the ends of the zip."
        lengths = (one.line_mm,)
    steps = (Advice(first, lengths), Advice(_SECOND_TAPE[one.ends]))
    return _plan(one, ready_made_for(one, stock_mm, tail_mm=tail_mm), steps, (slider_in_the_way(one),))


def _plan(one: SewnZip, bought: ReadyMadeZip | None, steps: tuple[Advice, ...], bulk: tuple[BulkPoint, ...]) -> ZipPlan:
    return ZipPlan(
        zip=one,
        mouth_mm=mouth_band_mm(one.number),
        ready_made=bought,
        sliders=1,
        from_roll=tuple(_from_roll(one)),
        from_ready_made=tuple(_from_ready_made(one, bought)) if bought else (),
        steps=(*steps, _LAST_LOOK),
        bulk=bulk,
        cautions=tuple(_cautions(one, bought)),
    )


def _from_roll(one: SewnZip) -> Iterator[Advice]:
    told = "Cut {} from the roll, put the slider on with both tapes level and run it to the middle."
    yield Advice(told, (one.chain_mm,))
    yield _both_ends(one)


def _both_ends(one: SewnZip) -> Advice:
    """What keeps the slider on where there are no stops yet."""
    if one.ends is ZipEnds.STOPS:
        told = "Sew a stop across the teeth {} from each cut end, and take metal teeth out beyond it."
        return Advice(told, (one.under_mm + one.inset_mm,))
    return Advice("Sew across the teeth within {} of each cut end, so that the slider stays on.", (one.under_mm,))


def _from_ready_made(one: SewnZip, bought: ReadyMadeZip) -> Iterator[Advice]:
    if bought.start_mm > 0:
        told = "Run the slider of a zip {} long to the middle and cut {} out of it between its stops."
        yield Advice(told, (bought.length_mm, one.chain_mm))
        yield _both_ends(one)
        return
    if bought.stop_mm is None:
        yield Advice("Close a zip {} long: it fits as it is.", (bought.length_mm,))
    else:
        below = bought.bottom_cut_mm - bought.stop_mm
        told = "Close a zip {} long, sew a new stop across the teeth {} below its top stops and cut it {} beyond that."
        yield Advice(told, (bought.length_mm, bought.stop_mm, below))
    yield Advice("Trim the tape beyond its own stops to {}.", (one.under_mm + one.inset_mm,))


def _sewn_steps(pattern: Pattern, one: SewnZip) -> Iterator[Advice]:
    """The steps of the pattern that this zip or its tabs are in."""
    own = pieces_of_zip(pattern, one)
    for step in order_of_work(pattern):
        if own & set(step.piece_ids):
            yield Advice(f"{step.name}.")


def _cautions(one: SewnZip, bought: ReadyMadeZip | None) -> Iterator[Advice]:
    yield Advice(
        "Zips are made of whole teeth, so none is exactly as long as it says (ASTM D3657-03): measure yours closed "
        "before you cut."
    )
    usual_mm = usual_tape_mm(one.number)
    if abs(one.tape_mm - usual_mm) > TAPE_ASTRAY_MM:
        told = f"A #{one.number} zip is usually about {{}} wide, tape edge to tape edge (from memory); you typed {{}}."
        yield Advice(f"{told} Measure yours.", (usual_mm, one.tape_mm))
    if bought is None:
        yield Advice("No ready-made zip on the list is long enough: cut this one from the roll.")
