"""The whole answer for one bag: pieces, body, layouts, what to buy, time and price, each checked."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from bagwright.costing.buying import without_offers
from bagwright.costing.price import price_bag
from bagwright.costing.step_minutes import Pieced, Task
from bagwright.costing.supplies import buy_thread, thread_need
from bagwright.costing.used_up import small_supply_faults, supplies_used_up
from bagwright.costing.working_time import working_steps
from bagwright.drafting.order_of_work import order_of_work
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bag import Bag, Workroom
from bagwright.model.body import PanelBody
from bagwright.model.cost import BuyingPlan, Need, Price, PricePart, ThreadUse, TimeStep
from bagwright.model.layout import Layout, LayRequest
from bagwright.model.material import Material
from bagwright.model.money import Money, total
from bagwright.model.pattern import NotionNeed, Pattern
from bagwright.model.piece import CutPiece
from bagwright.model.stash import Cutting
from bagwright.model.work_step import WorkStep
from bagwright.workflows.bag_buying import buy_for_bag, with_leftovers_counted
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import bought_length_mm, cut_list, lay_request
from bagwright.workflows.piece_wishes import settled_prints, with_wishes
from bagwright.workflows.ready_pieces import Counts, ready_area_mm2, ready_counts, shape_name, without_ready
from bagwright.workflows.reckoning import notion_materials, notion_needs, sheet_need, thread_on, whole_mass_g
from bagwright.workflows.recutting import recut
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import panel_bodies
from bagwright.workflows.stash_counted import cuttings_count
from bagwright.workflows.thread_use import thread_uses
from bagwright.workflows.wear import wear_of_bag
from bagwright.workflows.work_steps import work_steps

_ANY_WIDTH_MM = 1000.0
_ALL_READY_MM2 = 1e-6
FindLayout = Callable[[LayRequest], Layout]
"""Gives a checked layout. Raises `FaultyInput` if a piece is wider than the cloth, or there is no cloth."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLayout:
    """One material laid on one width for the whole run. `bought_mm` allows for the wash, before the shop's steps.

    `asked`: its pieces before strips were put into bands or bias squares, as they are sewn.
    """

    material: Material
    shop_width_mm: float
    asked: LayRequest
    request: LayRequest
    layout: Layout
    bought_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BagAnswer:
    """Everything that follows from a bag, a shelf and the workroom. `problems` say what stopped the later steps.

    `from_stash`: cuttings of pieces that the layouts leave out.
    """

    bag: Bag
    pattern: Pattern
    cuts: tuple[CutPiece, ...] = ()
    notions: tuple[tuple[NotionNeed, Material], ...] = ()
    panels: tuple[PanelBody, ...] = ()
    threads: tuple[ThreadUse, ...] = ()
    work: tuple[WorkStep, ...] = ()
    mass_g: float | None = None
    layouts: tuple[SheetLayout, ...] = ()
    plan: BuyingPlan | None = None
    supplies: BuyingPlan | None = None
    steps: tuple[TimeStep, ...] = ()
    price: Price | None = None
    problems: tuple[Problem, ...] = field(default=())
    from_stash: tuple[Cutting, ...] = ()

    @property
    def besides_weight(self) -> tuple[Problem, ...]:
        """The problems that leave more open than what bought parts and thread weigh."""
        return tuple(one for one in self.problems if not one.place.endswith((".mass_gpm", ".mass_each_g")))

    def chosen_layouts(self) -> tuple[SheetLayout, ...]:
        """The layout of each material at the width that the plan buys."""
        widths = {p.material_id: p.width_mm for p in self.plan.purchases if p.needed} if self.plan else {}
        return tuple(s for s in self.layouts if widths.get(s.material.id) == s.shop_width_mm)

    def money_in_all(self) -> tuple[Money, Money, Money]:
        """Paid, used and left over all purchases of the run, thread among them."""
        plans = [plan for plan in (self.plan, self.supplies) if plan]
        currency = plans[0].paid.currency if plans else "USD"
        paid, used, left = ([getattr(plan, way) for plan in plans] for way in ("paid", "used", "left"))
        return total(paid, currency), total(used, currency), total(left, currency)

    def small_supplies(self) -> tuple[PricePart, ...]:
        """What one bag uses up besides thread."""
        return self.supplies.used_up if self.supplies else ()

    def minutes_by_kind(self) -> tuple[tuple[str, float], ...]:
        """Minutes with all sewing, all fusing and the like taken together."""
        minutes: dict[str, float] = {}
        for step in self.steps:
            minutes[step.kind] = minutes.get(step.kind, 0.0) + step.minutes
        return tuple(minutes.items())


def answer_bag(
    bag: Bag,
    shelf: Shelf,
    workroom: Workroom,
    *,
    find_layout: FindLayout,
    from_stash: Sequence[Cutting] = (),
    tells_doubt: bool = True,
) -> BagAnswer:
    """Draft, stiffen, lay, buy, time and price one bag; what was cut from the stash is neither laid nor bought.

    `tells_doubt`: whether for each panel the test that tells most is looked for; searches over many bags do without.

    Raises `FaultyInput` only if the bag cannot be drafted; any later fault is told in `problems` and leaves the steps
    that need it empty: a stiffness or weight that is not known leaves body or weight open, not the price. Every layout
    used has passed its check.
    """
    answer = BagAnswer(bag=bag, pattern=pattern_of_bag(bag), from_stash=tuple(from_stash))
    answer = _made(answer, shelf, workroom)
    felt = _felt(answer, shelf, tells_doubt=tells_doubt)
    answer = replace(answer, panels=felt.panels, mass_g=felt.mass_g)
    if not answer.problems:
        answer = _costed(answer, shelf, workroom, find_layout)
    return replace(answer, problems=_once([*answer.problems, *felt.problems]))


def _felt(answer: BagAnswer, shelf: Shelf, *, tells_doubt: bool) -> BagAnswer:
    """Body and weight; its problems are those of these two alone."""
    faults = Faults()
    with faults:
        panels = panel_bodies(answer.pattern, answer.bag.stacks, shelf, tells_doubt=tells_doubt)
        answer = replace(answer, panels=panels)
    if not answer.problems and not faults.problems:
        with faults:
            answer = replace(answer, mass_g=whole_mass_g(answer.cuts, answer.notions, answer.threads, shelf))
    return replace(answer, problems=tuple(faults.problems))


def _made(answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> BagAnswer:
    """Pieces, work and thread: what follows without any price."""
    bag, pattern = answer.bag, answer.pattern
    faults = Faults()
    with faults:
        answer = replace(answer, cuts=with_wishes(cut_list(pattern, bag.stacks), pattern, bag))
    with faults:
        answer = replace(answer, notions=notion_materials(pattern, bag.stacks, shelf))
    answer = replace(answer, work=order_of_work(pattern))
    with faults:
        answer = replace(answer, work=work_steps(pattern, bag.stacks, shelf))
    with faults:
        answer = replace(answer, threads=thread_uses(pattern, bag.stacks, shelf, workroom))
    return replace(answer, problems=_once(faults.problems))


def _costed(answer: BagAnswer, shelf: Shelf, workroom: Workroom, find_layout: FindLayout) -> BagAnswer:
    bag, faults = answer.bag, Faults()
    cuts, faults.problems = settled_prints(answer.cuts, shelf.materials, answer.pattern.seams)
    answer = replace(answer, cuts=cuts)
    needs = list(notion_needs(answer.notions, bag.run_count, shelf))
    for material_id in dict.fromkeys(cut.material_id for cut in answer.cuts):
        with faults:
            laid = _lay(shelf.material(material_id, place="stacks"), answer, shelf, workroom, find_layout)
            answer = replace(answer, layouts=(*answer.layouts, *laid))
            needs += _sheet_needs(shelf.materials[material_id], answer, laid)
    with faults:
        answer = replace(answer, steps=_timed(answer, shelf, workroom))
    with faults:
        answer = replace(answer, supplies=_buy_thread(answer, shelf, workroom))
    faults.problems += without_offers(needs, shelf.offers)
    if not faults.problems:
        with faults:
            answer = _bought(answer, needs, shelf, workroom)
    if answer.plan and answer.supplies:
        with faults:
            answer = _priced(answer, (answer.plan, answer.supplies), shelf, workroom)
    return replace(answer, problems=_once(faults.problems))


def _timed(answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> tuple[TimeStep, ...]:
    bag, pieced = answer.bag, tuple(_pieced(answer))
    task = Task(work=answer.work, pattern=answer.pattern, cuts=answer.cuts, pieced=pieced)
    readings, made = shelf.readings_of(bag.id), shelf.made_of(bag.id)
    return working_steps(task, workroom=workroom, readings=readings, run_count=bag.run_count, made=made)


def _pieced(answer: BagAnswer) -> Iterator[Pieced]:
    """Layers that were put together from scraps and still fit, on average over the run."""
    run = answer.bag.run_count
    shapes = {cut.id: shape_name(cut.region) for cut in answer.cuts}
    for cutting in answer.from_stash:
        fits = {ready.id for ready in cutting.ready if shapes.get(ready.id) == ready.shape}
        for one in (one for one in cutting.pieced if one.id in fits):
            joins = (one.scraps - one.copies) / run
            yield Pieced(name=one.name, joins=joins, join_mm=one.join_mm / run)


def _bought(answer: BagAnswer, needs: Sequence[Need], shelf: Shelf, workroom: Workroom) -> BagAnswer:
    if answer.supplies is None:
        raise BrokenPromise("thread is bought before")
    thread = thread_need(thread_on(shelf), answer.threads, run_count=answer.bag.run_count)
    plan, supplies = buy_for_bag(needs, thread, answer.supplies, shelf, workroom)
    plan = with_leftovers_counted(plan, shelf, workroom)
    plan = replace(plan, from_stash=tuple(_from_stash(answer, shelf, workroom)))
    return replace(answer, plan=plan, supplies=supplies)


def _from_stash(answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> Iterator[tuple[str, Money]]:
    """For each material that was cut from the stash, what that counts for; nothing is left out."""
    for material_id in dict.fromkeys(one.material_id for one in answer.from_stash):
        material = shelf.materials[material_id]
        own = [one for one in answer.from_stash if one.material_id == material_id]
        area_mm2 = ready_area_mm2(answer.cuts, material_id, ready_of(answer, material))
        counts = cuttings_count(material, own, area_mm2, shelf, workroom)
        if counts.amount:
            yield material.name, counts


def _buy_thread(answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> BuyingPlan:
    run = answer.bag.run_count
    return buy_thread(thread_on(shelf), answer.threads, shelf.offers, run_count=run, workroom=workroom)


def _priced(answer: BagAnswer, plans: tuple[BuyingPlan, BuyingPlan], shelf: Shelf, workroom: Workroom) -> BagAnswer:
    """The price, with what is used up besides thread. Raises `FaultyInput` for settings that are none."""
    if problems := list(small_supply_faults(workroom)):
        raise FaultyInput(problems)
    bag, (materials, supplies) = answer.bag, plans
    wear = wear_of_bag(answer.pattern, bag.stacks, shelf, cuts=answer.cuts, steps=answer.steps)
    supplies = replace(supplies, used_up=supplies_used_up(workroom, replace(wear, run_count=bag.run_count)))
    price = price_bag(materials, supplies, answer.steps, run_count=bag.run_count, workroom=workroom)
    return replace(answer, supplies=supplies, price=price)


def _sheet_needs(material: Material, answer: BagAnswer, laid: Sequence[SheetLayout]) -> list[Need]:
    """The need for one sheet; none if all of it is ready."""
    run, cuts = answer.bag.run_count, answer.cuts
    need = sheet_need(material, cuts, ((sheet.shop_width_mm, sheet.bought_mm) for sheet in laid), run)
    counts = ready_of(answer, material)
    if not counts:
        return [need]
    area_mm2 = need.area_mm2 - ready_area_mm2(cuts, material.id, counts)
    return [replace(need, area_mm2=area_mm2)] if area_mm2 > _ALL_READY_MM2 else []


def ready_of(answer: BagAnswer, material: Material) -> Counts:
    """How many of each piece of that material are cut from the stash already."""
    own = [one for one in answer.from_stash if one.material_id == material.id]
    if not own:
        return {}
    pieces = lay_request(material, answer.cuts, _ANY_WIDTH_MM, run=answer.bag.run_count, gap_mm=0.0).pieces
    return ready_counts(own, pieces)


def _lay(
    material: Material, answer: BagAnswer, shelf: Shelf, workroom: Workroom, find_layout: FindLayout
) -> tuple[SheetLayout, ...]:
    """The material's pieces laid at every width it is sold in. Raises `FaultyInput` if they fit on none."""
    laid: list[SheetLayout] = []
    refused: list[Problem] = []
    ready = ready_of(answer, material)
    for width_mm in shelf.widths_mm(material.id):
        request = lay_request(material, answer.cuts, width_mm, run=answer.bag.run_count, gap_mm=workroom.layout_gap_mm)
        asked = without_ready(request, ready)
        if not asked.pieces:
            return ()
        try:
            request = recut(asked, answer.cuts, material)
            layout = find_layout(request)
        except FaultyInput as fault:
            refused += fault.problems
            continue
        if not layout.verdict.passed:
            raise BrokenPromise(f"a layout of {material.name} failed its check: {layout.verdict.faults}")
        laid.append(
            SheetLayout(
                material=material,
                shop_width_mm=width_mm,
                asked=asked,
                request=request,
                layout=layout,
                bought_mm=bought_length_mm(material, layout.length_mm),
            )
        )
    if refused and not laid:
        raise FaultyInput([_fits_nowhere(material, refused[0])])
    return tuple(laid)


def _fits_nowhere(material: Material, widest: Problem) -> Problem:
    """What is said of the widest cloth on sale, as a problem of the material."""
    what = f"is too narrow at every width it is sold in: {widest.value} {widest.what}"
    remedy = f"Choose another material than {material.name}, add a wider offer, or make the bag smaller."
    return replace(widest, place=f"materials.{material.id}", value=material.name, what=what, remedy=remedy)


def _once(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    return tuple(dict.fromkeys(problems))
