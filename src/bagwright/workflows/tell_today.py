"""`bagwright today`: what of several bags can be cut whole from one stash, or pieced from its scraps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Self

from pydantic import Field, model_validator

from bagwright.cutting.stock import lay_on_stock
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region
from bagwright.model.cover import Covers, CoverSettings, CoversRequest, CoverTemplate
from bagwright.model.layout import LayPiece, LaySettings
from bagwright.model.stock import StockLayout, StockPiece, StockRequest
from bagwright.piecing.several import cover_templates
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, Faults, read_contract
from bagwright.workflows.json_text import shown
from bagwright.workflows.tell_cover import (
    CoverScrapWords,
    HeapWords,
    NeedWords,
    as_json,
    keep_off_lines,
    need_region,
    scrap_of,
)

_NEARLY_ALL = 0.999
"""A scrap with less than this of a piece's area cannot hold it whole."""
_MOST_SCRAPS = 60
"""Pieced from are the largest so many of a material: more only make the search longer."""


class TodayScrapWords(CoverScrapWords):
    """One piece of the stash."""

    material: str = Field(min_length=1, max_length=200, description="what it is of, 1 to 200 characters")


class TodayPieceWords(NeedWords):
    """One piece of a bag."""

    id: str = Field(min_length=1, max_length=200, description="name of the piece, 1 to 200 characters, each once a bag")
    material: str = Field(min_length=1, max_length=200, description="what it is cut from, 1 to 200 characters")
    count: int = Field(default=1, ge=1, le=50, description="how many copies, a whole number from 1 to 50")
    may_be_pieced: bool = Field(default=False, description="true: it lies out of sight and may be pieced from scraps")


class TodayBagWords(Contract):
    """One bag."""

    id: str = Field(min_length=1, max_length=200, description="name of the bag, 1 to 200 characters, each once")
    pieces: list[TodayPieceWords] = Field(min_length=1, max_length=100, description="list of 1 to 100 pieces")


class TodayWords(HeapWords):
    """What `bagwright today` reads. `seconds` is for each material of each bag."""

    scraps: list[TodayScrapWords] = Field(  # type: ignore[assignment] # a list that nobody adds to
        min_length=1, max_length=2000, description="list of 1 to 2000 scraps"
    )
    bags: list[TodayBagWords] = Field(min_length=1, max_length=40, description="list of 1 to 40 bags")
    seconds: float = Field(default=1, ge=0, le=600, description="how long to search in seconds, 0 to 600")

    @model_validator(mode="after")
    def _names_differ(self) -> Self:
        named = [(f"bags[{i}].id", one.id) for i, one in enumerate(self.bags)]
        twins = list(_twins(named))
        for i, bag in enumerate(self.bags):
            twins += _twins([(f"bags[{i}].pieces[{k}].id", one.id) for k, one in enumerate(bag.pieces)])
        if twins:
            raise FaultyInput(twins)
        return self


def _twins(named: Sequence[tuple[str, str]]) -> Iterator[Problem]:
    times = Counter(name for _, name in named)
    for place, name in named:
        if times[name] > 1:
            what, allowed = "is used more than once", "each id once"
            yield Problem(place=place, value=shown(name), what=what, allowed=allowed, remedy="Rename it.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldBag:
    """One bag: copies wanted of each piece, what lies whole on the stash, what scraps cover of the rest."""

    id: str
    wanted: dict[str, int]
    whole: tuple[StockLayout, ...]
    covers: tuple[Covers, ...]

    def whole_of(self, piece_id: str) -> list[str]:
        """The scrap of every copy that is cut whole."""
        laid = chain.from_iterable(layout.laid for layout in self.whole)
        return [one.stock_id for one in laid for place in one.placements if place.id == piece_id]

    def left_of(self, piece_id: str) -> int:
        """Copies for which new material is needed."""
        covered = sum(one.template_id == piece_id for found in self.covers for one in found.covers)
        return self.wanted[piece_id] - len(self.whole_of(piece_id)) - covered


def today_of_file(text: bytes, should_stop: Callable[[], bool] | None = None) -> tuple[ToldBag, ...]:
    """For every bag by itself what the whole stash does for it. Raises `FaultyInput` with every fault."""
    words, faults = read_contract(text, TodayWords), Faults()
    needs: dict[tuple[str, str], Region] = {}
    for i, bag in enumerate(words.bags):
        for k, piece in enumerate(bag.pieces):
            with faults:
                needs[bag.id, piece.id] = need_region(piece, place=f"bags[{i}].pieces[{k}].need")
    faults.raise_if_any()
    return tuple(
        _bag(bag, {one.id: needs[bag.id, one.id] for one in bag.pieces}, words, should_stop) for bag in words.bags
    )


def _bag(
    bag: TodayBagWords, needs: dict[str, Region], words: TodayWords, should_stop: Callable[[], bool] | None
) -> ToldBag:
    whole, covers = list[StockLayout](), list[Covers]()
    for material in dict.fromkeys(piece.material for piece in bag.pieces):
        pieces = [piece for piece in bag.pieces if piece.material == material]
        scraps = [scrap for scrap in words.scraps if scrap.material == material]
        if not scraps:
            continue
        layout = _cut_whole(pieces, scraps, needs, (words, should_stop))
        whole.append(layout)
        request = _rest(pieces, scraps, needs, (words, layout))
        if request.templates and request.scraps:
            settings = CoverSettings(seconds=words.seconds, seed=words.seed)
            covers.append(cover_templates(request, settings=settings, should_stop=should_stop))
    return ToldBag(
        id=bag.id,
        wanted={piece.id: piece.count for piece in bag.pieces},
        whole=tuple(whole),
        covers=tuple(covers),
    )


def _cut_whole(
    pieces: Sequence[TodayPieceWords],
    scraps: Sequence[TodayScrapWords],
    needs: dict[str, Region],
    asked: tuple[TodayWords, Callable[[], bool] | None],
) -> StockLayout:
    words, should_stop = asked
    turns = (0.0, 180.0) if words.turns == "grain" else None
    shapes = tuple(LayPiece(id=one.id, region=needs[one.id], count=one.count, turns_deg=turns) for one in pieces)
    least_mm2 = min(shape.region.area_mm2 for shape in shapes) * _NEARLY_ALL
    regions = ((one, scrap_of(one).region) for one in scraps)
    stock = tuple(
        StockPiece(id=one.id, region=region, grain_deg=one.grain_deg if words.turns == "grain" else None)
        for one, region in regions
        if region.area_mm2 >= least_mm2
    )
    settings = LaySettings(seconds=words.seconds, seed=words.seed)
    return lay_on_stock(StockRequest(stock=stock, pieces=shapes), settings=settings, should_stop=should_stop)


def _rest(
    pieces: Sequence[TodayPieceWords],
    scraps: Sequence[TodayScrapWords],
    needs: dict[str, Region],
    asked: tuple[TodayWords, StockLayout],
) -> CoversRequest:
    """What may be pieced and is not cut whole, and the scraps that nothing is cut from."""
    words, layout = asked
    cut = Counter(place.id for one in layout.laid for place in one.placements)
    used = {one.stock_id for one in layout.laid}
    templates = tuple(
        CoverTemplate(id=one.id, need=needs[one.id], count=one.count - cut[one.id], keep_off=keep_off_lines(one))
        for one in pieces
        if one.may_be_pieced and one.count > cut[one.id]
    )
    free = (scrap_of(one) for one in scraps if one.id not in used)
    return CoversRequest(
        templates=templates,
        scraps=tuple(sorted(free, key=lambda scrap: -scrap.region.area_mm2)[:_MOST_SCRAPS]),
        keeps_grain=words.turns == "grain",
        max_scraps=words.max_scraps,
        keep_off_mm=words.keep_off_mm,
        enough_share=words.enough_share,
        widest_gap_mm=words.gap_mm,
    )


def today_as_json(told: Sequence[ToldBag]) -> dict[str, object]:
    """The answer of `bagwright today`."""
    return {"bags": [{"id": bag.id, "pieces": [_piece_as_json(bag, one) for one in bag.wanted]} for bag in told]}


def _piece_as_json(bag: ToldBag, piece_id: str) -> dict[str, object]:
    covered = (one for found in bag.covers for one in found.covers if one.template_id == piece_id)
    return {
        "id": piece_id,
        "whole": bag.whole_of(piece_id),
        "covered": [as_json(one.cover) for one in covered],
        "left": bag.left_of(piece_id),
    }


def today_in_words(told: Sequence[ToldBag], units: UnitSystem) -> str:
    """The answer for the maker."""
    said = []
    for bag in told:
        for piece_id in bag.wanted:
            parts = [f"{count} whole out of {name}" for name, count in Counter(bag.whole_of(piece_id)).items()]
            for found in bag.covers:
                for one in (cover for cover in found.covers if cover.template_id == piece_id):
                    parts.append(f"1 pieced from {', '.join(place.id for place in one.cover.placements)}")
            if left := bag.left_of(piece_id):
                parts.append(f"{left} of new material")
            said.append(f"{bag.id}, {piece_id}: {'; '.join(parts)}.")
    return "\n".join(said)
