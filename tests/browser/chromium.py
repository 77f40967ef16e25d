"""The Chromium that the browser tests drive: one that is here, else one installed now.

Run as a script it finds or installs one, starts it once and says which it is; `make test` does so first.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Browser, Error, Playwright, sync_playwright

COMMANDS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MACOS_APPLICATIONS = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)
# A browser of its own accord asks its maker's servers for updates and the like; tests want none of that.
QUIET = (
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-domain-reliability",
    "--disable-sync",
    "--no-first-run",
    "--no-pings",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1 , EXCLUDE localhost",
)
WHAT_TO_DO = (
    "The browser tests need a Chromium and none could be found or installed. Install one so that `chromium` or "
    "`google-chrome` is on PATH (Debian: apt-get install chromium), or run "
    "`.venv/bin/python -m playwright install --with-deps chromium`, then try again."
)


class NoChromiumError(RuntimeError):
    """No Chromium starts on this machine and none could be installed."""


def is_root() -> bool:
    """Whether we are root, for whom Chromium starts without its sandbox only."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


def candidates(playwright: Playwright) -> Iterator[str]:
    """Paths where a Chromium may be, the machine's own first."""
    for command in COMMANDS:
        if path := shutil.which(command):
            yield path
    yield from MACOS_APPLICATIONS
    yield playwright.chromium.executable_path


def launch(playwright: Playwright) -> Browser:
    """Start the first Chromium that really starts.

    Raises `NoChromiumError` with what each one that is present said.
    """
    refusals = []
    for path in candidates(playwright):
        if not Path(path).exists():
            continue
        try:
            return playwright.chromium.launch(
                executable_path=path, args=[*QUIET, *(["--no-sandbox"] if is_root() else [])]
            )
        except Error as error:
            refusals.append(f"{path} does not start: {error.message.splitlines()[0]}")
    raise NoChromiumError("\n".join([*refusals, WHAT_TO_DO]))


def install_commands() -> Iterator[list[str]]:
    """Ways to install a Chromium here, best first; each is a command that must exit 0."""
    # Ubuntu's package only points to a snap, which needs a running snap service; Debian's is the browser itself.
    if is_root() and shutil.which("apt-get") and "ID=debian" in _os_release():
        yield ["apt-get", "update", "-qq"]
        yield ["apt-get", "install", "-y", "-qq", "--no-install-recommends", "chromium"]
    with_dependencies = ["--with-deps"] if is_root() and shutil.which("apt-get") else []
    yield [sys.executable, "-m", "playwright", "install", *with_dependencies, "chromium"]


def install(playwright: Playwright) -> Browser:
    """Install a Chromium, one way after the other, and start the first that comes of it.

    Raises `NoChromiumError` if none does.
    """
    for command in install_commands():
        print("No Chromium starts here; installing one:", " ".join(command), flush=True)
        subprocess.run(command, check=False, env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"})
        try:
            return launch(playwright)
        except NoChromiumError:
            continue
    return launch(playwright)


def _os_release() -> list[str]:
    path = Path("/etc/os-release")
    return path.read_text(encoding="utf-8").splitlines() if path.exists() else []


def main() -> int:
    """Find or install a Chromium, start it, say which; 1 if there is none."""
    with sync_playwright() as playwright:
        try:
            try:
                browser = launch(playwright)
            except NoChromiumError:
                browser = install(playwright)
        except NoChromiumError as error:
            print(error, file=sys.stderr)
            return 1
        print("Browser tests use Chromium", browser.version)
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
