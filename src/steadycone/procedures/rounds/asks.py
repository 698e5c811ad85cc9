"""The plan of one station: the set-up procedure's steps, turned into questions."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from typing import Any, get_args

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.practice.judging import word
from steadycone.procedures.choose import led, steps
from steadycone.procedures.inspect import Item, inspection
from steadycone.procedures.judged import Judged
from steadycone.procedures.numbers import number
from steadycone.procedures.rounds.limits import CURES, TABLE, limit
from steadycone.procedures.rounds.plan import Kind, Look, Option, Plan, PlanStep, Reading, plan_hash
from steadycone.procedures.step import Step
from steadycone.procedures.withhold import WITHHELD, without_pressures
from steadycone.quantity import Quantity, exact
from steadycone.station.regulator import Regulator
from steadycone.units import Duration, Pressure, PressureDifference, unit_size

_EVIDENCE: dict[str, Kind] = {"tick": "tick", "reading": "text", "timed": "tick"}


def make_plan(
    judged: Judged,
    station: str,
    *,
    also: tuple[str, ...] = (),
    anew: Callable[[date], tuple[Finding, ...]] | None = None,
    least: Callable[[str], float | None] = lambda line: None,
) -> Plan:
    """The plan of a card's station.

    Parameters
    ----------
    station : hash of the station's files
    also : other hashes that an answers file may name this station by, such as the card's
    anew : the stops of the card made again for another day, as card/anew.py has them; without it a round ends on the card's own day
    least : by line, the supply's pressure [Pa gauge] below which the card would stop, as card/anew.py has it
    """
    figures = judged.figures
    found = tuple(_beside(list(_all(figures))))
    hash_ = plan_hash(found)  # of the station, not of the day: a stop that dates bring leaves numbers out, and asks the same
    if any(finding.verdict == "stop" for finding in judged.findings):
        found = tuple(replace(step, numbers=without_pressures(step.numbers)) if step.phase in WITHHELD else step for step in found)
    return Plan(judged, station, (station, *also), found, hash_, least, anew)


def _all(figures: Figures) -> Iterator[PlanStep]:
    table = toml(TABLE)
    for entry in table["first"]:
        yield _own(figures, entry["id"], entry, entry["id"])
    chosen = steps(figures, "setup")
    phases = [step.phase for step in chosen]
    last_look = len(phases) - 1 - phases[::-1].index(table["inspection"]["phase"])
    for place, step in enumerate(chosen):
        yield from _asked(figures, step)
        if place == last_look:
            yield from _inspection(figures)


def _beside(found: list[PlanStep]) -> Iterator[PlanStep]:
    """Each reading with the earlier one of the same gauge that it is held beside."""
    last: dict[tuple[str, str], str] = {}
    for step in found:
        name = step.id.partition(".")[0]
        pair = {"leak-start-high": "planned", "leak-start-low": "test"}.get(name) or {"shut": "set", "set": "shut"}.get(step.judge, "")
        yield replace(step, beside=last.get((step.line, pair), "")) if pair else step
        if step.judge:
            last[step.line, step.judge] = step.id


def _asked(figures: Figures, step: Step) -> Iterator[PlanStep]:
    """The questions that one step of the procedure becomes."""
    name, early, _ = step.id.partition("-early")
    ask = toml(TABLE)["ask"].get(name, {})
    if "not_asked" in ask:
        return
    only = None if early else toml(TABLE)["only"].get(step.phase)
    group = step.id
    for more in ask.get("before", []):
        yield from _more(figures, more, more)
    if "instead" in ask:
        for more in ask["instead"]:
            yield from _more(figures, more, group)
    else:
        asked = PlanStep(
            id=step.id,
            phase=step.phase,
            kind=ask.get("kind", _EVIDENCE[step.evidence]),
            do=" ".join(filter(None, (step.do, ask.get("also", "")))),
            why=step.why,
            stop=step.stop,
            source=step.source,
            numbers=dict(step.numbers),
            group=toml(TABLE)["inspection"]["phase"] if step.phase == toml(TABLE)["inspection"]["phase"] else group,
            variant=step.variant,
            only=tuple(only) if only else None,
        )
        yield _filled(figures, asked, ask, ask.get("line", ""))
    for more in ask.get("then", []):
        yield from _more(figures, more, group)


def _more(figures: Figures, names: str, group: str) -> Iterator[PlanStep]:
    """Steps of the round's own: "a+b" asks both of one line, then of the next."""
    entries = [(name, toml(TABLE)["step"][name]) for name in names.split("+")]
    if entries[0][1].get("each") != "line":
        for name, entry in entries:
            yield _own(figures, name, entry, group)
        return
    for line in figures.lines:
        for name, entry in entries:
            yield _own(figures, name, entry, group, line)


def _own(figures: Figures, name: str, entry: dict[str, Any], group: str, line: str = "") -> PlanStep:
    numbers: dict[str, Quantity | str] = {}
    for blank, path in entry.get("numbers", {}).items():
        numbers[blank] = number(figures, path.replace("{line}", line))
    for blank, key in entry.get("limits", {}).items():
        numbers[blank] = exact(limit(key).si, "share")
    asked = PlanStep(
        id=f"{name}.{line}" if line else name,
        phase=entry["phase"],
        kind=entry["kind"],
        do=led(figures, entry),
        why=entry["why"],
        stop=entry.get("stop", ""),
        source=tuple(entry["source"]),
        numbers=numbers,
        group=group,
    )
    return _filled(figures, asked, entry, line or entry.get("line", ""))


def _filled(figures: Figures, step: PlanStep, ask: dict[str, Any], line: str) -> PlanStep:
    """The step with its cure, gauge, wait and options. A step without a cure is our own fault and fails as a KeyError."""
    cure = toml(CURES)[step.id.partition(".")[0].removesuffix("-early")]
    step = replace(
        step,
        mend=cure["mend"],
        over=cure.get("over", False),
        line=line,
        judge=ask.get("judge", ""),
        optional=ask.get("optional", False),
        runs_on=ask.get("runs_on", False),
        options=tuple(Option(each["value"], each["says"], each.get("stop", False)) for each in ask.get("choices", [])),
    )
    if not line:
        return _timed(step, ask) if step.kind == "wait" else replace(step, reading=_reading(ask.get("reading", "")))
    found = figures.lines[line]
    step = replace(step, subject=word(found) + " line", numbers=step.numbers | {"gas": gas(figures, found)})
    if "bleed" in (ask.get("reading"), ask.get("seconds")):
        step = _bled(figures, step, found)
    if step.kind == "wait":
        return _timed(step, ask)
    reading = step.reading or _reading(ask["reading"])
    piped = not found.line.supply.has_cylinders
    # a pipe's regulator may have no gauge on its high side
    optional = step.optional or (piped and reading == "high")
    return replace(
        step, reading=reading, division=division(found, reading), assumed=not _stated_division(found, reading), optional=optional
    )


def _reading(name: str) -> Reading:
    assert name in get_args(Reading), name
    return name  # type: ignore[return-value]


def _bled(figures: Figures, step: PlanStep, line: LineFigures) -> PlanStep:
    test = figures.leak_test.lines[line.name]
    gauge, seconds = test.bleed, test.bleed_watch
    texts: dict[str, Quantity | str] = {
        "gauge": gauge,
        "screw": ", screw out" if gauge == "high" else ", screw left in",
        "time": exact(seconds, "seconds" if seconds < 120 else "minutes"),
    }
    return replace(
        step, numbers=step.numbers | texts, seconds=seconds if step.kind == "wait" else None, reading="" if step.kind == "wait" else gauge
    )


def _timed(step: PlanStep, ask: dict[str, Any]) -> PlanStep:
    """The wait's seconds: already known, a blank of its numbers, or a time of its own."""
    if step.seconds is not None:
        return step
    named = step.numbers.get(ask["seconds"])
    if isinstance(named, Quantity):
        return replace(step, seconds=named.value)
    return replace(step, seconds=Duration.parse(ask["seconds"]).si)


def gas(figures: Figures, line: LineFigures) -> str:
    """What a line holds, in the program's word."""
    return figures.setup.station.station.fuel if line.name == "fuel" else word(line)


def _stated_division(line: LineFigures, gauge: str) -> PressureDifference | None:
    """As the station's file has it."""
    return line.line.regulator.inlet_division if gauge == "high" else line.line.regulator.outlet_division


def division(line: LineFigures, gauge: str) -> PressureDifference:
    """The gauge's smallest readable change as written; where the file leaves it out, the usual one for the gauge."""
    regulator: Regulator = line.line.regulator
    stated = _stated_division(line, gauge)
    if stated is not None:
        return stated
    usual = line.inlet_division if gauge == "high" else line.outlet_division
    unit = regulator.outlet_rating.unit if regulator.outlet_rating.unit in ("psi", "kPa") else "bar"
    return PressureDifference(usual, f"{usual / unit_size(Pressure, unit):.3g} {unit}", 0.0, unit)


# --- the inspection list -------------------------------------------------------------


def _inspection(figures: Figures) -> Iterator[PlanStep]:
    table = toml(TABLE)["inspection"]
    groups: dict[str, list[Item]] = {}
    for item in inspection(figures):
        if item.id not in table["not_asked"]:
            groups.setdefault(_slug(item), []).append(item)
    for slug, items in sorted(groups.items(), key=lambda group: _order(figures, group[1][0])):
        yield PlanStep(
            id=f"look-{slug}",
            phase=table["phase"],
            kind="tick",
            do=table["do"],
            why=table["why"],
            stop="",
            source=tuple(dict.fromkeys([*table["source"], *(key for item in items for key in item.source)])),
            numbers={"subject": _named(items[0])},
            group=table["phase"],
            subject=_named(items[0]),
            line=_line(items[0]),
            looks=tuple(_look(figures, item) for item in items),
        )


def _look(figures: Figures, item: Item) -> Look:
    return Look(item.id, item.look, item.passes, item.fails, item.action, item.numbers, _stated(figures, item))


def _stated(figures: Figures, item: Item) -> str:
    """The dates as the station file has them, for the items that the dates rule judges: what is stamped must be what is written."""
    if not item.findings:
        return ""
    line = figures.lines[_line(item)].line
    found = line.regulator if _where(item) == "regulator" else line.part[_order(figures, item)[2] - 1]
    dates = [f"{word} {given.text}" for word in ("made", "tested") if (given := getattr(found, word, None)) is not None]
    return ", ".join(dates) or "no date"


def _order(figures: Figures, item: Item) -> tuple[int, int, int]:
    """Supplies, regulators, then each line's parts from regulator to torch, then the torch."""
    kinds, line, part = ["supply", "regulator", "part", "torch"], _line(item), item.subject.partition(" part ")[2].partition(" ")[0]
    return kinds.index(_where(item)), list(figures.lines).index(line) if line else 0, int(part or 0)


def _where(item: Item) -> str:
    """Which of the four: supply, regulator, part or torch."""
    if item.subject == "torch":
        return "torch"
    return "part" if " part " in item.subject else item.subject.rpartition(" ")[2]


def _line(item: Item) -> str:
    if item.subject == "torch":
        return ""
    head = item.subject.partition(" part ")[0] if " part " in item.subject else item.subject.rpartition(" ")[0]
    return head.replace(" ", "_")


def _named(item: Item) -> str:
    """The torch's parts by their own name."""
    return f"torch {item.component}" if item.subject == "torch" and item.component != "handle" else item.subject


def _slug(item: Item) -> str:
    if item.subject == "torch":
        return f"torch-{item.component}"
    place = item.subject.replace(" part ", "-part-").partition(" (")[0]
    return place.replace("_", "-").replace(" ", "-")
