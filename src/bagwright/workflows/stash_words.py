"""What is cut from the stash, in words and drawn."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from bagwright.geometry.curves import Affine
from bagwright.geometry.largest_rectangle import largest_rectangle
from bagwright.output.cut_plan import remnant_letter
from bagwright.output.rulers import Measuring
from bagwright.output.stock import StockDrawn, draw_on_stock
from bagwright.output.svg import inline_svg
from bagwright.workflows.desk import BagView
from bagwright.workflows.from_stash import StashLaid, StashOffer
from bagwright.workflows.stash_finding import size_of


@dataclass(frozen=True, slots=True)
class LaidWords:
    """One piece of the stash: what it is, and what becomes of it."""

    title: str
    lines: tuple[str, ...]


def offer_in_words(offer: StashOffer) -> tuple[str, ...]:
    """What it saves, and what the stash loses."""
    wanted = sum(piece.count for piece in offer.pieces)
    pieces = f"{offer.count} of the {wanted} pieces" if offer.count < wanted else _all(wanted)
    saved = (offer.pays_now - offer.pays_then).said()
    said = [
        f"{pieces} can be cut from the stash. The bag then costs {offer.pays_then.said()} at the shop instead of "
        f"{offer.pays_now.said()}: {saved} less today."
    ]
    if offer.worth.amount:
        said.append(f"The stash loses {offer.worth.said()} of its worth, which still counts in the price of the bag.")
    return tuple(said)


def _all(count: int) -> str:
    return {1: "The only piece", 2: "Both pieces"}.get(count, f"All {count} pieces")


def laid_in_words(view: BagView, laid: StashLaid) -> LaidWords:
    """Where the piece of the stash lies, what is cut from it, what goes back."""
    measuring = Measuring(view.workroom.units, view.workroom.fraction)
    size = size_of(laid.piece)
    held = measuring.told_size(size.length_mm, size.width_mm)
    where = f", in {laid.piece.bin}" if laid.piece.bin else ""
    names = {cut.id: cut.name for cut in view.answer.cuts}
    counts = Counter(names.get(place.id, place.id) for place in laid.placements)
    cut = ", ".join(name if count == 1 else f"{count} × {name}" for name, count in counts.items())
    back = [f"{remnant_letter(i)} ({one})" for i, one in enumerate(_left_sizes(laid, measuring))]
    left = f"Back into the stash: {', '.join(back)}." if back else "Nothing of it is worth keeping then."
    return LaidWords(f"The piece that holds {held}{where}", (f"Cut from it: {cut}.", left))


def _left_sizes(laid: StashLaid, measuring: Measuring) -> list[str]:
    """The largest rectangle in what is left, along the grain by across."""
    turn = Affine(-(laid.stock.grain_deg or 0.0))
    sizes = []
    for region in laid.left:
        low_x, low_y, high_x, high_y = largest_rectangle(region.moved(turn)) or region.bounds
        sizes.append(measuring.told_size(high_x - low_x, high_y - low_y))
    return sizes


def on_stash_picture(view: BagView, offer: StashOffer, laid: StashLaid) -> str:
    """One piece of the stash with what is cut from it, as SVG."""
    drawn = StockDrawn(
        stock=laid.stock,
        kind=offer.material.kind,
        pieces=offer.pieces,
        placements=laid.placements,
        left=laid.left,
    )
    names = {cut.id: cut.name for cut in view.answer.cuts}
    workroom = view.workroom
    drawing = draw_on_stock(drawn, names, units=workroom.units, fraction=workroom.fraction)
    return inline_svg(drawing, id_prefix=f"from-stash-{laid.piece.id}")
