"""How long work takes: the standard times of a workroom, the maker's own readings, how practice shortens it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from bagwright.model.pattern import SeamKind

WHOLE_BAG = ""
"""The step of a reading that was taken from the first cut to the last look, without setting up the machine."""


class LearningModel(StrEnum):
    """What falls to the same share at every doubling: the time of the last one made, or the average of all so far."""

    UNIT = "unit"
    AVERAGE = "cumulative average"


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeStandards:
    """Times that no drawing can tell. Until she takes her own, every default is a starting point to be replaced.

    Common practice, no source, unless said otherwise: `setup_minutes` (thread, needle, bobbin, a test seam; once for
    the whole run), `cutting_mm_per_minute` (along the cut line), `piece_handling_minutes` (place, mark, notch, stack:
    each cut piece), the `..._minutes` of each kind of seam (pin or clip, place under the foot, clip the threads),
    `iron_face_mm2` (a home iron covers about 20 x 10 cm), `press_move_seconds` (to lift it and set it down),
    `pressing_mm_per_minute` (along seams that join), `notion_minutes` (each bought part), `handwork_minutes` (each step
    by hand: mark, fetch the tool), `basting_mm_per_minute` (an inner layer along its edges, with long stitches; each
    copy is handled for `baste_minutes`), `quilt_spacing_mm` (between lines that hold a quilted layer, each handled for
    `quilt_minutes`; only where the pattern draws none), `join_minutes` and `join_mm_per_minute` (each join of a pieced
    layer: trim and butt it; hold it down along its length), `finishing_minutes` (turn, trim, look it over).

    `press_hold_seconds`: "raise and press, 10-15 s", common practice for a home iron, here the longer end; an
    interlining maker's leaflet asks 12-16 s of a press. The leaflet of her own interfacing wins.

    `allowance_share`: rest and small things, added to every step. From memory of the International Labour Office's
    Introduction to Work Study: personal needs 5-7 %, basic fatigue 4 %; contingencies, usually up to 5 %, are from a
    work-design handbook's chapter on time study. 0.15 is near their sum; the tables are disputed.

    `doubt_share`: standard deviation of a standard time as a share of itself. `standard_weight`: the readings that a
    standard time counts as. At 1 a single reading scatters as much about her own true time as the standard time does.
    """

    setup_minutes: float = 10.0
    cutting_mm_per_minute: float = 1500.0
    piece_handling_minutes: float = 0.5
    lockstitch_minutes: float = 1.0
    zip_minutes: float = 2.5
    topstitch_minutes: float = 0.75
    baste_minutes: float = 0.75
    hem_minutes: float = 1.5
    quilt_minutes: float = 0.3
    iron_face_mm2: float = 20_000.0
    press_hold_seconds: float = 15.0
    press_move_seconds: float = 5.0
    pressing_mm_per_minute: float = 1000.0
    notion_minutes: float = 2.0
    handwork_minutes: float = 1.0
    basting_mm_per_minute: float = 1500.0
    quilt_spacing_mm: float = 38.1
    join_minutes: float = 1.0
    join_mm_per_minute: float = 300.0
    finishing_minutes: float = 5.0
    allowance_share: float = 0.15
    doubt_share: float = 0.3
    standard_weight: float = 1.0

    def handling_minutes(self, kind: SeamKind) -> float:
        """To handle one seam of that kind."""
        return {
            SeamKind.LOCKSTITCH: self.lockstitch_minutes,
            SeamKind.ZIP: self.zip_minutes,
            SeamKind.TOPSTITCH: self.topstitch_minutes,
            SeamKind.BASTE: self.baste_minutes,
            SeamKind.HEM: self.hem_minutes,
            SeamKind.QUILT: self.quilt_minutes,
        }[kind]


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """One reading of one step, while the timer runs or when it is done. Pauses are not in it.

    `step` is the id of a step of the order of work, or `WHOLE_BAG`. `worked_seconds`: before the last start;
    `running_since`: of the last start, None while paused or done. `is_typed`: she said how long it took. `taken_from`:
    name of the bag that it was read on, if this one is a copy: it tells how long the step takes, but no bag was made.
    `version` grows by one at every save.
    """

    id: str
    bag_id: str
    step: str
    begun: datetime
    worked_seconds: float = 0.0
    running_since: datetime | None = None
    is_done: bool = False
    is_typed: bool = False
    taken_from: str = ""
    version: int = 0

    def seconds_at(self, now: datetime) -> float:
        """Seconds worked by then; a clock that was set back takes nothing off."""
        running = (now - self.running_since).total_seconds() if self.running_since else 0.0
        return self.worked_seconds + max(running, 0.0)

    @property
    def minutes(self) -> float:
        """Minutes worked up to the last pause."""
        return self.worked_seconds / 60

    def paused(self, now: datetime) -> Timing:
        """Stopped for now."""
        return replace(self, worked_seconds=self.seconds_at(now), running_since=None)

    def going_on(self, now: datetime) -> Timing:
        """Running; one that runs, or is done, stays as it is."""
        return self if self.running_since or self.is_done else replace(self, running_since=now)

    def done(self, now: datetime) -> Timing:
        """Finished: from now on it counts."""
        return replace(self.paused(now), is_done=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedTime:
    """A time as it is known from a standard time and readings, all in minutes.

    `weight`: of the mean of the readings; the rest is the standard time's. `doubt`: the time is within this of
    `minutes` with 90 % certainty. `mean` is None without readings.
    """

    standard: float
    readings: tuple[float, ...]
    mean: float | None
    weight: float
    minutes: float
    doubt: float
