"""Strips that bear a load (straps, handles, loops): folded in four, of two layers, or of webbing bought by length."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import IntEnum
from types import MappingProxyType

from bagwright.drafting import cautions
from bagwright.drafting.measurements import length_said
from bagwright.drafting.steps import Caught, Handling, Step, StitchLine, against, along
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import NotionNeed, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import EdgeUse, Piece, PlacementLine

STRIP_FOLDS = 4
ENDS, LONGS = ("end_one", "end_two"), ("long_left", "long_right")
NARROWEST_SHARE = 1 / 3
"""Allowance inside a turned strip at most, as a share of its width: more does not lie flat (common practice)."""
SOLD_WIDTHS_MM = (10.0, 15.0, 20.0, 25.0, 30.0, 38.0, 50.0)
"""Widths in which webbing is sold (found in trade lists)."""
SAME_WIDTH_MM = 1.0

Place = tuple[float, float]


class StripKind(IntEnum):
    """What a strip is made of, and how."""

    FOLDED = 0
    TURNED = 1
    RAW = 2
    WEBBING = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """What is asked of `count` equal strips: `length_mm` from end seam to end seam, and what lies beyond them.

    `key` is the id of their piece and of the steps that make them, `said` what they are called ("strap").
    """

    key: str
    said: str
    width_mm: float
    length_mm: float
    end_allowance_mm: float
    seam_allowance_mm: float
    count: int = 1

    @property
    def told(self) -> str:
        """One of them, or each."""
        return f"the {self.said}" if self.count == 1 else f"each {self.said}"


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeStrip:
    """The piece that strips are cut from, how they are made, and how they lie in a seam.

    An end of one strip is `folds` thick, in each of `layers` copies of the piece that lie face to face.
    """

    piece: Piece
    steps: tuple[Step | Handling, ...]
    folds: int = 1
    layers: int = 1
    notions: tuple[NotionNeed, ...] = ()
    cautions: tuple[str, ...] = field(default=(cautions.STRAP_LOAD,))

    def width_span(self) -> Span:
        """The finished width, as an end gives it."""
        return Span(self.piece.id, "end_one", 1 / self.folds)

    def across(self, number: int, edge: str) -> tuple[SeamSide, ...]:
        """An end of strip `number` (or a line across it), walked as drawn on the layer that faces up."""
        copies = range(self.layers * (number - 1) + 1, self.layers * number + 1)
        return tuple(
            against(self.piece, copy, edge) if i % 2 else along(self.piece, copy, edge, folds=self.folds)
            for i, copy in enumerate(copies)
        )

    def caught(self, number: int, end: str, place: Place, *, is_backwards: bool = False) -> tuple[Caught, ...]:
        """An end of strip `number` laid on a panel, face up, its raw edge on the panel's.

        `is_backwards`: the line it is caught in runs against the panel's edge as drawn. A folded strip is open along
        its left side (its middle fold lies there); there its edge starts and comes back to.
        """
        if self.folds > 1:
            turned = (end == "end_two") != is_backwards
            return tuple(Caught(*place, side, turned=turned) for side in self.across(number, end))
        sides = self.across(number, end)
        return tuple(Caught(*place, _reversed(side) if is_backwards else side) for side in sides)


def _reversed(side: SeamSide) -> SeamSide:
    return replace(side, from_mm=side.to_mm, to_mm=side.from_mm)


def make_strip(strip: Strip, kind: StripKind) -> MadeStrip:
    """Strips of that kind."""
    return _MAKERS[kind](strip)


def _cut(strip: Strip, width_mm: float, *, count: int, role: str = "strap") -> Piece:
    """A strip as it is cut, upright; its long edges are finished in themselves."""
    names = {"bottom": "end_one", "top": "end_two", "left": "long_left", "right": "long_right"}
    return Piece(
        id=strip.key,
        name=strip.said[:1].upper() + strip.said[1:],
        role=role,
        net=rectangle_outline(width_mm, strip.length_mm, names),
        allowance_mm={**dict.fromkeys(ENDS, strip.end_allowance_mm), **dict.fromkeys(LONGS, 0.0)},
        edge_use={**dict.fromkeys(ENDS, EdgeUse.SEAM), **dict.fromkeys(LONGS, EdgeUse.HEM)},
        count=count,
    )


def _folded(strip: Strip) -> MadeStrip:
    """Four widths wide: the long edges to the middle, then in half."""
    width = strip.width_mm
    piece = _cut(strip, STRIP_FOLDS * width, count=strip.count)
    folds = (("fold_first", width), ("fold_middle", 2 * width), ("fold_third", 3 * width))
    lines = tuple(PlacementLine(name, (x, 0.0), (x, strip.length_mm)) for name, x in folds)
    piece = replace(piece, lines=lines, note="Fold the long edges to the middle, then fold in half.")
    name = f"Fold {strip.told} in four and stitch along both long edges"
    edges = tuple(
        StitchLine(
            (
                against(piece, copy, "long_left"),
                along(piece, copy, "fold_first"),
                along(piece, copy, "long_right"),
                along(piece, copy, "fold_third"),
            )
        )
        for copy in _copies(piece)
    )
    step = Step(strip.key, name, SeamKind.HEM, edges, rows=2, stage=Stage.PARTS)
    return MadeStrip(piece=piece, steps=(step,), folds=STRIP_FOLDS)


def _turned(strip: Strip) -> MadeStrip:
    """Two layers sewn right sides together along both long edges, turned, topstitched."""
    piece, lines = _two_layers(strip, min(strip.seam_allowance_mm, NARROWEST_SHARE * strip.width_mm))
    name = f"Sew the two layers of {strip.told} right sides together along both long edges"
    edge = f"Turn {strip.told} right side out and press; topstitch along both long edges"
    stage = Stage.PARTS
    steps = (
        Step(strip.key, name, SeamKind.LOCKSTITCH, lines, stage=stage),
        Step(f"{strip.key}-edge", edge, SeamKind.TOPSTITCH, lines, stage=stage),
    )
    return MadeStrip(piece=piece, steps=steps, layers=2)


def _raw(strip: Strip) -> MadeStrip:
    """Two layers stitched wrong sides together just inside their raw edges, for what does not fray."""
    piece, lines = _two_layers(strip, 0.0)
    piece = replace(piece, note="Cut to the finished width, for leather, cork and other cloth that does not fray.")
    name = f"Stitch the two layers of {strip.told} wrong sides together, just inside both long edges"
    step = Step(strip.key, name, SeamKind.LOCKSTITCH, lines, stage=Stage.PARTS)
    return MadeStrip(piece=piece, steps=(step,), layers=2)


def _two_layers(strip: Strip, allowance_mm: float) -> tuple[Piece, tuple[StitchLine, ...]]:
    piece = _cut(strip, strip.width_mm, count=2 * strip.count)
    piece = replace(
        piece,
        allowance_mm={**piece.allowance_mm, **dict.fromkeys(LONGS, allowance_mm)},
        edge_use={**piece.edge_use, **dict.fromkeys(LONGS, EdgeUse.SEAM)},
    )
    # Face to face the left edge of one layer lies on the right edge of the other.
    lines = tuple(
        line
        for face in _copies(piece)[::2]
        for line in (
            StitchLine((along(piece, face, "long_right"), against(piece, face + 1, "long_left"))),
            StitchLine((against(piece, face, "long_left"), along(piece, face + 1, "long_right"))),
        )
    )
    return piece, lines


def _webbing(strip: Strip) -> MadeStrip:
    """Bought by length; only its raw ends have to be kept from fraying."""
    piece = _cut(strip, strip.width_mm, count=strip.count, role="webbing")
    piece = replace(
        piece,
        edge_use={**piece.edge_use, **dict.fromkeys(LONGS, EdgeUse.OPENING)},
        is_bought=True,
        note=webbing_width_said(strip.width_mm),
    )
    lengths = "a length" if strip.count == 1 else f"{strip.count} lengths"
    name = f"Cut {lengths} of webbing for the {strip.said}; zigzag or seal the raw ends"
    need = NotionNeed(
        role="webbing",
        name=f"Webbing {length_said(strip.width_mm)} wide, for the {strip.said}",
        count=strip.count,
        length_mm=strip.length_mm + sum(piece.allowance_mm[end] for end in ENDS),
    )
    return MadeStrip(
        piece=piece,
        steps=(Handling(strip.key, name, stage=Stage.PARTS, cautions=(cautions.WEBBING_ENDS,)),),
        notions=(need,),
        cautions=(cautions.STRAP_LOAD, cautions.WEBBING_ENDS),
    )


def sold_width_mm(width_mm: float) -> float:
    """The width in which webbing is sold that comes nearest.

    >>> sold_width_mm(25.4), sold_width_mm(33.0)
    (25.0, 30.0)
    """
    return min(SOLD_WIDTHS_MM, key=lambda sold: abs(sold - width_mm))


def webbing_width_said(width_mm: float) -> str:
    """What to ask for in the shop.

    >>> webbing_width_said(25.4)
    'Ask for webbing 25 mm wide.'
    >>> webbing_width_said(33.0)
    'The nearest width that webbing is sold in is 30 mm: type the width of yours.'
    """
    sold = sold_width_mm(width_mm)
    if abs(sold - width_mm) <= SAME_WIDTH_MM:
        return f"Ask for webbing {sold:g} mm wide."
    return f"The nearest width that webbing is sold in is {sold:g} mm: type the width of yours."


def _copies(piece: Piece) -> range:
    return range(1, piece.count + 1)


_MAKERS: Mapping[StripKind, Callable[[Strip], MadeStrip]] = MappingProxyType(
    {StripKind.FOLDED: _folded, StripKind.TURNED: _turned, StripKind.RAW: _raw, StripKind.WEBBING: _webbing}
)
