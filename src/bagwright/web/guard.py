"""Who may speak to the page: this machine's own browser, from the page's own address, and whom the door lets in."""

from __future__ import annotations

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bagwright.web.door import Door, is_own_machine, stopped_at

LOOPBACK_HOSTS = frozenset({"127.0.0.1", "localhost", "[::1]"})
LARGEST_FORM_BYTES = 200_000
LARGEST_UPLOAD_BYTES = {
    "/swatch": 20_000_000,
    "/csv": 5_000_000,
    "/drawing": 5_100_000,
    "/bags/file": 5_100_000,
    "/photo": 30_200_000,
    "/everything": 201_000_000,
}
"""By how the address ends: where files are taken."""
STRICT_HEADERS = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
        "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "cache-control": "no-store",
}
# Browsers heed it only where the address counts as safe: over loopback, not over an unencrypted network.
_LOOPBACK_ONLY = frozenset({"cross-origin-opener-policy"})


class Guard:
    """Refuses foreign hosts and foreign origins, bounds uploads, and sets strict headers on every answer.

    With a `door` it also answers to the address of this machine in the network, once the door has let somebody in.
    """

    def __init__(self, app: ASGIApp, door: Door | None = None) -> None:
        self.app, self.door = app, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refusal = refusal_of(scope["method"], Headers(scope=scope), scope["path"], hosts=self._hosts(scope))

        is_own = self.door is None or is_own_machine(scope)

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in STRICT_HEADERS.items():
                    if is_own or name not in _LOOPBACK_ONLY:
                        headers.setdefault(name, value)
            await send(message)

        answer: ASGIApp = self.app
        if refusal:
            answer = PlainTextResponse(refusal[1], status_code=refusal[0])
        elif self.door:
            answer = stopped_at(self.door, scope) or self.app
        await answer(scope, counted(receive, _most_bytes(scope["path"])), send_with_headers)

    def _hosts(self, scope: Scope) -> frozenset[str]:
        """The names it answers to. In a network: the number at which this request came in, so that no name that
        somebody points at this machine will do."""
        server = scope.get("server") if self.door else None
        return LOOPBACK_HOSTS | {server[0]} if server else LOOPBACK_HOSTS


def counted(receive: Receive, most: int) -> Receive:
    """What is received, as long as it is no more than the request was let in with."""
    taken = 0

    async def receive_counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            raise HTTPException(413, _too_large(most))
        return message

    return receive_counted


def _most_bytes(path: str) -> int:
    return next((size for end, size in LARGEST_UPLOAD_BYTES.items() if path.endswith(end)), LARGEST_FORM_BYTES)


def _too_large(most: int) -> str:
    return f"This is larger than this page takes, {most / 1e6:g} MB."


def refusal_of(
    method: str, headers: Headers, path: str = "/", *, hosts: frozenset[str] = LOOPBACK_HOSTS
) -> tuple[int, str] | None:
    """Status and words if the request is to be refused."""
    most = _most_bytes(path)
    host = headers.get("host", "")
    if _without_port(host) not in hosts:
        return 421, "This page answers only to 127.0.0.1 and localhost, and to a number in a network it is opened to."
    if method in ("GET", "HEAD"):
        return None
    origin = headers.get("origin")
    if origin is not None and origin != f"http://{host}":
        return 403, "This request came from another site."
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return 403, "This request came from another site."
    length = headers.get("content-length", "")
    if not length.isdecimal() or int(length) > most:
        return 413, _too_large(most)
    return None


def _without_port(host: str) -> str:
    name, colon, port = host.rpartition(":")
    return name if colon and port.isdecimal() else host
