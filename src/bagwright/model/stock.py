"""Irregular cloth at hand: hides, remnants, scraps; and whole pieces laid on them."""

from __future__ import annotations

from dataclasses import dataclass, field

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LaySettings, Placement
from bagwright.model.money import Money
from bagwright.model.prints import Repeat
from bagwright.model.source import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPiece:
    """A hide, remnant or scrap, right side up, in its own frame in mm.

    `flaws`: no piece may lie over them. `lesser`: parts of lesser grade (belly, neck), for pieces that bear it.
    `grain_deg`: direction of its lengthwise grain, from which the turns of pieces count; None: it has none, or nobody
    knows, and only pieces of any turn lie on it. `motif`: where one motif of its print lies, the print running along
    the grain; None: nobody told, and no piece that shows or matches the print lies on it. `worth`: what it would be
    missed for; None counts as nothing.
    """

    id: str
    region: Region = field(repr=False)
    flaws: tuple[Region, ...] = ()
    lesser: tuple[Region, ...] = ()
    grain_deg: float | None = 0.0
    motif: Point | None = None
    worth: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRequest:
    """Whole pieces to be laid on several stock pieces at once; pieces keep `gap_mm` from one another.

    With a `repeat`, anchors fall on motifs, and prints go on across seams from one stock piece to the next. Of pieces
    that such seams join, all or none lie on stock.
    """

    stock: tuple[StockPiece, ...]
    pieces: tuple[LayPiece, ...]
    gap_mm: float = 0.0
    repeat: Repeat | None = None


@dataclass(frozen=True, slots=True)
class StockLaid:
    """Where pieces lie on one stock piece, in its own frame."""

    stock_id: str
    placements: tuple[Placement, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLayout:
    """A checked answer to a `StockRequest`. `left`: pieces that found no place, with how many copies of each.

    Of mirrored pairs, both or none lie on stock.
    """

    laid: tuple[StockLaid, ...]
    left: tuple[tuple[str, int], ...]
    verdict: Verdict
    settings: LaySettings


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothPrice:
    """Cloth off the bolt for what stock does not hold: usable width, price of a metre, step in which it is cut."""

    width_mm: float
    price_per_m: Money
    step_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPlan:
    """Stock first, as far as that saves money. `cloth`: the layout of the rest, None if nothing is left.

    `costs`: the cloth bought for the rest and the worth of the stock cut; `costs_without`: all from new cloth, None if
    some piece fits the stock only.
    """

    stock: StockLayout
    cloth: Layout | None
    bought_mm: float
    costs: Money
    bought_without_mm: float | None
    costs_without: Money | None
