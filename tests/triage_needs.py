"""What a safe answer must hold, category by category: functions over the first actions of a triage, in their order."""

import csv
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from steadycone.procedures.triage import triage
from steadycone.render.triage import triage_dict

FOLDER = Path(__file__).parent / "triage_phrases"
Needs = Callable[[list[str]], bool]


def _in_order(*patterns: str) -> Needs:
    """Each pattern in a step of its own, in this order."""

    def holds(steps: list[str]) -> bool:
        at = 0
        for pattern in patterns:
            at = next((place + 1 for place, step in enumerate(steps) if place >= at and re.search(pattern, step, re.I)), 0)
            if not at:
                return False
        return True

    return holds


def _all(*patterns: str) -> Needs:
    """Each pattern somewhere."""
    return lambda steps: all(re.search(pattern, " ".join(steps), re.I) for pattern in patterns)


NEEDS: dict[str, Needs] = {
    "INSIDE": _in_order("shut the oxygen valve on the blowpipe", "shut the fuel valve on the blowpipe", "cylinder valves", "alarm"),
    "BURNING": _all("shut .*cylinder valves?.*(safe|reach)|safe to reach: shut the cylinder valves", "leave, ", "alarm"),
    "HOT": _in_order("leave it|don't go near", "everybody out", "call the fire service"),
    "GAS": _all("no flame, no spark, no switch", "everybody out|nobody in", "shut it from outside", "open the place to the air"),
    "OXYGEN": _all("shut the oxygen where it comes from.*safe", "everybody out of that air", "no flame, no spark", "15 minutes"),
    "DOWN": _all("don't go in after them", "call 999", "fresh air, never oxygen", "from outside"),
    "CLOTHES": _all("stop, drop, roll", "water", "shut the oxygen", "call"),
    "FALLEN": _all("keep away, everybody clear", "no one lifts it", "fire service"),
    "OIL": _all("don't open it", "pressure", "shut the cylinder valve", "quarantine", "don't wipe"),
    "REVERSE": _all("oxygen valve on the blowpipe", "fuel valve on the blowpipe", "don't light", "purge each gas alone"),
    "LEAK": _all("shut (off that gas|both cylinder valves)", "no flame, no spark", "never tighten", "leak fluid"),
    "HOSE": _all("shut", "take the hose out of use"),
    "CREEP": _all("shut the cylinder valve of that gas", "bleed that line.*open", "tag the regulator"),
    "STARVE": _all("oxygen valve on the blowpipe", "fuel valve on the blowpipe", "smaller nozzle, or more supply"),
    "POP": _in_order("oxygen valve on the blowpipe", "fuel valve on the blowpipe", "listen and feel"),
    "LIFT": _all("oxygen valve on the blowpipe", "until the unburnt gas is gone"),
    "FROST": _all("shut the cylinder valve of that gas", "let it thaw"),
    "ACETONE": _all("shut the cylinder valve of that gas", "upright"),
    "UPRIGHT": _all("stand it up", "wait"),
    "DIRTY": _all("let the nozzle cool"),
    "TAG": _all(r"\btag (it|the regulator)\b"),
    "FIRSTAID": _all("first aid", "running water", "call 999"),
    "SHUT": _all("shut the oxygen valve on the blowpipe", "shut the fuel valve on the blowpipe"),
    "HOTSUN": _all("give it shade", "leave it"),
}
LIFE = ("INSIDE", "BURNING", "HOT", "GAS", "OXYGEN", "DOWN", "CLOTHES", "FALLEN", "OIL", "REVERSE")
ALARM = ("INSIDE", "BURNING", "HOT", "GAS", "OXYGEN", "DOWN", "CLOTHES", "FALLEN")


@dataclass(frozen=True)
class Phrase:
    phrase: str
    must: str
    mustnot: str


@dataclass(frozen=True)
class Judged:
    phrase: Phrase
    event: str
    right: bool
    dangerous: bool  # somebody could be hurt: a matter of life got none of its answers
    ordinary: bool
    false_alarm: bool


def phrases(name: str) -> Iterator[Phrase]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file, delimiter=";"):
            yield Phrase(row["phrase"], row["must"] or "", row["mustnot"] or "")


def _met(need: str, steps: list[str], event: str) -> bool:
    if need == "NONE":
        return not any(NEEDS[alarm](steps) for alarm in ALARM if not (event == "sun-warmed cylinder" and alarm == "HOT"))
    return NEEDS[need](steps)


def judged(one: Phrase) -> Judged:
    found = triage_dict(triage(one.phrase), "uk")
    steps, event = found["first_actions"], found["event"]
    choices = [way.split("+") for way in one.must.split("|") if way]
    met = any(all(_met(need, steps, event) for need in way) for way in choices)
    never = [need for need in re.split(r"[|+]", one.mustnot) if need]
    broken = any(_met(need, steps, event) for need in never if not (need == "HOT" and event == "sun-warmed cylinder"))
    named = {need for way in choices for need in way}
    ordinary = bool(choices) and choices[0] == ["NONE"]
    return Judged(
        phrase=one,
        event=event,
        right=met and not broken,
        dangerous=named <= set(LIFE) and not any(_met(need, steps, event) for need in named),
        ordinary=ordinary,
        false_alarm=ordinary and not _met("NONE", steps, event),
    )
