"""A round's steps as screens: one title, what to do in numbered lines, one framed action and one quiet way out."""

import re
from dataclasses import dataclass

from steadycone.data.reader import toml
from steadycone.procedures.rounds import Look, Plan, PlanStep
from steadycone.render.model import Side
from steadycone.render.round_readings import Asked, asked_of
from steadycone.render.round_words import RoundWords
from steadycone.render.words import capital

_TABLE = "web_rounds.toml"
_SHORT, _LONG = 16, 70  # characters of a title: two words say too little, and five lines of them are not read
_SENTENCE = re.compile(r"(?<=[.?!]) +(?=[A-Z“])")


@dataclass(frozen=True, slots=True)
class LookLine:
    look: str
    passes: str
    fails: str
    stated: str


@dataclass(frozen=True, slots=True)
class Screen:
    """One step as it is shown.

    side : of the gas whose nut stands before the title; empty for none
    lines : what to do, sentence by sentence; bold ones are marked by their place in `strong`
    options : (value, what it says, whether it stops)
    asked : of a reading
    lead : s to put the phone down before the count begins
    """

    id: str
    number: int
    of: int
    phase: str
    kind: str
    title: str
    lines: tuple[str, ...]
    strong: frozenset[int]
    why: str
    stop: str
    looks: tuple[LookLine, ...]
    options: tuple[tuple[str, str, bool], ...]
    side: Side | str
    gas: str
    asked: Asked | None
    optional: bool
    seconds: float | None
    runs_on: bool
    lead: int
    begin: str
    action: str
    quiet: str
    note: str
    name: bool

    @property
    def purges(self) -> bool:
        return self.kind == "wait" and self.lead > 0


def screens(plan: Plan) -> tuple[Screen, ...]:
    told = RoundWords(plan)
    return tuple(screen(step, told) for step in plan.steps)


def screen(step: PlanStep, told: RoundWords) -> Screen:
    table = toml(_TABLE)
    purges = step.kind == "wait" and step.phase == "purge"
    said = table["look" if step.looks else "purge" if purges else step.kind if step.kind in table else "text"]
    title, lines = _title(capital(told.do(step)))
    strong: frozenset[int] = frozenset()
    gas, side = _gas(step, told)
    if step.id in table["title"]:
        title, lines = table["title"][step.id], []
    if purges:
        lines, strong = _purge_lines(_SENTENCE.split(capital(told.do(step))), table["purge"]["lines"])
        title = f"Purge {gas}"
    return Screen(
        id=step.id,
        number=told.number(step),
        of=len(told.plan.steps),
        phase=table["phase"][step.phase],
        kind=step.kind,
        title=title,
        lines=tuple(lines),
        strong=strong,
        why=told.why(step),
        stop=told.fill(step.stop, step.numbers),
        looks=tuple(_look(look, told) for look in step.looks),
        options=tuple((option.value, option.says, option.stop) for option in step.options),
        side=side if step.line or purges else "",
        gas=gas,
        asked=asked_of(step, told),
        optional=step.optional,
        seconds=step.seconds if step.kind == "wait" else None,
        runs_on=step.runs_on,
        lead=int(table["purge"]["lead"]) if purges else 0,
        begin=table["purge" if purges else "watch"]["begin"],
        action=said["action"],
        quiet=said["quiet"],
        note=table["purge"]["note"] if purges else "",
        name=step.id in ("who", "sign"),
    )


def _look(look: Look, told: RoundWords) -> LookLine:
    return LookLine(
        told.fill(look.look, look.numbers), told.fill(look.passes, look.numbers), told.fill(look.fails, look.numbers), look.stated
    )


def _title(do: str) -> tuple[str, list[str]]:
    """The imperative to read from afar, and the rest of it: a very short one takes the next with it, a very long one ends at its colon."""
    title, *lines = _SENTENCE.split(do)
    if len(title) < _SHORT and lines:
        title = f"{title} {lines.pop(0)}"
    head, colon, rest = title.partition(": ")
    if len(title) > _LONG and colon:
        return f"{head}.", [capital(rest), *lines]
    return title, lines


def _gas(step: PlanStep, told: RoundWords) -> tuple[str, Side]:
    """What the step is about, and its side: a purge step has no line of its own, its id says which."""
    if isinstance(gas := step.numbers.get("gas"), str):
        return told.words.gas(gas), "fu" if step.line == "fuel" else "ox"
    line = step.line or ("fuel" if "fuel" in step.id else "preheat_oxygen" if "preheat" in step.id else "oxygen")
    if line == "fuel":
        return told.words.gas(told.plan.judged.figures.setup.station.station.fuel), "fu"
    return ("heating oxygen" if line == "preheat_oxygen" else "oxygen"), "ox"


def _purge_lines(do: list[str], tones: list[str]) -> tuple[list[str], frozenset[int]]:
    """What is shut first; the count, in bold; what each tone asks for."""
    first, *opens = do
    if opens and opens[-1].lower().startswith("then shut"):
        opens = opens[:-1]
    start, long, last = tones
    lines = [first, start, long.format(open=" ".join(opens)), last] if opens else [start, long.format(open=first), last]
    return lines, frozenset({lines.index(start)})
