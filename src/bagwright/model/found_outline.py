"""Outlines as they were found in a picture of the mat. In mm, x to the right and y up, as the picture was taken."""

from __future__ import annotations

from dataclasses import dataclass, field

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region

Ring = tuple[Point, ...]
CARD_SIDE_MM = 50.0
"""Side of the black square on a marker card, as we print it."""


@dataclass(frozen=True, slots=True)
class MarkerCard:
    """One card: its number, printed beside it, and the rows of its square from the top, ``#`` for black."""

    number: int
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineWishes:
    """How a picture is read. `card_side_mm`: side of the black squares as measured on the cards that lie there.

    `is_template`: paper templates, whose straight edges are made straight, corners sharp and curves smooth.
    `splits`: cut outlines apart where two scraps seem to touch. `shows_plastic_card`: a card of bank size lies among
    them, to check the scale by. `thickness_mm`: of what lies there, where all of it is about as thick.
    """

    card_side_mm: float = CARD_SIDE_MM
    is_template: bool = False
    splits: bool = False
    shows_plastic_card: bool = False
    thickness_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Touch:
    """Where two scraps seem to touch: the middle of the line along which they do, its length, its ends, what tells."""

    x_mm: float
    y_mm: float
    width_mm: float
    start: Point = (0.0, 0.0)
    end: Point = (0.0, 0.0)
    sign: str = "a neck"


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundOutline:
    """One outline. Nineteen in twenty of its points lie within `error_mm` of the truth, as far as can be told.

    `colour` is what it looks like, red, green, blue of 0 to 255. `touches`: where it may be two scraps in one.
    `notes`: what else may be wrong with it, and what to do. `thickness_mm`: as for so thick a scrap it was brought down
    to the ground; None if its thickness was not known: then it is told as it is seen.
    """

    number: int
    outer: Ring = field(repr=False)
    holes: tuple[Ring, ...] = field(default=(), repr=False)
    error_mm: float
    colour: tuple[int, int, int] = (0, 0, 0)
    touches: tuple[Touch, ...] = ()
    notes: tuple[str, ...] = ()
    thickness_mm: float | None = None

    @property
    def region(self) -> Region:
        """Its outline as a region."""
        return Region.from_ring(self.outer, self.holes)


@dataclass(frozen=True, slots=True)
class RefusedOutline:
    """Something that lies on the mat and was left out: where, why, and what to do."""

    x_mm: float
    y_mm: float
    where: str
    why: str
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleCheck:
    """What the scale makes of a plastic card of known size. `size_share`: its size as read over its true one.

    `doubt_share`: how far that may be off; `card_side_mm`: how wide the black squares must be for it to be right.
    """

    length_mm: float
    height_mm: float
    size_share: float
    doubt_share: float
    card_side_mm: float

    @property
    def agrees(self) -> bool:
        """Whether the scale is right as far as this card can tell."""
        return abs(self.size_share - 1) <= self.doubt_share


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraAbove:
    """Where the camera stood: so high over the ground, straight above `foot`. `doubt_share`: two standard errors."""

    foot: Point
    height_mm: float
    doubt_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundOutlines:
    """What a picture holds. `cards`: numbers of the cards that gave the scale, `ignored` those that did not fit.

    `scale_error_share`: how far all lengths may be off together, as a share, the cards taken at their word;
    `fit_mm`: how far the cards' edges lie from where they should. `ground`: its colour. `low` and `high` are the
    corners of what the cards take up and enclose. `check`: by a plastic card, if she said that one lies there.
    `was_mirrored`: the picture came mirrored and was turned over before it was read. `camera`: where it stood.
    """

    outlines: tuple[FoundOutline, ...]
    refused: tuple[RefusedOutline, ...]
    cards: tuple[int, ...]
    ignored: tuple[int, ...]
    card_side_mm: float
    scale_error_share: float
    fit_mm: float
    ground: tuple[int, int, int]
    low: Point
    high: Point
    camera: CameraAbove
    check: ScaleCheck | None = None
    was_mirrored: bool = False
