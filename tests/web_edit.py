"""The demo station at a yard's desk, and its form as a browser would send it."""

import re
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from steadycone.records.station_files import file_paper, file_station
from tests.web_desk import NOW, Office, token_of

EXAMPLES = Path(__file__).parents[1] / "examples"
NAME = "Slip 2, frame bench"
TEXT = (EXAMPLES / "slip-2.toml").read_text(encoding="utf-8")
POLICY = "policies/harbour-yard.toml"
CHART = next(line.split('"')[1] for line in TEXT.splitlines() if line.startswith("chart ="))
EDIT = "/stations/slip-2-frame-bench/edit"


def filed(office: Office, text: str = TEXT) -> None:
    """The demo station with its policy and its chart."""
    for name, what in ((POLICY, "policy"), (CHART, "chart")):
        file_paper(office.site, "L. Marsh", NOW, name, what, (EXAMPLES / name).read_bytes())  # type: ignore[arg-type]
    file_station(office.site, "L. Marsh", NOW, "slip-2.toml", text)


class _Fields(HTMLParser):
    """The fields of the page's form, as a browser sends them without a button."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, str] = {}
        self._select, self._area = "", ""
        self._options: list[tuple[str, bool]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "input" and told.get("name"):
            self.found[told["name"]] = told.get("value", "")
        elif tag == "select":
            self._select, self._options = told["name"], []
        elif tag == "option" and self._select:
            self._options.append((told["value"], "selected" in told))
        elif tag == "textarea":
            self._area = told["name"]
            self.found[self._area] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            chosen = [value for value, selected in self._options if selected] or [value for value, _ in self._options[:1]]
            self.found[self._select] = chosen[0]
            self._select = ""
        elif tag == "textarea":
            self.found[self._area] = self.found[self._area].removeprefix("\n")
            self._area = ""

    def handle_data(self, data: str) -> None:
        if self._area:
            self.found[self._area] += data


def fields(page: str) -> dict[str, str]:
    """Every field of a page, each line end as a browser sends it."""
    reader = _Fields()
    reader.feed(page)
    return {name: value.replace("\r\n", "\n").replace("\n", "\r\n") for name, value in reader.found.items()}


def press(client: Any, page: str, to: str, op: str, **boxes: str) -> Any:
    """Press a button of a form that was filled in; boxes by path, with __ for the points."""
    typed = {name.replace("__", "."): value for name, value in boxes.items()}
    form = fields(page)
    assert set(typed) <= set(form), set(typed) - set(form)
    return client.post(to, data=form | typed | {"op": op})


def live(client: Any, page: str, **boxes: str) -> Any:
    """What the page's script asks."""
    form = fields(page)
    values = {name: value for name, value in form.items() if "." in name} | {
        name.replace("__", "."): value for name, value in boxes.items()
    }
    told = {"text": form["text"].replace("\r\n", "\n"), "values": values, "all": True}
    return client.post("/stations/live.json", json=told, headers={"x-form-token": token_of(page)})


def shown(page: str) -> str:
    """A page's words, without its markup."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page)).split())
