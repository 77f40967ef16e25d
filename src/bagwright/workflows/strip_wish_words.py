"""How strips are cut, as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pydantic import Field

from bagwright.errors import Problem
from bagwright.model.bands import StripWay, StripWish
from bagwright.model.pattern import Pattern
from bagwright.workflows.contracts import Contract


class StripWishWords(Contract):
    """How the strips of one material are cut, or those of one piece of it."""

    material_id: str = Field(min_length=1, max_length=80, description="the id of a material, 1 to 80 characters")
    way: StripWay = Field(description="one of: " + ", ".join(StripWay))
    piece_id: str = Field(
        default="", max_length=200, description="the id of a piece, up to 200 characters, or empty for all strips"
    )


def strip_wishes_from(words: Iterable[StripWishWords]) -> tuple[StripWish, ...]:
    """The wishes behind the words."""
    return tuple(StripWish(material_id=one.material_id, way=one.way, piece_id=one.piece_id) for one in words)


def strip_wish_as_words(wish: StripWish) -> dict[str, str]:
    """A wish as a file has it."""
    return {"material_id": wish.material_id, "way": wish.way.value, "piece_id": wish.piece_id}


def strip_problems(pattern: Pattern, wishes: Sequence[StripWish], material_ids: Iterable[str]) -> Iterator[Problem]:
    """What is wrong with wishes of a file: no such material or piece. The places are in `strip_wishes`."""
    pieces, materials = {piece.id for piece in pattern.pieces}, set(material_ids)
    for number, wish in enumerate(wishes):
        place = f"strip_wishes[{number}]"
        if wish.material_id not in materials:
            yield _problem(f"{place}.material_id", wish.material_id, "names no material", ", ".join(sorted(materials)))
        if wish.piece_id and wish.piece_id.partition(" (")[0] not in pieces:
            yield _problem(f"{place}.piece_id", wish.piece_id, "is no piece of this bag", ", ".join(sorted(pieces)))


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    remedy = "Correct it, or leave the wish out."
    return Problem(place=place, value=value[:80], what=what, allowed=allowed[:300], remedy=remedy)
