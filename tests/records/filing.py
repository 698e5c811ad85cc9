"""The demo station's files, filed at a yard, and small changes to them."""

from pathlib import Path
from typing import Any

from steadycone.records import Receipt
from steadycone.records.station_files import file_paper, file_station, read_station
from tests.records.conftest import Yard

EXAMPLES = Path(__file__).parents[2] / "examples"
NAME = "Slip 2, frame bench"
TEXT = (EXAMPLES / "slip-2.toml").read_text(encoding="utf-8")
POLICY = "policies/harbour-yard.toml"
CHART = next(line.split('"')[1] for line in TEXT.splitlines() if line.startswith("chart ="))


def file_papers(yard: Yard) -> None:
    for name, what in ((POLICY, "policy"), (CHART, "chart")):
        file_paper(yard.site, "A. Lindqvist", yard.clock.now, name, what, (EXAMPLES / name).read_bytes())  # type: ignore[arg-type]


def file_it(yard: Yard, text: str = TEXT, author: str = "M. Reyes", **more: Any) -> Receipt:
    return file_station(yard.site, author, yard.clock.now, "slip-2.toml", text, **more)


def filed(yard: Yard) -> None:
    """The demo station with its policy and chart."""
    file_papers(yard)
    file_it(yard)


def another(text: str = TEXT, pressure: str = "120 bar") -> str:
    """The same station with another pressure in its oxygen cylinder."""
    assert 'pressure = "140 bar"' in text
    return text.replace('pressure = "140 bar"', f'pressure = "{pressure}"', 1)


def papers_now(yard: Yard) -> dict[str, bytes]:
    return dict(read_station(yard.site, NAME).papers)
