"""The packing library, in a process of its own: a crash or panic in it costs only what it might have found.

The library (Gardeyn and others, arXiv 2509.13329) shortens a strip holding shapes that may be turned. It is asked
without separation between shapes: its own separation rounds corners and makes answers 1 to 2 % longer; the overlaps
of rounding size that it leaves are undone by `settling.py`.

Run as a module, this file is the child: one JSON request on stdin, one JSON line per better packing on stdout.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from queue import Empty, SimpleQueue

import spyrrow

Ring = Sequence[tuple[float, float]]
_POLL_SECONDS = 0.05


@dataclass(frozen=True, slots=True)
class PackItem:
    """A shape to be packed `count` times. `turns_deg` None: any turn."""

    ring: Ring
    count: int
    turns_deg: tuple[float, ...] | None


@dataclass(frozen=True, slots=True)
class PackJob:
    """What the library is asked. `seconds` is rounded up to whole ones, which is all that it understands."""

    width: float
    items: tuple[PackItem, ...]
    seconds: float
    workers: int
    seed: int


@dataclass(frozen=True, slots=True)
class Packing:
    """Length, and for each shape laid: item, turn about the origin in degrees, then shift."""

    length: float
    laid: tuple[tuple[int, float, float, float], ...]


def child_command() -> list[str]:
    """How this file is started as the child."""
    return [sys.executable, "-m", "bagwright.cutting._packer"]


class Packer:
    """The running library. `newest` never waits; `stop` ends the process; use it in a `with` statement."""

    def __init__(self, job: PackJob, *, command: Sequence[str] | None = None) -> None:
        self._lines: SimpleQueue[str | None] = SimpleQueue()
        self._last_words = ""
        self.ended = False
        self.fault = ""
        pipe = subprocess.PIPE
        self._child = subprocess.Popen(
            list(command or child_command()), stdin=pipe, stdout=pipe, stderr=subprocess.STDOUT, text=True
        )
        self._threads = [threading.Thread(target=self._feed, args=(_job_text(job),), daemon=True)]
        self._threads.append(threading.Thread(target=self._listen, daemon=True))
        for thread in self._threads:
            thread.start()

    def __enter__(self) -> Packer:
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def newest(self) -> Packing | None:
        """The shortest packing among those reported since the last call."""
        best: Packing | None = None
        while (line := self._next_line()) is not None:
            packing = _packing(line)
            if packing is None:
                self._last_words = line.strip() or self._last_words
            elif best is None or packing.length < best.length:
                best = packing
        return best

    def stop(self) -> None:
        """End the child if it still runs, and wait until it is gone."""
        self._child.kill()
        self._child.wait()
        for thread in self._threads:
            thread.join()
        for stream in (self._child.stdin, self._child.stdout):
            if stream is not None and not stream.closed:
                stream.close()

    def _next_line(self) -> str | None:
        try:
            line = self._lines.get_nowait()
        except Empty:
            return None
        if line is None:
            self.ended = True
            code = self._child.wait()
            words = f": {self._last_words[:200]}" if self._last_words else ""
            self.fault = f"the packing library ended before its time with code {code}{words}" if code else ""
        return line

    def _feed(self, text: str) -> None:
        stream = self._child.stdin
        if stream is None:
            return
        try:
            stream.write(text)
            stream.close()
        except (BrokenPipeError, OSError):
            return  # the child died first; its exit code tells

    def _listen(self) -> None:
        stream = self._child.stdout
        if stream is not None:
            for line in stream:
                self._lines.put(line)
        self._lines.put(None)


def _job_text(job: PackJob) -> str:
    items = [{"ring": list(item.ring), "count": item.count, "turns_deg": item.turns_deg} for item in job.items]
    return json.dumps(
        {"width": job.width, "items": items, "seconds": job.seconds, "workers": job.workers, "seed": job.seed}
    )


def _packing(line: str) -> Packing | None:
    """A reported packing; None for anything else the child wrote."""
    if not line.startswith('{"length"'):
        return None
    try:
        told = json.loads(line)
        laid = tuple((int(i), float(turn), float(x), float(y)) for i, turn, x, y in told["laid"])
        return Packing(float(told["length"]), laid)
    except (ValueError, KeyError, TypeError):
        return None  # cut off in the middle


def main() -> int:
    """The child: solve, and report each better packing."""
    asked = json.load(sys.stdin)
    items = [
        spyrrow.Item(
            str(i),
            [(float(x), float(y)) for x, y in item["ring"]],
            demand=item["count"],
            allowed_orientations=item["turns_deg"],
        )
        for i, item in enumerate(asked["items"])
    ]
    strip = spyrrow.StripPackingInstance("cloth", strip_height=asked["width"], items=items)
    settings = spyrrow.StripPackingConfig(
        early_termination=False,
        total_computation_time=max(1, math.ceil(asked["seconds"])),
        num_workers=asked["workers"],
        seed=asked["seed"],
    )
    progress = spyrrow.ProgressQueue()
    found: list[spyrrow.StripPackingSolution] = []
    solver = threading.Thread(target=lambda: found.append(strip.solve(settings, progress)), daemon=True)
    solver.start()
    sound = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)
    while solver.is_alive():
        solver.join(_POLL_SECONDS)
        reports = [packing for kind, packing in progress.drain() if kind in sound]
        if reports and not found:
            _report(reports[-1].width, reports[-1].placed_items)
    if not found:
        return 1
    _report(found[0].width, found[0].placed_items)
    return 0


def _report(length: float, laid: Sequence[spyrrow.PlacedItem]) -> None:
    spots = [(int(item.id), item.rotation, *item.translation) for item in laid]
    sys.stdout.write(json.dumps({"length": length, "laid": spots}) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
