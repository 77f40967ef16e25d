"""Bonds that the maker has tested, as JSON beside the materials of a shelf."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pydantic import Field

from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Bond, KeptBond
from bagwright.model.material import Held
from bagwright.workflows.contracts import Contract, reading
from bagwright.workflows.layer_words import Share, SwatchWords, swatch_of_words


class KeptBondWords(Contract):
    """How firmly two materials of the shelf hold to each other, from a scrap of the two."""

    outer_id: str = Field(min_length=1, max_length=80, description="id of the outer material, 1 to 80 characters")
    inner_id: str = Field(min_length=1, max_length=80, description="id of the inner material, 1 to 80 characters")
    held: Held = Field(default=Held.FUSED, description="how the two are held: " + ", ".join(Held))
    share: Share | None = Field(default=None, description="share of bond, 0 (slides) to 1 (cannot slide), if known")
    swatch: SwatchWords | None = Field(default=None, description="ruler test on a bonded scrap, if there is one")


def bonds_from(words: Sequence[KeptBondWords], material_ids: frozenset[str]) -> tuple[KeptBond, ...]:
    """The bonds behind the words. Raises `FaultyInput` for materials that are not there and pairs told twice or empty.

    >>> bonds_from([KeptBondWords(outer_id="felt", inner_id="canvas", share=0.5)], frozenset({"felt", "canvas"}))[0].id
    'canvas+felt+fused'
    """
    bonds = tuple(_bond(one) for one in words)
    problems = [problem for number, one in enumerate(words) for problem in _unknown(one, number, material_ids)]
    for number, bond in enumerate(bonds):
        if bond.id in [other.id for other in bonds[:number]]:
            problems.append(_problem(f"bonds[{number}]", bond.id, "is told twice", "each pair once, either way round"))
        if bond.bond == Bond():
            problems.append(_problem(f"bonds[{number}]", bond.id, "tells nothing", "a share or a swatch"))
    if problems:
        raise FaultyInput(problems)
    return bonds


def _bond(words: KeptBondWords) -> KeptBond:
    share = reading(words.share) if words.share is not None else None
    swatch = swatch_of_words(words.swatch) if words.swatch else None
    bond = Bond(share=share, swatch=swatch)
    return KeptBond(outer_id=words.outer_id, inner_id=words.inner_id, bond=bond, held=words.held)


def _unknown(words: KeptBondWords, number: int, material_ids: frozenset[str]) -> Iterator[Problem]:
    for name in ("outer_id", "inner_id"):
        value = getattr(words, name)
        if value not in material_ids:
            allowed = "the id of a material in this file"
            yield _problem(f"bonds[{number}].{name}", value, "names no material", allowed)


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Correct it, or leave it out.")
