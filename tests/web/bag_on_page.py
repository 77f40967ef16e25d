"""One bag, changed by the forms of its page."""

from __future__ import annotations

import re
from dataclasses import dataclass

import httpx2
from starlette.testclient import TestClient


def shown_version(html: str) -> int:
    """The version that the page's forms would send."""
    found = re.search(r'name="version" value="(\d+)"', html)
    assert found
    return int(found.group(1))


@dataclass
class BagOnPage:
    """A bag, and the page of it that is open."""

    client: TestClient
    id: str

    @property
    def path(self) -> str:
        return f"/bags/{self.id}"

    def html(self) -> str:
        return self.client.get(self.path).text

    def post(self, what: str, *, headers: dict[str, str] | None = None, **fields: str) -> httpx2.Response:
        """Send one of its forms from a page that is up to date."""
        sent = {"version": str(shown_version(self.html())), **fields}
        return self.client.post(f"{self.path}/{what}", data=sent, headers=headers)
