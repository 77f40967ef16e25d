"""Planted covers with straight or curved cuts, scraps gone missing and many strays: the truth is known."""

from __future__ import annotations

import numpy as np
from shapely import affinity
from shapely.geometry import LineString, Polygon, box
from shapely.ops import split

from bagwright.geometry.region import Region
from bagwright.model.cover import CoverRequest, CoverScrap


def template(rng):
    """A panel with a curved foot, a leaf, a wedge, or a rounded panel."""
    w, h = rng.uniform(200, 420), rng.uniform(160, 340)
    kind = rng.integers(4)
    t = np.linspace(0, np.pi, 25)
    if kind == 0:
        foot = [(w / 2 - w / 2 * np.cos(a), -0.18 * h * np.sin(a)) for a in t]
        return Polygon([*foot, (w, h), (0, h)])
    if kind == 1:
        return Polygon(
            [(w / 2 + w / 2 * np.cos(a), h / 2 + h / 2 * np.sin(a)) for a in np.linspace(0, 2 * np.pi, 73)[:-1]]
        )
    if kind == 2:
        return Polygon([(0, 0), (w, 0), (0.85 * w, h), (0.1 * w, h)])
    return box(0, 0, w, h).buffer(-40).buffer(40)


def cut(whole, rng, *, bend_mm, step_mm):
    """Two parts along a line through the middle that swings by up to `bend_mm`."""
    for _ in range(80):
        angle = rng.uniform(0, np.pi)
        x, y = np.array(whole.centroid.coords[0]) + rng.normal(0, 12, 2)
        s = np.arange(-700, 700 + step_mm, step_mm)
        swing = bend_mm * np.sin(s / rng.uniform(35, 90) + rng.uniform(0, 6))
        line = LineString(
            np.column_stack(
                [x + s * np.cos(angle) - swing * np.sin(angle), y + s * np.sin(angle) + swing * np.cos(angle)]
            )
        )
        parts = list(split(whole, line).geoms)
        if len(parts) == 2 and min(part.area for part in parts) > 0.22 * whole.area:
            return parts
    return [whole]


def stray(rng):
    w, h = rng.uniform(30, 200), rng.uniform(25, 150)
    corners = np.array([(0, 0), (w, 0), (w, h), (0, h)]) + rng.uniform(-0.15, 0.15, (4, 2)) * [w, h]
    return Polygon(corners).convex_hull


def planted(seed, parts, *, grain=False, bend_mm=0.0, strays=10, missing=0, step_mm=10.0, noise_mm=0.0):
    """-> request, number of planted scraps at hand, share of the need that they cover."""
    rng = np.random.default_rng([seed, parts, int(bend_mm), missing])
    need = template(rng)
    pieces = [need]
    while len(pieces) < parts:
        pieces.sort(key=lambda piece: -piece.area)
        pieces += cut(pieces.pop(0), rng, bend_mm=bend_mm, step_mm=step_mm)
    kept = [pieces[i] for i in rng.permutation(len(pieces))[missing:]]
    share = sum(piece.area for piece in kept) / need.area
    scraps = []
    for number, i in enumerate(rng.permutation(len(kept) + strays)):
        shape = kept[i] if i < len(kept) else stray(rng)
        angle = rng.choice([0.0, 180.0]) if grain else rng.uniform(0, 360)
        shape = affinity.rotate(shape, angle, origin=(0, 0))
        shape = affinity.translate(shape, -shape.bounds[0], -shape.bounds[1])
        if noise_mm:  # as read from a photo: corners wander, curves get other points
            shape = shape.simplify(noise_mm)
            wander = rng.normal(0, noise_mm / 2, (len(shape.exterior.coords) - 1, 2))
            shape = Polygon(np.array(shape.exterior.coords[:-1]) + wander)
        ring = [(round(x, 3), round(y, 3)) for x, y in shape.exterior.coords[:-1]]
        scraps.append(CoverScrap(id=f"s{number}", region=Region.from_ring(ring), grain_deg=0.0 if grain else None))
    outline = Region.from_ring([(round(x, 3), round(y, 3)) for x, y in need.exterior.coords[:-1]])
    request = CoverRequest(need=outline, scraps=tuple(scraps), keeps_grain=grain, max_scraps=parts + 2)
    return request, len(kept), share
