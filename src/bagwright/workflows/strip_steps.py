"""What to know of bands and bias strips in a layout before the first cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from bagwright.cutting.banded import lies_upright
from bagwright.model.bands import StripWay
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.output.rulers import Measuring
from bagwright.workflows.recutting import BLOCK_NAMES

JOINED = "A join takes load badly: sew it twice, and lay it where nothing pulls. Common practice; test it."


def one_way_in_words(strips: Iterable[LayPiece], names: Mapping[str, str]) -> Iterator[str]:
    """Which way one-way cloth runs on strips out of bands right across it; `strips` as they would lie by themselves."""
    on_side, upright = list[str](), list[str]()
    for strip in strips:
        (upright if lies_upright(strip) else on_side).append(names.get(strip.id, strip.id))
    if on_side:
        yield (
            f"One-way cloth: on {listed_names(on_side)} out of bands, print or nap lies on its side, its foot along "
            "the long edge towards the cut end, on every strip alike."
        )
    if upright:
        yield f"One-way cloth: on {listed_names(upright)} out of bands, print or nap stands upright, its foot down."


def listed_names(names: Sequence[str]) -> str:
    """Names with an and before the last.

    >>> listed_names(["Strap", "Tie", "Loop"])
    'Strap, Tie and Loop'
    """
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def strips_before(request: LayRequest, measuring: Measuring) -> Iterator[str]:
    """What to do with bands, and with what bias strips come out of."""
    if request.bands:
        many = len(request.bands.bands)
        bands = "one band" if many == 1 else f"{many} bands"
        yield (
            f"Strips come out of {bands} right across the cloth, at its far end: cut or tear the bands, then cut them "
            "to length."
        )
        joins, taken = request.bands.joins, measuring.told(request.bands.asked.join_mm)
        if joins:
            yield f"{joins} {'join is' if joins == 1 else 'joins are'} to be sewn; each takes {taken}. {JOINED}"
    names = [piece.id for piece in request.pieces]
    if any(name.startswith(BLOCK_NAMES[StripWay.BIAS_SQUARE]) for name in names):
        yield (
            "Cut the bias square in two on the slant, sew it to a tube one strip out of step, and cut round and round."
        )
    if any(name.startswith(BLOCK_NAMES[StripWay.BIAS_STRIPS]) for name in names):
        yield "Cut the block marked bias strips into strips along its slant, and join their ends."
