"""A photo of the mat on the desk: brought, looked at, and what she chooses of it put into the stash."""

from __future__ import annotations

import math
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from bagwright.capture.outlines import read_photo
from bagwright.capture.straight import cut_out, straightened
from bagwright.errors import FaultyInput, NotKept, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.bag import Workroom
from bagwright.model.found_outline import CARD_SIDE_MM, FoundOutline, FoundOutlines, OutlineWishes
from bagwright.model.material import Material
from bagwright.model.stash import PictureAt, SideUp, StashPiece
from bagwright.output.found_outlines import draw_found_outlines
from bagwright.output.mat_picture import mat_picture_svg
from bagwright.output.svg import svg_file
from bagwright.store.pictures import Picture, load_picture, save_picture
from bagwright.store.stash import load_stash_piece, save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom, save_workroom
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import BroughtPhoto, Desk, load_shelf, new_id
from bagwright.workflows.mat_corrections import line_asked
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.tell_outline import check_said, read_wishes, scale_said, size_said, touches_said
from bagwright.workflows.typed_corners import MOST_CORNERS, print_corners, read_corners
from bagwright.workflows.workroom_changes import the_workroom

Texts = Mapping[str, str]
GRAINS: Mapping[str, str] = {
    "": "not known, or it has none",
    "0": "left to right in the picture",
    "90": "up and down in the picture",
    "edge": "along its longest straight edge",
}
_MARGIN_MM = 3.0
_LONGEST_WORDS = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineLook:
    """One outline as it is shown: its number, its size in words, what is asked about it.

    `corners` as they are typed, empty where there are too many.
    """

    number: int
    size: str
    asks: tuple[str, ...]
    corners: str
    line: str


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
    check: CheckLook | None
    materials: tuple[Material, ...]
    can_undo: bool
    units: UnitSystem
    fraction: int
    is_demo: bool


def keep_photo(desk: Desk, name: str, data: bytes, texts: Texts) -> str:
    """Read a photo and hold it for a while, by the token that is returned. Raises `FaultyInput`, `NoAnswer`."""
    wishes = read_wishes(texts, the_workroom(desk).units)
    read = read_photo(data, wishes)
    _keep_side(desk, wishes.card_side_mm)
    picture, px_per_mm = straightened(read)
    token = secrets.token_hex(8)
    plain = "".join(sign for sign in name.rpartition("/")[2].rpartition("\\")[2] if sign.isprintable())
    desk.photos.put(token, BroughtPhoto(plain[:80], data, wishes, read.found, picture, px_per_mm))
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


def look_again(desk: Desk, token: str, texts: Texts) -> str:
    """Read a photo once more with other answers; the new token. Raises `NotKept`, `FaultyInput`, `NoAnswer`."""
    photo = _brought(desk, token)
    return keep_photo(desk, photo.name, photo.data, texts)


def _brought(desk: Desk, token: str) -> BroughtPhoto:
    photo = desk.photos.get(token)
    if photo is None:
        raise NotKept(f"photo {token!r}")
    return photo


def look_at_photo(desk: Desk, token: str) -> PhotoLook:
    """What a photo holds. Raises `NotKept` once it is forgotten."""
    photo = _brought(desk, token)
    with desk.store() as store:
        workroom, shelf = load_workroom(store), load_shelf(store)
    return PhotoLook(
        token=token,
        file_name=photo.name,
        picture_svg=mat_picture_svg(photo.found, f"/mat/{token}/picture.jpg"),
        scale=scale_said(photo.found, workroom.units),
        outlines=tuple(_look(one, workroom) for one in photo.found.outlines),
        refused=tuple(f"Left out, {one.where}: it {one.why}. {one.remedy}" for one in photo.found.refused),
        ignored=photo.found.ignored,
        wishes=photo.wishes,
        card_side=side_typed(photo.wishes.card_side_mm),
        check=_check_look(photo.found, workroom),
        materials=_sheets(shelf),
        can_undo=bool(photo.past),
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


def _look(one: FoundOutline, workroom: Workroom) -> OutlineLook:
    corners = print_corners(one.outer, workroom) if len(one.outer) <= MOST_CORNERS else ""
    size, asks = size_said(one, workroom.units), (*touches_said(one, workroom.units), *one.notes)
    return OutlineLook(number=one.number, size=size, asks=asks, corners=corners, line=line_asked(one, workroom))


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


def keep_scraps(desk: Desk, token: str, texts: Texts, *, today: date) -> tuple[StashPiece, ...]:
    """Put the ticked outlines into the stash with their pictures: all of them, or none.

    ``keep-3`` ticks outline 3; ``material``, ``grain``, ``grain_deg``, ``side_up``, ``bin`` hold for all,
    ``material-3`` and so on for that one. Raises `FaultyInput` with every fault, `NotKept`.
    """
    photo, faults = _brought(desk, token), Faults()
    chosen = [one for one in photo.found.outlines if f"keep-{one.number}" in texts]
    if not chosen:
        raise _refused("keep", "Nothing", "is ticked", "at least one outline", "Tick the scraps that you keep.")
    pieces: list[tuple[StashPiece, bytes]] = []
    with desk.store() as store:
        shelf, workroom = load_shelf(store), load_workroom(store)
        for outline in chosen:
            with faults:
                outline = _corrected(outline, texts, workroom)
                pieces.append(_piece(photo, outline, _Answers(texts, outline.number, shelf), today))
        faults.raise_if_any()
        with transaction(store):
            kept = []
            for piece, data in pieces:
                shown = save_picture(store, Picture("image/jpeg", data))
                kept.append(save_stash_piece(store, replace(piece, picture=shown), expected_version=0).value)
    return tuple(kept)


def _corrected(outline: FoundOutline, texts: Texts, workroom: Workroom) -> FoundOutline:
    """With its corners where she put them. Raises `FaultyInput`, also if a hole no longer lies within."""
    place = f"corners-{outline.number}"
    if not texts.get(place, "").strip():
        return outline
    moved = replace(outline, outer=read_corners(texts[place], outline.outer, place=place, workroom=workroom))
    whole = Region.from_ring(moved.outer)
    if not all(whole.holds(Region.from_ring(hole)) for hole in outline.holes):
        allowed = "an outline round all its holes"
        raise _refused(place, "This outline", "cuts through a hole", allowed, "Leave room round the hole.")
    return moved


@dataclass(frozen=True, slots=True)
class _Answers:
    """What was typed about one outline; where nothing was, what holds for all."""

    texts: Texts
    number: int
    shelf: Shelf

    def _text(self, name: str) -> tuple[str, str]:
        """What was typed, and in which field."""
        own = f"{name}-{self.number}"
        return (self.texts[own].strip(), own) if self.texts.get(own, "").strip() else (self.texts.get(name, ""), name)

    def material(self) -> Material:
        """What it is of."""
        text, place = self._text("material")
        material = self.shelf.material(text, place=place)
        if not material.kind.is_sheet:
            raise _refused(
                place, material.name, "is no sheet", "a cloth, an interfacing, a padding or a hide", "Change it."
            )
        return material

    def side_up(self) -> SideUp:
        """Which side faces the camera."""
        text, place = self._text("side_up")
        if text not in set(SideUp):
            raise _refused(place, text, "is not one of the choices", ", ".join(SideUp), "Choose one.")
        return SideUp(text)

    def words(self, name: str) -> str:
        """A few words, such as where it lies."""
        text, place = self._text(name)
        said = " ".join(text.split())
        if len(said) > _LONGEST_WORDS or not said.isprintable():
            raise _refused(
                place, said, "is too long, or cannot be shown", f"up to {_LONGEST_WORDS} signs", "Shorten it."
            )
        return said

    def grain_deg(self, outline: FoundOutline) -> float | None:
        """Direction of its grain in the picture."""
        typed, place = self._text("grain_deg")
        choice, _ = self._text("grain")
        if self.texts.get(f"grain-{self.number}", "").strip() and not place.endswith(f"-{self.number}"):
            typed = ""  # a choice of its own goes before degrees for all
        if typed.strip():
            return _degrees(typed, place)
        if choice not in GRAINS:
            raise _refused("grain", choice, "is not one of the choices", ", ".join(GRAINS.values()), "Choose one.")
        return _along_longest(outline.outer) if choice == "edge" else float(choice) if choice else None


def _degrees(text: str, place: str) -> float:
    try:
        value = float(text.strip().removesuffix("°"))
    except ValueError:
        value = math.nan
    if not -360 <= value <= 360:
        remedy = "Type how far the grain is turned from left to right, against the clock."
        raise _refused(place, text, "is no angle", "-360 to 360 degrees", remedy)
    return value % 180


def _along_longest(ring: tuple[Point, ...]) -> float:
    a, b = max(zip(ring, ring[1:] + ring[:1], strict=True), key=lambda edge: math.dist(*edge))
    return round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180, 2)


def _piece(photo: BroughtPhoto, outline: FoundOutline, answers: _Answers, today: date) -> tuple[StashPiece, bytes]:
    """The piece, moved so that its lowest left corner of all is (0, 0), and its picture."""
    faults = Faults()
    material: Material | None = None
    side, words, grain = SideUp.RIGHT, {"bin": "", "note": ""}, None
    with faults:
        material = answers.material()
    with faults:
        side = answers.side_up()
    for name in words:
        with faults:
            words[name] = answers.words(name)
    with faults:
        grain = answers.grain_deg(outline)
    faults.raise_if_any()
    assert material is not None
    low_x, low_y, _, _ = outline.region.bounds
    piece = StashPiece(
        id=new_id(material.name),
        material_id=material.id,
        outer=_moved(outline.outer, (low_x, low_y)),
        holes=tuple(_moved(hole, (low_x, low_y)) for hole in outline.holes),
        grain_deg=grain if material.kind.has_grain else None,
        side_up=side,
        bin=words["bin"],
        note=words["note"],
        came_from=f"a photo, {photo.name}"[:_LONGEST_WORDS] if photo.name else "a photo",
        dated=today,
        error_mm=outline.error_mm,
    )
    picture, picture_at = _picture(photo, outline)
    return replace(piece, picture_at=picture_at), picture


def _moved(ring: tuple[Point, ...], by: Point) -> tuple[Point, ...]:
    return tuple((round(x - by[0], 3), round(y - by[1], 3)) for x, y in ring)


def _picture(photo: BroughtPhoto, outline: FoundOutline) -> tuple[bytes, PictureAt]:
    """A part of the picture in whole pixels, and where that lies in the frame of the piece."""
    low_x, low_y, high_x, high_y = outline.region.bounds
    (left, bottom), (right, top), scale = photo.found.low, photo.found.high, photo.px_per_mm
    first = [max(math.floor(one * scale), 0) for one in (low_x - _MARGIN_MM - left, top - high_y - _MARGIN_MM)]
    last = [
        min(math.ceil(one * scale), round(whole * scale))
        for one, whole in (
            (high_x + _MARGIN_MM - left, right - left),
            (top - low_y + _MARGIN_MM, top - bottom),
        )
    ]
    xs = [left + px / scale - low_x for px in (first[0], last[0])]
    ys = [top - px / scale - low_y for px in (first[1], last[1])]
    part = cut_out(photo.picture, (first[0], first[1]), (last[0] - 1, last[1] - 1))
    return part, ((xs[0], ys[0]), (xs[1], ys[0]), (xs[0], ys[1]))


def _refused(place: str, value: str, what: str, allowed: str, remedy: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy=remedy)])
