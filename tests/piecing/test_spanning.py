"""One scrap over all that is bare, and scraps moved a little: no corner lies on a corner. Judged by shapely alone."""

from __future__ import annotations

import numpy as np
import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon

from bagwright.geometry.region import Region
from bagwright.model.cover import CoverRequest, CoverScrap, CoverSettings
from bagwright.piecing.cover import cover_template
from bagwright.piecing.heap import ready_heap
from bagwright.piecing.partial import Laid, nudged
from bagwright.piecing.spanning import spanning_poses
from tests.piecing.planted import cut, stray


def scrap(name, shape, turn_deg, grain):
    ring = list(affinity.rotate(shape, turn_deg, origin=(0, 0)).exterior.coords)[:-1]
    return CoverScrap(id=name, region=Region.from_ring(ring), grain_deg=float(turn_deg) if grain else None)


def in_three(chance):
    """A leaf in three along swinging lines."""
    leaf = affinity.scale(Point(0, 0).buffer(1, quad_segs=20), 160, 110)
    first, rest = sorted(cut(leaf, chance, bend_mm=10, step_mm=10), key=lambda part: part.area)
    return [first, *cut(rest, chance, bend_mm=10, step_mm=10)]


@pytest.mark.parametrize("grain", [True, False])
def test_a_gap_between_swinging_borders_is_covered_by_one_scrap_without_corners(grain):
    chance = np.random.default_rng(5)
    gone, *kept = in_three(chance)
    blob = gone.buffer(4.0)
    turns = (180, 0, 180) if grain else (77, 200, 311)
    named = {"blob": blob, "left": kept[0], "right": kept[1]}
    scraps = [scrap(name, shape, turn, grain) for (name, shape), turn in zip(named.items(), turns, strict=True)]
    scraps += [scrap(f"stray-{n}", stray(chance), 0, grain) for n in range(6)]
    need = Region.union([Region(part) for part in (gone, *kept)])
    request = CoverRequest(need=need, scraps=tuple(scraps), keeps_grain=grain, max_scraps=5)

    heap = ready_heap(request)
    poses = spanning_poses(Region(gone), heap, np.ones(len(scraps), dtype=np.bool_), least_mm2=gone.area)
    best = Polygon(scraps[poses.scrap[0]].region.outer_ring())
    lies = affinity.rotate(best, poses.turn[0], origin=(0, 0), use_radians=True)
    assert gone.difference(affinity.translate(lies, *poses.shift[0])).area < 0.003 * gone.area
    assert (poses.turn[0] - np.radians(-turns[0])) % np.pi == pytest.approx(0, abs=1e-9) or not grain

    cover = cover_template(request, settings=CoverSettings(iterations=60))
    assert cover.verdict.passed and cover.measures.covered_share > 0.9995
    assert {one.id for one in cover.placements} == set(named)


def test_nothing_is_laid_where_nothing_is_bare_or_no_scrap_large_enough():
    square = Region.rectangle((0, 0), (40, 40))
    heap = ready_heap(CoverRequest(need=square, scraps=(CoverScrap(id="a", region=square),)))
    free = np.ones(1, dtype=np.bool_)
    assert not len(spanning_poses(square, heap, free, least_mm2=1601).scrap)
    assert len(spanning_poses(square, heap, free, least_mm2=1600).scrap) == 1
    assert not len(spanning_poses(square, heap, ~free, least_mm2=0).scrap)
    assert not len(spanning_poses(square.minus(square), heap, free, least_mm2=0).scrap)


def test_a_nudge_moves_the_middle_by_the_step_and_a_turn_leaves_it_where_it_is():
    square = CoverScrap(id="a", region=Region.rectangle((10, 20), (50, 100)))
    heap = ready_heap(CoverRequest(need=square.region, scraps=(square,)))
    laid = Laid(0, 0.3, 5.0, -7.0)

    def middle(one):
        moved = affinity.rotate(Polygon(square.region.outer_ring()), one.turn, origin=(0, 0), use_radians=True)
        return affinity.translate(moved, one.x, one.y).centroid

    moves = nudged(laid, heap, 2.0)
    assert [round(middle(one).distance(middle(laid)), 6) for one in moves] == [2, 2, 2, 2, 0, 0]
    assert [one.turn > laid.turn for one in moves[4:]] == [True, False]
