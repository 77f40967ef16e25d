"""The own pictures of pieces in the stash: for a page by their address, for paper with their data."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from urllib.parse import quote

from bagwright.errors import FaultyInput, NotKept
from bagwright.geometry.curves import Affine
from bagwright.model.stash import PictureAt, SideUp, StashPiece
from bagwright.output.cover import Looks, ScrapLook
from bagwright.output.drawing import PictureFile
from bagwright.store.pictures import load_picture
from bagwright.workflows.desk import Desk, Remembered
from bagwright.workflows.swatches import printable_jpeg

FindPicture = Callable[[StashPiece], PictureFile | None]


def picture_on_page(piece: StashPiece) -> PictureFile | None:
    """Its picture where the page's own server gives it out; None if it has none."""
    return PictureFile("image/jpeg", b"", href=f"/stash/{quote(piece.id)}/picture") if piece.picture else None


def pictures_for_paper(desk: Desk) -> FindPicture:
    """Finds pictures with their data, made small; None where there is none, or none that can be read."""

    def found(piece: StashPiece) -> PictureFile | None:
        if not piece.picture:
            return None
        kept = _printable.get(piece.picture)
        if kept is None:
            try:
                with desk.store() as store:
                    kept = _printable.put(piece.picture, printable_jpeg(load_picture(store, piece.picture).data))
            except (NotKept, FaultyInput):
                return None
        return PictureFile("image/jpeg", kept)

    return found


_printable: Remembered[str, bytes] = Remembered(60)


def looks_of(pieces: Iterable[StashPiece], find: FindPicture) -> Looks:
    """How scraps are shown on a cover: called by where they lie, an id tells nobody anything."""
    return {one.id: ScrapLook(one.bin or "scrap", find(one), picture_as_laid(one)) for one in pieces}


def picture_as_laid(piece: StashPiece) -> PictureAt:
    """Where its picture lies once the right side is up: one taken of the wrong side is turned over with it."""
    if piece.side_up is not SideUp.WRONG:
        return piece.pictured_at
    over = Affine(mirrors=True)
    left, right, below = map(over.apply, piece.pictured_at)
    return left, right, below
