"""Step (b) of the design in its own words, by shapely and numpy alone: a beam search of width 24.

Candidates put a scrap's vertex on a vertex of what is bare (grain), or an edge along an edge, end to end (free turns).
They are screened by sample points on a raster; the best 40 are judged exactly and ranked by area gained, boundary
shared and cloth wasted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from bagwright.geometry.region import Region
from bagwright.model.cover import CoverMeasures, CoverRequest, ScrapPlacement
from bagwright.piecing.measures import measure_cover

WIDTH, JUDGED, GRID_MM = 24, 40, 1e-3
RASTER_MM, SAMPLES, PLAIN_MM = 2.0, 40, 0.8
LEAST_SHARE, LEAST_PART_MM2 = 0.003, 4.0
SHARED_MM2, WASTE_COSTS = 1.0, 0.1
"""A millimetre of boundary shared counts as so many square millimetres gained; so do those wasted, against them."""

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class PlainScrap:
    """A scrap as a polygon, its corners once small bends are gone (complex numbers), points spread over its inside."""

    shape: Polygon
    corners: npt.NDArray[np.complex128]
    samples: npt.NDArray[np.complex128]
    turns: tuple[float, ...]


@dataclass(frozen=True)
class PlainCover:
    """What is bare, and the scraps laid: which, turned (radians), shifted."""

    bare: BaseGeometry
    laid: tuple[tuple[int, float, complex], ...]


def corners_of(ring) -> npt.NDArray[np.complex128]:
    """Counter-clockwise if it is an outer ring."""
    points = np.array(ring.coords)[:-1]
    return points[:, 0] + 1j * points[:, 1]


def plain_rings(shape: BaseGeometry):
    """Boundaries without small bends, outer ones counter-clockwise, holes the other way."""
    parts = shapely.get_parts(shapely.orient_polygons(shape.simplify(PLAIN_MM)))
    return [ring for part in parts for ring in (part.exterior, *part.interiors)]


def plain_scrap(outline, grain_deg, *, keeps_grain: bool) -> PlainScrap:
    shape = shapely.geometry.polygon.orient(Polygon(outline))
    low_x, low_y, high_x, high_y = shape.bounds
    step = np.sqrt(shape.area / SAMPLES)
    x, y = np.meshgrid(np.arange(low_x + step / 2, high_x, step), np.arange(low_y + step / 2, high_y, step))
    inside = shapely.contains_xy(shape, x.ravel(), y.ravel())
    grain = -np.radians(grain_deg or 0.0)
    turns = (grain, grain + np.pi) if keeps_grain else ()
    return PlainScrap(shape, corners_of(plain_rings(shape)[0]), (x + 1j * y).ravel()[inside], turns)


def candidates(bare: BaseGeometry, scrap: PlainScrap):
    """Turns and shifts."""
    rings = [corners_of(ring) for ring in plain_rings(bare)]
    if scrap.turns:
        at = np.concatenate(rings)
        turned = [scrap.corners * np.exp(1j * turn) for turn in scrap.turns]
        shifts = [(at[:, None] - corners[None]).ravel() for corners in turned]
        return np.repeat(scrap.turns, [len(one) for one in shifts]), np.concatenate(shifts)
    a, b = np.concatenate(rings), np.concatenate([np.roll(ring, -1) for ring in rings])
    c, d = scrap.corners, np.roll(scrap.corners, -1)
    turn = np.angle((b - a)[:, None] / (d - c)[None])
    heads = np.exp(1j * turn)
    shifts = [a[:, None] - heads * c[None], b[:, None] - heads * d[None]]
    return np.tile(turn.ravel(), 2), np.concatenate([one.ravel() for one in shifts])


class Raster:
    """Which squares have their middle on bare ground."""

    def __init__(self, bare: BaseGeometry) -> None:
        low_x, low_y, high_x, high_y = bare.bounds
        self.low = complex(low_x - RASTER_MM, low_y - RASTER_MM)
        x = np.arange(low_x - RASTER_MM / 2, high_x + 2 * RASTER_MM, RASTER_MM)
        y = np.arange(low_y - RASTER_MM / 2, high_y + 2 * RASTER_MM, RASTER_MM)
        shapely.prepare(bare)
        self.cells = np.asarray(shapely.contains_xy(bare, *np.meshgrid(x, y)))
        self.cells[[0, -1]] = self.cells[:, [0, -1]] = False

    def holds(self, points):
        steps = (points - self.low) / RASTER_MM
        rows, columns = self.cells.shape
        x = np.clip(steps.real, 0, columns - 1).astype(int)
        return self.cells[np.clip(steps.imag, 0, rows - 1).astype(int), x]


def screened(cover: PlainCover, scraps):
    """(promise, cover, scrap, turn, shift) of the best candidates by sample points."""
    raster, found = Raster(cover.bare), []
    for number in set(range(len(scraps))) - {one[0] for one in cover.laid}:
        scrap = scraps[number]
        turns, shifts = candidates(cover.bare, scrap)
        lies = scrap.samples[None] * np.exp(1j * turns)[:, None] + shifts[:, None]
        promises = ((1 + WASTE_COSTS) * raster.holds(lies).mean(axis=1) - WASTE_COSTS) * scrap.shape.area
        order = np.argsort(-promises)[:JUDGED]
        found += [(promises[i] - cover.bare.area, cover, number, float(turns[i]), complex(shifts[i])) for i in order]
    return sorted(found, key=lambda one: -one[0])[:JUDGED]


def lies_at(scrap: PlainScrap, turn: float, shift: complex) -> Polygon:
    """The scrap where it is laid."""
    return affinity.translate(affinity.rotate(scrap.shape, turn, (0, 0), use_radians=True), shift.real, shift.imag)


def judged(steps, scraps, least_mm2):
    """The next level, the best first; each set of places once."""
    found = {}
    for _, cover, number, turn, shift in steps:
        lies = lies_at(scraps[number], turn, shift)
        bare = with_parts(shapely.difference(cover.bare, lies, grid_size=GRID_MM))
        gained = cover.bare.area - bare.area
        if gained < least_mm2:
            continue
        shared = shapely.intersection(cover.bare.boundary, lies.buffer(0.5), grid_size=GRID_MM).length
        rank = SHARED_MM2 * shared - bare.area - WASTE_COSTS * (lies.area - gained)
        laid = (*cover.laid, (number, turn, shift))
        key = frozenset((one, round(way, 2), round(at.real), round(at.imag)) for one, way, at in laid)
        found[key] = rank, PlainCover(bare, laid)
    return [cover for _, cover in sorted(found.values(), key=lambda one: -one[0])[:WIDTH]]


def with_parts(bare: BaseGeometry) -> BaseGeometry:
    """What is bare, without lines, crumbs and slivers."""
    return areas_of(bare.buffer(-0.05, join_style="mitre").buffer(0.05, join_style="mitre"), LEAST_PART_MM2)


def areas_of(shape: BaseGeometry, least_mm2: float = 0.0) -> shapely.MultiPolygon:
    """Its parts that have an area larger than that."""
    return shapely.MultiPolygon([part for part in shapely.get_parts(shape) if part.area > least_mm2])


def beam_covers(request: CoverRequest) -> list[tuple[int, CoverMeasures]]:
    """With one scrap, with two ...: how many scraps the best cover of each level has, and its measures."""
    scraps = [
        plain_scrap(one.region.outer_ring(), one.grain_deg, keeps_grain=request.keeps_grain) for one in request.scraps
    ]
    need = areas_of(request.need.shape)
    level, answers = [PlainCover(need, ())], list[tuple[int, CoverMeasures]]()
    while level and len(level[0].laid) < request.max_scraps:
        steps = [step for cover in level if not cover.bare.is_empty for step in screened(cover, scraps)]
        steps.sort(key=lambda step: -step[0])
        level = judged(steps[:JUDGED], scraps, LEAST_SHARE * need.area)
        if level:
            answers.append((len(level[0].laid), measures_of(request, level[0], scraps)))
    return answers


def measures_of(request: CoverRequest, cover: PlainCover, scraps) -> CoverMeasures:
    """What each scrap covers of what those before it leave, measured as ours are."""
    bare = areas_of(request.need.shape)
    placements = []
    for number, turn, shift in cover.laid:
        lies = lies_at(scraps[number], turn, shift)
        kept = shapely.intersection(lies, bare, grid_size=GRID_MM)
        bare = areas_of(shapely.difference(bare, lies, grid_size=GRID_MM))
        parts = tuple(Region(part) for part in areas_of(kept, LEAST_PART_MM2).geoms)
        place = float(np.degrees(turn)), shift.real, shift.imag
        placements.append(ScrapPlacement(request.scraps[number].id, *place, parts))
    return measure_cover(request, placements)
