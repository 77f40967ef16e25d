"""How firmly two materials of the shelf hold to each other: a tested scrap of the two, kept for wherever they meet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from bagwright.body.bond import BondFinding, share_of_bond
from bagwright.body.ruler_readings import ruler_finding
from bagwright.body.stack import stack_body
from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.model.body import Bond, BondedSwatch, KeptBond, Sheet
from bagwright.model.home_tests import DirectionFinding, FaceReadings
from bagwright.model.material import Held, Layer
from bagwright.model.source import Band
from bagwright.store.bonds import (
    can_redo_bond,
    can_undo_bond,
    load_bond,
    load_bonds,
    redo_bond,
    retire_bond,
    save_bond,
    undo_bond,
)
from bagwright.store.connection import Connection
from bagwright.store.history import Kept
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, load_shelf
from bagwright.workflows.measured_fields import USUAL_ANGLE_DEG, Texts, read_faces
from bagwright.workflows.measuring import dated
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import sheet_of
from bagwright.workflows.typed_readings import read_angle_deg

HELD_FLAT = (Held.FUSED, Held.QUILTED)
"""The ways of holding of `body.stack.HOLDS_FLAT`, the usual one first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedBond:
    """What a scrap of two tells. `before`, `after`: how high a strip of the two stands, without the test and with it.

    `version`: of what is kept for these two now, 0 if nothing ever was.
    """

    bond: KeptBond
    names: tuple[str, str]
    finding: BondFinding
    scrap: DirectionFinding | None
    before: Band
    after: Band
    version: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BondOnShelf:
    """A bond as it is kept. `tested` is missing where a material has lost a reading since."""

    kept: KeptBond
    names: tuple[str, str]
    version: int
    is_removed: bool
    can_undo: bool
    can_redo: bool
    tested: TriedBond | None


def bonds_on_shelf(desk: Desk) -> tuple[BondOnShelf, ...]:
    """Every bond that was ever tested, the removed ones last."""
    with desk.store() as store:
        shelf = load_shelf(store)
        found = [_on_shelf(store, shelf, kept) for kept in load_bonds(store, with_retired=True)]
    return tuple(sorted(found, key=lambda one: (one.is_removed, one.names)))


def _on_shelf(store: Connection, shelf: Shelf, kept: Kept[KeptBond]) -> BondOnShelf:
    bond = kept.value
    try:
        tested = told_bond(shelf, bond)
    except FaultyInput:
        tested = None
    return BondOnShelf(
        kept=bond,
        names=_names(shelf, bond),
        version=kept.version,
        is_removed=kept.retired,
        can_undo=can_undo_bond(store, bond.id),
        can_redo=can_redo_bond(store, bond.id),
        tested=tested,
    )


def told_bond(shelf: Shelf, bond: KeptBond, *, scrap: DirectionFinding | None = None) -> TriedBond:
    """What a kept scrap tells with the readings of today. Raises `FaultyInput` if a material lacks one."""
    outer, inner = _sheets(shelf, bond)
    swatch = bond.bond.swatch
    if swatch is None:
        raise FaultyInput([_problem("scrap_up", "", "there is no reading yet", "one reading or more")])
    bare, known = (stack_body([outer, replace(inner, bond=one)]) for one in (Bond(), bond.bond))
    return TriedBond(
        bond=bond,
        names=_names(shelf, bond),
        finding=share_of_bond(outer, inner, swatch),
        scrap=scrap,
        before=bare.standing_height_mm,
        after=known.standing_height_mm,
    )


def try_bond(desk: Desk, texts: Texts, *, today: date) -> TriedBond:
    """What was typed tells this of the two; nothing is kept. Raises `FaultyInput` with every fault."""
    with desk.store() as store:
        tested = _read(texts, load_shelf(store), load_workroom(store).units, today)
        return replace(tested, version=_version(store, tested.bond.id))


def keep_bond(desk: Desk, version: int, texts: Texts, *, today: date) -> KeptBond:
    """Keep what was typed for these two. Raises `FaultyInput`, `StaleSave`."""
    with desk.store() as store, transaction(store):
        tested = _read(texts, load_shelf(store), load_workroom(store).units, today)
        return save_bond(store, tested.bond, expected_version=version).value


def remove_bond(desk: Desk, bond_id: str, version: int) -> None:
    """Count it no longer; `undo_bond_change` brings it back. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        retire_bond(store, bond_id, expected_version=version)


def undo_bond_change(desk: Desk, bond_id: str, version: int) -> None:
    """Back to before its last change. Raises `StaleSave`, `NotKept`; with none to undo it stays as it is."""
    _step(desk, bond_id, version, (can_undo_bond, undo_bond))


def redo_bond_change(desk: Desk, bond_id: str, version: int) -> None:
    """What the last undo took back. Raises `StaleSave`, `NotKept`; with nothing to redo it stays as it is."""
    _step(desk, bond_id, version, (can_redo_bond, redo_bond))


_Way = tuple[Callable[[Connection, str], bool], Callable[[Connection, str], object]]


def _step(desk: Desk, bond_id: str, version: int, way: _Way) -> None:
    can, step = way
    with desk.store() as store, transaction(store):
        kept = load_bond(store, bond_id)
        if kept.version != version:
            raise StaleSave(f"bond {bond_id!r}", expected_version=version, kept_version=kept.version)
        if can(store, bond_id):
            step(store, bond_id)


def _version(store: Connection, bond_id: str) -> int:
    try:
        return load_bond(store, bond_id).version
    except NotKept:
        return 0


def _read(texts: Texts, shelf: Shelf, units: UnitSystem, today: date) -> TriedBond:
    faults = Faults()
    angle = USUAL_ANGLE_DEG
    pair: tuple[str, str] | None = None
    with faults:
        angle = read_angle_deg(texts["angle_deg"], place="angle_deg") if texts.get("angle_deg", "").strip() else angle
    with faults:
        pair = _pair(texts, shelf)
    with faults:
        if texts.get("held", Held.FUSED) not in HELD_FLAT:
            raise FaultyInput([_problem("held", texts["held"][:40], "is not one of the choices", ", ".join(HELD_FLAT))])
    faces = read_faces(texts, "scrap", units, faults)
    if not faults.problems and not (faces.face_up_mm or faces.face_down_mm):
        faults.problems.append(_problem("scrap_up", "", "there is no reading yet", "one reading or more"))
    if pair:
        with faults:
            _sheets(shelf, KeptBond(outer_id=pair[0], inner_id=pair[1], bond=Bond()))
    faults.raise_if_any()
    scrap = ruler_finding(faces, FaceReadings(), angle_deg=angle).lengthwise
    if scrap is None or pair is None:
        raise FaultyInput([_problem("scrap_up", "", "there is no reading yet", "one reading or more")])
    swatch = BondedSwatch(overhang_mm=dated(scrap.overhang_mm, today, digits=1), angle_deg=angle)
    held = Held(texts.get("held", Held.FUSED))
    bond = KeptBond(outer_id=pair[0], inner_id=pair[1], bond=Bond(swatch=swatch), held=held)
    return told_bond(shelf, bond, scrap=scrap)


def _pair(texts: Mapping[str, str], shelf: Shelf) -> tuple[str, str]:
    problems = []
    for place in ("outer", "inner"):
        material = shelf.materials.get(texts.get(place, ""))
        if material is None or not material.kind.is_sheet:
            what = "is not on the shelf" if texts.get(place) else "nothing is chosen yet"
            problems.append(_problem(place, texts.get(place, "")[:40], what, "a cloth, interfacing or padding"))
    if problems:
        raise FaultyInput(problems)
    return texts["outer"], texts["inner"]


def _sheets(shelf: Shelf, bond: KeptBond) -> tuple[Sheet, Sheet]:
    """Both materials as sheets, the inner one held; what a material lacks is told at its field."""
    faults, sheets = Faults(), []
    for place, material_id in (("outer", bond.outer_id), ("inner", bond.inner_id)):
        with faults:
            try:
                sheets.append(sheet_of(Layer(material_id, held=bond.held), shelf))
            except FaultyInput as fault:
                raise FaultyInput(_lacking(one, place) for one in fault.problems) from None
    faults.raise_if_any()
    outer, inner = sheets
    return outer, inner


def _lacking(problem: Problem, place: str) -> Problem:
    return replace(problem, place=place, remedy=f"Measure {problem.value} first, then come back.")


def _names(shelf: Shelf, bond: KeptBond) -> tuple[str, str]:
    return shelf.materials[bond.outer_id].name, shelf.materials[bond.inner_id].name


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Give it here.")
