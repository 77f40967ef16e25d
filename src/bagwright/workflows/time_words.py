"""Standard times, practice and readings as JSON says them."""

from __future__ import annotations

from datetime import UTC, datetime

from pydantic import Field

from bagwright.costing.step_minutes import Pieced
from bagwright.errors import FaultyInput, Problem
from bagwright.model.cost import TimeStep
from bagwright.model.timing import WHOLE_BAG, TimeStandards, Timing
from bagwright.workflows.contracts import Contract

_USUAL = TimeStandards()
_SOME_TIME = datetime(2000, 1, 1, tzinfo=UTC)


def _minutes(name: str, what: str) -> float:
    found: float = Field(default=getattr(_USUAL, name), ge=0, le=1000, description=f"{what} in minutes, 0 to 1000")
    return found


class StandardWords(Contract):
    """Standard times; what is left out keeps its usual value."""

    setup_minutes: float = _minutes("setup_minutes", "setting up the machine, once for the run,")
    cutting_mm_per_minute: float = Field(
        default=1500, ge=1, le=1e6, description="cutting, in mm of cut line a minute, 1 to 1000000"
    )
    piece_handling_minutes: float = _minutes("piece_handling_minutes", "handling each cut piece")
    lockstitch_minutes: float = _minutes("lockstitch_minutes", "handling each lockstitch seam")
    zip_minutes: float = _minutes("zip_minutes", "handling each zip seam")
    topstitch_minutes: float = _minutes("topstitch_minutes", "handling each topstitched line")
    baste_minutes: float = _minutes("baste_minutes", "handling each basted line")
    hem_minutes: float = _minutes("hem_minutes", "handling each hem")
    quilt_minutes: float = _minutes("quilt_minutes", "handling each quilted line")
    iron_face_mm2: float = Field(
        default=20_000, ge=100, le=1e6, description="what one press covers in mm2, 100 to 1000000"
    )
    press_hold_seconds: float = Field(default=15, ge=0, le=600, description="holding one press in seconds, 0 to 600")
    press_move_seconds: float = Field(default=5, ge=0, le=600, description="moving the iron in seconds, 0 to 600")
    pressing_mm_per_minute: float = Field(
        default=1000, ge=1, le=1e6, description="pressing seams, in mm a minute, 1 to 1000000"
    )
    notion_minutes: float = _minutes("notion_minutes", "fitting each bought part")
    handwork_minutes: float = _minutes("handwork_minutes", "each step by hand")
    basting_mm_per_minute: float = Field(
        default=1500, ge=1, le=1e6, description="basting inner layers along their edges, in mm a minute, 1 to 1000000"
    )
    quilt_spacing_mm: float = Field(
        default=38.1, ge=5, le=1000, description="between lines of quilting that no pattern draws, in mm, 5 to 1000"
    )
    join_minutes: float = _minutes("join_minutes", "trimming and butting each join of a pieced layer")
    join_mm_per_minute: float = Field(
        default=300, ge=1, le=1e6, description="holding joins down, in mm a minute, 1 to 1000000"
    )
    finishing_minutes: float = _minutes("finishing_minutes", "the last look")
    allowance_share: float = Field(
        default=0.15, ge=0, le=1, description="rest and small things as a share of every step, 0 to 1"
    )
    doubt_share: float = Field(
        default=0.3, ge=0, le=1, description="standard deviation of a standard time as a share of it, 0 to 1"
    )
    standard_weight: float = Field(
        default=1, ge=0.1, le=100, description="readings that a standard time counts as, 0.1 to 100"
    )


def standards_from(words: StandardWords) -> TimeStandards:
    """The standards behind the words."""
    return TimeStandards(**words.model_dump())


class TimedWords(Contract):
    """One reading."""

    step: str = Field(
        default=WHOLE_BAG, max_length=200, description="id of the step, up to 200 characters; empty: the whole bag"
    )
    minutes: float = Field(gt=0, le=6000, description="minutes that it took, above 0 to 6000")
    counts_as_made: bool = Field(default=True, description="false: read on another bag that takes the same step")


class PiecedWords(Contract):
    """A layer put together from scraps."""

    name: str = Field(min_length=1, max_length=200, description="what is pieced, text of 1 to 200 characters")
    joins: int = Field(ge=0, le=1000, description="how many joins, a whole number from 0 to 1000")
    join_mm: float = Field(ge=0, le=1e6, description="length of all joins together in mm, 0 to 1000000")


def pieced_from(words: list[PiecedWords]) -> tuple[Pieced, ...]:
    """The pieced layers behind the words."""
    return tuple(Pieced(name=one.name, joins=one.joins, join_mm=one.join_mm) for one in words)


def readings_from(timed: list[TimedWords]) -> dict[str, list[float]]:
    """Minutes by step."""
    readings: dict[str, list[float]] = {}
    for one in timed:
        readings.setdefault(one.step, []).append(one.minutes)
    return readings


def timings_from(timed: list[TimedWords], bag_id: str) -> tuple[Timing, ...]:
    """The readings as if she had typed them, at no particular time."""
    return tuple(
        Timing(
            id=f"timed-{number}",
            bag_id=bag_id,
            step=one.step,
            begun=_SOME_TIME,
            worked_seconds=60 * one.minutes,
            is_done=True,
            is_typed=True,
            taken_from="" if one.counts_as_made else "another bag",
        )
        for number, one in enumerate(timed)
    )


def refuse_unknown_steps(timed: list[TimedWords], steps: tuple[TimeStep, ...]) -> None:
    """Raises `FaultyInput` for every reading of a step that the bag does not have."""
    ids = {step.id for step in steps} | {WHOLE_BAG}
    problems = [
        Problem(
            place=f"timed[{number}].step",
            value=one.step,
            what="is no step of this bag",
            allowed=f"one of: {', '.join(sorted(ids - {WHOLE_BAG}))}; or empty for the whole bag",
            remedy="Take the id that `bagwright time` tells.",
        )
        for number, one in enumerate(timed)
        if one.step not in ids
    ]
    if problems:
        raise FaultyInput(problems)
