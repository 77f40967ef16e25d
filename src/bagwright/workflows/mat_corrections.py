"""Outlines in a photo put right before they are kept: one parted along a line, two joined, the last of these undone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bagwright.capture.corrections import join_outlines, part_outline
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.model.bag import Workroom
from bagwright.model.found_outline import FoundOutline, FoundOutlines
from bagwright.store.photos import add_step, load_photo, undo_step
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.units import UnitSystem
from bagwright.workflows.desk import Desk
from bagwright.workflows.typed_corners import print_places, read_places

Texts = Mapping[str, str]


def correct_photo(desk: Desk, token: str, texts: Texts) -> tuple[dict[str, str], str]:
    """Do what ``do`` names: ``part-3`` along ``line-3``, ``join-3`` with ``join-3``, or ``undo``.

    Gives the answers that still hold, and what was done in words. Raises `NotKept`, and `FaultyInput`; nothing is
    changed then.
    """
    what, _, number = texts.get("do", "").partition("-")
    with desk.store() as store, transaction(store):
        before = load_photo(store, token).found
        if what == "undo":
            undo_step(store, token)
            left = {name: text for name, text in texts.items() if not name.startswith(("corners-", "line-"))}
            return left | _new_ticks(before, load_photo(store, token).found), "The last parting or joining is undone."
        found = replace(before, outlines=_put_right(before, what, number, texts, load_workroom(store)))
        add_step(store, token, found)
    return _answers_after(texts, before, found, number), _said(before, found, number)


def _said(before: FoundOutlines, after: FoundOutlines, number: str) -> str:
    """What came of parting or joining that outline."""
    then, now = ({one.number for one in found.outlines} for found in (before, after))
    if then - now:
        return f"Outline {number} and outline {(then - now).pop()} are one now: {number}."
    parts = ", ".join(str(one) for one in sorted(now - then))
    return f"Outline {number} is parted; the rest of it is now {parts}."


def _put_right(
    found: FoundOutlines, what: str, number: str, texts: Texts, workroom: Workroom
) -> tuple[FoundOutline, ...]:
    outline = _named(found, number)
    if what == "part":
        line = _line(texts.get(f"line-{number}", ""), outline, f"line-{number}", workroom)
        return part_outline(found.outlines, outline.number, line)
    other = _named(found, texts.get(f"join-{number}", ""), place=f"join-{number}")
    return join_outlines(found.outlines, outline.number, other.number)


def _answers_after(texts: Texts, before: FoundOutlines, after: FoundOutlines, number: str) -> dict[str, str]:
    """Ticks for new outlines as for the one they came from; corners and lines of changed outlines let go."""
    stale = {f"corners-{number}", f"line-{number}", f"join-{number}", "do"}
    answers = {name: text for name, text in texts.items() if name not in stale}
    return answers | _new_ticks(before, after)


def _new_ticks(before: FoundOutlines, after: FoundOutlines) -> dict[str, str]:
    """What only came now is kept, until she says otherwise."""
    known = {one.number for one in before.outlines}
    return {f"keep-{one.number}": "on" for one in after.outlines if one.number not in known}


def _named(found: FoundOutlines, number: str, *, place: str = "do") -> FoundOutline:
    for one in found.outlines:
        if str(one.number) == number:
            return one
    allowed = ", ".join(str(one.number) for one in found.outlines)
    raise _refused(place, number, "is no outline in this picture", allowed)


def _line(text: str, outline: FoundOutline, place: str, workroom: Workroom) -> tuple[Point, Point]:
    """Two places as typed, from the lowest left of the outline."""
    ends = read_places(text, _ends(outline), outline.region.bounds[:2], place=place, workroom=workroom)
    if len(ends) != 2:
        example = "0 x 1 1/2; 5 x 1 1/2" if workroom.units is UnitSystem.INCH else "0 40; 120 40"
        raise _refused(place, text, "is no line", f"two places such as {example}")
    return ends[0], ends[1]


def _ends(outline: FoundOutline) -> tuple[Point, ...]:
    """Of the line along which it may be two scraps; none if nothing tells of one."""
    return tuple(point for touch in outline.touches[:1] for point in (touch.start, touch.end))


def line_asked(outline: FoundOutline, workroom: Workroom) -> str:
    """The line along which it may be two scraps, as it is typed; empty if nothing tells of one.

    >>> line_asked(FoundOutline(number=1, outer=((0, 0), (9, 0), (9, 9)), error_mm=0.1), Workroom())
    ''
    """
    return print_places(_ends(outline), outline.region.bounds[:2], workroom)


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    remedy = "Choose or type it again."
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy=remedy)])
