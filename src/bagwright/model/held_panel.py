"""A panel that its neighbours hold: how it is held, and what it does under its own weight."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.body import Sheet, Stance
from bagwright.model.source import Band


class EdgeHold(StrEnum):
    """How an edge of a panel is held: not at all; in its line, but free to turn; in its line and square."""

    FREE = "free"
    HINGED = "in line"
    CLAMPED = "in line and square"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """How the four edges are held. Sides and foot that are in line may be kept from turning by a spring.

    `side_spring`, `foot_spring`: moment per length of edge and per radian, as a share of the panel's rigidity across
    that edge: 1/mm.
    """

    foot: EdgeHold
    sides: EdgeHold
    top: EdgeHold = EdgeHold.FREE
    side_spring: float = 0.0
    foot_spring: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPanel:
    """A flat rectangular panel: its layers as they bend upright, from the outside of the bag inwards; as they bend
    across, if that is known apart; and the least and the most that its neighbours can be counted on to hold it."""

    name: str
    width_mm: float
    height_mm: float
    sheets: tuple[Sheet, ...]
    sheets_across: tuple[Sheet, ...] = ()
    least: Hold
    most: Hold


@dataclass(frozen=True, slots=True, kw_only=True)
class Bow:
    """How a panel bows that does not stay flat, at the most: depth, how far the top sinks where it bows most, how high
    up that is as a share of its height, and the line of that place as (outwards, up) from its foot. All in mm.

    `folds`: it goes further than the model reaches; then depth and drop are those at the edge of the model.
    """

    bow_mm: float
    sink_mm: float
    at_share: float
    folds: bool
    section: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPanelBody:
    """What a held panel does under its own weight.

    `weight_multiplier`: how many times its own weight it bears before it bows; `flat_height_mm`: up to what height it
    would stay flat at this width, looked for up to four times its own. Both bands: least and most of layers, bonds and
    hold. `shape`: how it bows when it does, rows from the foot up, each from the left side to the right, the furthest
    point at 1. `least` and `most`: how far it bows at either end.
    """

    name: str
    width_mm: float
    height_mm: float
    weight_multiplier: Band
    flat_height_mm: Band
    shape: tuple[tuple[float, ...], ...]
    least: Bow
    most: Bow

    @property
    def stance(self) -> Stance:
        """Stands if it surely bears its own weight, slumps if it surely cannot."""
        return Stance.of(self.weight_multiplier, 1.0)

    @property
    def bow_mm(self) -> Band:
        """How deep it bows: 0 where it stays flat."""
        return _band(self.least.bow_mm, self.most.bow_mm)

    @property
    def sink_mm(self) -> Band:
        """How far the top sinks where it bows most."""
        return _band(self.least.sink_mm, self.most.sink_mm)

    @property
    def may_fold(self) -> bool:
        """Whether at either end it bows further than the model reaches."""
        return self.least.folds or self.most.folds


def _band(one: float, other: float) -> Band:
    return Band(min(one, other), max(one, other))
