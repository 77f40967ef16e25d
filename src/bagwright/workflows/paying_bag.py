"""Which test at the kitchen table would tell most about one bag, and what of the shelf it is done on."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from bagwright.body.paying import paying_tests
from bagwright.body.stack import HOLDS_FLAT, bending_length_band_mm
from bagwright.model.body import Stance
from bagwright.model.material import Held, Layer
from bagwright.model.paying import HomeTest, PayingTest
from bagwright.workflows.desk import BagView
from bagwright.workflows.stance import panel_layers
from bagwright.workflows.tell_measure import doubtful_panels

MOST_LINES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class PayingLine:
    """One test and the material it is done on, or the outer and inner one of a bonded pair and how they are held."""

    test: PayingTest
    material_ids: tuple[str, ...]
    held: Held | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PayingForBag:
    """The tests that tell most, best first; `open_panels`: names of those that may stand or not."""

    lines: tuple[PayingLine, ...]
    open_panels: tuple[str, ...]


def paying_for_bag(view: BagView) -> PayingForBag:
    """The few tests that pay best and can be kept on the shelf. Raises `FaultyInput` for readings that are missing.

    A bonded scrap of three or more layers is left out: the shelf keeps pairs.
    """
    answer = view.answer
    panels = doubtful_panels(answer.pattern, answer.bag.stacks, view.shelf)
    in_doubt = [
        panel.name
        for panel, doubtful in zip(answer.pattern.panels, panels, strict=True)
        if doubtful.needed_bending_length_mm is not None
        and Stance.of(bending_length_band_mm(doubtful.sheets), doubtful.needed_bending_length_mm) is Stance.LEANS
    ]
    lines = (line for test in paying_tests(panels) for line in _line(test, view))
    return PayingForBag(lines=tuple(itertools.islice(lines, MOST_LINES)), open_panels=tuple(dict.fromkeys(in_doubt)))


def _line(test: PayingTest, view: BagView) -> Iterator[PayingLine]:
    """The test with the ids of its materials, if the shelf can keep what it finds."""
    answer, names = view.answer, {key: material.name for key, material in view.shelf.materials.items()}
    stacks = [panel_layers(panel, answer.pattern, answer.bag.stacks) for panel in answer.pattern.panels]
    if test.test is not HomeTest.SCRAP:
        ids = (layer.material_id for stack in stacks for layer in stack)
        yield PayingLine(test=test, material_ids=(next(one for one in ids if names[one] == test.names[0]),))
        return
    for outer, inner in _held_pairs(stacks):
        if (names[outer.material_id], names[inner.material_id]) == test.names:
            yield PayingLine(test=test, material_ids=(outer.material_id, inner.material_id), held=inner.held)
            return


def _held_pairs(stacks: Iterable[Sequence[Layer]]) -> Iterator[tuple[Layer, Layer]]:
    pairs = (pair for stack in stacks for pair in itertools.pairwise(stack))
    return ((outer, inner) for outer, inner in pairs if inner.held in HOLDS_FLAT)
