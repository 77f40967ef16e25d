"""The proof of her own pieces in her words and units, each fault beside the seam or edge that it concerns."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from bagwright.drafting.own_pieces import report_own
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import AssembledMeasure, Seam, SeamSide
from bagwright.model.piece import EdgeUse, Piece
from bagwright.model.soundness import SoundnessFault
from bagwright.output.named_edges import edge_in_words, told_edge
from bagwright.units import UnitSystem, print_length

__all__ = ["OwnReport", "edge_in_words", "report_in_words", "told_edge"]


@dataclass(frozen=True, slots=True)
class OwnReport:
    """What the proof says: of the whole, of each seam by its id, of each edge by piece and name, of each piece.

    `measures` says how each measure comes out, by its key.
    """

    headline: str
    is_sound: bool
    whole: tuple[str, ...] = ()
    seams: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    edges: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    pieces: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    measures: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Teller:
    """Prints lengths, and names pieces and edges as she does."""

    own: OwnPattern
    units: UnitSystem
    fraction: int

    def length(self, length_mm: float) -> str:
        return print_length(length_mm, self.units, fraction=self.fraction).text

    def piece(self, piece_id: str) -> Piece | None:
        return next((piece for piece in self.own.pieces if piece.id == piece_id), None)

    def side(self, side: SeamSide) -> str:
        piece = self.piece(side.piece_id)
        copy = f", copy {side.copy}" if piece and piece.count > 1 else ""
        return f"{piece.name if piece else side.piece_id}{copy}, {edge_in_words(side.edge)}"


def report_in_words(own: OwnPattern, *, units: UnitSystem, fraction: int) -> OwnReport:
    """Run the proof and word what it finds."""
    report, teller = report_own(own), _Teller(own, units, fraction)
    seams: defaultdict[str, list[str]] = defaultdict(list)
    edges: defaultdict[tuple[str, str], list[SoundnessFault]] = defaultdict(list)
    pieces: defaultdict[str, list[str]] = defaultdict(list)
    whole: list[str] = []
    off: list[str] = []
    measures = {measure.key for measure in own.measures}
    by_id = {seam.id: seam for seam in own.seams}
    for fault in report.faults:
        if fault.seam_id in by_id:
            seams[fault.seam_id].append(_of_seam(by_id[fault.seam_id], fault, teller))
        elif fault.edge:
            edges[fault.piece_id, fault.edge].append(fault)
        elif fault.piece_id:
            pieces[fault.piece_id].append(_of_piece(fault, teller))
        elif fault.words.partition(" ")[0] in measures:
            off.append(fault.words)
        else:
            whole.append(_sentence(fault.words))
    return OwnReport(
        headline=_headline(own, len(seams), len(edges), len(off)) if report.faults else _SOUND,
        is_sound=report.verdict.passed,
        whole=tuple(whole),
        seams={key: tuple(words) for key, words in seams.items()},
        edges={place: tuple(_of_edge(faults, teller)) for place, faults in edges.items()},
        pieces={key: tuple(words) for key, words in pieces.items()},
        measures={measure.key: _measured(measure, teller) for measure in own.measures},
    )


def _measured(measure: AssembledMeasure, teller: _Teller) -> str:
    by_id = {piece.id: piece for piece in teller.own.pieces}
    spans = [span for span in measure.spans if span.piece_id in by_id]
    got_mm = math.fsum(span.factor * by_id[span.piece_id].edge(span.edge).length_mm for span in spans)
    name = measure.key.replace("_", " ")
    return f"{name}: {teller.length(measure.asked_mm)} asked, {teller.length(got_mm)} as its edges add up"


_SOUND = "Checked: every edge is used as you declare it, and edges that meet are equally long."


def _headline(own: OwnPattern, seams: int, edges: int, measures: int) -> str:
    if not own.seams:
        return "Nothing is sewn together yet: join the edges into seams below."
    told = []
    if edges:
        told.append(f"{edges} edge{'s are' if edges > 1 else ' is'} not sewn as declared")
    if seams:
        told.append(f"{seams} seam{'s do' if seams > 1 else ' does'} not come out")
    if measures:
        told.append(f"{measures} measure{'s are' if measures > 1 else ' is'} not what you asked")
    return f"Not sound yet: {' and '.join(told) or 'see below'}. Each is marked at its place."


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _of_seam(seam: Seam, fault: SoundnessFault, teller: _Teller) -> str:
    lengths = [side.sewn_length_mm for side in seam.sides]
    if not fault.words.startswith("sides of seam"):
        return _sentence(fault.words)
    told = "; ".join(f"{teller.side(side)}: {teller.length(mm)}" for side, mm in zip(seam.sides, lengths, strict=True))
    by_mm = max(lengths) - min(lengths)
    remedy = "Ease the longer one in, or change one of them."
    return f"Its sides differ by {teller.length(by_mm)} ({by_mm:.1f} mm). {told}. {remedy}"


def _of_piece(fault: SoundnessFault, teller: _Teller) -> str:
    piece = teller.piece(fault.piece_id)
    if not fault.copy or piece is None:
        return _sentence(fault.words)
    which = f"Copy {fault.copy} of it" if piece.count > 1 else "It"
    return f"{which} is not sewn to the rest of the bag yet."


def _of_edge(faults: list[SoundnessFault], teller: _Teller) -> Iterator[str]:
    """What is amiss along one edge; what holds for every copy is told once."""
    piece = teller.piece(faults[0].piece_id)
    if piece is None:
        return
    use = piece.edge_use[faults[0].edge]
    by_words: defaultdict[str, list[int]] = defaultdict(list)
    for fault in faults:
        for words in _amiss(fault, use, teller):
            by_words[words].append(fault.copy)
    for words, copies in by_words.items():
        is_all = piece.count == 1 or len(copies) == piece.count
        yield words if is_all else f"Copy {', '.join(map(str, copies))}: {words[:1].lower()}{words[1:]}"


def _amiss(fault: SoundnessFault, use: EdgeUse, teller: _Teller) -> Iterator[str]:
    if fault.missing_mm:
        yet = "hemmed" if use is EdgeUse.HEM else "sewn to anything"
        yield f"{teller.length(fault.missing_mm)} of it is not {yet} yet."
    if fault.surplus_mm:
        length = teller.length(fault.surplus_mm)
        stays = {EdgeUse.OPENING: "it is declared open", EdgeUse.FOLD: "it lies on the fold"}.get(use)
        yield f"{length} of it is sewn, but {stays}." if stays else f"{length} of it is sewn more often than declared."
