"""What a material lacks before a bag of it can be worked out, and how she comes by it."""

from __future__ import annotations

from bagwright.model.material import Material
from bagwright.model.source import Reading, SourceKind

_NEEDED = (
    ("mass_gsm", "weight", "look for oz or gsm on the label, or weigh a piece on the kitchen scale"),
    ("thickness_mm", "thickness", "look for mm or fractions of an inch on the label, or measure a stack"),
    ("overhang_mm", "stiffness", "no label tells it: do the ruler test"),
)


def next_steps(material: Material) -> tuple[str, ...]:
    """What to find out next, the most useful first; empty once everything needed is measured or on a label.

    >>> from bagwright.model.material import MaterialKind
    >>> next_steps(Material(id="foam", name="Foam", kind=MaterialKind.FOAM))[0]
    'No weight yet: look for oz or gsm on the label, or weigh a piece on the kitchen scale.'
    """
    if not material.kind.is_sheet:
        return ()
    readings = [(getattr(material, name), word, how) for name, word, how in _NEEDED]
    missing = [f"No {word} yet: {how}." for reading, word, how in readings if reading is None]
    only_usual = [word for reading, word, _ in readings if is_usual(reading)]
    if only_usual and not missing:
        missing = [_instead_of_usual(only_usual)]
    if material.fusible_sides and material.glue_needs_c is None:
        missing.append("How hot its glue must get stands in the leaflet of the fusible.")
    return tuple(missing)


def _instead_of_usual(words: list[str]) -> str:
    told = " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
    verb = "are" if len(words) > 1 else "is"
    how = "A strip and a ruler" if words == ["stiffness"] else "The label or a few minutes at the kitchen table"
    return f"{told.capitalize()} {verb} only what is usual. {how} tell yours."


def is_usual(reading: Reading | None) -> bool:
    """Whether it is that of a kind, not of this material."""
    return reading is not None and reading.source.kind is SourceKind.TYPICAL
