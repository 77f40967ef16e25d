"""Measuring a material at the kitchen table: looking at what it tells, and keeping it on the shelf."""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import replace
from datetime import date

from bagwright.body.ruler_test import bending_length_mm
from bagwright.body.standing import standing_height_mm
from bagwright.errors import NotKept, StaleSave
from bagwright.model.material import Material
from bagwright.model.source import Reading, Source
from bagwright.store.materials import load_material, save_material
from bagwright.store.workroom import load_workroom
from bagwright.workflows.desk import Desk
from bagwright.workflows.measured_fields import Measured, Texts, at_angle, read_measuring
from bagwright.workflows.shelf import Shelf

_NOT_TYPED = frozenset({"version", "seen", "do"})


def stands_mm(overhang_mm: Reading, angle_deg: float) -> Reading:
    """How high a strip stands by itself that hangs over so far. [mm]

    >>> round(stands_mm(Reading.exact(50), 41.5).value, 1)
    49.7
    """
    value, low, high = (
        standing_height_mm(bending_length_mm(end, angle_deg=angle_deg))
        for end in (overhang_mm.value, overhang_mm.low, overhang_mm.high)
    )
    return Reading(value, low, high, overhang_mm.source)


def shelf_neighbours(shelf: Shelf, material_id: str, stands: float) -> tuple[str, str]:
    """Names of the materials on the shelf that stand next lower and next higher than a strip that stands so high.

    Empty where there is none; what is put away does not count.
    """
    others = sorted(
        (stands_mm(one.overhang_mm, one.overhang_angle_deg).value, one.name)
        for one in shelf.materials.values()
        if one.overhang_mm and one.id != material_id and not one.retired
    )
    lower = [name for height, name in others if height <= stands]
    higher = [name for height, name in others if height > stands]
    return lower[-1] if lower else "", higher[0] if higher else ""


def measure_material(desk: Desk, material_id: str, texts: Texts) -> Measured:
    """What was typed tells this of the material; nothing is kept. Raises `FaultyInput`, `NotKept`."""
    with desk.store() as store:
        kept = sheet_only(load_material(store, material_id).value)
        return read_measuring(texts, kept, load_workroom(store).units)


def keep_measured(desk: Desk, material_id: str, version: int, texts: Texts, *, today: date) -> Material:
    """Keep what was measured as the material's readings; an undo brings the old ones back.

    Raises `FaultyInput` with every fault, `StaleSave`, `NotKept`.
    """
    with desk.store() as store:
        kept = load_material(store, material_id)
        if kept.version != version:
            raise StaleSave(f"material {material_id!r}", expected_version=version, kept_version=kept.version)
        found = read_measuring(texts, sheet_only(kept.value), load_workroom(store).units)
        return save_material(store, with_measured(kept.value, found, today), expected_version=version).value


def sheet_only(material: Material) -> Material:
    """The material, if it can be measured like this. Raises `NotKept` for webbing, hardware and the like."""
    if not material.kind.is_sheet:
        raise NotKept(f"ruler test of {material.id!r}")
    return material


def with_measured(material: Material, found: Measured, today: date) -> Material:
    """The material with the new readings. An old overhang of the other direction is told at the new angle."""
    along = found.ruler.lengthwise.overhang_mm if found.ruler and found.ruler.lengthwise else found.loop_overhang_mm
    across = found.ruler.crosswise.overhang_mm if found.ruler and found.ruler.crosswise else None
    if along or across:
        olds = (material.overhang_mm, material.crosswise_overhang_mm)
        was = material.overhang_angle_deg
        turned = [at_angle(old, was, found.angle_deg) if old and was != found.angle_deg else old for old in olds]
        material = replace(
            material,
            overhang_mm=dated(along, today, digits=1) if along else turned[0],
            crosswise_overhang_mm=dated(across, today, digits=1) if across else turned[1],
            overhang_angle_deg=found.angle_deg,
        )
    thickness, mass = found.thickness_mm, found.mass_gsm
    return replace(
        material,
        thickness_mm=dated(thickness, today, digits=3) if thickness else material.thickness_mm,
        mass_gsm=dated(mass, today, digits=1) if mass else material.mass_gsm,
    )


def mark_of(texts: Texts) -> str:
    """Stands for everything that was typed, so that what is kept is what was looked at."""
    typed = {name: text for name, text in texts.items() if name not in _NOT_TYPED and text.strip()}
    return hashlib.sha256(json.dumps(typed, sort_keys=True).encode()).hexdigest()[:16]


def dated(reading: Reading, today: date, *, digits: int) -> Reading:
    """The reading with the day, and rounded: its range outwards.

    >>> dated(Reading.exact(50.26), date(2026, 3, 1), digits=1).high
    50.3
    """
    step = 10.0**digits
    low, high = math.floor(reading.low * step) / step, math.ceil(reading.high * step) / step
    source = Source(reading.source.kind, f"{reading.source.said_by}, {today.day} {today:%b %Y}")
    return Reading(min(max(round(reading.value, digits), low), high), low, high, source)
