"""Judge remnants from the cloth and the pieces. Knows nothing of how they were found.

Tolerances as for layouts: a strip of 0.01 mm along a side counts for nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.geometry.region import Region
from bagwright.model.remnant import Remnant, RemnantSettings
from bagwright.model.source import Verdict

REMNANT_CHECKS = ("on the cloth", "off the pieces", "off one another", "large enough", "rectangle within")
_EDGE_MM = 0.01
_OVERLAP_SHARE = 1e-6
_AREA_SHARE = 1e-6


def check_remnants(
    cloth: Region, laid: Sequence[Region], remnants: Sequence[Remnant], settings: RemnantSettings
) -> Verdict:
    """Name each fault of `remnants` found on `cloth` around the pieces `laid`.

    >>> half, cloth = Region.rectangle((0, 0), (200, 100)), Region.rectangle((0, 0), (200, 200))
    >>> left = Remnant(region=half, is_rectangle=True, largest_mm=(0, 0, 200, 100), share_of_cloth=0.5)
    >>> check_remnants(cloth, [half], [left], RemnantSettings()).faults
    ('remnant 1 lies on a piece over 20000 mm2',)
    """
    faults: list[str] = []
    for number, remnant in enumerate(remnants, start=1):
        faults += [f"remnant {number} {fault}" for fault in _faults(cloth, laid, remnant, settings)]
        for earlier, other in enumerate(remnants[: number - 1], start=1):
            if _lies_on(remnant.region, other.region):
                faults.append(f"remnants {earlier} and {number} overlap")
    return Verdict(REMNANT_CHECKS, tuple(faults))


def _faults(cloth: Region, laid: Sequence[Region], remnant: Remnant, keep: RemnantSettings) -> Iterator[str]:
    region = remnant.region
    if not cloth.holds(region, slack_mm=_EDGE_MM):
        yield "leaves the cloth"
    for piece in laid:
        if _lies_on(region, piece):
            yield f"lies on a piece over {region.overlap_mm2(piece):.6g} mm2"
    rectangle = Region.rectangle(remnant.largest_mm[:2], remnant.largest_mm[2:])
    if not region.holds(rectangle, slack_mm=_EDGE_MM):
        yield "does not hold its rectangle"
    if min(remnant.length_mm, remnant.width_mm) < keep.least_side_mm - _EDGE_MM:
        yield f"is narrower than {keep.least_side_mm:g} mm"
    if region.area_mm2 < keep.least_area_mm2 * (1 - _AREA_SHARE):
        yield f"is smaller than {keep.least_area_mm2:g} mm2"
    if remnant.is_rectangle and abs(rectangle.area_mm2 - region.area_mm2) > _AREA_SHARE * region.area_mm2:
        yield "is no rectangle"
    if abs(remnant.share_of_cloth * cloth.area_mm2 - region.area_mm2) > _AREA_SHARE * cloth.area_mm2:
        yield "is told at another share of the cloth than it has"


def _lies_on(region: Region, other: Region) -> bool:
    return region.overlap_mm2(other) > _OVERLAP_SHARE * min(region.area_mm2, other.area_mm2)
