"""Strips of one cloth and the ways to cut them, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from bagwright.model.bag import Workroom
from bagwright.model.bands import Band, StripWay
from bagwright.model.material import Material, MaterialKind
from bagwright.model.piece import CutPiece
from bagwright.output.rulers import Measuring
from bagwright.workflows.recutting import BiasBlock
from bagwright.workflows.strip_shapes import strip_sides_mm
from bagwright.workflows.strip_steps import JOINED, one_way_in_words
from bagwright.workflows.strip_ways import CutStrip, StripGroup

WAY_NAMES = {
    StripWay.LAID: "Each by itself",
    StripWay.BANDS: "Bands across the cloth",
    StripWay.BIAS_SQUARE: "Out of a bias square",
    StripWay.BIAS_STRIPS: "Edge to edge, joined",
}
_SAID = {
    StripWay.LAID: "each by itself",
    StripWay.BANDS: "bands across the cloth",
    StripWay.BIAS_SQUARE: "a bias square",
    StripWay.BIAS_STRIPS: "bias strips from edge to edge",
}
_TEARS = frozenset({MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT})
_SEEN_MM = 1.0
_BLADE = "Cut along a straight edge away from you, fingers off its side, and close the blade after each cut."


def group_title(group: StripGroup) -> str:
    """What the group is called."""
    return title_of(is_bias=group.is_bias)


def title_of(*, is_bias: bool) -> str:
    """What strips on the bias, or along a thread, are called."""
    return "Bias strips" if is_bias else "Strips and straps"


def told_cuts(cuts: Sequence[CutPiece], workroom: Workroom) -> str:
    """Strips of a cloth that is not laid, each with its number and size."""
    measuring, said = Measuring(workroom.units, workroom.fraction), []
    for cut in cuts:
        long, wide = strip_sides_mm(cut.region) or (cut.region.width_mm, cut.region.height_mm)
        said.append(f"{cut.count} × {cut.name} {measuring.told_size(long, wide)}")
    return f"{', '.join(said)}."


def group_in_words(
    group: StripGroup, material: Material, names: Mapping[str, str], measuring: Measuring
) -> tuple[str, ...]:
    """What each way takes first, then how."""
    said = [f"{listed(group.strips, names, measuring)}. {least_in_words(group, measuring)}"]
    if material.directional and StripWay.BANDS in group.takes_mm:
        said[0] = " ".join([said[0], *one_way_in_words((one.piece for one in group.strips), names)])
    if group.bands and StripWay.BANDS in group.takes_mm:
        said += _bands(group, material, names, measuring)
    for way, block in group.blocks:
        said.append(_block(way, block, measuring))
    return tuple(said)


def listed(strips: Sequence[CutStrip], names: Mapping[str, str], measuring: Measuring) -> str:
    """Each strip with its number and size."""
    return ", ".join(
        f"{one.piece.count} × {names.get(one.piece.id, one.piece.id)} "
        f"{measuring.told_size(one.length_mm, one.width_mm)}"
        for one in strips
    )


def least_in_words(group: StripGroup, measuring: Measuring) -> str:
    """Which way takes least cloth, and by how much, in one sentence."""
    least = group.least
    start = f"With everything else, {_SAID[least]} takes least cloth, {measuring.told(group.takes_mm[least])}"
    if least in (StripWay.BANDS, StripWay.BIAS_STRIPS):
        start = start.replace(" takes ", " take ", 1)
    others = [f"{_SAID[way]} {_more(group, way, measuring)}" for way in group.takes_mm if way is not least]
    return f"{start}; {', '.join(others)}." if others else f"{start}."


def _more(group: StripGroup, way: StripWay, measuring: Measuring) -> str:
    if group.more_mm(way) < _SEEN_MM:
        return "as much"
    cost = group.costs_more(way)
    money = f" ({cost.said()} of cloth)" if cost else ""
    return f"{measuring.told(group.more_mm(way))} more{money}"


def _bands(group: StripGroup, material: Material, names: Mapping[str, str], measuring: Measuring) -> Iterator[str]:
    assert group.bands is not None
    bands = group.bands.bands
    taken = measuring.told(sum(band.width_mm for band in bands))
    joins = group.bands.joins
    joined = f", with {joins} {'join' if joins == 1 else 'joins'}" if joins else ""
    yield f"As bands: {len(bands)} of the full usable width, {taken} of cloth in all{joined}."
    told = {
        **names,
        **{
            part: f"{names.get(one.strip_id, one.strip_id)}, part {number}"
            for one in group.bands.joined
            for number, part in enumerate(one.part_ids, start=1)
        },
    }
    sorts = Counter(_band(band, told, measuring) for band in bands)
    yield from (words if times == 1 else f"{times} × {words}" for words, times in sorts.items())
    if any(one.grain_off_deg < 45 for one in group.strips):
        yield "Bands run across the grain, where woven cloth gives a little more: test a strap on a scrap."
    if joins:
        yield f"Each join takes {measuring.told(group.bands.asked.join_mm)} of length. {JOINED}"
    tears = "Snip the selvedge and tear, then press the edges flat; or cut. " if material.kind in _TEARS else ""
    yield f"{tears}{_BLADE}"


def _band(band: Band, names: Mapping[str, str], measuring: Measuring) -> str:
    parts = ", ".join(f"{names.get(part.id, part.id)} {measuring.told(part.length_mm)}" for part in band.parts)
    return f"Band {measuring.told(band.width_mm)} wide: {parts}."


def _block(way: StripWay, block: BiasBlock, measuring: Measuring) -> str:
    """What bias strip comes out of, and how it is cut."""
    needed = f"{measuring.told(block.needed_mm)} of bias strip in all"
    joins = {0: "no join", 1: "one join"}.get(block.joins, f"{block.joins} joins")
    if way is StripWay.BIAS_STRIPS:
        return f"{needed}, cut at 45 degrees from edge to edge of the cloth: {joins}."
    side = measuring.told(block.region.width_mm)
    squares = f"a square of {side} gives" if block.count == 1 else f"{block.count} squares of {side} give"
    between = "" if block.count == 1 else f", with {joins} between them"
    return (
        f"{needed}: {squares} that{between}. Cut the square in two on the slant, sew it to a tube one strip out of "
        "step, and cut round and round."
    )
