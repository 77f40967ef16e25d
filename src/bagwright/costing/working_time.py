"""Minutes of work on one bag, step by step, from what is cut, fused and sewn."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from bagwright.errors import BrokenPromise
from bagwright.model.bag import Bag, Workroom
from bagwright.model.cost import TimeStep
from bagwright.model.material import Held
from bagwright.model.pattern import Pattern, Seam, SeamKind
from bagwright.model.piece import CutPiece
from bagwright.units import print_length


def _seam_handling() -> Mapping[SeamKind, float]:
    return MappingProxyType(
        {
            SeamKind.LOCKSTITCH: 1.0,
            SeamKind.ZIP: 2.5,
            SeamKind.TOPSTITCH: 0.75,
            SeamKind.BASTE: 0.75,
            SeamKind.HEM: 1.5,
            SeamKind.QUILT: 0.3,
        }
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeStandards:
    """Times that no drawing can tell. Until she logs her own, every default is a starting point to be replaced.

    Common practice, no source: `setup_minutes` (thread, needle, bobbin, a test seam; once for the whole run),
    `cutting_mm_per_minute` (along the cut line), `piece_handling_minutes` (place, mark, notch, stack: each cut piece),
    `seam_handling_minutes` (pin or clip, place under the foot, clip the threads: each seam), `iron_face_mm2` (a home
    iron covers about 20 x 10 cm), `press_move_seconds` (to lift it and set it down), `pressing_mm_per_minute` (along
    seams that join), `notion_minutes` (each bought part), `finishing_minutes` (turn, trim, look it over).

    `press_hold_seconds`: "raise and press, 10-15 s", common practice for a home iron, here the longer end; an
    interlining maker's leaflet asks 12-16 s of a press. The leaflet of her own interfacing wins.

    `allowance_share`: rest added to every step. From memory of the International Labour Office's Introduction to Work
    Study: personal needs 5-7 %, basic fatigue 4 %; contingencies, usually up to 5 %, are from a work-design handbook's
    chapter on time study. 0.15 is near their sum; the tables are disputed.
    """

    setup_minutes: float = 10.0
    cutting_mm_per_minute: float = 1500.0
    piece_handling_minutes: float = 0.5
    seam_handling_minutes: Mapping[SeamKind, float] = field(default_factory=_seam_handling)
    iron_face_mm2: float = 20_000.0
    press_hold_seconds: float = 15.0
    press_move_seconds: float = 5.0
    pressing_mm_per_minute: float = 1000.0
    notion_minutes: float = 2.0
    finishing_minutes: float = 5.0
    allowance_share: float = 0.15


def machine_minutes(length_mm: float, *, stitch_length_mm: float, speed_spm: float, rows: int = 1) -> float:
    r"""Minutes the needle runs: stitches over stitches a minute. :math:`t = n L / (p v)`

    L `length_mm`, p `stitch_length_mm`, v `speed_spm`, n `rows`. Assumes one steady speed, so v has to be the real
    average. Valid for lengths from 0 and p, v above 0; else `BrokenPromise`.

    36 in at 10 stitches to the inch and 1000 stitches a minute:

    >>> round(machine_minutes(914.4, stitch_length_mm=2.54, speed_spm=1000), 9)
    0.36

    References
    ----------
    .. [1] "Machine minutes = stitches to the inch x length / revolutions a minute", an article on sewing-time
       standards read at onlineclothingstudy.com.
    """
    if not (stitch_length_mm > 0 and speed_spm > 0 and length_mm >= 0):
        raise BrokenPromise(f"cannot time {length_mm} mm in stitches of {stitch_length_mm} mm at {speed_spm} a minute")
    return rows * length_mm / stitch_length_mm / speed_spm


def standard_minutes(normal_minutes: float, allowance_share: float) -> float:
    r"""Time with rest: normal time x (1 + allowance). :math:`t_s = t_n (1 + a)`

    Normal time is the observed one x rating. Valid for an allowance from 0; else `BrokenPromise`.

    >>> round(standard_minutes(0.60 * 0.80, 0.10 + 0.20), 9)
    0.624

    References
    ----------
    .. [1] S. Konz, chapter on time study in a handbook of industrial engineering: normal = observed x rating.
    """
    if not allowance_share >= 0:
        raise BrokenPromise(f"an allowance cannot be negative, got {allowance_share}")
    return normal_minutes * (1 + allowance_share)


def working_steps(
    bag: Bag,
    pattern: Pattern,
    cuts: Sequence[CutPiece],
    *,
    workroom: Workroom,
    standards: TimeStandards | None = None,
) -> tuple[TimeStep, ...]:
    """The steps of work on one bag out of a run of `bag.run_count`, in their order.

    Only setting up is shared by the run. That a maker gets faster with practice, quilting, hand sewing and breaks
    beyond the allowance are not in it.
    """
    given = standards or TimeStandards()
    steps = [
        _set_up(bag, given),
        _cut_out(cuts, workroom, given),
        *_fuse(bag, pattern, cuts, given),
        *(_sew(seam, workroom, given) for seam in sorted(pattern.seams, key=lambda seam: seam.order)),
        *_press(pattern, workroom, given),
        *(
            _step(
                f"Fit: {notion.name[:1].lower()}{notion.name[1:]}",
                notion.count * given.notion_minutes,
                _times(notion.count, given.notion_minutes),
            )
            for notion in pattern.notions
        ),
        _step("Finish", given.finishing_minutes, "turn, trim, look it over"),
    ]
    return tuple(
        TimeStep(
            name=step.name,
            minutes=standard_minutes(step.minutes, given.allowance_share),
            reckoned=f"{step.reckoned}; {given.allowance_share:.0%} added for rest",
        )
        for step in steps
    )


def _step(name: str, minutes: float, reckoned: str) -> TimeStep:
    return TimeStep(name=name, minutes=minutes, reckoned=reckoned)


def _times(count: int, minutes: float) -> str:
    return f"{count} x {minutes:g} min"


def _set_up(bag: Bag, given: TimeStandards) -> TimeStep:
    if bag.run_count < 1:
        raise BrokenPromise(f"a run has at least one bag, got {bag.run_count}")
    shared = f", shared by {bag.run_count} bags" if bag.run_count > 1 else ""
    return _step("Set up the machine", given.setup_minutes / bag.run_count, f"{given.setup_minutes:g} min{shared}")


def _cut_out(cuts: Sequence[CutPiece], workroom: Workroom, given: TimeStandards) -> TimeStep:
    count = sum(cut.count for cut in cuts)
    length_mm = math.fsum(cut.count * cut.region.perimeter_mm for cut in cuts)
    minutes = length_mm / given.cutting_mm_per_minute + count * given.piece_handling_minutes
    length, speed = (print_length(mm, workroom.units).text for mm in (length_mm, given.cutting_mm_per_minute))
    handled = _times(count, given.piece_handling_minutes)
    return _step("Cut out", minutes, f"{length} of cut line at {speed} a minute, {handled} to handle the pieces")


def _fuse(bag: Bag, pattern: Pattern, cuts: Sequence[CutPiece], given: TimeStandards) -> list[TimeStep]:
    areas_mm2 = {(cut.piece_id, cut.material_id, cut.extent, cut.zone): cut.region.area_mm2 for cut in cuts}
    fused = (
        (piece.count, areas_mm2.get((piece.id, layer.material_id, layer.extent, layer.zone), 0.0))
        for piece in pattern.pieces
        if not piece.is_bought
        for layer in bag.stacks[piece.role]
        if layer.held is Held.FUSED
    )
    presses = sum(count * math.ceil(area_mm2 / given.iron_face_mm2) for count, area_mm2 in fused)
    if not presses:
        return []
    seconds = given.press_hold_seconds + given.press_move_seconds
    held = f"{given.press_hold_seconds:g} s each, {given.press_move_seconds:g} s to move the iron"
    return [_step("Fuse", presses * seconds / 60, f"{presses} presses of {held}")]


def _sew(seam: Seam, workroom: Workroom, given: TimeStandards) -> TimeStep:
    running = machine_minutes(
        seam.length_mm, stitch_length_mm=workroom.stitch_length_mm, speed_spm=workroom.sewing_speed_spm, rows=seam.rows
    )
    handling = given.seam_handling_minutes[seam.kind]
    rows = f" in {seam.rows} rows" if seam.rows > 1 else ""
    stitched = f"{print_length(seam.length_mm, workroom.units).text}{rows}"
    stitches = f"{print_length(workroom.stitch_length_mm, workroom.units, fraction=64).text} stitches"
    speed = f"{workroom.sewing_speed_spm:g} a minute"
    return _step(
        f"Sew: {seam.name}", running + handling, f"{stitched} in {stitches}, {speed}; {handling:g} min to handle it"
    )


def _press(pattern: Pattern, workroom: Workroom, given: TimeStandards) -> list[TimeStep]:
    length_mm = math.fsum(seam.length_mm for seam in pattern.seams if seam.kind.joins)
    if not length_mm:
        return []
    length, speed = (print_length(mm, workroom.units).text for mm in (length_mm, given.pressing_mm_per_minute))
    return [_step("Press the seams", length_mm / given.pressing_mm_per_minute, f"{length} at {speed} a minute")]
