"""Outlines of a photo put into the stash, with their pictures; put in once more, what they became is changed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from bagwright.capture.camera import brought_down
from bagwright.capture.straight import cut_out
from bagwright.errors import FaultyInput, NotKept, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.bag import Workroom
from bagwright.model.brought_photo import BroughtPhoto, InStash
from bagwright.model.found_outline import FoundOutline
from bagwright.model.material import Material
from bagwright.model.money import Money
from bagwright.model.stash import PictureAt, SideUp, StashPiece
from bagwright.store.connection import Connection
from bagwright.store.history import Kept
from bagwright.store.photos import load_photo, note_in_stash
from bagwright.store.pictures import Picture, save_picture
from bagwright.store.stash import load_stash_piece, save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, load_shelf, new_id
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.typed_corners import read_corners

Texts = Mapping[str, str]
GRAINS: Mapping[str, str] = {
    "": "not known, or it has none",
    "0": "left to right in the picture",
    "90": "up and down in the picture",
    "edge": "along its longest straight edge",
}
_MARGIN_MM = 3.0
_LONGEST_WORDS = 120


def keep_scraps(desk: Desk, token: str, texts: Texts, *, today: date) -> tuple[StashPiece, ...]:
    """Put the ticked outlines into the stash with their pictures: all of them, or none.

    ``keep-3`` ticks outline 3; ``material``, ``grain``, ``grain_deg``, ``side_up``, ``bin`` hold for all,
    ``material-3`` and so on for that one, ``value-3`` for what it is worth. One that was put in before is not put in
    twice: its piece takes the new answers. Raises `FaultyInput` with every fault, also if such a piece was changed in
    the stash since; `NotKept`.
    """
    faults, pieces = Faults(), list[tuple[int, StashPiece]]()
    with desk.store() as store, transaction(store):  # a second press of the button waits here for the first
        photo, shelf, workroom = load_photo(store, token), load_shelf(store), load_workroom(store)
        for outline in chosen_outlines(photo, texts):
            worth: Money | None = None
            with faults:
                worth = _worth(texts, outline.number, workroom)
            with faults:
                outline = corrected(outline, texts, workroom)
                piece, picture = _piece(photo, outline, _Answers(texts, outline.number, shelf), today)
                shown = save_picture(store, Picture("image/jpeg", picture))
                piece = replace(piece, picture=shown, value=worth)
                before = _in_stash(store, photo, outline.number)
                pieces.append((outline.number, _made_of(piece, before, outline.number)))
        faults.raise_if_any()
        return tuple(_put(store, token, photo, one) for one in pieces)


def _worth(texts: Texts, number: int, workroom: Workroom) -> Money | None:
    """What she says it is worth; None if she does not count it."""
    place = f"value-{number}"
    text = texts.get(place, "").strip()
    return money_from(text, workroom.currency, place=place) if text else None


def _in_stash(store: Connection, photo: BroughtPhoto, number: int) -> tuple[Kept[StashPiece], int] | None:
    """What an outline became before, if that is still in the stash, and which version it was given then."""
    put = photo.in_stash.get(number)
    if put is None:
        return None
    try:
        kept = load_stash_piece(store, put.piece_id)
    except NotKept:
        return None
    return None if kept.retired else (kept, put.version)


def _made_of(piece: StashPiece, before: tuple[Kept[StashPiece], int] | None, number: int) -> StashPiece:
    """The piece under the id that it has already. Raises `FaultyInput` if it was changed in the stash since."""
    if before is None:
        return piece
    kept, version = before
    same = replace(piece, id=kept.value.id, dated=kept.value.dated)
    if kept.version != version and same != kept.value:
        what, allowed = "is in the stash already, and was changed there since", "an outline not put in yet"
        raise _refused(f"keep-{number}", f"Outline {number}", what, allowed, "Change it in the stash, or untick it.")
    return same


def _put(store: Connection, token: str, photo: BroughtPhoto, one: tuple[int, StashPiece]) -> StashPiece:
    number, piece = one
    before = _in_stash(store, photo, number)
    if before and before[0].value == piece:
        return piece
    kept = save_stash_piece(store, piece, expected_version=before[0].version if before else 0)
    note_in_stash(store, token, number, InStash(kept.value.id, kept.version))
    return kept.value


def chosen_outlines(photo: BroughtPhoto, texts: Texts) -> tuple[FoundOutline, ...]:
    """Those that are ticked. Raises `FaultyInput` if none is."""
    chosen = tuple(one for one in photo.found.outlines if f"keep-{one.number}" in texts)
    if not chosen:
        raise _refused("keep", "Nothing", "is ticked", "at least one outline", "Tick the ones that you keep.")
    return chosen


def corrected(outline: FoundOutline, texts: Texts, workroom: Workroom) -> FoundOutline:
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


def grain_told(outline: FoundOutline, texts: Texts, shelf: Shelf) -> float | None:
    """Which way its grain runs in the picture, if she said so. Raises `FaultyInput`."""
    return _Answers(texts, outline.number, shelf).grain_deg(outline)


def longest_edge_deg(ring: Sequence[Point]) -> float:
    """Which way the longest of its straight edges runs, 0 to 180."""
    a, b = max(pairwise((*ring, ring[0])), key=lambda edge: math.dist(*edge))
    return round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180, 2)


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
        if not text:
            raise _refused(place, "", "no material is chosen", "a material on the shelf", "Choose what it is of.")
        material = self.shelf.material(text, place=place)
        if not material.kind.is_sheet:
            raise _refused(
                place, material.name, "is no sheet", "a cloth, an interfacing, a padding or a hide", "Change it."
            )
        return material

    def on_the_mat(self, outline: FoundOutline, photo: BroughtPhoto, material: Material) -> FoundOutline:
        """The outline less what its thickness shows too large, if that is known and not taken off yet."""
        if outline.thickness_mm is not None or material.thickness_mm is None:
            return outline
        place = self._text("material")[1]
        return brought_down(outline, photo.found.camera, material.thickness_mm.value, place=place)

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
        return longest_edge_deg(outline.outer) if choice == "edge" else float(choice) if choice else None


def _degrees(text: str, place: str) -> float:
    try:
        value = float(text.strip().removesuffix("°"))
    except ValueError:
        value = math.nan
    if not -360 <= value <= 360:
        remedy = "Type how far the grain is turned from left to right, against the clock."
        raise _refused(place, text, "is no angle", "-360 to 360 degrees", remedy)
    return value % 180


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
    seen, outline = outline, answers.on_the_mat(outline, photo, material)
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
    picture, picture_at = _picture(photo, seen, outline)
    return replace(piece, picture_at=picture_at), picture


def _moved(ring: tuple[Point, ...], by: Point) -> tuple[Point, ...]:
    return tuple((round(x - by[0], 3), round(y - by[1], 3)) for x, y in ring)


def _picture(photo: BroughtPhoto, seen: FoundOutline, outline: FoundOutline) -> tuple[bytes, PictureAt]:
    """A part of the picture in whole pixels, and where that lies in the frame of the piece.

    `outline` is what is `seen` brought down to the mat: the picture shows its upper side, so is drawn in as much.
    """
    low_x, low_y, high_x, high_y = seen.region.bounds
    (left, bottom), (right, top), scale = photo.found.low, photo.found.high, photo.px_per_mm
    first = [max(math.floor(one * scale), 0) for one in (low_x - _MARGIN_MM - left, top - high_y - _MARGIN_MM)]
    last = [
        min(math.ceil(one * scale), round(whole * scale))
        for one, whole in (
            (high_x + _MARGIN_MM - left, right - left),
            (top - low_y + _MARGIN_MM, top - bottom),
        )
    ]
    camera, (piece_x, piece_y) = photo.found.camera, outline.region.bounds[:2]
    share = 1 - (outline.thickness_mm or 0.0) / camera.height_mm
    foot_x, foot_y = camera.foot
    xs = [foot_x + (left + px / scale - foot_x) * share - piece_x for px in (first[0], last[0])]
    ys = [foot_y + (top - px / scale - foot_y) * share - piece_y for px in (first[1], last[1])]
    part = cut_out(photo.picture, (first[0], first[1]), (last[0] - 1, last[1] - 1))
    return part, ((xs[0], ys[0]), (xs[1], ys[0]), (xs[0], ys[1]))


def _refused(place: str, value: str, what: str, allowed: str, remedy: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy=remedy)])
