"""What every page has round it."""

from __future__ import annotations

from bagwright.web.pages import Frame, Place

_PLACES = (
    ("Bags", "/"),
    ("Runs", "/runs"),
    ("Materials", "/materials"),
    ("Stash", "/stash"),
    ("Workroom", "/workroom"),
)


def frame(title: str, here: str, *, is_demo: bool) -> Frame:
    """Title and masthead; `here` is the address of the room that the page belongs to."""
    places = tuple(Place(label, href, href == here) for label, href in _PLACES)
    return Frame(title=title, places=places, is_demo=is_demo)
