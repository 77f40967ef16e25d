"""How long a shelf of a million stacks takes to come down to its best trade-offs, on one core.

    python benchmarks/swaps.py [RUNS]

Invented shelves: exact and with ranges, places that may stay empty or not, each stance. Prints the median time of the
processor for each and how many trade-offs it found, and says whether the aim is met: 1 s each.
"""

from __future__ import annotations

import statistics
import sys
import time

import numpy as np

from bagwright.body.swaps import best_swaps
from bagwright.model.body import Sheet, Stance
from bagwright.model.material import Held
from bagwright.model.source import Reading, Source, SourceKind
from bagwright.model.swaps import Choice, SwapQuestion

AIM_SECONDS = 1.0
GUESS = Source(SourceKind.GUESS, "invented")
SHELVES = {
    "5 places of 16, exact, stands": (5, 16, 0.0, False, Stance.STANDS, 22.0),
    "6 places of 10, ranges, stands": (6, 10, 0.1, False, Stance.STANDS, 18.0),
    "6 places of 10 or none, ranges, stands": (6, 10, 0.1, True, Stance.STANDS, 20.0),
    "5 places of 16, exact, slumps": (5, 16, 0.0, False, Stance.SLUMPS, 30.0),
    "5 places of 16 or none, exact, leans": (5, 16, 0.0, True, Stance.LEANS, 40.0),
    "5 places of 16 or none, ranges, leans": (5, 16, 0.1, True, Stance.LEANS, 50.0),
}


def shelf(places: int, choices: int, spread: float, may_be_empty: bool, stance: Stance, need_mm: float) -> SwapQuestion:
    """Choices with properties as sheets in bags have them, and prices from 0.50 to 8."""
    rng = np.random.default_rng(0)

    def between(low: float, high: float) -> Reading:
        value = float(np.exp(rng.uniform(np.log(low), np.log(high))))
        return Reading(value, value * (1 - spread), value * (1 + spread), GUESS)

    def choice(name: str) -> Choice:
        held = Held.FUSED if rng.random() < 0.5 else Held.LOOSE
        mass, thick, over = between(50, 500), between(0.15, 3), between(25, 90)
        sheet = Sheet(name=name, mass_gsm=mass, thickness_mm=thick, overhang_mm=over, held=held)
        cost, minutes = float(rng.uniform(0.5, 8)), float(rng.uniform(0, 4))
        return Choice(name=name, sheet=sheet, cost=cost, minutes=minutes, mass_g=mass.value / 10, bulk_mm=thick.value)

    filled = [[choice(f"{i}.{j}") for j in range(choices)] for i in range(places)]
    for place in filled[1:]:
        if may_be_empty:
            place[-1] = Choice(name="none", sheet=None)
    return SwapQuestion(places=tuple(map(tuple, filled)), needed_bending_length_mm=need_mm, stance=stance)


def main() -> int:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    slowest = 0.0
    for name, settings in SHELVES.items():
        question, times, found = shelf(*settings), [], 0
        for _ in range(runs):
            start = time.process_time()
            found = len(best_swaps(question).swaps)
            times.append(time.process_time() - start)
        slowest = max(slowest, statistics.median(times))
        print(f"{name:40} {statistics.median(times):6.2f} s   {found:6} trade-offs")
    print(f"aim {AIM_SECONDS:g} s: {'met' if slowest <= AIM_SECONDS else 'missed'}")
    return 0 if slowest <= AIM_SECONDS else 1


if __name__ == "__main__":
    sys.exit(main())
