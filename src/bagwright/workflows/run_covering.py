"""What of the inner layers of a whole run can be covered from one stash: which scraps go under which bag."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from bagwright.errors import StaleSave
from bagwright.model.cover import CoverSettings
from bagwright.model.material import Material
from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.store.stash import keep_cutting, load_cuttings
from bagwright.store.transaction import transaction
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.cover_templates import AskedTemplate, asked_templates, pieceable
from bagwright.workflows.covering import FIRST_COVERS, ScrapCovers, ScrapTask, covers_of, covers_request, told_by
from bagwright.workflows.covering_acts import taken_of
from bagwright.workflows.cutting_from_stash import cutting_of, refuse_without_id
from bagwright.workflows.desk import BagView, Desk
from bagwright.workflows.runs import RunView, view_run
from bagwright.workflows.stash_first import by_material


def run_bag_views(view: RunView) -> tuple[BagView, ...]:
    """The bags of a run, each with its number in it."""
    return tuple(_bag_view(view, answer) for answer in view.answer.bags)


def _bag_view(view: RunView, answer: BagAnswer) -> BagView:
    return BagView(
        answer=answer,
        form=form_of_key(answer.bag.form),
        shelf=view.shop.shelf,
        workroom=view.shop.workroom,
        before=None,
        can_undo=False,
        is_demo=view.is_demo,
    )


def run_scrap_tasks(view: RunView) -> tuple[ScrapTask, ...]:
    """For each inner material of any of its bags of which the stash holds something: all its pieces together."""
    bags, stash, found = run_bag_views(view), by_material(view.shop.stash), list[ScrapTask]()
    materials = dict.fromkeys(material for bag in bags for material in pieceable(bag))
    for material in materials:
        own = stash.get(material.id, ())
        asked = tuple(one for bag in bags for one in _asked(bag, material)) if own else ()
        if asked:
            wishes = _wishes_of_all([bag.answer.bag.scraps for bag in bags])
            request, stock = covers_request(material, asked, own, wishes)
            task = ScrapTask(
                view=bags[0],
                material=material,
                asked=asked,
                request=request,
                stock=stock,
                pieces={piece.id: piece for piece in own},
                key=told_by(bags[0], request, material, own),
            )
            found += [task] if request.scraps else []
    return tuple(found)


def _asked(bag: BagView, material: Material) -> list[AskedTemplate]:
    """Its templates, told apart from those of the other bags."""
    one, found = bag.answer.bag, asked_templates(bag, material, bag.answer.bag.scraps)
    return [
        AskedTemplate(replace(each.template, id=f"{one.id}/{each.template.id}"), each.cut, one.name) for each in found
    ]


def _wishes_of_all(wishes: Sequence[ScrapWishes]) -> ScrapWishes:
    """What is enough for the bag that asks most."""
    return replace(
        wishes[0],
        enough_share=max(one.enough_share for one in wishes),
        widest_gap_mm=min(one.widest_gap_mm for one in wishes),
        max_scraps=min(one.max_scraps for one in wishes),
        keep_off_mm=max(one.keep_off_mm for one in wishes),
        turns_freely=all(one.turns_freely for one in wishes),
    )


def covers_for_run(
    view: RunView, *, settings: CoverSettings = FIRST_COVERS, should_stop: Callable[[], bool] | None = None
) -> tuple[ScrapCovers, ...]:
    """What of each inner material can be covered, checked: no scrap goes under two bags, whole pieces come first."""
    return covers_of(run_scrap_tasks(view), settings=settings, should_stop=should_stop)


def of_bag(covers: ScrapCovers, bag_id: str) -> ScrapCovers:
    """What of the covers of a run is for one of its bags."""
    return replace(covers, done=tuple(one for one in covers.done if one.covered.template_id.startswith(f"{bag_id}/")))


def use_run_scraps(desk: Desk, run_id: str, material_id: str, *, cutting_id: str, seen: str, today: date) -> None:
    """Keep that these scraps were used, for each bag its own, all or none; each is undone with its bag.

    `seen` is the `name` of what was shown. A button pressed twice keeps one. Raises `StaleSave` if the stash or the run
    has changed since, `NotKept`, `FaultyInput` without an id.
    """
    refuse_without_id(cutting_id)
    view = view_run(desk, run_id)
    names = {bag.answer.bag.id: f"{cutting_id}-{number}" for number, bag in enumerate(run_bag_views(view), 1)}
    with desk.store() as store:
        if any(kept.value.id == names[bag] for bag in names for kept in load_cuttings(store, bag)):
            return
    found = next((one for one in covers_for_run(view) if one.material.id == material_id), None)
    if found is None or found.name != seen or not found.done:
        raise StaleSave("what the stash holds", expected_version=0, kept_version=0)
    with desk.store() as store, transaction(store):
        for answer in view.answer.bags:
            own = of_bag(found, answer.bag.id)
            if own.done:
                taken = taken_of(own, view.shop.workroom.currency)
                keep_cutting(store, *cutting_of(answer.bag, names[answer.bag.id], taken, today))
