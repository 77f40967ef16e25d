"""What readings of the ruler test tell, in words: for a material, and for a scrap of two."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from urllib.parse import quote

from bagwright.errors import Problem
from bagwright.model.home_tests import DirectionFinding, ReadingGroup
from bagwright.model.source import Reading
from bagwright.units import UnitSystem, print_length
from bagwright.web.pages import Check, Field, Paper
from bagwright.web.wording import Wording

FINEST = 16
FACES = (("up", "right side up"), ("down", "right side down"))
STEPS = (
    "Cut strips 1 in (25 mm) wide and 8 in (20 cm) long, longer if it is stiff. Let them lie flat for an hour.",
    "Print the slope card at 100 % and tape it to the side of the table, its corner at the edge.",
    "Lay a strip on the table at a right angle to the edge and the ruler on top, both flush with the edge.",
    "Push both out together, slowly. Stop when the tip of the strip touches the line on the card.",
    "Read on the ruler how far it hangs over. Turn the strip over and do it again; then the next strip.",
)
CAUTIONS = (
    "Rotary blade: cut on a mat along a metal edge, away from your fingers, and close the blade as you put it down.",
)


def length(length_mm: float, units: UnitSystem) -> str:
    """A length read off a ruler: to 1/16 in, or in millimetres as she types it."""
    if units is UnitSystem.METRIC:
        return f"{round(length_mm, 1):g} mm"
    return print_length(length_mm, units, fraction=FINEST).text


def ranged(reading: Reading, units: UnitSystem) -> str:
    """An overhang with its range."""
    return _ranged([length(end, units) for end in (reading.value, reading.low, reading.high)])


def _ranged(told: Sequence[str]) -> str:
    value, low, high = told
    return value if low == high else f"{value} ({low.rpartition(' ')[0]} to {high.rpartition(' ')[0]})"


def angle_field(text: str, problems: Sequence[Problem]) -> Field:
    """The slope of her card."""
    hint = "As it is printed on the card, in degrees. 41.5 is usual; 5 to 80 will do."
    return plain_field("angle_deg", "Slope of the card", hint, text, problems)


def faces_fields(
    direction: str, texts: Mapping[str, str], problems: Sequence[Problem], units: UnitSystem
) -> tuple[Field, ...]:
    """The readings of both faces."""
    inches = "In inches, such as 3 1/4, 3 3/8, or in millimetres: 82, 84, 83 mm"
    hint = "In millimetres, such as 82, 84, 83" if units is UnitSystem.METRIC else inches
    return tuple(
        plain_field(
            f"{direction}_{face}", told.capitalize(), f"{hint}.", texts.get(f"{direction}_{face}", ""), problems
        )
        for face, told in FACES
    )


def plain_field(name: str, label: str, hint: str, value: str, problems: Sequence[Problem]) -> Field:
    """A field with every fault that was found in it."""
    told = " ".join(problem.words() for problem in problems if problem.place == name)
    return Field(id=name.replace("_", "-"), name=name, label=label, value=value, hint=hint, problem=told)


def slope_cards(angle: str) -> tuple[Paper, ...]:
    """The card to print, at the angle typed."""
    asked = f"?angle_deg={quote(angle.strip())}" if angle.strip() else ""
    return (
        Paper("Slope card, A4", f"/ruler-test/slope-card-a4.pdf{asked}"),
        Paper("Slope card, Letter", f"/ruler-test/slope-card-letter.pdf{asked}"),
    )


def stands_words(stands: Reading, say: Wording) -> str:
    """What the overhang means to her."""
    ends = (stands.value, stands.low, stands.high)
    high = _ranged([print_length(end, say.units, fraction=FINEST).text for end in ends])
    return f"A strip of it stands about {high} high by itself before it folds over."


def reading_error_words(found: DirectionFinding, units: UnitSystem) -> str:
    """What a millimetre read too much does."""
    error = "1 mm" if units is UnitSystem.METRIC else "1 mm (a little over 1/32 in)"
    share = f"{found.one_mm_more:.0%}".replace("%", " %")
    return f"Reading {error} too much every time would make it look {share} stiffer than it is."


def outlier_checks(direction: str, found: DirectionFinding, units: UnitSystem) -> Iterator[Check]:
    """A box to tick for each face with a reading that stands out: count it, or leave it out."""
    for (face, told), group in zip(FACES, (found.face_up, found.face_down), strict=True):
        if group and group.outliers_mm:
            name = f"keep_{direction}_{face}"
            yield Check(name.replace("_", "-"), name, _outlier_words(group, told, units), _counts(group))


def _counts(group: ReadingGroup) -> bool:
    return set(group.outliers_mm) <= set(group.kept_mm)


def _outlier_words(group: ReadingGroup, face: str, units: UnitSystem) -> str:
    far = [length(reading, units) for reading in group.outliers_mm]
    listed = " and ".join([", ".join(far[:-1]), far[-1]]) if len(far) > 1 else far[0]
    many = len(far) > 1
    rest = (
        "they stand out from the others and are left out" if many else "it stands out from the others and is left out"
    )
    return f"Count {listed}, {face}, too. Without the tick: {rest}."
