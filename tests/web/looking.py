"""A browser's context that remembers what went wrong in it, for tests that look at many pages."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import BrowserContext, Page

from tests.web.browser import PHONE, the_browser

DESK = {"width": 1280, "height": 800}


class Watched:
    """Errors on the console, and requests to anywhere else."""

    def __init__(self, context: BrowserContext, base: str) -> None:
        self.context, self.base = context, base
        self.errors: list[str] = []
        self.foreign: list[str] = []
        context.on("request", self._request)
        context.on("console", self._console)
        context.on("weberror", lambda error: self.errors.append(str(error.error)))

    def _request(self, request: Any) -> None:
        if not request.url.startswith((self.base, "data:", "blob:", "about:")):
            self.foreign.append(request.url)

    def _console(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.errors.append(f"{message.text} at {message.location.get('url')}")

    def page(self) -> Page:
        return self.context.new_page()

    def check(self) -> None:
        """Nothing was complained of, and nothing left the host."""
        assert self.errors == []
        assert self.foreign == []


@contextmanager
def watched(base: str, *, phone: bool = False, dark: bool = False, **more: Any) -> Iterator[Watched]:
    context = the_browser().new_context(
        viewport=PHONE if phone else DESK, has_touch=phone, color_scheme="dark" if dark else "light", base_url=base, **more
    )  # type: ignore[arg-type]
    try:
        yield Watched(context, base)
    finally:
        context.close()
