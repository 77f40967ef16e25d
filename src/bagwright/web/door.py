"""Letting in whoever knows the password, where the page is opened to a network. Its own machine needs none."""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from ipaddress import ip_address
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import Scope

SIGN_IN = "/sign-in"
COOKIE = "bagwright-door"
_OPEN_TO_ALL = (SIGN_IN, "/static/", "/drawing.css", "/favicon.ico")
_TRIES = 5
_CLOSED_S = 60.0
_SYLLABLES = tuple(consonant + vowel for consonant in "bdfghjklmnprstvz" for vowel in "aeiou")
_GROUPS = 4


def new_password() -> str:
    """Four groups of letters that can be read out and typed on a phone; 4 x 2 of 80 syllables make 50 bits.

    >>> [len(group) for group in new_password().split("-")]
    [4, 4, 4, 4]
    """
    return "-".join(secrets.choice(_SYLLABLES) + secrets.choice(_SYLLABLES) for _ in range(_GROUPS))


@dataclass(slots=True)
class Door:
    """The password, whom it has let in, and how many tries went wrong since. `now` in seconds, for the pause."""

    password: str
    now: Callable[[], float] = time.monotonic
    _let_in: set[str] = field(default_factory=set)
    _wrong: int = 0
    _closed_until: float = 0.0

    @property
    def is_closed(self) -> bool:
        """Whether too many tries went wrong a moment ago."""
        return self.now() < self._closed_until

    def try_password(self, text: str) -> str:
        """A token to come back with, or nothing. After five wrong tries nobody is let in for a minute."""
        if self.is_closed:
            return ""
        if not hmac.compare_digest(text.strip().encode(), self.password.encode()):
            self._wrong += 1
            if self._wrong % _TRIES == 0:
                self._closed_until = self.now() + _CLOSED_S
            return ""
        self._wrong = 0
        token = secrets.token_urlsafe(32)
        self._let_in.add(token)
        return token

    def is_known(self, token: str) -> bool:
        """Whether this token was given out since the page was opened."""
        return token in self._let_in


def stopped_at(door: Door, scope: Scope) -> Response | None:
    """What to answer instead, where a request comes from the network without having signed in."""
    request = Request(scope)
    path = request.url.path
    if is_own_machine(scope) or path.startswith(_OPEN_TO_ALL) or door.is_known(request.cookies.get(COOKIE, "")):
        return None
    if request.method in ("GET", "HEAD") and "hx-request" not in request.headers:
        to = f"{path}?{request.url.query}" if request.url.query else path
        return RedirectResponse(f"{SIGN_IN}?to={quote(to, safe='')}", status_code=303)
    return PlainTextResponse("Sign in first: load the page again.", status_code=401)


def is_own_machine(scope: Scope) -> bool:
    """Whether a request comes from this machine, over loopback."""
    host, _ = scope.get("client") or ("", 0)
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def place_within(to: str) -> str:
    """Where to go on after signing in: a path of this page, never another site.

    >>> place_within("/bags/a"), place_within("//bags.example/"), place_within("https://bags.example"), place_within("")
    ('/bags/a', '/', '/', '/')
    """
    is_path = to.startswith("/") and not to.startswith(("//", "/\\")) and to.isprintable()
    return to if is_path else "/"
