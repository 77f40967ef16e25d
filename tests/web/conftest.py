"""The application over a demo of the test's own, spoken to in this process."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from bagwright.model.layout import LaySettings
from bagwright.web.app import build_app
from bagwright.workflows.desk import Desk
from bagwright.workflows.searches import Searches

ADDRESS = "http://127.0.0.1"


@pytest.fixture
def client(desk: Desk) -> Iterator[TestClient]:
    """A browser without script; searches are short. What breaks is answered, not raised."""
    app = build_app(desk)
    app.state.searches = Searches(desk, settings=LaySettings(iterations=60))
    with TestClient(app, base_url=ADDRESS, follow_redirects=False, raise_server_exceptions=False) as client:
        yield client
