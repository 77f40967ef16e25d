"""What a request is served from: the desk and the searches of the app it came to."""

from __future__ import annotations

from starlette.requests import Request

from bagwright.workflows.desk import Desk
from bagwright.workflows.searches import Searches


def desk_of(request: Request) -> Desk:
    """The desk all pages share."""
    desk: Desk = request.app.state.desk
    return desk


def searches_of(request: Request) -> Searches:
    """The searches that go on beside the pages."""
    searches: Searches = request.app.state.searches
    return searches
