"""How long `bagwright --help` takes to start, against a bare Python on the same machine.

    python benchmarks/startup.py [RUNS]

Prints the median time of each and their ratio, and says whether the aim is met: help within 0.4 s.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

AIM_SECONDS = 0.4
BARE = "pass"
HELP = "from bagwright.cli import main; main(['--help'])"


def median_seconds(program: str, runs: int) -> float:
    """Median wall time of `python -c program` in a process of its own, after one run to warm the disk cache."""
    times = []
    for _ in range(runs + 1):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", program], stdout=subprocess.DEVNULL, check=True)
        times.append(time.perf_counter() - start)
    return statistics.median(times[1:])


def main() -> int:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    bare, told = median_seconds(BARE, runs), median_seconds(HELP, runs)
    print(f"python -c pass    {bare * 1000:7.1f} ms")
    print(f"bagwright --help  {told * 1000:7.1f} ms   {told / bare:.1f} times as long")
    print(f"aim {AIM_SECONDS:g} s: {'met' if told <= AIM_SECONDS else 'missed'}")
    return 0 if told <= AIM_SECONDS else 1


if __name__ == "__main__":
    sys.exit(main())
