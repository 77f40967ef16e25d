"""Where the camera stood, as the cards tell it, and how thick scraps seen from there are brought down to the mat."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from bagwright.capture.corrections import with_shape
from bagwright.capture.fitting import Fit
from bagwright.capture.light import Floats
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.found_outline import CameraAbove, FoundOutline

MOST_THICK_MM: Final = 30.0
_HALF_DIAGONAL_MM: Final = 21.63
"""Of a picture of 36 x 24 mm, by which focal lengths of phones are told."""
_TOLD: Final = 0.08
"""Standard error, as a share, of a focal length that the file tells: pictures are cropped to other shapes."""
_USUAL: Final = (26.0, 0.25)
"""Of phones' usual cameras, on 36 x 24 mm, and how far they differ, as a share: from experience, no source."""
_UNSEEN: Final = 0.006
"""How far the shape of a slanted ground may be off by a lens that is not quite as `Plane` says: from real pictures."""
_LAID: Final = 0.2
"""How far a scrap may be from its thickness where its edge is seen, as a share: pressed, curled or rounded."""
_LEAST_SWEPT_MM: Final = 1e-4
_SLIVER_MM: Final = 0.02


def camera_above(fit: Fit, told_focal_mm: float | None) -> CameraAbove:
    """Height and foot of the camera over the ground, in mm.

    A plane seen with slant shows the focal length; one seen from straight above does not: there it is taken from what
    the file tells (`told_focal_mm`, as on 36 x 24 mm), else as that of usual phones, and the doubt is told.

    With v and (a, b, d, p, q) of `Plane`, n = (p, q) and f the focal length in the unit of v, a ground whose points
    lie at depth z0 / (1 + n.v) has (a^2, a b; a b, b^2 + d^2) = (z0 / f)^2 I + z0^2 n n^T, so the slant's tangent is
    f |n|, the height z0 / sqrt(1 + f^2 n.n), and the foot lies where v = f^2 n. Derived by hand.
    """
    values = np.array(fit.plane.values)
    told, share = (told_focal_mm, _TOLD) if told_focal_mm else _USUAL
    logs = np.log(told / _HALF_DIAGONAL_MM) + np.linspace(-3 * share, 3 * share, 601)
    focal = np.exp(logs)
    off = _stretch(values) - focal**2 * _fall(values)
    slopes = np.stack([_by_value(part, values) for part in (_stretch, _fall)])
    (stretch, both), (_, fall) = slopes @ fit.doubt @ slopes.T
    doubt = stretch - 2 * both * focal**2 + fall * focal**4 + _UNSEEN**2
    odds = -0.5 * (off**2 / doubt + np.log(doubt) + ((logs - logs[300]) / share) ** 2)
    weights = np.exp(odds - odds.max())
    weights /= weights.sum()
    best = float(np.exp(weights @ logs))
    spread = float(np.sqrt(weights @ (logs - np.log(best)) ** 2))
    return _seen_with(values, best, min(2 * spread, 1.0))


def _metric(values: Floats) -> Floats:
    a, b, d = values[:3]
    return np.array([[a * a, a * b], [a * b, b * b + d * d]])


def _way(values: Floats) -> Floats:
    """The way in the picture along which the ground falls away; across the picture if it does not."""
    size = float(np.hypot(values[3], values[4]))
    return np.asarray(values[3:5] / size) if size > 1e-9 else np.array([1.0, 0.0])


def _across(values: Floats) -> float:
    """Mm of the ground in one of v at the middle, square to the way it falls."""
    x, y = _way(values)
    side = np.array([-y, x])
    return float(np.sqrt(side @ _metric(values) @ side))


def _stretch(values: Floats) -> float:
    """By how much the ground is longer the way it falls than across, squared, less 1: the slant's tangent squared."""
    way = _way(values)
    return float(way @ _metric(values) @ way) / _across(values) ** 2 - 1


def _fall(values: Floats) -> float:
    return float(values[3] ** 2 + values[4] ** 2)


def _by_value(of: Callable[[Floats], float], values: Floats) -> Floats:
    """How something changes with each of the values."""
    steps = np.diag(1e-6 * np.maximum(np.abs(values), 1e-2))
    return np.array([(of(values + step) - of(values - step)) / (2 * step.sum()) for step in steps])


def _seen_with(values: Floats, focal: float, doubt_share: float) -> CameraAbove:
    a, b, d, p, q = values[:5]
    slant = 1 + focal**2 * (p * p + q * q)
    x, y = focal**2 * np.array([p, q])
    foot = (float((a * x + b * y) / slant), float(-d * y / slant))
    return CameraAbove(foot=foot, height_mm=focal * _across(values) / float(np.sqrt(slant)), doubt_share=doubt_share)


def brought_down(outline: FoundOutline, camera: CameraAbove, thickness_mm: float, *, place: str) -> FoundOutline:
    """The outline of what lies on the ground, of something as thick as that with upright sides.

    From height H over foot F, the lower rim is seen at p and the upper one at F + (p - F) H / (H - t). What is seen is
    all that lies on the way from one to the other: it ends with the upper rim on the side away from the foot, with the
    lower rim on the side towards it, and with the upper rim all round if the foot lies within. So a place is the
    scrap's if all the way from it to where it would be seen at height t is covered: what the outline's sides pass over
    as they are drawn to F by (H - t) / H is taken off. Exact for 0 <= t < H and upright sides; gaps narrower than that
    way are closed in the picture, and stay so. Assumes that the scrap lies flat. Derived by hand. Raises
    `FaultyInput`, told of `place`, if nothing would be left.

    >>> square = FoundOutline(number=1, outer=((100, -50), (202, -51), (202, 51), (100, 50)), error_mm=0.2)
    >>> camera = CameraAbove(foot=(0, 0), height_mm=404, doubt_share=0.1)
    >>> brought_down(square, camera, 4, place="thickness").region.bounds
    (100.0, -50.495, 200.0, 50.495)
    """
    if thickness_mm <= 0:
        return outline
    share = 1 - thickness_mm / camera.height_mm
    left = outline.region.minus_all(_swept(outline, camera.foot, share))
    for by_mm in (-_SLIVER_MM, 2 * _SLIVER_MM, -_SLIVER_MM):  # what is thinner would cross itself once rounded
        left = left.grown(by_mm)
    kept = max(left.parts(), key=lambda part: part.area_mm2, default=None)
    if kept is None:
        raise FaultyInput([_too_thick(place, thickness_mm, outline)])
    reach = max(math.dist(point, camera.foot) for point in outline.outer)
    moved = reach * (1 - share) * math.hypot(camera.doubt_share, _LAID)
    error = round(math.hypot(outline.error_mm, moved), 3)
    return replace(with_shape(outline, kept), error_mm=error, thickness_mm=thickness_mm)


def _swept(outline: FoundOutline, foot: Point, share: float) -> list[Region]:
    """What its sides pass over as they are drawn towards the foot, to that share of their distance."""
    found = []
    for ring in (outline.outer, *outline.holes):
        near = [(x * share + foot[0] * (1 - share), y * share + foot[1] * (1 - share)) for x, y in ring]
        for i in range(len(ring)):
            (x0, y0), (x1, y1), (x2, y2) = ring[i - 1], ring[i], near[i]
            swept = abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0))
            if swept > _LEAST_SWEPT_MM * math.hypot(x1 - x0, y1 - y0):
                found.append(Region.from_ring([ring[i - 1], ring[i], near[i], near[i - 1]]))
    return found


def _too_thick(place: str, thickness_mm: float, outline: FoundOutline) -> Problem:
    return Problem(
        place=place,
        value=f"{thickness_mm:g} mm",
        what=f"is too thick for outline {outline.number}: nothing of it would be left",
        allowed="the thickness of what lies there, as it lies",
        remedy="Measure it with a ruler at its edge.",
    )
