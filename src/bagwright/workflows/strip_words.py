"""Bands and bias strips of one cloth, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from bagwright.model.bands import Band
from bagwright.model.material import Material, MaterialKind
from bagwright.output.rulers import Measuring
from bagwright.workflows.strip_ways import BandsWay, BiasWay, CutStrip, OtherWay, StripWays

_TEARS = frozenset({MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT})
_SEEN_MM = 1.0
_BLADE = "Cut along a straight edge away from you, fingers off its side, and close the blade after each cut."


def ways_in_words(
    ways: StripWays, material: Material, names: Mapping[str, str], measuring: Measuring
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each way with its heading: what it takes first, then how."""
    told = []
    if ways.bands:
        told.append(("Strips as bands across the cloth", tuple(_bands(ways.bands, material, names, measuring))))
    for one in ways.bias:
        told.append(("Bias strip in one go", tuple(_bias(one, names, measuring))))
    return tuple(told)


def _bands(found: BandsWay, material: Material, names: Mapping[str, str], measuring: Measuring) -> list[str]:
    many = len(found.plan.bands)
    taken = measuring.told(found.plan.taken_mm)
    bands = f"{many} {'band' if many == 1 else 'bands'} of the full usable width, {taken} of cloth in all."
    said = [f"{_listed(found.way.strips, names, measuring)}: {bands} {_takes(found.way, measuring)}"]
    sorts = Counter(_band(band, names, measuring) for band in found.plan.bands)
    said += [words if times == 1 else f"{times} × {words}" for words, times in sorts.items()]
    if any(one.grain_off_deg < 45 for one in found.way.strips):
        said.append("Bands run across the grain, where woven cloth gives a little more: test a strap on a scrap.")
    tears = "Snip the selvedge and tear, then press the edges flat; or cut. " if material.kind in _TEARS else ""
    said.append(f"{tears}{_BLADE}")
    return said


def _listed(strips: Sequence[CutStrip], names: Mapping[str, str], measuring: Measuring) -> str:
    return ", ".join(
        f"{one.piece.count} × {names.get(one.piece.id, one.piece.id)} "
        f"{measuring.told_size(one.length_mm, one.width_mm)}"
        for one in strips
    )


def _band(band: Band, names: Mapping[str, str], measuring: Measuring) -> str:
    parts = ", ".join(f"{names.get(part.id, part.id)} {measuring.told(part.length_mm)}" for part in band.parts)
    return f"Band {measuring.told(band.width_mm)} wide: {parts}."


def _takes(way: OtherWay, measuring: Measuring) -> str:
    """What it takes with everything else, beside the layout now."""
    takes = f"With everything else that takes {measuring.told(way.takes_mm)}"
    if abs(way.more_mm) < _SEEN_MM:
        return f"{takes}, as the layout above."
    more = "more" if way.more_mm > 0 else "less"
    money = ""
    if way.costs_more is not None:
        money = f", {way.costs_more.times(1 if way.more_mm > 0 else -1).said()} of cloth"
    return f"{takes}, {measuring.told(abs(way.more_mm))} {more} than the layout above{money}."


def _bias(found: BiasWay, names: Mapping[str, str], measuring: Measuring) -> list[str]:
    told = found.told
    said = [
        f"{_listed(found.strips, names, measuring)}, {measuring.told(found.needed_mm)} in all: a square "
        f"of {measuring.told(told.square_mm)} gives that. "
        + (_takes(found.way, measuring) if found.way else "That is wider than the cloth: make two smaller squares."),
        "Cut the square in two on the slant, sew it to a tube one strip out of step, and cut round and round.",
    ]
    strips = "1 strip" if told.strips == 1 else f"{told.strips} strips"
    joins = {0: "no join", 1: "one join"}.get(told.joins, f"{told.joins} joins")
    said.append(f"Or cut {strips} at 45 degrees from edge to edge of the cloth: {joins}.")
    return said
