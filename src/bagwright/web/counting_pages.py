"""What a price does not count, and what it counts on that is old: a part of several pages."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.lacks import Lack


@dataclass(frozen=True, slots=True, kw_only=True)
class CountingView:
    """`not_counted` names small supplies without a number; `stale`: prices to ask for again; `scraps`: what they count
    for, where that is not all that they cost."""

    not_counted: str = ""
    scraps: str = ""
    stale: tuple[Lack, ...] = ()
