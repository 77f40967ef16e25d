"""How long a change of a measurement takes, as a share of what it may take.

Run: .venv/bin/python benchmarks/answer.py
The answer (pieces, body, buying, time, price, with layouts already known) may take 150 ms in the process; with first
layouts that have to be found, and the page drawn, 500 ms. Each line prints the median of nine changed bags over that.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from bagwright.model.bag import Bag
from bagwright.store.bags import save_bag
from bagwright.web.bag_page import Typed, bag_page
from bagwright.web.templates_at import render_text
from bagwright.workflows.answer import answer_bag
from bagwright.workflows.demo_studio import demo_bags, demo_shelf, fill_demo
from bagwright.workflows.desk import Desk, find_layout, the_shelf, view_bag
from bagwright.workflows.workroom_changes import the_workroom

ANSWER_S = 0.150
FIRST_SIGHT_S = 0.500
CHANGES = 9


def changed(bag: Bag, step: int) -> Bag:
    """The bag with one measurement a little larger."""
    key = "height_mm"
    usual = {"boxed_tote": 355.6, "zip_pouch": 150.0, "card_wallet": 92.0}[bag.form]
    return replace(bag, measurements_mm={**bag.measurements_mm, key: usual + step})


def median_seconds(task: Callable[[int], object]) -> float:
    """Median time of the task over several changes."""
    times = []
    for step in range(CHANGES + 1):
        start = time.perf_counter()
        task(step)
        times.append(time.perf_counter() - start)
    return statistics.median(times[1:])


def measure(desk: Desk, bag: Bag) -> tuple[float, float]:
    """Seconds for the bare answer with known layouts, and for the whole page with layouts to be found."""
    shelf, workroom = the_shelf(desk), the_workroom(desk)
    with desk.store() as store:

        def bare(step: int) -> None:
            answer_bag(changed(bag, step), shelf, workroom, find_layout=lambda r: find_layout(desk, store, r))

        for step in range(CHANGES + 1):
            bare(step)
        answer = median_seconds(bare)

    def page(step: int) -> None:
        with desk.store() as store:
            save_bag(store, replace(changed(bag, step + 20), version=view_bag(desk, bag.id).answer.bag.version))
        render_text("bag.html", bag_page(view_bag(desk, bag.id), Typed(), None))

    return answer, median_seconds(page)


def main() -> None:
    """Measure the three bags of the demo."""
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(Path(folder))
        fill_demo(desk)
        assert demo_shelf().materials
        for bag in demo_bags():
            answer, page = measure(desk, bag)
            shares = f"answer {answer / ANSWER_S:.2f} of 150 ms   first sight {page / FIRST_SIGHT_S:.2f} of 500 ms"
            print(f"{bag.name:24} {shares}")


if __name__ == "__main__":
    main()
