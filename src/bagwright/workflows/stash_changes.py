"""The stash on the desk: looked through, added to, changed, used up, undone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.geometry.curves import Point
from bagwright.geometry.many_regions import ring_areas_mm2
from bagwright.geometry.region import Region
from bagwright.model.bag import Workroom
from bagwright.model.material import Material
from bagwright.model.money import Money
from bagwright.model.stash import Ring, SideUp, StashPiece
from bagwright.store.connection import Connection
from bagwright.store.history import Kept
from bagwright.store.stamp import stamp_of_the_rest
from bagwright.store.stash import (
    can_undo_stash_piece,
    load_stash,
    load_stash_piece,
    retire_stash_piece,
    save_stash_piece,
    undo_stash_piece,
    undoable_stash_pieces,
)
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.units import print_length, read_length_mm
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, load_shelf, new_id
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.stash_finding import StashSize, areas_mm2, size_of
from bagwright.workflows.stash_wishes import StashOrder, StashWish, found_in, in_order
from bagwright.workflows.typed_areas import print_areas, print_place, read_areas, read_corners, read_place

Texts = Mapping[str, str]
_LONGEST_MM = 20_000.0
_LONGEST = {"bin": 120, "came_from": 120, "note": 500}


@dataclass(frozen=True, slots=True)
class StashItem:
    """A piece of the stash with its material and whether a change can be undone."""

    kept: Kept[StashPiece]
    material: Material
    can_undo: bool

    @property
    def size(self) -> StashSize:
        """Its largest rectangle; working that out takes a while the first time."""
        return size_of(self.piece)

    @property
    def piece(self) -> StashPiece:
        """The piece itself."""
        return self.kept.value


def the_stash(desk: Desk, wish: StashWish | None = None) -> tuple[StashItem, ...]:
    """Everything in the stash that meets the wish, in its order; the largest first of each material by name."""
    asked = wish or StashWish()
    found = found_in(_whole_stash(desk), asked, _piece_of)
    return tuple(found if asked.order is StashOrder.LARGEST else in_order(found, asked.order, _piece_of))


def _piece_of(item: StashItem) -> StashPiece:
    return item.kept.value


def _whole_stash(desk: Desk) -> list[StashItem]:
    with desk.store() as store:
        stamp, materials = stamp_of_the_rest(store), load_shelf(store).materials
        rows = desk.stash.once(stamp, lambda: _largest_first(store))
    items = [StashItem(kept, materials[kept.value.material_id], can_undo) for kept, can_undo in rows]
    return sorted(items, key=lambda item: item.material.name.casefold())


def _largest_first(store: Connection) -> tuple[tuple[Kept[StashPiece], bool], ...]:
    """Every piece and whether a change of it can be undone; worked out anew when anything was changed."""
    undoable, stash = undoable_stash_pieces(store), load_stash(store)
    areas = areas_mm2([kept.value for kept in stash])
    largest_first = sorted(range(len(stash)), key=lambda number: -areas[number])
    return tuple((stash[number], stash[number].value.id in undoable) for number in largest_first)


def stash_piece(desk: Desk, piece_id: str) -> Kept[StashPiece]:
    """The piece of that id, in the stash or out of it. Raises `NotKept`."""
    with desk.store() as store:
        return load_stash_piece(store, piece_id)


def add_stash_piece(desk: Desk, texts: Texts, *, today: date) -> StashPiece:
    """A rectangle by its typed size, or an outline by its typed `corners`; its `flaws` and `lesser` parts.

    `long` runs along the grain, `wide` across; corners and areas as `typed_areas` reads them, x along the grain. Raises
    `FaultyInput` with every fault.
    """
    with desk.store() as store:
        workroom, shelf, faults = load_workroom(store), load_shelf(store), Faults()
        material: Material | None = None
        outer: Ring = ()
        with faults:
            material = shelf.material(texts.get("material", ""), place="material")
            if not material.kind.is_sheet:
                raise _refused("material", material.name, "is no sheet", "a cloth, an interfacing, a padding or a hide")
        with faults:
            outer = _outline(texts, workroom)
        rest: dict[str, Any] = {}
        if outer:
            with faults:
                rest |= _read_areas(texts, outer, workroom)
        with faults:
            rest |= _read_rest(texts, workroom)
        with faults:
            rest |= _read_motif(texts, None, workroom)
        faults.raise_if_any()
        assert material is not None
        piece = StashPiece(
            id=new_id(material.name),
            material_id=material.id,
            outer=outer,
            grain_deg=0.0 if material.kind.has_grain else None,
            dated=today,
            **rest,
        )
        return save_stash_piece(store, piece, expected_version=0).value


def _outline(texts: Texts, workroom: Workroom) -> Ring:
    """Its corners where they are typed, else the rectangle of its sizes."""
    if texts.get("corners", "").strip():
        return read_corners(texts["corners"], place="corners", workroom=workroom)
    faults, sizes = Faults(), {"long": 1.0, "wide": 1.0}
    for name in sizes:
        with faults:
            sizes[name] = read_size(texts.get(name, ""), name, workroom)
    faults.raise_if_any()
    long, wide = sizes["long"], sizes["wide"]
    return ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))


def _read_areas(texts: Texts, outer: Ring, workroom: Workroom) -> dict[str, Any]:
    """Flaws and lesser parts that are typed; a field that is missing stays."""
    faults, read, within = Faults(), dict[str, Any](), Region.from_ring(outer)
    for name in ("flaws", "lesser"):
        if name in texts:
            with faults:
                read[name] = read_areas(texts[name], place=name, workroom=workroom, within=within)
    faults.raise_if_any()
    if "flaws" in read and StashPiece(id="", material_id="", outer=outer, flaws=read["flaws"]).sound.is_empty:
        raise _refused("flaws", texts["flaws"], "leave nothing to cut from", "flaws smaller than the piece")
    return read


def change_stash_piece(desk: Desk, piece_id: str, version: int, texts: Texts) -> StashPiece:
    """Where it lies, which side is up, value, note; a rectangle's size too. Raises `FaultyInput`, `StaleSave`."""
    with desk.store() as store:
        kept = load_stash_piece(store, piece_id)
        if kept.version != version or kept.retired:
            raise StaleSave(f"stash piece {piece_id!r}", expected_version=version, kept_version=kept.version)
        workroom, faults, piece = load_workroom(store), Faults(), kept.value
        with faults:
            piece = replace(piece, outer=_resized(piece, texts, workroom))
        with faults:
            changed = {name: texts[name] for name in ("flaws", "lesser") if _is_other(piece, name, texts, workroom)}
            piece = replace(piece, **_read_areas(changed, piece.outer, workroom))
        with faults:
            piece = replace(piece, **_read_rest(texts, workroom))
        with faults:
            piece = replace(piece, **_read_motif(texts, piece.motif, workroom))
        faults.raise_if_any()
        if piece == kept.value:
            return piece
        return save_stash_piece(store, piece, expected_version=version).value


def _is_other(piece: StashPiece, name: str, texts: Texts, workroom: Workroom) -> bool:
    """Whether areas were typed anew; as they were printed they keep their exact shape."""
    rings = piece.flaws if name == "flaws" else piece.lesser
    return name in texts and texts[name].strip() != print_areas(rings, workroom)


def _read_motif(texts: Texts, motif: Point | None, workroom: Workroom) -> dict[str, Any]:
    """Where a motif lies, if that was typed anew: as it was printed it keeps its exact place."""
    if "motif" not in texts or texts["motif"].strip() == print_place(motif, workroom):
        return {}
    return {"motif": read_place(texts["motif"], place="motif", workroom=workroom)}


def is_plain_rectangle(piece: StashPiece) -> bool:
    """Whether its size can be typed: upright, four corners, grain along or across, no flaw or lesser part.

    >>> is_plain_rectangle(StashPiece(id="s", material_id="felt", outer=((0, 0), (4, 0), (4, 3), (0, 3))))
    True
    """
    if piece.flaws or piece.lesser or piece.holes or len(piece.outer) != 4 or (piece.grain_deg or 0.0) != 0.0:
        return False
    size, (area_mm2,) = size_of(piece), ring_areas_mm2([piece.outer])
    return abs(area_mm2 - size.length_mm * size.width_mm) < 1e-6 * area_mm2 + 1e-6


def _resized(piece: StashPiece, texts: Texts, workroom: Workroom) -> tuple[tuple[float, float], ...]:
    """The outline at the typed size; a size left as it was printed keeps its exact length."""
    if not is_plain_rectangle(piece):
        return piece.outer
    size, faults = size_of(piece), Faults()
    sizes = {"long": size.length_mm, "wide": size.width_mm}
    kept = dict(sizes)
    for name in sizes:
        if name in texts and texts[name].strip() != print_size(sizes[name], workroom):
            with faults:
                sizes[name] = read_size(texts[name], name, workroom)
    faults.raise_if_any()
    if sizes == kept:
        return piece.outer
    return ((0.0, 0.0), (sizes["long"], 0.0), (sizes["long"], sizes["wide"]), (0.0, sizes["wide"]))


def print_size(length_mm: float, workroom: Workroom) -> str:
    """A size as it stands in its field."""
    return print_length(length_mm, workroom.units, fraction=workroom.fraction).text


def read_size(text: str, place: str, workroom: Workroom) -> float:
    """A side of a piece, 1 mm to 20 m. Raises `FaultyInput`."""
    length_mm = read_length_mm(text, place=place, units=workroom.units)
    if not 1.0 <= length_mm <= _LONGEST_MM:
        raise _refused(place, text, "is out of range", "1 mm to 20 m")
    return length_mm


def _read_rest(texts: Texts, workroom: Workroom) -> dict[str, Any]:
    """What is typed beside the size; a field that is missing stays."""
    faults, read = Faults(), dict[str, Any]()
    for name, most in _LONGEST.items():
        if name in texts:
            said = " ".join(texts[name].split())
            with faults:
                if len(said) > most or not said.isprintable():
                    raise _refused(name, said, "is too long, or cannot be shown", f"up to {most} visible signs")
                read[name] = said
    if "side_up" in texts:
        with faults:
            if texts["side_up"] not in set(SideUp):
                raise _refused("side_up", texts["side_up"], "is not one of the choices", ", ".join(SideUp))
            read["side_up"] = SideUp(texts["side_up"])
    if "value" in texts:
        with faults:
            read["value"] = _value(texts["value"], workroom)
    faults.raise_if_any()
    return read


def _value(text: str, workroom: Workroom) -> Money | None:
    return money_from(text, workroom.currency, place="value") if text.strip() else None


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy="Change it.")])


def use_up(desk: Desk, piece_id: str, version: int) -> StashPiece:
    """Take a piece out of the stash; `undo_stash_change` brings it back. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        return retire_stash_piece(store, piece_id, expected_version=version).value


def undo_stash_change(desk: Desk, piece_id: str, version: int) -> StashPiece:
    """The piece before its last change. Raises `StaleSave`, `NotKept`; with none to undo it stays as it is."""
    with desk.store() as store, transaction(store):
        kept = load_stash_piece(store, piece_id)
        if kept.version != version:
            raise StaleSave(f"stash piece {piece_id!r}", expected_version=version, kept_version=kept.version)
        return undo_stash_piece(store, piece_id).value if can_undo_stash_piece(store, piece_id) else kept.value
