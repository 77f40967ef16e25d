"""A photo of the mat on the desk: brought, held and looked at."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace

from bagwright.capture.outlines import read_photo
from bagwright.capture.straight import straightened
from bagwright.model.bag import Workroom
from bagwright.model.brought_photo import BroughtPhoto, PhotoLine
from bagwright.model.found_outline import CARD_SIDE_MM, FoundOutline, FoundOutlines, OutlineWishes
from bagwright.model.material import Material
from bagwright.output.found_outlines import draw_found_outlines
from bagwright.output.mat_picture import mat_picture_svg
from bagwright.output.svg import svg_file
from bagwright.store.photos import MOST_PHOTOS as MOST_PHOTOS
from bagwright.store.photos import list_photos, load_photo, save_photo
from bagwright.store.pictures import Picture, load_picture
from bagwright.store.stash import load_stash_piece
from bagwright.store.workroom import load_workroom, save_workroom
from bagwright.units import UnitSystem
from bagwright.workflows.desk import Desk, load_shelf
from bagwright.workflows.mat_corrections import line_asked
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.tell_outline import (
    check_said,
    read_wishes,
    scale_said,
    size_said,
    thickness_said,
    touches_said,
)
from bagwright.workflows.typed_corners import MOST_CORNERS, print_corners
from bagwright.workflows.workroom_changes import the_workroom

Texts = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineLook:
    """One outline as it is shown: its number, its size in words, what is asked about it.

    `corners` as they are typed, empty where there are too many. `in_stash`: it was put there.
    """

    number: int
    size: str
    asks: tuple[str, ...]
    corners: str
    line: str
    in_stash: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckLook:
    """What a plastic card tells of the scale; `side`: of the black squares that would be right, as it is typed."""

    told: str
    agrees: bool
    side: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoLook:
    """A photo that was brought but not taken yet. `picture_svg` shows it with its outlines numbered."""

    token: str
    file_name: str
    picture_svg: str
    scale: str
    outlines: tuple[OutlineLook, ...]
    refused: tuple[str, ...]
    ignored: tuple[int, ...]
    wishes: OutlineWishes
    card_side: str
    thickness: str
    check: CheckLook | None
    materials: tuple[Material, ...]
    can_undo: bool
    units: UnitSystem
    fraction: int
    is_demo: bool


def keep_photo(desk: Desk, name: str, data: bytes, texts: Texts) -> str:
    """Read a photo and hold it until newer ones take its place. Gives its token. Raises `FaultyInput`, `NoAnswer`."""
    wishes = read_wishes(texts, the_workroom(desk).units)
    read = read_photo(data, wishes)
    _keep_side(desk, wishes.card_side_mm)
    picture, px_per_mm = straightened(read)
    token = secrets.token_hex(8)
    plain = "".join(sign for sign in name.rpartition("/")[2].rpartition("\\")[2] if sign.isprintable())
    photo = BroughtPhoto(
        name=plain[:80], data=data, wishes=wishes, found=read.found, picture=picture, px_per_mm=px_per_mm
    )
    with desk.store() as store:
        save_photo(store, token, photo)
    return token


def _keep_side(desk: Desk, side_mm: float) -> None:
    """Remember what her ruler said of this stack of cards, for the next picture of them."""
    with desk.store() as store:
        workroom = load_workroom(store)
        if abs(workroom.card_side_mm - side_mm) > 1e-6:
            save_workroom(store, replace(workroom, card_side_mm=side_mm))


def kept_side(desk: Desk) -> str:
    """What her ruler said of her cards last, as it is typed; empty if they are as printed.

    >>> side_typed(47.0), side_typed(50.0)
    ('47 mm', '')
    """
    return side_typed(the_workroom(desk).card_side_mm)


def side_typed(side_mm: float) -> str:
    """A side as it is typed; empty for as printed."""
    return "" if abs(side_mm - CARD_SIDE_MM) < 1e-6 else f"{round(side_mm, 3):g} mm"


def thickness_typed(thickness_mm: float | None) -> str:
    """A thickness as it is typed; empty if it was not said.

    >>> thickness_typed(3.0), thickness_typed(None)
    ('3 mm', '')
    """
    return "" if thickness_mm is None else f"{round(thickness_mm, 3):g} mm"


def look_again(desk: Desk, token: str, texts: Texts) -> str:
    """Read a photo once more with other answers; the new token. Raises `NotKept`, `FaultyInput`, `NoAnswer`."""
    photo = _brought(desk, token)
    return keep_photo(desk, photo.name, photo.data, texts)


def _brought(desk: Desk, token: str) -> BroughtPhoto:
    with desk.store() as store:
        return load_photo(store, token)


def held_photos(desk: Desk) -> tuple[PhotoLine, ...]:
    """The photos that can be gone on with, the newest first."""
    with desk.store() as store:
        return list_photos(store)


def look_at_photo(desk: Desk, token: str) -> PhotoLook:
    """What a photo holds. Raises `NotKept` once it is forgotten."""
    photo = _brought(desk, token)
    with desk.store() as store:
        workroom, shelf = load_workroom(store), load_shelf(store)
    return PhotoLook(
        token=token,
        file_name=photo.name,
        picture_svg=mat_picture_svg(photo.found, f"/mat/{token}/picture.jpg"),
        scale=f"{scale_said(photo.found, workroom.units)} {thickness_said(photo.found, workroom.units)}",
        thickness=thickness_typed(photo.wishes.thickness_mm),
        outlines=tuple(_look(one, photo, workroom) for one in photo.found.outlines),
        refused=tuple(f"Left out, {one.where}: it {one.why}. {one.remedy}" for one in photo.found.refused),
        ignored=photo.found.ignored,
        wishes=photo.wishes,
        card_side=side_typed(photo.wishes.card_side_mm),
        check=_check_look(photo.found, workroom),
        materials=_sheets(shelf),
        can_undo=photo.can_undo,
        units=workroom.units,
        fraction=workroom.fraction,
        is_demo=desk.is_demo,
    )


def _check_look(found: FoundOutlines, workroom: Workroom) -> CheckLook | None:
    check = found.check
    if check is None:
        return None
    return CheckLook(told=check_said(check, workroom.units), agrees=check.agrees, side=f"{check.card_side_mm:g} mm")


def _sheets(shelf: Shelf) -> tuple[Material, ...]:
    """What scraps can be of, by name."""
    sheets = [one for one in shelf.materials.values() if one.kind.is_sheet and not one.retired]
    return tuple(sorted(sheets, key=lambda one: one.name.casefold()))


def _look(one: FoundOutline, photo: BroughtPhoto, workroom: Workroom) -> OutlineLook:
    corners = print_corners(one.outer, workroom) if len(one.outer) <= MOST_CORNERS else ""
    size, asks = size_said(one, workroom.units), (*touches_said(one, workroom.units), *one.notes)
    line, is_kept = line_asked(one, workroom), one.number in photo.in_stash
    return OutlineLook(number=one.number, size=size, asks=asks, corners=corners, line=line, in_stash=is_kept)


def mat_picture(desk: Desk, token: str) -> bytes:
    """The straightened picture, as JPEG. Raises `NotKept`."""
    return _brought(desk, token).picture


def outlines_svg(desk: Desk, token: str) -> bytes:
    """All outlines at true scale. Raises `NotKept`."""
    return svg_file(draw_found_outlines(_brought(desk, token).found))


def picture_of_scrap(desk: Desk, piece_id: str) -> Picture:
    """The picture of a piece of the stash. Raises `NotKept` if it has none."""
    with desk.store() as store:
        return load_picture(store, load_stash_piece(store, piece_id).value.picture)
