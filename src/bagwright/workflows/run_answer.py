"""The answer for a run of several bags: all laid together, material by material, and all bought together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.costing.buying_together import buy_together
from bagwright.costing.scraps_counted import leftovers_counted
from bagwright.errors import BagwrightError, BrokenPromise, FaultyInput, NoAnswer, Problem
from bagwright.model.bag import Workroom
from bagwright.model.cost import Need
from bagwright.model.material import Material, OfferByCount, OfferByPiece
from bagwright.model.money import total
from bagwright.model.piece import CutPiece
from bagwright.model.run import Run
from bagwright.model.run_buying import LaidParts, RunNeed, RunPlan, StashParts
from bagwright.model.stash import StashPiece
from bagwright.workflows.answer import BagAnswer, FindLayout, SheetLayout
from bagwright.workflows.bag_buying import PAGE_EFFORT
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import bought_length_mm, lay_request
from bagwright.workflows.reckoning import notion_needs, thread_on
from bagwright.workflows.recutting import recut
from bagwright.workflows.run_parts import CutBefore, RunPart, cut_before, run_parts
from bagwright.workflows.run_stash import stash_of_sheet
from bagwright.workflows.shelf import Shelf


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Where a run is bought: the shelf with its offers and what sellers ask for, the stash, the workroom's settings."""

    shelf: Shelf
    workroom: Workroom
    stash: tuple[StashPiece, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunAnswer:
    """Everything that follows from a run. `bags`: each with its number as `run_count`, in the order of the run.

    `sheets`: all bags laid together. `cut_before`: what is neither laid nor bought, since it was cut from the stash.
    `problems` say what stopped the plan.
    """

    run: Run
    bags: tuple[BagAnswer, ...]
    cut_before: tuple[CutBefore, ...] = ()
    sheets: tuple[SheetLayout, ...] = ()
    needs: tuple[RunNeed, ...] = ()
    plan: RunPlan | None = None
    problems: tuple[Problem, ...] = ()

    def material_ids(self) -> tuple[str, ...]:
        """Of everything cut, in the order in which it comes up."""
        return tuple(dict.fromkeys(cut.material_id for bag in self.bags for cut in bag.cuts))

    def bags_lacking(self) -> dict[Problem, str]:
        """For each problem that is a bag's own, the id of that bag; the first in the run, where two lack the same."""
        return {_named(one, bag): bag.bag.id for bag in reversed(self.bags) for one in bag.besides_weight}


def _named(problem: Problem, bag: BagAnswer) -> Problem:
    return replace(problem, what=f"{problem.what} ({bag.bag.name})")


def answer_run(run: Run, bags: Sequence[BagAnswer], shop: Shop, *, find_layout: FindLayout) -> RunAnswer:
    """Lay and buy for all bags at once. `bags`: each answered by itself, with its number as `run_count`.

    What the bags' answers have from the stash is neither laid nor bought. A fault is told in `problems`, with the name
    of its bag behind it, and leaves the plan empty; weights that are not known do not matter to it. Every layout used
    has passed its check, and so has the plan.
    """
    answer = RunAnswer(run=run, bags=tuple(bags))
    faults = Faults()
    for bag in bags:
        faults.problems += [_named(one, bag) for one in bag.besides_weight]
    if faults.problems or not bags:
        return replace(answer, problems=tuple(dict.fromkeys(faults.problems)))
    answer = replace(answer, cut_before=tuple(cut_before(bags, shop.shelf)))
    needs: list[RunNeed] = []
    for material_id in answer.material_ids():
        material = shop.shelf.materials[material_id]
        parts = run_parts(material, bags)
        if not parts:  # all of it was cut from the stash
            continue
        with faults:
            sheets = laid_together(material, parts, shop, find_layout)
            answer = replace(answer, sheets=(*answer.sheets, *sheets))
            needs.append(_sheet_need(material, parts, sheets, shop, find_layout))
    with faults:
        needs += other_needs(bags, shop.shelf)
    if not faults.problems:
        with faults:
            answer = replace(answer, needs=tuple(needs), plan=buy_needs(needs, run, shop))
    return replace(answer, problems=tuple(dict.fromkeys(faults.problems)))


def buy_needs(needs: Sequence[RunNeed], run: Run, shop: Shop) -> RunPlan:
    """The plan for them. Raises `FaultyInput`, also where there is no plan."""
    try:
        plan = buy_together(
            needs,
            shop.shelf.offers,
            shop.shelf.terms,
            currency=shop.workroom.currency,
            left_worth=run.left_worth,
            effort=PAGE_EFFORT,
            units=shop.workroom.units,
        )
    except NoAnswer as none:
        raise FaultyInput([none.problem]) from None
    return _leftovers_counted(plan, shop)


def _leftovers_counted(plan: RunPlan, shop: Shop) -> RunPlan:
    purchases = leftovers_counted(plan.purchases, shop.shelf.materials, shop.shelf.offers, shop.workroom)
    left = total((one.left for one in purchases), shop.workroom.currency)
    return replace(plan, purchases=purchases, left=left, used=plan.paid - left)


def laid_together(
    material: Material, parts: Sequence[RunPart], shop: Shop, find_layout: FindLayout
) -> tuple[SheetLayout, ...]:
    """The pieces of all parts laid at every width the material is sold in. Raises `FaultyInput` if they fit on none."""
    own = _bags_of(parts)
    if len(own) == 1:  # laid already, and maybe better than at first
        return _sheets_of(own[0], material)
    cuts = tuple(cut for part in parts for cut in part.named_cuts(part.count))
    widths = [w for w in shop.shelf.widths_mm(material.id) if all(_is_laid(bag, material, w) for bag in own)]
    if not widths:
        what = "is too narrow for one bag or another at every width it is sold in"
        remedy = f"Add a wider offer of {material.name}, or change the bags."
        allowed = "a width on which every bag fits"
        raise FaultyInput(
            [Problem(place=f"materials.{material.id}", value=material.name, what=what, allowed=allowed, remedy=remedy)]
        )
    return tuple(_laid(material, cuts, width, shop, find_layout) for width in widths)


def _bags_of(parts: Sequence[RunPart]) -> tuple[BagAnswer, ...]:
    return tuple({part.bag.bag.id: part.bag for part in parts}.values())


def _sheets_of(bag: BagAnswer, material: Material) -> tuple[SheetLayout, ...]:
    """The layouts of all that one bag still takes."""
    return tuple(sheet for sheet in bag.layouts if sheet.material.id == material.id)


def _laid(
    material: Material, cuts: tuple[CutPiece, ...], width_mm: float, shop: Shop, find_layout: FindLayout
) -> SheetLayout:
    asked = lay_request(material, cuts, width_mm, run=1, gap_mm=shop.workroom.layout_gap_mm)
    request = recut(asked, cuts, material)
    layout = find_layout(request)
    if not layout.verdict.passed:
        raise BrokenPromise(f"a layout of {material.name} failed its check: {layout.verdict.faults}")
    length = bought_length_mm(material, layout.length_mm)
    return SheetLayout(
        material=material, shop_width_mm=width_mm, asked=asked, request=request, layout=layout, bought_mm=length
    )


def _is_laid(bag: BagAnswer, material: Material, width_mm: float) -> bool:
    return any(sheet.shop_width_mm == width_mm for sheet in _sheets_of(bag, material))


def _sheet_need(
    material: Material, parts: Sequence[RunPart], sheets: Sequence[SheetLayout], shop: Shop, find_layout: FindLayout
) -> RunNeed:
    """All of one material that is still to be cut."""
    areas = [math.fsum(cut.region.area_mm2 * cut.count for cut in part.cuts) for part in parts]
    counts = tuple(part.count for part in parts)
    need = Need(
        material_id=material.id,
        name=material.name,
        lengths_mm_by_width=tuple((sheet.shop_width_mm, sheet.bought_mm) for sheet in sheets),
        area_mm2=math.fsum(area * count for area, count in zip(areas, counts, strict=True)),
    )
    laid = list(_bags_whole(material, parts))
    stash: list[StashParts] = []
    for at, part in enumerate(parts):
        only = _only(at, len(parts))
        held = list(stash_of_sheet(material, part.cuts, shop, count=part.count, only=only))
        counted = {part.count - sum(one.holds) for one in held if sum(one.holds) < part.count}
        if any(other.bag is part.bag for other in parts if other is not part):
            counted.add(part.count)
        laid += _part_alone(material, part, only, counted, (shop, find_layout))
        stash += held
    laid = [one for one in laid if one.holds != counts]
    return RunNeed(need=need, parts=counts, laid=tuple(laid), stash=tuple(stash), part_areas_mm2=tuple(areas))


def _only(at: int, many: int) -> tuple[int, ...]:
    """One of that part and none of the others."""
    return tuple(int(number == at) for number in range(many))


def _bags_whole(material: Material, parts: Sequence[RunPart]) -> Iterator[LaidParts]:
    """Layouts of all that one bag still takes; they are the bag's own."""
    for bag in _bags_of(parts):
        holds = tuple(part.count if part.bag is bag else 0 for part in parts)
        for sheet in _sheets_of(bag, material):
            yield LaidParts(holds=holds, length_mm=sheet.bought_mm, width_mm=sheet.shop_width_mm)


def _part_alone(
    material: Material, part: RunPart, only: tuple[int, ...], counts: set[int], at: tuple[Shop, FindLayout]
) -> Iterator[LaidParts]:
    """Layouts of so many bags of one part, and of a single one where the material is sold in cut pieces."""
    shop, find_layout = at
    pieces = {o.width_mm for o in shop.shelf.offers_for(material.id) if isinstance(o, OfferByPiece)}
    for sheet in _sheets_of(part.bag, material):
        width = sheet.shop_width_mm
        for count in sorted(counts | ({1} if width in pieces and part.count > 1 else set())):
            length = _laid(material, part.named_cuts(count), width, shop, find_layout).bought_mm
            yield LaidParts(holds=tuple(count * one for one in only), length_mm=length, width_mm=width)


def other_needs(bags: Sequence[BagAnswer], shelf: Shelf) -> Iterator[RunNeed]:
    """Bought parts of all bags, and the thread."""
    notions = [
        (replace(notion, count=notion.count * bag.bag.run_count), material)
        for bag in bags
        for notion, material in bag.notions
    ]
    singles = [
        (notion.length_mm, material.id, notion.count) for notion, material in notions if notion.length_mm is not None
    ]
    for need in notion_needs(notions, 1, shelf):
        if need.length_mm is None:
            yield RunNeed(need=need)
            continue
        by_length: dict[float, int] = {}
        for length, material_id, count in singles:
            if material_id == need.material_id:
                by_length[length] = by_length.get(length, 0) + count
        yield _length_need(need, by_length, shelf)
    thread = math.fsum(use.thread_mm * bag.bag.run_count for bag in bags for use in bag.threads)
    if thread:
        material = thread_on(shelf)
        yield RunNeed(need=Need(material_id=material.id, name=material.name, length_mm=thread), goes_on=True)


def _length_need(need: Need, by_length: Mapping[float, int], shelf: Shelf) -> RunNeed:
    """Lengths cut from webbing or zip chain; where it is sold in pieces, as many equal ones as fit come from each."""
    parts = tuple(by_length.values())
    held_mm: list[float] = []
    for offer in shelf.offers_for(need.material_id):
        if isinstance(offer, OfferByPiece):
            held_mm.append(offer.length_mm)
        elif isinstance(offer, OfferByCount) and offer.length_each_m:
            held_mm.append(1000 * offer.length_each_m)
    laid = {
        (at, fits): LaidParts(holds=tuple(fits * one for one in _only(at, len(parts))), length_mm=fits * length)
        for at, (length, count) in enumerate(by_length.items())
        for held in held_mm
        if (fits := min(count, int(held // length)))
    }
    return RunNeed(need=need, parts=parts, laid=tuple(one for one in laid.values() if one.holds != parts))


def planned_sheets(answer: RunAnswer) -> Iterator[SheetLayout]:
    """Of each material the layout of all its parts that the plan cuts; none where it is cut in parts."""
    if answer.plan is None:
        return
    for number, need in enumerate(answer.needs):
        whole = [one for one in answer.plan.taken if one.need == number and one.holds == need.parts and one.width_mm]
        for sheet in answer.sheets:
            if any((one.width_mm, need.need.material_id) == (sheet.shop_width_mm, sheet.material.id) for one in whole):
                yield sheet


def plan_alone(answer: RunAnswer, at: int, shop: Shop, *, find_layout: FindLayout) -> RunPlan | None:
    """What one bag of the run would take, bought by itself at the same shops; None if that cannot be told."""
    run = replace(answer.run, bags=answer.run.bags[at : at + 1])
    try:
        return answer_run(run, answer.bags[at : at + 1], shop, find_layout=find_layout).plan
    except BagwrightError:
        return None
