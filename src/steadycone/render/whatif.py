"""A what-if as data and as text, in the region's words and units. The drawing is in whatif_svg.py, the page in whatif_page.py."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.data import reader
from steadycone.quantity import Quantity, exact
from steadycone.render.text import WIDTH, wrapped
from steadycone.render.view_panels import gas_word
from steadycone.render.whatif_series import series_blocks
from steadycone.render.words import Words, capital
from steadycone.whatif.frame import Outcome, Prevention

FORMAT = "steadycone-whatif/1"
_DIGITS = 7  # significant, as on the card
_MARKS = {"fitted": "[ok]", "missing": "[ ! ]", "always": "[do]"}


class Told:
    """One outcome's texts, their blanks filled: numbers, {fuel}, and the region's words."""

    def __init__(self, outcome: Outcome, figures: Figures) -> None:
        self.outcome, self.figures = outcome, figures
        self.words = Words.of(figures.setup.station.station.region)
        self.table: Mapping[str, Any] = reader.toml(f"whatif/{outcome.name}.toml")
        self.blanks: dict[str, Quantity | str] = {
            "fuel": gas_word(figures, "fuel", self.words), "station": figures.setup.station.station.name,
            **outcome.numbers, **outcome.words, **outcome.blanks,
        }  # fmt: skip
        self.gases = {figures.fuel.name, figures.setup.station.station.fuel}

    def fill(self, text: str, blanks: Mapping[str, Quantity | str] | None = None) -> str:
        """A text with its blanks filled; a fuel's name is the region's word, and a time is told in the unit a person would use."""
        given = {**self.blanks, **(blanks or {})}
        return capital(self.words.fill(text, {key: self._blank(key, value) for key, value in given.items()}))

    def _blank(self, key: str, value: Quantity | str) -> Quantity | str:
        if isinstance(value, str):
            return str(self.blanks["fuel"]) if value in self.gases and key != "station" else value
        return self.show(value) if value.kind == "seconds" else value

    def show(self, value: Quantity) -> str:
        """A number with its unit: seconds below ten with a decimal, from five minutes on as minutes and hours."""
        if value.kind != "seconds" or value.value is None:
            return self.words.numbers.show(value)
        if value.value >= 300.0:
            return " ".join(self.words.numbers.duration(value.value))
        whole = value.value >= 9.95 or abs(value.value - round(value.value)) < 0.005
        return f"{self.words.numbers.text(value.value, 0 if whole else 1)}\u00a0s"

    def text(self, group: str, key: str) -> str:
        """A text of the what-if's own table, else of the common one. Raises KeyError: a fault of the tables."""
        own = self.table.get(group, {}).get(key)
        return self.fill(own if own is not None else _common()[group][key])

    @property
    def title(self) -> str:
        return self.fill(self.table["title"])

    @property
    def about(self) -> str:
        return self.fill(self.table["about"])

    @property
    def state(self) -> str:
        return self.text("state", self.outcome.state)

    @property
    def reason(self) -> str:
        return self.text("reason", self.outcome.reason)

    def prevention(self, prevention: Prevention) -> str:
        subject = self.words.subject(prevention.subject)
        table = self.table.get("prevented_by", {}).get(prevention.key) or _common()["prevented_by"][prevention.key]
        return self.fill(table[prevention.standing], {"subject": subject, **prevention.blanks})

    def doubts(self) -> list[str]:
        return [self.text("not_trusted", key) for key in self.outcome.not_trusted]

    def label(self, key: str) -> str:
        return self.text("numbers", key)

    def number(self, quantity: Quantity) -> str:
        """Value with its band; a high end of None is "or never", of a leak "at least"."""
        value = self.show(quantity)
        if quantity.value is None or quantity.low is None:
            return value
        least = exact(quantity.low, quantity.kind)
        low = self.show(least)
        if quantity.high is None and quantity.kind == "leak":
            return f"at least {self.words.numbers.show(least, 'down')}"
        if quantity.high is None:
            return f"{value} ({low} or more, or never)"
        high = self.show(exact(quantity.high, quantity.kind))
        return value if low == high else f"{value} ({low} to {high})"

    def rows(self) -> list[tuple[str, str]]:
        """Label and value of every number and word, in the order of the outcome."""
        found = [(self.label(key), self.number(quantity)) for key, quantity in self.outcome.numbers.items()]
        return [*((self.label(key), self.text("words", word)) for key, word in self.outcome.words.items()), *found]

    @property
    def band(self) -> str:
        key = self.outcome.band
        return "" if key == "none" else self.fill(_common()["band"][key], {"runs": str(self.outcome.runs)})


@cache
def _common() -> dict[str, Any]:
    return reader.toml("whatif.toml")


def whatif_dict(outcome: Outcome, figures: Figures, settings: Mapping[str, str]) -> dict[str, Any]:
    """A what-if as JSON has it: the promised keys beside name, state, reason and sources.

    A key that cannot apply is left out; None is applicable but unknown.
    """
    told = Told(outcome, figures)
    about = figures.setup.station.station
    return {
        "format": FORMAT,
        "name": outcome.name,
        "station": {"name": about.name, "region": about.region, "fuel": about.fuel},
        "on": figures.on.isoformat(),
        "settings": dict(settings),
        "state": outcome.state,
        "says": told.state,
        **{key: number_out(quantity) for key, quantity in outcome.numbers.items()},
        **outcome.words,
        **{
            key: [{name: q if isinstance(q, str) else number_out(q) for name, q in point.items()} for point in points]
            for key, points in outcome.series.items()
        },
        "band": {"from": outcome.band, "runs": outcome.runs},
        "reason": told.reason,
        "prevented_by": [
            {"key": p.key, "standing": p.standing, "subject": p.subject, "says": told.prevention(p)} for p in outcome.prevented_by
        ],
        "not_trusted": told.doubts(),
        "advice": told.fill(_common()["advice"]),
        "sources": {key: reader.sources()[key] for key in outcome.sources},
    }


def number_out(quantity: Quantity) -> dict[str, float | str | None] | None:
    """A quantity as on the card; None where it is not known."""
    if quantity.value is None:
        return None
    return {key: _rounded(x) if isinstance(x, float) else x for key, x in quantity.out().items()}


def _rounded(x: float) -> float:
    return float(f"{x:.{_DIGITS}g}") + 0.0  # + 0.0 turns -0.0 into 0.0


def whatif_text(outcome: Outcome, figures: Figures) -> str:
    """The whole answer for a terminal."""
    told, bar = Told(outcome, figures), "=" * WIDTH
    blocks = [
        [told.title, *wrapped(told.about), bar, *wrapped(told.state), bar],
        ["NUMBERS", *(line for label, value in told.rows() for line in wrapped(value, f"  {label:<38}  ")), *wrapped(told.band, "  ")],
        ["WHY", *wrapped(told.reason, "  ")],
    ]
    blocks += series_blocks(told)
    if outcome.prevented_by:
        lines = [line for p in outcome.prevented_by for line in wrapped(told.prevention(p), f"{_MARKS[p.standing]:<6}")]
        blocks.append(["WHAT PREVENTS IT HERE", *lines])
    blocks.append(["DO NOT TRUST THIS", *(line for doubt in told.doubts() for line in wrapped(doubt, "  - "))])
    blocks.append([*wrapped(told.fill(_common()["advice"])), *_sources(outcome)])
    return "\n\n".join("\n".join(line.replace("\u00a0", " ") for line in block if line) for block in blocks) + "\n"


def _sources(outcome: Outcome) -> list[str]:
    known = reader.sources()
    return [line for key in outcome.sources for line in wrapped(f"{known[key]['title']} ({known[key]['kind']})", "  ")]
