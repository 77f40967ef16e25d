"""The page value of a bag that came from a file."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.pages import Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenInPage:
    """taken_in.html; `added` and `found` are names of materials with their addresses. No bag: `problems` say why."""

    frame: Frame
    heading: str
    bag_href: str = ""
    added: tuple[tuple[str, str], ...] = ()
    found: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
