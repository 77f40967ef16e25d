"""Tests at the kitchen table: readings of the ruler test, and what they amount to."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.source import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceReadings:
    """Overhangs of strips cut in one direction, the right side up and the right side down. [mm]

    `keep_outliers_...`: readings of that face that lie far from its others count all the same.
    """

    face_up_mm: tuple[float, ...] = ()
    face_down_mm: tuple[float, ...] = ()
    keep_outliers_up: bool = False
    keep_outliers_down: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingGroup:
    """Several readings of one thing: those that count, those that lie far from the others, and mean and spread of what
    counts.

    Readings that lie far off are set apart, or are among those kept, too, if they were asked to count. `spread_mm`:
    standard deviation, 0 for a single reading.
    """

    kept_mm: tuple[float, ...]
    outliers_mm: tuple[float, ...]
    mean_mm: float
    spread_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectionFinding:
    """What the strips of one direction tell.

    `one_mm_more`: what one millimetre more of overhang would add to the rigidity, as a share. `notes`: what to mind.
    """

    face_up: ReadingGroup | None
    face_down: ReadingGroup | None
    overhang_mm: Reading
    bending_length_mm: Reading
    rigidity_unm: Reading | None
    one_mm_more: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RulerFinding:
    """What a ruler test tells, in each direction that was tested and over all (their geometric mean)."""

    lengthwise: DirectionFinding | None
    crosswise: DirectionFinding | None
    bending_length_mm: Reading
