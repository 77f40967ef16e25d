"""How much of planted templates is covered, with how many scraps, and how soon 95 % are.

    .venv/bin/python -m benchmarks.cover [SECONDS] [CASES]

Straight and curved cuts, with and without a part gone missing, outlines exact and as read from a photo; 60 strays each.
The generator is the one of the tests, tests/piecing/planted.py; another one is not part of this repository.
"""

from __future__ import annotations

import sys
import time
from itertools import product
from statistics import median

from bagwright.model.cover import Cover, CoverSettings
from bagwright.piecing.cover import cover_template
from tests.piecing.planted import planted

ENOUGH, PERFECT = 0.95, 0.995


def measured(seed: int, seconds: float, **planting: object) -> tuple[float, bool, float]:
    """Share covered, whether it is perfect with no more scraps than were planted, seconds to 95 %."""
    request, count, _ = planted(seed, (4, 6, 7)[seed % 3], strays=60, **planting)
    times: list[float] = []
    start = time.perf_counter()

    def note(better: Cover) -> None:
        if better.measures.covered_share >= ENOUGH:
            times.append(time.perf_counter() - start)

    cover = cover_template(request, settings=CoverSettings(seconds=seconds), on_better=note)
    share = cover.measures.covered_share
    return share, share >= PERFECT and len(cover.placements) <= count, min(times, default=float("inf"))


def main() -> None:
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 5.0
    cases = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    for bend_mm, missing, noise_mm, grain in product((0.0, 12.0), (0, 1), (0.0, 0.3), (True, False)):
        rows = [
            measured(seed, seconds, bend_mm=bend_mm, missing=missing, noise_mm=noise_mm, grain=grain)
            for seed in range(cases)
        ]
        shares = [share for share, _, _ in rows]
        print(
            f"{'curved' if bend_mm else 'straight'}, {missing} missing, noise {noise_mm} mm, "
            f"{'grain' if grain else 'free'}: median {median(shares):.4f}, worst {min(shares):.4f}, "
            f"perfect {sum(done for _, done, _ in rows)}/{cases}, 95 % after {median(t for _, _, t in rows):.2f} s",
            flush=True,
        )


if __name__ == "__main__":
    main()
