"""Judge strips out of whole bands in a layout, from what was asked and from where things lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.geometry.region import Region
from bagwright.model.bands import BandsInLayout, BandStrip
from bagwright.model.layout import LayRequest, Placement

OFF_MM = 1e-3


def banded_faults(
    request: LayRequest, bands: BandsInLayout, placements: Sequence[Placement], laid: Sequence[Region]
) -> Iterator[str]:
    """Strips that do not come out as asked, and bands that are not whole. `laid`: each piece where it lies."""
    widths = _widths(bands)
    yield from _strip_faults(request, bands)
    names = [placement.id for placement in placements]
    spans = [(region.bounds[0], region.bounds[2]) for region in laid]
    own = [i for i, name in enumerate(names) if name in widths]
    for i in own:
        wide = spans[i][1] - spans[i][0]
        if abs(wide - widths[names[i]]) > OFF_MM:
            yield f"{names[i]}: does not lie across the cloth, in a band {widths[names[i]]:g} mm wide"
    order = sorted(range(len(spans)), key=lambda i: spans[i])
    for at, i in enumerate(order):
        for j in order[at + 1 :]:
            if spans[j][0] > spans[i][1] - OFF_MM:
                break
            if (names[i] in widths or names[j] in widths) and not _same_band(i, j, names, spans, widths):
                yield f"{names[i]} and {names[j]} lie beside one another, but not in one band"


def _widths(bands: BandsInLayout) -> dict[str, float]:
    """How wide the band of each shape is."""
    of_strips = {strip.id: strip.width_mm for strip in bands.asked.strips}
    return of_strips | {part: of_strips[one.strip_id] for one in bands.joined for part in one.part_ids}


def _same_band(
    i: int, j: int, names: Sequence[str], spans: Sequence[tuple[float, float]], widths: dict[str, float]
) -> bool:
    if names[i] not in widths or names[j] not in widths:
        return False
    return all(abs(one - other) <= OFF_MM for one, other in zip(spans[i], spans[j], strict=True))


def _strip_faults(request: LayRequest, bands: BandsInLayout) -> Iterator[str]:
    counts = {piece.id: piece.count for piece in request.pieces}
    for strip in bands.asked.strips:
        joined = [one for one in bands.joined if one.strip_id == strip.id]
        found = counts.get(strip.id, 0) + sum(one.count for one in joined)
        if found != strip.count:
            yield f"{strip.id}: cut {found} times, asked for {strip.count}"
        for one in joined:
            if any(counts.get(part, 0) != one.count for part in one.part_ids):
                yield f"{strip.id}: not as many of each part as there are strips"
            yield from _joined_faults(request, bands, strip, one.part_ids)
    for piece in request.pieces:
        for strip in bands.asked.strips:
            if piece.id == strip.id:
                yield from _length_fault(strip, max(piece.region.width_mm, piece.region.height_mm))


def _joined_faults(
    request: LayRequest, bands: BandsInLayout, strip: BandStrip, part_ids: Sequence[str]
) -> Iterator[str]:
    shapes = {piece.id: piece.region for piece in request.pieces}
    parts = [shapes[part].area_mm2 / strip.width_mm for part in part_ids if part in shapes]
    if not strip.may_join:
        yield f"{strip.id}: is joined, but has to stay whole"
    if parts and min(parts) < bands.asked.least_part_mm - OFF_MM:
        yield f"{strip.id}: has a part shorter than {bands.asked.least_part_mm:g} mm"
    yield from _length_fault(strip, sum(parts) - (len(part_ids) - 1) * bands.asked.join_mm)


def _length_fault(strip: BandStrip, length_mm: float) -> Iterator[str]:
    if abs(length_mm - strip.length_mm) > OFF_MM:
        yield f"{strip.id}: comes out {length_mm:g} mm long, {strip.length_mm:g} are asked for"
