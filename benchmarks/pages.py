"""How soon pages answer in a workroom of 200 bags and 2,000 pieces in the stash, everything in it invented.

    .venv/bin/python -m benchmarks.pages [BAGS SCRAPS]

Prints for each page the median and the time that 95 % of the calls stay below, one reader at a time, and then what 500
mixed calls by 8 readers at once come to. The first call of a bag is told apart: it lays every cloth.
"""

from __future__ import annotations

import http.client
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from pathlib import Path
from random import Random

from bagwright.model.stash import StashPiece
from bagwright.store.bags import list_bags, load_bag, save_bag
from bagwright.store.stash import save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk, load_shelf

CALLS = 20
READERS, MIXED_CALLS = 8, 500
STASH_PAGES = (
    "/stash",
    "/stash?from=1200",
    "/stash?long=8+in&wide=10+in",
    "/stash?long=15+cm&wide=12+cm&grain=along&order=oldest+first",
    "/stash?age=month&order=by+where+it+lies",
    "/stash/today",
    "/stash/today?from=100",
)


def fill(home: Path, bags: int, scraps: int) -> list[str]:
    """Copies of the demo's bags in other sizes, and scraps of every sheet; the ids of all bags."""
    desk, chance = Desk(home / "demo", is_demo=True), Random(1)
    fill_demo(desk)
    with desk.store() as store, transaction(store):
        first = [load_bag(store, line.id) for line in list_bags(store)]
        for number in range(len(first), bags):
            bag = first[number % len(first)]
            usual = form_of_key(bag.form).defaults()
            width_mm = bag.measurements_mm.get("width_mm", usual.get("width_mm"))
            sizes = dict(bag.measurements_mm)
            if width_mm:
                sizes["width_mm"] = width_mm + chance.randrange(30)
            fresh = replace(bag, id=f"bag-{number}", name=f"{bag.name} {number}", version=0, measurements_mm=sizes)
            save_bag(store, fresh)
        sheets = [one for one in load_shelf(store).materials.values() if one.kind.is_sheet]
        for number in range(scraps):
            long, wide = chance.uniform(60, 400), chance.uniform(60, 400)
            outer = ((0.0, 0.0), (long, 0.0), (long * 0.9, wide), (0.0, wide * 0.8))
            material = sheets[number % len(sheets)]
            piece = StashPiece(id=f"scrap-{number}", material_id=material.id, outer=outer, dated=date(2026, 11, 1))
            save_stash_piece(store, piece, expected_version=0)
        return [line.id for line in list_bags(store)]


def call(port: int, path: str) -> float:
    """Seconds of one call. Raises `RuntimeError` for any answer but 200."""
    start = time.perf_counter()
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
    connection.request("GET", path)
    answer = connection.getresponse()
    answer.read()
    connection.close()
    if answer.status != 200:
        raise RuntimeError(f"{path}: {answer.status}")
    return time.perf_counter() - start


def told(seconds: list[float]) -> str:
    """Median and 95 % of some times, in ms."""
    high = statistics.quantiles(seconds, n=20)[-1] if len(seconds) > 1 else seconds[0]
    return f"median {statistics.median(seconds) * 1000:6.0f} ms   95 % below {high * 1000:6.0f} ms"


def main() -> None:
    """Print the table."""
    bags, scraps = (int(text) for text in sys.argv[1:3]) if len(sys.argv) > 2 else (200, 2000)
    with tempfile.TemporaryDirectory() as folder:
        ids = fill(Path(folder), bags, scraps)
        command = [
            str(Path(sys.executable).with_name("bagwright")),
            "demo",
            "--no-browser",
            "--port",
            "0",
            "--home",
            folder,
        ]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
            assert server.stdout
            port = int(server.stdout.readline().rstrip("/\n").rpartition(":")[2])
            try:
                measure(port, ids)
            finally:
                server.terminate()


def measure(port: int, ids: list[str]) -> None:
    """Call every page, then many at once."""
    one = f"/bags/{ids[0]}"
    pages = [
        "/",
        "/materials",
        "/runs",
        "/workroom",
        "/bonds",
        one,
        f"{one}/sewing",
        f"{one}/asking",
        f"{one}/measuring",
        *STASH_PAGES,
    ]
    for page in pages:
        first = call(port, page)
        print(f"{page:60} first {first * 1000:6.0f} ms   {told([call(port, page) for _ in range(CALLS)])}", flush=True)
    print(f"{'a bag not seen before':60} {told([call(port, f'/bags/{name}') for name in ids[1:21]])}", flush=True)
    mixed = [Random(number).choice([*pages, *(f"/bags/{name}" for name in ids[:20])]) for number in range(MIXED_CALLS)]
    start = time.perf_counter()
    with ThreadPoolExecutor(READERS) as readers:
        seconds = list(readers.map(lambda path: call(port, path), mixed))
    took = time.perf_counter() - start
    print(f"{MIXED_CALLS} mixed calls by {READERS} readers: {took:.1f} s, no error; {told(seconds)}")


if __name__ == "__main__":
    main()
