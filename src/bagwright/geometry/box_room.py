"""Room for upright boxes within a region: where one fits, found without trying every place exactly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Bounds, Region

_BINS = 128
_SIDE = _BINS + 2
_ROUNDING = 1e-6
_FIRST = 6
_PLACES = np.arange(13) / 12

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class BoxRoom:
    """A region, and how many points of its outlines lie in the bins below and left of each corner of a fine grid."""

    region: Region
    start: Point
    bin_mm: float
    below: Ints

    @classmethod
    def of(cls, region: Region) -> BoxRoom:
        """Room within a region that is not empty."""
        left, low, right, high = region.bounds
        bin_mm = max(right - left, high - low) / _BINS
        outlines = shapely.segmentize(region.shape.boundary, bin_mm)
        bins = ((shapely.get_coordinates(outlines) - (left, low)) / bin_mm).astype(np.int64) + 1
        counts = np.bincount(bins[:, 0] * _SIDE + bins[:, 1], minlength=_SIDE * _SIDE).reshape(_SIDE, _SIDE)
        return cls(region, (left, low), bin_mm, counts.cumsum(axis=0).cumsum(axis=1))

    def middle_for(self, size_mm: Point, bounds: Bounds) -> Point | None:
        """Middle of a box of that size within the region, of 13 x 13 places spread over `bounds` the most central one.

        >>> BoxRoom.of(Region.rectangle((0, 0), (9, 4))).middle_for((6, 2), (0, 0, 9, 4))
        (4.5, 2.0)
        """
        left, low, right, high = bounds
        wide, tall = right - left - size_mm[0], high - low - size_mm[1]
        if wide < 0 or tall < 0:
            return None
        xs, ys = left + size_mm[0] / 2 + _PLACES * wide, low + size_mm[1] / 2 + _PLACES * tall
        off_centre = (xs[:, None] - (left + right) / 2) ** 2 + (ys - (low + high) / 2) ** 2
        places = np.argwhere(self._may_hold(xs, ys, size_mm))
        places = places[np.argsort(off_centre[places[:, 0], places[:, 1]], kind="stable")]
        middles = np.column_stack((xs[places[:, 0]], ys[places[:, 1]]))
        half_mm = np.array(size_mm) / 2
        for some in (middles[:_FIRST], middles[_FIRST:]):  # mostly one of the first is free
            held = self.region.holds_boxes(np.hstack((some - half_mm, some + half_mm)))
            if any(held):
                x_mm, y_mm = some[held.index(True)].tolist()
                return x_mm, y_mm
        return None

    def _may_hold(self, xs: Floats, ys: Floats, size_mm: Point) -> npt.NDArray[np.bool_]:
        """Whether no outline of the region runs through the bins wholly inside each box: else that box sticks out."""
        first_x, last_x = self._bins_inside(xs - self.start[0], size_mm[0] / 2)
        first_y, last_y = self._bins_inside(ys - self.start[1], size_mm[1] / 2)
        right, left = self.below[last_x], self.below[first_x]
        free: npt.NDArray[np.bool_] = right[:, last_y] - right[:, first_y] - left[:, last_y] + left[:, first_y] == 0
        return free

    def _bins_inside(self, middles: Floats, half_mm: float) -> tuple[Ints, Ints]:
        first = np.floor((middles - half_mm) / self.bin_mm + _ROUNDING) + 1
        last = np.maximum(np.ceil((middles + half_mm) / self.bin_mm - _ROUNDING) - 1, first)
        limited = np.minimum(np.maximum((first, last), 0), _SIDE - 1).astype(np.int64)
        return limited[0], limited[1]


def box_about(middle: Point, size_mm: Point) -> Region:
    """An upright box of that size."""
    left, low, right, high = _corners(middle, size_mm)
    return Region.rectangle((left, low), (right, high))


def _corners(middle: Point, size_mm: Point) -> Bounds:
    half_x, half_y = size_mm[0] / 2, size_mm[1] / 2
    return middle[0] - half_x, middle[1] - half_y, middle[0] + half_x, middle[1] + half_y
