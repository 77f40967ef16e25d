"""How much of planted templates is covered, with how many scraps, and how soon 95 %; two plain searches beside ours.

    .venv/bin/python -m benchmarks.cover [SECONDS] [CASES]

Straight and curved cuts, with and without a part gone missing, outlines exact and as read from a photo; 60 strays each.
The plain searches are (a) correlation on a raster, tests/piecing/plain_correlation.py, and (b) a beam over corners,
tests/piecing/plain_beam.py. They end when they are done, which may be later than ours. In so many cases, the last
figure, ours is as good or better by piecing/ranking.py. The generator is that of the tests, tests/piecing/planted.py.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from statistics import median

from bagwright.model.cover import Cover, CoverMeasures, CoverRequest, CoverSettings
from bagwright.piecing.cover import cover_template
from bagwright.piecing.ranking import WORST, Rank, rank_of_cover
from tests.piecing.plain_beam import beam_covers
from tests.piecing.plain_correlation import correlated_cover
from tests.piecing.planted import planted

ENOUGH, PERFECT = 0.95, 0.995


Answer = tuple[int, CoverMeasures]
"""How many scraps, and what the cover comes to."""


@dataclass(frozen=True)
class Row:
    """One answer: share covered, whether that is perfect with no more scraps than planted, seconds, seconds to 95 %."""

    share: float
    is_perfect: bool
    seconds: float
    enough_after: float
    rank: Rank


def ours(request: CoverRequest, planted_count: int, seconds: float) -> Row:
    times: list[float] = []
    start = time.perf_counter()

    def note(better: Cover) -> None:
        if better.measures.covered_share >= ENOUGH:
            times.append(time.perf_counter() - start)

    cover = cover_template(request, settings=CoverSettings(seconds=seconds), on_better=note)
    took = time.perf_counter() - start
    return _row(request, (len(cover.placements), cover.measures), planted_count, took, min(times, default=float("inf")))


def plain(search: Callable[[CoverRequest], Answer | None], request: CoverRequest, planted_count: int) -> Row:
    start = time.perf_counter()
    answer = search(request)
    took = time.perf_counter() - start
    if answer is None:
        return Row(0.0, False, took, float("inf"), WORST)
    enough_after = took if answer[1].covered_share >= ENOUGH else float("inf")
    return _row(request, answer, planted_count, took, enough_after)


def _row(request: CoverRequest, answer: Answer, planted_count: int, took: float, enough_after: float) -> Row:
    scraps, measures = answer
    share = measures.covered_share
    is_perfect = share >= PERFECT and scraps <= planted_count
    return Row(share, is_perfect, took, enough_after, rank_of_cover(request, measures, scraps))


def beam(request: CoverRequest) -> Answer | None:
    covers = beam_covers(request)
    return max(covers, key=lambda one: rank_of_cover(request, one[1], one[0]), default=None)


def told(name: str, rows: list[Row], ours: list[Row]) -> str:
    shares = [row.share for row in rows]
    as_good = sum(one.rank >= row.rank for one, row in zip(ours, rows, strict=True))
    return (
        f"  {name}: median {median(shares):.4f}, worst {min(shares):.4f}, perfect {sum(r.is_perfect for r in rows)}"
        f"/{len(rows)}, {median(r.seconds for r in rows):.1f} s, "
        f"95 % after {median(r.enough_after for r in rows):.2f} s, ours as good in {as_good}"
    )


def main() -> None:
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 5.0
    cases = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    for bend_mm, missing, noise_mm, grain in product((0.0, 12.0), (0, 1), (0.0, 0.3), (True, False)):
        rows: dict[str, list[Row]] = {"ours": [], "(a) correlation": [], "(b) beam": []}
        for seed in range(cases):
            planting = {"bend_mm": bend_mm, "missing": missing, "noise_mm": noise_mm, "grain": grain}
            request, count, _ = planted(seed, (4, 6, 7)[seed % 3], strays=60, **planting)
            rows["ours"].append(ours(request, count, seconds))
            rows["(a) correlation"].append(plain(correlated_cover, request, count))
            rows["(b) beam"].append(plain(beam, request, count))
        shape, turns = "curved" if bend_mm else "straight", "grain" if grain else "free"
        print(f"{shape}, {missing} missing, noise {noise_mm} mm, {turns}")
        for name, found in rows.items():
            print(told(name, found, rows["ours"]), flush=True)


if __name__ == "__main__":
    main()
