"""`bagwright measure`: which test at home would tell most about the panels at hand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pydantic import Field

from bagwright.body.held_panel import needed_bending_length_mm
from bagwright.body.paying import paying_tests
from bagwright.body.standing import STANDING_HEIGHT_PER_BENDING_LENGTH
from bagwright.model.pattern import Pattern
from bagwright.model.paying import DoubtfulPanel, PayingTest
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.cut_list import Stacks
from bagwright.workflows.held_stance import held_panel, is_flat_face
from bagwright.workflows.layer_words import LayerWords, lengthwise_sheets
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import panel_sheets


class DoubtfulPanelWords(Contract):
    """One panel."""

    layers: list[LayerWords] = Field(
        min_length=1, max_length=40, description="list of 1 to 40 layers, from the outside in"
    )
    needed_bending_length_mm: float | None = Field(
        default=None, ge=0.1, le=5_000, description="bending length that it needs to stand in mm, 0.1 to 5000, if any"
    )


class MeasureWords(Contract):
    """What `bagwright measure` reads."""

    panels: list[DoubtfulPanelWords] = Field(min_length=1, max_length=50, description="list of 1 to 50 panels")


def measure_of_file(text: bytes) -> tuple[PayingTest, ...]:
    """The tests that pay for the panels that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, MeasureWords)
    return paying_tests(
        [
            DoubtfulPanel(
                sheets=tuple(lengthwise_sheets(panel.layers)),
                needed_bending_length_mm=panel.needed_bending_length_mm,
            )
            for panel in words.panels
        ]
    )


def doubtful_panels(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[DoubtfulPanel, ...]:
    """Every panel of a bag with what it needs, in the pattern's order. Raises `FaultyInput` as they lack readings.

    An upright panel needs what keeps it flat between its neighbours, or as a strip where that model does not fit.
    """
    panels = []
    for panel in pattern.panels:
        needed = None
        if is_flat_face(panel, pattern):
            needed = needed_bending_length_mm(held_panel(panel, pattern, stacks, shelf))
        elif panel.is_upright:
            needed = panel.height_mm / STANDING_HEIGHT_PER_BENDING_LENGTH
        sheets = tuple(panel_sheets(panel, pattern, stacks, shelf))
        panels.append(DoubtfulPanel(sheets=sheets, needed_bending_length_mm=needed))
    return tuple(panels)


def measure_as_json(tests: Sequence[PayingTest]) -> dict[str, object]:
    """The answer of `bagwright measure`."""
    return {
        "tests": [
            {
                "test": test.test.value,
                "names": list(test.names),
                "narrows": test.narrows,
                "settles": test.settles,
                "says": test.says,
            }
            for test in tests
        ]
    }


def measure_in_words(tests: Sequence[PayingTest], units: UnitSystem) -> str:
    """The answer for the maker; shares have no units."""
    if not tests:
        return "The readings leave nothing in doubt here."
    best, *others = tests
    return "\n".join([f"{best.says}: it tells most ({_brings(best)}).", *_others(others)])


def _others(tests: Iterable[PayingTest]) -> Iterable[str]:
    return (f"  {test.says}: {_brings(test)}." for test in tests)


def _brings(test: PayingTest) -> str:
    settles = f"settles {test.settles:.0%} of what may stand or not, " if test.settles else ""
    return f"{settles}takes {test.narrows:.0%} off the doubt"
