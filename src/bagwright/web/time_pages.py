"""The page values of time."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.lacks import Lack
from bagwright.web.pages import Field, Frame, Table


@dataclass(frozen=True, slots=True)
class TimerView:
    """A timer that runs or is paused; `seconds` so far."""

    id: str
    version: int
    name: str
    clock: str
    seconds: int
    is_running: bool


@dataclass(frozen=True, slots=True)
class ReadingView:
    """A reading that counts."""

    id: str
    version: int
    words: str
    look: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedStepView:
    """A step, or the whole bag, with its minutes and why, its readings, and a form to type one."""

    step: str
    name: str
    minutes: str
    range: str
    is_timed: bool
    can_start: bool
    why: Table | None
    known: str
    readings: tuple[ReadingView, ...]
    typed: Field
    is_open: bool


@dataclass(frozen=True, slots=True)
class LastView:
    """What was just kept or taken away, and how to undo it."""

    id: str
    version: int
    words: str
    act: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TimePage:
    """time.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    lacks: tuple[Lack, ...]
    stale: str
    headline: str
    range: str
    pay: str
    known: str
    each: str
    practice: str
    counts: str
    timers: tuple[TimerView, ...]
    last: LastView | None
    whole: TimedStepView | None
    steps: tuple[TimedStepView, ...]


@dataclass(frozen=True, slots=True)
class TimesPart:
    """Standard times that belong together."""

    name: str
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TimesPage:
    """times.html"""

    frame: Frame
    version: int
    said: str
    stale: str
    parts: tuple[TimesPart, ...]
