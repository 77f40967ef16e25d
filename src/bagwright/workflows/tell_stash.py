"""`bagwright stash`: pieces of a stash found by what is known of them; and the stash written in the same fields."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, FailFast, Field, model_validator

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.money import Money
from bagwright.model.stash import SideUp, StashPiece
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.contracts import Contract, Faults, read_contract
from bagwright.workflows.json_text import shown
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.stash_finding import StashSize, size_of, which_can_be_cut
from bagwright.workflows.stash_wishes import GrainWish, StashOrder, StashWish, in_order

_SIX_PLACES = Decimal("0.000001")

Coordinate = Annotated[float, Field(ge=-1e6, le=1e6)]
Corner = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]


def _closed_line(outline: list[list[float]]) -> list[list[float]]:
    fault = ring_fault([(x, y) for x, y in outline])
    if fault:
        allowed = "corners in order along a closed line that does not cross or touch itself"
        raise FaultyInput([_problem("", "", fault, allowed, "Correct its corners.")])
    return outline


Line = Annotated[list[Corner], FailFast(), AfterValidator(_closed_line)]


class StashPieceWords(Contract):
    """One piece of the stash."""

    id: str = Field(min_length=1, max_length=200, description="id of the piece, 1 to 200 characters, each once")
    material: str = Field(default="", max_length=200, description="what it is, up to 200 characters")
    outline: Line = Field(
        min_length=3, max_length=5000, description="its outline as a list of 3 to 5000 corners [x, y] in mm"
    )
    holes: list[Line] = Field(default=[], max_length=100, description="holes in it, a list of up to 100 closed lines")
    flaws: list[Line] = Field(
        default=[], max_length=200, description="parts that nothing is cut from, a list of up to 200 closed lines"
    )
    lesser: list[Line] = Field(
        default=[], max_length=200, description="parts of lesser grade, a list of up to 200 closed lines"
    )
    grain_deg: float | None = Field(
        default=None, ge=-360, le=360, description="direction of its lengthwise grain in degrees, -360 to 360, or null"
    )
    motif: Corner | None = Field(
        default=None, description="a point [x, y] of it where a motif of its print lies, in mm, or null"
    )
    side_up: SideUp = Field(default=SideUp.RIGHT, description="one of: " + ", ".join(SideUp))
    bin: str = Field(default="", max_length=120, description="where it lies, up to 120 characters")
    came_from: str = Field(default="", max_length=120, description="what it was left from, up to 120 characters")
    dated: date | None = Field(default=None, description='when it came in, as "2026-03-01", or null', strict=False)
    value: str | None = Field(
        default=None,
        max_length=40,
        description='its value in up to 40 characters, an amount and a currency, "1.50 USD", or null',
    )
    note: str = Field(default="", max_length=500, description="a note, up to 500 characters")

    @model_validator(mode="after")
    def _holes_lie_inside(self) -> StashPieceWords:
        whole = Region.from_ring(_ring(self.outline))
        for number, hole in enumerate(self.holes):
            if not whole.holds(Region.from_ring(_ring(hole)), slack_mm=1e-6):
                what, allowed = "reaches outside the outline", "holes within the outline"
                raise FaultyInput([_problem(f"holes[{number}]", "", what, allowed, "Correct its corners.")])
        return self


class SizeWords(Contract):
    """A rectangle that is looked for."""

    one_mm: float = Field(gt=0, le=20_000, description="one side in mm, above 0, at most 20000")
    other_mm: float = Field(gt=0, le=20_000, description="the other side in mm, above 0, at most 20000")
    along_grain: bool = Field(default=False, description="true: one_mm runs along the grain; false: either side")


class StashWords(Contract):
    """What `bagwright stash` reads."""

    pieces: list[StashPieceWords] = Field(max_length=2000, description="list of up to 2000 pieces")
    at_least: SizeWords | None = Field(default=None, description="a size that is looked for, or null")
    material: str = Field(
        default="", max_length=200, description="only this material, up to 200 characters; empty: any"
    )
    grain: GrainWish = Field(default=GrainWish.ANY, description="one of: " + ", ".join(GrainWish))
    bin: str = Field(default="", max_length=120, description="words of where it lies, up to 120 characters; empty: any")
    dated_from: date | None = Field(
        default=None, description='only what came in on this day or later, as "2026-03-01", or null', strict=False
    )
    dated_to: date | None = Field(
        default=None, description='only what came in on this day or earlier, as "2026-03-01", or null', strict=False
    )
    worth_from: str | None = Field(
        default=None,
        max_length=40,
        description='only what is worth so much or more, up to 40 characters, as "1.50 USD", or null',
    )
    worth_to: str | None = Field(
        default=None,
        max_length=40,
        description='only what is worth so much or less, up to 40 characters, as "1.50 USD", or null',
    )
    order: StashOrder = Field(default=StashOrder.LARGEST, description="one of: " + ", ".join(StashOrder))

    @model_validator(mode="after")
    def _ids_differ(self) -> StashWords:
        times = Counter(piece.id for piece in self.pieces)
        problems = [
            _problem(f"pieces[{number}].id", shown(piece.id), "is used more than once", "each id once", "Rename it.")
            for number, piece in enumerate(self.pieces)
            if times[piece.id] > 1
        ]
        if problems:
            raise FaultyInput(problems)
        return self


@dataclass(frozen=True, slots=True)
class FoundPiece:
    """A piece with its largest rectangle and whether the size can be cut from it, if one was asked for."""

    id: str
    material: str
    bin: str
    area_mm2: float
    size: StashSize
    fits: bool | None


def stash_of_file(data: bytes) -> tuple[FoundPiece, ...]:
    """The pieces that are what that JSON looks for, those that fit first, then in its order. Raises `FaultyInput`."""
    words = read_contract(data, StashWords)
    wish, size = _wish(words), words.at_least
    faults, pieces = Faults(), list[StashPiece]()
    for one in words.pieces:
        with faults:
            pieces.append(stash_piece_from(one))
    faults.raise_if_any()
    # By area first, and by name: what is alike in the order asked for stays so.
    pieces.sort(key=lambda piece: (-piece.region.area_mm2, piece.id))
    pieces = in_order([piece for piece in pieces if wish.allows(piece)], wish.order, lambda piece: piece)
    fits: list[bool | None] = [None] * len(pieces)
    if size:
        fits[:] = which_can_be_cut(pieces, size.one_mm, size.other_mm, along=size.along_grain)
    found = [_found(piece, does_fit) for piece, does_fit in zip(pieces, fits, strict=True)]
    return tuple(sorted(found, key=lambda one: one.fits is False))


def _wish(words: StashWords) -> StashWish:
    """All that is looked for but the size: what lacks that alone is told, too."""
    faults, worth = Faults(), dict[str, Money]()
    for name, text in (("worth_from", words.worth_from), ("worth_to", words.worth_to)):
        if text is not None:
            with faults:
                worth[name] = _money(text, place=name)
    faults.raise_if_any()
    return StashWish(
        material_id=words.material,
        grain=words.grain,
        bin=words.bin,
        dated_from=words.dated_from,
        dated_to=words.dated_to,
        worth_from=worth.get("worth_from"),
        worth_to=worth.get("worth_to"),
        order=words.order,
    )


def _money(text: str, *, place: str) -> Money:
    amount, _, currency = text.partition(" ")
    return money_from(amount, currency, place=place)


def _found(piece: StashPiece, fits: bool | None) -> FoundPiece:
    return FoundPiece(piece.id, piece.material_id, piece.bin, piece.region.area_mm2, size_of(piece), fits)


def stash_piece_from(words: StashPieceWords) -> StashPiece:
    """The piece that JSON describes; its material is named as it is there. Raises `FaultyInput` for its value."""
    return StashPiece(
        id=words.id,
        material_id=words.material,
        outer=tuple(_ring(words.outline)),
        holes=tuple(tuple(_ring(hole)) for hole in words.holes),
        grain_deg=words.grain_deg,
        side_up=words.side_up,
        bin=words.bin,
        came_from=words.came_from,
        dated=words.dated,
        value=_money(words.value, place=f"{words.id}.value") if words.value else None,
        note=words.note,
        flaws=tuple(tuple(_ring(flaw)) for flaw in words.flaws),
        lesser=tuple(tuple(_ring(part)) for part in words.lesser),
        motif=(words.motif[0], words.motif[1]) if words.motif else None,
    )


def _ring(outline: Sequence[Sequence[float]]) -> list[tuple[float, float]]:
    """Corners without the first repeated at the end."""
    ring = [(x, y) for x, y in outline]
    return ring[:-1] if len(ring) > 3 and ring[0] == ring[-1] else ring


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)


def stash_as_json(found: Sequence[FoundPiece]) -> dict[str, object]:
    """The answer of `bagwright stash`."""
    return {
        "pieces": [
            {
                "id": one.id,
                "area_mm2": one.area_mm2,
                "largest": {
                    "length_mm": one.size.length_mm,
                    "width_mm": one.size.width_mm,
                    "x_mm": one.size.x_mm,
                    "y_mm": one.size.y_mm,
                    "turn_deg": one.size.turn_deg,
                },
                "fits": one.fits,
            }
            for one in found
        ]
    }


def stash_in_words(found: Sequence[FoundPiece], units: UnitSystem) -> str:
    """The answer for the maker."""
    if not found:
        return "Nothing in the stash is what you look for."
    asked = found[0].fits is not None
    fitting = [one for one in found if one.fits is not False]
    if asked and not fitting:
        return "The size can be cut from none of these pieces."
    lines = [
        f"{one.id}{f', {one.material}' if one.material else ''}{f', in {one.bin}' if one.bin else ''}: holds "
        f"{print_length(one.size.length_mm, units).text} x {print_length(one.size.width_mm, units).text}"
        for one in fitting
    ]
    return "\n".join(["It can be cut from:" if asked else "In the stash:", *lines])


def _value_text(value: Money) -> str:
    """As it is read: to the six places that an amount may have."""
    return f"{value.amount.quantize(_SIX_PLACES).normalize():f} {value.currency}"


def stash_as_file(pieces: Iterable[StashPiece], names: Mapping[str, str]) -> bytes:
    """The stash as JSON in the fields that `bagwright stash` reads, a piece a line; `names`: of materials by id."""
    lines = (json.dumps(_piece_words(piece, names), allow_nan=False) for piece in pieces)
    return ('{"pieces": [\n' + ",\n".join(lines) + "\n]}\n").encode()


def _piece_words(piece: StashPiece, names: Mapping[str, str]) -> dict[str, object]:
    return {
        "id": piece.id,
        "material": names.get(piece.material_id, piece.material_id)[:200],
        "outline": piece.outer,
        "holes": piece.holes,
        "flaws": piece.flaws,
        "lesser": piece.lesser,
        "grain_deg": piece.grain_deg,
        "motif": piece.motif,
        "side_up": piece.side_up.value,
        "bin": piece.bin,
        "came_from": piece.came_from[:120],
        "dated": piece.dated.isoformat() if piece.dated else None,
        "value": _value_text(piece.value) if piece.value else None,
        "note": piece.note,
    }
