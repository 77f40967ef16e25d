"""How soon pages answer in a workroom of 200 bags and 2,000 pieces in the stash, everything in it invented.

    .venv/bin/python -m benchmarks.pages [BAGS SCRAPS [cold]]

Prints for every page, file and paper what its answer takes of the processor: the first time, after a piece of the stash
was changed, and then as median and as what 95 % of the calls stay below. Other programs hardly change that. Before the
first call everything gets ready as it does in the quiet moments of a server, unless `cold` is said, and after each call
memory is tidied as it is then; both are told by themselves. Then twice 500 mixed calls by 8 readers at once to a server
that was just started for them, a quarter of them writing, without a quiet moment, by the clock and by what all of it
takes of the processor: any answer that is not as it should be ends it.
"""

from __future__ import annotations

import http.client
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from pathlib import Path
from random import Random
from urllib.parse import urlencode

from starlette.testclient import TestClient

from bagwright.model.stash import StashPiece
from bagwright.store.bags import list_bags, load_bag, save_bag
from bagwright.store.stash import load_stash_piece, save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.web.serve import build_quiet
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk, load_shelf
from tests.browser.test_every_page import PAGES, TOTE, WALLET

CALLS, CHANGES = 20, 5
READERS, MIXED_CALLS, ROUNDS = 8, 500, 2
MORE_PAGES = (
    "/stash?from=1200",
    "/stash?long=8+in&wide=10+in",
    "/stash?long=15+cm&wide=12+cm&grain=along&order=oldest+first",
    "/stash?age=month&order=by+where+it+lies",
    "/stash/today?from=100",
    "/stash/today?from=100&now=1",
    f"{TOTE}/beside/bag-105",
    f"{TOTE}/card",
    f"{TOTE}/folded",
)
FILES = (
    f"{TOTE}/bag.json",
    "/bonds/csv",
    "/drawing.css",
    "/everything.sqlite3",
    "/materials/csv",
    "/stash/stash.csv",
    "/stash/stash.json",
    "/stash/fleece-long/picture",
    f"{TOTE}/cut-list.csv",
    f"{TOTE}/tables.json",
    f"{TOTE}/scraps/covers.csv",
    "/everything/tables.json",
    "/runs/autumn-market/supplies.csv",
    "/runs/autumn-market/tables.json",
)
PAPERS = (
    f"{TOTE}/templates-a4.pdf",
    f"{TOTE}/one-sheet-36in.pdf",
    f"{TOTE}/projector.svg",
    f"{TOTE}/pieces.svg",
    f"{TOTE}/pieces.dxf",
    f"{TOTE}/making-a4.pdf",
    f"{TOTE}/cost-a4.pdf",
    f"{TOTE}/layouts/pond-canvas/cutting-a4.pdf",
    "/runs/autumn-market/supplies-a4.pdf",
    "/ruler-test/slope-card-a4.pdf",
    "/mat/cards/marker-cards-a4.pdf",
)
"""Drawn when they are asked for, and never remembered."""
SEARCHES = (f"{WALLET}/savings/found", f"{WALLET}/savings/shared")


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


def middle_and_high(seconds: list[float]) -> tuple[float, float]:
    """Median and 95 % of some times, in ms."""
    return statistics.median(seconds) * 1000, statistics.quantiles(seconds, n=20)[-1] * 1000


class Alone:
    """One reader, without a server, by the clock of the processor; memory is tidied after every call."""

    def __init__(self, desk: Desk) -> None:
        self._quiet, self.tidied = build_quiet(desk), list[float]()
        self._client = TestClient(self._quiet, base_url="http://127.0.0.1")

    def get_ready(self) -> float:
        """What that takes, in seconds."""
        start = time.process_time()
        self._quiet.get_ready()
        return time.process_time() - start

    def took(self, path: str) -> float:
        """What the answer takes, in seconds. Raises `RuntimeError` for any but a page."""
        start = time.process_time()
        answer = self._client.get(path)
        took = time.process_time() - start
        if answer.status_code != 200:
            raise RuntimeError(f"{path}: {answer.status_code}")
        start = time.process_time()
        self._quiet.tidy()
        self.tidied.append(time.process_time() - start)
        return took

    def found(self, path: str) -> float:
        """The same of a page that begins a search beside itself, until that is done."""
        start = time.process_time()
        self.took(path)
        while self._quiet.is_busy():
            time.sleep(0.1)
        return time.process_time() - start


def measure_each(home: Path, ids: list[str], *, is_cold: bool) -> None:
    """Every page by itself."""
    desk = Desk(home / "demo", is_demo=True)
    alone = Alone(desk)
    alone.took("/static/page.css")
    if not is_cold:
        print(f"getting ready: {alone.get_ready():.1f} s of the processor")
    print(f"{'processor time, ms':62} {'first':>6} {'changed':>8} {'median':>7} {'95 %':>6}")
    pages = [page for page in PAGES if page != "/nothing"]
    for path in (*pages, *MORE_PAGES, *FILES, *PAPERS, *SEARCHES):
        call = alone.found if path in SEARCHES else alone.took
        first, known, changed = call(path), [alone.took(path) for _ in range(CALLS)], []
        for _ in range(CHANGES if path not in SEARCHES else 1):
            change_a_piece(desk)
            changed.append(call(path))
        middle, high = middle_and_high(known)
        after = statistics.median(changed) * 1000
        print(f"{path:62} {first * 1000:6.0f} {after:8.0f} {middle:7.0f} {high:6.0f}", flush=True)
    middle, high = middle_and_high([alone.took(f"/bags/{bag_id}") for bag_id in ids if bag_id.startswith("bag-")])
    print(f"{'each bag, first time':62} {'':6} {'':8} {middle:7.0f} {high:6.0f}")
    middle, high = middle_and_high(alone.tidied)
    most = max(alone.tidied) * 1000
    print(f"tidying after a call: median {middle:.0f} ms, 95 % below {high:.0f} ms, at most {most:.0f} ms", flush=True)


def change_a_piece(desk: Desk) -> None:
    """Another note on one piece of the stash."""
    with desk.store() as store:
        kept = load_stash_piece(store, "scrap-7")
        fresh = replace(kept.value, note=f"Looked at {kept.version} times")
        save_stash_piece(store, fresh, expected_version=kept.version)


class Reader:
    """One who reads pages, changes a bag of her own and pieces of her own, and takes changes back."""

    def __init__(self, port: int, number: int, ids: list[str]) -> None:
        self._port, self._chance, self.seconds = port, Random(number), list[float]()
        bags = [f"/bags/{bag_id}" for bag_id in ids[:20]]
        self._paths = [*(page for page in PAGES if page != "/nothing"), *MORE_PAGES, *FILES, *bags]
        self._bag = self._call("/bags", {"form": "zip_pouch", "name": f"Reader {number}"})
        self._version = 1

    def _call(self, path: str, sent: dict[str, object] | None = None) -> str:
        """Where the answer leads to. Raises `RuntimeError` for any that is not as it should be."""
        start = time.perf_counter()
        connection = http.client.HTTPConnection("127.0.0.1", self._port, timeout=120)
        form = {"Content-Type": "application/x-www-form-urlencoded"}
        if sent is None:
            connection.request("GET", path)
        else:
            connection.request("POST", path, urlencode(sent), form)
        answer = connection.getresponse()
        answer.read()
        connection.close()
        if answer.status != (200 if sent is None else 303):
            raise RuntimeError(f"{path}: {answer.status}")
        self.seconds.append(time.perf_counter() - start)
        return answer.headers.get("location") or ""

    def _writes(self) -> Iterator[None]:
        """One write after another, for ever."""
        while True:
            for deed, sent in (("run", {"run_count": self._version % 40 + 2}), ("undo", {})):
                self._call(f"{self._bag}/{deed}", {"version": self._version, **sent})
                self._version += 1
                yield
            size = {"long": f"{self._chance.randrange(5, 30)} cm", "wide": "12 cm"}
            piece = self._call("/stash", {"material": "pond-canvas", **size}).rpartition("saved=")[2]
            yield
            for version, deed in ((1, "used"), (2, "undo")):
                self._call(f"/stash/{piece}/{deed}", {"version": version})
                yield

    def calls(self, count: int) -> list[float]:
        """So many calls, one in four a write; the seconds that each took."""
        writes = self._writes()
        for number in range(count):
            if number % 4 == 3:
                next(writes)
            else:
                self._call(self._chance.choice(self._paths))
        return self.seconds[1:]


def measure_mixed(port: int, ids: list[str]) -> None:
    """Many at once."""
    each = [MIXED_CALLS // READERS + (number < MIXED_CALLS % READERS) for number in range(READERS)]
    start = time.perf_counter()
    with ThreadPoolExecutor(READERS) as threads:
        readers = threads.map(lambda number: Reader(port, number, ids).calls(each[number]), range(READERS))
        seconds = [second for one in readers for second in one]
    took = time.perf_counter() - start
    middle, high = middle_and_high(seconds)
    told = f"median {middle:.0f} ms, 95 % below {high:.0f} ms"
    print(f"{len(seconds)} mixed calls by {READERS} readers: {took:.1f} s, no error; {told}")


def measure_server(home: Path, ids: list[str]) -> None:
    """Many at once, to a server that was just started, and again."""
    before = seconds_of_children()
    command = [str(Path(sys.executable).with_name("bagwright")), "demo", "--no-browser", "--port", "0"]
    with subprocess.Popen([*command, "--home", str(home)], stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout
        port = int(server.stdout.readline().rstrip("/\n").rpartition(":")[2])
        try:
            for _ in range(ROUNDS):
                measure_mixed(port, ids)
        finally:
            server.terminate()
    print(f"the server took {seconds_of_children() - before:.1f} s of the processor, its start among them")


def seconds_of_children() -> float:
    """What programs that this one started and that ended took of the processor."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def main() -> None:
    """Print the table."""
    bags, scraps = (int(text) for text in sys.argv[1:3]) if len(sys.argv) > 2 else (200, 2000)
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        ids = fill(home, bags, scraps)
        measure_each(home, ids, is_cold="cold" in sys.argv)
        measure_server(home, ids)


if __name__ == "__main__":
    main()
