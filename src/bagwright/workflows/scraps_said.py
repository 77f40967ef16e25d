"""What scraps count for, in a sentence."""

from __future__ import annotations

from bagwright.model.bag import Workroom
from bagwright.model.running_costs import ScrapsCount


def scraps_said(room: Workroom) -> str:
    """Empty where they count for all that they cost, as is usual.

    >>> scraps_said(Workroom())
    ''
    """
    match room.scraps_count:
        case ScrapsCount.NOTHING:
            return "Scraps count for nothing: what is left of a cloth is paid by these bags."
        case ScrapsCount.REPLACEMENT:
            return "Scraps count for what new of their size costs at its cheapest."
        case ScrapsCount.SHARE:
            share = f"{(room.scraps_share * 100).normalize():f}"
            return "" if room.scraps_share == 1 else f"Scraps count for {share} % of what they cost."
