"""What is asked of scraps: read as it is typed, kept with the bag, and in its file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from pydantic import Field

from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Bag, Workroom
from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.output.rulers import Measuring
from bagwright.store.bags import save_bag
from bagwright.store.workroom import load_workroom
from bagwright.units import read_length_mm
from bagwright.workflows.bag_changes import load_for_change
from bagwright.workflows.contracts import Contract, Faults
from bagwright.workflows.desk import Desk

Texts = Mapping[str, str]
SHARES = (0.5, 1.0)
WIDEST_MM = 50.0
MOST_SCRAPS = 12
MOST_SECONDS = 600.0


class ScrapWishesWords(Contract):
    """What is asked of scraps that are pieced under the inner layers of a bag."""

    enough_share: float = Field(
        default=0.97, ge=SHARES[0], le=SHARES[1], description="share of a piece that is enough, 0.5 to 1"
    )
    widest_gap_mm: float = Field(default=6.0, ge=0, le=WIDEST_MM, description="widest gap that is borne, 0 to 50 mm")
    max_scraps: int = Field(default=5, ge=1, le=MOST_SCRAPS, description="scraps under one piece, at most, 1 to 12")
    keep_off_mm: float = Field(
        default=5.0, ge=0, le=WIDEST_MM, description="how far joins stay from folds and strap ends, 0 to 50 mm"
    )
    with_allowance: bool = Field(default=False, description="true: the seam allowance is covered too")
    turns_freely: bool = Field(default=False, description="true: woven scraps need not lie on the grain")
    seconds: float = Field(
        default=20.0, ge=1, le=MOST_SECONDS, description="how long a search goes on for one material, 1 to 600 seconds"
    )


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads fields; one that is missing or as it was printed stays as it is."""

    texts: Texts
    printed: Texts
    workroom: Workroom

    def is_new(self, name: str) -> bool:
        return name in self.texts and self.texts[name].strip() != self.printed[name]

    def number(self, name: str, low: float, high: float) -> float:
        text = self.texts[name].strip().rstrip("%").strip()
        try:
            read = float(text)
        except ValueError:
            read = float("nan")
        if not low <= read <= high:
            raise _refused(name, self.texts[name], "is not a number in range", f"a number from {low:g} to {high:g}")
        return read

    def length_mm(self, name: str) -> float:
        read = read_length_mm(self.texts[name], place=name, units=self.workroom.units)
        if not 0 <= read <= WIDEST_MM:
            raise _refused(name, self.texts[name], "is out of range", "0 to 50 mm (2 in)")
        return read


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy="Change it.")])


def read_scrap_wishes(texts: Texts, now: ScrapWishes, workroom: Workroom) -> ScrapWishes:
    """What is asked, as typed; ticks hold as they are sent. Raises `FaultyInput` with every fault."""
    ask, faults = _Reader(texts, printed_wishes(now, workroom), workroom), Faults()
    wishes = replace(now, with_allowance="allowance" in texts, turns_freely="turns_freely" in texts)
    with faults:
        if ask.is_new("enough"):
            wishes = replace(wishes, enough_share=ask.number("enough", 100 * SHARES[0], 100 * SHARES[1]) / 100)
    with faults:
        if ask.is_new("gap"):
            wishes = replace(wishes, widest_gap_mm=ask.length_mm("gap"))
    with faults:
        if ask.is_new("scraps"):
            wishes = replace(wishes, max_scraps=round(ask.number("scraps", 1, MOST_SCRAPS)))
    with faults:
        if ask.is_new("keep_off"):
            wishes = replace(wishes, keep_off_mm=ask.length_mm("keep_off"))
    with faults:
        if ask.is_new("seconds"):
            wishes = replace(wishes, seconds=ask.number("seconds", 1, MOST_SECONDS))
    faults.raise_if_any()
    return wishes


def printed_wishes(wishes: ScrapWishes, workroom: Workroom) -> dict[str, str]:
    """What is asked as it stands in its fields."""
    measuring = Measuring(workroom.units, workroom.fraction)
    return {
        "enough": f"{100 * wishes.enough_share:g}",
        "gap": measuring.told(wishes.widest_gap_mm),
        "scraps": f"{wishes.max_scraps}",
        "keep_off": measuring.told(wishes.keep_off_mm),
        "seconds": f"{wishes.seconds:g}",
    }


def set_scrap_wishes(desk: Desk, bag_id: str, version: int, texts: Texts) -> Bag:
    """Keep what is asked with the bag, as a change that can be undone. Raises `FaultyInput`, `StaleSave`, `NotKept`."""
    with desk.store() as store:
        bag = load_for_change(store, bag_id, version)
        changed = replace(bag, scraps=read_scrap_wishes(texts, bag.scraps, load_workroom(store)))
        return bag if changed == bag else save_bag(store, changed)
