"""Step (a) of the design in its own words, by shapely and numpy alone: what is bare, correlated with each scrap by FFT.

Scraps are turned so that long edges meet long edges. The one that gains most on the raster is laid, pushed about by
exact areas until nothing is gained any more, and never taken up again.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import shapely
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from bagwright.model.cover import CoverMeasures, CoverRequest
from tests.piecing.plain_beam import (
    GRID_MM,
    LEAST_SHARE,
    WASTE_COSTS,
    PlainCover,
    areas_of,
    corners_of,
    lies_at,
    measures_of,
    plain_rings,
    plain_scrap,
    with_parts,
)

STEP_MM, LEAST_STEP_MM, LONG_EDGES = 4.0, 0.05, 4


def correlated_cover(request: CoverRequest) -> tuple[int, CoverMeasures] | None:
    """How many scraps it takes, and its measures. None if nothing is covered."""
    scraps = [
        plain_scrap(one.region.outer_ring(), one.grain_deg, keeps_grain=request.keeps_grain) for one in request.scraps
    ]
    need = areas_of(request.need.shape)
    cover = PlainCover(need, ())
    while len(cover.laid) < request.max_scraps and cover.bare.area > LEAST_SHARE * need.area:
        step = correlated(cover, scraps)
        longer = polished(cover, scraps, step) if step else cover
        if cover.bare.area - longer.bare.area < LEAST_SHARE * need.area:
            break
        cover = longer
    return (len(cover.laid), measures_of(request, cover, scraps)) if cover.laid else None


def correlated(cover: PlainCover, scraps) -> tuple[int, float, complex] | None:
    """Scrap, turn and shift that gain most on the raster, less a toll for what is wasted."""
    bare, low = squares(cover.bare)
    best, found = 0.0, None
    for number in sorted(set(range(len(scraps))) - {one[0] for one in cover.laid}):
        scrap = scraps[number]
        for turn in scrap.turns or long_edges_meet(cover.bare, scrap.corners):
            lies, at = squares(affinity.rotate(scrap.shape, turn, (0, 0), use_radians=True))
            gains, row, column = highest(bare, lies)
            worth = ((1 + WASTE_COSTS) * gains - WASTE_COSTS * lies.sum()) * STEP_MM**2
            if worth > best:
                best, found = worth, (number, float(turn), low - at + STEP_MM * complex(column, row))
    return found


def squares(shape: BaseGeometry) -> tuple[npt.NDArray[np.float64], complex]:
    """A raster, one for each square whose middle lies inside, and its lower left corner."""
    low_x, low_y, high_x, high_y = shape.bounds
    x = np.arange(low_x + STEP_MM / 2, max(high_x, low_x + STEP_MM), STEP_MM)
    y = np.arange(low_y + STEP_MM / 2, max(high_y, low_y + STEP_MM), STEP_MM)
    shapely.prepare(shape)
    return shapely.contains_xy(shape, *np.meshgrid(x, y)).astype(float), complex(low_x, low_y)


def highest(bare, lies) -> tuple[float, int, int]:
    """Most squares of `bare` that `lies` covers wherever it is shifted, and by how many rows and columns then."""
    rows, columns = (16 * -(-(a + b) // 16) for a, b in zip(bare.shape, lies.shape, strict=True))
    waves = np.fft.rfft2(bare, (rows, columns)) * np.fft.rfft2(lies, (rows, columns)).conj()
    gains = np.fft.irfft2(waves, (rows, columns))
    row, column = (int(one) for one in np.unravel_index(gains.argmax(), gains.shape))
    shifted = row - rows * (row >= bare.shape[0]), column - columns * (column >= bare.shape[1])
    return float(gains[row, column]), *shifted


def long_edges_meet(bare: BaseGeometry, corners):
    """Turns that lay one of the longest edges of the scrap along one of what is bare."""

    def longest(points):
        steps = np.roll(points, -1) - points
        return np.angle(steps[np.argsort(-np.abs(steps))[:LONG_EDGES]])

    around = longest(corners_of(max(plain_rings(bare), key=lambda ring: Polygon(ring).area)))
    return np.unique((around[:, None] - longest(corners)[None]).round(4) % round(2 * np.pi, 4))


def polished(cover: PlainCover, scraps, step: tuple[int, float, complex]) -> PlainCover:
    """With that scrap, shifted by ever smaller steps as long as it covers more."""
    number, turn, shift = step
    best, step_mm = laid_at(cover, scraps, step), STEP_MM
    while step_mm > LEAST_STEP_MM:
        near = [laid_at(cover, scraps, (number, turn, shift + step_mm * way)) for way in (1, -1, 1j, -1j)]
        better = min(near, key=lambda one: one.bare.area)
        if better.bare.area < best.bare.area - 1e-6:
            best, shift = better, better.laid[-1][2]
        else:
            step_mm /= 2
    return best


def laid_at(cover: PlainCover, scraps, step: tuple[int, float, complex]) -> PlainCover:
    number, turn, shift = step
    lies = lies_at(scraps[number], turn, shift)
    return PlainCover(with_parts(shapely.difference(cover.bare, lies, grid_size=GRID_MM)), (*cover.laid, step))
