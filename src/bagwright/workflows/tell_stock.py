"""`bagwright stock`: whole pieces onto hides, remnants and scraps first, and new cloth for the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from pydantic import Field, model_validator

from bagwright.cutting.stock import lay_on_stock
from bagwright.cutting.stock_first import lay_stock_first
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region
from bagwright.model.layout import LaySettings
from bagwright.model.prints import Repeat
from bagwright.model.stock import ClothPrice, StockLayout, StockPiece, StockPlan, StockRequest
from bagwright.units import UnitSystem, print_cloth_length
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.shelf_words import Amount, money_from
from bagwright.workflows.tell_layout import (
    Corner,
    MatchedWords,
    RepeatWords,
    Ring,
    broke_off,
    matched_from,
    placements_as_json,
    refuse_twins_and_crowds,
    repeat_from,
)

_LEAST_LEFT_MM2 = 1.0


class StockedPieceWords(MatchedWords):
    """A piece, how it lies on a print, and whether it keeps off parts of lesser grade."""

    best_only: bool = Field(default=False, description="whether it keeps off parts of lesser grade")


class StockWords(Contract):
    """A hide, remnant or scrap, right side up."""

    id: str = Field(min_length=1, max_length=200, description="its name, 1 to 200 characters, each once")
    outline: Ring = Field(min_length=3, max_length=5000, description="outline as a list of 3 to 5000 corners in mm")
    flaws: list[Ring] = Field(default=[], max_length=200, description="outlines of up to 200 holes and flaws")
    lesser: list[Ring] = Field(default=[], max_length=50, description="outlines of up to 50 parts of lesser grade")
    grain_deg: float | None = Field(
        default=0, ge=-360, le=360, description="direction of its grain in degrees, -360 to 360, or null"
    )
    motif: Corner | None = Field(
        default=None, description="a point [x, y] of it where a motif of its print lies, in mm, or null"
    )
    worth: Amount | None = Field(default=None, description="what it would be missed for, as text, or null for nothing")


class NewClothWords(Contract):
    """Cloth off the bolt."""

    width_mm: float = Field(gt=0, le=20_000, description="usable width in mm, above 0, at most 20000")
    price_per_m: Amount
    step_mm: float = Field(default=0, ge=0, le=10_000, description="step in which it is cut in mm, 0 to 10000")


class StockedWords(Contract):
    """What `bagwright stock` reads."""

    stock: list[StockWords] = Field(max_length=100, description="list of up to 100 hides, remnants and scraps")
    pieces: list[StockedPieceWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 pieces")
    repeat: RepeatWords | None = Field(default=None, description="repeat of the print of all of it, or null")
    cloth: NewClothWords | None = Field(default=None, description="new cloth for the rest, or null")
    currency: str = Field(
        default="USD", pattern="^[A-Z]{3}$", description="currency of all money as a code of three capitals"
    )
    gap_mm: float = Field(default=0, ge=0, le=100, description="gap to keep between pieces in mm, 0 to 100")
    seconds: float = Field(default=5, ge=0, le=3600, description="how long to search in seconds, 0 to 3600")
    seed: int = Field(
        default=1, ge=0, le=2**31 - 1, description="a whole number, 0 to 2147483647, from which the search starts"
    )

    @model_validator(mode="after")
    def _ids_differ_and_copies_are_few(self) -> StockedWords:
        refuse_twins_and_crowds(self.pieces)
        return self


@dataclass(frozen=True, slots=True)
class ToldStock:
    """What lies on stock, and, where new cloth was offered, the whole plan.

    `search_fault`: how part of the search broke off, if it did.
    """

    layout: StockLayout
    plan: StockPlan | None
    search_fault: str = ""


def stock_of_file(text: bytes, *, should_stop: Callable[[], bool] | None = None) -> ToldStock:
    """The layout for the stock and pieces that JSON `text` describes; the best so far once `should_stop` says so.

    Raises `FaultyInput` with every fault.
    """
    words = read_contract(text, StockedWords)
    pieces = tuple(replace(matched_from(piece), best_only=piece.best_only) for piece in words.pieces)
    stock = tuple(_stock_piece(one, words.currency, f"stock[{i}]") for i, one in enumerate(words.stock))
    if faults := [_all_flaws(one.id, f"stock[{i}]") for i, one in enumerate(stock) if _is_all_flaws(one)]:
        raise FaultyInput(faults)
    request = StockRequest(stock=stock, pieces=pieces, gap_mm=words.gap_mm, repeat=_print(words))
    settings = LaySettings(seconds=words.seconds, seed=words.seed)
    if words.cloth is None:
        return ToldStock(lay_on_stock(request, settings=settings, should_stop=should_stop), None)
    price = money_from(words.cloth.price_per_m, words.currency, place="cloth.price_per_m")
    cloth = ClothPrice(width_mm=words.cloth.width_mm, price_per_m=price, step_mm=words.cloth.step_mm)
    ended: list[str] = []
    plan = lay_stock_first(request, cloth, settings=settings, should_stop=should_stop, on_fault=ended.append)
    return ToldStock(plan.stock, plan, "; ".join(dict.fromkeys(ended)))


def _print(words: StockedWords) -> Repeat | None:
    return repeat_from(words.repeat) if words.repeat else None


def _stock_piece(one: StockWords, currency: str, place: str) -> StockPiece:
    return StockPiece(
        id=one.id,
        region=_region(one.outline),
        flaws=tuple(map(_region, one.flaws)),
        lesser=tuple(map(_region, one.lesser)),
        grain_deg=one.grain_deg,
        motif=(one.motif[0], one.motif[1]) if one.motif else None,
        worth=money_from(one.worth, currency, place=f"{place}.worth") if one.worth is not None else None,
    )


def _region(ring: list[list[float]]) -> Region:
    return Region.from_ring([(x, y) for x, y in ring])


def _is_all_flaws(one: StockPiece) -> bool:
    return one.region.minus_all(one.flaws).area_mm2 < _LEAST_LEFT_MM2


def _all_flaws(name: str, place: str) -> Problem:
    return Problem(
        place=f"{place}.flaws",
        value=name,
        what="leave nothing of it",
        allowed="flaws smaller than what they lie on",
        remedy="Leave it out, or draw its flaws anew.",
    )


def stock_as_json(told: ToldStock) -> dict[str, object]:
    """The answer of `bagwright stock`; money as text to the cent."""
    plan, cloth = told.plan, told.plan.cloth if told.plan else None
    return {
        "laid": [
            {"stock_id": one.stock_id, "placements": placements_as_json(one.placements)} for one in told.layout.laid
        ],
        "left": [{"id": name, "count": count} for name, count in told.layout.left],
        "cloth_length_mm": cloth.length_mm if cloth else 0.0,
        "cloth_placements": placements_as_json(cloth.placements) if cloth else [],
        "bought_mm": plan.bought_mm if plan else None,
        "costs": str(plan.costs.for_display()) if plan else None,
        "bought_without_mm": plan.bought_without_mm if plan else None,
        "costs_without": str(plan.costs_without.for_display()) if plan and plan.costs_without else None,
        "search_fault": told.search_fault,
        "checked": told.layout.verdict.passed and (cloth is None or cloth.verdict.passed),
    }


def stock_in_words(told: ToldStock, units: UnitSystem) -> str:
    """The answer for the maker."""
    return "\n".join(_sentences(told, units))


def _sentences(told: ToldStock, units: UnitSystem) -> Iterator[str]:
    plan = told.plan
    for one in told.layout.laid:
        many = len(one.placements)
        yield f"{one.stock_id}: {many} {'piece' if many == 1 else 'pieces'}."
    if not told.layout.laid:
        yield "Nothing is cut from stock."
    if told.layout.left:
        rest = ", ".join(f"{count} x {name}" for name, count in told.layout.left)
        yield f"{'For new cloth' if plan else 'No room for'}: {rest}."
    if plan and plan.cloth:
        yield f"Buy {print_cloth_length(plan.bought_mm, units).text} of new cloth."
    if plan and plan.costs_without:
        yield f"That costs {plan.costs.said()}; all from new cloth costs {plan.costs_without.said()}."
    yield "Checked: nothing overlaps, lies over a flaw, beside the print or leaves its outline."
    if told.search_fault:
        yield broke_off(told.search_fault)
    yield "With --json you get where each piece lies."
