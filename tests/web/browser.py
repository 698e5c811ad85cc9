"""The server on a free port, and Debian's Chromium before it: what only a real browser shows."""

import atexit
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from steadycone.web.serve import server
from tests.web_desk import PASSWORD, Office

PHONE = {"width": 390, "height": 844}
_ARGS = ["--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
_INSTALL = "No Chromium is here. Install it: sudo apt-get install chromium"


@cache
def the_browser() -> Browser:
    """One for all tests: starting it takes longer than most of them. Fails where there is none: a test quietly left out proves nothing."""
    path = shutil.which("chromium") or shutil.which("google-chrome")
    if path is None:
        pytest.fail(_INSTALL)
    play = sync_playwright().start()
    found = play.chromium.launch(executable_path=path, chromium_sandbox=False, args=_ARGS)
    atexit.register(play.stop)
    atexit.register(found.close)
    return found


def sign_in(page: Page, person: str) -> None:
    page.goto("/sign-in")
    page.fill("#name", person)
    page.fill("#password", PASSWORD)
    page.click("main button.act")
    page.wait_for_url(lambda url: "/sign-in" not in url)


def free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        port: int = asked.getsockname()[1]
        return port


@contextmanager
def running(found: Office) -> Iterator[None]:
    """The office's pages behind the port of its settings."""
    it = server(found.yard)
    thread = threading.Thread(target=it.run, daemon=True)
    thread.start()
    until = time.monotonic() + 10
    while not it.started:
        assert time.monotonic() < until, "the server did not start"
        time.sleep(0.02)
    try:
        yield
    finally:
        it.should_exit = True
        thread.join(timeout=10)
