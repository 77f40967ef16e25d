"""What was typed about her own pieces, as changes of the pattern. Names of fields begin with the id of their piece."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from bagwright.drafting.own_edges import divide_edge, put_edges_together, rename_edges
from bagwright.drafting.own_pieces import MOST_COPIES, OWN_FORM, accept_own, free_id, piece_of, with_piece
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.piece import EdgeUse, Mirror, Piece
from bagwright.units import print_length, read_length_mm
from bagwright.workflows.bag_changes import as_shown
from bagwright.workflows.contracts import Faults
from bagwright.workflows.own_drawing import read_allowance_mm

Texts = Mapping[str, str]
LONGEST_EDGE_NAME = 40
LONGEST_PIECE_NAME = 60


@dataclass(frozen=True, slots=True)
class Edited:
    """The texts of one piece's form, read against how its sizes were printed."""

    piece: Piece
    texts: Texts
    workroom: Workroom

    def text(self, name: str, usual: str) -> str:
        """What was typed in a field of the piece."""
        return " ".join(self.texts.get(f"{self.piece.id}.{name}", usual).split())

    def place(self, name: str) -> str:
        """The field as faults name it."""
        return f"{self.piece.id}.{name}"


def printed(length_mm: float, workroom: Workroom) -> str:
    """A length as it stands in a field; nothing is 0."""
    return print_length(length_mm, workroom.units, fraction=workroom.fraction).text if length_mm else "0"


def change_piece(own: OwnPattern, piece_id: str, texts: Texts, workroom: Workroom) -> OwnPattern:
    """Everything that the form of a piece holds. Raises `FaultyInput` with every fault at once."""
    edited = Edited(piece_of(own, piece_id), texts, as_shown(workroom, texts))
    faults = Faults()
    piece, names = edited.piece, {edge.name: edge.name for edge in edited.piece.net.edges}
    with faults:
        piece = _with_words(edited)
    with faults:
        count = _count(edited, _copies_sewn(own, piece_id))
        piece = replace(piece, count=count, mirror=_mirror(edited, count), grain_deg=_grain_deg(edited))
    uses, widths = dict(piece.edge_use), dict(piece.allowance_mm)
    for number, edge in enumerate(piece.net.edges):
        with faults:
            names[edge.name] = _edge_name(edited, number, edge.name)
        with faults:
            uses[edge.name] = _use(edited, number, edge.name)
        with faults:
            widths[edge.name] = _allowance_mm(edited, number, edge.name, uses[edge.name])
    faults.raise_if_any()
    faces = [face for face in own.faces if face != piece_id]
    if edited.text("is_face", "yes" if piece_id in own.faces else "no") == "yes":
        faces = [one.id for one in own.pieces if one.id in (*faces, piece_id)]
    changed = with_piece(replace(own, faces=tuple(faces)), replace(piece, edge_use=uses, allowance_mm=widths))
    renamed = _renamed(changed, edited, names)
    return accept_own(renamed)


def _renamed(own: OwnPattern, edited: Edited, names: Mapping[str, str]) -> OwnPattern:
    try:
        return rename_edges(own, edited.piece.id, names)
    except FaultyInput as fault:
        places = {f"edge.{edge.name}": f"edge_{n}_name" for n, edge in enumerate(edited.piece.net.edges)}
        told = [replace(p, place=edited.place(places.get(p.place, "pieces"))) for p in fault.problems]
        raise FaultyInput(told) from None


def _with_words(edited: Edited) -> Piece:
    name, role = edited.text("name", edited.piece.name), edited.text("role", edited.piece.role)
    if not name or len(name) > LONGEST_PIECE_NAME or not name.isprintable():
        allowed = f"1 to {LONGEST_PIECE_NAME} letters, digits and other visible signs"
        raise _refusal(edited.place("name"), name, "is no name for a piece", allowed)
    if role not in {spec.key for spec in OWN_FORM.roles}:
        allowed = ", ".join(spec.name for spec in OWN_FORM.roles)
        raise _refusal(edited.place("role"), role, "is no part of a bag known here", allowed)
    return replace(edited.piece, name=name, role=role)


def _copies_sewn(own: OwnPattern, piece_id: str) -> int:
    """The last copy of a piece that is in a seam."""
    return max((side.copy for seam in own.seams for side in seam.sides if side.piece_id == piece_id), default=1)


def _count(edited: Edited, least: int) -> int:
    text = edited.text("count", str(edited.piece.count))
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= MOST_COPIES):
        allowed = f"a whole number from 1 to {MOST_COPIES}"
        raise _refusal(edited.place("count"), text, "is no number of copies", allowed)
    if int(text) < least:
        what = "is fewer than are sewn together already"
        raise _refusal(
            edited.place("count"), text, what, f"at least {least}, or take out the seams of the others first"
        )
    return int(text)


def _mirror(edited: Edited, count: int) -> Mirror:
    text = edited.text("mirror", edited.piece.mirror)
    if text not in set(Mirror):
        raise _refusal(edited.place("mirror"), text, "is no way to cut copies", ", ".join(Mirror))
    if text == Mirror.PAIRS and count % 2:
        raise _refusal(edited.place("mirror"), "", "mirrored pairs need an even number of copies", "2, 4, 6 and so on")
    return Mirror(text)


def _grain_deg(edited: Edited) -> float:
    text = edited.text("grain_deg", f"{edited.piece.grain_deg:g}").removesuffix("°").strip()
    if text == f"{edited.piece.grain_deg:g}":
        return edited.piece.grain_deg
    try:
        turn = float(text.replace(",", "."))
    except ValueError:
        turn = math.nan
    if not -360 <= turn <= 360:
        allowed = "degrees from -360 to 360: 90 up the piece, 0 across it, 45 on the bias"
        raise _refusal(edited.place("grain_deg"), text, "is no direction", allowed)
    return turn


def _edge_name(edited: Edited, number: int, name: str) -> str:
    field = f"edge_{number}_name"
    text = edited.text(field, name)
    if text == name.removeprefix("edge_"):
        return name
    if text.isascii() and text.isdigit():
        text = f"edge_{text}"
    if not text or len(text) > LONGEST_EDGE_NAME or not text.isprintable():
        allowed = f"1 to {LONGEST_EDGE_NAME} letters, digits and other visible signs"
        raise _refusal(edited.place(field), text, "is no name for an edge", allowed)
    return text


def _use(edited: Edited, number: int, name: str) -> EdgeUse:
    field = f"edge_{number}_use"
    text = edited.text(field, edited.piece.edge_use[name])
    if text not in set(EdgeUse):
        raise _refusal(edited.place(field), text, "is no use of an edge", ", ".join(EdgeUse))
    return EdgeUse(text)


def _allowance_mm(edited: Edited, number: int, name: str, use: EdgeUse) -> float:
    if use is EdgeUse.FOLD:
        return 0.0
    field, kept_mm = f"edge_{number}_allowance", edited.piece.allowance_mm.get(name, 0.0)
    text = edited.text(field, printed(kept_mm, edited.workroom))
    if text == printed(kept_mm, edited.workroom):
        return kept_mm
    return read_allowance_mm(text, place=edited.place(field), units=edited.workroom.units, usual_mm=kept_mm)


def change_edges(own: OwnPattern, piece_id: str, texts: Texts, workroom: Workroom) -> OwnPattern:
    """Divide an edge at a place, or put it together with the next one. Raises `FaultyInput`."""
    edge, how = texts.get(f"{piece_id}.edge", ""), texts.get("how", "")
    if how == "together":
        return _at_field(f"{piece_id}.edge", lambda: put_edges_together(own, piece_id, edge))
    place = f"{piece_id}.divide_at"
    at_mm = read_length_mm(texts.get(place, ""), place=place, units=as_shown(workroom, texts).units)
    return _at_field(place, lambda: divide_edge(own, piece_id, edge, at_mm))


def _at_field(place: str, change: Callable[[], OwnPattern]) -> OwnPattern:
    try:
        return change()
    except FaultyInput as fault:
        raise FaultyInput([replace(problem, place=place) for problem in fault.problems]) from None


def copy_piece(own: OwnPattern, piece_id: str) -> OwnPattern:
    """The piece once more under a name of its own, sewn to nothing yet: a lining, say."""
    piece = piece_of(own, piece_id)
    fresh = replace(piece, id=free_id(f"{piece.id} copy", {one.id for one in own.pieces}), name=_copy_name(own, piece))
    place = own.pieces.index(piece) + 1
    faces = (*own.faces, fresh.id) if piece_id in own.faces else own.faces
    return accept_own(replace(own, pieces=(*own.pieces[:place], fresh, *own.pieces[place:]), faces=faces))


def _copy_name(own: OwnPattern, piece: Piece) -> str:
    taken = {one.name for one in own.pieces}
    stem = piece.name[: LONGEST_PIECE_NAME - 10]
    names = (f"{stem} (copy{f' {n}' if n > 1 else ''})" for n in range(1, len(taken) + 2))
    return next(name for name in names if name not in taken)


def remove_piece(own: OwnPattern, piece_id: str) -> OwnPattern:
    """The bag without that piece, the seams it is in, and the measures it is part of. Raises `FaultyInput`."""
    piece = piece_of(own, piece_id)
    if len(own.pieces) == 1:
        raise _refusal(f"{piece_id}.remove", piece.name, "is the only piece", "bags of one piece or more")
    return accept_own(
        replace(
            own,
            pieces=tuple(one for one in own.pieces if one is not piece),
            faces=tuple(face for face in own.faces if face != piece_id),
            seams=tuple(s for s in own.seams if all(side.piece_id != piece_id for side in s.sides)),
            measures=tuple(m for m in own.measures if all(span.piece_id != piece_id for span in m.spans)),
        )
    )


def _refusal(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput(
        [Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy="Type or choose another.")]
    )
