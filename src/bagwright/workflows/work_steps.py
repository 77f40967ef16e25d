"""The order of work of a bag that is made of something: cutting and fusing before, a last look after."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.making import listed
from bagwright.drafting.order_of_work import order_of_work
from bagwright.model.heat import FusePlan, Fusing
from bagwright.model.pattern import Pattern, Seam, Stage
from bagwright.model.work_step import WorkStep
from bagwright.workflows.cut_list import Stacks, layers_on
from bagwright.workflows.held_steps import held_steps
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.thread_use import layers_met
from bagwright.workflows.zone_heat import fused_layers

_PRESSES = re.compile(r"\bpress\b", re.IGNORECASE)


def work_steps(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[WorkStep, ...]:
    """Cut out, hold inner layers, every step of the pattern with the layers of its cloth, a last look. Lengths in mm.

    Raises `FaultyInput` for a role that is made of nothing yet.
    """

    def layers_of(seam: Seam) -> int:
        return sum(seam.layers_of(side) * len(layers_met(side, pattern, stacks)) for side in seam.sides)

    sewn = order_of_work(pattern, layers_of=layers_of)
    first = [step for step in sewn if step.stage is Stage.PREPARE]
    rest = [step for step in sewn if step.stage is not Stage.PREPARE]
    steps = [_cut_out(pattern), *first, *backing_steps(pattern, stacks, shelf), *rest]
    steps.append(_last_look(pattern, steps))
    return tuple(replace(_minding_the_iron(step), number=number) for number, step in enumerate(steps, start=1))


def _minding_the_iron(step: WorkStep) -> WorkStep:
    """The step with the caution of the hot iron if it says to press anything."""
    if cautions.IRON in step.cautions or not _PRESSES.search(step.name):
        return step
    return replace(step, cautions=(cautions.IRON, *step.cautions))


def _cut_out(pattern: Pattern) -> WorkStep:
    ids = tuple(piece.id for piece in pattern.pieces if not piece.is_bought)
    name = "Cut all pieces out and mark notches and lines"
    return WorkStep(number=0, stage=Stage.PREPARE, name=name, piece_ids=ids, cautions=(cautions.BLADE,), id="cut")


def backing_steps(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Iterator[WorkStep]:
    """One step for each fused layer of each role, from the cloth inwards, as its heat plan says, then for each that is
    basted or quilted; a layer that covers a zone goes on the pieces that have it."""
    for role in dict.fromkeys(piece.role for piece in pattern.pieces if not piece.is_bought):
        pieces = [piece for piece in pattern.pieces if piece.role == role]
        stack = stacks.get(role, ())
        for layer, joint in fused_layers(stack, shelf, place=f"stacks.{role}") if stack else ():
            own = [piece for piece in pieces if layer in layers_on(piece, stacks)]
            names = listed([f"{p.name[0].lower()}{p.name[1:]}" for p in own])
            where = f"{names}, on the {layer.zone} only" if layer.zone else names
            name, told = _fuse(joint, where)
            ids = tuple(piece.id for piece in own)
            if own:
                yield WorkStep(
                    number=0,
                    stage=Stage.FUSE,
                    name=name,
                    piece_ids=ids,
                    cautions=told,
                    id=":".join(filter(None, ("fuse", role, layer.material_id, layer.zone))),
                    layer=layer,
                )
        yield from held_steps(role, pieces, pattern, stacks, shelf)


def _fuse(joint: FusePlan, names: str) -> tuple[str, tuple[str, ...]]:
    """What to do, and what to mind."""
    if joint.verdict is Fusing.CANNOT:
        return f"Hold {joint.inner} to: {names}, without the iron", (*joint.conflicts, *joint.ways_out[:1])
    how = f"press from the side of {joint.press_on}, iron at {joint.setting}, as its leaflet says, and let it cool flat"
    test = "" if joint.verdict is Fusing.CAN else "; test it on a scrap first"
    return f"Fuse {joint.inner} to: {names}; {how}{test}", (cautions.IRON,)


def _last_look(pattern: Pattern, steps: Sequence[WorkStep]) -> WorkStep:
    """Whatever there is to mind that no step has told."""
    told = {caution for step in steps for caution in step.cautions}
    left = tuple(c for c in pattern.cautions if c not in told and c not in (cautions.IRON, cautions.NEEDLE))
    name = "Press, trim the threads and look the bag over"
    return WorkStep(number=0, stage=Stage.CLOSE, name=name, cautions=left, id="finish")
