"""What is missing before a bag can be told whole, each with the place where she can put it right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from bagwright.errors import Problem

_RUNNING = frozenset({"overhead", "small_supplies"})
_MEASURED = frozenset({"mass_gsm", "thickness_mm", "overhang_mm"})


@dataclass(frozen=True, slots=True)
class Lack:
    """One thing that is missing; no `href` where only the words help."""

    words: str
    href: str = ""
    link: str = ""


def lacks_of(problems: Iterable[Problem], bag_id: str) -> tuple[Lack, ...]:
    """Every problem in words, with a link to the material or the layers that it is about.

    >>> missing = Problem(place="materials.felt.overhang_mm", value="felt", what="has no stiffness yet",
    ...                   allowed="a measured value", remedy="Add it.")
    >>> lacks_of([missing], "tote")
    (Lack(words='Felt has no stiffness yet. Add it.', href='/materials/felt/measure', link='Measure it'),)
    """
    return tuple(Lack(problem.words(with_allowed=False), *_way(problem.place, bag_id)) for problem in problems)


def _way(place: str, bag_id: str) -> tuple[str, str]:
    room, _, rest = place.replace("[", ".").replace("]", "").partition(".")
    if room == "materials" and rest:
        material_id, _, name = rest.rpartition(".")
        if name in _MEASURED:
            return f"/materials/{quote(material_id)}/measure", "Measure it"
        if not material_id:
            return f"/bags/{quote(bag_id)}/layouts/{quote(rest)}", "See how it is cut"
        if name == "offers":
            return f"/materials/{quote(material_id)}#offers-title", "Add a price"
        return f"/materials/{quote(material_id)}", "Open it"
    if room == "stacks" and rest:
        return f"/bags/{quote(bag_id)}#role-{quote(rest.partition('.')[0])}", "Choose"
    if room in _RUNNING:
        return "/workroom/costs", "Open the running costs"
    return "", ""
