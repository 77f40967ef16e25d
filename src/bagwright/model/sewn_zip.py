"""A zip as it lies in a bag: its lengths closed, its widths, and what holds the slider on it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

STOP_INSET_MM = 3.0
"""From what crosses the end of a zip to its stop, so that no needle meets it (common practice, no source)."""


class ZipEnds(StrEnum):
    """What ends the way of the slider: folded cloth, stops on the teeth, or the seams that the teeth run into."""

    TABS = "tabs"
    STOPS = "stops"
    SEAMS = "seams"


AS_IT_IS_MM = 1.0
"""A ready-made zip this little longer than the teeth that are needed is sewn in as it is."""


@dataclass(frozen=True, slots=True)
class ReadyMadeFit:
    """Which ready-made zips, by their length from stop to stop, one zip can be cut from.

    Those of at least `least_mm`, and those as long as its teeth where it may keep both its stops (`as_it_is_mm`).
    """

    least_mm: float
    as_it_is_mm: float | None = None

    def is_as_it_is(self, length_mm: float) -> bool:
        """Whether a ready-made zip of that length is sewn in as it is."""
        return self.as_it_is_mm is not None and 0 <= length_mm - self.as_it_is_mm <= AS_IT_IS_MM

    def takes(self, length_mm: float) -> bool:
        """Whether a ready-made zip of that length does.

        >>> ReadyMadeFit(210.0, 200.0).takes(200.5), ReadyMadeFit(210.0, 200.0).takes(205.0)
        (True, False)
        """
        return self.is_as_it_is(length_mm) or length_mm >= self.least_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class SewnZip:
    """One zip of a bag. `key` is the id of its bought piece, `name` what to call it, `number` its size number.

    `line_mm` is what lies between its two ends as sewn: from the fold of one tab to that of the other, from seam to
    seam, or from end to end of a window; `under_mm` of tape go on under each end. `tape_mm` is the closed zip, tape
    edge to tape edge; `allowance_mm` from a tape edge to its stitch line; `parked_mm` the teeth that a parked slider
    takes up. `tab_mm`: how much of each tab shows; `facing_mm`: cloth beside the zip that shows with it, either side.
    """

    key: str
    name: str
    number: int
    line_mm: float
    under_mm: float
    tape_mm: float
    allowance_mm: float
    parked_mm: float
    ends: ZipEnds
    tab_mm: float = 0.0
    facing_mm: float = 0.0

    @property
    def inset_mm(self) -> float:
        """From each end to where the way of the slider ends: a stop stands a little off what crosses the zip."""
        return STOP_INSET_MM if self.ends is ZipEnds.STOPS else 0.0

    @property
    def teeth_mm(self) -> float:
        """Teeth that the slider can run on."""
        return self.line_mm - 2 * self.inset_mm

    @property
    def opening_mm(self) -> float:
        """How far it opens: the teeth less what the parked slider takes up (common practice, no source)."""
        return self.teeth_mm - self.parked_mm

    @property
    def chain_mm(self) -> float:
        """Length to cut from the roll, with what lies under both ends."""
        return self.line_mm + 2 * self.under_mm

    @property
    def showing_mm(self) -> float:
        """Width of the closed tape between its two stitch lines."""
        return self.tape_mm - 2 * self.allowance_mm

    @property
    def finished_mm(self) -> float:
        """Width of the zip with the cloth that shows beside it."""
        return self.showing_mm + 2 * self.facing_mm
