"""Judge covers of several templates from the outlines alone: each by `check_cover`, and that nothing is used twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from bagwright.model.cover import CoversRequest, LeftTemplate, TemplateCover
from bagwright.model.source import Verdict
from bagwright.piecing.check import CHECKS, check_cover

CHECKS_OF_SEVERAL = (*CHECKS, "each scrap once", "copies", "enough")


def check_covers(request: CoversRequest, covers: Sequence[TemplateCover], left: Sequence[LeftTemplate]) -> Verdict:
    """Re-derive everything from `request` and name each fault.

    >>> check_covers(CoversRequest(templates=(), scraps=()), [], [LeftTemplate("base", 1, 0)]).faults
    ('base: no such template was given',)
    """
    return Verdict(CHECKS_OF_SEVERAL, tuple(_faults(request, covers, left)))


def _faults(request: CoversRequest, covers: Sequence[TemplateCover], left: Sequence[LeftTemplate]) -> Iterator[str]:
    templates = {one.id: one for one in request.templates}
    copies = Counter(one.template_id for one in covers)
    for rest in left:
        copies[rest.template_id] += rest.count
    for name in copies.keys() - templates.keys():
        yield f"{name}: no such template was given"
    for name, template in templates.items():
        if copies[name] != template.count:
            yield f"{name}: {copies[name]} copies told, {template.count} asked for"
    used = Counter(place.id for one in covers for place in one.cover.placements)
    yield from (f"{name}: used {count} times" for name, count in used.items() if count > 1)
    for one in covers:
        if one.template_id not in templates:
            continue
        asked, cover = request.of(templates[one.template_id], request.scraps), one.cover
        judged = check_cover(asked, cover.placements, cover.measures)
        yield from (f"{one.template_id}: {fault}" for fault in judged.faults)
        measures = cover.measures
        if measures.covered_share < request.enough_share or measures.widest_gap_mm > request.widest_gap_mm:
            yield f"{one.template_id}: covers less than asked, or leaves too wide a gap"
