"""Serving the page on this machine only."""

from __future__ import annotations

import socket
import sys
import webbrowser
from pathlib import Path

import uvicorn

from bagwright.web.app import build_app
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk

LOOPBACK = "127.0.0.1"


def serve(home: Path, *, port: int, opens_browser: bool, is_demo: bool) -> None:
    """Serve the store in `home` until interrupted; `port` 0 takes any that is free. Prints the address first.

    The demo keeps to a folder of its own inside `home`, so that invented things never mix with hers.
    """
    desk = Desk(home / "demo" if is_demo else home, is_demo=is_demo)
    if is_demo:
        fill_demo(desk)
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as listener:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((LOOPBACK, port))
        listener.listen()  # whoever follows the address before the server runs is kept waiting, not turned away
        address = f"http://{LOOPBACK}:{listener.getsockname()[1]}/"
        sys.stdout.write(f"bagwright is at {address}\n")
        sys.stdout.flush()
        if opens_browser:
            webbrowser.open(address)
        config = uvicorn.Config(build_app(desk), log_level="warning", lifespan="off", timeout_graceful_shutdown=2)
        uvicorn.Server(config).run(sockets=[listener])
