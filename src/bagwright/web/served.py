"""What a request is served from, the desk and the searches of the app it came to, and a file as its answer."""

from __future__ import annotations

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from bagwright.workflows.desk import Desk
from bagwright.workflows.papers import PaperFile
from bagwright.workflows.searches import Searches


def desk_of(request: Request) -> Desk:
    """The desk all pages share."""
    desk: Desk = request.app.state.desk
    return desk


def searches_of(request: Request) -> Searches:
    """The searches that go on beside the pages."""
    searches: Searches = request.app.state.searches
    return searches


def file_answer(file: tuple[str, bytes]) -> Response:
    """Bytes to keep, after their media type; the page names the file."""
    kind, data = file
    return Response(data, media_type=kind, headers={"content-disposition": "attachment"})


def paper_answer(file: PaperFile) -> Response:
    """A file to keep, under its own name."""
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote(file.name)}"}
    return Response(file.data, media_type=file.kind, headers=headers)
