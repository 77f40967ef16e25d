"""Serving the page: on this machine only, or to a network behind a password."""

from __future__ import annotations

import socket
import sys
import webbrowser
from itertools import chain
from pathlib import Path

import uvicorn

from bagwright.web.app import build_app
from bagwright.web.door import Door
from bagwright.web.quiet import Quiet
from bagwright.web.templates_at import templates_ready
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk
from bagwright.workflows.getting_ready import ready_steps

LOOPBACK = "127.0.0.1"
_EVERYWHERE = "0.0.0.0"
_SOME_NETWORK = ("192.0.2.1", 9)
"""An address that belongs to nobody (RFC 5737); nothing is sent to it."""


def serve(home: Path, *, port: int, opens_browser: bool, is_demo: bool, password: str = "") -> None:
    """Serve the store in `home` until interrupted; `port` 0 takes any that is free. Prints the address first.

    With a `password` the network that this machine is in can reach it too, and has to know it.
    The demo keeps to a folder of its own inside `home`, so that invented things never mix with hers.
    """
    desk = Desk(home / "demo" if is_demo else home, is_demo=is_demo)
    if is_demo:
        fill_demo(desk)
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as listener:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((_EVERYWHERE if password else LOOPBACK, port))
        listener.listen()  # whoever follows the address before the server runs is kept waiting, not turned away
        address = f"http://{LOOPBACK}:{listener.getsockname()[1]}/"
        sys.stdout.write(f"bagwright is at {address}\n")
        if password:
            sys.stdout.write(_to_the_network(listener.getsockname()[1], password))
        sys.stdout.flush()
        if opens_browser:
            webbrowser.open(address)
        quiet = build_quiet(desk, door=Door(password) if password else None)
        quiet.tidy()
        config = uvicorn.Config(quiet, log_level="warning", lifespan="off", timeout_graceful_shutdown=2)
        with quiet.used():
            uvicorn.Server(config).run(sockets=[listener])


def build_quiet(desk: Desk, *, door: Door | None = None) -> Quiet:
    """The whole application over one desk, getting ready while nobody waits; with a `door` for those in a network."""
    app = build_app(desk, door=door)
    return Quiet(
        app, steps=lambda: chain(templates_ready(), ready_steps(desk)), is_busy=app.state.searches.are_under_way
    )


def _to_the_network(port: int, password: str) -> str:
    """What to type on the phone, and what to mind."""
    return (
        f"On a phone in the same network: http://{_own_number()}:{port}/\n"
        f"Password: {password}\n"
        "Whoever knows the password can see and change everything here, and the way is not encrypted: "
        "open it in a network that you trust, and stop it when you are done.\n"
    )


def _own_number() -> str:
    """This machine's number in its network. Finding the way to an address sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect(_SOME_NETWORK)
        except OSError:
            return socket.gethostname()
        number: str = way.getsockname()[0]
        return number
