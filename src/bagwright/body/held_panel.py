"""A panel of the bag held at its sides and foot: whether it stays flat under its own weight, else how it bows."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bagwright.body.bow import BowingPanel, bow_of
from bagwright.body.plate import Bowing, Plate, bowing
from bagwright.body.stack import bending_length_band_mm
from bagwright.model.held_panel import Bow, EdgeHold, HeldPanel, HeldPanelBody, Hold
from bagwright.model.source import Band

_CLOSE_ENOUGH = 1e-3
_MOST_TRIALS = 12
_MOST_HEIGHTS = 4.0


def holds_in_a_bag(depth_mm: float) -> tuple[Hold, Hold]:
    """The least and the most that the neighbours of a front or back panel hold it; `depth_mm` of the bag's side.

    Least: the side seams keep its sides in line, yet turn like hinges; at its foot it pulls along the base, as stiff as
    itself, while the back does the same: a spring of 2/depth. Most: the base keeps its foot square, and round the side
    seams it pulls along the sides of the bag in the same way.
    Without depth nothing keeps the sides in line: then front and back are strips, taken as square at the foot.

    >>> least, most = holds_in_a_bag(100)
    >>> least.sides.value, least.foot_spring, most.side_spring
    ('in line', 0.02, 0.02)
    """
    if depth_mm <= 0:
        strip = Hold(foot=EdgeHold.CLAMPED, sides=EdgeHold.FREE)
        return strip, strip
    pulled = 2 / depth_mm
    least = Hold(foot=EdgeHold.HINGED, sides=EdgeHold.HINGED, foot_spring=pulled)
    return least, Hold(foot=EdgeHold.CLAMPED, sides=EdgeHold.HINGED, side_spring=pulled)


def held_panel_body(panel: HeldPanel) -> HeldPanelBody:
    """How many times its own weight a held panel bears before it bows, up to what height it stays flat, and its shape.

    The least: layers at the low end of their band and the least hold; the most: both at their highest. With bending
    lengths c upright and across, the rigidity is c^3 times the weight per area, so `plate.bowing` gives the multiplier
    as (load at the foot) / height. The shape is that of the least.

    What it leaves out: the load in the bag, straps, creases, curl and damp; that a panel that has bowed may still be
    borne up by its corners and side seams, so that it sags less than `bow.bow_of` says; round corners, darts and
    openings (the panel is a rectangle); curling crosswise and twist apart from `Plate`'s own rule, without Poisson's
    effect. The two directions stand at their ends together even where they share a reading.

    Raises `FaultyInput` as `stack_body` and `bowing` do.

    >>> from bagwright.model.body import Sheet
    >>> from bagwright.model.source import Reading
    >>> felt = Sheet(name="felt", mass_gsm=Reading.exact(500), thickness_mm=Reading.exact(3),
    ...              overhang_mm=Reading.exact(160))
    >>> least, most = holds_in_a_bag(100)
    >>> front = HeldPanel(name="Front", width_mm=300, height_mm=450, sheets=(felt,), least=least, most=most)
    >>> held_panel_body(front).stance.value
    'leans'
    """
    upright = bending_length_band_mm(panel.sheets)
    across = bending_length_band_mm(panel.sheets_across) if panel.sheets_across else upright
    least = _Case(panel, upright.low, across.low, panel.least)
    most = _Case(panel, upright.high, across.high, panel.most)
    bowings = [case.bows(panel.height_mm) for case in (least, most)]
    multipliers = [bowing.load / panel.height_mm for bowing in bowings]
    heights = [case.flat_height_mm(times) for case, times in zip((least, most), multipliers, strict=True)]
    return HeldPanelBody(
        name=panel.name,
        width_mm=panel.width_mm,
        height_mm=panel.height_mm,
        weight_multiplier=_band(*multipliers),
        flat_height_mm=_band(*heights),
        shape=tuple(tuple(row) for row in bowings[0].shape.tolist()),
        least=least.bow(bowings[0]),
        most=most.bow(bowings[1]),
    )


def needed_bending_length_mm(panel: HeldPanel) -> float:
    """The bending length, alike in both directions, with which the panel surely stays flat: for its least hold. [mm]

    The multiplier grows with the cube of the bending length, so one solution is enough.

    >>> strip = Hold(foot=EdgeHold.CLAMPED, sides=EdgeHold.FREE)
    >>> front = HeldPanel(name="Front", width_mm=50, height_mm=198.635, sheets=(), least=strip, most=strip)
    >>> round(needed_bending_length_mm(front), 1)
    100.0
    """
    return 1 / math.cbrt(_Case(panel, 1.0, 1.0, panel.least).multiplier(panel.height_mm))


@dataclass(frozen=True, slots=True)
class _Case:
    """One end of the band: bending lengths upright and across, and how the panel is held."""

    panel: HeldPanel
    upright_mm: float
    across_mm: float
    hold: Hold

    def bows(self, height_mm: float) -> Bowing:
        return bowing(
            Plate(
                width_mm=self.panel.width_mm,
                height_mm=height_mm,
                rigidity_up=self.upright_mm**3,
                rigidity_across=self.across_mm**3,
                hold=self.hold,
            )
        )

    def bow(self, bowing: Bowing) -> Bow:
        """How far it bows at its own height, where it bows in that way."""
        panel = self.panel
        return bow_of(
            BowingPanel(
                width_mm=panel.width_mm,
                height_mm=panel.height_mm,
                upright_mm=self.upright_mm,
                across_mm=self.across_mm,
                multiplier=bowing.load / panel.height_mm,
                shape=bowing.shape,
            )
        )

    def multiplier(self, height_mm: float) -> float:
        return self.bows(height_mm).load / height_mm

    def flat_height_mm(self, times: float) -> float:
        """Where the multiplier is one, by secants of its logarithm over the height's; `times`: at the panel's own."""
        most = _MOST_HEIGHTS * self.panel.height_mm
        height, slope = self.panel.height_mm, -3.0
        for _ in range(_MOST_TRIALS):
            if abs(times - 1) < _CLOSE_ENOUGH:
                break
            step = min(max(-math.log(times) / slope, -1.5), 1.5)
            new_height = min(height * math.exp(step), most)
            if new_height == height:
                break
            new_times = self.multiplier(new_height)
            slope = min(math.log(new_times / times) / math.log(new_height / height), -0.5)
            height, times = new_height, new_times
        return height


def _band(one: float, other: float) -> Band:
    return Band(min(one, other), max(one, other))
