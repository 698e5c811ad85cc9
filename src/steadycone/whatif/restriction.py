"""Arrestor and hose choice: what each part takes from flame and cutting oxygen, and the cheapest change that cures it."""

from typing import ClassVar

from steadycone.assembly.as_set import gauge_settings
from steadycone.assembly.elements import part_subject
from steadycone.assembly.figures import Figures
from steadycone.card.card import Card
from steadycone.errors import InputError
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact, spread, unknown
from steadycone.whatif.common.changes import Case, Tried, enough, short_lines
from steadycone.whatif.common.changes import tried as all_tried
from steadycone.whatif.common.fitted import Flows, changed, looks
from steadycone.whatif.common.resting import frame
from steadycone.whatif.frame import Frame, Outcome, Plate, Prevention, WhatIf
from steadycone.whatif.settings import Choice, setting, whatif

_SOURCES = ("restriction-order", "restriction-habit", "arrestor-higher-flow", "hose-bores", "judged-mixing-point", "tip-short")


@whatif
class Restriction(WhatIf):
    """What each part of the lines takes from flame and cutting oxygen, and the cheapest change that cures it."""

    example: ClassVar = "at=chart"
    at: str | None = setting(
        Choice("settings", "chart", "card"),
        "where the regulators stand: the file's settings, the chart's own pressures with the hose forgotten, or as the card says",
    )

    def answer(self, card: Card) -> Outcome:
        figures = card.figures
        pressures = self._pressures(figures)
        case = Case(figures, tuple(looks(figures)), pressures)
        ends = [case.shares(case.flow(station)) for station in case.stations]
        tried = tuple(all_tried(case, short_lines(case, ends)))
        return _told(case, ends, tried)

    def _pressures(self, figures: Figures) -> dict[str, float]:
        """Pa gauge, flowing, by line."""
        at = self.at or ("settings" if figures.setup.station.settings else "chart")
        if at == "settings":
            if figures.setup.station.settings is None:
                raise InputError("the file has no settings", where="at", try_="Add [settings], or give at=chart or at=card.")
            given = {name: flowing for name, (flowing, _) in gauge_settings(figures.setup, figures.atmosphere).items()}
        else:
            read = {"chart": "torch_inlet", "card": "set_pressure"}[at]
            given = {name: getattr(line, read).value for name, line in figures.lines.items()}
        missing = [name for name in figures.lines if given.get(name) is None]
        if missing:
            raise InputError(f"no pressure for the {missing[0].replace('_', ' ')} line", where="at", try_="Give it in [settings].")
        return given


def _without(case: Case, name: str, number: int) -> Flows:
    return case.flow(changed(case.station, name, lambda n, element: None if n == number else element))


def _parts(case: Case, now: Flows) -> tuple[dict[str, Quantity | str], ...]:
    """What each part takes: its loss, and how much of each stream's chart flow comes back when it is left out. Worst first."""
    shares = case.shares(now)
    found: list[tuple[float, dict[str, Quantity | str]]] = []
    for name, line in case.figures.lines.items():
        losses = now.profiles[name].losses
        for number, part in enumerate(line.line.part):
            free = case.shares(_without(case, name, number))
            back = {stream: free[stream] - share for stream, share in shares.items()}
            loss = losses[number]
            point: dict[str, Quantity | str] = {
                "part": part_subject(name, number + 1, part),
                "loss": unknown("pressure difference") if loss is None else exact(loss, "pressure difference"),
            }
            found.append((max(back.values()), point | {f"{stream}_back": exact(gain, "share") for stream, gain in back.items()}))
    return tuple(point for _, point in sorted(found, key=lambda one: -one[0]))


def _told(case: Case, ends: list[dict[str, float]], tried: tuple[Tried, ...]) -> Outcome:
    now = case.flow(case.station)
    least = min(min(shares.values()) for shares in ends)
    cure = next((one for one in tried if one.cures), None)
    series = {"parts": _parts(case, now), "changes": tuple(_point(one) for one in tried)}
    return Outcome(
        name="restriction",
        state=_state(now, least),
        numbers=_numbers(case, now, ends, cure),
        reason=_reason(case, now),
        words={"cure": cure.key if cure else "not-needed" if not tried else "none"},
        series=series,
        frames=_frames(case, now, cure),
        prevented_by=_prevented(tried, cure),
        not_trusted=("chart-openings", "part-curves", "cost"),
        sources=_SOURCES,
        blanks={"worst": str(series["parts"][0]["part"]) if series["parts"] else ""},
        band="ends",
    )


def _state(now: Flows, least: float) -> str:
    if now.solution.state in ("blocked", "locked", "choked"):
        return str(now.solution.state)
    if least < 1.0 - limit("tip-short-stop").si:
        return "starved"
    return "short" if least < 1.0 - limit("tip-short-caution").si else "fed"


def _numbers(case: Case, now: Flows, ends: list[dict[str, float]], cure: Tried | None) -> dict[str, Quantity]:
    wanted, found = case.wanted(), {}
    for stream in case.shares(now):
        found[f"{stream}_of_chart"] = spread([shares[stream] for shares in ends], "share")
        found[f"{stream}_flow"] = spread([shares[stream] * wanted[stream] for shares in ends], "flow")
    if now.ratio is not None:
        found["oxygen_to_fuel"] = exact(now.ratio, "number")
    for name, pressure in case.pressures.items():
        found[f"{name}_at_regulator"] = exact(pressure, "gauge pressure")
    if cure:
        found |= {f"{stream}_cured": exact(share, "share") for stream, share in cure.shares.items()}
    return found


def _reason(case: Case, now: Flows) -> str:
    """Which of the flames suffers most: fuel short makes it oxidising, oxygen short takes the cut first."""
    shares = case.shares(now)
    worst = min(shares, key=lambda stream: (round(shares[stream], 2), stream))  # one line feeds both oxygens: the cut is named
    return "even" if enough(shares[worst]) else worst


def _point(tried: Tried) -> dict[str, Quantity | str]:
    point: dict[str, Quantity | str] = {"change": f"{tried.key} {tried.what}".strip(), "cures": "yes" if tried.cures else "no"}
    return point | {f"{stream}_of_chart": exact(share, "share") for stream, share in tried.shares.items()}


def _frames(case: Case, now: Flows, cure: Tried | None) -> tuple[Frame, ...]:
    found = [_frame(case, now, "now")]
    if cure is not None and cure.key == "screw":
        found.append(_frame(case, cure.flows, "cured"))
    elif cure is not None:
        found.append(_frame(case, cure.flows, "changed"))
    return tuple(found)


def _frame(case: Case, flows: Flows, caption: str) -> Frame:
    air = case.figures.atmosphere
    pressures = {
        name: tuple(None if p is None else p - air for p in profile.pressures)
        for name, profile in flows.profiles.items()
        if len(profile.pressures) == 1 + len(case.figures.lines[name].parts)
    }
    plates = {
        name: tuple(Plate("CHOKED", str(k)) for k, state in enumerate(profile.states, start=1) if state == "choked")
        for name, profile in flows.profiles.items()
    }
    return frame(case.figures, None, caption, pressures=pressures, plates=plates)


def _prevented(tried: tuple[Tried, ...], cure: Tried | None) -> tuple[Prevention, ...]:
    if not tried:
        return (Prevention("keep", "fitted"),)
    found = [Prevention("look-again", "always")] if cure is None else []
    for one in tried:
        worst = exact(one.least, "share")
        blanks: dict[str, Quantity | str] = {"what": one.what, "share": worst}
        standing = "missing" if one is cure else "always" if one.cures else None
        if standing == "missing":
            found.insert(0, Prevention(one.key, "missing", "", blanks))
        elif standing == "always":
            found.append(Prevention(one.key, "always", "", blanks))
    return tuple(found)
