"""What was typed about the seams and measures of her own bag, as changes of the pattern."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.own_pieces import accept_own, free_id, piece_of
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import AssembledMeasure, Seam, SeamKind, SeamSide, Span
from bagwright.model.piece import Mirror, Piece
from bagwright.output.named_edges import edge_in_words
from bagwright.units import UnitSystem, read_length_mm
from bagwright.workflows.bag_changes import as_shown
from bagwright.workflows.contracts import Faults

Texts = Mapping[str, str]
LONGEST_NAME = 100
_LENGTH_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Target:
    """An edge or line of one copy of a piece, as a choice in a form: ``front/2/top``."""

    piece: Piece
    copy: int
    edge: str

    @property
    def value(self) -> str:
        """The choice as the form sends it."""
        return f"{self.piece.id}/{self.copy}/{self.edge}"

    @property
    def length_mm(self) -> float:
        """Length of the edge."""
        return self.piece.edge(self.edge).length_mm

    @property
    def is_mirrored(self) -> bool:
        """Whether this copy is the mirrored one of a pair."""
        return self.piece.mirror is Mirror.PAIRS and self.copy % 2 == 0

    def told(self) -> str:
        """The edge in words."""
        copy = f", copy {self.copy}" if self.piece.count > 1 else ""
        return f"{self.piece.name}{copy}, {edge_in_words(self.edge)}"


def targets_of(own: OwnPattern) -> list[Target]:
    """Everything that can be sewn: edges first, then lines drawn on the pieces, copy by copy."""
    return [
        Target(piece, copy, name)
        for piece in own.pieces
        for copy in range(1, piece.count + 1)
        for name in [*(edge.name for edge in piece.net.edges), *(line.name for line in piece.lines)]
        if name != piece.fold_edge
    ]


def add_seam(own: OwnPattern, texts: Texts, workroom: Workroom) -> OwnPattern:
    """A seam as the form says. Raises `FaultyInput` with every fault at once."""
    faults, units = Faults(), as_shown(workroom, texts).units
    kind = SeamKind.LOCKSTITCH
    with faults:
        kind = _kind(texts)
    one, other = _side(own, texts, "one", units, faults), _side(own, texts, "other", units, faults)
    if one is None and not faults.problems:
        faults.problems += _refusal("seam.one", "", "no edge is chosen", "an edge of a piece").problems
    if other is None and kind.joins and not faults.problems:
        faults.problems += _refusal(
            "seam.other", "", "no second edge is chosen", "two edges for a seam that joins"
        ).problems
    faults.raise_if_any()
    sides = _sides(one, other, texts) if one else ()
    with faults:
        sides = _eased(sides, texts, units)
    with faults:
        name = _name(texts, kind, [target for target, _ in filter(None, (one, other))])
    faults.raise_if_any()
    seam_id = f"seam_{secrets.token_hex(4)}"
    return accept_own(replace(own, seams=(*own.seams, Seam(id=seam_id, name=name, kind=kind, order=1, sides=sides))))


def _kind(texts: Texts) -> SeamKind:
    text = texts.get("seam.kind", SeamKind.LOCKSTITCH)
    if text not in set(SeamKind):
        raise _refusal("seam.kind", text, "is no kind of seam", ", ".join(SeamKind))
    return SeamKind(text)


Stretch = tuple[float, float]


def _side(
    own: OwnPattern, texts: Texts, which: str, units: UnitSystem, faults: Faults
) -> tuple[Target, Stretch] | None:
    """The edge chosen for one side and the stretch of it; None if none was chosen or it cannot be read."""
    value = texts.get(f"seam.{which}", "")
    if not value:
        return None
    with faults:
        target = _target(own, value, f"seam.{which}")
        low = _place_mm(texts, f"seam.{which}_from", units, 0.0, target)
        high = _place_mm(texts, f"seam.{which}_to", units, target.length_mm, target)
        if high - low < _LENGTH_MM:
            raise _refusal(
                f"seam.{which}_to", texts.get(f"seam.{which}_to", ""), "ends before it starts", "a stretch of the edge"
            )
        return target, (low, high)
    return None


def _target(own: OwnPattern, value: str, place: str) -> Target:
    piece_id, _, rest = value.partition("/")
    copy, _, edge = rest.partition("/")
    piece = piece_of(own, piece_id)
    try:
        piece.edge(edge)
    except BrokenPromise:
        raise _refusal(place, edge, f"is no edge of {piece.name}", "an edge of it") from None
    if not (copy.isascii() and copy.isdigit() and 1 <= int(copy[:6]) <= piece.count):
        raise _refusal(place, copy, f"is no copy of {piece.name}", f"1 to {piece.count}")
    return Target(piece, int(copy), edge)


def _place_mm(texts: Texts, field: str, units: UnitSystem, usual_mm: float, target: Target) -> float:
    text = texts.get(field, "").strip()
    if text in ("", "0"):
        return usual_mm if not text else 0.0
    at_mm = read_length_mm(text, place=field, units=units)
    if at_mm > target.length_mm + 0.5:
        allowed = f"up to {target.length_mm:.1f} mm, the length of the edge"
        raise _refusal(field, text, "lies beyond the end of the edge", allowed)
    return min(at_mm, target.length_mm)


def _sides(one: tuple[Target, Stretch], other: tuple[Target, Stretch] | None, texts: Texts) -> tuple[SeamSide, ...]:
    """Face to face, one edge is walked against the other, unless one of the two is a mirrored copy."""
    first, (low, high) = one
    sides = [SeamSide(first.piece.id, first.copy, first.edge, low, high)]
    if other:
        second, (start, end) = other
        is_against = (first.is_mirrored == second.is_mirrored) != (texts.get("seam.way", "face") == "turned")
        ends = (end, start) if is_against else (start, end)
        sides.append(SeamSide(second.piece.id, second.copy, second.edge, *ends))
    return tuple(sides)


def _eased(sides: tuple[SeamSide, ...], texts: Texts, units: UnitSystem) -> tuple[SeamSide, ...]:
    """The longer side eased in by what was typed, or by all that it is longer."""
    text = texts.get("seam.ease", "").strip()
    if not text or text == "0" or len(sides) < 2:
        return sides
    longer = max(range(len(sides)), key=lambda n: sides[n].edge_length_mm)
    by_mm = abs(sides[0].edge_length_mm - sides[1].edge_length_mm)
    ease_mm = by_mm if text.lower() == "all" else read_length_mm(text, place="seam.ease", units=units)
    if ease_mm >= sides[longer].edge_length_mm:
        raise _refusal("seam.ease", text, "is more than the whole edge", "less than the length of the longer side")
    return tuple(replace(side, ease_mm=ease_mm) if n == longer else side for n, side in enumerate(sides))


def _name(texts: Texts, kind: SeamKind, targets: Sequence[Target]) -> str:
    name = " ".join(texts.get("seam.name", "").split())
    if len(name) > LONGEST_NAME or not name.isprintable():
        raise _refusal("seam.name", name, "is no name for a seam", f"up to {LONGEST_NAME} visible signs")
    if name:
        return name
    verb = {SeamKind.HEM: "Hem", SeamKind.BASTE: "Baste", SeamKind.TOPSTITCH: "Topstitch"}.get(kind, "Sew")
    return f"{verb} {' to '.join(target.told() for target in targets)}"[:LONGEST_NAME]


def change_seam(own: OwnPattern, seam_id: str, how: str) -> OwnPattern:
    """Take a seam out, or move it one step earlier or later in the order of work. Raises `FaultyInput`."""
    numbers = {seam.id: number for number, seam in enumerate(own.seams)}
    if seam_id not in numbers:
        raise _refusal("seam", seam_id, "is no seam of this bag", "a seam that is in the list")
    number, seams = numbers[seam_id], list(own.seams)
    if how == "remove":
        del seams[number]
    else:
        other = number - 1 if how == "earlier" else number + 1
        if not 0 <= other < len(seams):
            return own
        seams[number], seams[other] = seams[other], seams[number]
    return accept_own(replace(own, seams=tuple(seams)))


def add_measure(own: OwnPattern, texts: Texts, edges: Sequence[str], workroom: Workroom) -> OwnPattern:
    """Something that the finished bag must measure: the sum of some edges. Raises `FaultyInput`."""
    faults, asked_mm, spans = Faults(), 0.0, []
    name = " ".join(texts.get("measure.name", "").split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        faults.problems += _refusal("measure.name", name, "is no name for a measure", "1 to 100 visible signs").problems
    with faults:
        text = texts.get("measure.asked", "")
        asked_mm = read_length_mm(text, place="measure.asked", units=as_shown(workroom, texts).units)
    for value in edges:
        with faults:
            target = _target(own, value, "measure.edges")
            spans.append(Span(target.piece.id, target.edge))
    if not edges:
        faults.problems += _refusal("measure.edges", "", "no edge is chosen", "the edges that add up to it").problems
    faults.raise_if_any()
    key = free_id(name, {measure.key for measure in own.measures})
    return accept_own(
        replace(own, measures=(*own.measures, AssembledMeasure(key=key, asked_mm=asked_mm, spans=tuple(spans))))
    )


def remove_measure(own: OwnPattern, key: str) -> OwnPattern:
    """The bag without that measure."""
    return replace(own, measures=tuple(measure for measure in own.measures if measure.key != key))


def _refusal(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy="Choose another.")])
