"""Which row of the chart does the job, for how long, and what the torch passes at the chart's pressures in this air."""

import math
from dataclasses import dataclass

from tests.judge.court import Court
from tests.judge.march import carried
from tests.judge.reading import ATM, LENGTH, TIME, Band, Case, Row, si


@dataclass
class Work:
    """A row with what it is worked with: gauge pressures, flows in mol/s, time in seconds."""

    row: Row
    time: Band | None
    oxygen: Band  # pressures at the torch
    fuel: Band
    cutting: Band
    preheat: Band
    fuel_flow: Band
    exact: bool = True  # flows straight from the chart

    def flow(self, line: str) -> Band:
        if line == "fuel":
            return self.fuel_flow
        return Band(*(a + b for a, b in zip(_ends(self.cutting), _ends(self.preheat), strict=True)))


def _ends(band: Band) -> tuple[float, float, float]:
    return band.value, band.low, band.high


def work(case: Case, court: Court) -> Work | None:
    row = _row(case, court)
    if row is None:
        return None
    figures = row.figures
    none = Band(0.0, 0.0, 0.0)
    return Work(
        row,
        _time(case, row),
        figures["oxygen pressure"],
        figures["fuel pressure"],
        figures.get("cutting oxygen", none),
        figures.get("preheat oxygen", none),
        figures["fuel flow"],
        abs(case.air - ATM) < 1,
    )


def _row(case: Case, court: Court) -> Row | None:
    job, rows = case.file["job"], case.chart.rows
    size = case.file["tip"].get("size")
    named = [row for row in rows if row.size == size]
    if "thickness" not in job or rows[0].thick_from is None:
        if not named:
            court.say("tip-outside-chart", "tip", "stop")
        return named[0] if named else None
    thick = si(job["thickness"], LENGTH)
    covering = [row for row in (named or rows) if row.thick_from - 1e-9 <= thick <= row.thick_to + 1e-9]
    court.say("tip-outside-chart", "tip", "go" if covering else "stop")
    if not covering:
        return named[0] if named else None
    row = covering[-1]  # where two sizes share an end, the larger
    if job["kind"] == "cut" and job.get("start") == "pierce":
        return _piercing(case, court, row, thick, bool(named))
    return row


def _piercing(case: Case, court: Court, row: Row, thick: float, fixed: bool) -> Row:
    """To pierce, one size up; the largest there is does with a caution, and no size pierces over its own limit."""
    rows = case.chart.rows
    larger = rows.index(row) + 1 < len(rows)
    if larger and not fixed:
        row = rows[rows.index(row) + 1]
    over = row.pierce is not None and thick > row.pierce + 1e-9
    alone = not larger and not fixed
    court.say("pierce-limit", "tip", "stop" if over else "caution" if alone else "go")
    return row


def _time(case: Case, row: Row) -> Band | None:
    job = case.file["job"]
    if "time" in job:
        minutes = si(job["time"], TIME)
        return Band(minutes, minutes, minutes)
    if "length" not in job or row.speed_from is None:
        return None
    length, slow, fast = si(job["length"], LENGTH), row.speed_from, row.speed_to
    thick = min(max(si(job["thickness"], LENGTH), row.thick_from), row.thick_to)
    along = (thick - row.thick_from) / (row.thick_to - row.thick_from)
    straight = fast + (slow - fast) * along
    power = fast * (slow / fast) ** (math.log(thick / row.thick_from) / math.log(row.thick_to / row.thick_from))
    ends = sorted((straight, power))
    middle, low, high = sum(ends) / 2, max(slow, ends[0] * 0.95), min(fast, ends[1] * 1.05)
    return Band(length / middle, length / high, length / low)


def mass(case: Case, line: str, amount: float) -> float:
    """kg/s of a flow in mol/s."""
    return amount * carried(case, line).mass
