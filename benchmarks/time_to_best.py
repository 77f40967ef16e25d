"""How soon a layout comes within 1 % of what a minute finds, on invented bags.

    .venv/bin/python -m benchmarks.time_to_best [SECONDS]

Prints for each case the first answer and its seconds, the last one, and the seconds after which 1 % were left to gain.
"""

from __future__ import annotations

import sys
import time

from bagwright.cutting.lay import lay_pieces
from bagwright.model.layout import Layout, LaySettings
from benchmarks.lay import BAGS, request


def main() -> None:
    """Print the table."""
    settings = LaySettings(seconds=float(sys.argv[1]) if len(sys.argv) > 1 else 60.0)
    for bag in BAGS:
        for run, width_mm in ((1, 1100.0), (4, 1380.0), (12, 1480.0)):
            heard: list[tuple[float, float]] = []
            start = time.perf_counter()

            def note(found: Layout, start: float = start, heard: list[tuple[float, float]] = heard) -> None:
                heard.append((time.perf_counter() - start, found.length_mm))

            best = lay_pieces(request(bag, run, width_mm), settings=settings, on_better=note).length_mm
            near = next(seconds for seconds, length in heard if length <= best * 1.01)
            first_s, first_mm = heard[0]
            print(
                f"{bag:14} x{run:<3} first {first_mm:8.0f} mm in {first_s:.3f} s  best {best:8.0f} mm"
                f"  within 1 % after {near:.2f} s",
                flush=True,
            )


if __name__ == "__main__":
    main()
