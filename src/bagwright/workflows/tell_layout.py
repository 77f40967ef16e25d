"""`bagwright lay`: pieces laid on cloth."""

from __future__ import annotations

from collections import Counter
from typing import Annotated, Literal

from pydantic import AfterValidator, Discriminator, FailFast, Field, Tag, model_validator

from bagwright.cutting.lay import lay_pieces
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings
from bagwright.model.piece import Mirror
from bagwright.units import UnitSystem, print_cloth_length, print_length
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.json_text import shown

MOST_COPIES = 2000
Coordinate = Annotated[float, Field(ge=-1e6, le=1e6)]
Corner = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]


def _closed_line(outline: list[list[float]]) -> list[list[float]]:
    fault = ring_fault([(x, y) for x, y in outline])
    if fault:
        allowed = "corners in order along a closed line that does not cross or touch itself"
        raise FaultyInput([_problem("", "", fault, allowed, "Correct its corners, or split it into two pieces.")])
    return outline


def _known_turns(value: object) -> Literal["as list", "as word"]:
    return "as word" if isinstance(value, str) else "as list"


Turn = Annotated[float, Field(ge=-360, le=360)]
Turns = Annotated[
    Annotated[list[Turn], Field(min_length=1, max_length=72), Tag("as list")]
    | Annotated[Literal["free"], Tag("as word")],
    Discriminator(_known_turns),
]


class LayPieceWords(Contract):
    """One shape and how often it is needed. Of a faulty outline only the first bad corner is told."""

    id: str = Field(min_length=1, max_length=200, description="name of the piece, 1 to 200 characters, each once")
    outline: Annotated[list[Corner], FailFast(), AfterValidator(_closed_line)] = Field(
        min_length=3, max_length=5000, description="cut outline as a list of 3 to 5000 corners [x, y] in mm"
    )
    count: int = Field(default=1, ge=1, le=MOST_COPIES, description="how many copies, a whole number from 1 to 2000")
    turns: Turns = Field(
        default=[0.0, 180.0], description='turns allowed from the outline: a list of degrees, or "free" for any'
    )
    mirror: Mirror = Field(default=Mirror.NO, description="one of: " + ", ".join(Mirror))

    @model_validator(mode="after")
    def _pairs_are_even(self) -> LayPieceWords:
        if self.mirror is Mirror.PAIRS and self.count % 2:
            what, remedy = "is odd, but pairs are asked for", 'Use an even count, or mirror "either".'
            raise FaultyInput([_problem("count", str(self.count), what, "an even number with pairs", remedy)])
        return self


class LayWords(Contract):
    """What `bagwright lay` reads."""

    width_mm: float = Field(gt=0, le=20_000, description="usable width of the cloth in mm, above 0, at most 20000")
    gap_mm: float = Field(default=0, ge=0, le=100, description="gap to keep between pieces in mm, 0 to 100")
    pieces: list[LayPieceWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 pieces")
    seconds: float = Field(default=5, ge=0, le=3600, description="how long to search in seconds, 0 to 3600")
    seed: int = Field(
        default=1, ge=0, le=2**31 - 1, description="a whole number, 0 to 2147483647, from which the search starts"
    )

    @model_validator(mode="after")
    def _ids_differ_and_copies_are_few(self) -> LayWords:
        times = Counter(piece.id for piece in self.pieces)
        problems = [
            _problem(f"pieces[{number}].id", shown(piece.id), "is used more than once", "each id once", "Rename it.")
            for number, piece in enumerate(self.pieces)
            if times[piece.id] > 1
        ]
        copies = sum(piece.count for piece in self.pieces)
        if copies > MOST_COPIES:
            allowed, remedy = f"at most {MOST_COPIES} copies of all pieces together", "Lay a smaller run."
            problems.append(_problem("pieces", str(copies), "copies are too many", allowed, remedy))
        if problems:
            raise FaultyInput(problems)
        return self


def layout_of_file(text: bytes) -> Layout:
    """A checked layout for the pieces that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, LayWords)
    request = LayRequest(width_mm=words.width_mm, gap_mm=words.gap_mm, pieces=tuple(map(_lay_piece, words.pieces)))
    return lay_pieces(request, settings=LaySettings(seconds=words.seconds, seed=words.seed))


def _lay_piece(piece: LayPieceWords) -> LayPiece:
    return LayPiece(
        id=piece.id,
        region=Region.from_ring([(x, y) for x, y in piece.outline]),
        count=piece.count,
        turns_deg=None if piece.turns == "free" else tuple(piece.turns),
        mirror=piece.mirror,
    )


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)


def layout_as_json(layout: Layout) -> dict[str, object]:
    """The answer of `bagwright lay`."""
    return {
        "length_mm": layout.length_mm,
        "share_used": layout.share_used,
        "placements": [
            {"id": p.id, "turn_deg": p.turn_deg, "mirrored": p.mirrored, "x_mm": p.x_mm, "y_mm": p.y_mm}
            for p in layout.placements
        ],
        "checked": layout.verdict.passed,
    }


def layout_in_words(layout: Layout, units: UnitSystem) -> str:
    """The answer for the maker."""
    copies = len(layout.placements)
    return (
        f"{copies} {'piece takes' if copies == 1 else 'pieces take'} {print_cloth_length(layout.length_mm, units).text}"
        f" of cloth {print_length(layout.width_mm, units).text} wide.\n"
        f"The pieces cover {layout.share_used:.1%} of it. Checked: nothing overlaps or leaves the cloth.\n"
        "With --json you get where each piece lies."
    )
