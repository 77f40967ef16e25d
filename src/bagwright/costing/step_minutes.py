"""Standard times: what each step of the order of work takes, before rest and before anyone has timed it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.errors import BrokenPromise
from bagwright.geometry.region import Region
from bagwright.model.bag import Workroom
from bagwright.model.cost import TimePart
from bagwright.model.material import Held, Layer
from bagwright.model.pattern import Pattern, Seam
from bagwright.model.piece import CutPiece
from bagwright.model.work_step import WorkStep
from bagwright.units import print_length

SETUP = "setup"
PARTS = "parts"
SEW = "Sew"
HOLD = "Baste and quilt"
AT_MACHINE = frozenset({SEW, HOLD})
"""Kinds of steps at the machine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieced:
    """A layer put together from scraps: how many joins, each to one scrap more, and how long together.

    On average over a run, so that none of them need be whole. The first scrap is counted where pieces are cut out.
    """

    name: str
    joins: float
    join_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One bag to be made: its order of work, pattern and cut pieces, layers pieced from scraps."""

    work: tuple[WorkStep, ...]
    pattern: Pattern
    cuts: tuple[CutPiece, ...]
    pieced: tuple[Pieced, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RawStep:
    """One step with its standard time in parts, without rest."""

    id: str
    name: str
    kind: str
    parts: tuple[TimePart, ...]
    number: int = 0


def raw_steps(task: Task, workroom: Workroom) -> Iterator[RawStep]:
    """Setting up, every step of the order of work, layers pieced before the first seam, and the bought parts."""
    setup = TimePart("thread, needle, bobbin, a test seam", workroom.standards.setup_minutes)
    yield RawStep(id=SETUP, name="Set up the machine", kind="Set up the machine", parts=(setup,))
    for step in task.work:
        if step.id == "finish":
            yield from _fitted(task, workroom)
        yield _raw(step, task, workroom)
        if step.id == "cut":
            yield from (_pieced(one, workroom) for one in task.pieced)


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


def _raw(step: WorkStep, task: Task, workroom: Workroom) -> RawStep:
    kind, parts = _timed(step, task, workroom)
    return RawStep(id=step.id, number=step.number, name=step.name, kind=kind, parts=tuple(parts))


def _timed(step: WorkStep, task: Task, workroom: Workroom) -> tuple[str, Iterator[TimePart]]:
    if step.id == "cut":
        return "Cut out", _cut_out(task.cuts, workroom)
    if step.layer is not None and step.layer.held is Held.FUSED:
        return "Fuse", _fused(step, task, workroom)
    if step.layer is not None:
        return HOLD, held_parts(step.layer.held, list(_covered(step, step.layer, task)), workroom)
    if step.seam_ids:
        return SEW, _sewn([seam for seam in task.pattern.seams if seam.id in step.seam_ids], workroom)
    if step.id == "finish":
        return "Finish", iter([TimePart("press, turn, trim, look it over", workroom.standards.finishing_minutes)])
    return "By hand", iter([TimePart("mark, fetch the tool, do it", workroom.standards.handwork_minutes)])


def _cut_out(cuts: Sequence[CutPiece], workroom: Workroom) -> Iterator[TimePart]:
    given, count = workroom.standards, sum(cut.count for cut in cuts)
    length_mm = math.fsum(cut.count * cut.region.perimeter_mm for cut in cuts)
    length, speed = (print_length(mm, workroom.units).text for mm in (length_mm, given.cutting_mm_per_minute))
    yield TimePart(f"{length} of cut line, {speed} a minute", length_mm / given.cutting_mm_per_minute)
    handled = f"{_times(count, given.piece_handling_minutes)} to place, mark and stack the pieces"
    yield TimePart(handled, count * given.piece_handling_minutes)


def _fused(step: WorkStep, task: Task, workroom: Workroom) -> Iterator[TimePart]:
    """Whole presses of the iron's face on every copy of every piece."""
    given, layer = workroom.standards, step.layer
    if layer is None:
        raise BrokenPromise(f"step {step.id!r} fuses no layer")
    presses = sum(
        count * math.ceil(region.area_mm2 / given.iron_face_mm2) for count, region in _covered(step, layer, task)
    )
    held = f"{given.press_hold_seconds:g} s each and {given.press_move_seconds:g} s to move the iron"
    noun = "press" if presses == 1 else "presses"
    seconds = given.press_hold_seconds + given.press_move_seconds
    yield TimePart(f"{presses} {noun} of {held}", presses * seconds / 60)


def _covered(step: WorkStep, layer: Layer, task: Task) -> Iterator[tuple[int, Region]]:
    """How many copies of what shape the layer is cut to, for each piece of the step."""
    shapes = {(cut.piece_id, cut.material_id, cut.extent, cut.zone): cut.region for cut in task.cuts}
    for one in step.piece_ids:
        region = shapes.get((one, layer.material_id, layer.extent, layer.zone))
        if region is not None:
            yield task.pattern.piece(one).count, region


def held_parts(held: Held, covered: Sequence[tuple[int, Region]], workroom: Workroom) -> Iterator[TimePart]:
    """Minutes to baste a layer along the edges of every copy, or to quilt it in lines across; for the other ways none.

    `covered`: how many copies of what shape. Common practice, no source, until she takes her own times.
    """
    given = workroom.standards
    if held is Held.BASTED:
        length_mm = math.fsum(count * region.perimeter_mm for count, region in covered)
        length, speed = (print_length(mm, workroom.units).text for mm in (length_mm, given.basting_mm_per_minute))
        yield TimePart(f"{length} along the edges, {speed} a minute", length_mm / given.basting_mm_per_minute)
        copies = sum(count for count, _ in covered)
        says = f"{_times(copies, given.baste_minutes)} to pin, place and clip threads"
        yield TimePart(says, copies * given.baste_minutes)
    if held is Held.QUILTED:
        yield from _quilted(covered, workroom)


def _quilted(covered: Sequence[tuple[int, Region]], workroom: Workroom) -> Iterator[TimePart]:
    given, spacing_mm, speed_spm = workroom.standards, workroom.standards.quilt_spacing_mm, workroom.sewing_speed_spm
    length_mm = math.fsum(count * region.area_mm2 / spacing_mm for count, region in covered)
    running = machine_minutes(length_mm, stitch_length_mm=workroom.stitch_length_mm, speed_spm=speed_spm)
    length, apart = (print_length(mm, workroom.units).text for mm in (length_mm, spacing_mm))
    yield TimePart(f"{length} in lines {apart} apart, {speed_spm:g} stitches a minute", running)
    lines = sum(count * _lines_across(region, spacing_mm) for count, region in covered)
    yield TimePart(f"{_times(lines, given.quilt_minutes)} to place and clip threads", lines * given.quilt_minutes)


def _lines_across(region: Region, spacing_mm: float) -> int:
    """Lines along the longer side of its box."""
    return max(1, round(min(region.width_mm, region.height_mm) / spacing_mm))


def _sewn(seams: Sequence[Seam], workroom: Workroom) -> Iterator[TimePart]:
    given = workroom.standards
    length_mm = math.fsum(seam.length_mm * seam.rows for seam in seams)
    stitch_mm, speed_spm = workroom.stitch_length_mm, workroom.sewing_speed_spm
    running = math.fsum(
        machine_minutes(seam.length_mm, stitch_length_mm=stitch_mm, speed_spm=speed_spm, rows=seam.rows)
        for seam in seams
    )
    length = print_length(length_mm, workroom.units).text
    stitches = f"{print_length(stitch_mm, workroom.units, fraction=64).text} stitches"
    yield TimePart(f"{length} in {stitches}, {speed_spm:g} a minute", running)
    handling = [given.handling_minutes(seam.kind) for seam in seams]
    yield TimePart(f"{_times(len(seams), handling[0])} to pin, place and clip threads", math.fsum(handling))
    joined_mm = math.fsum(seam.length_mm for seam in seams if seam.kind.joins)
    if joined_mm:
        joined, speed = (print_length(mm, workroom.units).text for mm in (joined_mm, given.pressing_mm_per_minute))
        yield TimePart(f"press {joined} of seam, {speed} a minute", joined_mm / given.pressing_mm_per_minute)


def _pieced(pieced: Pieced, workroom: Workroom) -> RawStep:
    given = workroom.standards
    length, speed = (print_length(mm, workroom.units).text for mm in (pieced.join_mm, given.join_mm_per_minute))
    placing = f"{_times(pieced.joins, given.piece_handling_minutes)} to place the scraps after the first"
    parts = (
        TimePart(placing, pieced.joins * given.piece_handling_minutes),
        TimePart(
            f"{_times(pieced.joins, given.join_minutes)} to trim and butt the joins", pieced.joins * given.join_minutes
        ),
        TimePart(f"{length} of join, {speed} a minute", pieced.join_mm / given.join_mm_per_minute),
    )
    return RawStep(id=f"pieced:{pieced.name}", name=f"Piece from scraps: {pieced.name}", kind="Piece", parts=parts)


def _fitted(task: Task, workroom: Workroom) -> Iterator[RawStep]:
    given = workroom.standards
    parts = tuple(
        TimePart(
            f"{notion.name[:1].lower()}{notion.name[1:]}: {_times(notion.count, given.notion_minutes)}",
            notion.count * given.notion_minutes,
        )
        for notion in task.pattern.notions
    )
    if parts:
        yield RawStep(id=PARTS, name="Fit the bought parts", kind="Fit the bought parts", parts=parts)


def _times(count: float, minutes: float) -> str:
    return f"{count:g} x {minutes:g} min"
