"""A pattern of her own in JSON: pieces with their edges, seams, measures, named as in `bagwright draft --json`."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from bagwright.drafting.own_pieces import MOST_COPIES, MOST_PIECES, MOST_SEAMS, OWN_FORM
from bagwright.geometry.curves import Arc, Cubic, Curve, Line, Point
from bagwright.model.pattern import SeamKind
from bagwright.model.piece import EdgeUse, Mirror
from bagwright.workflows.contracts import Contract

Coordinate = Annotated[float, Field(ge=-1e5, le=1e5)]
Spot = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]
Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^\S(.*\S)?$")]
_SPOT = "point of 2 numbers [x, y], each from -100000 to 100000"
_NAME = "text of 1 to 60 characters"


class LineWords(Contract):
    """A straight curve."""

    kind: Literal["line"] = Field(description='"line"')
    start: Spot = Field(alias="from", description=f"where it starts: a {_SPOT}")
    end: Spot = Field(alias="to", description=f"where it ends: a {_SPOT}")

    def curve(self) -> Curve:
        """The curve behind the words."""
        return Line(point_of(self.start), point_of(self.end))


class ArcWords(Contract):
    """Part of a circle."""

    kind: Literal["arc"] = Field(description='"arc"')
    start: Spot = Field(alias="from", description=f"where it starts: a {_SPOT}")
    centre: Spot = Field(description=f"its centre: a {_SPOT}")
    sweep_deg: float = Field(ge=-360, le=360, description="how far it turns, -360 to 360; above 0 counter-clockwise")
    end: Spot | None = Field(default=None, alias="to", description="where it ends, as it is printed; it is not read")

    def curve(self) -> Curve:
        """The curve behind the words."""
        return Arc(point_of(self.start), point_of(self.centre), self.sweep_deg)


class CubicWords(Contract):
    """A cubic Bezier curve."""

    kind: Literal["cubic"] = Field(description='"cubic"')
    start: Spot = Field(alias="from", description=f"where it starts: a {_SPOT}")
    first: Spot = Field(description=f"its first control point: a {_SPOT}")
    second: Spot = Field(description=f"its second control point: a {_SPOT}")
    end: Spot = Field(alias="to", description=f"where it ends: a {_SPOT}")

    def curve(self) -> Curve:
        """The curve behind the words."""
        return Cubic(point_of(self.start), point_of(self.first), point_of(self.second), point_of(self.end))


CurveWords = Annotated[
    Annotated[LineWords, Tag("line")] | Annotated[ArcWords, Tag("arc")] | Annotated[CubicWords, Tag("cubic")],
    Discriminator("kind"),
]


class EdgeWords(Contract):
    """One edge of a net line."""

    name: Name = Field(description=f"its name, {_NAME}, each once in its piece")
    curves: list[CurveWords] = Field(
        min_length=1, max_length=5000, description="list of 1 to 5000 curves end to end, counter-clockwise"
    )
    use: EdgeUse = Field(default=EdgeUse.SEAM, description="one of: " + ", ".join(EdgeUse))
    allowance_mm: float | None = Field(
        default=None, ge=0, le=100, description="seam allowance in mm, 0 to 100; null: 9.525 where it is sewn or hemmed"
    )
    length_mm: float | None = Field(
        default=None,
        ge=0,
        description="its length in mm, 0 or more, as it is printed: a fault if it is off by over 0.5",
    )


class NotchWords(Contract):
    """A notch."""

    edge: Name = Field(description=f"on which edge: {_NAME}")
    at_mm: float = Field(ge=0, le=1e5, description="how far along it from its start in mm, 0 to 100000")


class MarkedLineWords(Contract):
    """A straight line drawn on the piece."""

    name: Name = Field(description=f"its name, {_NAME}, each once in its piece, edges among them")
    start: Spot = Field(alias="from", description=f"where it starts: a {_SPOT}")
    end: Spot = Field(alias="to", description=f"where it ends: a {_SPOT}")


class DrillMarkWords(Contract):
    """A point marked on the piece."""

    name: Name = Field(description=f"its name, {_NAME}")
    at: Spot = Field(description=f"where it lies: a {_SPOT}")


ROLES = tuple(role.key for role in OWN_FORM.roles)


class OwnPieceWords(Contract):
    """One piece of hers."""

    id: Name = Field(description=f"{_NAME}, each once")
    name: str = Field(default="", max_length=120, description="what it is called, up to 120 characters; empty: its id")
    role: str = Field(default="outer", description="what it is made of, one of: " + ", ".join(ROLES))
    count: int = Field(default=1, ge=1, le=MOST_COPIES, description="how many are cut, a whole number from 1 to 20")
    mirror: Mirror = Field(default=Mirror.NO, description="one of: " + ", ".join(Mirror) + "; pairs: an even count")
    grain_deg: float = Field(
        default=90, ge=-360, le=360, description="direction of the lengthwise grain, -360 to 360 degrees; 90 is up"
    )
    is_face: bool = Field(default=False, description="true: a face of the bag, whose body is worked out")
    edges: list[EdgeWords] = Field(min_length=2, max_length=200, description="list of 2 to 200 edges in order")
    notches: list[NotchWords] = Field(default=[], max_length=500, description="list of up to 500 notches")
    lines: list[MarkedLineWords] = Field(default=[], max_length=500, description="list of up to 500 lines")
    drill_marks: list[DrillMarkWords] = Field(default=[], max_length=500, description="list of up to 500 points")


class SideWords(Contract):
    """One side of a seam."""

    piece_id: Name = Field(description=f"which piece: {_NAME}")
    copy_: int = Field(
        default=1, alias="copy", ge=1, le=MOST_COPIES, description="which copy of it, a whole number from 1 to 20"
    )
    edge: Name = Field(description=f"which edge or line of it: {_NAME}")
    from_mm: float | None = Field(
        default=None,
        ge=0,
        le=1e5,
        description="where along the edge in mm the seam starts, 0 to 100000; null: its start",
    )
    to_mm: float | None = Field(
        default=None, ge=0, le=1e5, description="where along the edge in mm it ends, 0 to 100000; null: its end"
    )
    backwards: bool = Field(
        default=False, description="true: a whole edge sewn from its end to its start; only without from_mm and to_mm"
    )
    folds: int = Field(
        default=1, ge=1, le=10, description="how many times over it is folded, a whole number from 1 to 10"
    )
    ease_mm: float = Field(
        default=0, ge=0, le=1000, description="how much longer than the seam it is on purpose, 0 to 1000 mm"
    )


class SeamWords(Contract):
    """One seam."""

    id: Name = Field(description=f"{_NAME}, each once")
    name: str = Field(default="", max_length=200, description="what is done there, up to 200 characters; empty: its id")
    kind: SeamKind = Field(default=SeamKind.LOCKSTITCH, description="one of: " + ", ".join(SeamKind))
    rows: int = Field(
        default=1, ge=1, le=10, description="how many times it is stitched over, a whole number from 1 to 10"
    )
    sides: list[SideWords] = Field(
        min_length=1, max_length=20, description="list of 1 to 20 sides, sewn together at once"
    )


class SpanWords(Contract):
    """A whole edge in a measure."""

    piece_id: Name = Field(description=f"which piece: {_NAME}")
    edge: Name = Field(description=f"which edge or line of it: {_NAME}")
    factor: float = Field(default=1, ge=-10, le=10, description="how often it counts, -10 to 10")


class MeasureWords(Contract):
    """What the finished bag must measure."""

    key: Name = Field(description=f"its name, {_NAME}, each once")
    asked_mm: float = Field(gt=0, le=1e5, description="what is asked in mm, above 0, at most 100000")
    spans: list[SpanWords] = Field(min_length=1, max_length=50, description="list of 1 to 50 edges that add up to it")


class OwnWords(Contract):
    """What `bagwright prove` reads."""

    pieces: list[OwnPieceWords] = Field(min_length=1, max_length=MOST_PIECES, description="list of 1 to 100 pieces")
    seams: list[SeamWords] = Field(
        default=[], max_length=MOST_SEAMS, description="list of up to 500 seams in the order of work"
    )
    measures: list[MeasureWords] = Field(default=[], max_length=50, description="list of up to 50 measures to prove")


def point_of(spot: list[float]) -> Point:
    """Two numbers as a point."""
    return spot[0], spot[1]
