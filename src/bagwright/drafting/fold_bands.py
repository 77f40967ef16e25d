"""Bands: strips that bend along the line on which they are sewn, and keep their length there."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.fold_assembly import Assembly, Pair, SoftCopy
from bagwright.drafting.fold_hinge import way_off
from bagwright.drafting.fold_strips import at_level, laid_out, way_between
from bagwright.drafting.fold_tracks import Body
from bagwright.geometry.curves import Point
from bagwright.geometry.ribbons import Ribbon, Station, straightened
from bagwright.geometry.space import Point3, along, unit

STRETCH_SHARE = 0.05
"""A band follows a line if distances along both agree within this."""
_STILL, _NO_WAY = (0.0, 0.0, 0.0), 0.2


def band_along(body: Body, pairs: Sequence[Pair], assembly: Assembly) -> SoftCopy | None:
    """A strip sewn along one straight edge or line of it, which keeps its length where it bends."""
    edges = sorted({pair.own.side.edge for pair in pairs})
    name = max(edges, key=lambda name: round(sum(_run_mm(pair) for pair in pairs if pair.own.side.edge == name), 3))
    samples, line = _samples([pair for pair in pairs if pair.own.side.edge == name]), body.piece.edge(name)
    if len(samples) < 3 or math.dist(line.start, line.end) < 0.999 * line.length_mm or not _keeps_length(samples):
        return None
    way = way_between(line.start, line.end)
    flat = laid_out(body, (way[1], -way[0]), pairs[0].own.side)
    flat = at_level(flat, line.start)
    seam_mm = flat.at(line.start)[0]
    stations = []
    for sample in samples:
        # The strip leaves its seam towards the smaller or the larger side of the ribbon, whichever is wider.
        outward = along(_STILL, _way_off_all(sample, assembly), -1.0 if seam_mm > 0 else 1.0)
        run = math.dist(line.start, sample.drawn)
        stations.append(Station(run, along(sample.goal, outward, -seam_mm), outward))
    return replace(flat, ribbon=Ribbon(straightened(stations), flat.ribbon.width_mm))


@dataclass(frozen=True, slots=True)
class _Sample:
    """A place on a strip's edge as drawn, where it must lie, and the samples of all pairs there."""

    drawn: Point
    goal: Point3
    met: tuple[tuple[Pair, int], ...]


def _way_off_all(sample: _Sample, assembly: Assembly) -> Point3:
    """Between the ways off everything that it is sewn to there; off the first alone if they cancel out."""
    total = _STILL
    for pair, number in sample.met:
        total = along(total, way_off(pair, number, assembly), 1.0)
    return unit(total) if math.hypot(*total) > _NO_WAY else way_off(*sample.met[0], assembly)


def _keeps_length(samples: Sequence[_Sample]) -> bool:
    return all(
        abs(math.dist(a.goal, b.goal) - math.dist(a.drawn, b.drawn)) < STRETCH_SHARE * math.dist(a.drawn, b.drawn) + 0.1
        for a, b in itertools.pairwise(samples)
    )


def _samples(pairs: Sequence[Pair]) -> list[_Sample]:
    """Samples of all pairs in order along the strip's edge, each place once."""
    by_place: dict[float, _Sample] = {}
    for pair in pairs:
        for number, at_mm in enumerate(pair.own.at_mm):
            place = round(at_mm, 3)
            sample = by_place.get(place, _Sample(pair.own.drawn[number], pair.goal[number], ()))
            by_place[place] = replace(sample, met=(*sample.met, (pair, number)))
    return [by_place[at] for at in sorted(by_place)]


def _run_mm(pair: Pair) -> float:
    return math.dist(pair.own.drawn[0], pair.own.drawn[-1])
