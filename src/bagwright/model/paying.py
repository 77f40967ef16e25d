"""Which test at the kitchen table would tell most about the panels at hand."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.body import Sheet


class HomeTest(StrEnum):
    """What can be measured at home: of a material alone, or of a bonded scrap of several."""

    OVERHANG = "ruler test"
    THICKNESS = "thickness of a stack"
    WEIGHT = "weight of a piece"
    SCRAP = "ruler test on a bonded scrap"


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubtfulPanel:
    """A stack whose body is at stake, and the bending length that it needs to stand, if it is to stand."""

    sheets: tuple[Sheet, ...]
    needed_bending_length_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PayingTest:
    """One test: of which materials, what it can be expected to bring, and what to do in a sentence.

    `narrows`: share of the width of the panels' bands that goes, on average over what the test may find. `settles`:
    share of those panels that may stand or not of which it then is known.
    """

    test: HomeTest
    names: tuple[str, ...]
    narrows: float
    settles: float
    says: str
