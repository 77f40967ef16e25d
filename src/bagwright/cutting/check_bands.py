"""Judge any plan of bands from what was asked alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from bagwright.model.bands import Band, BandPart, BandRequest, BandStrip
from bagwright.model.source import Verdict

CHECKS = ("copies", "lengths", "joins", "within the band", "overlap")
_OFF_MM = 1e-6


def check_bands(request: BandRequest, bands: Sequence[Band]) -> Verdict:
    """Whether every copy comes out of bands of its width in its full length, and nothing is cut twice.

    >>> asked = BandRequest(band_mm=100, strips=(BandStrip(id="strap", length_mm=60, width_mm=10, count=2),))
    >>> check_bands(asked, [Band(10, (BandPart("strap", 0, 0, 0.0, 60.0), BandPart("strap", 1, 0, 50.0, 60.0)))]).faults
    ('strap: reaches from 50 to 110 mm in a band of 100 mm', 'strap and strap overlap by 10 mm')
    """
    strips = {strip.id: strip for strip in request.strips}
    faults = [f"{part.id}: was not asked for" for band in bands for part in band.parts if part.id not in strips]
    for strip in request.strips:
        faults += _strip_faults(request, strip, bands)
    for band in bands:
        faults += _band_faults(request.band_mm, band)
    return Verdict(CHECKS, tuple(faults))


def _strip_faults(request: BandRequest, strip: BandStrip, bands: Sequence[Band]) -> Iterator[str]:
    found: dict[int, list[BandPart]] = {}
    for band in bands:
        for part in band.parts:
            if part.id != strip.id:
                continue
            found.setdefault(part.copy, []).append(part)
            if abs(band.width_mm - strip.width_mm) > _OFF_MM:
                yield f"{strip.id}: is {strip.width_mm:g} mm wide, its band {band.width_mm:g}"
    if sorted(found) != list(range(strip.count)):
        yield f"{strip.id}: cut {len(found)} times, asked for {strip.count}"
    for parts in found.values():
        whole = sum(part.length_mm for part in parts) - (len(parts) - 1) * request.join_mm
        if abs(whole - strip.length_mm) > _OFF_MM * len(parts):
            yield f"{strip.id}: comes out {whole:g} mm long, {strip.length_mm:g} are asked for"
        if len(parts) > 1 and not strip.may_join:
            yield f"{strip.id}: is joined, but has to stay whole"
        if len(parts) > 1 and min(part.length_mm for part in parts) < request.least_part_mm - _OFF_MM:
            yield f"{strip.id}: has a part shorter than {request.least_part_mm:g} mm"


def _band_faults(band_mm: float, band: Band) -> Iterator[str]:
    parts = sorted(band.parts, key=lambda part: part.start_mm)
    for part in parts:
        low, high = part.start_mm, part.start_mm + part.length_mm
        if low < -_OFF_MM or high > band_mm + _OFF_MM or part.length_mm <= 0:
            yield f"{part.id}: reaches from {low:g} to {high:g} mm in a band of {band_mm:g} mm"
    for one, next_ in pairwise(parts):
        over = one.start_mm + one.length_mm - next_.start_mm
        if over > _OFF_MM:
            yield f"{one.id} and {next_.id} overlap by {over:g} mm"
