"""The stations that are put to the judge: the random yard's, with other units, houses, dates and gear laid over them.

A number is a station: the same for everybody, on every machine.
"""

import random
import re
import tomllib
from dataclasses import dataclass
from datetime import date, timedelta

from tests.random_stations import CHARTS, ON, station_text

POLICIES = ('acetylene_cap = "{cap} bar"', 'loss = "{loss} %"')


@dataclass(frozen=True)
class Put:
    """What both judges are given."""

    seed: int
    station: str
    chart_name: str
    chart: str
    policy: str | None
    on: date


def put(seed: int) -> Put:
    rng = random.Random(f"judge {seed}")
    text = station_text(seed)
    if rng.random() < 0.25:
        text = _in_pounds(text)
    if rng.random() < 0.15:
        text = _wrong_gear(rng, text)
    policy = None
    if rng.random() < 0.2:
        choice = rng.choice(POLICIES).format(cap=rng.choice(("0.5", "0.8", "1.0")), loss=rng.choice((8, 12, 20)))
        policy = f'format = "steadycone-policy/1"\n{choice}\n'
        text = text.replace("[station]\n", '[station]\npolicy = "site.toml"\n', 1)
    if rng.random() < 0.15:  # a good bench, so that not everything stops
        text = _good(text)
    if rng.random() < 0.1:
        text = _spoilt_dates(rng, text)
    if rng.random() < 0.2:
        text = _near_ratings(rng, text)
    chart_name = tomllib.loads(text)["tip"]["chart"]
    return Put(seed, text, chart_name, (CHARTS / chart_name).read_text(), policy, ON + timedelta(days=rng.choice((0, 0, 0, 17, 40, 400))))


def _in_pounds(text: str) -> str:
    """Some of a file's values in the units of another yard."""
    text = re.sub(
        r'(outlet_rating|inlet_rating|max_pressure) = "([0-9.]+) bar"', lambda m: f'{m[1]} = "{float(m[2]) * 14.5037738:.1f} psi"', text
    )
    text = re.sub(r'(length) = "([0-9.]+) m"\nmax', lambda m: f'{m[1]} = "{float(m[2]) / 0.3048:.1f} ft"\nmax', text)
    text = re.sub(r'bore = "6.3 mm"', 'bore = "1/4 in"', text)
    return re.sub(r'ambient = "(-?[0-9]+) °C"', lambda m: f'ambient = "{int(m[1]) * 9 / 5 + 32:.1f} °F"', text)


def _wrong_gear(rng: random.Random, text: str) -> str:
    """One thing that is not as it should be."""
    change = rng.choice((
        ('gas = "oxygen"', 'gas = "acetylene"'), ('grade = "oxygen"', 'grade = "acetylene"'), ('grade = "acetylene"', 'grade = "propane"'),
        ('material = "low-carbon steel"', 'material = "stainless steel"'), ('kind = "check valve"', 'kind = "valve"'),
        ('made = "2022', 'made = "2021'), ('tested = "2026', 'tested = "2025'),
    ))  # fmt: skip
    return text.replace(*change, rng.choice((1, 2)))


def _spoilt_dates(rng: random.Random, text: str) -> str:
    """Dates that are missing, or lie ahead of the day."""
    lines = text.splitlines(keepends=True)
    dated = [i for i, line in enumerate(lines) if line.startswith(("made = ", "tested = "))]
    for i in rng.sample(dated, 2):
        lines[i] = rng.choice(("", re.sub(r'"[0-9-]+"', '"2028-03"', lines[i])))
    return "".join(lines)


def _near_ratings(rng: random.Random, text: str) -> str:
    """Ratings of parts and regulators moved about, so that settings fall on both sides of them."""

    def moved(found: re.Match[str]) -> str:
        return f'{found[1]} = "{float(found[2]) * rng.choice((0.15, 0.3, 0.5, 0.8)):.2f} {found[3]}"'

    return re.sub(r'(max_pressure|outlet_rating|inlet_rating|rated_flow) = "([0-9.]+) (bar|psi|m3/h)"', moved, text)


def _good(text: str) -> str:
    for line in ("shared_flow", "altitude", "atmosphere", "test_pressure_fuel", "enclosed", "volume"):
        text = re.sub(rf"(?m)^{line} = .*\n", "", text)
    text = re.sub(r'bore = "(4|5) mm"', 'bore = "8 mm"', text)
    text = re.sub(r'length = "(20|30|60) m"\nmax', 'length = "10 m"\nmax', text)
    text = re.sub(r'made = "[0-9]{4}', 'made = "2024', text)
    return re.sub(r'tested = "[0-9-]+"', 'tested = "2026-09"', text).replace("[place]\n", "")
