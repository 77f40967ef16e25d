"""Several readings of the ruler test made into one, with its range: outliers, faces, directions, reading error."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence

from bagwright.body.limits import angle_problems, number_problems
from bagwright.body.ruler_test import bending_length_mm, over_all, rigidity_unm
from bagwright.errors import FaultyInput, Problem
from bagwright.model.home_tests import DirectionFinding, FaceReadings, ReadingGroup, RulerFinding
from bagwright.model.source import Reading, Source, SourceKind

READING_ERROR_MM = 1.0
"""How far a maker is off when she reads the ruler: common practice, no source."""
ENOUGH_READINGS = 4
FACES_DIFFER = 0.2
OUTLIER_SCORE = 3.5
_SCORE_PER_DEVIATION = 0.6745
_ONE_READING_SHARE = 0.15
_SMALLEST_DEVIATION = 0.5
_INCH_STEPS_MM = (25.4 / 8, 25.4 / 16)
_HAIR_MM = 0.01
# Student's t for 95 % on both sides, by degrees of freedom (a standard table, from memory; a test checks it).
_STUDENT = (12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160, 2.145, 2.131)
_STUDENT_MANY = 2.131


def reading_group(
    readings_mm: Sequence[float], *, reading_error_mm: float = READING_ERROR_MM, keep_outliers: bool = False
) -> ReadingGroup:
    """Mean and spread of several readings of one thing, those that lie far from the others set apart and shown.

    `keep_outliers`: they are shown but count like the others.

    The rule is the modified z-score of Iglewicz and Hoaglin (1993, from memory): a reading is an outlier if
    0.6745 |x - median| / MAD is more than 3.5, MAD being the median distance from the median. As readings are rounded,
    MAD counts as at least half the reading error, and as at least half a step where all are whole eighths or sixteenths
    of an inch. Fewer than four readings have no outliers.

    Raises `FaultyInput` if there is none, or one is not above zero.

    >>> group = reading_group([50, 51, 49, 50, 71])
    >>> group.mean_mm, group.outliers_mm
    (50.0, (71,))
    """
    problems = number_problems({f"[{i}]": reading for i, reading in enumerate(readings_mm)})
    if not readings_mm:
        problems = [_no_reading()]
    if problems:
        raise FaultyInput(problems)
    median = statistics.median(readings_mm)
    deviation = statistics.median(abs(reading - median) for reading in readings_mm)
    deviation = max(deviation, _SMALLEST_DEVIATION * max(reading_error_mm, _inch_step_mm(readings_mm)))

    def is_outlier(reading: float) -> bool:
        score = _SCORE_PER_DEVIATION * abs(reading - median) / deviation
        return len(readings_mm) >= ENOUGH_READINGS and score > OUTLIER_SCORE

    kept = tuple(reading for reading in readings_mm if keep_outliers or not is_outlier(reading))
    return ReadingGroup(
        kept_mm=kept,
        outliers_mm=tuple(reading for reading in readings_mm if is_outlier(reading)),
        mean_mm=statistics.fmean(kept),
        spread_mm=statistics.stdev(kept) if len(kept) > 1 else 0.0,
    )


def _inch_step_mm(readings_mm: Sequence[float]) -> float:
    """The step of a ruler in inches on which all readings lie; 0 if they lie on none."""
    for step_mm in _INCH_STEPS_MM:
        if all(abs(reading - step_mm * round(reading / step_mm)) < _HAIR_MM for reading in readings_mm):
            return step_mm
    return 0.0


def ruler_finding(
    lengthwise: FaceReadings,
    crosswise: FaceReadings,
    *,
    angle_deg: float = 41.5,
    mass_gsm: Reading | None = None,
    reading_error_mm: float = READING_ERROR_MM,
) -> RulerFinding:
    """What the readings of a ruler test amount to.

    In each direction the overhang is the mean of the two faces' means. Its range: Student's 95 % for that mean from the
    spread of the readings, and the reading error on both sides, for a wrong zero shifts all readings alike. Of a single
    reading the spread is unknown and taken as 15 % (common practice, no source); two or three that agree better than
    that are not trusted less. The range of the rigidity has all ends
    of overhang and mass. Over all: the geometric mean of the two directions, or the one that was tested.

    Raises `FaultyInput` with every reading, error and angle that is out of range, and if there is no reading at all.

    >>> up, down = FaceReadings(face_up_mm=(50, 51, 49, 50)), FaceReadings()
    >>> found = ruler_finding(up, down)
    >>> round(found.bending_length_mm.value, 1), round(found.lengthwise.overhang_mm.high - 50, 1)
    (25.0, 2.3)
    """
    problems = [
        *_face_problems(lengthwise, "lengthwise"),
        *_face_problems(crosswise, "crosswise"),
        *angle_problems(angle_deg),
        *number_problems({"reading_error_mm": reading_error_mm}),
        *(number_problems({"mass_gsm": mass_gsm.low}) if mass_gsm else []),
    ]
    if not problems and not any(_all(faces) for faces in (lengthwise, crosswise)):
        problems.append(_no_reading())
    if problems:
        raise FaultyInput(problems)
    along, across = (
        _direction(faces, angle_deg, mass_gsm, reading_error_mm) if _all(faces) else None
        for faces in (lengthwise, crosswise)
    )
    tested = [found.bending_length_mm for found in (along, across) if found]
    return RulerFinding(lengthwise=along, crosswise=across, bending_length_mm=_over_all(tested))


def _all(faces: FaceReadings) -> tuple[float, ...]:
    return (*faces.face_up_mm, *faces.face_down_mm)


def _direction(
    faces: FaceReadings, angle_deg: float, mass_gsm: Reading | None, reading_error_mm: float
) -> DirectionFinding:
    up, down = (
        reading_group(readings, reading_error_mm=reading_error_mm, keep_outliers=keep) if readings else None
        for readings, keep in (
            (faces.face_up_mm, faces.keep_outliers_up),
            (faces.face_down_mm, faces.keep_outliers_down),
        )
    )
    groups = [group for group in (up, down) if group]
    overhang = _overhang(groups, reading_error_mm)
    value, low, high = (bending_length_mm(end, angle_deg=angle_deg) for end in _ends(overhang))
    length = Reading(value, low, high, overhang.source)
    return DirectionFinding(
        face_up=up,
        face_down=down,
        overhang_mm=overhang,
        bending_length_mm=length,
        rigidity_unm=_rigidity(mass_gsm, length) if mass_gsm else None,
        one_mm_more=(1 + 1 / overhang.value) ** 3 - 1,
        notes=tuple(_notes(up, down)),
    )


def _overhang(groups: Sequence[ReadingGroup], reading_error_mm: float) -> Reading:
    mean = statistics.fmean(group.mean_mm for group in groups)
    count = sum(len(group.kept_mm) for group in groups)
    # The mean of two means: half of each one's doubt, put together at right angles.
    doubt = math.sqrt(math.fsum(_doubt_of_mean(group) ** 2 for group in groups)) / len(groups)
    away = doubt + reading_error_mm
    source = Source(SourceKind.MEASURED, f"ruler test, {count} {'reading' if count == 1 else 'readings'}")
    return Reading(mean, max(mean - away, mean / 10), mean + away, source)


def _doubt_of_mean(group: ReadingGroup) -> float:
    count, of_one = len(group.kept_mm), _ONE_READING_SHARE * group.mean_mm
    if count == 1:
        return of_one
    student = _STUDENT[count - 2] if count - 2 < len(_STUDENT) else _STUDENT_MANY
    return min(student * group.spread_mm / math.sqrt(count), max(of_one, group.spread_mm))


def _rigidity(mass_gsm: Reading, length_mm: Reading) -> Reading:
    pairs = zip(_ends(mass_gsm), _ends(length_mm), strict=True)
    value, low, high = (rigidity_unm(mass, length) for mass, length in pairs)
    return Reading(value, low, high, length_mm.source)


def _over_all(lengths: Sequence[Reading]) -> Reading:
    if len(lengths) == 1:
        return lengths[0]
    one, other = lengths
    value, low, high = (over_all(a, b) for a, b in zip(_ends(one), _ends(other), strict=True))
    return Reading(value, low, high, Source(SourceKind.MEASURED, "ruler test in both directions"))


def _ends(reading: Reading) -> tuple[float, float, float]:
    return reading.value, reading.low, reading.high


def _notes(up: ReadingGroup | None, down: ReadingGroup | None) -> list[str]:
    groups = [group for group in (up, down) if group]
    notes = []
    if any(set(group.outliers_mm) - set(group.kept_mm) for group in groups):
        notes.append("A reading lies far from the others and was set apart: measure that strip once more.")
    if any(len(group.kept_mm) < ENOUGH_READINGS for group in groups):
        notes.append("Take at least four readings for each face: fewer leave a wide range.")
    if up is None or down is None:
        notes.append("Only one face was tested: most cloth bends differently face up and face down.")
    elif abs(up.mean_mm - down.mean_mm) > FACES_DIFFER * statistics.fmean((up.mean_mm, down.mean_mm)):
        notes.append("The two faces differ a lot: the cloth curls, or is a laminate. The mean suits a bag less well.")
    return notes


def _face_problems(faces: FaceReadings, direction: str) -> list[Problem]:
    numbers = {
        f"{direction}.{name}[{i}]": reading
        for name in ("face_up_mm", "face_down_mm")
        for i, reading in enumerate(getattr(faces, name))
    }
    return number_problems(numbers)


def _no_reading() -> Problem:
    remedy = "Slide a strip over the edge until its tip touches the slope, and read the ruler."
    return Problem(place="readings", value="", what="there is none", allowed="one reading or more", remedy=remedy)
