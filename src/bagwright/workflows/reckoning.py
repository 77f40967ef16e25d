"""What a run takes of every material, and what one bag weighs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from bagwright.body.weight import bag_mass_g
from bagwright.errors import FaultyInput, Problem
from bagwright.model.cost import Need, ThreadUse
from bagwright.model.material import Material, MaterialKind, OfferByLength
from bagwright.model.pattern import NotionNeed, Pattern
from bagwright.model.piece import CutPiece
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import Stacks, stack_of
from bagwright.workflows.shelf import Shelf, known


def notion_materials(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[tuple[NotionNeed, Material], ...]:
    """Each bought part with the material chosen for it. Raises `FaultyInput` for those without one.

    Ready-made zips bring their sliders.
    """
    found: list[tuple[NotionNeed, Material]] = []
    faults = Faults()
    left_out = roles_not_needed(stacks, shelf)
    for notion in (notion for notion in pattern.notions if notion.role not in left_out):
        with faults:
            layer = stack_of(notion.role, notion.name, stacks)[0]
            found.append((notion, shelf.material(layer.material_id, place=f"stacks.{notion.role}")))
    faults.raise_if_any()
    return tuple(found)


def roles_not_needed(stacks: Stacks, shelf: Shelf) -> frozenset[str]:
    """Roles that need no material because of what was chosen for others: sliders, where zips are ready made."""
    chain = [shelf.materials.get(layer.material_id) for layer in stacks.get("zip_chain", ())[:1]]
    return frozenset({"slider"} if any(one and is_ready_made(one, shelf) for one in chain) else ())


def is_ready_made(material: Material, shelf: Shelf) -> bool:
    """Whether it is a zip that is sold, but nowhere by length: then each one comes with stops and slider."""
    offers = shelf.offers_for(material.id)
    return material.kind is MaterialKind.ZIP and bool(offers) and not any(isinstance(o, OfferByLength) for o in offers)


def sheet_need(
    material: Material, cuts: Sequence[CutPiece], lengths_mm: Iterable[tuple[float, float]], run: int
) -> Need:
    """Need for one sheet: length to buy at each shop width, and the area of the pieces themselves."""
    area = math.fsum(cut.region.area_mm2 * cut.count * run for cut in cuts if cut.material_id == material.id)
    return Need(material_id=material.id, name=material.name, lengths_mm_by_width=tuple(lengths_mm), area_mm2=area)


def notion_needs(notions: Sequence[tuple[NotionNeed, Material]], run: int, shelf: Shelf) -> tuple[Need, ...]:
    """Needs for the bought parts of a run; parts made of one material are bought together.

    Of ready-made zips, those that the same lengths do for.
    """
    needs: list[Need] = []
    for material in dict.fromkeys(material for _, material in notions):
        own = [notion for notion, chosen in notions if chosen is material]
        if is_ready_made(material, shelf):
            needs += _ready_made_needs(material, own, run)
            continue
        lengths = [notion.count * notion.length_mm for notion in own if notion.length_mm is not None]
        if lengths:
            needs.append(Need(material_id=material.id, name=material.name, length_mm=run * math.fsum(lengths)))
        count = sum(notion.count for notion in own if notion.length_mm is None)
        if count:
            needs.append(Need(material_id=material.id, name=material.name, count=run * count))
    return tuple(needs)


def _ready_made_needs(material: Material, notions: Sequence[NotionNeed], run: int) -> Iterator[Need]:
    for fit in dict.fromkeys(notion.ready_made for notion in notions):
        count = sum(notion.count for notion in notions if notion.ready_made == fit)
        yield Need(material_id=material.id, name=material.name, count=run * count, each=fit)


def thread_on(shelf: Shelf) -> Material:
    """The thread that seams are reckoned with: the first one on the shelf that is not retired."""
    for material in shelf.materials.values():
        if material.kind is MaterialKind.THREAD and not material.retired:
            return material
    remedy = "Add a thread with a price to the shelf."
    problem = Problem(place="materials", value="", what="no thread on the shelf", allowed="one thread", remedy=remedy)
    raise FaultyInput([problem])


def whole_mass_g(
    cuts: Sequence[CutPiece],
    notions: Sequence[tuple[NotionNeed, Material]],
    threads: Sequence[ThreadUse],
    shelf: Shelf,
) -> float:
    """Mass of one bag: every cut piece with its allowances, every bought part, the thread. Raises `FaultyInput`."""
    faults = Faults()
    sheets: list[tuple[float, float]] = []
    for cut in cuts:
        with faults:
            place = f"materials.{cut.material_id}"
            material = shelf.material(cut.material_id, place=place)
            mass = known(material, material.mass_gsm, "weight", place=f"{place}.mass_gsm")
            sheets.append((cut.region.area_mm2 * cut.count, mass.value))
    lengths: list[tuple[float, float]] = []
    each: list[float] = []
    for notion, material in notions:
        with faults:
            place = f"materials.{material.id}"
            if notion.length_mm is None:
                each.append(
                    notion.count * known(material, material.mass_each_g, "weight", place=f"{place}.mass_each_g").value
                )
            else:
                mass = known(material, material.mass_gpm, "weight a metre", place=f"{place}.mass_gpm")
                lengths.append((notion.count * notion.length_mm, mass.value))
    with faults:
        thread = thread_on(shelf)
        mass = known(thread, thread.mass_gpm, "weight a metre", place=f"materials.{thread.id}.mass_gpm")
        lengths.append((math.fsum(use.thread_mm for use in threads), mass.value))
    faults.raise_if_any()
    return bag_mass_g(sheets, lengths=lengths, items_g=each)
