"""What a maker asks of scraps that are pieced under the inner layers of a bag."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrapWishes:
    """Kept with the bag. `enough_share` of a template, `widest_gap_mm` and `max_scraps` make a cover do its work.

    `keep_off_mm`: how far joins stay from folds, strap ends and snaps. `with_allowance`: the seam allowance is covered
    too. `turns_freely`: woven scraps need not lie on the grain. `seconds`: how long a search goes on for one material.
    Values at first: common practice, no source.
    """

    enough_share: float = 0.97
    widest_gap_mm: float = 6.0
    max_scraps: int = 5
    keep_off_mm: float = 5.0
    with_allowance: bool = False
    turns_freely: bool = False
    seconds: float = 20.0
