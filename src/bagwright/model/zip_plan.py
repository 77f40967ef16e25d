"""A zip worked out: what to buy or cut, where to stop it, in which order it is sewn, where the foot meets bulk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bagwright.model.sewn_zip import SewnZip


@dataclass(frozen=True, slots=True)
class Advice:
    """A sentence with a pair of braces for each of its lengths.

    >>> Advice("Cut {} from the roll.", (120.0,)).said(lambda mm: f"{mm:g} mm")
    'Cut 120 mm from the roll.'
    """

    words: str
    lengths_mm: tuple[float, ...] = ()

    def said(self, length: Callable[[float], str]) -> str:
        """The sentence with its lengths printed."""
        return self.words.format(*map(length, self.lengths_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyMadeZip:
    """A ready-made zip to buy, `length_mm` from its top stops to its bottom stop, and how it is cut down.

    All places are measured from its top stops downwards. `start_mm`: where the used teeth begin; 0 keeps its own top
    stops. `stop_mm`: where a new stop is sewn across the teeth; None keeps its own bottom stop, or needs none. It is
    cut at `top_cut_mm` (below 0: in the tape above the stops) and at `bottom_cut_mm`.
    """

    length_mm: float
    start_mm: float
    stop_mm: float | None
    top_cut_mm: float
    bottom_cut_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BulkPoint:
    """Where the foot meets more than it did just before.

    `during`: names of the steps in which it does; none where it does in all. `layers` of pieces, each fold counted,
    come after `layers_beside`; both are 0 where it is not layers that are in the way.
    """

    during: tuple[str, ...]
    where: str
    layers: int
    layers_beside: int
    advice: Advice


@dataclass(frozen=True, slots=True, kw_only=True)
class ZipPlan:
    """One zip, worked out.

    `mouth_mm` is the mouth of its slider (over, up to; None for no limit). It is made ready either `from_roll`, with
    `sliders` to put on, or `from_ready_made` (empty if there is none long enough), then sewn in `steps`.
    """

    zip: SewnZip
    mouth_mm: tuple[float, float | None]
    ready_made: ReadyMadeZip | None
    sliders: int
    from_roll: tuple[Advice, ...]
    from_ready_made: tuple[Advice, ...]
    steps: tuple[Advice, ...]
    bulk: tuple[BulkPoint, ...]
    cautions: tuple[Advice, ...]
