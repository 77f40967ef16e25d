"""A bag of the maker's own pieces: the same pattern and the same proof as of every form, but sound only if she says so.

What cannot be cut or names nothing is refused; what is not sewn together yet is told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.roles import BASE, BINDING, LINING, OUTER, OUTSIDE_POCKET, POCKET, STRAP, TAB
from bagwright.drafting.soundness import find_faults
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import Panel, Pattern, SeamKind
from bagwright.model.piece import Piece
from bagwright.model.soundness import SoundnessFault, SoundnessReport

OWN_PIECES = "own_pieces"
MOST_PIECES = 100
MOST_COPIES = 20
MOST_SEAMS = 500


def draft_own(own: OwnPattern) -> Pattern:
    """The pattern of her own pieces, sound or not. Where she marks no face, the largest piece counts as one."""
    return Pattern(
        form=OWN_PIECES,
        measurements_mm={measure.key: measure.asked_mm for measure in own.measures},
        pieces=own.pieces,
        seams=in_order(own).seams,
        assembled=own.measures,
        panels=tuple(_panels(own)),
        cautions=_cautions(own),
    )


def report_own(own: OwnPattern) -> SoundnessReport:
    """The same proof that every form of bag passes; each fault with the seam or edge that it concerns."""
    return find_faults(draft_own(own))


def in_order(own: OwnPattern) -> OwnPattern:
    """Its seams numbered as they stand, each a step of its own."""
    seams = tuple(replace(seam, order=number) for number, seam in enumerate(own.seams, start=1))
    return replace(own, seams=seams)


def _panels(own: OwnPattern) -> Iterator[Panel]:
    faces = [piece for piece in own.pieces if piece.id in own.faces]
    if not faces and own.pieces:
        faces = [max(own.pieces, key=lambda piece: piece.net.area_mm2)]
    for piece in faces:
        _, low, _, high = piece.net.region(0.1).bounds
        yield Panel(key=piece.id, name=piece.name, piece_ids=(piece.id,), height_mm=high - low, copies=piece.count)


def _cautions(own: OwnPattern) -> tuple[str, ...]:
    has_zip = any(seam.kind is SeamKind.ZIP for seam in own.seams)
    has_strap = any(piece.role == STRAP.key for piece in own.pieces)
    return cautions.in_usual_order(
        [
            *(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.RULES),
            *((cautions.TEETH,) if has_zip else ()),
            *((cautions.STRAP_LOAD,) if has_strap else ()),
        ]
    )


def accept_own(own: OwnPattern) -> OwnPattern:
    """The pattern, its seams numbered. Raises `FaultyInput` for pieces that cannot be cut and seams along nothing."""
    own = in_order(own)
    problems = [*_too_many(own)]
    if not problems:
        report = report_own(own)
        problems = [] if report.followed else [_problem(fault) for fault in report.faults]
    if problems:
        raise FaultyInput(problems)
    return own


def _too_many(own: OwnPattern) -> Iterator[Problem]:
    for place, count, most in (("pieces", len(own.pieces), MOST_PIECES), ("seams", len(own.seams), MOST_SEAMS)):
        if count > most:
            what, remedy = f"{place} are too many for one bag", "Take some out, or make two bags of them."
            yield Problem(place=place, value=str(count), what=what, allowed=f"at most {most}", remedy=remedy)
    if not own.pieces:
        what, remedy = "are none", "Bring at least one piece."
        yield Problem(place="pieces", value="", what=what, allowed=f"1 to {MOST_PIECES}", remedy=remedy)
    for piece in own.pieces:
        if not 1 <= piece.count <= MOST_COPIES:
            what, allowed = "is not a number of copies", f"a whole number from 1 to {MOST_COPIES}"
            place = f"pieces.{piece.id}.count"
            yield Problem(place=place, value=str(piece.count), what=what, allowed=allowed, remedy="Type another.")


def _problem(fault: SoundnessFault) -> Problem:
    place = f"pieces.{fault.piece_id}" if fault.piece_id else f"seams.{fault.seam_id}" if fault.seam_id else "pieces"
    allowed = "pieces that can be cut, and seams along edges that there are"
    return Problem(place=place, value="", what=fault.words, allowed=allowed, remedy="Change it there.")


def free_id(wanted: str, taken: set[str]) -> str:
    """A short id of plain letters that is not taken yet.

    >>> free_id("Front pocket, cut 2", {"front_pocket_cut_2"})
    'front_pocket_cut_2_2'
    """
    stem = "_".join(re.findall(r"[a-z0-9]+", wanted.lower()))[:40].strip("_") or "piece"
    taken = taken | _RESERVED
    return next(name for n in range(1, len(taken) + 2) if (name := stem if n == 1 else f"{stem}_{n}") not in taken)


_RESERVED = {"seam", "measure"}
"""What stands before a dot in the names of other fields than those of a piece."""


def piece_of(own: OwnPattern, piece_id: str) -> Piece:
    """The piece of that id. Raises `FaultyInput` if she has none of it."""
    for piece in own.pieces:
        if piece.id == piece_id:
            return piece
    allowed = ", ".join(piece.id for piece in own.pieces)
    problem = Problem(
        place="piece", value=piece_id[:40], what="is no piece of this bag", allowed=allowed, remedy="Choose another."
    )
    raise FaultyInput([problem])


def with_piece(own: OwnPattern, piece: Piece) -> OwnPattern:
    """The same with that piece in place of the one of its id."""
    return replace(own, pieces=tuple(piece if one.id == piece.id else one for one in own.pieces))


def _is_drafted_otherwise(sizes: Sizes) -> Making:
    raise BrokenPromise("her own pieces are not drafted from sizes")


OWN_FORM = FormSpec(
    key=OWN_PIECES,
    name="Your own pieces",
    summary="Pieces that you drew elsewhere, joined here.",
    own_measurements=(),
    begin=_is_drafted_otherwise,
    own_roles=(OUTER, BASE, LINING, STRAP, POCKET, OUTSIDE_POCKET, BINDING, TAB),
)
"""How a bag of her own pieces stands among the forms: its name, and what its pieces may be made of."""
