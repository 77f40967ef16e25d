"""`bagwright lay`: pieces laid on cloth."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

from pydantic import AfterValidator, Discriminator, FailFast, Field, Tag, model_validator

from bagwright.cutting.lay import lay_pieces
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings, Placement
from bagwright.model.piece import Mirror
from bagwright.model.prints import PrintPoint, Repeat
from bagwright.units import UnitSystem, print_cloth_length, print_length
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.json_text import shown
from bagwright.workflows.lay_strips import CutStrips, LaidStripWords, cut_strips, strips_as_json, strips_in_words
from bagwright.workflows.leftovers import leftovers_as_json, without_hair

MOST_COPIES = 2000
LEAST_PIECE_MM = 0.5
"""What is smaller both ways is no piece: chalk lines are wider."""
_PLAIN_SHARE = 0.2
"""Share of the seconds for what the pieces would take without the print."""
Coordinate = Annotated[float, Field(ge=-1e6, le=1e6)]
Corner = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]


def _closed_line(outline: list[list[float]]) -> list[list[float]]:
    fault = ring_fault([(x, y) for x, y in outline])
    if not fault and max(max(side) - min(side) for side in zip(*outline, strict=True)) < LEAST_PIECE_MM:
        what, remedy = f"is smaller than {LEAST_PIECE_MM:g} mm both ways", "Give its corners in mm, or leave it out."
        raise FaultyInput([_problem("", "", what, f"{LEAST_PIECE_MM:g} mm or more one way", remedy)])
    if fault:
        allowed = "corners in order along a closed line that does not cross or touch itself"
        raise FaultyInput([_problem("", "", fault, allowed, "Correct its corners, or split it into two pieces.")])
    return outline


Ring = Annotated[list[Corner], FailFast(), AfterValidator(_closed_line)]
"""A closed line."""


def _known_turns(value: object) -> Literal["as list", "as word"]:
    return "as word" if isinstance(value, str) else "as list"


Turn = Annotated[float, Field(ge=-360, le=360)]
Turns = Annotated[
    Annotated[list[Turn], Field(min_length=1, max_length=72), Tag("as list")]
    | Annotated[Literal["free"], Tag("as word")],
    Discriminator(_known_turns),
]


class ShapeWords(Contract):
    """One shape and how often it is needed. Of a faulty outline only the first bad corner is told."""

    id: str = Field(min_length=1, max_length=200, description="name of the piece, 1 to 200 characters, each once")
    outline: Ring = Field(
        min_length=3, max_length=5000, description="cut outline as a list of 3 to 5000 corners [x, y] in mm"
    )
    count: int = Field(default=1, ge=1, le=MOST_COPIES, description="how many copies, a whole number from 1 to 2000")
    turns: Turns = Field(
        default=[0.0, 180.0], description='turns allowed from the outline: a list of degrees, or "free" for any'
    )
    mirror: Mirror = Field(default=Mirror.NO, description="one of: " + ", ".join(Mirror))

    @model_validator(mode="after")
    def _pairs_are_even(self) -> ShapeWords:
        if self.mirror is Mirror.PAIRS and self.count % 2:
            what, remedy = "is odd, but pairs are asked for", 'Use an even count, or mirror "either".'
            raise FaultyInput([_problem("count", str(self.count), what, "an even number with pairs", remedy)])
        return self


class PrintPointWords(Contract):
    """Where the print of a piece goes on in others."""

    seam: str = Field(
        min_length=1,
        max_length=200,
        description="name of the seam, the same on all pieces it joins, 1 to 200 characters",
    )
    at: Corner = Field(description="a point [x, y] of the outline on that seam, in mm, a list of 2 numbers")
    along_deg: float = Field(
        default=0, ge=-360, le=360, description="which way the seam runs there in degrees, -360 to 360"
    )
    mirrored: bool = Field(default=False, description="whether this is said of the mirrored copies of pairs")


class MatchedWords(ShapeWords):
    """A shape, and how it lies on printed cloth."""

    anchor: Corner | None = Field(
        default=None, description="a point [x, y] of it that falls on a motif, in mm, or null"
    )
    match: str = Field(default="", max_length=200, description="name of a group that is matched, up to 200 characters")
    goes_on: list[PrintPointWords] = Field(
        default=[], max_length=50, description="list of up to 50 seams across which its print goes on"
    )

    @model_validator(mode="after")
    def _can_be_matched(self) -> MatchedWords:
        if self.match and self.anchor is None:
            what, allowed = "can't be matched without a point of the print", "a point [x, y] of the seam"
            raise FaultyInput([_problem("anchor", "null", what, allowed, "Give each piece its anchor on the seam.")])
        if (self.match or self.goes_on) and self.mirror is Mirror.EITHER:
            what, allowed = "can't be mirrored as it suits where its print goes on", '"no" or "pairs"'
            raise FaultyInput([_problem("mirror", "either", what, allowed, "Choose one of the two.")])
        return self


class LayPieceWords(MatchedWords):
    """A shape, and how it lies on cloth laid double or printed."""

    on_fold: bool = Field(default=False, description="whether its middle lies on the fold of cloth laid double")


class RepeatWords(Contract):
    """A print, and where one of its motifs lies on the usable cloth."""

    along_mm: float = Field(
        default=0, ge=0, le=20_000, description="from motif to motif along the cloth in mm, 0 for none, at most 20000"
    )
    across_mm: float = Field(
        default=0, ge=0, le=20_000, description="from motif to motif across the cloth in mm, 0 for none, at most 20000"
    )
    half_drop: bool = Field(default=False, description="whether every other row lies half a repeat further along")
    first_along_mm: float = Field(
        default=0, ge=0, le=20_000, description="where a motif lies along the cloth in mm, 0 to 20000"
    )
    first_across_mm: float = Field(
        default=0, ge=0, le=20_000, description="where it lies across the usable cloth in mm, 0 to 20000"
    )


class LayWords(Contract):
    """What `bagwright lay` reads."""

    width_mm: float = Field(gt=0, le=20_000, description="width of the cloth in mm, above 0, at most 20000")
    selvedge_mm: float = Field(default=0, ge=0, le=200, description="lost along each side in mm, 0 to 200")
    shrinkage_share: float = Field(
        default=0, ge=0, le=0.5, description="share of the length that a wash before cutting takes, 0 to 0.5"
    )
    crosswise_shrinkage_share: float = Field(
        default=0, ge=0, le=0.5, description="share of the width that a wash before cutting takes, 0 to 0.5"
    )
    double: bool = Field(default=False, description="whether it lies double, selvedge on selvedge")
    repeat: RepeatWords | None = Field(default=None, description="repeat of its print, or null")
    gap_mm: float = Field(default=0, ge=0, le=100, description="gap to keep between pieces in mm, 0 to 100")
    pieces: list[LayPieceWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 pieces")
    strip_wishes: list[LaidStripWords] = Field(default=[], max_length=500, description="list of up to 500 wishes")
    join_mm: float = Field(default=20, ge=0, le=500, description="length that one join takes in mm, 0 to 500")
    least_part_mm: float = Field(
        default=100, ge=1, le=5_000, description="shortest part of a joined strip in mm, 1 to 5000"
    )
    seconds: float = Field(default=5, ge=0, le=3600, description="how long to search in seconds, 0 to 3600")
    seed: int = Field(
        default=1, ge=0, le=2**31 - 1, description="a whole number, 0 to 2147483647, from which the search starts"
    )

    @model_validator(mode="after")
    def _ids_differ_and_copies_are_few(self) -> LayWords:
        refuse_twins_and_crowds(self.pieces)
        return self


def refuse_twins_and_crowds(pieces: Sequence[ShapeWords]) -> None:
    """Raise `FaultyInput` for ids used twice and for more copies than can be laid."""
    times = Counter(piece.id for piece in pieces)
    problems = [
        _problem(f"pieces[{number}].id", shown(piece.id), "is used more than once", "each id once", "Rename it.")
        for number, piece in enumerate(pieces)
        if times[piece.id] > 1
    ]
    copies = sum(piece.count for piece in pieces)
    if copies > MOST_COPIES:
        allowed, remedy = f"at most {MOST_COPIES} copies of all pieces together", "Lay a smaller run."
        problems.append(_problem("pieces", str(copies), "copies are too many", allowed, remedy))
    if problems:
        raise FaultyInput(problems)


@dataclass(frozen=True, slots=True)
class LaidCloth:
    """A checked layout, the length to buy for it, and what the pieces would take without the print, if there is one.

    `strips`: how strips are cut, if there is a wish. `search_fault`: how part of the search broke off, if it did.
    """

    request: LayRequest
    layout: Layout
    bought_mm: float
    plain_length_mm: float | None = None
    strips: CutStrips | None = None
    search_fault: str = ""

    @property
    def length_mm(self) -> float:
        """Length of washed cloth taken up."""
        return self.layout.length_mm


def layout_of_file(text: bytes, *, should_stop: Callable[[], bool] | None = None) -> LaidCloth:
    """A checked layout for the pieces that JSON `text` describes; the best so far once `should_stop` says so.

    Raises `FaultyInput` with every fault.
    """
    words = read_contract(text, LayWords)
    request, seconds = _request(words), words.seconds
    strips = _strips(request, words) if words.strip_wishes else None
    request = strips.request if strips else request
    faults: list[str] = []

    def laid(asked: LayRequest, time: float) -> Layout:
        settings = LaySettings(seconds=time, seed=words.seed)
        return lay_pieces(asked, settings=settings, should_stop=should_stop, on_fault=faults.append)

    layout = laid(request, seconds * (1 - _PLAIN_SHARE) if request.repeat else seconds)
    plain = laid(replace(request, repeat=None), seconds * _PLAIN_SHARE) if request.repeat else None
    return LaidCloth(
        request,
        layout,
        layout.length_mm / (1 - words.shrinkage_share),
        plain_length_mm=min(plain.length_mm, layout.length_mm) if plain else None,
        strips=strips,
        search_fault="; ".join(dict.fromkeys(faults)),
    )


def _strips(request: LayRequest, words: LayWords) -> CutStrips:
    return cut_strips(request, words.strip_wishes, join_mm=words.join_mm, least_part_mm=words.least_part_mm)


def _request(words: LayWords) -> LayRequest:
    width_mm = (words.width_mm - 2 * words.selvedge_mm) * (1 - words.crosswise_shrinkage_share)
    if width_mm <= 0:
        what, allowed = "leaves no cloth between the selvedges", "less than half the width"
        raise FaultyInput([_problem("selvedge_mm", f"{words.selvedge_mm:g}", what, allowed, "Measure one selvedge.")])
    return LayRequest(
        width_mm=width_mm,
        gap_mm=words.gap_mm,
        pieces=tuple(map(_lay_piece, words.pieces)),
        is_doubled=words.double,
        repeat=repeat_from(words.repeat) if words.repeat else None,
    )


def repeat_from(print_: RepeatWords) -> Repeat:
    """The print that JSON describes."""
    return Repeat(
        along_mm=print_.along_mm,
        across_mm=print_.across_mm,
        drop_share=0.5 if print_.half_drop else 0.0,
        first_along_mm=print_.first_along_mm,
        first_across_mm=print_.first_across_mm,
    )


def shape_from(piece: ShapeWords) -> LayPiece:
    """The shape as it is laid."""
    return LayPiece(
        id=piece.id,
        region=Region.from_ring([(x, y) for x, y in piece.outline]),
        count=piece.count,
        turns_deg=None if piece.turns == "free" else tuple(piece.turns),
        mirror=piece.mirror,
    )


def _lay_piece(piece: LayPieceWords) -> LayPiece:
    return replace(matched_from(piece), on_fold=piece.on_fold)


def matched_from(piece: MatchedWords) -> LayPiece:
    """The shape as it is laid, with what it minds of a print."""
    return replace(
        shape_from(piece),
        anchor=(piece.anchor[0], piece.anchor[1]) if piece.anchor and not piece.match else None,
        goes_on=tuple(_print_points(piece)),
    )


def _print_points(piece: MatchedWords) -> Iterator[PrintPoint]:
    """The seams that it names; matched by an anchor alone, all copies are turned alike."""
    if piece.match and piece.anchor:
        for mirrored in (False, True) if piece.mirror is Mirror.PAIRS else (False,):
            along = 180.0 if mirrored else 0.0
            yield PrintPoint(piece.match, (piece.anchor[0], piece.anchor[1]), along, mirrored)
    for point in piece.goes_on:
        yield PrintPoint(point.seam, (point.at[0], point.at[1]), point.along_deg, point.mirrored)


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)


def placements_as_json(placements: Sequence[Placement]) -> list[dict[str, object]]:
    """Where pieces lie."""
    return [
        {
            "id": one.id,
            "turn_deg": one.turn_deg,
            "mirrored": one.mirrored,
            "x_mm": without_hair(one.x_mm),
            "y_mm": without_hair(one.y_mm),
        }
        for one in placements
    ]


def layout_as_json(laid: LaidCloth) -> dict[str, object]:
    """The answer of `bagwright lay`."""
    layout = laid.layout
    return {
        "length_mm": layout.length_mm,
        "bought_mm": laid.bought_mm,
        "share_used": layout.share_used,
        "doubled_to_mm": layout.doubled_to_mm,
        "length_without_repeat_mm": laid.plain_length_mm,
        "placements": placements_as_json(layout.placements),
        "strips": strips_as_json(laid.strips) if laid.strips else None,
        **leftovers_as_json(laid.request, layout),
        "search_fault": laid.search_fault,
        "checked": layout.verdict.passed,
    }


def broke_off(search_fault: str) -> str:
    """What is said of a search of which a part broke off."""
    return f"Part of the search broke off ({search_fault}): looking again may find a shorter one."


def layout_in_words(laid: LaidCloth, units: UnitSystem) -> str:
    """The answer for the maker."""
    layout, copies = laid.layout, len(laid.layout.placements)
    said = [
        f"{copies} {'piece takes' if copies == 1 else 'pieces take'} {print_cloth_length(layout.length_mm, units).text}"
        f" of cloth {print_length(layout.width_mm, units).text} wide."
    ]
    if laid.bought_mm > layout.length_mm:
        said.append(f"Buy {print_cloth_length(laid.bought_mm, units).text}, so that this is left after the wash.")
    if layout.doubled_to_mm:
        doubled = print_cloth_length(layout.doubled_to_mm, units).text
        said.append(f"Lay the first {doubled} double, selvedge on selvedge, and the rest single.")
        said.append("Slit the fold where two pieces meet on it.")
    if laid.strips:
        said += strips_in_words(laid.strips, units)
    if laid.plain_length_mm is not None:
        more_mm = layout.length_mm - laid.plain_length_mm
        more = print_cloth_length(more_mm, units).text if more_mm >= 1 else "no cloth"
        said.append(f"Keeping to the print costs {more}.")
    said.append(f"The pieces cover {layout.share_used:.1%} of it. Checked: nothing overlaps or leaves the cloth.")
    if laid.search_fault:
        said.append(broke_off(laid.search_fault))
    return "\n".join([*said, "With --json you get where each piece lies."])
