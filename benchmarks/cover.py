"""How much of planted templates is covered, with how many scraps, and how soon 95 %; two plain searches beside ours.

    .venv/bin/python -m benchmarks.cover [SECONDS] [CASES]

Straight and curved cuts, with and without a part gone missing, outlines exact and as read from a photo; 60 strays each.
The plain searches are (a) correlation on a raster, (b) a beam over corners: tests/piecing/plain_searches.py. They end
when they are done, which may be later than ours. The generator is the one of the tests, tests/piecing/planted.py.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from statistics import median

from bagwright.model.cover import Cover, CoverRequest, CoverSettings
from bagwright.piecing.cover import cover_template
from tests.piecing.plain_searches import beam_cover, correlated_cover
from tests.piecing.planted import planted

ENOUGH, PERFECT = 0.95, 0.995


@dataclass(frozen=True)
class Row:
    """One answer: share covered, whether that is perfect with no more scraps than planted, seconds, seconds to 95 %."""

    share: float
    is_perfect: bool
    seconds: float
    enough_after: float


def ours(request: CoverRequest, planted_count: int, seconds: float) -> Row:
    times: list[float] = []
    start = time.perf_counter()

    def note(better: Cover) -> None:
        if better.measures.covered_share >= ENOUGH:
            times.append(time.perf_counter() - start)

    cover = cover_template(request, settings=CoverSettings(seconds=seconds), on_better=note)
    return _row(cover, planted_count, start, min(times, default=float("inf")))


def plain(search: Callable[[CoverRequest], Cover | None], request: CoverRequest, planted_count: int) -> Row:
    start = time.perf_counter()
    cover = search(request)
    took = time.perf_counter() - start
    is_enough = cover is not None and cover.measures.covered_share >= ENOUGH
    return _row(cover, planted_count, start, took if is_enough else float("inf"))


def _row(cover: Cover | None, planted_count: int, start: float, enough_after: float) -> Row:
    took = time.perf_counter() - start
    if cover is None:
        return Row(0.0, False, took, enough_after)
    share = cover.measures.covered_share
    return Row(share, share >= PERFECT and len(cover.placements) <= planted_count, took, enough_after)


def told(name: str, rows: list[Row]) -> str:
    shares = [row.share for row in rows]
    return (
        f"  {name}: median {median(shares):.4f}, worst {min(shares):.4f}, perfect {sum(r.is_perfect for r in rows)}"
        f"/{len(rows)}, {median(r.seconds for r in rows):.1f} s, "
        f"95 % after {median(r.enough_after for r in rows):.2f} s"
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
            rows["(b) beam"].append(plain(beam_cover, request, count))
        shape, turns = "curved" if bend_mm else "straight", "grain" if grain else "free"
        print(f"{shape}, {missing} missing, noise {noise_mm} mm, {turns}")
        for name, found in rows.items():
            print(told(name, found), flush=True)


if __name__ == "__main__":
    main()
