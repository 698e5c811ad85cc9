"""A walk over the pages as a browser without script sees them: links followed, forms gathered."""

import re
from collections import deque
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urldefrag, urljoin, urlsplit

from steadycone.web.app import TABLE


@dataclass
class Form:
    page: str
    action: str
    method: str
    fields: dict[str, str] = field(default_factory=dict)  # name: value it comes with
    choices: dict[str, list[str]] = field(default_factory=dict)
    files: set[str] = field(default_factory=set)

    @property
    def shape(self) -> tuple[str, ...]:
        """Forms of one shape are one form, whichever station or item they are about."""
        return (urlsplit(self.action).path.rpartition("/")[2], self.method, *sorted(self.fields))


class _Reader(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.page = page
        self.links: list[str] = []
        self.forms: list[Form] = []
        self._form: Form | None = None
        self._select = ""
        self._area = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        if tag == "a" and has.get("href"):
            self.links.append(has["href"])
        if tag == "form":
            self._form = Form(self.page, urljoin(self.page, has.get("action", "") or self.page), has.get("method", "get").lower())
            self.forms.append(self._form)
        if self._form is None or not has.get("name"):
            if tag == "option" and self._form is not None and self._select:
                self._form.choices[self._select].append(has.get("value", ""))
            return
        name = has["name"]
        if tag == "input" and has.get("type") == "file":
            self._form.files.add(name)
        elif tag in ("input", "button"):
            self._form.fields.setdefault(name, has.get("value", ""))
            if has.get("type") in ("radio", "submit") or tag == "button":
                self._form.choices.setdefault(name, []).append(has.get("value", ""))
        elif tag == "select":
            self._select = name
            self._form.fields.setdefault(name, "")
            self._form.choices[name] = []
        elif tag == "textarea":
            self._area = name
            self._form.fields[name] = ""

    def handle_data(self, data: str) -> None:
        if self._form is not None and self._area:
            self._form.fields[self._area] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        if tag == "select":
            self._select = ""
        if tag == "textarea":
            self._area = ""


def read(page: str, html: str) -> tuple[list[str], list[Form]]:
    """Links and forms of one page."""
    reader = _Reader(page)
    reader.feed(html)
    return reader.links, reader.forms


def crawl(client: Any, start: str = "/", most: int = 300) -> tuple[dict[str, Any], dict[tuple[str, ...], Form]]:
    """Every page that links lead to, at most a few of one kind; and one form of each shape.

    Returns  address to answer, shape to form.
    """
    seen: dict[str, Any] = {}
    forms: dict[tuple[str, ...], Form] = {}
    kinds: dict[str, int] = {}
    waiting = deque([start])
    while waiting and len(seen) < most:
        address = waiting.popleft()
        if address in seen:
            continue
        found = client.get(address)
        seen[address] = found
        if found.status_code in (302, 303, 307):
            waiting.append(_own(address, found.headers["location"]) or "/")
            continue
        if not found.headers.get("content-type", "").startswith("text/html"):
            continue
        links, more = read(address, found.text)
        for form in more:
            forms.setdefault(form.shape, form)
        for link in links:
            target = _own(address, link)
            if target is None or target in seen:
                continue
            of = kind(target)
            kinds[of] = kinds.get(of, 0) + 1
            if kinds[of] <= 4:
                waiting.append(target)
    return seen, forms


def _own(page: str, link: str) -> str | None:
    """The address on this host; None for anything else."""
    target = urldefrag(urljoin(page, link))[0]
    parts = urlsplit(target)
    if parts.scheme or parts.netloc or not parts.path.startswith("/"):
        return None
    return target


@cache
def _routes() -> tuple[tuple[re.Pattern[str], str], ...]:
    found = []
    for page in TABLE:
        if page.method == "GET":
            parts = re.split(r"\{(\w+)(:path)?\}", page.path)
            pattern = "".join(
                re.escape(piece) if place % 3 == 0 else "" if place % 3 == 1 else (".+" if piece else "[^/]+")
                for place, piece in enumerate(parts)
            )
            found.append((re.compile(pattern), page.path))
    return tuple(found)


def kind(address: str) -> str:
    """The route that answers an address; sums, what-ifs and drills have forms of their own, so each is a kind."""
    path = urlsplit(address).path
    route = next((route for pattern, route in _routes() if pattern.fullmatch(path)), path)
    return path if route in ("/sums/{name}", "/whatif/{name}", "/drills/{name}") else route
