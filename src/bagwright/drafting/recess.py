"""How far below the top edge a recessed zip lies, and what that leaves of the lining below it."""

from __future__ import annotations

from bagwright.drafting.form_spec import RoleSpec
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.roles import OUTER

TOP_ZIP = "top_zip"
BANDS, RECESSED = 1, 2
RECESS_KEYS = (TOP_ZIP, "recess_mm")
FACING = RoleSpec(
    key="facing",
    name="Facing",
    meaning="The cloth inside, above a recessed zip and beside it.",
    kinds=OUTER.kinds,
)


def recess_mm(sizes: Sizes) -> float:
    """Height of the facing above a recessed zip; 0 without one.

    >>> recess_mm({"top_zip": 2, "recess_mm": 50.0}), recess_mm({"top_zip": 1, "recess_mm": 50.0}), recess_mm({})
    (50.0, 0.0, 0.0)
    """
    return sizes["recess_mm"] if sizes.get(TOP_ZIP) == RECESSED else 0.0


def below_recess(sizes: Sizes) -> Sizes:
    """The sizes that the lining is drafted to: those of the bag, its height less the facing's."""
    facing_mm = recess_mm(sizes)
    return {**sizes, "height_mm": sizes["height_mm"] - facing_mm} if facing_mm else sizes
