"""What searches found for a bag, as tables: changes that save, and scraps under its layers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.model.saving import Saving
from bagwright.workflows.covering import CoveredTemplate, ScrapCovers
from bagwright.workflows.saving_words import refused_said, saving_said
from bagwright.workflows.savings import BagSavings
from bagwright.workflows.tables import Row, plain_row


def savings_rows(found: BagSavings) -> Iterator[Row]:
    """One row for each change alone, those that save most first, then for the best of them together.

    `way`: "alone", "alone, saves nothing", "together", "to your price", "not possible".
    """
    savings = found.savings
    yield from (_saving(found, one, "alone") for one in savings.ranked)
    yield from (_saving(found, one, "alone, saves nothing") for one in savings.dear)
    if savings.together:
        yield _saving(found, savings.together, "together")
    if found.reached and found.reached.found:
        yield _saving(found, found.reached.found, "to your price")
    for key in savings.refused:
        yield {"way": "not possible", "changes": [key], "says": refused_said(found, key)}


def _saving(found: BagSavings, saving: Saving, way: str) -> Row:
    return {
        "way": way,
        "changes": list(saving.changes),
        "says": saving_said(found, saving).says,
        "saves": plain_row(saving.saves(found.savings.now)),
        "then": plain_row(saving.outcome),
    }


def covers_rows(found: Sequence[ScrapCovers]) -> Iterator[Row]:
    """One row for each scrap under a template, in the order in which they are laid, then one for what is left."""
    for material in found:
        for number, done in enumerate(material.done, start=1):
            yield from _cover(material, done, number)
        for left in material.left:
            row = {"material_id": material.material.id, "material": material.material.name}
            yield row | {"template": material.names[left.template_id], "copies_left": left.count}


def _cover(found: ScrapCovers, done: CoveredTemplate, number: int) -> Iterator[Row]:
    cover, worth = done.covered.cover, done.worth
    for place, one in enumerate(cover.placements, start=1):
        yield {
            "material_id": found.material.id,
            "material": found.material.name,
            "template": done.name,
            "cover": number,
            "laid": place,
            "scrap_id": one.id,
            "turn_deg": one.turn_deg,
            "x_mm": one.x_mm,
            "y_mm": one.y_mm,
            "kept_mm2": sum(part.area_mm2 for part in one.kept),
            "is_enough": cover.is_enough,
            "measures": plain_row(cover.measures),
            "saved": plain_row(worth.saved) if worth else None,
            "minutes": worth.minutes if worth else None,
        }
