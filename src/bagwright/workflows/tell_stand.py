"""`bagwright stand`: whether a panel that is held at its sides and foot stays flat under its own weight."""

from __future__ import annotations

from dataclasses import asdict

from pydantic import Field

from bagwright.body.held_panel import held_panel_body, holds_in_a_bag, needed_bending_length_mm
from bagwright.model.held_panel import HeldPanel, HeldPanelBody
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.bow_words import NOT_COUNTED, bow_sentence, told_span
from bagwright.workflows.contracts import read_contract
from bagwright.workflows.layer_words import StackWords, crosswise_sheets, lengthwise_sheets


class StandWords(StackWords):
    """What `bagwright stand` reads."""

    width_mm: float = Field(ge=10, le=5_000, description="width of the panel in mm, 10 to 5000")
    height_mm: float = Field(ge=10, le=5_000, description="height of the panel in mm, 10 to 5000")
    depth_mm: float = Field(
        default=0, ge=0, le=5_000, description="depth of the bag in mm, 0 to 5000; 0: nothing holds the panel's sides"
    )


def stand_of_file(text: bytes) -> tuple[HeldPanel, HeldPanelBody]:
    """The panel that JSON `text` describes, and what it does. Raises `FaultyInput` with every fault."""
    words = read_contract(text, StandWords)
    least, most = holds_in_a_bag(words.depth_mm)
    panel = HeldPanel(
        name="panel",
        width_mm=words.width_mm,
        height_mm=words.height_mm,
        sheets=tuple(lengthwise_sheets(words.layers)),
        sheets_across=tuple(crosswise_sheets(words.layers)),
        least=least,
        most=most,
    )
    return panel, held_panel_body(panel)


def stand_as_json(told: tuple[HeldPanel, HeldPanelBody]) -> dict[str, object]:
    """The answer of `bagwright stand`."""
    panel, body = told
    return {
        "stance": body.stance.value,
        "weight_multiplier": asdict(body.weight_multiplier),
        "flat_height_mm": asdict(body.flat_height_mm),
        "needed_bending_length_mm": needed_bending_length_mm(panel),
        "bow_mm": asdict(body.bow_mm),
        "sink_mm": asdict(body.sink_mm),
        "may_fold": body.may_fold,
        "shape": [list(row) for row in body.shape],
    }


def stand_in_words(told: tuple[HeldPanel, HeldPanelBody], units: UnitSystem) -> str:
    """The answer for the maker."""
    _, body = told
    times = told_span(f"{body.weight_multiplier.low:.2g}", f"{body.weight_multiplier.high:.2g}")
    flat = told_span(*(print_length(end, units).text for end in (body.flat_height_mm.low, body.flat_height_mm.high)))
    return (
        f"{bow_sentence('panel', body, lambda length_mm: print_length(length_mm, units).text)}\n"
        f"It bears {times} times its own weight before it bows, and would stay flat up to {flat} high.\n"
        f"{NOT_COUNTED}"
    )
