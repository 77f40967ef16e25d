"""Pictures of a bag's money, as SVG to be set into a page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from bagwright.model.material import MaterialKind
from bagwright.model.money_terms import Goes, Spending, SpentLine, SpentPart, Swing, Total
from bagwright.output.money_strip import StripPart, draw_money_strip
from bagwright.output.strokes import Strokes
from bagwright.output.svg import inline_svg
from bagwright.output.swing_bars import SwingBar, draw_swing_bars
from bagwright.workflows.money_words import GOES_NAMES, TOTAL_NAMES, total_said
from bagwright.workflows.shelf import Shelf

MOST_BARS = 8
_FILLS: Mapping[Goes, Strokes] = {
    Goes.TAX: Strokes.LEVEL,
    Goes.FEES: Strokes.FALLING,
    Goes.BRINGING: Strokes.RISING,
    Goes.MATERIALS: Strokes.NONE,
    Goes.SUPPLIES: Strokes.DOTS,
    Goes.DELIVERY: Strokes.CROSSED,
    Goes.OVERHEAD: Strokes.UPRIGHT,
    Goes.DAY: Strokes.DASHES,
    Goes.PAY: Strokes.FULL,
    Goes.LEFT: Strokes.NONE,
}


def spending_picture(spending: Spending, shelf: Shelf) -> str:
    """The price as a strip, materials one by one; what it does not pay for lies below where it ends."""
    parts = [part for part in spending.parts if part.amount.amount > 0]
    whole = float(sum(part.amount.amount for part in parts))
    if not whole:
        return ""
    strips = [strip for part in parts for strip in _strips(part, whole, shelf)]
    missing = any(part.amount.amount < 0 for part in spending.parts)
    covered = float(spending.price.amount) / whole if missing else 1.0
    drawing = draw_money_strip(strips, price=spending.price.said(), covered_share=covered)
    return inline_svg(drawing, id_prefix="money-strip")


def _strips(part: SpentPart, whole: float, shelf: Shelf) -> Iterator[StripPart]:
    name, amount = GOES_NAMES[part.goes], part.amount
    if part.goes is not Goes.MATERIALS:
        share = float(amount.amount) / whole
        yield StripPart(name=name, amount=amount.said(), share=share, fill=_FILLS[part.goes])
        return
    for line in part.lines:
        yield StripPart(
            name=line.name,
            amount=line.amount.said(),
            share=float(line.amount.amount) / whole,
            fill=_kind(line, shelf) or _FILLS[part.goes],
            group=f"{name.lower()} {amount.said()}",
        )


def _kind(line: SpentLine, shelf: Shelf) -> MaterialKind | None:
    """Of the material that was bought, or that came from the stash."""
    bought = next((offer.material_id for offer in shelf.offers if offer.id == line.offer_id), "")
    named = (one for one in shelf.materials.values() if line.name.startswith(one.name))
    material = shelf.materials.get(bought) or next(named, None)
    return material.kind if material else None


def swings_picture(swings: Sequence[Swing], total: Total, *, now: float, currency: str) -> str:
    """The widest swings of a total, widest first as they are given."""
    bars = [_bar(swing, total, currency) for swing in swings[:MOST_BARS]]
    if not bars:
        return ""
    drawing = draw_swing_bars(
        bars, total=TOTAL_NAMES[total], now=total_said(total, now, currency), up_is_better=total is Total.HOUR
    )
    return inline_svg(drawing, id_prefix="money-swings")


def _bar(swing: Swing, total: Total, currency: str) -> SwingBar:
    ends = (swing.at_low[total], swing.at_high[total], 0.0)
    down, up = min(ends), max(ends)
    return SwingBar(
        name=swing.term.name,
        down=down,
        up=up,
        down_said=total_said(total, down, currency) if down else "",
        up_said=total_said(total, up, currency) if up else "",
    )
