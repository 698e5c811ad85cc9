"""Station, chart and policy as plain SI numbers, read by a reader of the judge's own.

Pressures are gauge pascals, gas flows mol/s, gas volumes mol, lengths m, temperatures K, times s, masses kg.
"""

import csv
import io
import math
import re
import tomllib
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from typing import Any

ATM = 101325.0
R = 8.314462618
NORMAL = 22.41397e-3  # m3/mol: the gas law at 0 °C and 1.01325 bar
FOOT = 0.3048
FT3 = FOOT**3 * 14.696 * 6894.757 / (R * 294.261)  # mol in a cubic foot at 70 °F and 14.696 psia
Table = dict[str, Any]

PRESSURE = {"bar": 1e5, "mbar": 100.0, "kPa": 1e3, "MPa": 1e6, "psi": 6894.757, "Pa": 1.0}
LENGTH = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": FOOT}
VOLUME = {"L": 1e-3, "m3": 1.0, "ft3": FOOT**3, "in3": 0.0254**3}
FLOW = {"m3/h": 1 / NORMAL / 3600, "L/min": 1e-3 / NORMAL / 60, "L/h": 1e-3 / NORMAL / 3600, "CFH": FT3 / 3600, "ft3/h": FT3 / 3600}
GAS = {"m3": 1 / NORMAL, "L": 1e-3 / NORMAL, "ft3": FT3}
MASS = {"kg": 1.0, "g": 1e-3, "lb": 0.45359237}
TIME = {"s": 1.0, "min": 60.0, "h": 3600.0, "days": 86400.0}
SPEED = {"mm/min": 1e-3 / 60, "in/min": 0.0254 / 60}
SHARE = {"%": 0.01, "": 1.0}


@lru_cache(maxsize=8192)
def number(text: str) -> float:
    """A number as people write it: 3.5, 3/8, 1 1/4."""
    total = 0.0
    for piece in text.split():
        top, _, bottom = piece.partition("/")
        total += float(top) / float(bottom or 1)
    return total


@lru_cache(maxsize=8192)
def split(text: str) -> tuple[str, str]:
    found = re.fullmatch(r"\s*(-?[0-9][0-9./ ]*?)\s*([^0-9\s./].*)?", text)
    assert found, text
    return found[1], (found[2] or "").strip()


def si(text: object, units: dict[str, float]) -> float:
    if isinstance(text, (int, float)):
        return float(text)
    figure, unit = split(str(text))
    return number(figure) * units[unit]


def kelvin(text: str) -> float:
    figure, unit = split(text)
    return number(figure) + 273.15 if unit == "°C" else (number(figure) + 459.67) / 1.8


def half_digit(text: str) -> float:
    """Half of one in the last digit that is written, in the unit written."""
    figure = split(text)[0]
    return 0.5 * 10 ** -len(figure.partition(".")[2]) if "/" not in figure else 0.0


@dataclass
class Band:
    value: float
    low: float
    high: float

    def scaled(self, by: float) -> "Band":
        return Band(self.value * by, self.low * by, self.high * by)


@dataclass
class Row:
    """One row of a chart; every figure with its rounding."""

    size: str
    thick_from: float | None = None
    thick_to: float | None = None
    pierce: float | None = None
    speed_from: float | None = None
    speed_to: float | None = None
    figures: dict[str, Band] = field(default_factory=dict)


@dataclass
class Chart:
    about: dict[str, str]
    rows: list[Row]


_COLUMNS = {
    "oxygen pressure": PRESSURE,
    "fuel pressure": PRESSURE,
    "cutting oxygen": FLOW,
    "preheat oxygen": FLOW,
    "fuel flow": FLOW,
}


def chart(text: str) -> Chart:
    """A maker's chart from CSV: single figures trusted to half their last digit and never worse than two per cent."""
    about, lines = {}, []
    for line in text.splitlines():
        if line.startswith("#"):
            name, _, said = line[1:].partition(":")
            about[name.strip()] = said.strip()
        elif line.strip():
            lines.append(line)
    rows = []
    for cells in csv.DictReader(io.StringIO("\n".join(lines))):
        row = Row(cells["size"])
        for head, cell in cells.items():
            name, _, unit = head.partition(" [")
            unit = unit.rstrip("]")
            if not cell or not unit:
                continue
            if name in _COLUMNS:
                value, off = number(cell), min(half_digit(cell), 0.02 * number(cell))
                row.figures[name] = Band(value, value - off, value + off).scaled(_COLUMNS[name][unit])
            elif name == "thickness from":
                row.thick_from = number(cell) * LENGTH[unit]
            elif name == "thickness to":
                row.thick_to = number(cell) * LENGTH[unit]
            elif name == "pierce limit":
                row.pierce = number(cell) * LENGTH[unit]
            elif name == "speed from":
                row.speed_from = number(cell) * SPEED[unit]
            elif name == "speed to":
                row.speed_to = number(cell) * SPEED[unit]
        rows.append(row)
    return Chart(about, rows)


@dataclass
class Case:
    """All that the judge is shown."""

    file: Table
    chart: Chart
    policy: Table
    on: date
    air: float  # Pa absolute
    temperature: float

    @property
    def region(self) -> str:
        return str(self.file["station"]["region"])

    @property
    def fuel(self) -> str:
        return str(self.file["station"]["fuel"])

    def gauge(self, text: str) -> float:
        """A pressure as written, in gauge pascals."""
        if text.endswith(" abs"):
            return si(text[:-4], PRESSURE) - self.air
        return si(text, PRESSURE)


def case(station: str, chart_text: str, policy: str | None, on: date) -> Case:
    file = tomllib.loads(station)
    about = file["station"]
    air = ATM
    if "altitude" in about:  # the standard atmosphere of aviation
        air = ATM * (1 - 0.0065 * si(about["altitude"], LENGTH) / 288.15) ** 5.25588
    if "atmosphere" in about:
        air = si(str(about["atmosphere"]).removesuffix(" abs"), PRESSURE)
    temperature = kelvin(about.get("ambient", "15 °C"))
    return Case(file, chart(chart_text), tomllib.loads(policy or ""), on, air, temperature)


def stamped(text: object) -> date:
    """The earliest day that a stamp of year and month, or of a full date, can mean."""
    parts = [int(piece) for piece in str(text).split("-")]
    return date(parts[0], parts[1] if len(parts) > 1 else 1, parts[2] if len(parts) > 2 else 1)


def round_step(most: float, unit: float) -> float:
    """The largest of 1, 2, 5 times a power of ten, in the unit, that is not over `most`."""
    figure = most / unit * (1 + 1e-9)
    tens = 10.0 ** math.floor(math.log10(figure))
    return unit * tens * max(step for step in (1, 2, 5) if step * tens <= figure)
