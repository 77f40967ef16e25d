"""How much shorter `lay_pieces` lays than the bare packing library in the same seconds, on invented bags.

    .venv/bin/python -m benchmarks.lay [SECONDS]

Prints for each case the length of the library's answer divided by ours (above 1: ours is shorter), the share of cloth
ours uses, and the seconds to our first answer. The library runs by itself, with all workers.
"""

from __future__ import annotations

import math
import sys
import time

import spyrrow

from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.packing import pack_job
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings

Ring = list[tuple[float, float]]


def box(length: float, height: float) -> Ring:
    """A rectangle."""
    return [(0, 0), (length, 0), (length, height), (0, height)]


def boxed(length: float, height: float, cut: float) -> Ring:
    """A panel with boxed corners."""
    x, y, c = length, height, cut
    return [(c, 0), (x - c, 0), (x - c, c), (x, c), (x, y), (0, y), (0, c), (c, c)]


def round_piece(across: float) -> Ring:
    """A circle, from outside."""
    radius = across / 2 / math.cos(math.pi / 32)
    return [(radius * math.cos(i * math.tau / 32), radius * math.sin(i * math.tau / 32)) for i in range(32)]


BAGS: dict[str, list[tuple[Ring, int]]] = {
    "market tote": [(boxed(380, 420, 65), 4), (box(600, 80), 2), (box(230, 180), 2), (box(60, 40), 4)],
    "drum": [(round_piece(220), 4), (box(700, 260), 2), (box(620, 90), 1), (box(160, 140), 2)],
    "wedge clutch": [([(40, 0), (260, 0), (300, 190), (0, 190)], 4), (box(300, 110), 2), (box(250, 35), 1)],
}


def request(bag: str, run: int, width_mm: float) -> LayRequest:
    """All pieces of a run of one bag."""
    pieces = tuple(
        LayPiece(id=f"{bag} {i}", region=Region.from_ring(ring), count=count * run)
        for i, (ring, count) in enumerate(BAGS[bag])
    )
    return LayRequest(width_mm=width_mm, pieces=pieces)


def library_length_mm(asked: LayRequest, settings: LaySettings) -> float:
    """What the library finds by itself, in one search of all workers."""
    job = pack_job(asked, settings, workers=settings.workers)
    items = [
        spyrrow.Item(str(i), [*item.ring], demand=item.count, allowed_orientations=item.turns_deg)
        for i, item in enumerate(job.items)
    ]
    strip = spyrrow.StripPackingInstance("cloth", strip_height=job.width, items=items)
    wishes = spyrrow.StripPackingConfig(
        early_termination=False,
        total_computation_time=max(1, math.ceil(job.seconds)),
        num_workers=job.workers,
        seed=job.seed,
    )
    return strip.solve(wishes).width


def main() -> None:
    """Print the table."""
    firsts: list[float]
    settings = LaySettings(seconds=float(sys.argv[1]) if len(sys.argv) > 1 else 5.0)
    for bag in BAGS:
        for run, width_mm in ((1, 1100.0), (4, 1380.0), (12, 1480.0)):
            asked, firsts = request(bag, run, width_mm), []
            start = time.perf_counter()

            def note(_: Layout, start: float = start, firsts: list[float] = firsts) -> None:
                firsts.append(time.perf_counter() - start)

            ours = lay_pieces(asked, settings=settings, on_better=note)
            ratio = library_length_mm(asked, settings) / ours.length_mm
            print(
                f"{bag:14} x{run:<3} ratio {ratio:.3f}  used {ours.share_used:.3f}  first {firsts[0]:.3f} s", flush=True
            )


if __name__ == "__main__":
    main()
