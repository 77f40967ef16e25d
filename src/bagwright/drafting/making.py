"""A bag in the making: its pieces and the work on them, to which straps, pockets and fastenings are added in turn.

A form starts one and `finished` makes the pattern of it. Steps may be added in any order: stages put them in theirs,
and within a stage they keep the order in which they were added.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from bagwright.drafting.cautions import in_usual_order
from bagwright.drafting.steps import Caught, Handling, Step, StitchLine, number_steps
from bagwright.errors import BrokenPromise
from bagwright.model.pattern import AssembledMeasure, NotionNeed, Panel, Pattern, SeamKind, SeamSide, Stage
from bagwright.model.piece import Notch, Piece
from bagwright.model.sewn_zip import SewnZip

Sizes = Mapping[str, float]
TOP, TOP_EDGE = "top", "top-edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """What there is so far.

    `tops`: the lines of the seam that joins outer and lining along the top, by where they lie (front, back, left...);
    the first side of each is the outer's, the second the lining's. `gap`: what of the lining is left open for turning.
    `between`: what is named as lying between the two when the top is sewn.
    """

    pieces: tuple[Piece, ...]
    steps: tuple[Step | Handling, ...]
    tops: Mapping[str, StitchLine] = field(default_factory=dict)
    gap: StitchLine | None = None
    between: tuple[str, ...] = ()
    assembled: tuple[AssembledMeasure, ...] = ()
    panels: tuple[Panel, ...] = ()
    notions: tuple[NotionNeed, ...] = ()
    cautions: tuple[str, ...] = ()
    zips: tuple[SewnZip, ...] = ()

    def piece(self, piece_id: str) -> Piece:
        """The piece of that id."""
        for piece in self.pieces:
            if piece.id == piece_id:
                return piece
        raise BrokenPromise(f"no piece {piece_id!r} among {[piece.id for piece in self.pieces]}")

    def having(
        self,
        *,
        pieces: Sequence[Piece] = (),
        steps: Sequence[Step | Handling] = (),
        assembled: Sequence[AssembledMeasure] = (),
        notions: Sequence[NotionNeed] = (),
        cautions: Sequence[str] = (),
        zips: Sequence[SewnZip] = (),
    ) -> Making:
        """The same with more of each."""
        return replace(
            self,
            pieces=(*self.pieces, *pieces),
            steps=(*self.steps, *steps),
            assembled=(*self.assembled, *assembled),
            notions=(*self.notions, *notions),
            cautions=(*self.cautions, *cautions),
            zips=(*self.zips, *zips),
        )

    def with_changed(self, piece: Piece) -> Making:
        """The same with that piece in place of the one of its id."""
        self.piece(piece.id)
        return replace(self, pieces=tuple(piece if old.id == piece.id else old for old in self.pieces))

    def line(self, where: str) -> StitchLine:
        """A line of stitching: a key of `tops`, or ``step:number`` for a line of a step, counted from 0."""
        if where in self.tops:
            return self.tops[where]
        step_key, _, number = where.partition(":")
        return self._step(step_key).lines[int(number)]

    def lines_of(self, step_key: str) -> tuple[StitchLine, ...]:
        """All lines of a step of sewing."""
        return self._step(step_key).lines

    def catching(self, where: str, *caught: Caught, word: str = "", is_notched: bool = True) -> Making:
        """The same with something caught in a line; notches on the line's first piece show where.

        `word` names it where a step says what lies between the layers.
        """
        line = self.line(where)
        making = self._with_line(where, replace(line, caught=(*line.caught, *caught)))
        making = making._naming(where, word) if word else making
        return making._notched(line.through[0], caught) if is_notched else making

    def _naming(self, where: str, word: str) -> Making:
        if where in self.tops:
            return replace(self, between=tuple(dict.fromkeys((*self.between, word))))
        step, told = self._step(where.partition(":")[0]), f", {word} between the layers"
        return self if step.name.endswith(told) else self._with_step(replace(step, name=f"{step.name}{told}"))

    def _with_line(self, where: str, line: StitchLine) -> Making:
        if where in self.tops:
            return replace(self, tops={**self.tops, where: line})
        step_key, _, number = where.partition(":")
        step = self._step(step_key)
        lines = tuple(line if i == int(number) else old for i, old in enumerate(step.lines))
        return self._with_step(replace(step, lines=lines))

    def _with_step(self, step: Step) -> Making:
        return replace(self, steps=tuple(step if old.key == step.key else old for old in self.steps))

    def _step(self, key: str) -> Step:
        for step in self.steps:
            if isinstance(step, Step) and step.key == key:
                return step
        raise BrokenPromise(f"no step of sewing {key!r} among {[step.key for step in self.steps]}")

    def _notched(self, side: SeamSide, caught: Sequence[Caught]) -> Making:
        piece = self.piece(side.piece_id)
        places = sorted({at for one in caught for at in (one.start_mm, one.end_mm)})
        forward = 1.0 if side.to_mm >= side.from_mm else -1.0
        notches = [Notch(side.edge, side.from_mm + forward * at) for at in places]
        return self.with_changed(replace(piece, notches=tuple(dict.fromkeys((*piece.notches, *notches)))))

    def finished(self, form: str, sizes: Sizes) -> Pattern:
        """The pattern: steps in their order, the top sewn and the gap closed."""
        stages = list(Stage)
        steps = sorted((*self.steps, *self._closing()), key=lambda step: stages.index(step.stage))
        seams, handwork = number_steps(steps)
        return Pattern(
            form=form,
            measurements_mm=dict(sizes),
            pieces=self.pieces,
            seams=seams,
            assembled=self.assembled,
            panels=self.panels,
            notions=self.notions,
            cautions=in_usual_order(self.cautions),
            handwork=handwork,
            zips=self.zips,
        )

    def _closing(self) -> list[Step]:
        lines, lockstitch = tuple(self.tops.values()), SeamKind.LOCKSTITCH
        held = f", {listed(self.between)} between them" if self.between else ""
        steps = []
        if lines:
            name = f"Sew outer and lining together along the top{held}"
            edge = "Turn right side out; topstitch along the top edge"
            steps = [
                Step(TOP, name, lockstitch, lines, stage=Stage.JOIN),
                Step(TOP_EDGE, edge, SeamKind.TOPSTITCH, lines, stage=Stage.JOIN),
            ]
        if self.gap:
            close = "Close the gap in the lining" if lines else "Turn right side out through the gap, and close it"
            steps.append(Step("gap", close, lockstitch, (self.gap,), stage=Stage.CLOSE))
        return steps


def listed(words: Sequence[str]) -> str:
    """Words as a list in a sentence.

    >>> listed(["straps"]), listed(["straps", "casing", "flap"])
    ('straps', 'straps, casing and flap')
    """
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)
