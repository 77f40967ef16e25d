"""How long a bag takes to draft and to prove sound, in random accepted sizes, plain and with everything added.

    .venv/bin/python -m benchmarks.drafting [SIZES]

Per form: medians in ms and as multiples of a yardstick, Python's own sum of 100,000 squares, taken turn by turn
with the drafting so that a busy machine slows both. Says whether the slowest median with everything added keeps to the
aim of 50 ms.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Callable, Mapping

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import FORMS, draft_bag
from tests.drafting.measurement_strategies import corrected, random_sizes

AIM_MS = 50.0


def plain(form: FormSpec, chance: random.Random) -> dict[str, float]:
    """Random sizes, every count at its lowest."""
    return corrected(form, random_sizes(form, chance) | {s.key: s.low_mm for s in form.measurements if s.is_count})


def full(form: FormSpec, chance: random.Random) -> dict[str, float]:
    """Random sizes, everything added of which there is room."""
    sizes = plain(form, chance)
    for spec in form.measurements:
        if spec.is_count:
            sizes = corrected(form, sizes | {spec.key: spec.high_mm})
    return sizes


def took_ms(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def medians(key: str, tried: list[Mapping[str, float]]) -> tuple[float, float]:
    """ms to draft, and that in yardsticks."""
    draft_bag(key, tried[0])
    pairs = [
        (took_ms(lambda sizes=sizes: draft_bag(key, sizes)), took_ms(lambda: sum(i * i for i in range(100_000))))
        for sizes in tried
    ]
    return statistics.median(ms for ms, _ in pairs), statistics.median(ms / yard for ms, yard in pairs)


def main() -> int:
    """Print the table."""
    count, chance, slowest = int(sys.argv[1]) if len(sys.argv) > 1 else 60, random.Random(1), 0.0
    print(f"{'':16}{'plain':>10}{'':10}{'everything added':>20}")
    for key, form in FORMS.items():
        ms, yards = medians(key, [plain(form, chance) for _ in range(count)])
        full_ms, full_yards = medians(key, [full(form, chance) for _ in range(count)])
        slowest = max(slowest, full_ms)
        print(f"{key:16}{ms:7.2f} ms{yards:7.2f} x{full_ms:13.2f} ms{full_yards:7.2f} x", flush=True)
    print(f"slowest {slowest:.1f} ms; aim {AIM_MS:g} ms: {'met' if slowest <= AIM_MS else 'missed'}")
    return 0 if slowest <= AIM_MS else 1


if __name__ == "__main__":
    sys.exit(main())
