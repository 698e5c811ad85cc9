"""The inspection list of one setup: what to look at on each thing it holds, pass and fail, what then, how often; dates already judged."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from steadycone.assembly.elements import part_subject
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.data.reader import toml
from steadycone.practice import dates
from steadycone.practice.finding import Finding, Verdict, worst
from steadycone.practice.judging import word
from steadycone.procedures.conditions import hold
from steadycone.procedures.numbers import number
from steadycone.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Item:
    """One look at one thing. Texts are templates: words and units are the renderer's. `findings`: what the dates rule says of it."""

    id: str
    component: str  # cylinder, valve, regulator, gauge, a kind of part, clamps, handle, attachment, seats, tip, lever
    subject: str  # "fuel regulator", "oxygen part 2 (hose)", "torch"
    look: str
    passes: str
    fails: str
    action: str
    interval: str
    numbers: dict[str, Quantity | str]
    source: tuple[str, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def verdict(self) -> Verdict | None:
        """The worst of its findings; None where only a person can say."""
        return worst(finding.verdict for finding in self.findings) if self.findings else None


def inspection(figures: Figures) -> tuple[Item, ...]:
    """Every item for what the station holds, in the order of data/procedures/inspection.toml, line by line."""
    judged = dates.judge(figures)
    return tuple(
        _item(figures, entry, line, subject, judged)
        for entry in toml("procedures/inspection.toml")["item"]
        if hold(entry.get("when", []), figures)
        for line, subject in _subjects(figures, entry["each"])
    )


def _subjects(figures: Figures, each: str) -> Iterator[tuple[LineFigures | None, str]]:
    """What an item is made once for, with its line."""
    if each == "torch":
        yield None, "torch"
        return
    for line in figures.lines.values():
        if each in ("cylinders", "piped"):
            if line.line.supply.has_cylinders == (each == "cylinders"):
                yield line, f"{word(line)} supply"
        elif each == "regulator":
            yield line, f"{word(line)} regulator"
        else:
            yield from ((line, part_subject(line.name, i, part)) for i, part in enumerate(line.line.part, 1) if part.word == each)


def _item(figures: Figures, entry: dict[str, Any], line: LineFigures | None, subject: str, judged: tuple[Finding, ...]) -> Item:
    intervals = figures.setup.policy.intervals
    numbers: dict[str, Quantity | str] = {}
    for name in ("regulator", "arrestor", "check_valve", "hose"):
        clocks = getattr(intervals, name)
        for which in ("examined", "life"):
            interval = getattr(clocks, which)
            numbers[f"{name}_{which}"] = interval.text if interval is not None else "the maker's time"
    for blank, path in entry.get("numbers", {}).items():
        numbers[blank] = number(figures, path.replace("{line}", line.name if line else ""))
    return Item(
        id=entry["id"],
        component=entry["component"],
        subject=subject,
        look=entry["look"],
        passes=entry["passes"],
        fails=entry["fails"],
        action=entry["action"],
        interval=entry["interval"],
        numbers=numbers,
        source=tuple(entry["source"]),
        findings=tuple(finding for finding in judged if finding.subject == subject) if entry.get("dates") else (),
    )
